//! A JSON value whose keys keep their order and whose numbers are finite.

use std::borrow::Cow;
use std::fmt;

use serde::ser::{Serialize, SerializeMap, Serializer};

/// A JSON value. Printed on one line.
#[derive(Debug, Clone, PartialEq)]
pub enum Json {
    /// "not stated", "not known" or "does not apply".
    Null,
    /// Yes or no.
    Bool(bool),
    /// A count.
    Count(u64),
    /// A number; one that is not finite is written as null.
    Number(f64),
    /// A text, as stored: a program reads it, not a terminal.
    Text(String),
    /// A list.
    List(Vec<Json>),
    /// Keys and values, in this order.
    Object(Vec<(Cow<'static, str>, Json)>),
}

impl Json {
    /// An object from keys known beforehand.
    pub fn object(entries: Vec<(&'static str, Json)>) -> Self {
        Self::Object(entries.into_iter().map(|(key, value)| (Cow::Borrowed(key), value)).collect())
    }

    /// The value under `key` of an object.
    pub fn get(&self, key: &str) -> Option<&Json> {
        match self {
            Self::Object(entries) => {
                entries.iter().find(|(name, _)| name == key).map(|(_, value)| value)
            }
            _ => None,
        }
    }

    /// With the items of the lists of an object each on a line of their own, to
    /// be read by people too.
    pub fn lines(&self) -> String {
        let Self::Object(entries) = self else { return self.to_string() };
        let entry = |(key, value): &(Cow<'static, str>, Json)| {
            let key = Json::Text(key.to_string());
            match value {
                Self::List(items) if items.iter().any(|item| matches!(item, Self::Object(_))) => {
                    let items: Vec<String> = items.iter().map(Self::to_string).collect();
                    format!("{key}:[\n{}\n]", items.join(",\n"))
                }
                value => format!("{key}:{value}"),
            }
        };
        format!("{{{}}}", entries.iter().map(entry).collect::<Vec<_>>().join(","))
    }

    /// Adds an entry to an object, unless the key is there.
    pub(crate) fn add(&mut self, key: impl Into<Cow<'static, str>>, value: Json) {
        let key = key.into();
        if self.get(&key).is_none()
            && let Self::Object(entries) = self
        {
            entries.push((key, value));
        }
    }
}

impl From<&str> for Json {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<String> for Json {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<&String> for Json {
    fn from(text: &String) -> Self {
        Self::Text(text.clone())
    }
}

impl From<f64> for Json {
    fn from(number: f64) -> Self {
        Self::Number(number)
    }
}

impl From<bool> for Json {
    fn from(flag: bool) -> Self {
        Self::Bool(flag)
    }
}

impl From<usize> for Json {
    fn from(count: usize) -> Self {
        Self::Count(count as u64)
    }
}

impl From<u32> for Json {
    fn from(count: u32) -> Self {
        Self::Count(u64::from(count))
    }
}

impl From<u64> for Json {
    fn from(count: u64) -> Self {
        Self::Count(count)
    }
}

impl<T: Into<Json>> From<Option<T>> for Json {
    fn from(value: Option<T>) -> Self {
        value.map_or(Self::Null, Into::into)
    }
}

impl<T: Into<Json>> From<Vec<T>> for Json {
    fn from(values: Vec<T>) -> Self {
        Self::List(values.into_iter().map(Into::into).collect())
    }
}

impl From<Json> for serde_json::Value {
    fn from(value: Json) -> Self {
        serde_json::to_value(value).expect("every key is a text")
    }
}

impl From<serde_json::Value> for Json {
    fn from(value: serde_json::Value) -> Self {
        use serde_json::Value;
        match value {
            Value::Null => Self::Null,
            Value::Bool(flag) => Self::Bool(flag),
            Value::Number(number) => match number.as_u64() {
                Some(count) => Self::Count(count),
                None => Self::from(number.as_f64()),
            },
            Value::String(text) => Self::Text(text),
            Value::Array(values) => values.into(),
            Value::Object(map) => {
                let entry = |(key, value): (String, Value)| (Cow::Owned(key), value.into());
                Self::Object(map.into_iter().map(entry).collect())
            }
        }
    }
}

impl Serialize for Json {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Bool(flag) => to.serialize_bool(*flag),
            Self::Count(count) => to.serialize_u64(*count),
            Self::Number(number) if number.is_finite() => to.serialize_f64(*number),
            Self::Null | Self::Number(_) => to.serialize_unit(),
            Self::Text(text) => to.serialize_str(text),
            Self::List(values) => to.collect_seq(values),
            Self::Object(entries) => {
                let mut map = to.serialize_map(Some(entries.len()))?;
                for (key, value) in entries {
                    map.serialize_entry(key, value)?;
                }
                map.end()
            }
        }
    }
}

impl fmt::Display for Json {
    /// On one line, so that a stream of answers is JSON lines.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&serde_json::to_string(self).map_err(|_| fmt::Error)?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_keep_their_order_and_numbers_are_finite() {
        let value = Json::object(vec![
            ("b", 1.5.into()),
            ("a", Json::from(f64::NAN)),
            ("c", vec!["x", "\u{1b}"].into()),
            ("d", Json::from(None::<f64>)),
            ("n", 2usize.into()),
        ]);
        assert_eq!(value.to_string(), r#"{"b":1.5,"a":null,"c":["x","\u001b"],"d":null,"n":2}"#);
    }
}
