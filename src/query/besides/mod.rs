//! What an answer says besides its rows: which rows one word more or less would
//! have found, where else a name occurs, why threads are mistaken for each
//! other, and where nothing was found, what is nearest. A stage of its own after
//! `run`: it asks the book again, and changes no row.

mod called;
mod near;
mod second;
mod tested;
mod wider;
mod words;

pub use second::{denied, meant, second};

use crate::query::plan;
use crate::query::resolve::{Question, Test};
use crate::query::run::{self, Answer, Counted};
use crate::record::{Basis, Row, find_field};
use crate::store::{Book, StoreError};

/// Beyond so many settings read a second look at each of them would be felt.
const MOST_LOOKED_AT: usize = 5_000;

/// Adds to `answer` what `question` calls for.
pub fn add(question: &Question, answer: &mut Answer, book: &Book) -> Result<(), StoreError> {
    answer.readings.extend(restated(question, answer));
    answer.remarks.extend(wider::mistaken(question, &answer.threads()));
    if answer.read <= MOST_LOOKED_AT {
        if answer.matched > 0 {
            answer.remarks.extend(wider::remarks(question, book)?);
        }
        let tested = tested::remarks(question, answer.matched, book)?;
        answer.readings.extend(tested.readings);
        answer.remarks.extend(tested.remarks);
        answer.remarks.extend(called::of_other_duties(question, book)?);
        answer.remarks.extend(called::by_tag(question, book)?);
    }
    answer.remarks.extend(partly(answer.partly));
    answer.remarks.extend(superseded(question, answer));
    let has_rows = answer.count() > 0 || answer.tally.is_some();
    answer.remarks.extend(charts(question, answer.charts).filter(|_| has_rows));
    answer.remarks.extend(called::named_elsewhere(question, book)?);
    answer.remarks.extend(called::denied_by_tag(question, book)?);
    answer.remarks.extend(level(question, answer));
    match &answer.tally {
        None if answer.count() == 0 => {
            answer.near = near::only_charts(question, answer.charts).into_iter().collect();
            let lines = near::misses(question, answer, book)?;
            answer.near.extend(lines);
            answer.near.extend(left_out(answer));
        }
        Some(tally) if tally.groups.is_empty() => {
            let lines = near::misses(question, answer, book)?;
            answer.remarks.extend(lines);
        }
        _ => {}
    }
    Ok(())
}

/// `with` is not "that has": what it did is said, and how the other is asked.
fn restated(question: &Question, answer: &Answer) -> Option<String> {
    let lubes = question.with.join(", ");
    let is_computed = |row: &&Row| row.setting.basis == Basis::Computed;
    let (rows, answered, restated) = match &answer.overview {
        Some(all) => (all.rows, all.answered, all.computed),
        None => {
            let answered = answer.rows.iter().filter(|row| row.refused.is_none());
            (answer.rows.len(), answered.clone().count(), answered.filter(is_computed).count())
        }
    };
    let counted =
        [(answered - restated, "listed"), (restated, "restated"), (rows - answered, "refused")];
    let counted = counted.into_iter().filter(|(count, _)| *count > 0);
    let each: Vec<String> = counted.map(|(count, what)| format!("{count} {what}")).collect();
    let what = match each.as_slice() {
        // Nothing is found, or groups of rows are counted.
        [] => format!("restated for {lubes} where it is not listed"),
        [_] if answered == rows && restated == 0 => format!("listed for {lubes}, not restated"),
        [_] if restated == rows => format!("restated for {lubes}"),
        each => each.join(", "),
    };
    (!question.with.is_empty()).then(|| format!("{what}; listed for it: `lube {lubes}`"))
}

/// Rows that the last one shown does not stand before: there is no one longest stud
/// where two are as long.
fn level(question: &Question, answer: &Answer) -> Option<String> {
    let (count, first) = (answer.level, question.first?);
    let what = if answer.tally.is_some() { "group" } else { "row" };
    let are = if count == 1 { format!("{what} is") } else { format!("{what}s are") };
    (count > 0).then(|| {
        let more = format!("first {}", first + count);
        let clauses = question.clauses.replace(&format!("first {first}"), &more);
        let filter = question.filter.as_ref().map(words::words).unwrap_or_default();
        let write = format!("{filter} {clauses}");
        format!("{count} more {are} level with the last of them: write `{}`", write.trim())
    })
}

/// Where nothing is found and little is left out: what.
fn left_out(answer: &Answer) -> Option<String> {
    (!answer.unknown.is_empty()).then(|| {
        let mut names = answer.unknown.clone();
        names.dedup();
        format!("what was asked is not known of {}", names.join("; "))
    })
}

/// A figure that another has replaced stands among the others unless it is left out.
fn superseded(question: &Question, answer: &Answer) -> Option<String> {
    let flag = find_field("superseded")?;
    let count = match &answer.overview {
        Some(all) => all.superseded,
        None => answer.rows.iter().filter(|row| row.setting.superseded).count(),
    };
    let filter = question.filter.as_ref().filter(|_| !question.asks_for("superseded"))?;
    let not = Test::Not(Box::new(Test::Flag(flag)));
    let write = words::whole(&Test::All(vec![filter.clone(), not]), question);
    let are = if count == 1 { "is" } else { "are" };
    (count > 0 && count < answer.count())
        .then(|| format!("{count} of these {are} superseded: without write `{write}`"))
}

fn partly(rows: usize) -> Option<String> {
    match rows {
        0 => None,
        1 => Some("1 row states a range of which only a part passes".to_owned()),
        _ => Some(format!("{rows} rows state a range of which only a part passes")),
    }
}

/// Rows of general charts are for no joint in particular; a question about the basis has
/// them too.
fn charts(question: &Question, count: usize) -> Option<String> {
    let all = Test::Not(Box::new(Test::None(find_field("basis")?)));
    let filter = question.filter.iter().flat_map(words::parts).chain([&all]).cloned();
    let write = words::whole(&Test::All(filter.collect()), question);
    let counted = words::rows(count);
    (count > 0).then(|| format!("{counted} of general charts left out: write `{write}`"))
}

/// The stored rows for which `test` holds and `except` does not.
fn count(test: &Test, except: Option<&Test>, book: &Book) -> Result<Counted, StoreError> {
    let access = plan::access(Some(test), |access| book.estimate(access));
    run::count(test, except, &access, book)
}
