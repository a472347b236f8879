//! `check`: what is wrong or doubtful in the book.

use std::sync::Arc;

use crate::audit::audit;
use crate::cli::args::{Args, Check, Format};
use crate::cli::exit::{Code, Failure};
use crate::cli::out::Out;
use crate::cli::{export, open};
use crate::record::Fastener;
use crate::report;

/// Runs the command: 1 if there are findings.
pub(super) fn run(args: &Args, check: &Check, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(args)?;
    let fasteners: Vec<Arc<Fastener>> = export::selected(args, &check.question, &opened.book)?;
    let findings = audit(&fasteners, opened.book.tables());
    let read = fasteners.len();
    let text = match out.format {
        Format::Json => report::audit_json(&findings, read).to_string(),
        Format::Table | Format::Csv => report::audit_page(&findings, read, out.width, out.style),
    };
    out.answer(&text);
    Ok(if findings.is_empty() { Code::Answered } else { Code::Nothing })
}
