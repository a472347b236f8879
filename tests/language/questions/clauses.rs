//! What the clauses do with the rows: restate, keep, show, sort, cut, count.

use clampbook::quantity::{System, find_unit};
use clampbook::query::run::{Answer, UnitsWanted};
use clampbook::record::Value;

use super::book::{Shop, keys};

/// Each row in a few words: key, basis, torque, from where or why not.
fn told(answer: &Answer) -> Vec<String> {
    let one = |row: &clampbook::record::Row| {
        if let Some(reason) = &row.refused {
            return format!("{}: {reason}", row.key);
        }
        let torque = row.setting.torque.map(|torque| {
            let value = torque.target().map_or(f64::NAN, |t| t.nm() / torque.unit().factor);
            format!("{value:.0} {}", torque.unit().symbol)
        });
        let torque = torque.unwrap_or_else(|| row.setting.in_words());
        let from = row.restated.as_ref().map(|r| format!(" from {} {}", r.from_lube, r.from));
        format!("{} {} {torque}{}", row.key, row.setting.basis, from.unwrap_or_default())
    };
    answer.rows.iter().map(one).collect()
}

/// The values of the first shown column, as text.
fn column(answer: &Answer) -> Vec<String> {
    let text = |value: &Value| match value {
        Value::NotStated => "-".to_owned(),
        Value::Text(text) => text.to_string(),
        Value::Number(number) => format!("{number:.2}"),
        Value::Measure(measure) => {
            format!("{:.0}..{:.0}", measure.low.unwrap_or(0.0), measure.high)
        }
        Value::Thread(thread) => thread.to_string(),
        Value::Flag(flag) => flag.to_string(),
    };
    answer.columns[0].values.iter().map(text).collect()
}

#[test]
fn with_gives_listed_then_computed_then_the_reason() {
    let shop = Shop::new();
    // Only the moly rows match; oil is listed for the stud all the same.
    let found = shop.ask("7/16-20 moly with oil, dry");
    assert_eq!(
        told(&found),
        [
            "stud/oil listed 82 lb-ft",
            "stud/dry: wet to dry is never converted",
            "rod/oil: this fastener is governed by stretch: a torque beside it is never converted",
            "rod/dry: this fastener is governed by stretch: a torque beside it is never converted",
        ]
    );
    // One row for each lube, however often it is named.
    assert_eq!(keys(&shop.ask("stud long with oil, engine oil, oil")), ["stud/oil"]);
    // A row of a joint that no lube was listed for.
    assert_eq!(
        told(&shop.ask("drain plug with oil")),
        ["drain/oil: only a maximum is stated: no value to convert"]
    );
    assert_eq!(
        told(&shop.ask("gland with oil, sealant")),
        [
            "gland/oil computed 43 lb-ft from anti-seize 40 lb-ft",
            "gland/sealant: no listed value for this compound",
        ]
    );
}

#[test]
fn the_order_of_evaluation_is_fixed_whatever_the_order_written() {
    let shop = Shop::new();
    let one = shop.ask("3/8-16 with oil keep of-proof over 70% sort torque down first 1");
    let other = shop.ask("3/8-16 first 1 keep of-proof over 70% sort torque down with oil");
    assert_eq!(told(&one), ["short/oil computed 33 lb-ft from dry 44 lb-ft"]);
    assert_eq!(keys(&one), keys(&other));
}

#[test]
fn keep_tests_the_restated_rows() {
    let shop = Shop::new();
    // 7/16-20 with dry is refused: its of-proof is unknown, so it is left out.
    let found = shop.ask("head with oil, dry keep torque over 30 lb-ft");
    assert_eq!(keys(&found), ["stud/oil", "short/oil", "short/dry"]);
    // stud/dry is refused; front by angle is unknown with oil, refused with dry.
    assert_eq!(found.left_out, 3);
    assert_eq!(keys(&shop.ask("head with oil keep converted")), ["short/oil"]);
    assert_eq!(keys(&shop.ask("head with oil keep not converted")), ["stud/oil", "front/oil"]);
}

#[test]
fn a_target_replaces_the_torque() {
    let shop = Shop::new();
    // 75 % of 580 MPa on 84.3 mm²: 36.7 kN; K·d·F with oil 66, dry 88 N·m.
    let found = shop.ask("M12x1.75 oil target 75% proof");
    assert_eq!(told(&found), ["casing/oil computed 66 N·m"]);
    assert!((found.rows[0].derived.of_proof.unwrap() - 0.75).abs() < 1e-6);
    let found = shop.ask("M12x1.75 oil with dry, sealant target 75% proof");
    let refused = "casing/sealant: no K or μ for sealant";
    assert_eq!(told(&found), ["casing/dry computed 88 N·m", refused]);
    // Each lube of the matched rows once; a force; quoted text.
    let found = shop.ask("M12x1.75 target \"30 kN\"");
    assert_eq!(told(&found), ["casing/oil computed 54 N·m", "casing/moly computed 43 N·m"]);
    assert_eq!(
        told(&shop.ask("M12x1.75 moly target \"75% of proof\"")),
        ["casing/moly computed 53 N·m"]
    );
    // No lube, no figure, and the row says so.
    assert_eq!(
        told(&shop.ask("drain plug target 30 kN")),
        ["drain/no-lube: the lube is not stated: write `with` and a lube"]
    );
    // Above proof it is refused.
    let found = shop.ask("3/8-16 dry target 110% proof");
    assert_eq!(told(&found), ["short/dry: would reach 110 % of proof in the thread"]);
}

#[test]
fn sort_puts_unknown_last_in_both_directions() {
    let shop = Shop::new();
    assert_eq!(
        keys(&shop.ask("head sort torque")),
        ["short/dry", "stud/moly", "stud/oil", "front/oil"]
    );
    assert_eq!(
        keys(&shop.ask("head sort torque down")),
        ["stud/oil", "stud/moly", "short/dry", "front/oil"]
    );
    // Ties keep the order of the next column, then the order entered.
    assert_eq!(
        keys(&shop.ask("7/16-20 sort lube down, torque down")),
        ["stud/oil", "stud/moly", "rod/moly.2", "rod/moly"]
    );
    assert_eq!(keys(&shop.ask("has snug or M6 sort thread")), ["guard/dry", "front/oil"]);
    // By a sum, and by a field that is words.
    assert_eq!(keys(&shop.ask("3/8-16 sort clamp per proof-load down")), ["short/dry", "body/oil"]);
    assert_eq!(keys(&shop.ask("M12 sort part")), ["foot/dry", "casing/engine-oil", "casing/moly"]);
}

#[test]
fn rows_stand_in_the_order_entered_and_charts_only_when_asked_for() {
    let shop = Shop::new();
    let found = shop.ask("7/16-20");
    assert_eq!(keys(&found), ["stud/moly", "stud/oil", "rod/moly", "rod/moly.2"]);
    let aside = "1 row of general charts left out: write `7/16-20, has basis`".to_owned();
    assert!(found.remarks.contains(&aside), "{:?}", found.remarks);
    assert_eq!(keys(&shop.ask("7/16-20, has basis")).len(), 5, "what the remark offers");
    let found = shop.ask("7/16-20, basis listed or chart");
    assert_eq!(keys(&found), ["stud/moly", "stud/oil", "rod/moly", "rod/moly.2", "chart/dry"]);
    // Where nothing else answers, the chart is offered, not taken.
    let found = shop.ask("7/16-20 dry");
    assert!(found.rows.is_empty() && !found.remarks.contains(&aside));
    let only = "only general charts have it, 1 row: write `7/16-20, lube dry, basis chart`";
    assert_eq!(found.near[0], only);
    assert_eq!(keys(&shop.ask("7/16-20, lube dry, basis chart")), ["chart/dry"]);
    assert_eq!(keys(&shop.ask("7/16-20 dry basis chart")), ["chart/dry"]);
    // Everything, charts aside.
    assert_eq!(shop.ask("sort key first 99").rows.len(), 22);
}

#[test]
fn show_fills_the_columns_asked_for() {
    let shop = Shop::new();
    let found = shop.ask("head show part, torque - 10 lb-ft, clamp per proof-load");
    let headings: Vec<&str> = found.columns.iter().map(|c| c.heading.as_str()).collect();
    assert_eq!(headings, ["part", "torque - 10 lb-ft", "clamp per proof-load"]);
    assert_eq!(column(&found), ["stud, long", "stud, long", "bolt, short", "bolt, front"]);
    let found = shop.ask("head show torque - 10 lb-ft");
    // 56, 72 and 34 lb-ft in N·m; an angle setting has none.
    assert_eq!(column(&found), ["76..76", "98..98", "46..46", "-"]);
    assert_eq!(column(&shop.ask("3/8-16 show clamp per proof-load")), ["0.76", "0.69"]);
    // A field that stands alone is stated and shown, unless the table has it.
    let found = shop.ask("rod stretch");
    assert_eq!(found.columns.last().unwrap().heading, "stretch");
    assert!(shop.ask("rod torque").columns.is_empty());
}

#[test]
fn first_cuts_after_sorting() {
    let shop = Shop::new();
    assert_eq!(keys(&shop.ask("head sort torque down first 2")), ["stud/oil", "stud/moly"]);
}

#[test]
fn tally_counts_groups_most_first() {
    let shop = Shop::new();
    let groups = |question: &str| -> Vec<String> {
        let found = shop.ask(question);
        let tally = found.tally.unwrap();
        let text = |value: &Value| match value {
            Value::NotStated => "not stated".to_owned(),
            Value::Text(text) => text.to_string(),
            other => format!("{other:?}"),
        };
        let line = |group: &clampbook::query::run::Group| {
            let values: Vec<String> = group.values.iter().map(text).collect();
            format!("{} {}", group.count, values.join(" / "))
        };
        tally.groups.iter().map(line).collect()
    };
    assert_eq!(
        groups("Marlow 6 tally lube"),
        ["6 oil", "4 moly", "2 dry", "1 not stated", "1 threadlocker"]
    );
    assert_eq!(groups("Marlow 6 tally joint, lube first 2"), ["2 head / oil", "2 main / oil"]);
    // Sorted rows order the groups in place of their counts.
    assert_eq!(groups("Marlow 6 tally lube sort lube first 3"), ["2 dry", "4 moly", "6 oil"]);
    // It counts what is kept.
    assert_eq!(groups("head with oil, dry keep not converted tally basis")[0], "3 listed");
}

#[test]
fn units_are_only_drawn() {
    let shop = Shop::new();
    let metric = shop.ask("head units metric");
    assert_eq!(metric.units, UnitsWanted::System(System::Metric));
    assert_eq!(shop.ask("head units inch").units, UnitsWanted::System(System::Inch));
    let each = ["N·m", "kN"].map(|unit| find_unit(unit).unwrap()).to_vec();
    assert_eq!(shop.ask("head units N.m, kN").units, UnitsWanted::Units(each));
    let plain = shop.ask("head");
    assert_eq!(plain.units, UnitsWanted::AsWritten);
    assert_eq!(plain.rows, metric.rows);
}

#[test]
fn remarks_say_what_else_mentions_a_name() {
    let shop = Shop::new();
    let remarks = |question: &str| {
        let mut remarks = shop.ask(question).remarks;
        remarks.retain(|line| line.contains("in their text"));
        remarks
    };
    // Oil as a lube; pan, pump, filter, drain and guard only say it.
    let found = shop.ask("oil");
    assert_eq!(found.rows.len(), 9);
    assert_eq!(remarks("oil"), ["4 more say \"oil\" in their text: write `text oil`"]);
    // What `first` cuts off is no more, and neither is what `with` restates.
    let more =
        |clause: &str| vec![format!("4 more say \"oil\" in their text: write `text oil {clause}`")];
    assert_eq!(remarks("oil first 1"), more("first 1"));
    assert_eq!(remarks("oil with moly"), more("with moly"));
    assert!(remarks("text oil").is_empty());
    // The remark can be typed as it stands.
    assert_eq!(shop.ask("text oil").rows.len(), 4 + 2);
}

/// A scale of 20 to 100 lb-ft in steps of 2 is usable from its lowest mark.
#[test]
fn a_wrench_gives_its_setting_or_the_reason_why_not() {
    let shop = Shop::new();
    let texts = |question: &str| {
        let answer = shop.ask(question);
        let column = answer.columns.last().unwrap();
        let text = |value: &Value| match value {
            Value::Text(text) => text.to_string(),
            other => panic!("{other:?}"),
        };
        (column.values.iter().map(text).collect::<Vec<_>>(), answer.has_answer())
    };
    let (set, served) = texts("head stud show part, torque on w2");
    assert_eq!(set, ["set 66 lb-ft", "set 82 lb-ft"]);
    assert!(served);
    // Without `show` the usual columns come with it.
    let headings = shop.ask("head stud on W2").columns;
    assert_eq!(headings.last().unwrap().heading, "on W2");
    assert!(headings.iter().any(|column| column.heading == "torque"));
    let (set, served) = texts("joint oil pan, oil show torque on W2");
    assert!(set[0].starts_with("refused: below its range 20 lb-ft to "), "{set:?}");
    assert!(!served, "no row of it can be pulled with that wrench");
    assert!(
        texts("head stud moly on shop bar").0[0].starts_with("refused: its nearest mark is 50")
    );
    assert!(
        texts("head stud moly on W9").0[0].contains("is not stated, so its scale is not known")
    );
    // The snug of torque and angle; a stretch has no torque; a maximum no aim.
    assert_eq!(texts("joint head M10 on W2").0, ["set 22 lb-ft, then the angle"]);
    assert_eq!(texts("rod has stretch on W2").0, ["no torque to set"]);
    assert!(texts("drain plug on W2").0[0].contains("only a maximum is stated"));
    // Restated rows are set too.
    let (set, _) = texts("joint head, 3/8-16 with oil show torque on W2");
    assert_eq!(set, ["refused: its nearest mark is 34 lb-ft (+3.0 %): use a finer wrench"]);
}

#[test]
fn a_part_that_mixes_neighbours_with_or_says_how_it_was_read() {
    let shop = Shop::new();
    let reading = |question: &str| shop.ask(question).readings.first().cloned();
    assert_eq!(
        reading("M10 blind or dry").unwrap(),
        "read as (M10 and blind) or dry; for the other: M10, blind or dry"
    );
    // A choice of lubes behind a name, a kind or a thread is one of it.
    assert_eq!(reading("M10 moly or dry").unwrap(), "read as M10, moly or dry");
    // `and` is no looser than the blank.
    assert_eq!(
        reading("M10 and blind or dry").unwrap(),
        "read as (M10 and blind) or dry; for the other: M10, blind or dry"
    );
    assert_eq!(reading("M10 (moly or dry)"), None);
    assert_eq!(
        reading("M10 moly or head dry").unwrap(),
        "read as (M10 and moly) or (head and dry); for the other: M10, moly or head, dry"
    );
    assert_eq!(
        reading("M10 moly or blind").unwrap(),
        "read as (M10 and moly) or blind; for the other: M10, moly or blind"
    );
    // One name of two words is no neighbourhood, here and in `keep`.
    assert_eq!(reading("lube engine oil or moly, 1/2-13"), None);
    assert_eq!(reading("head keep oil pan or oil pump"), None);
    // `with` is not "that has".
    let line = "1 listed, 2 refused; listed for it: `lube dry`";
    assert_eq!(reading("head with dry").unwrap(), line);
    assert!(reading("head keep M10 blind or dry").unwrap().starts_with("read as (M10 and blind)"));
}

#[test]
fn a_thread_at_the_hole_end_is_said() {
    let shop = Shop::new();
    let warnings = |question: &str| shop.ask(question).rows[0].warnings.clone();
    let words = "7/16-14 is the hole end: the torque belongs to 7/16-20";
    assert_eq!(warnings("7/16-14"), [words]);
    assert_eq!(warnings("7/16-14 with oil"), [words]);
    assert!(warnings("7/16-20").is_empty());
    assert!(warnings("7/16").is_empty());
    assert!(warnings("stud not M10").is_empty());
}

#[test]
fn no_rows_name_the_nearest_things() {
    let shop = Shop::new();
    let near = |question: &str| {
        let found = shop.ask(question);
        assert!(found.rows.is_empty(), "{question}");
        found.near
    };
    assert_eq!(
        near("M10x1"),
        [
            "nothing has `M10x1`; the nearest: M10x1.25, M10x1.5",
            "what was asked is not known of vent, vent"
        ]
    );
    assert_eq!(
        near("casng"),
        ["2 rows: write `text casing`", "nothing has `text casng`; the nearest: casing"]
    );
    assert_eq!(
        near("M10 moly"),
        [
            "`M10` alone: 3 rows",
            "`lube moly` alone: 5 rows",
            "to restate rows, write `M10 with moly`"
        ]
    );
    assert_eq!(
        near("M10, zzz"),
        [
            "without `text zzz`: 3 rows: write `M10`",
            "`M10` alone: 3 rows",
            "nothing has `text zzz`"
        ]
    );
    assert_eq!(
        near("head keep torque over 500 N.m"),
        ["`keep` leaves none of the 4 rows", "what was asked is not known of head, bolt, front"]
    );
}
