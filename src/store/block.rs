//! Blocks of the book of record: 32 fasteners to a value, because sled costs
//! by the number of its values.

use crate::record::{Fastener, Tables};
use crate::store::codec::{self, Unreadable};
use crate::store::row::{FastenerRow, LubeRow, Mirror, StrengthRow};

/// Fasteners in a full block. The number of a fastener divided by this is the
/// number of its block.
pub(crate) const BLOCK: u64 = 32;

/// A fastener under the number that it got when it was entered.
#[derive(Debug, serde::Serialize, serde::Deserialize)]
pub(crate) struct Entry {
    /// Its number; the order entered. Never given twice.
    pub(crate) number: u64,
    /// The fastener.
    pub(crate) row: FastenerRow,
}

impl Entry {
    /// `fastener` under `number`.
    pub(crate) fn new(number: u64, fastener: &Fastener) -> Self {
        Self { number, row: FastenerRow::row_of(fastener) }
    }
}

/// The entries of a block.
pub(crate) fn read_block(bytes: &[u8]) -> Result<Vec<Entry>, Unreadable> {
    codec::decode(bytes)
}

/// The bytes of a block.
pub(crate) fn write_block(entries: &[Entry]) -> Result<Vec<u8>, Unreadable> {
    codec::encode(&entries)
}

/// The reference tables as one row.
#[derive(Debug, serde::Serialize, serde::Deserialize)]
struct TablesRow {
    lubes: Vec<LubeRow>,
    strengths: Vec<StrengthRow>,
}

/// The bytes of the reference tables.
pub(crate) fn write_tables(tables: &Tables) -> Result<Vec<u8>, Unreadable> {
    let lubes = Mirror::row_of(&tables.lubes);
    let strengths = Mirror::row_of(&tables.strengths);
    codec::encode(&TablesRow { lubes, strengths })
}

/// The reference tables in `bytes`.
pub(crate) fn read_tables(bytes: &[u8]) -> Result<Tables, Unreadable> {
    let TablesRow { lubes, strengths } = codec::decode(bytes)?;
    Ok(Tables { lubes: lubes.into_record(), strengths: strengths.into_record() })
}
