//! `check`: what is wrong or doubtful in the book.

use std::sync::Arc;

use crate::audit::{Bench, audit, audit_bench};
use crate::cli::args::{Args, Check, Format};
use crate::cli::bench::today;
use crate::cli::exit::{Code, Failure};
use crate::cli::out::Out;
use crate::cli::{export, log, open};
use crate::record::Fastener;
use crate::report;

/// Runs the command: 1 if there are findings.
pub(super) fn run(args: &Args, check: &Check, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(args)?;
    let fasteners: Vec<Arc<Fastener>> = export::selected(args, &check.question, &opened.book)?;
    let mut findings = audit(&fasteners, opened.book.tables());
    let (log, wrenches) = (opened.book.log()?, opened.book.wrenches()?);
    let bolts = log::states(&opened.book)?;
    let tables = opened.book.tables();
    let bench = Bench { wrenches, bolts: &bolts, tables, log, day: today() };
    let keys = fasteners.iter().map(|fastener| fastener.key.as_str()).collect();
    findings.extend(audit_bench(&bench, &keys, check.question.is_empty()));
    let read = fasteners.len();
    let text = match out.format {
        Format::Json => report::audit_json(&findings, read).to_string(),
        Format::Table | Format::Csv => report::audit_page(&findings, read, out.width, out.style),
    };
    out.answer(&text);
    Ok(if findings.is_empty() { Code::Answered } else { Code::Nothing })
}
