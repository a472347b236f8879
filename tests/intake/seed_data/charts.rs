//! The general charts against the tables as printed.

use std::collections::BTreeMap;

use super::{in_series, rows};

/// Size, low end and high end (none, if there is only one) of every torque.
type Printed = BTreeMap<(String, Option<String>, String), usize>;

fn charted(source: &str) -> Printed {
    let mut found = Printed::new();
    for row in rows("seed-data/charts.csv").iter().filter(|row| row["source"] == source) {
        let (numbers, unit) = row["torque"].rsplit_once(' ').unwrap();
        assert!(matches!(unit, "lb-ft" | "lb-in"));
        let ends = match (numbers.strip_prefix("max "), numbers.split_once("..")) {
            (Some(high), _) => (None, high),
            (None, Some((low, high))) => (Some(low), high),
            (None, None) => (Some(numbers), numbers),
        };
        let key = (row["thread"].clone(), ends.0.map(str::to_owned), ends.1.to_owned());
        *found.entry(key).or_default() += 1;
    }
    found
}

/// tests/data/assembly_torque.csv holds the tables as printed.
fn printed(table: &str, threads: impl Fn(&str) -> Vec<String>) -> Printed {
    let mut found = Printed::new();
    for row in rows("tests/data/assembly_torque.csv").iter().filter(|row| row["table"] == table) {
        for thread in threads(&row["size"]) {
            let low = Some(row["torque_min"].clone()).filter(|low| !low.is_empty());
            *found.entry((thread, low, row["torque_max"].clone())).or_default() += 1;
        }
    }
    found
}

#[test]
fn charts_hold_the_printed_tables_and_nothing_else() {
    let as_printed = |size: &str| vec![size.to_owned()];
    let both =
        |size: &str| ["UNC", "UNF"].map(|series| in_series(size, series).to_string()).to_vec();
    assert_eq!(charted("FAA AC 43.13-1B"), printed("AC43", as_printed));
    assert_eq!(charted("US Army TM 10-6640-238-13"), printed("ArmyTM_G1", as_printed));
    assert_eq!(charted("US Army TM 9-2320-362-14&P"), printed("ArmyTM_F1", both));
    let all = rows("seed-data/charts.csv");
    assert_eq!(all.len(), 100 + 70 + 2 * 20);
    for row in &all {
        assert_eq!((row["basis"].as_str(), row["assembly"].as_str()), ("chart", "General charts"));
        assert!(!row["page"].is_empty());
        // A chart that prints two grades on one line has no one strength.
        assert!(row["strength"].is_empty() || !row["part"].contains(" or "));
    }
}
