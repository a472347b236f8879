//! Frames of a ledger: each row with its length and checksum, read one by one.
//! What is damaged of one does not hide the others.

use std::io::{BufReader, Read as _};
use std::path::Path;

use crate::store::codec::LARGEST_ROW;
use crate::store::disk;
use crate::store::image::{ReadError, bad};
use crate::store::row::FORM;
use crate::store::seal::check_at;

/// The first bytes of a ledger.
pub(crate) const MAGIC: &[u8; 16] = b"clampled\x01\0\0\0\0\0\0\0";
/// Bytes before a frame's row: its length and checksum.
const HEAD: usize = 8;
/// The first row begins behind these.
pub(crate) const FIRST: u64 = MAGIC.len() as u64;

/// Appends the frame of `row`, which begins at `offset` of the file.
pub(crate) fn put(offset: u64, row: &[u8], out: &mut Vec<u8>) {
    out.extend_from_slice(&(row.len() as u32).to_le_bytes());
    out.extend_from_slice(&check_at(offset, row).to_le_bytes());
    out.extend_from_slice(row);
}

/// Calls `take` with the row of each frame in the first `valid` bytes of the
/// ledger at `path`. Holds one row at a time; the first frame that is not whole
/// is an error.
pub(crate) fn each(
    path: &Path,
    valid: u64,
    take: &mut dyn FnMut(&[u8]) -> Result<(), ReadError>,
) -> Result<(), ReadError> {
    let wrong = || bad("it is not what was written");
    let file = disk::open(path)?;
    if file.metadata()?.len() < valid {
        return Err(bad("it is cut off"));
    }
    let mut file = BufReader::with_capacity(1 << 16, file);
    let mut magic = [0; MAGIC.len()];
    file.read_exact(&mut magic)?;
    if magic != *MAGIC {
        return Err(wrong());
    }
    let (mut at, mut row) = (FIRST, Vec::new());
    while at < valid {
        let mut head = [0; HEAD];
        file.read_exact(&mut head)?;
        let (length, own) = lengths(head);
        let end = at + (HEAD as u64) + u64::from(length);
        if end > valid || u64::from(length) > LARGEST_ROW {
            return Err(wrong());
        }
        row.resize(length as usize, 0);
        file.read_exact(&mut row)?;
        if check_at(at, &row) != own {
            return Err(wrong());
        }
        take(&row)?;
        at = end;
    }
    if at == valid { Ok(()) } else { Err(wrong()) }
}

fn lengths(head: [u8; HEAD]) -> (u32, u32) {
    let both = u64::from_le_bytes(head);
    (both as u32, (both >> 32) as u32)
}

/// A piece of a ledger that may be damaged.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Piece<'a> {
    /// The row of a whole frame.
    Row(&'a [u8]),
    /// A frame that is not what was written: the number of its kind, if that
    /// can be read.
    Damaged(Option<u8>),
}

/// The pieces of a ledger in order. After a damaged frame it goes on at the
/// next one whose checksum holds, also where the damage is in the length.
pub(crate) fn pieces(bytes: &[u8]) -> Vec<Piece<'_>> {
    let (mut at, mut pieces) = (MAGIC.len(), Vec::new());
    while at < bytes.len() {
        if let Some((row, next)) = whole_at(bytes, at) {
            pieces.push(Piece::Row(row));
            at = next;
            continue;
        }
        let next = (at + 1..bytes.len()).find(|next| whole_at(bytes, *next).is_some());
        let next = next.unwrap_or(bytes.len());
        damaged_between(bytes, at, next, &mut pieces);
        at = next;
    }
    pieces
}

/// The damaged frames from `at` to `to`: as many as their lengths tell, if these
/// lead exactly there, else one.
fn damaged_between(bytes: &[u8], at: usize, to: usize, pieces: &mut Vec<Piece<'_>>) {
    let mut found = Vec::new();
    let mut from = at;
    while from < to {
        let Some(next) = end_of(bytes, from).filter(|next| *next <= to) else { break };
        found.push(Piece::Damaged(kind_at(bytes, from)));
        from = next;
    }
    if from == to {
        pieces.append(&mut found);
    } else {
        pieces.push(Piece::Damaged(kind_at(bytes, at)));
    }
}

/// The byte behind the version of a row: the number of its kind.
fn kind_at(bytes: &[u8], at: usize) -> Option<u8> {
    match bytes.get(at + HEAD..at + HEAD + 2)? {
        [FORM, kind] => Some(*kind),
        _ => None,
    }
}

/// Where the frame at `at` ends by its length.
fn end_of(bytes: &[u8], at: usize) -> Option<usize> {
    let head = bytes.get(at..)?.first_chunk::<HEAD>()?;
    let (length, _) = lengths(*head);
    (u64::from(length) <= LARGEST_ROW).then_some(at + HEAD + length as usize)
}

/// The row of a whole frame at `at`, and where the next begins.
pub(crate) fn whole_at(bytes: &[u8], at: usize) -> Option<(&[u8], usize)> {
    let head = bytes.get(at..)?.first_chunk::<HEAD>()?;
    let end = end_of(bytes, at)?;
    let row = bytes.get(at + HEAD..end)?;
    // Cheap before the checksum is: a row begins with its version.
    let is_whole = row.first() == Some(&FORM) && check_at(at as u64, row) == lengths(*head).1;
    is_whole.then_some((row, end))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ledger(rows: &[&[u8]]) -> Vec<u8> {
        let mut bytes = MAGIC.to_vec();
        for row in rows {
            put(bytes.len() as u64, row, &mut bytes);
        }
        bytes
    }

    #[test]
    fn one_bad_bit_loses_one_frame() {
        let rows: Vec<Vec<u8>> = (0..20_u8).map(|n| vec![FORM, n % 3 + 1, n, n, n]).collect();
        let rows: Vec<&[u8]> = rows.iter().map(Vec::as_slice).collect();
        let whole = ledger(&rows);
        assert_eq!(pieces(&whole), rows.iter().map(|row| Piece::Row(row)).collect::<Vec<_>>());
        for bit in MAGIC.len() * 8..whole.len() * 8 {
            let mut bytes = whole.clone();
            bytes[bit / 8] ^= 1 << (bit % 8);
            let frame = (bit / 8 - MAGIC.len()) / (HEAD + 5);
            let found = pieces(&bytes);
            let left: Vec<&[u8]> = found
                .iter()
                .filter_map(|piece| match piece {
                    Piece::Row(row) => Some(*row),
                    Piece::Damaged(_) => None,
                })
                .collect();
            let expected: Vec<&[u8]> = rows
                .iter()
                .enumerate()
                .filter(|(at, _)| *at != frame)
                .map(|(_, row)| *row)
                .collect();
            assert_eq!(left, expected, "bit {bit}");
            assert_eq!(found.len() - left.len(), 1, "bit {bit}");
        }
    }
}
