//! XLSX and ODS workbooks as rows under headings.
//!
//! A cell keeps what the sheet shows as far as it can be known: a date that
//! was once a fraction comes as a date and is refused by the cell reader, a
//! formula without its value is an error, a unit or per cent in the number
//! format stands behind the number.

use std::collections::BTreeMap;
use std::io::Cursor;

use calamine::{Data, Ods, Reader, SheetVisible, Xlsx};

use crate::intake::guard::{Besides, Kind, guard};
use crate::intake::number_formats::{Format, Formats, OdsFormats};
use crate::intake::sheet::{Page, check, few_blanks};
use crate::intake::split::{LONGEST_CELL, RawRow};
use crate::intake::{IntakeError, Sheet};
use crate::text::fold_name;

/// Filled cells of one sheet, by row and column from 0.
type Grid = BTreeMap<u32, BTreeMap<u32, String>>;

/// More filled cells than any shop's sheet holds.
const MOST_CELLS: usize = 20_000_000;
/// More text than any shop's sheet holds.
const MOST_TEXT: usize = 128 * 1024 * 1024;
/// Rows and columns of a worksheet (ECMA-376, and OpenDocument as it is met).
const MOST_ROWS: u32 = 1_048_576;
const MOST_COLUMNS: u32 = 16_384;
/// What stands in place of a formula whose value was not saved.
pub(crate) const NO_VALUE: &str = "#FORMULA!";

/// Reads the visible sheets of an XLSX or ODS workbook, or the one named
/// `sheet`. `name` is what messages call the file.
pub fn read_workbook(bytes: &[u8], name: &str, sheet: Option<&str>) -> Result<Sheet, IntakeError> {
    let (kind, Besides { hidden, mut formats }) = guard(bytes, name)?;
    let mut grids = match kind {
        Kind::Xlsx => xlsx_grids(bytes, name)?,
        Kind::Ods => ods_grids(bytes, name, &mut formats)?,
    };
    if let Some(wanted) = sheet {
        let names: Vec<String> = grids.iter().map(|(name, _)| name.clone()).collect();
        grids.retain(|(name, _)| fold_name(name) == fold_name(wanted));
        if grids.is_empty() {
            return Err(IntakeError::notation(
                name,
                "",
                format!("there is no sheet `{wanted}`"),
                format!("the sheets are: {}", names.join(", ")),
            ));
        }
    }
    grids.retain(|(_, grid)| !grid.is_empty());
    if grids.is_empty() {
        return Err(IntakeError::Empty { file: name.to_owned() });
    }
    let (mut pages, mut rows) = (Vec::new(), Vec::new());
    let cells = || grids.iter().flat_map(|(_, grid)| grid.values());
    let widths = cells().filter_map(|row| row.keys().next_back()).map(|last| *last as usize + 1);
    few_blanks(name, cells().map(BTreeMap::len).sum(), widths.sum())?;
    for (page, (sheet, grid)) in grids.into_iter().enumerate() {
        let hidden_rows = hidden.rows_of(&sheet);
        let mut last = None;
        for (line, cells) in grid {
            // A gap between rows parts tables.
            if last.is_some_and(|last| line > last + 1) {
                let mut blank = RawRow::on_line(line);
                blank.page = u16::try_from(page).unwrap_or(u16::MAX);
                rows.push(blank);
            }
            last = Some(line);
            let mut raw = RawRow::on_line(line + 1);
            raw.page = u16::try_from(page).unwrap_or(u16::MAX);
            raw.is_hidden = hidden_rows.contains(&(line + 1));
            let width = cells.keys().next_back().map_or(0, |last| last + 1);
            for column in 0..width {
                raw.push(cells.get(&column).map_or("", String::as_str));
            }
            check(&raw, name)?;
            rows.push(raw);
        }
        let hidden_columns = hidden.columns_of(&sheet);
        pages.push(Page { name: sheet, hidden_columns, ..Page::default() });
    }
    Ok(Sheet::of_rows(name, pages, rows).upright())
}

fn broken(name: &str, error: impl std::fmt::Display) -> IntakeError {
    IntakeError::notation(
        name,
        "",
        format!("the workbook cannot be read: {error}"),
        "save it again, or as CSV",
    )
}

/// Counts cells and their text as they are unpacked: a small file can stand
/// for an endless one.
struct Bounds<'a> {
    name: &'a str,
    cells: usize,
    text: usize,
}

impl Bounds<'_> {
    fn add(&mut self, (row, column): (u32, u32), text: &str) -> Result<(), IntakeError> {
        self.cells += 1;
        self.text += text.len();
        let problem = if self.cells > MOST_CELLS {
            format!("more than {MOST_CELLS} filled cells")
        } else if self.text > MOST_TEXT {
            format!("its cells hold more than {} MiB of text", MOST_TEXT / (1024 * 1024))
        } else if row >= MOST_ROWS || column >= MOST_COLUMNS {
            format!(
                "a cell in row {} and column {}, where no workbook has one",
                u64::from(row) + 1,
                u64::from(column) + 1
            )
        } else if text.len() > LONGEST_CELL {
            format!(
                "a cell of {} bytes; no cell of a sheet is longer than {LONGEST_CELL}",
                text.len()
            )
        } else {
            return Ok(());
        };
        Err(IntakeError::notation(self.name, "", problem, "save the sheet as CSV"))
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
    let mut bounds = Bounds { name, cells: 0, text: 0 };
    for sheet in visible(book.sheets_metadata()) {
        let formats = xlsx_formats(&mut book, &sheet).map_err(|e| broken(name, e))?;
        // A chart sheet is no worksheet; it has no cells.
        let Ok(mut cells) = book.worksheet_cells_reader(&sheet) else { continue };
        let mut grid = Grid::new();
        while let Some(cell) = cells.next_cell_with_formula().map_err(|e| broken(name, e))? {
            let text = match (text_of(&cell.value.into(), formats.get(cell.pos)), cell.formula) {
                (text, Some(_)) if text.is_empty() => NO_VALUE.to_owned(),
                (text, _) => text,
            };
            if !text.is_empty() {
                bounds.add(cell.pos, &text)?;
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

/// The cells of a worksheet whose number format shows more than their number.
fn xlsx_formats(
    book: &mut Xlsx<Cursor<&[u8]>>,
    sheet: &str,
) -> Result<Formats, calamine::XlsxError> {
    let mut formats = Formats::default();
    let Ok(mut cells) = book.worksheet_cells_reader(sheet) else { return Ok(formats) };
    let read = |style: &calamine::Style| Format::read(&style.number_format.as_ref()?.format_code);
    let styles: Vec<Option<Format>> = cells.styles().iter().map(read).collect();
    if styles.iter().any(Option::is_some) {
        while let Some((row, column, style)) = cells.next_style_id()? {
            if let Some(format) = styles.get(style).and_then(Option::as_ref) {
                formats.add((row, column), format);
            }
        }
    }
    Ok(formats)
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

fn ods_grids(
    bytes: &[u8],
    name: &str,
    formats: &mut OdsFormats,
) -> Result<Vec<(String, Grid)>, IntakeError> {
    let mut book: Ods<_> = Ods::new(Cursor::new(bytes)).map_err(|e| broken(name, e))?;
    let mut grids = Vec::new();
    let mut bounds = Bounds { name, cells: 0, text: 0 };
    for sheet in visible(book.sheets_metadata()) {
        let range = book.worksheet_range(&sheet).map_err(|e| broken(name, e))?;
        let formulas = book.worksheet_formula(&sheet).unwrap_or_default();
        let (top, left) = range.start().unwrap_or_default();
        let (merged, formats) = (formats.merged_of(&sheet), formats.of(&sheet));
        let mut grid = Grid::new();
        for (row, column, value) in range.used_cells() {
            let (row, column) = (top + row as u32, left + column as u32);
            let text = text_of(value, formats.get((row, column)));
            if !text.is_empty() {
                bounds.add((row, column), &text)?;
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
        merged.into_iter().for_each(|(start, end)| fill_down(&mut grid, start, end));
        grids.push((sheet, grid));
    }
    Ok(grids)
}

/// A cell as text. A number is written without the noise of its last bits.
fn text_of(value: &Data, format: Option<&Format>) -> String {
    let shown =
        |number| format.map_or_else(|| number_text(number), |f| f.show(number, number_text));
    match value {
        Data::Empty => String::new(),
        Data::Int(number) if format.is_none() => number.to_string(),
        Data::Int(number) => shown(*number as f64),
        Data::Float(number) => shown(*number),
        Data::String(text) => text.trim().to_owned(),
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
