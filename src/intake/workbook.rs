//! XLSX and ODS workbooks as rows under headings.
//!
//! A cell keeps what the sheet shows as far as it can be known: a date that
//! was once a fraction comes as a date and is refused by the cell reader, a
//! formula without its value is an error, a unit that exists only in the
//! number format is lost, and the reader then asks for it.

use std::collections::BTreeMap;
use std::io::Cursor;

use calamine::{Data, Ods, Reader, SheetVisible, Xlsx};

use crate::intake::guard::{Kind, guard};
use crate::intake::header_row::{HEADER_WITHIN, Wanted};
use crate::intake::hidden::Hidden;
use crate::intake::split::RawRow;
use crate::intake::{IntakeError, Sheet};
use crate::text::fold_name;

/// Filled cells of one sheet, by row and column from 0.
type Grid = BTreeMap<u32, BTreeMap<u32, String>>;

/// More filled cells than any shop's sheet holds.
const MOST_CELLS: usize = 20_000_000;
/// What stands in place of a formula whose value was not saved.
pub(crate) const NO_VALUE: &str = "#FORMULA!";

/// Reads one sheet of an XLSX or ODS workbook: the one named `sheet`, or the
/// only visible one that has a header row. `name` is what messages call the
/// file.
pub fn read_workbook(bytes: &[u8], name: &str, sheet: Option<&str>) -> Result<Sheet, IntakeError> {
    read_workbook_with(bytes, name, sheet, &Wanted::default())
}

pub(crate) fn read_workbook_with(
    bytes: &[u8],
    name: &str,
    sheet: Option<&str>,
    wanted: &Wanted,
) -> Result<Sheet, IntakeError> {
    let (kind, hidden) = guard(bytes, name)?;
    let mut grids = match kind {
        Kind::Xlsx => xlsx_grids(bytes, name)?,
        Kind::Ods => ods_grids(bytes, name)?,
    };
    let fault = |problem: String, advice: String| IntakeError::Notation {
        file: name.to_owned(),
        place: String::new(),
        problem,
        advice,
    };
    let names: Vec<String> = grids.iter().map(|(name, _)| name.clone()).collect();
    if let Some(wanted) = sheet {
        grids.retain(|(name, _)| fold_name(name) == fold_name(wanted));
        if grids.is_empty() {
            let problem = format!("there is no sheet `{wanted}`");
            return Err(fault(problem, format!("the sheets are: {}", names.join(", "))));
        }
    }
    let mut found: Vec<Sheet> = grids
        .into_iter()
        .filter_map(|(sheet, grid)| under_header(name, &sheet, &grid, &hidden, wanted))
        .collect();
    match found.len() {
        1 => Ok(found.remove(0)),
        0 => {
            let problem = "no sheet has a header row".to_owned();
            let advice = "one row must name the columns, such as Assembly, Joint, Part, Thread";
            Err(fault(problem, advice.to_owned()))
        }
        _ => {
            let sheets: Vec<&str> =
                found.iter().filter_map(|one| one.name.rsplit('/').next()).collect();
            let problem = format!("several sheets have a header row: {}", sheets.join(", "));
            Err(fault(problem, "say which one with --sheet".to_owned()))
        }
    }
}

/// The rows of a sheet below its header row; None if it has none.
fn under_header(
    file: &str,
    sheet: &str,
    grid: &Grid,
    hidden: &Hidden,
    wanted: &Wanted,
) -> Option<Sheet> {
    let hidden = hidden.rows_of(sheet);
    let mut best: Option<(u32, usize)> = None;
    for (row, cells) in grid.iter().take(HEADER_WITHIN) {
        let score = wanted.score(row + 1, cells.values().map(String::as_str));
        if let Some(score) = score.filter(|score| best.is_none_or(|(_, most)| score.points > most))
        {
            best = Some((*row, score.points));
            if score.is_sure {
                break;
            }
        }
    }
    let (header, _) = best?;
    let width = grid.range(header..).filter_map(|(_, row)| row.keys().next_back()).max()? + 1;
    let cells = |row: &BTreeMap<u32, String>| -> Vec<String> {
        (0..width).map(|column| row.get(&column).cloned().unwrap_or_default()).collect()
    };
    let titles = grid.range(..header).map(|(_, row)| {
        let words: Vec<&str> = row.values().map(String::as_str).collect();
        words.join(" ")
    });
    let titles: Vec<String> = titles.collect();
    let headings = cells(&grid[&header]);
    let rows = grid.range(header + 1..).map(|(line, row)| {
        let mut raw = RawRow::on_line(line + 1);
        raw.is_hidden = hidden.contains(&(line + 1));
        for column in 0..width {
            raw.push(row.get(&column).map_or("", String::as_str));
        }
        raw
    });
    let rows: Vec<RawRow> = rows.collect();
    Some(Sheet::of_rows(&format!("{file}/{sheet}"), headings, (header + 1, titles), rows))
}

fn broken(name: &str, error: impl std::fmt::Display) -> IntakeError {
    IntakeError::Notation {
        file: name.to_owned(),
        place: String::new(),
        problem: format!("the workbook cannot be read: {error}"),
        advice: "save it again, or as CSV".to_owned(),
    }
}

fn too_many(name: &str) -> IntakeError {
    IntakeError::Notation {
        file: name.to_owned(),
        place: String::new(),
        problem: format!("more than {MOST_CELLS} filled cells"),
        advice: "save the sheet as CSV".to_owned(),
    }
}

/// The names of the sheets that are not hidden, in order.
fn visible(sheets: &[calamine::Sheet]) -> Vec<String> {
    let shown = sheets.iter().filter(|sheet| sheet.visible == SheetVisible::Visible);
    shown.map(|sheet| sheet.name.clone()).collect()
}

fn xlsx_grids(bytes: &[u8], name: &str) -> Result<Vec<(String, Grid)>, IntakeError> {
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(|e| broken(name, e))?;
    let mut grids = Vec::new();
    let mut count = 0;
    for sheet in visible(book.sheets_metadata()) {
        // A chart sheet is no worksheet; it has no cells.
        let Ok(mut cells) = book.worksheet_cells_reader(&sheet) else { continue };
        let mut grid = Grid::new();
        while let Some(cell) = cells.next_cell_with_formula().map_err(|e| broken(name, e))? {
            let text = match (text_of(&cell.value.into()), cell.formula) {
                (text, Some(_)) if text.is_empty() => NO_VALUE.to_owned(),
                (text, _) => text,
            };
            count += usize::from(!text.is_empty());
            if count > MOST_CELLS {
                return Err(too_many(name));
            }
            if !text.is_empty() {
                grid.entry(cell.pos.0).or_default().insert(cell.pos.1, text);
            }
        }
        drop(cells);
        let merged = book.merge_cells_by_sheet_name(&sheet).unwrap_or_default();
        for region in merged.iter().filter(|region| region.start.1 == region.end.1) {
            fill_down(&mut grid, region.start, region.end.0);
        }
        grids.push((sheet, grid));
    }
    Ok(grids)
}

/// A cell merged downwards holds for every row that it covers.
fn fill_down(grid: &mut Grid, start: (u32, u32), end: u32) {
    let Some(text) = grid.get(&start.0).and_then(|row| row.get(&start.1)).cloned() else { return };
    for row in (start.0 + 1)..=end.min(start.0 + 10_000) {
        // Rows that hold nothing else are not made by a merge.
        if let Some(cells) = grid.get_mut(&row) {
            cells.entry(start.1).or_insert_with(|| text.clone());
        }
    }
}

fn ods_grids(bytes: &[u8], name: &str) -> Result<Vec<(String, Grid)>, IntakeError> {
    let mut book: Ods<_> = Ods::new(Cursor::new(bytes)).map_err(|e| broken(name, e))?;
    let mut grids = Vec::new();
    for sheet in visible(book.sheets_metadata()) {
        let range = book.worksheet_range(&sheet).map_err(|e| broken(name, e))?;
        let formulas = book.worksheet_formula(&sheet).unwrap_or_default();
        let (top, left) = range.start().unwrap_or_default();
        let mut grid = Grid::new();
        for (row, column, value) in range.used_cells() {
            let text = text_of(value);
            let (row, column) = (top + row as u32, left + column as u32);
            if !text.is_empty() {
                grid.entry(row).or_default().insert(column, text);
            }
        }
        let (top, left) = formulas.start().unwrap_or_default();
        for (row, column, formula) in formulas.used_cells() {
            let (row, column) = (top + row as u32, left + column as u32);
            if !formula.is_empty() {
                let cells = grid.entry(row).or_default();
                cells.entry(column).or_insert_with(|| NO_VALUE.to_owned());
            }
        }
        grids.push((sheet, grid));
    }
    Ok(grids)
}

/// A cell as text. A number is written without the noise of its last bits.
fn text_of(value: &Data) -> String {
    match value {
        Data::Empty => String::new(),
        Data::Int(number) => number.to_string(),
        Data::Float(number) => number_text(*number),
        Data::String(text) => text.replace('\0', "").trim().to_owned(),
        Data::Bool(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Data::DateTime(date) if date.is_datetime() => {
            let (year, month, day, ..) = date.to_ymd_hms_milli();
            format!("{year:04}-{month:02}-{day:02}")
        }
        Data::DateTime(other) => number_text(other.as_f64()),
        Data::DateTimeIso(text) => text.split('T').next().unwrap_or_default().to_owned(),
        Data::DurationIso(text) => text.clone(),
        Data::Error(error) => error.to_string(),
    }
}

fn number_text(number: f64) -> String {
    if number.abs() >= 1e12 {
        return format!("{number:e}");
    }
    let text = format!("{number:.9}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
