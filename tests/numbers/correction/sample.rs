//! Invented fasteners and lubes for the tests of restated values.
//!
//! Nut factors: dry 0.20, oil 0.15, moly 0.12 with their ranges are common
//! practice (no single published set agrees). Strengths: SAE J429 and ISO 898-1.

use std::sync::Arc;

use clampbook::quantity::{Extent, Length, Stated, Stress, find_unit};
use clampbook::record::{
    Band, Basis, Fastener, Joint, Lube, LubeClass, Method, Setting, StrengthClass, StrengthRow,
    Tables,
};
use clampbook::thread::Thread;

/// A lube with a nut factor only.
pub(crate) fn lube(name: &str, class: LubeClass, k: [f64; 3]) -> Lube {
    Lube {
        name: name.to_owned(),
        aliases: Vec::new(),
        class,
        k: Band::new(k[0], k[1], k[2]),
        mu_thread: None,
        mu_bearing: None,
        convertible: true,
        what: None,
        source: Some("invented for a test".to_owned()),
    }
}

/// A lube with coefficients of friction only, the same in thread and face.
pub(crate) fn mu_lube(name: &str, mu: [f64; 3]) -> Lube {
    let band = Band::new(mu[0], mu[1], mu[2]);
    let lube = lube(name, LubeClass::Wet, [0.1, 0.1, 0.1]);
    Lube { k: None, mu_thread: band, mu_bearing: band, ..lube }
}

fn without_factor(name: &str, class: LubeClass) -> Lube {
    let lube = lube(name, class, [0.1, 0.1, 0.1]);
    Lube { k: None, ..lube }
}

pub(crate) fn tables() -> Tables {
    let mut oil = lube("oil", LubeClass::Wet, [0.13, 0.15, 0.21]);
    oil.aliases = vec!["engine oil".to_owned()];
    let mut zinc = lube("zinc plated dry", LubeClass::Coating, [0.17, 0.22, 0.35]);
    zinc.aliases = vec!["zinc plated".to_owned()];
    let zinc_oiled = lube("zinc plated oiled", LubeClass::Coating, [0.13, 0.17, 0.23]);
    let fixed = Lube { convertible: false, ..lube("own paste", LubeClass::Wet, [0.1, 0.12, 0.15]) };
    let unsourced = Lube { source: None, ..lube("rumour", LubeClass::Wet, [0.1, 0.12, 0.15]) };
    Tables {
        lubes: vec![
            lube("dry", LubeClass::Dry, [0.16, 0.20, 0.30]),
            oil,
            lube("moly", LubeClass::Wet, [0.09, 0.12, 0.16]),
            lube("anti-seize", LubeClass::Wet, [0.10, 0.14, 0.18]),
            lube("grease", LubeClass::Wet, [0.10, 0.16, 0.22]),
            mu_lube("mu low", [0.08, 0.10, 0.12]),
            mu_lube("mu high", [0.14, 0.16, 0.18]),
            mu_lube("mu rough", [0.28, 0.30, 0.32]),
            zinc,
            zinc_oiled,
            fixed,
            unsourced,
            without_factor("mystery", LubeClass::Wet),
            without_factor("threadlocker", LubeClass::Threadlocker),
            without_factor("sealant", LubeClass::Sealant),
        ],
        strengths: vec![
            // SAE J429 grade 8 (read second-hand): 120/130/150 ksi.
            class("SAE 8", [120.0, 130.0, 150.0], "ksi"),
            // ISO 898-1 (read second-hand): 830/940/1040 MPa.
            class("10.9", [830.0, 940.0, 1040.0], "MPa"),
            class("A2-70", [210.0, 450.0, 700.0], "MPa"),
        ],
    }
}

fn class(name: &str, [proof, yields, tensile]: [f64; 3], unit: &'static str) -> StrengthClass {
    let unit = find_unit(unit).unwrap();
    let stress = |number: f64| Some(Stress::from_mpa(number * unit.factor));
    StrengthClass {
        name: name.to_owned(),
        aliases: Vec::new(),
        rows: vec![StrengthRow {
            from: Length::from_mm(1.0),
            above: false,
            to: Length::from_mm(40.0),
            proof: stress(proof),
            yield_: stress(yields),
            tensile: stress(tensile),
        }],
        unit,
        source: "standard, read second-hand".to_owned(),
        material: None,
    }
}

/// A plain torque setting; `torque` as a sheet writes it.
pub(crate) fn setting(lube: &str, torque: &str) -> Setting {
    let mut setting = Setting::new(Method::Torque, Basis::Listed);
    setting.lube = Some(lube.to_owned());
    setting.torque = Some(Extent::parse(torque).unwrap());
    setting.source.title = Some("Marlow 6 head set sheet".to_owned());
    setting.source.page = Some("1".to_owned());
    setting
}

pub(crate) fn bolt(thread: &str, settings: Vec<Setting>) -> Fastener {
    let mut fastener = Fastener::new(Joint::named("Marlow 6", "head"), "bolt");
    fastener.thread = Some(Thread::parse(thread).unwrap());
    fastener.settings = settings;
    fastener
}

/// 3/8-16, SAE grade 8, plain, 44 lb-ft dry.
pub(crate) fn dry_bolt() -> Fastener {
    let mut bolt = bolt("3/8-16", vec![setting("dry", "44 lb-ft")]);
    bolt.strength.name = Some("SAE 8".to_owned());
    bolt.finish = Some("plain".to_owned());
    bolt
}

/// 7/16-20 at the nut, 7/16-14 in the block, yield 180 ksi and no proof stated.
pub(crate) fn head_stud(settings: Vec<Setting>) -> Fastener {
    let mut stud = bolt("7/16-20", settings);
    stud.hole_thread = Some(Thread::parse("7/16-14").unwrap());
    stud.strength.yield_ = Some(Stated::parse("180 ksi").unwrap());
    stud
}

pub(crate) fn shared(fastener: Fastener) -> Arc<Fastener> {
    Arc::new(fastener)
}
