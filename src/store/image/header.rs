//! The first page of an image: what it is and where its sections lie.

use crate::store::codec::Unreadable;
use crate::store::terms::Index;

/// Bytes of the header and of a page of the piece table.
pub(crate) const PAGE: usize = 4096;

const MAGIC: &[u8; 8] = b"clampimg";
const FORMAT: u32 = 2;
/// The first format has neither shapes nor their columns.
const FIRST_FORMAT: u32 = 1;

/// What an image says of the book.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Counts {
    /// The generation it was written for.
    pub(crate) generation: u64,
    /// The number the next new fastener gets.
    pub(crate) next: u64,
    /// How many fasteners.
    pub(crate) fasteners: u64,
    /// How many settings.
    pub(crate) settings: u64,
    /// How many joints.
    pub(crate) joints: u64,
}

/// A part of the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Section {
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
/// Shapes of settings: what a restated figure depends on besides the torque.
pub(crate) const SHAPES: usize = COLUMNS + 1;
/// How many sections there are.
pub(crate) const SECTIONS: usize = SHAPES + 1;

/// The section of an index's fences.
pub(crate) fn fences_of(index: Index) -> usize {
    FENCES + index as usize
}

/// The section of an index's posting blocks.
pub(crate) fn postings_of(index: Index) -> usize {
    POSTINGS + index as usize
}

/// The first page.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Header {
    /// What it says of the book.
    pub(crate) counts: Counts,
    /// Bytes of the whole file.
    pub(crate) length: u64,
    /// Whether it has shapes and their columns: the first format has not.
    pub(crate) has_shapes: bool,
    /// Where everything is.
    pub(crate) sections: [Section; SECTIONS],
}

impl Header {
    /// The page.
    pub(crate) fn encode(&self) -> [u8; PAGE] {
        let mut bytes = Vec::with_capacity(PAGE);
        bytes.extend_from_slice(MAGIC);
        bytes.extend_from_slice(&FORMAT.to_le_bytes());
        bytes.extend_from_slice(&(SECTIONS as u32).to_le_bytes());
        let Counts { generation, next, fasteners, settings, joints } = self.counts;
        for number in [self.length, generation, next, fasteners, settings, joints] {
            bytes.extend_from_slice(&number.to_le_bytes());
        }
        for section in &self.sections {
            bytes.extend_from_slice(&section.offset.to_le_bytes());
            bytes.extend_from_slice(&section.length.to_le_bytes());
        }
        let mut page = [0; PAGE];
        page[..bytes.len()].copy_from_slice(&bytes);
        let check = crc32fast::hash(&page[..PAGE - 4]);
        page[PAGE - 4..].copy_from_slice(&check.to_le_bytes());
        page
    }

    /// The header in `page`, for a file of `length` bytes.
    pub(crate) fn decode(page: &[u8; PAGE], length: u64) -> Result<Self, Unreadable> {
        let bad = |what: &str| Err(Unreadable(what.to_owned()));
        let (body, check) = page.split_at(PAGE - 4);
        if &body[..8] != MAGIC {
            return bad("it is not an image");
        }
        if crc32fast::hash(body).to_le_bytes() != check {
            return bad("its first page is not what was written");
        }
        let word =
            |at: usize| u32::from_le_bytes([body[at], body[at + 1], body[at + 2], body[at + 3]]);
        let long = |at: usize| u64::from(word(at)) | u64::from(word(at + 4)) << 32;
        let told = match word(8) {
            FIRST_FORMAT => SHAPES,
            FORMAT => SECTIONS,
            _ => 0,
        };
        if told == 0 || word(12) as usize != told {
            return bad("it has another format");
        }
        let has_shapes = told == SECTIONS;
        let [whole, generation, next, fasteners, settings, joints] =
            [16, 24, 32, 40, 48, 56].map(long);
        if whole != length {
            return bad("its length is not what was written");
        }
        let mut sections: [Section; SECTIONS] = std::array::from_fn(|at| Section {
            offset: long(64 + at * 16),
            length: long(72 + at * 16),
        });
        if !has_shapes {
            sections[SHAPES] = Section::default();
        }
        let inside = |section: &Section| {
            section.offset.checked_add(section.length).is_some_and(|end| end <= length)
        };
        if !sections.iter().all(inside) || fasteners > u64::from(u32::MAX) {
            return bad("its sections do not fit into it");
        }
        let counts = Counts { generation, next, fasteners, settings, joints };
        Ok(Self { counts, length, has_shapes, sections })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_header_comes_back_and_a_flipped_bit_is_seen() {
        let mut header = Header { length: 9000, has_shapes: true, ..Header::default() };
        header.counts = Counts { generation: 7, next: 9, fasteners: 8, settings: 12, joints: 3 };
        header.sections[COLUMNS] = Section { offset: 4096, length: 900 };
        let page = header.encode();
        assert_eq!(Header::decode(&page, 9000), Ok(header.clone()));
        assert!(Header::decode(&page, 8999).is_err());
        for bit in (0..PAGE * 8).step_by(61) {
            let mut flipped = page;
            flipped[bit / 8] ^= 1 << (bit % 8);
            assert!(Header::decode(&flipped, 9000).is_err(), "bit {bit}");
        }
    }
}
