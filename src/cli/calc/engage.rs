//! `calc engage`: engagement and strip strength.

use crate::cli::calc::read::{of_sum, parts, share, thread};
use crate::cli::calc::strength::{StrengthArgs, known};
use crate::cli::exit::{Failure, wrong};
use crate::cli::globals::Globals;
use crate::cli::typed::{quantity, stated};
use crate::mechanics::{MechanicsError, RULES_OF_THUMB, SHEAR_SHARE, StripLimits, ThreadPair};
use crate::quantity::{Force, Length, Stated, Stress};
use crate::report::calc::{EngageSum, Engaged, Page};
use crate::text::fold_name;
use crate::thread::Geometry;

/// `calc engage`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook calc engage M10x1.5 --strength 10.9 --hole-tensile 220MPa
  clampbook calc engage 7/16-14 --tensile 190ksi --hole-tensile 40ksi \\
      --clamp 16000lbf --engagement 0.85in
  clampbook calc engage 1/2-13 --tensile 150ksi --hole-tensile 150ksi \\
      --shear-share 0.5 --limits 0.4876in,0.4435in,0.4340in,0.4565in --why

Shear strength is taken as 0.6 of tensile strength unless --shear-share says
better. Without --limits the basic sizes count, and the areas come out high. The
rule of thumb is common practice without a source: with strong studs it is not
enough.")]
pub(super) struct Engage {
    /// The thread, with its pitch
    pub thread: String,
    #[command(flatten)]
    pub strength: StrengthArgs,
    /// Tensile strength of the nut or of the material of the hole
    #[arg(long, value_name = "STRESS")]
    pub hole_tensile: String,
    /// Material of the hole, for its rule of thumb: steel, cast iron, aluminium
    #[arg(long, value_name = "MATERIAL")]
    pub hole_material: Option<String>,
    /// Length engaged, to find the load that strips it
    #[arg(long, value_name = "LENGTH")]
    pub engagement: Option<String>,
    /// Clamp, to find the engagement that strips under it
    #[arg(long, value_name = "FORCE")]
    pub clamp: Option<String>,
    /// Limits of the class: least major and pitch diameter of the bolt, greatest minor and pitch
    /// diameter of the hole
    #[arg(long, value_name = "DS,ES,KN,EN")]
    pub limits: Option<String>,
    /// Shear strength as a share of tensile strength; 0.6 unless given
    #[arg(long, value_name = "SHARE")]
    pub shear_share: Option<String>,
}

pub(super) fn page(globals: &Globals, given: &Engage) -> Result<Page, Failure> {
    let turned = thread("THREAD", &given.thread)?;
    let geometry = turned.geometry().map_err(|error| wrong("THREAD", error))?;
    let tensile = known(globals, Some(turned.clone()), &given.strength, None)?.tensile;
    let mut assumed = Vec::new();
    let shear_share = match &given.shear_share {
        Some(text) => share("--shear-share", text)?,
        None => {
            assumed.push("shear strength is 0.6 of tensile; --shear-share says better".to_owned());
            SHEAR_SHARE
        }
    };
    let pair = ThreadPair {
        limits: limits(given, &geometry)?,
        external_tensile: tensile.ok_or_else(|| wrong("--tensile", NO_TENSILE))?,
        internal_tensile: quantity::<Stress>("--hole-tensile", &given.hole_tensile)?.value(),
        shear_share,
    };
    let sum = EngageSum {
        even: pair.even_strength(geometry.stress_area).map_err(of_sum)?,
        engaged: engaged(given, &pair)?,
        clamp: clamp(given, &pair)?,
        area: geometry.stress_area,
        material: material(given)?,
        thread: turned,
        pair,
        assumed,
    };
    Ok(sum.page())
}

const NO_TENSILE: &str =
    "the tensile strength of the bolt is needed; --strength names a class that has one";

fn limits(given: &Engage, geometry: &Geometry) -> Result<StripLimits, Failure> {
    const OPTION: &str = "--limits";
    let basic = StripLimits::basic(geometry).map_err(|error| wrong("THREAD", error))?;
    let Some(text) = &given.limits else { return Ok(basic) };
    let fields: [&str; 4] = parts(OPTION, text, "0.4876in,0.4435in,0.4340in,0.4565in")?;
    let mut read = [Length::from_mm(0.0); 4];
    for (length, field) in read.iter_mut().zip(fields) {
        *length = quantity::<Length>(OPTION, field)?.value();
    }
    let [external_major, external_pitch, internal_minor, internal_pitch] = read;
    let (pitch_diameter, minor) = (geometry.pitch_diameter, geometry.minor_diameter);
    for (found, of) in read.iter().zip([geometry.major, pitch_diameter, minor, pitch_diameter]) {
        // A class moves a diameter by less than half a pitch.
        if (found.mm() - of.mm()).abs() > geometry.pitch.mm() / 2.0 {
            let (found, of) = (found.mm(), of.mm());
            let order = "the order is least major and pitch diameter of the bolt, greatest minor \
                         and pitch diameter of the hole";
            let far = format!("{found:.3} mm is far from the basic {of:.3} mm; {order}");
            return Err(wrong(OPTION, far));
        }
    }
    let basic = StripLimits { basic: false, ..basic };
    Ok(StripLimits { external_major, external_pitch, internal_minor, internal_pitch, ..basic })
}

fn engaged(given: &Engage, pair: &ThreadPair) -> Result<Option<Engaged>, Failure> {
    let length: Option<Stated<Length>> = stated("--engagement", given.engagement.as_ref())?;
    let Some(length) = length else { return Ok(None) };
    let find = |length: Stated<Length>| -> Result<Engaged, MechanicsError> {
        Ok(Engaged {
            length,
            external: pair.limits.external_area(length.value())?,
            internal: pair.limits.internal_area(length.value())?,
            strips_at: pair.strip_load(length.value())?,
        })
    };
    find(length).map(Some).map_err(of_sum)
}

fn clamp(given: &Engage, pair: &ThreadPair) -> Result<Option<(Stated<Force>, Length)>, Failure> {
    let clamp: Option<Stated<Force>> = stated("--clamp", given.clamp.as_ref())?;
    let Some(clamp) = clamp else { return Ok(None) };
    let (length, _) = pair.engagement_for(clamp.value()).map_err(of_sum)?;
    Ok(Some((clamp, length)))
}

fn material(given: &Engage) -> Result<Option<String>, Failure> {
    let Some(text) = &given.hole_material else { return Ok(None) };
    let wanted = fold_name(text).replace("aluminum", "aluminium");
    let known = RULES_OF_THUMB.iter().map(|rule| rule.material);
    let found =
        known.clone().find(|name| name.split(' ').any(|word| wanted.split(' ').any(|w| w == word)));
    let names: Vec<&str> = known.collect();
    found.map(|name| Some(name.to_owned())).ok_or_else(|| {
        let names = names.join(", ");
        wrong("--hole-material", format!("`{text}` has no rule of thumb; there is one for {names}"))
    })
}
