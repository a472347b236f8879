//! A file of any kind that intake knows, told by its first bytes.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use crate::intake::json::read_json;
use crate::intake::reference::with_own;
use crate::intake::sheet::{open_csv, read_csv};
use crate::intake::{IntakeError, Options, Sheet};

/// A text file above this size is read piece by piece.
const HELD_WHOLE: u64 = 8 * 1024 * 1024;

/// Reads a CSV, TSV, semicolon, JSON, JSON lines, XLSX or ODS file. `name` is
/// what messages call the file; of the options, the sheet
/// matters here.
pub fn read_any(bytes: &[u8], name: &str, options: &Options) -> Result<Sheet, IntakeError> {
    match kind_of(bytes, name, options)? {
        Kind::Workbook => with_own(workbook(bytes, name, options)?),
        Kind::Json => with_own(read_json(bytes, name)?),
        Kind::Text => read_csv(bytes, name),
    }
}

/// The same for a file on disk; a long text is not held in memory.
pub fn open_any(path: &Path, options: &Options) -> Result<Sheet, IntakeError> {
    let name = path.display().to_string();
    let failed = |error: std::io::Error| IntakeError::Read {
        file: name.clone(),
        problem: error.to_string(),
    };
    let mut file = File::open(path).map_err(failed)?;
    let length = file.metadata().map_err(failed)?.len();
    let mut first = Vec::new();
    file.by_ref().take(4096).read_to_end(&mut first).map_err(failed)?;
    if length > HELD_WHOLE && kind_of(&first, &name, options)? == Kind::Text {
        return open_csv(path, &name);
    }
    let mut bytes = first;
    file.read_to_end(&mut bytes).map_err(failed)?;
    read_any(&bytes, &name, options)
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Text,
    Json,
    Workbook,
}

fn kind_of(first: &[u8], name: &str, options: &Options) -> Result<Kind, IntakeError> {
    if first.starts_with(b"PK\x03\x04") {
        return Ok(Kind::Workbook);
    }
    if first.starts_with(&[0xd0, 0xcf, 0x11, 0xe0]) {
        return Err(IntakeError::notation(
            name,
            "",
            "an old binary workbook",
            "save it as XLSX, ODS or CSV",
        ));
    }
    if first.starts_with(b"-- ") && first.windows(12).any(|piece| piece == b"create table") {
        let advice = "export it as CSV, XLSX or JSON, which import reads";
        return Err(IntakeError::notation(name, "", "an SQL script", advice));
    }
    if let Some(kind) = packed_as(first) {
        return Err(IntakeError::notation(name, "", kind, "unpack it, and import what is inside"));
    }
    if options.sheet.is_some() {
        return Err(IntakeError::notation(
            name,
            "",
            "only a workbook has sheets",
            "leave the sheet out",
        ));
    }
    Ok(if is_json(first) { Kind::Json } else { Kind::Text })
}

/// What a file is that has no rows to be read, by its first bytes.
fn packed_as(first: &[u8]) -> Option<&'static str> {
    match first {
        [0x1f, 0x8b, ..] => Some("packed with gzip"),
        [b'B', b'Z', b'h', ..] => Some("packed with bzip2"),
        [0xfd, b'7', b'z', b'X', b'Z', ..] => Some("packed with xz"),
        [b'7', b'z', 0xbc, 0xaf, ..] => Some("a 7z archive"),
        [b'%', b'P', b'D', b'F', ..] => Some("a PDF, which has no cells"),
        [0x89, b'P', b'N', b'G', ..] | [0xff, 0xd8, 0xff, ..] => {
            Some("a picture, which has no cells")
        }
        _ => None,
    }
}

/// A heading row never starts with a bracket or brace.
fn is_json(bytes: &[u8]) -> bool {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    matches!(bytes.trim_ascii_start().first(), Some(b'{' | b'['))
}

#[cfg(feature = "spreadsheet")]
fn workbook(bytes: &[u8], name: &str, options: &Options) -> Result<Sheet, IntakeError> {
    crate::intake::workbook::read_workbook(bytes, name, options.sheet.as_deref())
}

#[cfg(not(feature = "spreadsheet"))]
fn workbook(_: &[u8], name: &str, _: &Options) -> Result<Sheet, IntakeError> {
    Err(IntakeError::notation(name, "", "this build reads no workbooks", "save the sheet as CSV"))
}
