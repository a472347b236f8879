//! What an import found: every cell that was not simply taken, with its place,
//! the reason and what to do, and what becomes of the settings.

mod data;
mod page;

pub use page::import_page;

use crate::intake::Report;

/// What the caller did with the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Imported {
    DryRun,
    /// Took it whole if it is sound, else nothing.
    Whole,
    SoundRows,
}

impl Imported {
    fn has_taken(self, report: &Report) -> bool {
        match self {
            Self::DryRun => false,
            Self::Whole => report.is_sound(),
            Self::SoundRows => true,
        }
    }
}
