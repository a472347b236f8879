//! The first page of an image: what it is and where its sections lie.

use crate::store::image::columns::MOST;
use crate::store::image::file::{ReadError, bad};
use crate::store::row::{FORM, Unusable, in_use, known};
use crate::store::terms::Index;

/// Bytes of the header and of a page of the piece table.
pub(crate) const PAGE: usize = 4096;

const MAGIC: &[u8; 8] = b"clampimg";
/// Where the sections are listed, and behind them the lists in use.
const LISTED: usize = 64;
const LISTS: usize = LISTED + 16 * SECTIONS;

/// What an image says of the book.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Counts {
    /// The generation it was written for.
    pub(crate) generation: u64,
    /// The number the next new fastener gets.
    pub(crate) next: u64,
    pub(crate) fasteners: u64,
    pub(crate) settings: u64,
    pub(crate) joints: u64,
}

/// A part of the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct FileSection {
    /// First byte in the file.
    pub(crate) offset: u64,
    /// Bytes, checksums included.
    pub(crate) length: u64,
}

/// The sections in the order of the header.
pub(crate) const RECORDS: usize = 0;
pub(crate) const PIECES: usize = 1;
pub(crate) const TABLES: usize = 2;
pub(crate) const NAMES: usize = 3;
/// Fences of the first index; those of the others follow.
const FENCES: usize = 4;
/// Posting blocks of the first index; those of the others follow.
const POSTINGS: usize = FENCES + Index::ALL.len();
/// Columns of derived values of the settings.
pub(crate) const COLUMNS: usize = POSTINGS + Index::ALL.len();
/// How many sections there are.
pub(crate) const SECTIONS: usize = COLUMNS + 1;

/// The section of an index's fences.
pub(crate) fn fences_of(index: Index) -> usize {
    FENCES + index as usize
}

/// The section of an index's posting blocks.
pub(crate) fn postings_of(index: Index) -> usize {
    POSTINGS + index as usize
}

/// What the first page of an image says.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Header {
    /// What it says of the book.
    pub(crate) counts: Counts,
    /// Bytes of the whole file.
    pub(crate) length: u64,
    pub(crate) sections: [FileSection; SECTIONS],
}

impl Header {
    pub(crate) fn encode(&self) -> [u8; PAGE] {
        let mut bytes = Vec::with_capacity(PAGE);
        bytes.extend_from_slice(MAGIC);
        bytes.extend_from_slice(&u32::from(FORM).to_le_bytes());
        bytes.extend_from_slice(&(SECTIONS as u32).to_le_bytes());
        let Counts { generation, next, fasteners, settings, joints } = self.counts;
        for number in [self.length, generation, next, fasteners, settings, joints] {
            bytes.extend_from_slice(&number.to_le_bytes());
        }
        for section in &self.sections {
            bytes.extend_from_slice(&section.offset.to_le_bytes());
            bytes.extend_from_slice(&section.length.to_le_bytes());
        }
        let lists = in_use();
        bytes.extend_from_slice(&(lists.len() as u16).to_le_bytes());
        bytes.extend_from_slice(lists.as_bytes());
        let mut page = [0; PAGE];
        page[..bytes.len()].copy_from_slice(&bytes);
        let check = crc32fast::hash(&page[..PAGE - 4]);
        page[PAGE - 4..].copy_from_slice(&check.to_le_bytes());
        page
    }

    /// The header in `page`, for a file of `length` bytes.
    pub(crate) fn decode(page: &[u8; PAGE], length: u64) -> Result<Self, ReadError> {
        let (body, check) = page.split_at(PAGE - 4);
        if &body[..8] != MAGIC {
            return Err(bad("it is not an image"));
        }
        if crc32fast::hash(body).to_le_bytes() != check {
            return Err(bad("its first page is not what was written"));
        }
        let word =
            |at: usize| u32::from_le_bytes([body[at], body[at + 1], body[at + 2], body[at + 3]]);
        let long = |at: usize| u64::from(word(at)) | u64::from(word(at + 4)) << 32;
        match word(8) {
            form if form == u32::from(FORM) => {}
            form if form > u32::from(FORM) => return Err(ReadError::Newer(newer_form(form))),
            _ => return Err(bad("it has a format that was never released")),
        }
        refuse_newer_lists(body)?;
        if word(12) as usize != SECTIONS {
            return Err(bad("it has other sections"));
        }
        let [whole, generation, next, fasteners, settings, joints] =
            [16, 24, 32, 40, 48, 56].map(long);
        if whole != length {
            return Err(bad("its length is not what was written"));
        }
        let sections: [FileSection; SECTIONS] = std::array::from_fn(|at| FileSection {
            offset: long(LISTED + at * 16),
            length: long(LISTED + 8 + at * 16),
        });
        let inside = |section: &FileSection| {
            section.offset.checked_add(section.length).is_some_and(|end| end <= length)
        };
        if !sections.iter().all(inside) || fasteners > u64::from(MOST) {
            return Err(bad("its sections do not fit into it"));
        }
        let counts = Counts { generation, next, fasteners, settings, joints };
        Ok(Self { counts, length, sections })
    }
}

/// An error if the image uses numbers that this program does not know.
fn refuse_newer_lists(body: &[u8]) -> Result<(), ReadError> {
    let length = usize::from(u16::from_le_bytes([body[LISTS], body[LISTS + 1]]));
    let lists = body.get(LISTS + 2..LISTS + 2 + length);
    let lists = lists.and_then(|lists| std::str::from_utf8(lists).ok());
    known(lists.unwrap_or("?")).map_err(|why| match why {
        Unusable::Newer(what) => ReadError::Newer(what),
        Unusable::NotLists => bad("its lists are not what was written"),
    })
}

/// What is said of a format that this program does not know yet.
pub(crate) fn newer_form(form: impl std::fmt::Display) -> String {
    format!("format {form} (this one reads {FORM})")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_header_comes_back_and_a_flipped_bit_is_seen() {
        let mut header = Header { length: 9000, ..Header::default() };
        header.counts = Counts { generation: 7, next: 9, fasteners: 8, settings: 12, joints: 3 };
        header.sections[COLUMNS] = FileSection { offset: 4096, length: 900 };
        let page = header.encode();
        assert_eq!(Header::decode(&page, 9000).unwrap(), header);
        assert!(Header::decode(&page, 8999).is_err());
        for bit in (0..PAGE * 8).step_by(61) {
            let mut flipped = page;
            flipped[bit / 8] ^= 1 << (bit % 8);
            assert!(Header::decode(&flipped, 9000).is_err(), "bit {bit}");
        }
    }
}
