//! Invented fasteners for the tests: one with every field filled, and as many
//! different ones as a test asks for.

#![allow(dead_code, clippy::unnecessary_wraps)] // each group uses its part

use clampbook::quantity::{Extent, Length, Stress, Torque, find_unit};
use clampbook::record::{
    Band, Basis, Bearing, Bottom, Duty, Fastener, Joint, Kind, Lube, LubeClass, Method, Owner,
    Pass, Prevailing, Reuse, Setting, Source, SourceKind, Strength, StrengthClass, StrengthRow,
    Turned, Wet, stored_fields,
};
use clampbook::thread::Thread;

use crate::made::made;

fn text(words: &str) -> Option<String> {
    Some(words.to_owned())
}

macro_rules! stated {
    ($text:literal) => {
        Some(clampbook::quantity::Stated::parse($text).unwrap())
    };
}

/// A fastener with one setting in which every field of the table is stated.
fn stated_by_the_table() -> Fastener {
    let mut fastener = Fastener::new(Joint::named("Marlow 6", "Head"), "stud, long");
    let mut setting = Setting::new(Method::Torque, Basis::Listed);
    for field in stored_fields() {
        let text = made(field);
        let set = match field.owner {
            Owner::Joint => field.set(&mut fastener.joint, &text),
            Owner::Fastener => field.set(&mut fastener, &text),
            Owner::Setting | Owner::Alone => field.set(&mut setting, &text),
        };
        set.unwrap_or_else(|error| panic!("{}: {text}: {error}", field.name));
    }
    fastener.settings = vec![setting];
    fastener
}

/// A fastener in which everything is stated.
pub(crate) fn full() -> Fastener {
    stated_on(stated_by_the_table())
}

/// A setting in which everything is stated.
pub(crate) fn full_setting() -> Setting {
    full().settings.swap_remove(0)
}

/// The fastener of the books that are kept of each form: it states what there was to
/// state when they were made.
pub(crate) fn of_the_fixtures() -> Fastener {
    let mut blank = Fastener::new(Joint::named("", ""), "");
    blank.settings.push(Setting::new(Method::Torque, Basis::Listed));
    stated_on(blank)
}

#[allow(
    unused_variables,
    clippy::needless_update,
    reason = "a member that comes later is that of the base"
)]
fn setting_stated_on(base: Setting) -> Setting {
    Setting {
        lube: text("moly"),
        face_lube: text("engine oil"),
        method: Method::TorqueAngle,
        torque: Some(Extent::parse("65..70.5 lb-ft").unwrap()),
        snug: stated!("22 lb-ft"),
        angles: ["90°", "45°"].map(|a| clampbook::quantity::Stated::parse(a).unwrap()).to_vec(),
        stretch: Some(Extent::parse("0.0055..0.0060 in").unwrap()),
        passes: ["25 lb-ft", "60 %", "+90°", "snug"].map(|p| Pass::parse(p).unwrap()).to_vec(),
        cycles: Some(3),
        tolerance: stated!("4 %"),
        this_lube_only: true,
        retorque: text("hot, after 20 min; back off ¼ turn"),
        recheck: text("after 500 miles"),
        basis: Basis::Listed,
        source: Source {
            title: text("Sheet \"Marlow 6\", heads"),
            page: text("3"),
            revision: text("B"),
            date: Some("1994-02-28".parse().unwrap()),
            kind: Some(SourceKind::Maker),
        },
        entered_on: Some("2025-11-25".parse().unwrap()),
        entered_by: text("jo"),
        checked_by: text("sam"),
        supersedes: text("marlow-6-head-stud-long/moly"),
        superseded: true,
        warnings: vec!["Never dry.".to_owned(), "µ, °, 漢!".to_owned()],
        ..base
    }
}

/// `base`, whose first setting is the base of the first one here.
#[allow(clippy::needless_update, reason = "a member that comes later is that of the base")]
fn stated_on(mut base: Fastener) -> Fastener {
    let setting = setting_stated_on(base.settings.remove(0));
    Fastener {
        key: "marlow-6-head-stud-long".to_owned(),
        joint: Joint {
            assembly: "Marlow 6".to_owned(),
            name: "Head".to_owned(),
            duty: Some(Duty::Engine),
            gasket: text("copper, once"),
            machining: text("torque plate"),
            place: Some(4),
            layout: text("head 14"),
            order: text("1 5 2 6 3 7 4 8"),
            ..base.joint
        },
        part: "stud, long".to_owned(),
        kind: Some(Kind::Stud),
        part_number: text("S-1041"),
        count: Some(14),
        positions: text("1-8, 11"),
        group: text("inner"),
        after_group: text("dowels"),
        thread: Some(Thread::parse("7/16-20 LH").unwrap()),
        hole_thread: Some(Thread::parse("7/16-14 UNC-2A").unwrap()),
        hole_end_lube: text("sealant"),
        hole_end_fitting: text("finger-snug"),
        turned: Some(Turned::Nut),
        strength: Strength {
            name: text("180 ksi alloy"),
            proof: stated!("165 ksi"),
            yield_: stated!("180 ksi"),
            tensile: stated!("1310 MPa"),
        },
        finish: text("black oxide"),
        waist: stated!("0.375 in"),
        length: stated!("3-1/2 in"),
        grip: stated!("2.75 in"),
        engagement: stated!("7/8 in"),
        hole_depth: stated!("1.25 in"),
        hole_material: text("cast iron"),
        insert: Some(false),
        head: text("12-point"),
        drive: text("5/8"),
        seat: text("flat"),
        bearing: Some(Bearing {
            outer: stated!("0.72 in").unwrap(),
            hole: stated!("11.5 mm").unwrap(),
        }),
        bottom: Some(Bottom::Blind),
        wet: Some(Wet::Coolant),
        sealant: text("pipe sealant"),
        washer: text("chamfer up"),
        reuse: Some(Reuse::FreeLength(stated!("88.9 mm").unwrap())),
        prevailing: stated!("4.5 N·m"),
        prevailing_rule: Some(Prevailing::ToAdd),
        tags: vec!["race".to_owned(), "№ 7".to_owned()],
        notes: text("line one\nline two\t\"quoted\", comma"),
        verbatim: text("70 FT LBS W/ MOLY"),
        settings: vec![setting, Setting::new(Method::Stretch, Basis::Chart)],
        ..base
    }
}

/// A lube in which everything is stated.
pub(crate) fn full_lube() -> Lube {
    Lube {
        name: "moly".to_owned(),
        aliases: vec!["Moly paste".to_owned(), "disulfide".to_owned()],
        class: LubeClass::Wet,
        k: Band::new(0.09, 0.12, 0.16),
        mu_thread: Band::new(0.07, 0.1, 0.13),
        mu_bearing: Band::new(0.06, 0.1, 1.0 / 7.0),
        convertible: true,
        what: text("molybdenum disulfide paste"),
        source: text("shop tests"),
    }
}

/// A strength in which everything is stated; figures not exact in decimals.
pub(crate) fn full_strength() -> StrengthClass {
    let psi = |psi: f64| Some(Stress::from_mpa(psi * 0.006_894_757_293_168_361));
    StrengthClass {
        name: "SAE 8".to_owned(),
        aliases: vec!["grade 8".to_owned()],
        rows: vec![StrengthRow {
            from: Length::from_mm(6.35),
            above: true,
            to: Length::from_mm(38.1),
            proof: psi(120_000.0),
            yield_: psi(130_000.0),
            tensile: psi(150_000.0),
        }],
        unit: find_unit("psi").unwrap(),
        source: "invented".to_owned(),
        material: Some(clampbook::record::Material::Steel),
    }
}

/// Threads, lubes and words that the numbered fasteners take in turn.
pub(crate) const THREADS: [&str; 8] =
    ["M10x1.5", "M10x1.25", "M12x1.75", "7/16-20", "7/16-14", "1/2-20", "3/8-16", "M8x1.25"];
const LUBES: [&str; 5] = ["moly", "Engine Oil", "dry", "anti-seize", "Moly paste"];
const JOINTS: [&str; 5] = ["head", "main", "rod", "oil pan", "flywheel"];
const PARTS: [&str; 4] = ["bolt, short", "stud long", "bolt front", "12-point screw"];

/// Invented fastener number `n`; numbers give different ones, always the same.
pub(crate) fn numbered(n: u64) -> Fastener {
    // A fixed mixing of the number (splitmix64), so that fields vary freely.
    let mix = |salt: u64| {
        let mut z = (n + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ salt.wrapping_mul(0xbf58_476d);
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) as usize
    };
    let pick = |list: &[&str], salt: u64| list[mix(salt) % list.len()].to_owned();
    let joint = Joint::named(format!("Marlow {}", mix(1) % 40), pick(&JOINTS, 2));
    let mut fastener = Fastener::new(joint, pick(&PARTS, 3));
    fastener.key = format!("{}-{n}", fastener.key);
    if !mix(4).is_multiple_of(9) {
        fastener.thread = Thread::parse(&pick(&THREADS, 5)).ok();
    }
    if mix(6).is_multiple_of(3) {
        fastener.hole_thread = Thread::parse(&pick(&THREADS, 7)).ok();
    }
    if !mix(8).is_multiple_of(4) {
        fastener.strength.name = Some(pick(&["10.9", "SAE 8", "grade 8", "12.9"], 9));
    }
    fastener.notes = (mix(10).is_multiple_of(2))
        .then(|| format!("seen by the oil gallery, lot {}", mix(11) % 500));
    fastener.tags =
        (0..mix(12) % 3).map(|tag| pick(&["race", "street", "№ 7"], 20 + tag as u64)).collect();
    fastener.settings = (0..mix(13) % 3).map(|at| setting(&mix, at as u64)).collect();
    fastener
}

fn setting(mix: &dyn Fn(u64) -> usize, at: u64) -> Setting {
    let mut setting = Setting::new(Method::Torque, Basis::Listed);
    let salt = 40 + at * 10;
    if !mix(salt).is_multiple_of(7) {
        setting.lube = Some(LUBES[mix(salt + 1) % LUBES.len()].to_owned());
    }
    let low = mix(salt + 2) % 120 + 5;
    let unit = ["lb-ft", "N·m"][mix(salt + 3) % 2];
    let torque = match mix(salt + 4) % 10 {
        0 => return setting,
        1 => format!("{low}..{} {unit}", low + 1 + mix(salt + 5) % 60),
        2 => format!("max {low} {unit}"),
        _ => format!("{low} {unit}"),
    };
    setting.torque = Some(Extent::<Torque>::parse(&torque).unwrap());
    setting.source.title = Some(format!("Sheet {}", mix(salt + 6) % 90));
    setting.source.page = Some("2".to_owned());
    setting
}
