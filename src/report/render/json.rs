//! A page as JSON: its data in order, SI and unrounded; null is "not stated".

use std::io::{self, Write};

use crate::report::page::{Data, Page, Rows};

/// Writes the page on one line, or each main row on a line of its own, to be read
/// by people too.
pub(super) fn write(page: &Page<'_>, one_line: bool, to: &mut dyn Write) -> io::Result<()> {
    to.write_all(b"{")?;
    for (index, (key, data)) in page.data.iter().enumerate() {
        if index > 0 {
            to.write_all(b",")?;
        }
        serde_json::to_writer(&mut *to, key)?;
        to.write_all(b":")?;
        match data {
            Data::Value(value) | Data::Fact(value) => serde_json::to_writer(&mut *to, value)?,
            Data::Rows(rows) => write_rows(rows.as_ref(), one_line, to)?,
        }
    }
    to.write_all(b"}\n")
}

fn write_rows(rows: &dyn Rows, one_line: bool, to: &mut dyn Write) -> io::Result<()> {
    let end: &[u8] = if one_line { b"" } else { b"\n" };
    let mut is_first = true;
    to.write_all(b"[")?;
    rows.each(&mut |row| {
        to.write_all(if is_first { b"" } else { b"," })?;
        to.write_all(end)?;
        is_first = false;
        Ok(serde_json::to_writer(&mut *to, &row)?)
    })?;
    to.write_all(if is_first { b"" } else { end })?;
    to.write_all(b"]")
}
