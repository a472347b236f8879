//! What an answer says besides its rows: rows that one word more or less would
//! have found, and why threads are mistaken for each other.

use crate::query::resolve::{Question, Test};
use crate::query::run::{filtered, keys};
use crate::record::{Row, Tables, find_field};
use crate::store::Found;
use crate::thread::{BY_FINGERS, Thread, look_alikes};

/// Beyond so many fasteners a second look at each of them would be felt.
const MOST_LOOKED_AT: usize = 2_000;

/// The remarks on the `own` rows that the filter keeps of what was `found`.
pub(super) fn remarks(
    question: &Question,
    found: &Found,
    own: &[Row],
    tables: &Tables,
) -> Vec<String> {
    let mut remarks: Vec<String> =
        question.confused.iter().flat_map(|thread| mistaken(thread, own)).collect();
    if found.fasteners.len() > MOST_LOOKED_AT {
        return remarks;
    }
    let Some(filter) = &question.filter else { return remarks };
    let more = |other: Option<Test>| {
        let wider = Question { filter: Some(other?), ..Question::default() };
        let own = keys(own);
        let rows = filtered(&wider, found, tables).rows;
        let is_new = |row: &&Row| !row.fastener.is_chart() && !own.contains(row.key.as_str());
        Some(rows.iter().filter(is_new).count()).filter(|count| *count > 0)
    };
    if let Some((kind, others)) = without_kind(filter)
        && let Some(count) = more(others)
    {
        remarks.push(format!("{count} more without `{kind}`"));
    }
    if let Some(count) = more(open_without_sealant(filter)) {
        let rows = if count == 1 { "row opens" } else { "rows open" };
        remarks.push(format!(
            "{count} more {rows} into oil, coolant or a port and state no sealant: \
             write `wet lacks sealant`"
        ));
    }
    remarks
}

/// The kind that a bare word asks for among other parts, and the filter
/// without it. No part of a kind is looked up by an index, so what was found
/// holds the others too.
fn without_kind(filter: &Test) -> Option<(&'static str, Option<Test>)> {
    let Test::All(tests) = filter else { return None };
    let kind = |test: &Test| match test {
        Test::Any(either) => match either.as_slice() {
            [Test::Choice(field, word), Test::Says(..)] if field.name == "kind" => Some(*word),
            _ => None,
        },
        _ => None,
    };
    let at = tests.iter().position(|test| kind(test).is_some())?;
    let mut others = tests.clone();
    let word = kind(&others.remove(at))?;
    Some((word, (!others.is_empty()).then_some(Test::All(others))))
}

/// The filter with "opens into something, sealant not stated" in place of
/// "sealant stated".
fn open_without_sealant(filter: &Test) -> Option<Test> {
    let (wet, sealant) = (find_field("wet")?, find_field("sealant")?);
    let is_asked = |test: &Test| matches!(test, Test::Stated(field) if field.name == "sealant");
    let instead = || Test::All(vec![Test::Flag(wet), Test::Not(Box::new(Test::Stated(sealant)))]);
    match filter {
        one if is_asked(one) => Some(instead()),
        Test::All(tests) => {
            let at = tests.iter().position(is_asked)?;
            let mut tests = tests.clone();
            tests[at] = instead();
            Some(Test::All(tests))
        }
        _ => None,
    }
}

/// For each thread of `rows` that is mistaken for `thread`, what a wrong pair does.
fn mistaken(thread: &Thread, rows: &[Row]) -> Vec<String> {
    let ends = |row: &Row| {
        let fastener = &row.fastener;
        fastener.thread.iter().chain(&fastener.hole_thread).cloned().collect::<Vec<_>>()
    };
    let found: Vec<Thread> = rows.iter().flat_map(ends).collect();
    let mut said: Vec<Thread> = Vec::new();
    let mut lines = Vec::new();
    for pair in look_alikes(thread) {
        let is_new =
            found.iter().any(|one| is_twin(one, &pair.other)) && !said.contains(&pair.other);
        if is_new {
            lines.push(format!("{pair}."));
            said.push(pair.other);
        }
    }
    lines.extend((!lines.is_empty()).then(|| BY_FINGERS.to_owned()));
    lines
}

/// One thread by form, size, pitch and hand, whatever its root.
pub(super) fn is_twin(one: &Thread, other: &Thread) -> bool {
    one.series().family() == other.series().family()
        && one.size() == other.size()
        && one.pitch() == other.pitch()
        && one.is_left_hand() == other.is_left_hand()
}
