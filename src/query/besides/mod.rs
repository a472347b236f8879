//! What an answer says besides its rows: which rows one word more or less would
//! have found, where else a name occurs, why threads are mistaken for each
//! other, and where nothing was found, what is nearest. A stage of its own after
//! `run`: it asks the book again, and changes no row.

mod near;
mod tested;
mod wider;

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
        answer.remarks.extend(tested::remarks(question, answer.matched, book)?);
    }
    answer.remarks.extend(partly(answer.partly));
    answer.remarks.extend(charts(answer.charts));
    answer.remarks.extend(near::also_in_text(question, book)?);
    answer.remarks.extend(restated_all(question));
    match &answer.tally {
        None if answer.count() == 0 => {
            answer.near = near::misses(question, answer.matched, book)?;
        }
        Some(tally) if tally.groups.is_empty() => {
            answer.remarks.extend(near::misses(question, answer.matched, book)?);
        }
        _ => {}
    }
    Ok(())
}

/// `with sealant` alone: what has it is asked for otherwise.
fn restated_all(question: &Question) -> Option<String> {
    let lube = question.with.first().filter(|_| question.filter.is_none())?;
    Some(format!("every fastener is restated; to find what has it, write lube {lube}"))
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
