//! `calc`: torque, clamp and stress of one thread.
//!
//! The arguments become a fastener of their own with a lube of their own, so
//! that the arithmetic is the one of the book.

use std::fmt::Display;
use std::sync::Arc;

use crate::cli::args::{Args, Calc, Format};
use crate::cli::exit::{Code, Failure};
use crate::cli::out::Out;
use crate::cli::{find, open, seed};
use crate::correction::reach;
use crate::mechanics::{Head, standard_bearing};
use crate::quantity::{Extent, Kind, Length, Quantity, Stated, Torque, Unit, find_unit};
use crate::query::resolve::parse_target;
use crate::record::{
    Band, Basis, Bearing, Fastener, Joint, Lube, LubeClass, Method, Row, Setting, Tables, derive,
};
use crate::report;
use crate::text::nearest;
use crate::thread::Thread;

/// Runs the command.
pub(super) fn run(args: &Args, calc: &Calc, out: &mut Out) -> Result<Code, Failure> {
    let mut tables = tables(args, calc)?;
    let fastener = Arc::new(fastener(calc, &tables)?);
    let lube = lube(calc, &mut tables)?;
    let row = row(calc, &fastener, &lube, &tables)?;
    let units = find::units(args)?;
    let text = match out.format {
        Format::Json => report::calc_json(&row),
        Format::Table | Format::Csv => report::calc_page(&row, &units, out.width),
    };
    out.answer(&text);
    if calc.why {
        out.answer(&report::why_row(&row, &tables));
    }
    Ok(if row.refused.is_some() { Code::Nothing } else { Code::Answered })
}

/// The book's tables if a name of them is asked for; none otherwise, so that a
/// sum needs no book at all.
fn tables(args: &Args, calc: &Calc) -> Result<Tables, Failure> {
    if calc.lube.is_none() && calc.strength.is_none() {
        return Ok(Tables::default());
    }
    if args.demo {
        return seed::reference();
    }
    Ok(open::reader(args)?.book.tables().clone())
}

fn wrong(option: &str, error: impl Display) -> Failure {
    Failure::Argument(format!("{option}: {error}"))
}

fn stated<K: Kind>(option: &str, text: Option<&String>) -> Result<Option<Stated<K>>, Failure> {
    text.map(|text| Stated::parse(text).map_err(|error| wrong(option, error))).transpose()
}

fn fastener(calc: &Calc, tables: &Tables) -> Result<Fastener, Failure> {
    let thread = Thread::parse(&calc.thread).map_err(|error| wrong("THREAD", error))?;
    let mut fastener = Fastener::new(Joint::named("calc", "calc"), "calc");
    fastener.strength.proof = stated("--proof", calc.proof.as_ref())?;
    fastener.strength.yield_ = stated("--yield", calc.yield_.as_ref())?;
    fastener.strength.tensile = stated("--tensile", calc.tensile.as_ref())?;
    if let Some(name) = &calc.strength {
        fastener.strength.name = Some(strength(name, &thread, tables)?);
    }
    fastener.bearing = bearing(calc, &thread)?;
    fastener.thread = Some(thread);
    Ok(fastener)
}

/// The name of a strength that exists and holds for this size.
fn strength(name: &str, thread: &Thread, tables: &Tables) -> Result<String, Failure> {
    let known = || tables.strengths.iter().map(|class| class.name.as_str());
    let class = tables
        .strength(name)
        .ok_or_else(|| unknown("--strength", "strength", name, nearest(name, known())))?;
    if class.at(thread.nominal()).is_none() {
        return Err(wrong("--strength", format!("{} is not defined for {thread}", class.name)));
    }
    Ok(class.name.clone())
}

fn unknown(option: &str, what: &str, name: &str, near: Option<&str>) -> Failure {
    let near = near.map(|near| format!("; did you mean `{near}`?"));
    let advice = near.unwrap_or_else(|| format!("; `clampbook list {what}s` shows those it has"));
    wrong(option, format!("the book has no {what} `{name}`{advice}"))
}

/// The ring of `--bearing`; with `--mu` alone the standard hex head over a
/// medium hole, which the answer says.
fn bearing(calc: &Calc, thread: &Thread) -> Result<Option<Bearing>, Failure> {
    const OPTION: &str = "--bearing";
    if let Some(text) = &calc.bearing {
        let expected = || wrong(OPTION, "expected OUTER,HOLE such as 17.5mm,11mm");
        let (outer, hole) = text.split_once(',').ok_or_else(expected)?;
        let read = |text: &str| Stated::parse(text).map_err(|error| wrong(OPTION, error));
        return Ok(Some(Bearing { outer: read(outer)?, hole: read(hole)? }));
    }
    if calc.mu.is_none() {
        return Ok(None);
    }
    let geometry = thread.geometry().map_err(|error| wrong("THREAD", error))?;
    let assumed = standard_bearing(&geometry, Head::Hex).map_err(|error| wrong(OPTION, error))?;
    let written = |length: Length| {
        let millimetre = find_unit("mm").and_then(|unit| Quantity::of(length, unit, 3));
        millimetre.and_then(|written| Stated::new(written).ok())
    };
    let ring = written(assumed.bearing.outer).zip(written(assumed.bearing.hole));
    Ok(ring.map(|(outer, hole)| Bearing { outer, hole }))
}

/// The lube of the book, or one made of the factors given.
fn lube(calc: &Calc, tables: &mut Tables) -> Result<Lube, Failure> {
    if let Some(name) = &calc.lube {
        let known = || tables.lubes.iter().map(|lube| lube.name.as_str());
        let missing = || unknown("--lube", "lube", name, nearest(name, known()));
        return tables.lube(name).cloned().ok_or_else(missing);
    }
    let factor = |option: &str, value: f64| {
        let expected = "is no factor of friction: write a value above 0 and below 1.5";
        Band::new(value, value, value).ok_or_else(|| wrong(option, format!("{value} {expected}")))
    };
    let k = calc.k.map(|k| factor("--k", k)).transpose()?;
    let mu = calc.mu.map(|mu| factor("--mu", mu)).transpose()?;
    let face = calc.mu_bearing.map(|mu| factor("--mu-bearing", mu)).transpose()?;
    if k.is_none() && mu.is_none() {
        let message = "which friction? give --lube NAME, --k K or --mu μ: none is assumed";
        return Err(Failure::Argument(message.to_owned()));
    }
    let lube = Lube {
        name: "as given".to_owned(),
        aliases: Vec::new(),
        class: LubeClass::Wet,
        k,
        mu_thread: mu,
        mu_bearing: face.or(mu),
        convertible: false,
        what: None,
        source: Some("given on the command line".to_owned()),
    };
    tables.lubes.push(lube.clone());
    Ok(lube)
}

/// The row of the sum: clamp from torque, or torque from target.
fn row(
    calc: &Calc,
    fastener: &Arc<Fastener>,
    lube: &Lube,
    tables: &Tables,
) -> Result<Row, Failure> {
    let mut setting = Setting::new(Method::Torque, Basis::Computed);
    setting.lube = Some(lube.name.clone());
    let mut refused = None;
    match (&calc.torque, &calc.target) {
        (Some(torque), _) => {
            let torque = Extent::<Torque>::parse(torque).map_err(|e| wrong("--torque", e))?;
            setting.torque = Some(torque);
        }
        (None, Some(text)) => {
            let expected = "write 75% proof, 75% yield, 90% combined or 70 kN";
            let target = parse_target(text)
                .ok_or_else(|| wrong("--target", format!("`{text}` is no target; {expected}")))?;
            match reach(fastener, target, lube, torque_unit(fastener), tables) {
                Ok(row) => return Ok(row),
                Err(reason) => refused = Some(reason.to_string()),
            }
        }
        (None, None) => {
            let message = "give --torque to find the clamp, or --target to find the torque";
            return Err(Failure::Argument(message.to_owned()));
        }
    }
    let derived = derive(fastener, &setting, tables);
    if setting.torque.is_some() {
        refused.clone_from(&derived.no_clamp);
    }
    Ok(Row {
        key: fastener.key.clone(),
        fastener: Arc::clone(fastener),
        setting,
        derived,
        restated: None,
        refused,
        warnings: Vec::new(),
    })
}

/// lb-ft for an inch thread, N·m for a metric one.
fn torque_unit(fastener: &Fastener) -> &'static Unit {
    let inch = fastener.thread.as_ref().is_some_and(|thread| thread.tpi().is_some());
    let name = if inch { "lb-ft" } else { "N·m" };
    // Invariant: the table of units holds both; its own test walks it.
    find_unit(name).unwrap_or(&crate::quantity::UNITS[0])
}
