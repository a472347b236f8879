//! Which figures are computed at all: in the demo, in a book of unknown words,
//! and in twenty plain cases that a book must still answer.

use std::fmt::Write as _;
use std::sync::Arc;

use crate::held::Held;
use clampbook::correction::with_lubes;
use clampbook::intake::reference::{read_lubes, read_strengths};
use clampbook::intake::{Options, read_any, take};
use clampbook::quantity::{Extent, Stated};
use clampbook::record::{
    Basis, Duty, Fastener, Joint, Kind, Lube, Method, Reuse, Row, Setting, Tables,
};
use clampbook::thread::Thread;

pub(super) fn tables() -> Tables {
    let lubes = include_bytes!("../../../seed-data/lubes.csv");
    let strengths = include_bytes!("../../../seed-data/strengths.csv");
    Tables {
        lubes: read_lubes(lubes, "lubes.csv").unwrap().records,
        strengths: read_strengths(strengths, "strengths.csv").unwrap().records,
    }
}

fn demo(tables: &Tables) -> Vec<Arc<Fastener>> {
    let bytes = include_bytes!("../../../seed-data/demo.csv");
    let sheet = read_any(bytes, "demo.csv", &Options::default()).unwrap();
    let held = Held::new(Vec::new());
    let report = take(&sheet, tables, &Options::default(), &held).unwrap();
    report.fasteners.into_iter().map(Arc::new).collect()
}

/// A bolt of which a sheet states thread, grade, lube and torque.
pub(super) fn plain(
    part: &str,
    thread: &str,
    strength: &str,
    lube: &str,
    torque: &str,
) -> Fastener {
    let mut setting = Setting::new(Method::Torque, Basis::Listed);
    setting.lube = Some(lube.to_owned());
    setting.torque = Some(Extent::parse(torque).unwrap());
    setting.source.title = Some("Quarrel 3 sheet".to_owned());
    setting.source.page = Some("1".to_owned());
    let mut bolt = Fastener::new(Joint::named("Quarrel 3", "cover"), part);
    bolt.kind = Some(Kind::Bolt);
    bolt.thread = Some(Thread::parse(thread).unwrap());
    if !strength.is_empty() {
        bolt.strength.name = Some(strength.to_owned());
    }
    bolt.settings = vec![setting];
    bolt
}

/// What every lube of the book gives for `fastener`, listed rows left out.
fn restated(fastener: &Arc<Fastener>, tables: &Tables) -> Vec<Row> {
    let settings: Vec<&Setting> = fastener.settings.iter().collect();
    let lubes: Vec<&Lube> = tables.lubes.iter().collect();
    let rows = with_lubes(fastener, &settings, &lubes, tables);
    rows.into_iter().filter(|row| row.setting.basis == Basis::Computed).collect()
}

/// One line for each fastener of which something is computed, with how many are
/// not, so that a person can read it in a minute.
fn computed(book: &[Arc<Fastener>], tables: &Tables) -> String {
    let mut text = String::new();
    let mut none = 0;
    for fastener in book {
        let rows = restated(fastener, tables);
        let figure = |row: &Row| {
            let torque = row.setting.torque?;
            let number = torque.high().nm() / torque.unit().factor;
            Some(format!("{} {number:.1}", row.setting.lube.as_deref()?))
        };
        let figures: Vec<String> =
            rows.iter().filter(|row| row.refused.is_none()).filter_map(figure).collect();
        if figures.is_empty() {
            none += 1;
            continue;
        }
        let from: Vec<String> = fastener
            .settings
            .iter()
            .map(|one| format!("{} {}", one.lube.as_deref().unwrap_or("-"), one.in_words()))
            .collect();
        let joint = &fastener.joint.name;
        let (part, from) = (&fastener.part, from.join(" | "));
        writeln!(text, "{joint} / {part}: {from} => {}", figures.join(", ")).unwrap();
    }
    write!(text, "nothing computed for {none} others").unwrap();
    text
}

/// The demo: what is still computed. Every line was looked at: plain steel,
/// reusable, of no duty with a procedure of its own, one listed value a lube.
#[test]
fn what_the_demo_still_computes() {
    let tables = tables();
    insta::with_settings!({prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!("engineer_demo", computed(&demo(&tables), &tables));
    });
}

/// Fifty fasteners of an invented book: each differs from a plain bolt in one
/// field, by words that the tables do not know or that forbid it. None has a
/// computed figure, and the reason names the word.
#[test]
fn nothing_is_computed_where_a_word_is_not_known_or_forbids_it() {
    type Change = fn(&mut Fastener, &str);
    let fields: [(Change, &[&str]); 7] = [
        (
            |f, word| f.hole_material = Some(word.to_owned()),
            &[
                "light alloy",
                "magnesium",
                "A356",
                "nylon",
                "AZ91",
                "unobtainium",
                "Leichtmetall",
                "alliage léger",
                "steel with zirconia sleeve",
                "hardwood",
            ],
        ),
        (
            |f, word| f.strength.name = Some(word.to_owned()),
            &[
                "brass",
                "A4-70",
                "Ti-6Al-4V",
                "nylon 66",
                "7075-T6",
                "silicon bronze",
                "Strongarm 220",
                "Inconel 718",
                "stainless 316",
                "superbolt",
            ],
        ),
        (
            |f, word| f.finish = Some(word.to_owned()),
            &[
                "black oxide",
                "Glidekote",
                "zinc flake",
                "feuerverzinkt",
                "cadmium",
                "nickel plated",
                "brüniert",
                "zingué",
                "phosphatiert",
                "secret sauce",
                "zinc plated + wax",
            ],
        ),
        (
            |f, word| f.part = word.to_owned(),
            &[
                "wheel nut",
                "lug nut",
                "hub bolt",
                "Radmutter",
                "brake caliper bolt",
                "drain plug",
                "lifting eye",
                "écrou de roue",
            ],
        ),
        (
            |f, word| f.joint.name = word.to_owned(),
            &["steering ball", "tie rod end", "Zündkerze", "bulón de rueda", "Bremssattel"],
        ),
        (
            |f, word| f.notes = Some(word.to_owned()),
            &["new each time", "Replace after removal", "nicht wiederverwenden", "usage unique"],
        ),
        (|f, word| f.verbatim = Some(word.to_owned()), &["Fit new bolts.", "sostituire sempre"]),
    ];
    let tables = tables();
    let mut count = 0;
    for (change, words) in fields {
        for word in words {
            count += 1;
            let mut bolt = plain("bolt, cover", "M10x1.5", "8.8", "oil", "30 N·m");
            change(&mut bolt, word);
            let bolt = Arc::new(bolt);
            let rows = restated(&bolt, &tables);
            let figures: Vec<_> = rows.iter().filter(|row| row.refused.is_none()).collect();
            assert!(figures.is_empty(), "{word}: {figures:?}");
            let moly = rows.iter().find(|row| row.setting.lube.as_deref() == Some("moly"));
            assert!(moly.unwrap().refused.is_some(), "{word}");
        }
    }
    assert_eq!(count, 50);
}

/// What the record states, not in words: each of these forbids it too.
#[test]
fn nothing_is_computed_where_a_stated_fact_forbids_it() {
    let cases: [(&str, fn(&mut Fastener)); 14] = [
        ("single use", |f| f.reuse = Some(Reuse::SingleUse)),
        ("pressure", |f| f.joint.duty = Some(Duty::Pressure)),
        ("lifting", |f| f.joint.duty = Some(Duty::Lifting)),
        ("plug", |f| f.kind = Some(Kind::Plug)),
        ("wire insert", |f| f.insert = Some(true)),
        ("chart", |f| f.settings[0].basis = Basis::Chart),
        ("maximum", |f| f.settings[0].torque = Some(Extent::parse("max 30 N·m").unwrap())),
        // 46 N·m oiled is 31 kN or 91 % of the proof of M10 8.8 (58 mm², 580 MPa).
        ("near proof", |f| f.settings[0].torque = Some(Extent::parse("30..46 N·m").unwrap())),
        ("this lube only", |f| f.settings[0].this_lube_only = true),
        ("dry, finish not stated", |f| f.settings[0].lube = Some("dry".to_owned())),
        ("zinc dry, finish not stated", |f| {
            f.settings[0].lube = Some("zinc plated dry".to_owned());
        }),
        ("two values", |f| {
            let mut other = f.settings[0].clone();
            other.torque = Some(Extent::parse("33 N·m").unwrap());
            f.settings.push(other);
        }),
        ("governed by stretch", |f| {
            let mut stretch = f.settings[0].clone();
            stretch.method = Method::Stretch;
            stretch.stretch = Some(Extent::parse("0.10..0.12 mm").unwrap());
            f.settings.push(stretch);
        }),
        ("governed by angle", |f| {
            let mut angle = f.settings[0].clone();
            angle.method = Method::TorqueAngle;
            angle.angles = vec![Stated::parse("90°").unwrap()];
            f.settings.push(angle);
        }),
    ];
    let tables = tables();
    for (name, change) in cases {
        let mut bolt = plain("bolt, cover", "M10x1.5", "8.8", "oil", "30 N·m");
        change(&mut bolt);
        let rows = restated(&Arc::new(bolt), &tables);
        assert!(rows.iter().all(|row| row.refused.is_some()), "{name}: {rows:?}");
    }
}

/// Twenty plain cases: sheets that state thread, grade, wet lube and torque, and
/// those that add what a careful shop states. A book that refuses everything is
/// no use either. T2 = T1·K2/K1, worked by hand with the book's own K: oil .15,
/// moly .12, grease .16, anti-seize .14, dry .20, zinc dry .22, zinc oiled .17.
#[test]
fn twenty_plain_cases_are_computed() {
    let stated = |mut bolt: Fastener, finish: &str, hole: &str| {
        let text = |text: &str| (!text.is_empty()).then(|| text.to_owned());
        (bolt.finish, bolt.hole_material) = (text(finish), text(hole));
        bolt
    };
    let wet = |thread, strength, lube, torque| plain("bolt, cover", thread, strength, lube, torque);
    let cases = vec![
        (wet("M6x1.0", "8.8", "oil", "7 N·m"), "moly", 5.6),
        (wet("M8x1.25", "8.8", "oil", "18 N·m"), "moly", 14.4),
        (wet("M10x1.5", "8.8", "oil", "35 N·m"), "anti-seize", 32.67),
        (wet("M10x1.5", "10.9", "oil", "50 N·m"), "moly", 40.0),
        (wet("M12x1.75", "10.9", "moly", "70 N·m"), "oil", 87.5),
        (wet("M16x2", "8.8", "grease", "150 N·m"), "oil", 140.63),
        (wet("1/4-20", "SAE 5", "oil", "68 lb-in"), "moly", 54.4),
        (wet("5/16-18", "SAE 8", "oil", "15 lb-ft"), "grease", 16.0),
        (wet("3/8-16", "SAE 8", "oil", "30 lb-ft"), "moly", 24.0),
        (wet("3/8-24", "SAE 5", "moly", "20 lb-ft"), "oil", 25.0),
        (wet("7/16-14", "SAE 8", "oil", "48 lb-ft"), "anti-seize", 44.8),
        (wet("7/16-20", "SAE 8", "moly", "40 lb-ft"), "oil", 50.0),
        (wet("1/2-13", "SAE 8", "oil", "75 lb-ft"), "moly", 60.0),
        (wet("1/2-20", "SAE 8", "grease", "80 lb-ft"), "moly", 60.0),
        // Nothing said of the grade: between wet lubes, remarked.
        (wet("M10x1.5", "", "oil", "30 N·m"), "moly", 24.0),
        // A range keeps both ends.
        (wet("M8x1.25", "10.9", "oil", "20..24 N·m"), "moly", 19.2),
        // What a careful shop states: plain, in iron or steel; then dry goes too.
        (stated(wet("M10x1.5", "8.8", "dry", "45 N·m"), "plain", "cast iron"), "oil", 33.75),
        (stated(wet("3/8-16", "SAE 8", "dry", "40 lb-ft"), "bare", "mild steel"), "moly", 24.0),
        (stated(wet("M12x1.75", "8.8", "oil", "60 N·m"), "", "Grauguss"), "moly", 48.0),
        // Two factors of one stated finish.
        (
            stated(wet("M10x1.5", "8.8", "zinc plated dry", "44 N·m"), "zinc plated", ""),
            "zinc plated oiled",
            34.0,
        ),
    ];
    assert_eq!(cases.len(), 20);
    let tables = tables();
    for (bolt, lube, wanted) in cases {
        let words = format!("{} {}", bolt.part, bolt.settings[0].in_words());
        let bolt = Arc::new(bolt);
        let rows = restated(&bolt, &tables);
        let row = rows.iter().find(|row| row.setting.lube.as_deref() == Some(lube)).unwrap();
        assert_eq!(row.refused, None, "{words} with {lube}");
        let torque = row.setting.torque.unwrap();
        let number = torque.high().nm() / torque.unit().factor;
        assert!((number - wanted).abs() < 0.01, "{words} with {lube}: {number} {wanted}");
    }
}

/// A stainless screw: no clamp by steel's K, and what the book has for stainless.
#[test]
fn steel_factors_stay_with_steel() {
    let tables = tables();
    let clamp = |strength: &str, lube: &str| {
        let bolt = plain("screw, plate", "M8x1.25", strength, lube, "12 N·m");
        clampbook::record::derive(&bolt, &bolt.settings[0], &tables)
    };
    let steel_dry = clamp("A2-70", "dry");
    assert!(steel_dry.clamp.is_none(), "{steel_dry:?}");
    assert!(steel_dry.no_clamp.unwrap().contains("stainless"));
    // The book's own factor for stainless, K .40: 12/(.40·.008) = 3.75 kN.
    let own = clamp("A2-70", "stainless dry").clamp.unwrap();
    assert!((own.nominal.n() - 3750.0).abs() < 1.0, "{own:?}");
    assert!(clamp("8.8", "dry").clamp.is_some());
    let refused = super::support::json(&[
        "calc",
        "M10x1.5",
        "--strength",
        "A4-70",
        "--lube",
        "moly",
        "--target",
        "75% yield",
    ]);
    assert!(refused["refused"].as_str().unwrap().contains("--k or --mu"), "{refused}");
    let given = super::support::json(&[
        "calc",
        "M10x1.5",
        "--strength",
        "A4-70",
        "--mu",
        "0.12",
        "--target",
        "75% yield",
    ]);
    assert!(given["torque_nm"].is_f64(), "{given}");
}

/// The block of wrong lubes on a zinc plated bolt speaks of zinc, never of plain
/// oil, and of no class of friction.
#[test]
fn a_wrong_lube_has_the_factor_of_the_finish() {
    let tables = tables();
    let mut bolt = plain("bolt, foot", "M12x1.75", "8.8", "zinc plated dry", "80 N·m");
    bolt.finish = Some("zinc plated".to_owned());
    let bolt = Arc::new(bolt);
    let settings: Vec<&Setting> = bolt.settings.iter().collect();
    let compared = clampbook::correction::compare(&bolt, &settings, &tables);
    let on: Vec<&str> = compared.wrong.iter().map(|wrong| wrong.on_the_bolt.as_str()).collect();
    assert_eq!(on, ["zinc plated oiled"]);
    // .22 over .17 is 1.29 of the clamp that was meant.
    let wrong = &compared.wrong[0];
    assert!((wrong.clamp / wrong.meant - 0.22 / 0.17).abs() < 1e-9);
}
