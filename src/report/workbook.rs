//! The fasteners of a book as an XLSX workbook, for people who read
//! spreadsheets.
//!
//! Every cell is text, so that 7/16 stays 7/16 and nothing runs as a formula;
//! only counts are numbers.

use std::io::{self, Write};

use rust_xlsxwriter::{Format, Workbook, Worksheet, XlsxError};

use crate::record::{Field, FieldKind, SheetLine, stored_fields};
use crate::report::csv::without_sign;
use crate::report::exported::{Fasteners, own_lines};

/// Widest column, in letters.
const WIDEST_COLUMN: f64 = 40.0;

/// Writes a workbook with the columns and rows of the CSV export on one sheet, and
/// the shop's own lubes and strengths on a sheet each. It is held until it is whole;
/// a sheet may have a million rows and 32,767 characters a cell.
///
/// # Errors
/// What `to` returns, or that the sheet cannot hold the book.
pub fn export_workbook(
    fasteners: &(impl Fasteners + ?Sized),
    to: &mut dyn Write,
) -> io::Result<()> {
    let mut book = Workbook::new();
    let fields: Vec<&Field> = stored_fields().collect();
    let sheet = book.add_worksheet();
    let mut widths = headings(sheet, "fasteners", &fields).map_err(unwritable)?;
    let mut line = 0;
    fasteners.each(&mut |fastener| {
        for of_setting in SheetLine::each(fastener) {
            line += 1;
            for (column, field) in fields.iter().enumerate() {
                let cell = of_setting.cell(field);
                widths[column] = widths[column].max(cell.chars().count());
                put(sheet, (line, column), field, &cell).map_err(unwritable)?;
            }
        }
        Ok(())
    })?;
    for (column, width) in widths.into_iter().enumerate() {
        let width = (width as f64 + 2.0).min(WIDEST_COLUMN);
        sheet.set_column_width(column as u16, width).map_err(unwritable)?;
    }
    for (table, lines) in own_lines(fasteners.own()) {
        let fields: Vec<&Field> = table.fields.iter().collect();
        let sheet = book.add_worksheet();
        headings(sheet, table.listed, &fields).map_err(unwritable)?;
        for (at, line) in lines.iter().enumerate() {
            for (field, cell) in line {
                let column = fields.iter().position(|one| one.name == field.name).unwrap_or(0);
                put(sheet, (at as u32 + 1, column), field, cell).map_err(unwritable)?;
            }
        }
    }
    to.write_all(&book.save_to_buffer().map_err(unwritable)?)
}

fn unwritable(error: XlsxError) -> io::Error {
    io::Error::new(
        io::ErrorKind::InvalidInput,
        format!("the workbook cannot be written: {error}; export as CSV"),
    )
}

fn headings(sheet: &mut Worksheet, name: &str, fields: &[&Field]) -> Result<Vec<usize>, XlsxError> {
    sheet.set_name(name)?.set_freeze_panes(1, 0)?;
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
