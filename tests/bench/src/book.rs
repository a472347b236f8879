//! The book's side.

use std::path::Path;

use clampbook::query::{self, resolve, syntax};
use clampbook::record::{Basis, field_words};
use clampbook::store::{Access, Book};

use crate::{Anyhow, median};

/// Settings in a range of torques, by the index.
pub(crate) fn range(book: &Path, low: f64, high: f64) -> Anyhow<()> {
    let book = Book::open(book)?;
    median(100, || {
        let found = book.find(&Access::Torque { low, high })?;
        let settings = found.fasteners.iter().flat_map(|f| &f.settings);
        // The general charts, which every new book has, are not in SQLite.
        let own = settings.filter(|setting| setting.basis != Basis::Chart);
        let within = own.filter(|setting| {
            setting.torque.is_some_and(|torque| {
                let (from, to) = (torque.low().map_or(0.0, |t| t.nm()), torque.high().nm());
                from <= high && to >= low
            })
        });
        Ok(within.count())
    })
}

/// A question in process, the book open.
pub(crate) fn ask(book: &Path, question: &str) -> Anyhow<()> {
    let book = Book::open(book)?;
    let answer = || query::answer(question, &book).map(|answer| answer.rows.len());
    median(3, || answer().map_err(|error| error.to_string().into()))
}

/// Parse and resolve alone.
pub(crate) fn parse(book: &Path, question: &str) -> Anyhow<()> {
    let book = Book::open(book)?;
    let names = resolve::Names { vocabulary: book.vocabulary()?, tables: book.tables(), is_second: false };
    median(1000, || {
        let tree = syntax::parse(question, field_words()).map_err(|_| "not a question")?;
        resolve::resolve(&tree, names).map_err(|_| "not resolved")?;
        Ok(1)
    })
}
