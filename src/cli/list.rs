//! `list`: the tables of the book.

use crate::cli::args::{Args, Format, List, Listed};
use crate::cli::exit::{Code, Failure};
use crate::cli::open;
use crate::cli::out::Out;
use crate::report;

/// Runs the command.
pub(super) fn run(args: &Args, list: &List, out: &mut Out) -> Result<Code, Failure> {
    let json = out.format == Format::Json;
    if list.what == Listed::Fields {
        let page = if json { report::fields_json() } else { report::fields_page(out.width) };
        out.answer(&page);
        return Ok(Code::Answered);
    }
    let opened = open::reader(args)?;
    let tables = opened.book.tables();
    let page = match (list.what, json) {
        (Listed::Lubes, true) => report::lube_list_json(tables),
        (Listed::Lubes, false) => report::lube_list(tables, out.width),
        (_, true) => report::strength_list_json(tables),
        (_, false) => report::strength_list(tables, out.width),
    };
    out.answer(&page);
    Ok(Code::Answered)
}
