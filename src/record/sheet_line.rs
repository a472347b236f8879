//! A fastener with one of its settings, as a line of a sheet has it.

use crate::record::{Fastener, Field, Setting, Value, setting_keys};

/// One line of an export: a fastener with one setting.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetLine<'a> {
    pub fastener: &'a Fastener,
    /// The setting; none of a fastener that has none.
    pub setting: Option<&'a Setting>,
    /// Key of the setting, or of the fastener.
    pub key: String,
}

impl<'a> SheetLine<'a> {
    /// The lines of `fastener`, one for each setting; one without a setting if
    /// it has none.
    pub fn each(fastener: &'a Fastener) -> Vec<Self> {
        if fastener.settings.is_empty() {
            return vec![Self { fastener, setting: None, key: fastener.key.clone() }];
        }
        let settings = fastener.settings.iter().zip(setting_keys(fastener));
        settings.map(|(setting, key)| Self { fastener, setting: Some(setting), key }).collect()
    }

    /// What the book keeps of a field in this line.
    pub fn value(&'a self, field: &Field) -> Value<'a> {
        match field.name {
            "key" => Value::text(&self.key),
            _ => field.stored(self.fastener, self.setting),
        }
    }

    /// The same as the text of a cell that reads back; empty is "not stated".
    pub fn cell(&'a self, field: &Field) -> std::borrow::Cow<'a, str> {
        self.value(field).cell().unwrap_or_default()
    }
}
