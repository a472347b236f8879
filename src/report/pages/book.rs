//! `book info`: what is known of a book.

use crate::report::json::Json;
use crate::report::lay::{clean, counted};
use crate::report::pages::facts;

/// What is known of a book.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BookFacts {
    /// Its folder.
    pub folder: String,
    /// Counts its changes; the revision on a bench sheet.
    pub generation: u64,
    /// Version of its format on the disk.
    pub format: u32,
    /// Fasteners.
    pub fasteners: u64,
    /// Settings of them.
    pub settings: u64,
    /// Joints.
    pub joints: usize,
    /// Lubes.
    pub lubes: usize,
    /// Strengths.
    pub strengths: usize,
    /// Bytes on the disk.
    pub bytes: u64,
}

/// The facts as a page.
pub fn book_page(book: &BookFacts) -> String {
    let holds = [
        counted(book.joints, "joint"),
        counted(book.fasteners as usize, "fastener"),
        counted(book.settings as usize, "setting"),
    ];
    let tables = [counted(book.lubes, "lube"), counted(book.strengths, "strength")];
    let lines = [
        ("book", clean(&book.folder)),
        ("revision", book.generation.to_string()),
        ("holds", holds.join(", ")),
        ("tables", tables.join(", ")),
        ("on disk", format!("{} bytes, format {}", book.bytes, book.format)),
    ];
    // A folder is copied from here: it is not wrapped.
    facts(&lines, usize::MAX)
}

/// The facts as JSON.
pub fn book_json(book: &BookFacts) -> String {
    Json::object(vec![
        ("folder", (&book.folder).into()),
        ("revision", book.generation.into()),
        ("format", book.format.into()),
        ("joints", book.joints.into()),
        ("fasteners", book.fasteners.into()),
        ("settings", book.settings.into()),
        ("lubes", book.lubes.into()),
        ("strengths", book.strengths.into()),
        ("bytes", book.bytes.into()),
    ])
    .to_string()
}
