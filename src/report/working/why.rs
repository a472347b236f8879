//! `find --why`: the working of every row of an answer.

use std::sync::Arc;

use crate::query::run::Answer;
use crate::record::{Row, Tables};
use crate::report::cells;
use crate::report::lay::{clean, untied};
use crate::report::style::Style;
use crate::report::working::strength::sections;
use crate::report::working::{Working, row_working};

/// Columns of the notebook: it is read on a terminal or on paper.
const WIDTH: usize = 80;

/// The working of every row, one page for each fastener: its sections once,
/// then each of its settings. Nothing for an answer without rows.
pub fn why(answer: &Answer, tables: &Tables) -> String {
    if answer.rows.is_empty() {
        return String::new();
    }
    let groups = answer.rows.chunk_by(|a, b| Arc::ptr_eq(&a.fastener, &b.fastener));
    let page = |group: &[Row]| {
        let mut lines = vec![heading(&group[0])];
        let mut working = Working::default();
        if group.iter().any(|row| row.refused.is_none()) {
            let known = group.iter().find(|row| row.refused.is_none()).unwrap_or(&group[0]);
            sections(&known.fastener, &known.derived, tables, &mut working);
        }
        lines.extend(working.draw(WIDTH, Style::plain()));
        for row in group {
            lines.push(String::new());
            lines.push(setting_line(row));
            lines.extend(row_working(row, tables, true).draw(WIDTH, Style::plain()));
        }
        lines.join("\n")
    };
    let pages: Vec<String> = groups.map(page).collect();
    format!("\n{}\n{FOOT}\n", pages.join("\n\n"))
}

const FOOT: &str = "The working keeps four figures; a pull is rounded to what it can promise.";

/// `WHY  Marlow 6 / head  stud, long  7/16-20`.
fn heading(row: &Row) -> String {
    let fastener = &row.fastener;
    let thread = cells::turned(row);
    untied(&format!("WHY  {}  {}  {thread}", cells::place(fastener), clean(&fastener.part)))
}

/// `oil  88 lb-ft  LISTED`.
fn setting_line(row: &Row) -> String {
    let how = match &row.refused {
        Some(_) => "refused".to_owned(),
        None => crate::report::pull::pull_words(
            &row.setting,
            &crate::query::run::UnitsWanted::AsWritten,
        ),
    };
    let basis = if row.refused.is_some() { String::new() } else { cells::basis(row) };
    untied(&format!("{}  {how}  {basis}", cells::lube(&row.setting))).trim_end().to_owned()
}
