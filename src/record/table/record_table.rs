//! The table of a record that is kept by name or line: its fields by name, and
//! setting them from clean notation.

use std::any::Any;

use super::Field;
use crate::text::{fold_name, nearest};

/// The table of one kind of record.
#[derive(Debug)]
pub struct RecordTable {
    pub what: &'static str,
    /// The plural that `list` knows.
    pub listed: &'static str,
    /// Its fields; the first is its name.
    pub fields: &'static [Field],
    /// Fields without which there is no record.
    pub needed: &'static [&'static str],
}

/// Why a field was not set.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FieldError {
    #[error("`{found}` is no field of a {what}{}", near.map_or_else(|| format!(", which has {known}"), |near| format!("; did you mean `{near}`?")))]
    Unknown { what: &'static str, found: String, near: Option<&'static str>, known: String },
    #[error("{0} is given twice")]
    Twice(&'static str),
    #[error("{field}: {why}")]
    Value { field: &'static str, why: String },
}

impl RecordTable {
    /// The field called `name`, blanks and underscores standing for dashes.
    pub fn field(&self, name: &str) -> Result<&'static Field, FieldError> {
        let folded = fold_name(name).replace([' ', '_'], "-");
        if let Some(field) = self.fields.iter().find(|field| field.is_named(&folded)) {
            return Ok(field);
        }
        let near = nearest(&folded, self.fields.iter().map(|field| field.name));
        let names: Vec<&str> = self.fields.iter().map(|field| field.name).collect();
        let (what, found) = (self.what, name.trim().to_owned());
        Err(FieldError::Unknown { what, found, near, known: names.join(", ") })
    }

    /// The fields that pairs of name and text mean, each once, in the order of the
    /// table: what stands first there is needed by what follows.
    pub fn cells<'a>(
        &self,
        pairs: &[(&str, &'a str)],
    ) -> Result<Vec<(&'static Field, &'a str)>, FieldError> {
        let mut cells: Vec<(&'static Field, &str)> = Vec::with_capacity(pairs.len());
        for (name, text) in pairs {
            let field = self.field(name)?;
            if cells.iter().any(|(known, _)| *known == field) {
                return Err(FieldError::Twice(field.name));
            }
            cells.push((field, text));
        }
        let place = |field: &'static Field| self.fields.iter().position(|one| one == field);
        cells.sort_by_key(|(field, _)| place(field));
        Ok(cells)
    }

    /// Sets the field called `name` of `record` from `text`; nothing takes its
    /// value away.
    pub fn set(&self, record: &mut dyn Any, name: &str, text: &str) -> Result<(), FieldError> {
        self.field(name)?.set(record, text)
    }
}
