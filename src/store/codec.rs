//! Bytes of a row: its version, then bincode with limits.

use bincode::Options;

use crate::store::row::{FORM, Put, Stored, Take};

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
pub(crate) fn encode_to<T: Stored>(row: &T, out: &mut Vec<u8>) -> Result<(), Unreadable> {
    let start = out.len();
    out.push(FORM);
    options().serialize_into(&mut *out, &Put(row)).map_err(unreadable)?;
    if (out.len() - start) as u64 > LARGEST_ROW {
        return Err(Unreadable(format!("larger than {LARGEST_ROW} bytes")));
    }
    Ok(())
}

/// The bytes of a list that may be longer than any row, such as all names.
pub(crate) fn encode_list<T: Stored>(list: &T) -> Result<Vec<u8>, Unreadable> {
    let mut out = vec![FORM];
    options().serialize_into(&mut out, &Put(list)).map_err(unreadable)?;
    Ok(out)
}

/// The bytes of `row`.
pub(crate) fn encode<T: Stored>(row: &T) -> Result<Vec<u8>, Unreadable> {
    let mut out = Vec::new();
    encode_to(row, &mut out)?;
    Ok(out)
}

/// The row or list in `bytes`, all of them. A hostile length asks for no more
/// than the bytes that are there.
pub(crate) fn decode<T: Stored>(bytes: &[u8]) -> Result<T, Unreadable> {
    match bytes.split_first() {
        Some((&FORM, row)) => options().deserialize_seed(Take::new(), row).map_err(unreadable),
        Some((version, _)) => Err(Unreadable(format!("row of unknown version {version}"))),
        None => Err(Unreadable("empty row".to_owned())),
    }
}

fn unreadable(error: bincode::Error) -> Unreadable {
    Unreadable(error.to_string())
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
    fn a_text_with_a_hidden_character_is_never_kept() {
        for text in ["a\u{1b}b", "\u{202e}", "a\r\nb", "\u{feff}"] {
            let why = encode(&text.to_owned()).unwrap_err();
            assert!(why.0.contains("cannot be seen, U+"), "{why:?}");
        }
        assert!(encode(&"70 N·m\n\t漢".to_owned()).is_ok());
    }

    #[test]
    fn hostile_lengths_other_versions_and_trailing_bytes_are_errors() {
        let bytes = encode(&vec!["one".to_owned(), "two".to_owned()]).unwrap();
        assert_eq!(decode::<Vec<String>>(&bytes).unwrap(), ["one", "two"]);
        assert!(decode::<Vec<String>>(&[bytes.as_slice(), &[0]].concat()).is_err());
        let mut other = bytes.clone();
        other[0] = FORM + 1;
        assert!(decode::<Vec<String>>(&other).is_err());
        for at in 1..bytes.len() {
            let mut hostile = bytes.clone();
            // The mark of a length in eight bytes, all of them set.
            hostile.splice(at..at, [253, 255, 255, 255, 255, 255, 255, 255, 127]);
            let _ = decode::<Vec<String>>(&hostile);
        }
    }
}
