//! Lines of the log that wait for the server: a file of JSON lines, each with the UUID
//! of its change, so that it gets there once however often it is sent.

use std::collections::BTreeSet;
use std::io;
use std::path::Path;

use serde::de::DeserializeSeed as _;
use serde_json::Value;
use uuid::Uuid;

use crate::record::Pull;
use crate::store::bench::{Bench, BenchChange};
use crate::store::change::Change;
use crate::store::disk;
use crate::store::error::StoreError;
use crate::store::folder::UNSENT;
use crate::store::ledger::{LedgerRow, Signature};
use crate::store::row::Take;
use crate::store::server::served::ledger_text;

/// Lines that were logged together.
#[derive(Debug)]
pub(crate) struct Unsent {
    pub(crate) id: Uuid,
    pub(crate) signature: Signature,
    pub(crate) pulls: Vec<Pull>,
}

impl Unsent {
    pub(crate) fn change(&self) -> Change {
        Change::AppendPulls(self.pulls.clone())
    }
}

/// What waits in the folder `dir`, the oldest first.
pub(crate) fn read(dir: &Path) -> Result<Vec<Unsent>, StoreError> {
    let path = dir.join(UNSENT);
    let text = text_of(&path)?;
    let bad = |why: &str| StoreError::damaged(dir, format!("its file `{UNSENT}`: {why}"));
    let read_line = |line: &str| {
        let said: Value = serde_json::from_str(line).map_err(|e| bad(&e.to_string()))?;
        let id = said.get("id").and_then(Value::as_str).and_then(|id| Uuid::parse_str(id).ok());
        let mut unsent = Unsent {
            id: id.ok_or_else(|| bad("a line has no UUID"))?,
            signature: Signature::default(),
            pulls: Vec::new(),
        };
        for row in said.get("lines").and_then(Value::as_array).into_iter().flatten() {
            let row = row.get("ledger").ok_or_else(|| bad("a line is none of the log"))?;
            let row = Take::<LedgerRow>::new().deserialize(row);
            let LedgerRow::Bench(row) = row.map_err(|e| bad(&e.to_string()))? else {
                return Err(bad("a line is none of the log"));
            };
            unsent.signature = row.signature;
            if let BenchChange::Pull(pull) = row.change {
                // It gets its number where the book is.
                unsent.pulls.push(Pull { number: 0, ..*pull });
            }
        }
        Ok(unsent)
    };
    text.lines().map(read_line).collect()
}

fn text_of(path: &Path) -> Result<String, StoreError> {
    match disk::read(path) {
        Ok(bytes) => String::from_utf8(bytes)
            .map_err(|_| StoreError::damaged(path, "it is not what was written")),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(String::new()),
        Err(error) => Err(StoreError::io("read", path, error)),
    }
}

/// Whether lines of the log wait for the server in the folder `dir`.
pub(crate) fn is_any(dir: &Path) -> bool {
    dir.join(UNSENT).metadata().is_ok_and(|data| data.len() > 0)
}

/// Keeps the lines of the change `id`, durably, behind those that wait already.
pub(crate) fn keep(dir: &Path, id: Uuid, rows: &[LedgerRow]) -> Result<(), StoreError> {
    let rows: Vec<String> = rows.iter().map(ledger_text).collect::<Result<_, _>>()?;
    let mut text = text_of(&dir.join(UNSENT))?;
    text += &format!("{{\"id\":\"{id}\",\"lines\":[{}]}}\n", rows.join(","));
    write(dir, &text)
}

/// Takes out those that are stored by now.
pub(crate) fn forget(dir: &Path, stored: &[Uuid]) -> Result<(), StoreError> {
    if stored.is_empty() {
        return Ok(());
    }
    let ids: BTreeSet<String> = stored.iter().map(Uuid::to_string).collect();
    let is_stored = |line: &&str| ids.iter().any(|id| line.contains(id.as_str()));
    let text = text_of(&dir.join(UNSENT))?;
    let left: String = text.split_inclusive('\n').filter(|line| !is_stored(line)).collect();
    write(dir, &left)
}

fn write(dir: &Path, text: &str) -> Result<(), StoreError> {
    let path = dir.join(UNSENT);
    let failed = |error| StoreError::unchanged("write", &path, error);
    disk::replace(&path, text.as_bytes()).map_err(failed)?.map_err(failed)
}

/// Adds what waits to the log of `bench`; returns how many lines.
pub(crate) fn replay(dir: &Path, bench: &mut Bench) -> Result<usize, StoreError> {
    let before = bench.log.lines().len();
    for unsent in read(dir)? {
        let signature = unsent.signature.clone();
        bench.take(&signature, unsent.change(), false)?;
        let lines = bench.log.lines().len();
        bench.written.resize(lines, signature);
    }
    Ok(bench.log.lines().len() - before)
}
