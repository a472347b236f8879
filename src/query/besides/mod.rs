//! What an answer says besides its rows: which rows one word more or less would
//! have found, where else a name occurs, why threads are mistaken for each
//! other, and where nothing was found, what is nearest. A stage of its own after
//! `run`: it asks the book again, and changes no row.

mod near;
mod wider;

use crate::query::plan;
use crate::query::resolve::{Question, Test};
use crate::query::run::{self, Answer, Counted};
use crate::store::{Book, StoreError};

/// Adds to `answer` what `question` calls for.
pub fn add(question: &Question, answer: &mut Answer, book: &Book) -> Result<(), StoreError> {
    answer.remarks.extend(wider::mistaken(question, &answer.rows));
    answer.remarks.extend(wider::remarks(question, answer.read, book)?);
    answer.remarks.extend(partly(answer.partly));
    answer.remarks.extend(charts(answer.charts));
    answer.remarks.extend(near::also_in_text(question, book)?);
    if answer.rows.is_empty() && answer.tally.is_none() {
        answer.near = near::misses(question, answer.matched, book)?;
    }
    Ok(())
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
    let words = format!("{rows} rows of general charts left aside: add `basis chart` to see them");
    (rows > 0).then_some(words)
}

/// The stored rows for which `test` holds and `except` does not.
fn count(test: &Test, except: Option<&Test>, book: &Book) -> Result<Counted, StoreError> {
    let access = plan::access(Some(test), |access| book.estimate(access));
    run::count(test, except, &access, book)
}
