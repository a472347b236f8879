//! The rows of one fastener for the lubes asked for, and whether a sheet agrees
//! with the factors.

use std::sync::Arc;

use clampbook::correction::with_lubes;
use clampbook::record::lube_ratios;
use clampbook::record::{Basis, Fastener, Lube, Row, Setting};

use super::sample::{bolt, dry_bolt, head_stud, setting, shared, tables};

fn rows(fastener: &Arc<Fastener>, matched: &[usize], lubes: &[&str]) -> Vec<Row> {
    let tables = tables();
    let matched: Vec<&Setting> = matched.iter().map(|at| &fastener.settings[*at]).collect();
    let lubes: Vec<&Lube> = lubes.iter().map(|name| tables.lube(name).unwrap()).collect();
    with_lubes(fastener, &matched, &lubes, &tables)
}

/// Lube, basis, and the torque or the refusal.
fn shown(rows: &[Row]) -> Vec<String> {
    let figure = |row: &Row| match (&row.refused, row.setting.torque) {
        (Some(reason), _) => format!("refused: {reason}"),
        (None, Some(torque)) => {
            let value = torque.target().unwrap().nm() / torque.unit().factor;
            let from =
                row.restated.as_ref().map(|from| format!(" from {} {}", from.from_lube, from.from));
            let note = row.restated.as_ref().and_then(|from| from.note.clone());
            let note = note.map_or_else(String::new, |note| format!(", {note}"));
            format!("{value:.0}{}{note}", from.unwrap_or_default())
        }
        (None, None) => row.setting.in_words(),
    };
    rows.iter()
        .map(|row| {
            let lube = row.setting.lube.clone().unwrap();
            format!("{lube} {} {}", row.setting.basis, figure(row))
        })
        .collect()
}

#[test]
fn listed_first_then_computed_then_the_reason() {
    let stud = shared(head_stud(vec![setting("moly", "66 lb-ft"), setting("oil", "82 lb-ft")]));
    // Only the moly row was asked for; oil is listed all the same.
    assert_eq!(
        shown(&rows(&stud, &[0], &["oil", "anti-seize", "dry", "sealant"])),
        [
            "oil listed 82",
            "anti-seize computed 77 from moly 66 lb-ft",
            "dry computed refused: wet to dry is never converted",
            "sealant computed refused: no listed value for this compound",
        ]
    );
}

#[test]
fn listed_values_that_disagree_are_all_kept() {
    let stud =
        shared(head_stud(vec![setting("oil", "80 lb-ft"), setting("engine oil", "90 lb-ft")]));
    let found = rows(&stud, &[0], &["oil"]);
    assert_eq!(shown(&found), ["oil listed 80", "engine oil listed 90"]);
    assert_ne!(found[0].key, found[1].key);
}

#[test]
fn the_nearest_factor_stands_where_sources_agree() {
    // 66 moly and 82 oil give 77.0 and 76.5 for anti-seize (K 0.14): 0.6 %
    // apart, and oil's 0.15 is nearer than moly's 0.12.
    let stud = shared(head_stud(vec![setting("moly", "66 lb-ft"), setting("oil", "82 lb-ft")]));
    let found = rows(&stud, &[0, 1], &["anti-seize"]);
    assert_eq!(shown(&found), ["anti-seize computed 77 from oil 82 lb-ft"]);
}

#[test]
fn sources_more_than_5_per_cent_apart_are_both_shown() {
    // 60 moly gives 70.0, 80 oil gives 74.7: 6.3 % apart.
    let stud = shared(head_stud(vec![setting("moly", "60 lb-ft"), setting("oil", "80 lb-ft")]));
    assert_eq!(
        shown(&rows(&stud, &[0, 1], &["anti-seize"])),
        ["anti-seize computed 75 from oil 80 lb-ft", "anti-seize computed 70 from moly 60 lb-ft",]
    );
}

#[test]
fn a_chart_is_never_restated_by_factors() {
    let mut chart = setting("oil", "80 lb-ft");
    chart.basis = Basis::Chart;
    let stud = shared(head_stud(vec![chart, setting("moly", "60 lb-ft")]));
    let found = rows(&stud, &[0, 1], &["anti-seize"]);
    assert_eq!(shown(&found), ["anti-seize computed 70 from moly 60 lb-ft"]);
    let only = rows(&stud, &[0], &["anti-seize"]);
    assert_eq!(
        only[0].refused.as_ref().unwrap().to_string(),
        "a chart is for no particular joint: its value is never converted"
    );
}

/// US Army TM 9-2320-362-14&P, appendix F (tests/data/nut_factors.csv): engine oil
/// in place of clean dry is 0.9 of the torque: 60 lb-ft dry is 54 oiled.
#[test]
fn a_charts_own_rule_is_used_and_named() {
    let mut dry = setting("dry", "60 lb-ft");
    dry.basis = Basis::Chart;
    dry.source.title = Some("US Army TM 9-2320-362-14&P".to_owned());
    let mut capscrew = bolt("1/2-13", vec![dry]);
    capscrew.strength.name = Some("SAE 8".to_owned());
    let capscrew = shared(capscrew);
    let found = rows(&capscrew, &[0], &["oil"]);
    let words = "by the chart's own rule: with engine oil 10 % less than dry";
    assert_eq!(shown(&found), [format!("oil computed 54 from dry 60 lb-ft, {words}")]);
    let refused = rows(&capscrew, &[0], &["moly"]);
    assert!(refused[0].refused.is_some());
}

#[test]
fn a_superseded_value_is_shown_only_if_asked_for_and_never_converted() {
    let mut old = setting("oil", "95 lb-ft");
    old.superseded = true;
    let stud = shared(head_stud(vec![old, setting("moly", "64 lb-ft")]));
    assert_eq!(shown(&rows(&stud, &[0], &["oil"])), ["oil listed 95"]);
    assert_eq!(shown(&rows(&stud, &[1], &["oil"])), ["oil computed 80 from moly 64 lb-ft"]);
    let found = rows(&stud, &[0, 1], &["anti-seize"]);
    assert_eq!(shown(&found), ["anti-seize computed 75 from moly 64 lb-ft"]);
}

#[test]
fn a_value_computed_before_gives_way_to_a_fresh_one_but_not_to_a_refusal() {
    let mut kept = setting("oil", "86 lb-ft");
    kept.basis = Basis::Computed;
    let stud = shared(head_stud(vec![setting("moly", "64 lb-ft"), kept]));
    assert_eq!(shown(&rows(&stud, &[0, 1], &["oil"])), ["oil computed 80 from moly 64 lb-ft"]);
    assert_eq!(shown(&rows(&stud, &[1], &["oil"])), ["oil computed 86"]);
}

#[test]
fn the_reason_is_the_one_that_concerns_the_request() {
    let mut unknown = setting("dry", "44 lb-ft");
    unknown.lube = None;
    let mut bolt = dry_bolt();
    bolt.settings.insert(0, unknown);
    bolt.settings[1].this_lube_only = true;
    let found = rows(&shared(bolt), &[0, 1], &["oil"]);
    assert_eq!(shown(&found), ["oil computed refused: the source allows no other lube"]);
    assert!(found[0].derived.clamp.is_none() && found[0].setting.torque.is_none());
}

#[test]
fn sealant_on_the_threads_is_listed_whatever_is_under_the_head() {
    let mut sealed = setting("sealant", "30 lb-ft");
    sealed.face_lube = Some("oil".to_owned());
    let mut bolt = dry_bolt();
    bolt.settings.push(sealed);
    assert_eq!(shown(&rows(&shared(bolt), &[0], &["sealant"])), ["sealant listed 30"]);
}

#[test]
fn a_sheet_that_disagrees_with_the_factors_by_more_than_15_per_cent_is_found() {
    // The factors say 0.15/0.12 = 1.25. The sheets say 82/66 = 1.242 and 99/66 = 1.5.
    let sound = head_stud(vec![setting("moly", "66 lb-ft"), setting("oil", "82 lb-ft")]);
    let ratios = lube_ratios(&sound, &tables());
    assert_eq!(ratios.len(), 1);
    assert!(!ratios[0].check.doubtful);
    let odd = head_stud(vec![setting("moly", "66 lb-ft"), setting("oil", "99 lb-ft")]);
    let found = &lube_ratios(&odd, &tables())[0];
    assert_eq!((found.lubes.clone(), found.settings), (["moly".into(), "oil".into()], [0, 1]));
    assert_eq!(found.listed, ["66 lb-ft", "99 lb-ft"]);
    assert!(found.check.doubtful && (found.check.difference.value() - 0.2).abs() < 1e-9);
}

#[test]
fn only_values_of_one_sheet_are_compared() {
    let mut manual = setting("oil", "105 lb-ft");
    manual.source.title = Some("Marlow 6 engine manual".to_owned());
    let mut old = setting("anti-seize", "200 lb-ft");
    old.superseded = true;
    let settings = vec![
        setting("moly", "66 lb-ft"),
        manual,
        old,
        setting("moly", "75 lb-ft"),
        setting("dry", "max 90 lb-ft"),
        setting("sealant", "60 lb-ft"),
    ];
    assert!(lube_ratios(&head_stud(settings), &tables()).is_empty());
}
