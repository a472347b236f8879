//! The rows that were not taken, as a file that can be corrected and imported
//! again.

use crate::intake::{IntakeError, Report, Sheet};
use crate::text::is_spoilt;

/// Heading of the column that says why; import leaves it out.
pub(crate) const WHY: &str = "Why not taken";

/// The rows of `sheet` that `report` could not take, in the order of the file:
/// its headings, its cells as written, and one more column with the reasons.
/// Cells are parted as in the file, by commas where it has no delimiter.
pub fn leftovers(sheet: &Sheet, report: &Report) -> Result<String, IntakeError> {
    let delimiter = sheet.delimiter.unwrap_or(',');
    let mut out = String::new();
    let width = sheet.headings.len();
    let headings = sheet.headings.iter().map(String::as_str).filter(|text| *text != WHY);
    line(&mut out, headings.chain([WHY]), delimiter);
    let kept: Vec<usize> = (0..width).filter(|at| sheet.headings[*at] != WHY).collect();
    let mut rows = sheet.rows()?;
    while let Some(row) = rows.next()? {
        let Ok(at) = report.bad_rows.binary_search_by_key(&row.line, |bad| bad.line) else {
            continue;
        };
        let reasons = report.bad_rows[at].reasons.join("; ");
        let cells = kept.iter().map(|at| row.cell(*at));
        let beyond: Vec<&str> = (width..row.len()).map(|at| row.cell(at)).collect();
        let beyond: Vec<&str> = beyond.into_iter().filter(|cell| !cell.is_empty()).collect();
        let reasons = if beyond.is_empty() {
            reasons
        } else {
            format!("{reasons}; beyond the last heading: {}", beyond.join(" "))
        };
        line(&mut out, cells.chain([reasons.as_str()]), delimiter);
    }
    Ok(out)
}

fn line<'a>(out: &mut String, cells: impl Iterator<Item = &'a str>, delimiter: char) {
    for (at, cell) in cells.enumerate() {
        if at > 0 {
            out.push(delimiter);
        }
        // The person who corrects it opens it in a spreadsheet: 7/16-20 stays.
        if is_spoilt(cell) {
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
