//! Records of the shop that are kept by name, each with one table of fields
//! that adding, editing, listing and export walk.

use crate::text::{fold_name, nearest};

/// One field of a record `R`.
pub struct KeptField<R: 'static> {
    /// What a person types: `graduation="5 lb-ft"`.
    pub name: &'static str,
    /// Other words for it.
    pub aliases: &'static [&'static str],
    /// One line of help.
    pub help: &'static str,
    /// As it is written; None is "not stated".
    pub get: fn(&R) -> Option<String>,
    /// Reads it as it is written; an empty text or `-` takes it away. The error
    /// says what was expected.
    pub set: fn(&mut R, &str) -> Result<(), String>,
}

impl<R> std::fmt::Debug for KeptField<R> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("KeptField").field("name", &self.name).finish_non_exhaustive()
    }
}

/// Why a field was not set.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum KeptError {
    /// No field of that name.
    #[error("`{found}` is no field of a {what}{}", near.map_or_else(|| format!(", which has {known}"), |near| format!("; did you mean `{near}`?")))]
    Unknown {
        /// The kind of record.
        what: &'static str,
        /// What was read.
        found: String,
        /// The nearest name.
        near: Option<&'static str>,
        /// All the names.
        known: String,
    },
    /// A value that cannot be read.
    #[error("{field}: {why}")]
    Value {
        /// The field.
        field: &'static str,
        /// What was read and expected.
        why: String,
    },
}

/// Sets the field called `name` of a `what` from `text`.
pub fn set_field<R>(
    what: &'static str,
    fields: &'static [KeptField<R>],
    record: &mut R,
    name: &str,
    text: &str,
) -> Result<(), KeptError> {
    let folded = fold_name(name);
    let is_named =
        |field: &&KeptField<R>| field.name == folded || field.aliases.contains(&folded.as_str());
    let Some(field) = fields.iter().find(is_named) else {
        let near = nearest(&folded, fields.iter().map(|field| field.name));
        let found = name.trim().to_owned();
        let names: Vec<&str> = fields.iter().map(|field| field.name).collect();
        return Err(KeptError::Unknown { what, found, near, known: names.join(", ") });
    };
    (field.set)(record, text).map_err(|why| KeptError::Value { field: field.name, why })
}

/// `text` unless it stands for nothing: empty or `-`.
pub(crate) fn given(text: &str) -> Option<&str> {
    let text = text.trim();
    (!text.is_empty() && text != "-").then_some(text)
}

/// Reads `text` with `read`; nothing takes the value away.
pub(crate) fn optional<T, E: ToString>(
    text: &str,
    read: impl FnOnce(&str) -> Result<T, E>,
) -> Result<Option<T>, String> {
    given(text).map(|text| read(text).map_err(|error| error.to_string())).transpose()
}

/// A day, `2026-05-04`.
pub(crate) fn day(text: &str) -> Result<jiff::civil::Date, String> {
    text.parse().map_err(|_| format!("`{text}` is no day: write it as 2026-05-04"))
}
