//! What goes into the book of record, and the checksums on it and on pieces of a file.

/// What the book of record says of itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Meta {
    /// The form of the book.
    pub(crate) form: u8,
    /// Counts changes.
    pub(crate) generation: u64,
    /// The number the next new fastener gets.
    pub(crate) next: u64,
    /// How many fasteners there are.
    pub(crate) fasteners: u64,
    /// How many settings they have.
    pub(crate) settings: u64,
}

/// One change of the book of record.
#[derive(Debug, Default)]
pub(crate) struct Batch {
    /// Blocks of fasteners by number; `None` removes one.
    pub(crate) blocks: Vec<(u64, Option<Vec<u8>>)>,
    /// The reference tables, if they change.
    pub(crate) tables: Option<Vec<u8>>,
}

/// The checksum of a piece of a file at `offset`: its place is part of it, so that a
/// piece in a wrong place does not pass.
pub(crate) fn check_at(offset: u64, bytes: &[u8]) -> u32 {
    let mut hasher = crc32fast::Hasher::new();
    hasher.update(&offset.to_le_bytes());
    hasher.update(bytes);
    hasher.finalize()
}

/// `bytes` with their checksum before them.
pub(crate) fn sealed(bytes: &[u8]) -> Vec<u8> {
    let mut out = Vec::with_capacity(bytes.len() + 4);
    out.extend_from_slice(&crc32fast::hash(bytes).to_le_bytes());
    out.extend_from_slice(bytes);
    out
}

/// The bytes that [`sealed`] was given, if they are still the same.
pub(crate) fn unsealed(bytes: &[u8]) -> Option<&[u8]> {
    let (check, body) = bytes.split_first_chunk::<4>()?;
    (u32::from_le_bytes(*check) == crc32fast::hash(body)).then_some(body)
}
