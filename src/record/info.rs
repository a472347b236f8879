//! What is known of a whole book.

use std::path::PathBuf;

/// What a book says of itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BookInfo {
    pub path: PathBuf,
    /// Version of its format.
    pub format: u32,
    /// Counts its changes; also the book's revision on a bench sheet.
    pub generation: u64,
    pub fasteners: u64,
    /// How many settings of them.
    pub settings: u64,
    pub lubes: usize,
    pub strengths: usize,
    /// How many joints, by assembly and name. Joints emptied since the last
    /// `compact` still count.
    pub joints: usize,
    /// Fasteners changed since the read image was written.
    pub overlaid: usize,
    /// Bytes on the disk, all files together.
    pub bytes: u64,
}
