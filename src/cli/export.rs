//! `export`: the fasteners of the book, as import reads them back.

use std::sync::Arc;

use crate::cli::args::{Args, Export, Format};
use crate::cli::exit::{Code, Failure};
use crate::cli::out::Out;
use crate::cli::{find, open};
use crate::query::syntax;
use crate::record::Fastener;
use crate::report;
use crate::store::{Access, Book};

/// Runs the command: CSV unless JSON is asked for.
pub(super) fn run(args: &Args, export: &Export, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(args)?;
    let fasteners = selected(args, &export.question, &opened.book)?;
    let text = match out.format {
        Format::Json => report::export_json(&fasteners),
        Format::Table | Format::Csv => report::export_csv(&fasteners),
    };
    out.answer(&text);
    Ok(if fasteners.is_empty() { Code::Nothing } else { Code::Answered })
}

/// The fasteners that a question finds, or all of them without one.
pub(super) fn selected(
    args: &Args,
    question: &[String],
    book: &Book,
) -> Result<Vec<Arc<Fastener>>, Failure> {
    if question.is_empty() {
        return Ok(book.find(&Access::All)?.fasteners);
    }
    let rows = find::ask(args, &syntax::join_arguments(question), book)?.rows;
    let mut fasteners: Vec<Arc<Fastener>> = rows.into_iter().map(|row| row.fastener).collect();
    fasteners.dedup_by(|a, b| a.key == b.key);
    Ok(fasteners)
}
