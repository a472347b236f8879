//! `export`: the fasteners of the book, as import reads them back.

use std::sync::Arc;

use crate::cli::args::{Args, Export, Format};
use crate::cli::exit::{Code, Failure};
use crate::cli::out::Out;
use crate::cli::{find, open};
use crate::query::syntax;
use crate::record::Fastener;
use crate::report;
use crate::store::Access;

/// Runs the command: CSV unless JSON is asked for.
pub(super) fn run(args: &Args, export: &Export, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(args)?;
    let fasteners: Vec<Arc<Fastener>> = if export.question.is_empty() {
        opened.book.find(&Access::All)?.fasteners
    } else {
        let text = syntax::join_arguments(&export.question);
        let rows = find::ask(args, &text, &opened.book)?.rows;
        let mut fasteners: Vec<Arc<Fastener>> = rows.into_iter().map(|row| row.fastener).collect();
        fasteners.dedup_by(|a, b| a.key == b.key);
        fasteners
    };
    let text = match out.format {
        Format::Json => report::export_json(&fasteners),
        Format::Table | Format::Csv => report::export_csv(&fasteners),
    };
    out.answer(&text);
    Ok(if fasteners.is_empty() { Code::Nothing } else { Code::Answered })
}
