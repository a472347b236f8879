//! The rows that were not taken, as a file that can be corrected and imported
//! again.

use crate::intake::outcome::TableRead;
use crate::intake::{IntakeError, Report, Sheet};
use crate::text::is_changed_by_a_spreadsheet;

/// Heading of the column that says why; import leaves it out.
pub(crate) const WHY: &str = "Why not taken";

/// The rows of `sheet` that `report` could not take, in the order of the file:
/// its titles and headings, its cells as written, and one more column with the
/// reasons. Cells are parted as in the file, by commas where it has no delimiter.
pub fn leftovers(sheet: &Sheet, report: &Report) -> Result<String, IntakeError> {
    let delimiter = sheet.delimiter.unwrap_or(',');
    let mut out = String::new();
    let mut tables = report.tables.iter().peekable();
    let mut table: Option<&TableRead> = None;
    let mut is_written = false;
    let mut section: Option<String> = None;
    let mut rows = sheet.rows()?;
    while let Some(row) = rows.next()? {
        while let Some(next) =
            tables.next_if(|next| (next.page, next.header) <= (row.page, row.line))
        {
            (table, is_written, section) = (Some(next), false, None);
        }
        let Some(table) = table else { continue };
        let mut filled = row.cells().filter(|cell| !cell.is_empty());
        if let (Some(title), None) = (filled.next(), filled.next()) {
            section = Some(title.to_owned());
        }
        let place = (row.page, row.line);
        let Ok(at) = report.bad_rows.binary_search_by_key(&place, |bad| (bad.page, bad.line))
        else {
            continue;
        };
        if !is_written {
            head(&mut out, table, delimiter);
            is_written = true;
        }
        if let Some(title) = section.take() {
            line(&mut out, [title.as_str()].into_iter(), delimiter);
        }
        let width = table.headings.len();
        let kept = (0..width).filter(|at| table.headings[*at] != WHY);
        let reasons = report.bad_rows[at].reasons.join("; ");
        let cells = kept.map(|at| row.cell(at));
        let beyond: Vec<&str> = (width..row.len()).map(|at| row.cell(at)).collect();
        let beyond: Vec<&str> = beyond.into_iter().filter(|cell| !cell.is_empty()).collect();
        let reasons = if beyond.is_empty() {
            reasons
        } else {
            format!("{reasons}; beyond the last heading: {}", beyond.join(" "))
        };
        line(&mut out, cells.chain([reasons.as_str()]), delimiter);
    }
    if let Some(table) = report.tables.first().filter(|_| out.is_empty()) {
        head(&mut out, table, delimiter);
    }
    Ok(out)
}

/// Titles and headings of a table; the machine too that only the name of the
/// file tells, as this file has another name.
fn head(out: &mut String, table: &TableRead, delimiter: char) {
    if !out.is_empty() {
        out.push('\n');
    }
    if let Some(assembly) = &table.assembly {
        line(out, [format!("Assembly: {assembly}").as_str()].into_iter(), delimiter);
    }
    for title in &table.titles {
        line(out, [title.as_str()].into_iter(), delimiter);
    }
    let headings = table.headings.iter().map(String::as_str).filter(|text| *text != WHY);
    line(out, headings.chain([WHY]), delimiter);
}

fn line<'a>(out: &mut String, cells: impl Iterator<Item = &'a str>, delimiter: char) {
    for (at, cell) in cells.enumerate() {
        if at > 0 {
            out.push(delimiter);
        }
        // The person who corrects it opens it in a spreadsheet: 7/16-20 stays.
        if is_changed_by_a_spreadsheet(cell) {
            out.push('\'');
        }
        let special = |c: char| c == delimiter || matches!(c, '"' | '\n' | '\r');
        if cell.contains(special) {
            out.push('"');
            out.push_str(&cell.replace('"', "\"\""));
            out.push('"');
        } else {
            out.push_str(cell);
        }
    }
    out.push('\n');
}
