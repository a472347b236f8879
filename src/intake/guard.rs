//! Whether a workbook may be unpacked: a small file can hold an endless one.

use std::io::{Cursor, Read};

use zip::ZipArchive;

use crate::intake::IntakeError;
use crate::intake::hidden::{Hidden, Tags, attribute};
use crate::intake::number_formats::OdsFormats;

/// Which kind of workbook it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Office Open XML (ECMA-376).
    Xlsx,
    /// OpenDocument (ISO/IEC 26300).
    Ods,
}

/// What the library that reads the cells does not tell.
#[derive(Debug, Default)]
pub(crate) struct Besides {
    pub(crate) hidden: Hidden,
    pub(crate) formats: OdsFormats,
}

/// Most bytes that all parts of a workbook may unpack to.
const MOST_BYTES: u64 = 512 * 1024 * 1024;
/// A part that unpacks to more than this many times its packed size is no
/// sheet: XML packs about twenty to one, a bomb a thousand to one.
const MOST_RATIO: u64 = 250;
/// Parts up to this size may pack as well as they like.
const SMALL: u64 = 8 * 1024 * 1024;
/// Most parts.
const MOST_PARTS: usize = 10_000;
/// Most filled cells that repeats in an ODS sheet may make.
const MOST_REPEATED: u64 = 5_000_000;

/// Unpacks every part once, counting and keeping nothing: the sizes that an
/// archive states of itself are not to be trusted.
pub(crate) fn guard(bytes: &[u8], name: &str) -> Result<(Kind, Besides), IntakeError> {
    guard_within(bytes, name, MOST_BYTES)
}

fn guard_within(bytes: &[u8], name: &str, most_bytes: u64) -> Result<(Kind, Besides), IntakeError> {
    let fault =
        |(problem, advice): (String, &str)| IntakeError::notation(name, "", problem, advice);
    let broken =
        |error: zip::result::ZipError| fault((format!("{UNREADABLE}: {error}"), SAVE_AGAIN));
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(broken)?;
    if archive.len() > MOST_PARTS {
        return Err(fault((format!("the workbook has {} parts", archive.len()), SAVE_AGAIN)));
    }
    let mut left = most_bytes;
    let mut kind = None;
    let mut besides = Besides::default();
    for at in 0..archive.len() {
        let mut part = archive.by_index(at).map_err(broken)?;
        let path = part.name().map_err(broken)?.into_owned();
        match path.as_str() {
            "xl/workbook.xml" => kind = Some(Kind::Xlsx),
            "content.xml" => kind = Some(Kind::Ods),
            _ => {}
        }
        let packed = part.compressed_size();
        left = unpack(&mut part, &path, packed, left, &mut besides).map_err(fault)?.ok_or_else(
            || {
                let most = most_bytes / (1024 * 1024);
                fault((format!("the workbook unpacks to more than {most} MiB"), AS_CSV))
            },
        )?;
    }
    let kind = kind
        .ok_or_else(|| fault(("neither XLSX nor ODS".to_owned(), "save it as XLSX, ODS or CSV")))?;
    Ok((kind, besides))
}

const UNREADABLE: &str = "the workbook cannot be unpacked";
const SAVE_AGAIN: &str = "save it again, or as CSV";
const AS_CSV: &str = "save the sheet as CSV";

/// Unpacks the part at `path` and keeps only what is `besides`: how many of the `left` bytes remain;
/// None if they do not suffice. An error is what is wrong and what to do.
fn unpack(
    part: &mut impl Read,
    path: &str,
    packed: u64,
    mut left: u64,
    besides: &mut Besides,
) -> Result<Option<u64>, (String, &'static str)> {
    let mut unpacked = 0u64;
    let (mut tags, mut repeats) = (Tags::default(), Repeats::default());
    let mut piece = vec![0u8; 64 * 1024];
    loop {
        let length = part
            .read(&mut piece)
            .map_err(|error| (format!("{UNREADABLE}: {error}"), SAVE_AGAIN))?;
        if length == 0 {
            return Ok(Some(left));
        }
        match left.checked_sub(length as u64) {
            Some(rest) => left = rest,
            None => return Ok(None),
        }
        unpacked += length as u64;
        if unpacked > SMALL && unpacked / MOST_RATIO > packed {
            return Err((
                format!("a part unpacks to more than {MOST_RATIO} times its size"),
                AS_CSV,
            ));
        }
        tags.feed(&piece[..length], |tag, text| {
            besides.hidden.see(path, tag);
            if path == "content.xml" {
                repeats.see(tag);
                besides.formats.see(tag, text);
            }
        });
        if repeats.cells > MOST_REPEATED {
            let problem = format!("repeated cells make more than {MOST_REPEATED} filled ones");
            return Err((problem, AS_CSV));
        }
    }
}

/// Counts the filled cells that the repeats of an ODS sheet stand for, tag by
/// tag, without building anything.
#[derive(Default)]
struct Repeats {
    row: u64,
    filled_in_row: u64,
    cells: u64,
}

impl Repeats {
    fn see(&mut self, tag: &str) {
        if tag.starts_with("table:table-row") {
            self.row = repeated(tag, "table:number-rows-repeated");
            self.filled_in_row = 0;
        } else if tag.starts_with("table:table-cell") && tag.contains("office:value-type") {
            let columns = repeated(tag, "table:number-columns-repeated");
            self.filled_in_row = self.filled_in_row.saturating_add(columns);
        } else if tag.starts_with("/table:table-row") {
            let cells = self.filled_in_row.saturating_mul(self.row);
            self.cells = self.cells.saturating_add(cells);
        }
    }
}

fn repeated(tag: &str, name: &str) -> u64 {
    attribute(tag, name).and_then(|times| times.parse().ok()).unwrap_or(1)
}

#[cfg(test)]
mod tests {
    use std::io::Write;

    use zip::write::{SimpleFileOptions, ZipWriter};

    use super::*;

    fn packed(text: &[u8]) -> Vec<u8> {
        let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
        zip.start_file("xl/workbook.xml", SimpleFileOptions::default()).unwrap();
        zip.write_all(text).unwrap();
        zip.finish().unwrap().into_inner()
    }

    #[test]
    fn what_unpacks_to_too_much_is_refused() {
        let sheet = packed(b"<workbook/>");
        assert_eq!(guard(&sheet, "x").unwrap().0, Kind::Xlsx);
        let big: Vec<u8> = (0..40_000u32).flat_map(u32::to_le_bytes).collect();
        let error = guard_within(&packed(&big), "x", 100_000).unwrap_err().to_string();
        assert!(error.contains("unpacks to more than"), "{error}");
    }
}
