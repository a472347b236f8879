//! A file of any kind that intake knows, told by its first bytes.

use crate::intake::json::read_json;
use crate::intake::{IntakeError, Sheet, read_csv};

/// Reads a CSV, TSV, semicolon, JSON, JSON lines, XLSX or ODS file. `sheet`
/// names the sheet of a workbook that has several; `name` is what messages
/// call the file.
pub fn read_any(bytes: &[u8], name: &str, sheet: Option<&str>) -> Result<Sheet, IntakeError> {
    if bytes.starts_with(b"PK\x03\x04") {
        return workbook(bytes, name, sheet);
    }
    if bytes.starts_with(&[0xd0, 0xcf, 0x11, 0xe0]) {
        return Err(notation(name, "an old binary workbook", "save it as XLSX, ODS or CSV"));
    }
    if sheet.is_some() {
        return Err(notation(name, "only a workbook has sheets", "leave --sheet out"));
    }
    if is_json(bytes) { read_json(bytes, name) } else { read_csv(bytes, name) }
}

fn notation(name: &str, problem: &str, advice: &str) -> IntakeError {
    let (problem, advice) = (problem.to_owned(), advice.to_owned());
    IntakeError::Notation { file: name.to_owned(), place: String::new(), problem, advice }
}

/// A heading row never starts with a bracket or brace.
fn is_json(bytes: &[u8]) -> bool {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    matches!(bytes.trim_ascii_start().first(), Some(b'{' | b'['))
}

#[cfg(feature = "spreadsheet")]
fn workbook(bytes: &[u8], name: &str, sheet: Option<&str>) -> Result<Sheet, IntakeError> {
    crate::intake::workbook::read_workbook(bytes, name, sheet)
}

#[cfg(not(feature = "spreadsheet"))]
fn workbook(_: &[u8], name: &str, _: Option<&str>) -> Result<Sheet, IntakeError> {
    Err(notation(name, "this build reads no workbooks", "save the sheet as CSV"))
}
