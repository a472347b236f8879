//! An invented joint for the drawing tests: the figures are made up, the
//! arithmetic behind them is not.

#![allow(dead_code, unreachable_pub)] // each test file uses its part

use std::sync::Arc;

use clampbook::correction::{stored_rows, with_lubes};
use clampbook::quantity::{Extent, Length, Stated, Stress, find_unit};
use clampbook::query::run::Answer;
use clampbook::record::{
    Band, Basis, Bottom, Fastener, Joint, Kind, Lube, LubeClass, Method, Pass, Reuse, Row, Setting,
    Source, SourceKind, StrengthClass, StrengthRow, Tables, Turned, Wet,
};
use clampbook::thread::Thread;

/// A lube with a nut factor.
pub fn lube(name: &str, class: LubeClass, k: Option<(f64, f64, f64)>) -> Lube {
    Lube {
        name: name.to_owned(),
        aliases: Vec::new(),
        class,
        k: k.map(|(low, nominal, high)| Band::new(low, nominal, high).unwrap()),
        mu_thread: None,
        mu_bearing: None,
        convertible: k.is_some(),
        what: None,
        source: Some("common practice, no source".to_owned()),
    }
}

/// Five lubes and one strength. The factors are common practice, the strength
/// is SAE J429 grade 8 as reprinted.
pub fn tables() -> Tables {
    let ksi = |value: f64| Some(Stress::from_mpa(value * 6.894_757_293));
    Tables {
        lubes: vec![
            lube("moly", LubeClass::Wet, Some((0.09, 0.12, 0.16))),
            lube("oil", LubeClass::Wet, Some((0.13, 0.15, 0.21))),
            lube("anti-seize", LubeClass::Wet, Some((0.10, 0.14, 0.18))),
            lube("dry", LubeClass::Dry, Some((0.16, 0.20, 0.30))),
            lube("sealant", LubeClass::Sealant, None),
        ],
        strengths: vec![StrengthClass {
            name: "SAE 8".to_owned(),
            aliases: vec!["grade 8".to_owned()],
            rows: vec![StrengthRow {
                from: Length::from_mm(6.35),
                above: false,
                to: Length::from_mm(38.1),
                proof: ksi(120.0),
                yield_: ksi(130.0),
                tensile: ksi(150.0),
            }],
            unit: find_unit("ksi").unwrap(),
            source: "SAE J429, secondary table".to_owned(),
            material: Some(clampbook::record::Material::Steel),
        }],
    }
}

fn source(page: &str) -> Source {
    Source {
        title: Some("Marlow 6 head set sheet".to_owned()),
        page: Some(page.to_owned()),
        revision: Some("C".to_owned()),
        date: None,
        kind: Some(SourceKind::Maker),
    }
}

/// A listed torque with one lube.
pub fn listed(lube: &str, torque: &str) -> Setting {
    let mut setting = Setting::new(Method::Torque, Basis::Listed);
    setting.lube = Some(lube.to_owned());
    setting.torque = Some(Extent::parse(torque).unwrap());
    setting.source = source("1");
    setting
}

fn joint() -> Joint {
    Joint::named("Marlow 6", "head")
}

/// A stud with a weaker hole end, yield 180 ksi from the sheet.
pub fn stud() -> Arc<Fastener> {
    let mut stud = Fastener::new(joint(), "stud, long");
    stud.kind = Some(Kind::Stud);
    stud.turned = Some(Turned::Nut);
    stud.count = Some(14);
    stud.thread = Some(Thread::parse("7/16-20").unwrap());
    stud.hole_thread = Some(Thread::parse("7/16-14").unwrap());
    stud.length = Some(Stated::parse("5.25 in").unwrap());
    stud.strength.yield_ = Some(Stated::parse("180 ksi").unwrap());
    stud.wet = Some(Wet::Coolant);
    stud.sealant = Some("sealant".to_owned());
    stud.reuse = Some(Reuse::Reusable);
    let mut moly = listed("moly", "66 lb-ft");
    let passes = ["20 lb-ft", "36 lb-ft", "52 lb-ft", "66 lb-ft"];
    moly.passes = passes.map(|t| Pass::parse(t).unwrap()).to_vec();
    stud.settings = vec![moly, listed("oil", "82 lb-ft")];
    Arc::new(stud)
}

/// A bolt listed dry, in a blind hole.
pub fn short_bolt() -> Arc<Fastener> {
    let mut bolt = Fastener::new(joint(), "bolt, short");
    bolt.kind = Some(Kind::Bolt);
    bolt.count = Some(4);
    bolt.thread = Some(Thread::parse("3/8-16").unwrap());
    bolt.length = Some(Stated::parse("2.50 in").unwrap());
    bolt.strength.name = Some("SAE 8".to_owned());
    bolt.bottom = Some(Bottom::Blind);
    bolt.reuse = Some(Reuse::Reusable);
    bolt.finish = Some("plain".to_owned());
    bolt.settings = vec![listed("dry", "44 lb-ft")];
    Arc::new(bolt)
}

/// A bolt tightened by angle and thrown away.
pub fn front_bolt() -> Arc<Fastener> {
    let mut bolt = Fastener::new(joint(), "bolt, front");
    bolt.kind = Some(Kind::Bolt);
    bolt.count = Some(2);
    bolt.thread = Some(Thread::parse("M10x1.5").unwrap());
    bolt.reuse = Some(Reuse::SingleUse);
    let mut setting = Setting::new(Method::TorqueAngle, Basis::Listed);
    setting.lube = Some("oil".to_owned());
    setting.snug = Some(Stated::parse("22 lb-ft").unwrap());
    setting.angles = vec![Stated::parse("90°").unwrap(); 2];
    setting.source = source("2");
    bolt.settings = vec![setting];
    Arc::new(bolt)
}

/// Rows of `fastener` for the lubes named, listed, computed or refused.
pub fn with(fastener: &Arc<Fastener>, lubes: &[&str]) -> Vec<Row> {
    let tables = tables();
    let lubes: Vec<&Lube> = lubes.iter().map(|name| tables.lube(name).unwrap()).collect();
    let settings: Vec<&Setting> = fastener.settings.iter().collect();
    with_lubes(fastener, &settings, &lubes, &tables)
}

/// Every stored row of `fastener`.
pub fn stored(fastener: &Arc<Fastener>) -> Vec<Row> {
    let every: Vec<usize> = (0..fastener.settings.len()).collect();
    stored_rows(fastener, &every, &tables())
}

/// `head with moly, oil, dry`, the refusals of the two bolts left out.
pub fn head_answer() -> Answer {
    let mut rows = with(&stud(), &["moly", "oil", "dry"]);
    rows.extend(with(&short_bolt(), &["oil"]));
    rows.extend(with(&front_bolt(), &["oil"]));
    Answer { rows, read: 5, took: std::time::Duration::from_micros(42), ..Answer::default() }
}

/// Columns that `text` takes, as a terminal counts them.
pub fn width(text: &str) -> usize {
    unicode_width::UnicodeWidthStr::width(text)
}

/// Fails if a line of `text` is wider than `limit`.
pub fn assert_fits(text: &str, limit: usize) {
    for line in text.lines() {
        assert!(width(line) <= limit, "{} columns, at most {limit}: {line}", width(line));
    }
}
