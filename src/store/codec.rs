//! Bytes of a row: a version byte, then bincode with limits.

use bincode::Options;
use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::store::row::ROW_VERSION;

/// No row is larger; a hostile length asks for no more memory than this.
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

/// The bytes of `row`.
pub(crate) fn encode<T: Serialize>(row: &T) -> Result<Vec<u8>, Unreadable> {
    let mut out = Vec::new();
    encode_to(row, &mut out)?;
    Ok(out)
}

/// The row in `bytes`, all of them.
pub(crate) fn decode<T: DeserializeOwned>(bytes: &[u8]) -> Result<T, Unreadable> {
    match bytes.split_first() {
        Some((&ROW_VERSION, row)) => options()
            .with_limit(LARGEST_ROW)
            .deserialize(row)
            .map_err(|error| Unreadable(error.to_string())),
        Some((version, _)) => Err(Unreadable(format!("row of unknown version {version}"))),
        None => Err(Unreadable("empty row".to_owned())),
    }
}
