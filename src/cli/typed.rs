//! Reading what options are given. Every error names the option.

use crate::cli::exit::{Failure, wrong};
use crate::quantity::{DecimalMark, Kind, Number, Quantity, Stated};
use crate::thread::Thread;

pub(super) fn quantity<K: Kind>(option: &str, text: &str) -> Result<Stated<K>, Failure> {
    Stated::parse(text).map_err(|error| wrong(option, with_point(text, error)))
}

pub(super) fn stated<K: Kind>(
    option: &str,
    text: Option<&String>,
) -> Result<Option<Stated<K>>, Failure> {
    text.map(|text| quantity(option, text)).transpose()
}

/// What is wrong with `text`, and how it is written if only its decimal comma is.
pub(super) fn with_point(text: &str, error: impl std::fmt::Display) -> String {
    let pointed = text.replacen(',', ".", 1);
    let is_meant = text.contains(',')
        && (Number::parse(pointed.trim(), DecimalMark::Point).is_ok()
            || Quantity::parse(&pointed).is_ok());
    if is_meant { format!("`{text}`: write a decimal point, {pointed}") } else { error.to_string() }
}

/// What is said where `coarse` was taken for a thread without its pitch.
pub(super) fn no_pitch(coarse: &Thread) -> String {
    format!("no pitch is written: {coarse}, the coarse one (ISO 965-1)")
}
