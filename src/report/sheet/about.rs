//! How a sheet is known again.

/// Stands in the head of every sheet.
pub(crate) const GENERATOR: &str = concat!("clampbook ", env!("CARGO_PKG_VERSION"));

/// Whether `start`, the first kilobyte of a file, is that of a sheet made by
/// clampbook: such a file may be replaced, any other may not.
pub fn is_own_sheet(start: &str) -> bool {
    start.starts_with("<!DOCTYPE html>")
        && start.contains("<meta name=\"generator\" content=\"clampbook ")
}
