//! Reading what `calc` is given. Every error names the option.

use clap::Args;

use crate::cli::calc::Calc;
use crate::cli::exit::{Failure, wrong};
use crate::cli::typed::{no_pitch, quantity, with_point};
use crate::mechanics::{Expansion, MATERIALS, Material, MechanicsError, Stiffness};
use crate::quantity::{
    DecimalMark, Force, Kind, Length, Number, Ratio, Stated, Stress, TemperatureDifference,
    find_unit,
};
use crate::record::{Band, Bearing};
use crate::text::{Plain, fold_name};
use crate::thread::Thread;

pub(super) fn thread(option: &str, text: &str) -> Result<Thread, Failure> {
    let thread = Thread::parse(text).or_else(|error| match error.assumed() {
        Some(coarse) => Ok(coarse.clone()),
        None => Err(wrong(option, error)),
    })?;
    thread.geometry().map_err(|error| wrong(option, error))?;
    Ok(thread)
}

pub(super) fn assumed_pitch(text: &str) -> Option<String> {
    let error = Thread::parse(text).err()?;
    error.assumed().map(no_pitch)
}

/// `N` parts between commas.
pub(super) fn parts<'a, const N: usize>(
    option: &str,
    text: &'a str,
    example: &str,
) -> Result<[&'a str; N], Failure> {
    let all: Vec<&str> = text.split(',').map(str::trim).collect();
    all.try_into().map_err(|_| {
        wrong(option, format!("`{text}`: expected {N} values between commas, such as {example}"))
    })
}

pub(super) fn lengths(
    option: &str,
    text: &str,
    example: &str,
) -> Result<[Stated<Length>; 2], Failure> {
    let [first, second] = parts(option, text, example)?;
    Ok([quantity(option, first)?, quantity(option, second)?])
}

pub(super) fn number(option: &str, text: &str) -> Result<f64, Failure> {
    let plain = Plain::new(text);
    let number = Number::parse(plain.as_str().trim(), DecimalMark::Point);
    number.map(Number::value).map_err(|error| wrong(option, with_point(text, error)))
}

/// A share: `90%` or `0.9`.
pub(super) fn share(option: &str, text: &str) -> Result<Ratio, Failure> {
    if text.trim_end().ends_with('%') {
        return quantity::<Ratio>(option, text).map(Stated::value);
    }
    number(option, text).map(Ratio::from_value)
}

/// A factor of friction: one value, LOW..HIGH with the middle as nominal, or
/// LOW..NOMINAL..HIGH.
pub(super) fn factor(option: &str, text: &str) -> Result<Band, Failure> {
    let values: Vec<f64> =
        text.split("..").map(|value| number(option, value)).collect::<Result<_, _>>()?;
    let band = match values[..] {
        [value] => Band::new(value, value, value),
        [low, high] => Band::new(low, f64::midpoint(low, high), high),
        [low, nominal, high] => Band::new(low, nominal, high),
        _ => None,
    };
    band.ok_or_else(|| {
        let expected = "is no factor of friction: write a value above 0 and below 1.5, LOW..HIGH \
                        or LOW..NOMINAL..HIGH, rising";
        wrong(option, format!("`{text}` {expected}"))
    })
}

/// A difference of temperatures, negative when colder.
pub(super) fn rise(option: &str, text: &str) -> Result<TemperatureDifference, Failure> {
    let plain = Plain::new(text);
    let text = plain.as_str().trim();
    let (sign, size) = match text.strip_prefix('-') {
        Some(size) => (-1.0, size.trim_start()),
        None => (1.0, text.strip_prefix('+').unwrap_or(text)),
    };
    let size: Stated<TemperatureDifference> = quantity(option, size)?;
    Ok(size.value() * sign)
}

/// A stiffness as force per length: `150kN/mm`.
pub(super) fn stiffness(
    option: &str,
    field: &'static str,
    text: &str,
) -> Result<Stiffness, Failure> {
    let expected =
        || wrong(option, format!("`{text}`: expected a force per length, such as 150kN/mm"));
    let (force, length) = text.split_once('/').ok_or_else(expected)?;
    let force: Force = quantity::<Force>(option, force)?.value();
    let unit = find_unit(length).filter(|unit| unit.dimension == Length::DIMENSION);
    let per = unit.ok_or_else(expected)?.factor;
    Stiffness::new(field, force.n() / per).map_err(|error| wrong(option, error))
}

/// What is known of a material.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Stuff {
    pub modulus: Option<Stress>,
    /// Expansion, as a range.
    pub expansion: Option<[Expansion; 2]>,
    /// Its name with the source, or that it was given.
    pub is: String,
    pub named: Option<&'static Material>,
}

/// A material from one value or two: a name, a modulus, an expansion, or a
/// modulus and an expansion.
pub(super) fn material(option: &str, values: &[&str]) -> Result<Stuff, Failure> {
    let mut stuff =
        Stuff { modulus: None, expansion: None, is: "as given".to_owned(), named: None };
    for text in values {
        if let Some(expansion) = expansion(option, text)? {
            stuff.expansion = Some([expansion, expansion]);
        } else if text.starts_with(|c: char| c.is_ascii_digit() || c == '.') {
            stuff.modulus = Some(quantity::<Stress>(option, text)?.value());
        } else {
            let material = named(option, text)?;
            stuff.modulus = Some(material.modulus);
            stuff.expansion = Some(material.expansion);
            stuff.is = format!("{}; {}", material.name, material.source);
            stuff.named = Some(material);
        }
    }
    Ok(stuff)
}

/// `23e-6/K` or `13e-6/F`; None if it is not written as one.
fn expansion(option: &str, text: &str) -> Result<Option<Expansion>, Failure> {
    let Some((value, unit)) = text.split_once('/') else { return Ok(None) };
    let per_kelvin = match unit.trim().to_lowercase().as_str() {
        "k" | "c" | "°c" => 1.0,
        "f" | "°f" => 9.0 / 5.0,
        _ => return Ok(None),
    };
    let number: Option<f64> = value.trim().parse().ok().filter(|value: &f64| *value > 0.0);
    let expected = "expected an expansion such as 23e-6/K or 13e-6/F";
    let number = number.ok_or_else(|| wrong(option, format!("`{text}`: {expected}")))?;
    Ok(Some(Expansion::from_per_k(number * per_kelvin)))
}

/// The one material that all words of `text` fit.
fn named(option: &str, text: &str) -> Result<&'static Material, Failure> {
    let wanted = fold_name(text).replace("aluminum", "aluminium").replace("gray", "grey");
    if let Some(exact) = MATERIALS.iter().find(|material| material.name == wanted) {
        return Ok(exact);
    }
    let has_all = |material: &&Material| {
        let name = material.name.replace(',', "");
        wanted.split(' ').all(|word| name.split(' ').any(|of_name| of_name == word))
    };
    let fitting: Vec<&Material> = MATERIALS.iter().filter(has_all).collect();
    let names = |all: &[&Material]| {
        all.iter().map(|material| material.name.replace(',', "")).collect::<Vec<_>>().join("; ")
    };
    match fitting[..] {
        [one] => Ok(one),
        [] => {
            let all: Vec<&Material> = MATERIALS.iter().collect();
            let advice = "or give a modulus such as 71GPa";
            Err(wrong(option, format!("`{text}` is no known material: {}; {advice}", names(&all))))
        }
        _ => Err(wrong(option, format!("`{text}` is which of: {}", names(&fitting)))),
    }
}

/// The option that a field of the arithmetic was read from, where it has another name
/// than the field.
const OPTIONS: &[(&str, &str)] = &[
    ("adapter angle", "--angle"),
    ("adapter length", "--reach"),
    ("bearing friction", "--mu-bearing"),
    ("bearing hole", "--bearing"),
    ("bearing outer", "--bearing"),
    ("diameter", "--shank, --waist"),
    ("expansion per K", "--layer, --material"),
    ("external major diameter", "--limits"),
    ("external pitch diameter", "--limits"),
    ("hole modulus", "--hole-material"),
    ("inner diameter", "--sleeve"),
    ("internal minor diameter", "--limits"),
    ("internal pitch diameter", "--limits"),
    ("layer modulus", "--layer"),
    ("layer thickness", "--layer"),
    ("layers", "--layer"),
    ("length", "--shank, --waist, --free-thread"),
    ("limit of growth", "--set-limit"),
    ("modulus", "--material"),
    ("multiplier efficiency", "--efficiency"),
    ("multiplier ratio", "--multiplier"),
    ("outer diameter", "--sleeve"),
    ("overlap of the threads", "--limits"),
    ("prevailing torque", "--prevailing"),
    ("segment area", "--sleeve"),
    ("segment length", "--sleeve"),
    ("segments", "--shank"),
    ("shank diameter", "--shank"),
    ("temperature rise", "--rise"),
    ("tensile of the bolt", "--tensile"),
    ("tensile of the hole", "--hole-tensile"),
    ("thread friction", "--mu"),
    ("torque less prevailing torque", "--prevailing"),
    ("waist diameter", "--waist"),
    ("wrench length", "--length"),
];

pub(super) fn of_sum(error: MechanicsError) -> Failure {
    let field = error.field();
    match OPTIONS.iter().find(|(known, _)| *known == field) {
        Some((_, option)) => wrong(option, error),
        None => match field.to_lowercase().replace(' ', "-") {
            option if has_option(&option) => wrong(&format!("--{option}"), error),
            _ => Failure::Argument(error.to_string()),
        },
    }
}

/// Whether `calc` or one of its forms has that option.
fn has_option(name: &str) -> bool {
    let calc = Calc::augment_args(clap::Command::new("calc"));
    let commands = std::iter::once(&calc).chain(calc.get_subcommands());
    commands.flat_map(clap::Command::get_arguments).any(|arg| arg.get_long() == Some(name))
}

/// The ring of `--bearing`.
pub(super) fn bearing(text: &str) -> Result<Bearing, Failure> {
    let [outer, hole] = lengths("--bearing", text, "17.5mm,11mm")?;
    let bearing = Bearing { outer, hole };
    bearing.ring().radius().map_err(of_sum)?;
    Ok(bearing)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn materials_are_found_by_their_words() {
        let name = |text| named("--layer", text).map(|material| material.name);
        assert_eq!(name("steel").unwrap(), "steel");
        assert_eq!(name("grey iron").unwrap(), "cast iron, grey");
        assert_eq!(name("Aluminum").unwrap(), "aluminium");
        assert_eq!(name("stainless").unwrap(), "stainless steel, austenitic");
        assert!(format!("{:?}", name("cast iron").unwrap_err()).contains("which of"));
        assert!(format!("{:?}", name("oak").unwrap_err()).contains("no known material"));
    }

    #[test]
    fn rises_may_be_negative() {
        for (text, kelvin) in [("-40 K", -40.0), ("−40K", -40.0), ("+80K", 80.0), ("-90°F", -50.0)]
        {
            assert!((rise("--rise", text).unwrap().k() - kelvin).abs() < 1e-9, "{text}");
        }
        assert!(rise("--rise", "--40K").is_err());
    }

    #[test]
    fn expansions_per_fahrenheit_are_larger_per_kelvin() {
        let found = expansion("--layer", "13e-6/F").unwrap().unwrap();
        assert!((found.per_k() - 23.4e-6).abs() < 1e-12);
        assert_eq!(expansion("--layer", "71GPa").unwrap(), None);
        assert!(expansion("--layer", "-3e-6/K").is_err());
    }

    #[test]
    fn factors_have_one_two_or_three_values() {
        let of = |text| factor("--k", text).map(|band| (band.low, band.nominal, band.high));
        assert_eq!(of("0.12").unwrap(), (0.12, 0.12, 0.12));
        let (low, nominal, high) = of("0.10..0.14").unwrap();
        assert!((nominal - 0.12).abs() < 1e-12 && low == 0.10 && high == 0.14);
        assert_eq!(of("0.09..0.12..0.16").unwrap(), (0.09, 0.12, 0.16));
        for text in ["0", "3", "0.2..0.1", "0.1..0.2..0.15", "a", ""] {
            assert!(of(text).is_err(), "{text}");
        }
    }
}
