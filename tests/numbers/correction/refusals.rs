//! One test for each kind of refusal, with its words.

use clampbook::correction::{Refusal, restate, target_torque};
use clampbook::mechanics::Target;
use clampbook::quantity::{Ratio, Stated, find_unit};
use clampbook::record::{Basis, Bearing, Duty, Fastener, Kind, Method, Prevailing, Reuse, Row};
use clampbook::thread::Thread;

use super::sample::{bolt, dry_bolt, head_stud, setting, shared, tables};

/// The first setting of `fastener` restated for `lube`.
fn restated(fastener: Fastener, lube: &str) -> Result<Row, Refusal> {
    let tables = tables();
    let fastener = shared(fastener);
    restate(&fastener, &fastener.settings[0], tables.lube(lube).unwrap(), &tables)
}

fn refused(fastener: Fastener, lube: &str) -> (Refusal, String) {
    let refusal = restated(fastener, lube).unwrap_err();
    let words = refusal.to_string();
    (refusal, words)
}

fn assert_refused(fastener: Fastener, lube: &str, kind: Refusal, words: &str) {
    assert_eq!(refused(fastener, lube), (kind, words.to_owned()));
}

/// The dry bolt, which may be restated for oil, with one thing changed.
fn changed(change: impl FnOnce(&mut Fastener)) -> Fastener {
    let mut fastener = dry_bolt();
    assert!(restated(fastener.clone(), "oil").is_ok());
    change(&mut fastener);
    fastener
}

#[test]
fn an_angle() {
    let words = "an angle setting is never converted";
    for method in [Method::Angle, Method::TorqueAngle] {
        let bolt = changed(|bolt| bolt.settings[0].method = method);
        assert_refused(bolt, "oil", Refusal::Angle, words);
    }
}

#[test]
fn a_stretch() {
    let bolt = changed(|bolt| bolt.settings[0].method = Method::Stretch);
    let words = "a stretch setting does not depend on the lube: use the stretch";
    assert_refused(bolt, "oil", Refusal::Stretch, words);
}

#[test]
fn a_maximum() {
    let bolt = changed(|bolt| bolt.settings[0] = setting("dry", "max 44 lb-ft"));
    let words = "only a maximum is stated: no value to convert";
    assert_refused(bolt, "oil", Refusal::Maximum, words);
}

#[test]
fn no_torque() {
    let bolt = changed(|bolt| bolt.settings[0].torque = None);
    assert_refused(bolt, "oil", Refusal::NoTorque, "torque not stated");
}

#[test]
fn no_thread() {
    let bolt = changed(|bolt| bolt.thread = None);
    assert_refused(bolt, "oil", Refusal::NoThread, "thread not stated");
}

#[test]
fn a_listed_value_stands() {
    let bolt = changed(|bolt| bolt.settings.push(setting("engine oil", "35 lb-ft")));
    let kind = Refusal::Listed { lube: "oil".to_owned(), listed: "35 lb-ft".to_owned() };
    assert_refused(
        bolt,
        "oil",
        kind,
        "oil is listed at 35 lb-ft: a listed value is never replaced",
    );
}

#[test]
fn single_use() {
    let bolt = changed(|bolt| bolt.reuse = Some(Reuse::SingleUse));
    assert_refused(bolt, "oil", Refusal::SingleUse, "a single-use fastener is never converted");
}

#[test]
fn superseded() {
    let bolt = changed(|bolt| bolt.settings[0].superseded = true);
    let words = "the listed value is superseded: convert the newer one";
    assert_refused(bolt, "oil", Refusal::Superseded, words);
}

#[test]
fn the_source_lube_is_not_stated() {
    let bolt = changed(|bolt| bolt.settings[0].lube = None);
    let words = "the lube of the listed torque is not stated";
    assert_refused(bolt, "oil", Refusal::SourceLubeUnknown, words);
}

#[test]
fn the_source_lube_is_not_in_the_book() {
    let bolt = changed(|bolt| bolt.settings[0].lube = Some("goose fat".to_owned()));
    let words = "goose fat is not among the lubes of the book: no factor for it";
    assert_refused(bolt, "oil", Refusal::SourceLubeMissing("goose fat".to_owned()), words);
}

#[test]
fn two_lubes() {
    let bolt = changed(|bolt| bolt.settings[0].face_lube = Some("oil".to_owned()));
    let words = "threads and face carry different lubes";
    assert_refused(bolt, "moly", Refusal::TwoLubes, words);
    // One lube under two of its names is one lube.
    let mut same = changed(|bolt| bolt.settings[0] = setting("oil", "33 lb-ft"));
    same.settings[0].face_lube = Some("engine oil".to_owned());
    assert!(restated(same, "moly").is_ok());
}

#[test]
fn wet_to_dry() {
    let words = "wet to dry is never converted";
    let oiled = changed(|bolt| bolt.settings[0] = setting("oil", "33 lb-ft"));
    assert_refused(oiled, "dry", Refusal::WetToDry, words);
    let plated = changed(|bolt| {
        bolt.settings[0] = setting("zinc plated oiled", "33 lb-ft");
        bolt.finish = Some("zinc plated".to_owned());
    });
    assert_refused(plated, "zinc plated dry", Refusal::WetToDry, words);
}

#[test]
fn to_a_compound() {
    for compound in ["threadlocker", "sealant"] {
        let words = "no listed value for this compound";
        assert_refused(dry_bolt(), compound, Refusal::Compound, words);
    }
}

#[test]
fn from_a_compound() {
    let bolt = changed(|bolt| bolt.settings[0].lube = Some("threadlocker".to_owned()));
    let words = "the listed value is for threadlocker, which is never converted";
    assert_refused(bolt, "oil", Refusal::FromCompound("threadlocker".to_owned()), words);
}

#[test]
fn sealant_on_the_threads_that_turn() {
    let bolt = changed(|bolt| bolt.sealant = Some("thread sealant".to_owned()));
    let words =
        "the threads are sealed (thread sealant): the lube alone does not decide the friction";
    assert_refused(bolt, "oil", Refusal::Sealed("thread sealant".to_owned()), words);
    // On a stud it is on the end in the block, and the nut turns on the other.
    let mut stud = head_stud(vec![setting("oil", "80 lb-ft")]);
    stud.sealant = Some("thread sealant on the hole end".to_owned());
    assert!(restated(stud, "moly").is_ok());
}

#[test]
fn marked_as_not_convertible() {
    let kind = Refusal::NotConvertible("own paste".to_owned());
    assert_refused(dry_bolt(), "own paste", kind, "own paste may not be converted");
}

#[test]
fn without_a_factor() {
    let kind = Refusal::NoFactor("mystery".to_owned());
    assert_refused(dry_bolt(), "mystery", kind, "no factor for mystery: ask the maker");
}

#[test]
fn factors_of_two_kinds() {
    let kind = Refusal::FormsDiffer("dry".to_owned(), "mu low".to_owned());
    assert_refused(dry_bolt(), "mu low", kind, "dry and mu low have no factor of the same kind");
}

#[test]
fn a_factor_without_a_source() {
    let kind = Refusal::NoSource("rumour".to_owned());
    assert_refused(dry_bolt(), "rumour", kind, "the factor of rumour has no source");
}

#[test]
fn plated_or_coated() {
    let words = "a plated or coated fastener has no factor for another lube";
    assert_refused(dry_bolt(), "zinc plated oiled", Refusal::Coated, words);
    let plated = changed(|bolt| bolt.finish = Some("Zinc plated".to_owned()));
    assert_refused(plated.clone(), "oil", Refusal::Coated, words);
    // Two factors of its own finish are allowed; of another finish they are not.
    let mut listed = plated;
    listed.settings[0] = setting("zinc plated dry", "44 lb-ft");
    assert!(restated(listed.clone(), "zinc plated oiled").is_ok());
    listed.finish = Some("nickel plated".to_owned());
    assert_refused(listed, "zinc plated oiled", Refusal::Coated, words);
}

#[test]
fn materials_that_gall() {
    let words = |material| format!("{material} in the pair: friction of steel does not hold");
    let mut said = Vec::new();
    for (hole, material) in [("aluminum", "aluminium"), ("Titanium", "titanium")] {
        let bolt = changed(|bolt| bolt.hole_material = Some(hole.to_owned()));
        assert_refused(bolt, "oil", Refusal::Material(material), &words(material));
        said.push(material);
    }
    let bolt = changed(|bolt| bolt.strength.name = Some("A2-70".to_owned()));
    assert_refused(bolt, "oil", Refusal::Material("stainless"), &words("stainless"));
    // A hole in aluminium is never restated, a stud's neither.
    let mut stud = head_stud(vec![setting("oil", "80 lb-ft")]);
    stud.kind = Some(Kind::Stud);
    stud.hole_material = Some("aluminium".to_owned());
    assert_refused(stud, "moly", Refusal::Material("aluminium"), &words("aluminium"));
}

#[test]
fn duties() {
    let duties =
        [Duty::Wheel, Duty::Steering, Duty::Brake, Duty::SparkPlug, Duty::Lifting, Duty::Pressure];
    for duty in duties {
        let bolt = changed(|bolt| bolt.joint.duty = Some(duty));
        let words = format!("{duty} joint: the maker's procedure only");
        assert_refused(bolt, "oil", Refusal::Duty(duty.word()), &words);
    }
    assert!(restated(changed(|bolt| bolt.joint.duty = Some(Duty::Engine)), "oil").is_ok());
}

#[test]
fn this_lube_only() {
    let bolt = changed(|bolt| bolt.settings[0].this_lube_only = true);
    assert_refused(bolt, "oil", Refusal::ThisLubeOnly, "the source allows no other lube");
}

#[test]
fn computed_before() {
    let bolt = changed(|bolt| bolt.settings[0].basis = Basis::Computed);
    assert_refused(bolt, "oil", Refusal::Computed, "a computed value is not converted again");
}

#[test]
fn prevailing_torque_that_nobody_measured() {
    for rule in [Prevailing::Included, Prevailing::ToAdd] {
        let bolt = changed(|bolt| bolt.prevailing_rule = Some(rule));
        let words = "prevailing torque unknown: measure it first";
        assert_refused(bolt, "oil", Refusal::Prevailing, words);
    }
}

#[test]
fn prevailing_torque_without_its_rule() {
    let words = "not stated whether the listed value includes the prevailing torque: ask";
    for rule in [Some(Prevailing::Unknown), None] {
        let bolt = changed(|bolt| {
            bolt.prevailing = Some(Stated::parse("4 lb-ft").unwrap());
            bolt.prevailing_rule = rule;
        });
        assert_refused(bolt, "oil", Refusal::PrevailingRule, words);
    }
}

#[test]
fn above_proof() {
    // 70 lb-ft dry at 3/8-16: 11 200 lbf on 9300 lbf of proof load, 120.4 %.
    let bolt = changed(|bolt| bolt.settings[0] = setting("dry", "70 lb-ft"));
    let kind = Refusal::NearProof { percent: 121, limit: "proof" };
    let words = "the listed value is at 121 % of proof: too near to convert";
    assert_refused(bolt, "oil", kind, words);
    // The top of a range counts: 50..54 lb-ft are 86 and 93 %.
    let bolt = changed(|bolt| bolt.settings[0] = setting("dry", "50..54 lb-ft"));
    assert!(matches!(refused(bolt, "oil").0, Refusal::NearProof { percent: 93, .. }));
    // A target has no listed value to look at: its own limit is proof.
    let target = Target::OfProof(Ratio::from_value(1.2));
    let tables = tables();
    let unit = find_unit("lb-ft").unwrap();
    let oil = tables.lube("oil").unwrap();
    let refusal = target_torque(&shared(dry_bolt()), target, oil, unit, &tables).unwrap_err();
    let place = "thread".to_owned();
    assert_eq!(refusal, Refusal::TooHigh { percent: 120, limit: "proof", place });
    assert_eq!(refusal.to_string(), "would reach 120 % of proof in the thread");
}

#[test]
fn above_nine_tenths_of_yield_where_proof_is_not_stated() {
    // 80 lb-ft moly: 85.6 % at the nut end, 95.6 % at the hole end.
    let stud = head_stud(vec![setting("moly", "80 lb-ft")]);
    let words = "the listed value is at 96 % of yield: too near to convert";
    assert_refused(stud, "oil", Refusal::NearProof { percent: 96, limit: "yield" }, words);
    let target = Target::OfYield(Ratio::from_value(0.96));
    let tables = tables();
    let unit = find_unit("lb-ft").unwrap();
    let oil = tables.lube("oil").unwrap();
    let refusal =
        target_torque(&shared(head_stud(Vec::new())), target, oil, unit, &tables).unwrap_err();
    assert_eq!(refusal.to_string(), "would reach 96 % of yield in the hole-end thread");
}

#[test]
fn above_yield_with_torsion() {
    let mut bolt = bolt("M10x1.5", vec![setting("mu low", "58 N·m")]);
    bolt.strength.name = Some("10.9".to_owned());
    // More friction in the thread twists the bolt more at the same clamp.
    let refusal = refused(bolt, "mu rough").0;
    let Refusal::Combined { percent, place } = refusal else { panic!("{refusal:?}") };
    assert!((101..130).contains(&percent), "{percent}");
    let words =
        format!("would reach {percent} % of yield in the {place} with the torsion of tightening");
    assert_eq!(place, "thread");
    assert_eq!(Refusal::Combined { percent, place }.to_string(), words);
}

#[test]
fn a_section_that_is_not_known() {
    let tables = tables();
    let mut stud = head_stud(Vec::new());
    // A pipe thread has no stress area.
    stud.hole_thread = Some(Thread::parse("1/4-18 NPT").unwrap());
    let target = Target::OfYield(Ratio::from_value(0.75));
    let unit = find_unit("lb-ft").unwrap();
    let refusal = target_torque(&shared(stud), target, tables.lube("oil").unwrap(), unit, &tables);
    let refusal = refusal.unwrap_err();
    assert_eq!(refusal, Refusal::NoSection);
    let words = "the weakest section is not known: check the hole thread and the waist";
    assert_eq!(refusal.to_string(), words);
}

#[test]
fn what_the_arithmetic_refuses() {
    let mut bolt = bolt("M10x1.5", vec![setting("mu low", "40 N·m")]);
    let length = |text| Stated::parse(text).unwrap();
    bolt.bearing = Some(Bearing { outer: length("11 mm"), hole: length("14.6 mm") });
    let (refusal, words) = refused(bolt, "mu high");
    assert!(matches!(refusal, Refusal::Words(_)));
    assert_eq!(words, "bearing hole 14.6 mm must be smaller than bearing outer 11 mm");
}

/// No torque for a target where the maker's procedure governs (common practice, no
/// source), stated or in words; the same bolt elsewhere has one.
#[test]
fn a_target_where_the_procedure_governs() {
    let tables = tables();
    let torque = |bolt: Fastener| {
        let (target, unit) = (Target::OfProof(Ratio::from_value(0.7)), find_unit("lb-ft").unwrap());
        target_torque(&shared(bolt), target, tables.lube("oil").unwrap(), unit, &tables)
    };
    assert!(torque(dry_bolt()).is_ok());
    let duties = [Duty::Wheel, Duty::Brake, Duty::Steering, Duty::Lifting, Duty::Pressure];
    for duty in duties {
        let mut bolt = dry_bolt();
        bolt.joint.duty = Some(duty);
        assert_eq!(torque(bolt).unwrap_err(), Refusal::Duty(duty.word()));
    }
    for part in ["wheel nut", "brake caliper bolt", "drain plug", "Kranhaken"] {
        let mut bolt = dry_bolt();
        bolt.part = part.to_owned();
        assert!(matches!(torque(bolt), Err(Refusal::DutyWord { .. })), "{part}");
    }
}
