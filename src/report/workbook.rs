//! The fasteners of a book as an XLSX workbook, for people who read
//! spreadsheets.
//!
//! Every cell is text, so that 7/16 stays 7/16 and nothing runs as a formula;
//! only counts are numbers.

use std::sync::Arc;

use rust_xlsxwriter::{Format, Workbook, Worksheet, XlsxError};

use crate::record::{Fastener, Field, FieldKind, SheetLine};
use crate::report::csv::{stored_fields, without_sign};

/// Widest column, in letters.
const WIDEST: f64 = 40.0;

/// Why a workbook cannot be written.
#[derive(Debug, thiserror::Error)]
#[error("the workbook cannot be written: {0}; export as CSV")]
pub struct WorkbookError(#[from] XlsxError);

/// The bytes of a workbook with one sheet: the columns and rows of the CSV
/// export. A sheet holds a million rows and 32,767 characters a cell.
pub fn export_workbook(fasteners: &[Arc<Fastener>]) -> Result<Vec<u8>, WorkbookError> {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    sheet.set_name("fasteners")?.set_freeze_panes(1, 0)?;
    let fields: Vec<&Field> = stored_fields().collect();
    let mut widths: Vec<usize> = headings(sheet, &fields)?;
    let mut line = 0;
    for fastener in fasteners {
        for of_setting in SheetLine::each(fastener) {
            line += 1;
            for (column, field) in fields.iter().enumerate() {
                let cell = of_setting.cell(field);
                widths[column] = widths[column].max(cell.chars().count());
                put(sheet, (line, column), field, &cell)?;
            }
        }
    }
    for (column, width) in widths.into_iter().enumerate() {
        sheet.set_column_width(column as u16, (width as f64 + 2.0).min(WIDEST))?;
    }
    Ok(book.save_to_buffer()?)
}

fn headings(sheet: &mut Worksheet, fields: &[&Field]) -> Result<Vec<usize>, XlsxError> {
    let bold = Format::new().set_bold();
    let mut widths = Vec::new();
    for (column, field) in fields.iter().enumerate() {
        let heading = field.heading();
        widths.push(heading.chars().count());
        sheet.write_string_with_format(0, column as u16, heading, &bold)?;
    }
    Ok(widths)
}

fn put(
    sheet: &mut Worksheet,
    (line, column): (u32, usize),
    field: &Field,
    cell: &str,
) -> Result<(), XlsxError> {
    let column = column as u16;
    match cell.parse::<f64>() {
        _ if cell.is_empty() => Ok(()),
        Ok(number) if field.kind == FieldKind::Number => {
            sheet.write_number(line, column, number).map(drop)
        }
        _ => sheet.write_string(line, column, without_sign(cell)).map(drop),
    }
}
