//! Pieces: 16 fasteners, encoded and compressed together. A piece is what a
//! reader decodes at once; two of them make a block of the book of record.

use std::sync::Arc;

use crate::record::Fastener;
use crate::store::codec::{self, Unreadable};
use crate::store::varint;

/// Fasteners in a full piece.
pub(crate) const PIECE: usize = 16;

/// Fasteners in a full block of the book of record, because sled costs by the
/// number of its values. The number of a fastener divided by this is the
/// number of its block.
pub(crate) const BLOCK: u64 = 32;

/// No piece is larger when decompressed.
const LARGEST_PIECE: usize = PIECE * (codec::LARGEST_ROW as usize + 16);

/// A fastener with the number that it got when it was entered; the order
/// entered.
pub(crate) type Entry = (u64, Arc<Fastener>);

/// A piece being filled.
#[derive(Debug, Default)]
pub(crate) struct PieceBuilder {
    raw: Vec<u8>,
    row: Vec<u8>,
    count: usize,
}

impl PieceBuilder {
    pub(crate) fn push(&mut self, number: u64, fastener: &Fastener) -> Result<(), Unreadable> {
        self.row.clear();
        codec::encode_to(fastener, &mut self.row)?;
        varint::put(number, &mut self.raw);
        varint::put(self.row.len() as u64, &mut self.raw);
        self.raw.extend_from_slice(&self.row);
        self.count += 1;
        Ok(())
    }

    pub(crate) fn len(&self) -> usize {
        self.count
    }

    /// The compressed piece; the builder is empty again.
    pub(crate) fn take(&mut self) -> Vec<u8> {
        let piece = lz4_flex::block::compress_prepend_size(&self.raw);
        self.raw.clear();
        self.count = 0;
        piece
    }
}

/// The entries of a piece, decompressed and checked.
#[derive(Debug)]
pub(crate) struct Piece(Vec<u8>);

impl Piece {
    pub(crate) fn open(compressed: &[u8]) -> Result<Self, Unreadable> {
        let bad = || Unreadable("a piece does not decompress".to_owned());
        let (size, body) = lz4_flex::block::uncompressed_size(compressed).map_err(|_| bad())?;
        // LZ4 cannot shrink more than 255 to 1: a larger size is a lie.
        if size > LARGEST_PIECE || size > body.len().saturating_mul(255) {
            return Err(bad());
        }
        let raw = lz4_flex::block::decompress(body, size).map_err(|_| bad())?;
        if raw.len() == size { Ok(Self(raw)) } else { Err(bad()) }
    }

    /// The numbers and bytes of its rows, in order.
    pub(crate) fn rows(&self) -> impl Iterator<Item = Result<(u64, &[u8]), Unreadable>> {
        let mut rest = self.0.as_slice();
        std::iter::from_fn(move || {
            if rest.is_empty() {
                return None;
            }
            let Some(row) = take_row(&mut rest) else {
                rest = &[];
                return Some(Err(Unreadable("a row is cut off".to_owned())));
            };
            Some(Ok(row))
        })
    }

    /// The entry at `at`.
    pub(crate) fn entry(&self, at: usize) -> Result<Entry, Unreadable> {
        let gone = || Err(Unreadable("a piece lacks a fastener".to_owned()));
        entry(self.rows().nth(at).unwrap_or_else(gone)?)
    }

    pub(crate) fn entries(&self) -> Result<Vec<Entry>, Unreadable> {
        self.rows().map(|row| entry(row?)).collect()
    }
}

fn take_row<'a>(rest: &mut &'a [u8]) -> Option<(u64, &'a [u8])> {
    let number = varint::take(rest)?;
    let length = usize::try_from(varint::take(rest)?).ok()?;
    let (row, after) = rest.split_at_checked(length)?;
    *rest = after;
    Some((number, row))
}

fn entry((number, row): (u64, &[u8])) -> Result<Entry, Unreadable> {
    Ok((number, Arc::new(codec::decode(row)?)))
}

/// A block from its compressed pieces.
pub(crate) fn join_pieces(pieces: &[Vec<u8>]) -> Vec<u8> {
    let mut block = Vec::with_capacity(pieces.iter().map(|piece| piece.len() + 5).sum());
    for piece in pieces {
        varint::put(piece.len() as u64, &mut block);
        block.extend_from_slice(piece);
    }
    block
}

/// The entries of a block.
pub(crate) fn read_block(mut block: &[u8]) -> Result<Vec<Entry>, Unreadable> {
    let mut entries = Vec::with_capacity(BLOCK as usize);
    while !block.is_empty() {
        let piece = varint::take(&mut block)
            .and_then(|length| block.split_at_checked(usize::try_from(length).ok()?));
        let (piece, rest) = piece.ok_or_else(|| Unreadable("a piece is cut off".to_owned()))?;
        entries.extend(Piece::open(piece)?.entries()?);
        block = rest;
    }
    Ok(entries)
}

/// The bytes of a block of `entries`.
pub(crate) fn write_block(entries: &[Entry]) -> Result<Vec<u8>, Unreadable> {
    let mut builder = PieceBuilder::default();
    let mut pieces = Vec::new();
    for piece in entries.chunks(PIECE) {
        piece.iter().try_for_each(|(number, fastener)| builder.push(*number, fastener))?;
        pieces.push(builder.take());
    }
    Ok(join_pieces(&pieces))
}
