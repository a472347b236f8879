//! Questions answered a second time, by plain loops over the exported JSON of a
//! random book. Nothing here knows how the program finds rows: units, equality,
//! ranges, what is unknown, order and counts are written out again, as
//! grammar/questions.md states them.

use std::collections::HashMap;

use serde_json::Value;

/// One line of the export, with what was derived from it.
pub(super) type Row = HashMap<String, Value>;

/// True, false, or not known.
pub(super) type Known = Option<bool>;

/// A figure as it is typed.
#[derive(Debug, Clone)]
pub(super) struct Figure {
    pub(super) digits: String,
    pub(super) unit: &'static str,
}

/// What a row is tested for.
#[derive(Debug, Clone)]
pub(super) enum Test {
    Compare(&'static str, &'static str, Figure),
    Range(&'static str, Figure, Figure),
    Flag(&'static str),
    Has(&'static str),
    Lacks(&'static str),
    Is(&'static str, &'static str),
    Date(&'static str, &'static str, &'static str),
    Thread(&'static str),
    Not(Box<Self>),
    All(Vec<Self>),
    Any(Vec<Self>),
}

/// Base units in one of these: N·m, N, mm, 1. NIST SP 811 (2008), appendix B:
/// 1 lbf·ft = 1.355 818 N·m, 1 lbf·in = 0.112 984 8 N·m, 1 kgf·m = 9.806 65 N·m.
const UNITS: &[(&str, f64)] = &[
    ("N.m", 1.0),
    ("N·m", 1.0),
    ("lb-ft", 1.355_817_948_331_400_4),
    ("lb-in", 0.112_984_829_027_616_7),
    ("kgf·m", 9.806_65),
    ("kN", 1000.0),
    ("lbf", 4.448_221_615_260_5),
    ("mm", 1.0),
    ("in", 25.4),
    ("%", 0.01),
    ("", 1.0),
];

fn factor(unit: &str) -> f64 {
    UNITS.iter().find(|row| row.0 == unit).unwrap_or_else(|| panic!("unit `{unit}`")).1
}

impl Figure {
    pub(super) fn typed(&self) -> String {
        match self.unit {
            "" => self.digits.clone(),
            "%" => format!("{}%", self.digits),
            unit => format!("{} {unit}", self.digits),
        }
    }

    fn value(&self) -> f64 {
        self.digits.parse::<f64>().unwrap() * factor(self.unit)
    }

    /// What differs by no more is equal.
    fn slack(&self, field: &str) -> f64 {
        let places = self.digits.split_once('.').map_or(0, |(_, places)| places.len());
        let printed = 0.5 * 10_f64.powi(-i32::try_from(places).unwrap()) * factor(self.unit);
        let most = match field {
            "of-proof" | "of-yield" => 0.0005,
            "length" | "qty" | "k" | "stretch" => self.value() * 0.001,
            _ => self.value() * 0.01,
        };
        printed.min(most) + self.value() * 1e-9
    }
}

/// A stated figure of a row: its low and high end, which are one for one value
/// and for a maximum; none where it is not stated.
fn ends(row: &Row, field: &str) -> Option<(f64, f64)> {
    if let Some(key) = match field {
        "of-proof" => Some("of_proof"),
        "of-yield" => Some("of_yield"),
        "clamp" => Some("clamp_n"),
        "k" => Some("derived_k"),
        _ => None,
    } {
        return row.get(key)?.as_f64().map(|value| (value, value));
    }
    let text = match row.get(field)? {
        Value::Number(number) => return number.as_f64().map(|value| (value, value)),
        Value::String(text) => text.trim_start_matches("max ").to_owned(),
        _ => return None,
    };
    let one = |text: &str, unit: &str| text.parse::<f64>().unwrap() * factor(unit);
    match text.split_once("..") {
        None => {
            let (value, unit) = text.rsplit_once(' ').unwrap();
            Some((one(value, unit), one(value, unit)))
        }
        Some((low, high)) => {
            let (value, unit) = high.rsplit_once(' ').unwrap();
            let (bottom, own) = low.rsplit_once(' ').unwrap_or((low, unit));
            Some((one(bottom, own), one(value, unit)))
        }
    }
}

/// Whether some figure of a range passes, and whether every one does.
fn compared(row: &Row, field: &str, relation: &str, figure: &Figure) -> Option<(bool, bool)> {
    let (low, high) = ends(row, field)?;
    let (from, to) = (figure.value() - figure.slack(field), figure.value() + figure.slack(field));
    Some(match relation {
        "over" => (high > to, low > to),
        "under" => (low < from, high < from),
        "at-least" => (high >= from, low >= from),
        "at-most" => (low <= to, high <= to),
        "=" => (low <= to && high >= from, low >= from && high <= to),
        "about" => {
            let near = figure.value() * 0.05;
            let (from, to) = (figure.value() - near, figure.value() + near);
            (low <= to && high >= from, low >= from && high <= to)
        }
        other => panic!("{other}"),
    })
}

fn text<'a>(row: &'a Row, field: &str) -> Option<&'a str> {
    row.get(field).and_then(Value::as_str)
}

fn flag(row: &Row, name: &str) -> Known {
    let stated = |field: &str, yes: &str| text(row, field).map(|text| text == yes);
    match name {
        "single-use" => stated("reuse", "single-use"),
        "blind" => stated("hole", "blind"),
        "through" => stated("hole", "through"),
        "from-memory" => Some(text(row, "source-kind") == Some("memory")),
        "superseded" | "this-lube-only" | "insert" => {
            Some(row.get(name).and_then(Value::as_bool) == Some(true))
        }
        "plated" => Some(text(row, "finish").is_some_and(|finish| finish.contains("plated"))),
        other => panic!("{other}"),
    }
}

fn dated(row: &Row, field: &str, relation: &str, date: &str) -> Known {
    // Days of the book are whole: 2019-05-12.
    let found = &text(row, field)?[..date.len()];
    Some(match relation {
        "over" => found > date,
        "under" => found < date,
        _ => found == date,
    })
}

/// Whether `test` holds; with `every`, for every figure of each range.
pub(super) fn holds(row: &Row, test: &Test, every: bool) -> Known {
    match test {
        Test::Compare(field, relation, figure) => {
            compared(row, field, relation, figure).map(|(some, all)| if every { all } else { some })
        }
        Test::Range(field, low, high) => {
            let (bottom, top) = ends(row, field)?;
            let (from, to) = (low.value() - low.slack(field), high.value() + high.slack(field));
            Some(if every { bottom >= from && top <= to } else { bottom <= to && top >= from })
        }
        Test::Flag(name) => flag(row, name),
        Test::Has(field) => Some(row.contains_key(*field)),
        Test::Lacks(field) => Some(!row.contains_key(*field)),
        Test::Is(field, word) => text(row, field).map(|text| text == *word),
        Test::Date(field, relation, date) => dated(row, field, relation, date),
        Test::Thread(thread) => {
            let ends = [text(row, "thread"), text(row, "hole-thread")];
            let mut known = ends.iter().flatten().peekable();
            known.peek()?;
            let size = |found: &str| found == *thread || found.starts_with(&format!("{thread}x"));
            Some(known.any(|found| size(found)))
        }
        Test::Not(inner) => holds(row, inner, false).map(|found| !found),
        Test::All(tests) => {
            let found: Vec<Known> = tests.iter().map(|test| holds(row, test, every)).collect();
            if found.contains(&Some(false)) {
                return Some(false);
            }
            (!found.contains(&None)).then_some(true)
        }
        Test::Any(tests) => {
            let found: Vec<Known> = tests.iter().map(|test| holds(row, test, every)).collect();
            if found.contains(&Some(true)) {
                return Some(true);
            }
            (!found.contains(&None)).then_some(false)
        }
    }
}

/// What the program has to answer.
#[derive(Debug, PartialEq)]
pub(super) struct Expected {
    pub(super) keys: Vec<String>,
    pub(super) left_out: usize,
    pub(super) partly: usize,
}

/// The order of the rows.
#[derive(Debug, Clone, Default)]
pub(super) struct Order {
    pub(super) by: Option<(&'static str, bool)>,
    pub(super) first: Option<usize>,
}

/// The rows for which `test` holds, sorted and cut.
pub(super) fn answer(rows: &[Row], test: &Test, order: &Order) -> Expected {
    let mut found: Vec<&Row> = Vec::new();
    let mut left_out = 0;
    for row in rows {
        match holds(row, test, false) {
            Some(true) => found.push(row),
            None => left_out += 1,
            Some(false) => {}
        }
    }
    if let Some((by, down)) = order.by {
        // Insertion, so that ties stay in the order entered; unknown last.
        let mut sorted: Vec<&Row> = Vec::new();
        for row in found {
            let own = ends(row, by).map(|ends| ends.1);
            let stands_before = |other: &&Row| match (own, ends(other, by).map(|ends| ends.1)) {
                (Some(own), Some(other)) => {
                    if down {
                        own > other
                    } else {
                        own < other
                    }
                }
                (Some(_), None) => true,
                (None, _) => false,
            };
            let at = sorted.iter().position(stands_before).unwrap_or(sorted.len());
            sorted.insert(at, row);
        }
        found = sorted;
    }
    found.truncate(order.first.unwrap_or(usize::MAX));
    let partly = found.iter().filter(|row| holds(row, test, true) != Some(true)).count();
    let keys = found.iter().map(|row| text(row, "key").unwrap().to_owned()).collect();
    Expected { keys, left_out, partly }
}

/// Rows by the text of a field, most first, then as met; with the sum of `qty`,
/// each fastener once.
pub(super) fn tally(rows: &[Row], test: &Test, by: &str) -> Vec<(String, usize, Option<f64>)> {
    let mut groups: Vec<(String, usize, Option<f64>, Vec<String>)> = Vec::new();
    for row in rows.iter().filter(|row| holds(row, test, false) == Some(true)) {
        let name = text(row, by).unwrap_or("").to_owned();
        let fastener = text(row, "key").unwrap().split('/').next().unwrap().to_owned();
        let pieces = row.get("qty").and_then(Value::as_f64);
        let at = groups.iter().position(|group| group.0 == name).unwrap_or_else(|| {
            groups.push((name, 0, None, Vec::new()));
            groups.len() - 1
        });
        let group = &mut groups[at];
        group.1 += 1;
        if !group.3.contains(&fastener) {
            group.2 = match (group.2, pieces) {
                (Some(sum), Some(pieces)) => Some(sum + pieces),
                (sum, pieces) => sum.or(pieces),
            };
            group.3.push(fastener);
        }
    }
    let mut sorted: Vec<(String, usize, Option<f64>)> = Vec::new();
    for (name, count, sum, _) in groups {
        let at = sorted.iter().position(|other| other.1 < count).unwrap_or(sorted.len());
        sorted.insert(at, (name, count, sum));
    }
    sorted
}
