//! Blocks of an index on the disk: sorted terms with their ordinals, and the
//! fences that lead to a block.

use std::io;
use std::ops::ControlFlow;

use crate::store::codec::Unreadable;
use crate::store::image::file::ChunkWriter;
use crate::store::image::lists::Ordinals;
use crate::store::varint;

/// A block is closed when it holds this many bytes.
const BLOCK: usize = 16 << 10;
/// A long list is cut into entries of about this many bytes.
const SLICE: usize = 4 << 10;

/// Where a block is and what it begins with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Fence {
    /// Its first term.
    pub(crate) first: Vec<u8>,
    /// Its place in the file.
    pub(crate) offset: u64,
    /// Its bytes with the checksum.
    pub(crate) length: u64,
    /// Ordinals in the blocks before it, all terms together.
    pub(crate) before: u64,
}

/// Writes the blocks of one index.
#[derive(Debug, Default)]
pub(crate) struct PostingsWriter {
    block: Vec<u8>,
    first: Vec<u8>,
    previous: Vec<u8>,
    fences: Vec<Fence>,
    /// Ordinals written in closed blocks.
    before: u64,
    /// Ordinals in the open block.
    inside: u64,
}

impl PostingsWriter {
    /// Writes a term above all before it.
    pub(crate) fn term(
        &mut self,
        term: &[u8],
        list: &Ordinals,
        out: &mut ChunkWriter,
    ) -> io::Result<()> {
        if list.steps.len() <= SLICE {
            return self.entry(term, list, out);
        }
        let mut slice: Option<Ordinals> = None;
        for ordinal in list.ordinals() {
            match &mut slice {
                Some(open) if open.steps.len() < SLICE => {
                    open.push(ordinal);
                }
                full => {
                    let next =
                        Ordinals { first: ordinal, last: ordinal, count: 1, steps: Vec::new() };
                    if let Some(full) = full.replace(next) {
                        self.entry(term, &full, out)?;
                    }
                }
            }
        }
        slice.map_or(Ok(()), |last| self.entry(term, &last, out))
    }

    fn entry(&mut self, term: &[u8], list: &Ordinals, out: &mut ChunkWriter) -> io::Result<()> {
        if self.block.len() >= BLOCK {
            self.close(out)?;
        }
        if self.block.is_empty() {
            self.first = term.to_vec();
            self.previous.clear();
        }
        let shared = term.iter().zip(&self.previous).take_while(|(a, b)| a == b).count();
        varint::put(shared as u64, &mut self.block);
        varint::put((term.len() - shared) as u64, &mut self.block);
        self.block.extend_from_slice(&term[shared..]);
        varint::put(u64::from(list.count), &mut self.block);
        varint::put(u64::from(list.first), &mut self.block);
        varint::put(list.steps.len() as u64, &mut self.block);
        self.block.extend_from_slice(&list.steps);
        self.previous.clear();
        self.previous.extend_from_slice(term);
        self.inside += u64::from(list.count);
        Ok(())
    }

    fn close(&mut self, out: &mut ChunkWriter) -> io::Result<()> {
        if self.block.is_empty() {
            return Ok(());
        }
        let offset = out.position();
        let length = out.chunk(&self.block)?;
        let first = std::mem::take(&mut self.first);
        self.fences.push(Fence { first, offset, length, before: self.before });
        self.before += self.inside;
        self.inside = 0;
        self.block.clear();
        Ok(())
    }

    /// Closes the last block and returns the fences' bytes.
    pub(crate) fn finish(mut self, out: &mut ChunkWriter) -> io::Result<Vec<u8>> {
        self.close(out)?;
        let mut bytes = Vec::new();
        varint::put(self.fences.len() as u64, &mut bytes);
        varint::put(self.before, &mut bytes);
        for fence in &self.fences {
            varint::put(fence.first.len() as u64, &mut bytes);
            bytes.extend_from_slice(&fence.first);
            for number in [fence.offset, fence.length, fence.before] {
                varint::put(number, &mut bytes);
            }
        }
        Ok(bytes)
    }
}

/// The fences of one index.
#[derive(Debug, Default)]
pub(crate) struct Fences {
    fences: Vec<Fence>,
    /// Ordinals in all blocks.
    total: u64,
}

impl Fences {
    /// Reads what [`PostingsWriter::finish`] returned.
    pub(crate) fn decode(bytes: &[u8]) -> Result<Self, Unreadable> {
        Self::parse(bytes).ok_or_else(|| Unreadable("the fences of an index are wrong".to_owned()))
    }

    fn parse(mut bytes: &[u8]) -> Option<Self> {
        let count = varint::take(&mut bytes)?;
        let total = varint::take(&mut bytes)?;
        let mut fences = Vec::new();
        for _ in 0..count {
            let length = usize::try_from(varint::take(&mut bytes)?).ok()?;
            let (first, rest) = bytes.split_at_checked(length)?;
            bytes = rest;
            fences.push(Fence {
                first: first.to_vec(),
                offset: varint::take(&mut bytes)?,
                length: varint::take(&mut bytes)?,
                before: varint::take(&mut bytes)?,
            });
        }
        bytes.is_empty().then_some(Self { fences, total })
    }

    /// The blocks that may hold a term of these ranges, each once, in order.
    pub(crate) fn of_ranges(&self, ranges: &[(Vec<u8>, Vec<u8>)]) -> Vec<&Fence> {
        let mut next = 0;
        let mut blocks = Vec::new();
        for (low, high) in ranges {
            let (from, to) = self.range(low, high);
            blocks.extend(&self.fences[from.max(next).min(to)..to]);
            next = next.max(to);
        }
        blocks
    }

    /// How many ordinals `block` has, all terms together.
    pub(crate) fn ordinals_in(&self, block: &Fence) -> u64 {
        let at = self.fences.partition_point(|fence| fence.offset <= block.offset);
        let after = self.fences.get(at).map_or(self.total, |fence| fence.before);
        after.saturating_sub(block.before)
    }

    fn range(&self, low: &[u8], high: &[u8]) -> (usize, usize) {
        // A list cut in slices may begin in the block before its own fence.
        let from = self.fences.partition_point(|fence| fence.first.as_slice() < low);
        let to = self.fences.partition_point(|fence| fence.first.as_slice() <= high);
        (from.saturating_sub(1).min(to), to)
    }

    pub(crate) fn blocks(&self) -> &[Fence] {
        &self.fences
    }
}

/// An entry of a block: a term, and the ordinals that have it.
struct Listed<'a> {
    count: u32,
    first: u32,
    steps: &'a [u8],
}

/// Calls `take` with the term and each ordinal of the terms of a block that
/// `wants` says yes to, until it breaks.
pub(crate) fn read_block(
    block: &[u8],
    wants: impl FnMut(&[u8]) -> ControlFlow<(), bool>,
    mut take: impl FnMut(&[u8], u32),
) -> Result<(), Unreadable> {
    each_listed(block, wants, |term, listed| {
        let (mut ordinal, mut steps) = (listed.first, listed.steps);
        take(term, ordinal);
        for _ in 1..listed.count {
            ordinal = ordinal.checked_add(varint::take_u32(&mut steps)?)?;
            take(term, ordinal);
        }
        steps.is_empty().then_some(())
    })
}

/// How many ordinals the wanted terms of a block have.
pub(crate) fn count_block(
    block: &[u8],
    wants: impl FnMut(&[u8]) -> ControlFlow<(), bool>,
) -> Result<u64, Unreadable> {
    let mut count = 0;
    each_listed(block, wants, |_, listed| {
        count += u64::from(listed.count);
        Some(())
    })?;
    Ok(count)
}

fn each_listed(
    block: &[u8],
    mut wants: impl FnMut(&[u8]) -> ControlFlow<(), bool>,
    mut take: impl FnMut(&[u8], Listed<'_>) -> Option<()>,
) -> Result<(), Unreadable> {
    let mut rest = block;
    let mut term = Vec::new();
    while !rest.is_empty() {
        let listed = next_listed(&mut rest, &mut term);
        let sound = listed.and_then(|listed| match wants(&term) {
            ControlFlow::Break(()) => {
                rest = &[];
                Some(())
            }
            ControlFlow::Continue(false) => Some(()),
            ControlFlow::Continue(true) => take(&term, listed),
        });
        sound.ok_or_else(|| Unreadable("a block of an index is wrong".to_owned()))?;
    }
    Ok(())
}

/// Takes the next entry off `rest`; `term` is the one before, then this one.
fn next_listed<'a>(rest: &mut &'a [u8], term: &mut Vec<u8>) -> Option<Listed<'a>> {
    let shared = usize::try_from(varint::take(rest)?).ok()?;
    if shared > term.len() {
        return None;
    }
    let length = usize::try_from(varint::take(rest)?).ok()?;
    let (suffix, after) = rest.split_at_checked(length)?;
    term.truncate(shared);
    term.extend_from_slice(suffix);
    *rest = after;
    let count = varint::take_u32(rest)?;
    let first = varint::take_u32(rest)?;
    let length = usize::try_from(varint::take(rest)?).ok()?;
    let (steps, after) = rest.split_at_checked(length)?;
    *rest = after;
    Some(Listed { count, first, steps })
}
