//! What an answer says besides its rows: which rows one word more or less would
//! have found, where else a name occurs, why threads are mistaken for each
//! other, and where nothing was found, what is nearest. A stage of its own after
//! `run`: it asks the book again, and changes no row.

mod elsewhere;
mod near;
mod tested;
mod wider;
mod words;

pub use elsewhere::{denied, meant, second};

use crate::query::plan;
use crate::query::resolve::{Question, Test};
use crate::query::run::{self, Answer, Counted};
use crate::store::{Book, StoreError};

/// Beyond so many settings read a second look at each of them would be felt.
const MOST_LOOKED_AT: usize = 5_000;

/// Adds to `answer` what `question` calls for.
pub fn add(question: &Question, answer: &mut Answer, book: &Book) -> Result<(), StoreError> {
    answer.remarks.extend(wider::mistaken(question, &answer.threads()));
    if answer.read <= MOST_LOOKED_AT {
        answer.remarks.extend(wider::remarks(question, book)?);
        let tested = tested::remarks(question, answer.matched, book)?;
        answer.readings.extend(tested.readings);
        answer.remarks.extend(tested.remarks);
        answer.remarks.extend(near::of_other_duties(question, book)?);
    }
    answer.remarks.extend(partly(answer.partly));
    let has_rows = answer.count() > 0 || answer.tally.is_some();
    answer.remarks.extend(charts(answer.charts).filter(|_| has_rows));
    answer.remarks.extend(near::named_elsewhere(question, book)?);
    answer.remarks.extend(near::denied_by_tag(question, book)?);
    answer.remarks.extend(level(question, answer));
    match &answer.tally {
        None if answer.count() == 0 => {
            answer.near = near::only_charts(question, answer.charts).into_iter().collect();
            answer.near.extend(near::misses(question, answer.matched, book)?);
            answer.near.extend(left_out(answer));
        }
        Some(tally) if tally.groups.is_empty() => {
            answer.remarks.extend(near::misses(question, answer.matched, book)?);
        }
        _ => {}
    }
    Ok(())
}

/// Rows that the last one shown does not stand before: there is no one longest stud
/// where two are as long.
fn level(question: &Question, answer: &Answer) -> Option<String> {
    let (count, first) = (answer.level, question.first?);
    let what = if answer.tally.is_some() { "group" } else { "row" };
    let are = if count == 1 { format!("{what} is") } else { format!("{what}s are") };
    (count > 0).then(|| {
        format!("{count} more {are} level with the last of them: write `first {}`", first + count)
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

fn partly(rows: usize) -> Option<String> {
    match rows {
        0 => None,
        1 => Some("1 row states a range of which only a part passes".to_owned()),
        _ => Some(format!("{rows} rows state a range of which only a part passes")),
    }
}

/// Rows of general charts are for no joint in particular.
fn charts(rows: usize) -> Option<String> {
    let counted = if rows == 1 { "1 row".to_owned() } else { format!("{rows} rows") };
    (rows > 0)
        .then(|| format!("{counted} of general charts left out: add `basis chart` to see them"))
}

/// The stored rows for which `test` holds and `except` does not.
fn count(test: &Test, except: Option<&Test>, book: &Book) -> Result<Counted, StoreError> {
    let access = plan::access(Some(test), |access| book.estimate(access));
    run::count(test, except, &access, book)
}
