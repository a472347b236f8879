//! Lines of the log that wait for the server: a file of JSON lines, each with the UUID
//! of its change, so that it gets there once however often it is sent, and a checksum.

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
use crate::store::ledger::{LedgerRow, Lost, Signature};
use crate::store::restore::new_folder;
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
    let bytes = bytes_of(&dir.join(UNSENT))?;
    let bad = |why| StoreError::damaged(dir, format!("its file `{UNSENT}`: {why}"));
    let lines = bytes.split_inclusive(|byte| *byte == b'\n');
    lines.map(|line| entry_of(line).map_err(bad)).collect()
}

/// The bytes of the file; none where there is none.
fn bytes_of(path: &Path) -> Result<Vec<u8>, StoreError> {
    match disk::read(path) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(Vec::new()),
        read => read.map_err(|error| StoreError::io("read", path, error)),
    }
}

/// What a line of the file says, or what is wrong with it.
fn entry_of(line: &[u8]) -> Result<Unsent, String> {
    let whole = std::str::from_utf8(line).ok().and_then(|line| {
        let (check, entry) = line.strip_suffix('\n')?.split_once(' ')?;
        (check == check_of(entry)).then_some(entry)
    });
    let entry: Value = serde_json::from_str(whole.ok_or("a line is not what was written")?)
        .map_err(|error| error.to_string())?;
    let id = entry.get("id").and_then(Value::as_str).and_then(|id| Uuid::parse_str(id).ok());
    let mut unsent = Unsent {
        id: id.ok_or("a line has no UUID")?,
        signature: Signature::default(),
        pulls: Vec::new(),
    };
    for row in entry.get("lines").and_then(Value::as_array).into_iter().flatten() {
        let row = row.get("ledger").ok_or("a line is none of the log")?;
        let row = Take::<LedgerRow>::new().deserialize(row).map_err(|error| error.to_string())?;
        let LedgerRow::Bench(row) = row else { return Err("a line is none of the log".into()) };
        unsent.signature = row.signature;
        if let BenchChange::Pull(pull) = row.change {
            // It gets its number where the book is.
            unsent.pulls.push(Pull { number: 0, ..*pull });
        }
    }
    Ok(unsent)
}

fn check_of(entry: &str) -> String {
    format!("{:08x}", crc32fast::hash(entry.as_bytes()))
}

/// Keeps the lines that are whole where others are not; what could not be kept, and the
/// folder that has the file as it was.
pub(crate) fn mend(dir: &Path) -> Result<(Lost, Option<String>), StoreError> {
    let bytes = bytes_of(&dir.join(UNSENT))?;
    let lines = bytes.split_inclusive(|byte| *byte == b'\n');
    let (whole, bad): (Vec<&[u8]>, Vec<&[u8]>) = lines.partition(|line| entry_of(line).is_ok());
    if bad.is_empty() {
        return Ok((Lost::default(), None));
    }
    let (name, folder) = new_folder(dir)?;
    let kept = folder.join(UNSENT);
    disk::write_durably(&kept, &bytes).map_err(|e| StoreError::unchanged("write", &kept, e))?;
    write(dir, &whole.concat())?;
    Ok((Lost { unknown: bad.len(), ..Lost::default() }, Some(name)))
}

/// Whether lines of the log wait for the server in the folder `dir`.
pub(crate) fn is_any(dir: &Path) -> bool {
    dir.join(UNSENT).metadata().is_ok_and(|data| data.len() > 0)
}

/// Keeps the lines of the change `id`, durably, behind those that wait already.
pub(crate) fn keep(dir: &Path, id: Uuid, rows: &[LedgerRow]) -> Result<(), StoreError> {
    let rows: Vec<String> = rows.iter().map(ledger_text).collect::<Result<_, _>>()?;
    let entry = format!("{{\"id\":\"{id}\",\"lines\":[{}]}}", rows.join(","));
    let mut bytes = bytes_of(&dir.join(UNSENT))?;
    bytes.extend(format!("{} {entry}\n", check_of(&entry)).into_bytes());
    write(dir, &bytes)
}

/// Takes out those that are stored by now.
pub(crate) fn forget(dir: &Path, stored: &[Uuid]) -> Result<(), StoreError> {
    if stored.is_empty() {
        return Ok(());
    }
    let bytes = bytes_of(&dir.join(UNSENT))?;
    let is_left = |line: &&[u8]| !entry_of(line).is_ok_and(|one| stored.contains(&one.id));
    let left: Vec<&[u8]> = bytes.split_inclusive(|byte| *byte == b'\n').filter(is_left).collect();
    write(dir, &left.concat())
}

fn write(dir: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    let path = dir.join(UNSENT);
    let failed = |error| StoreError::unchanged("write", &path, error);
    disk::replace(&path, bytes).map_err(failed)?.map_err(failed)
}

/// Adds what waits to the log of `bench`.
pub(crate) fn replay(dir: &Path, bench: &mut Bench) -> Result<(), StoreError> {
    bench.log.settle();
    for unsent in read(dir)? {
        let signatures = unsent.pulls.iter().map(|_| unsent.signature.clone());
        bench.written.extend(signatures);
        bench.take(&unsent.signature, unsent.change(), false)?;
    }
    Ok(())
}
