//! Bytes of a row: a version byte, then bincode with limits.

use bincode::Options;
use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::store::row::ROW_VERSION;

/// No row that is written is larger.
pub(crate) const LARGEST_ROW: u64 = 4 << 20;

/// Why bytes are not a row, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Unreadable(pub(crate) String);

/// Variable-length integers, little-endian; trailing bytes are an error.
fn options() -> impl Options {
    bincode::DefaultOptions::new()
}

/// Appends the bytes of `row` to `out`.
pub(crate) fn encode_to<T: Serialize>(row: &T, out: &mut Vec<u8>) -> Result<(), Unreadable> {
    let start = out.len();
    out.push(ROW_VERSION);
    options().serialize_into(&mut *out, row).map_err(|error| Unreadable(error.to_string()))?;
    if (out.len() - start) as u64 > LARGEST_ROW {
        return Err(Unreadable(format!("larger than {LARGEST_ROW} bytes")));
    }
    Ok(())
}

/// The bytes of a list that may be longer than any row, such as all names.
pub(crate) fn encode_list<T: Serialize>(list: &T) -> Result<Vec<u8>, Unreadable> {
    let mut out = vec![ROW_VERSION];
    options().serialize_into(&mut out, list).map_err(|error| Unreadable(error.to_string()))?;
    Ok(out)
}

/// The bytes of `row`.
pub(crate) fn encode<T: Serialize>(row: &T) -> Result<Vec<u8>, Unreadable> {
    let mut out = Vec::new();
    encode_to(row, &mut out)?;
    Ok(out)
}

/// The row or list in `bytes`, all of them. A hostile length asks for no more
/// than the bytes that are there.
pub(crate) fn decode<T: DeserializeOwned>(bytes: &[u8]) -> Result<T, Unreadable> {
    match bytes.split_first() {
        Some((&ROW_VERSION, row)) => {
            options().deserialize(row).map_err(|error| Unreadable(error.to_string()))
        }
        Some((version, _)) => Err(Unreadable(format!("row of unknown version {version}"))),
        None => Err(Unreadable("empty row".to_owned())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_does_not_fit_is_an_error_and_a_list_may_be_long() {
        let long = "x".repeat(5 << 20);
        assert!(encode(&long).is_err());
        let bytes = encode_list(&long).unwrap();
        assert_eq!(decode::<String>(&bytes).unwrap(), long);
    }

    #[test]
    fn hostile_lengths_other_versions_and_trailing_bytes_are_errors() {
        let bytes = encode(&vec!["one", "two"]).unwrap();
        assert_eq!(decode::<Vec<String>>(&bytes).unwrap(), ["one", "two"]);
        assert!(decode::<Vec<String>>(&[bytes.as_slice(), &[0]].concat()).is_err());
        let mut other = bytes.clone();
        other[0] = 2;
        assert!(decode::<Vec<String>>(&other).is_err());
        for at in 1..bytes.len() {
            let mut hostile = bytes.clone();
            // The mark of a length in eight bytes, all of them set.
            hostile.splice(at..at, [253, 255, 255, 255, 255, 255, 255, 255, 127]);
            let _ = decode::<Vec<String>>(&hostile);
        }
    }
}
