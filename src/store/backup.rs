//! The backup: the whole book as one text file that says what it is, one
//! JSON value to a line. Reading it back loses nothing.
//!
//! First a line with the counts, then lubes, strengths, fasteners in the order
//! entered and the lines of the ledger, at last a line with the number of lines and their checksum.
//! A quantity stands as it is printed (`"70 lb-ft"`), a value that is not
//! stated is left out.

use std::fs::File;
use std::io::{self, BufRead, BufReader, BufWriter, Write};
use std::ops::ControlFlow;
use std::path::Path;

use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::record::{Fastener, Lube, StrengthClass, Tables};
use crate::store::book::Book;
use crate::store::error::StoreError;
use crate::store::folder;
use crate::store::ledger::{self, LedgerRow};
use crate::store::row::{FastenerRow, LubeRow, Mirror, StrengthRow};

/// The version of the text; rows in it have the version of this folder's rows.
const VERSION: u32 = 1;

/// One line.
#[derive(Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
enum Line {
    /// The first.
    ClampbookBackup(Head),
    Lube(LubeRow),
    Strength(StrengthRow),
    Fastener(Box<FastenerRow>),
    /// A line of the ledger.
    Ledger(Box<LedgerRow>),
    /// The last.
    End(Tail),
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Head {
    version: u32,
    generation: u64,
    lubes: usize,
    strengths: usize,
    fasteners: u64,
    settings: u64,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Tail {
    /// Lines before this one.
    lines: u64,
    /// CRC-32 of their bytes, line ends included, in hexadecimal.
    check: String,
}

impl Book {
    /// Writes the whole book to `path` as one text file; a file that is there
    /// already is replaced when the new one is complete.
    pub fn backup(&self, path: &Path) -> Result<(), StoreError> {
        let beside = path.with_extension("partial");
        let failed = |error: io::Error| StoreError::io("write", path, error);
        let written = File::create(&beside).map_err(failed).and_then(|file| {
            let mut out = Text::new(BufWriter::with_capacity(1 << 18, file));
            self.write_lines(path, &mut out)?;
            out.finish().map_err(failed)
        });
        let done = written.and_then(|()| std::fs::rename(&beside, path).map_err(failed));
        if done.is_err() {
            let _ = std::fs::remove_file(&beside);
        }
        // The name is durable too, where the system can do that.
        let parent = path.parent().filter(|parent| !parent.as_os_str().is_empty());
        let _ = folder::sync_folder(parent.unwrap_or(Path::new(".")));
        done
    }

    fn write_lines(&self, path: &Path, out: &mut Text) -> Result<(), StoreError> {
        let failed = |error: io::Error| StoreError::io("write", path, error);
        let (counts, tables) = (self.counts(), self.tables());
        let head = Head {
            version: VERSION,
            generation: counts.generation,
            lubes: tables.lubes.len(),
            strengths: tables.strengths.len(),
            fasteners: counts.fasteners,
            settings: counts.settings,
        };
        out.line(&Line::ClampbookBackup(head)).map_err(failed)?;
        for lube in &tables.lubes {
            out.line(&Line::Lube(LubeRow::row_of(lube))).map_err(failed)?;
        }
        for class in &tables.strengths {
            out.line(&Line::Strength(StrengthRow::row_of(class))).map_err(failed)?;
        }
        let mut written = Ok(());
        self.each_entry(&mut |(_, fastener)| {
            written = out.line(&Line::Fastener(Box::new(FastenerRow::row_of(&fastener))));
            if written.is_ok() { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
        })?;
        written.map_err(failed)?;
        for row in ledger::read(self.dir(), self.current())? {
            out.line(&Line::Ledger(Box::new(row))).map_err(failed)?;
        }
        Ok(())
    }
}

/// The text being written, with what its last line says.
struct Text {
    out: BufWriter<File>,
    lines: u64,
    check: crc32fast::Hasher,
}

impl Text {
    fn new(out: BufWriter<File>) -> Self {
        Self { out, lines: 0, check: crc32fast::Hasher::new() }
    }

    fn line(&mut self, line: &Line) -> io::Result<()> {
        let mut value = serde_json::to_value(line)?;
        leave_out_nulls(&mut value);
        let mut text = serde_json::to_vec(&value)?;
        text.push(b'\n');
        self.lines += 1;
        self.check.update(&text);
        self.out.write_all(&text)
    }

    fn finish(mut self) -> io::Result<()> {
        let check = format!("{:08x}", self.check.clone().finalize());
        let lines = self.lines;
        self.line(&Line::End(Tail { lines, check }))?;
        self.out.flush()?;
        self.out.get_ref().sync_all()
    }
}

fn leave_out_nulls(value: &mut Value) {
    match value {
        Value::Object(fields) => {
            fields.retain(|_, field| !field.is_null());
            fields.values_mut().for_each(leave_out_nulls);
        }
        Value::Array(items) => items.iter_mut().for_each(leave_out_nulls),
        _ => {}
    }
}

/// What stands in a backup, line by line.
pub(crate) enum Item {
    /// A lube.
    Lube(Lube),
    /// A strength.
    Strength(StrengthClass),
    /// A fastener.
    Fastener(Box<Fastener>),
    /// A line of the ledger.
    Ledger(Box<LedgerRow>),
}

/// Reads the backup at `path` and hands each item to `take`; the tables come
/// before the fasteners. An error before the end means that the file is not
/// whole: what was taken must be thrown away.
pub(crate) fn read(
    path: &Path,
    take: &mut dyn FnMut(Item) -> Result<(), StoreError>,
) -> Result<(), StoreError> {
    let file = File::open(path).map_err(|error| StoreError::io("open", path, error))?;
    let mut reader = Reader {
        path,
        lines: BufReader::with_capacity(1 << 18, file),
        number: 0,
        check: crc32fast::Hasher::new(),
        text: Vec::new(),
    };
    let Some(Line::ClampbookBackup(head)) = reader.next()? else {
        return Err(reader.wrong("it is not a backup of a book: its first line should say so"));
    };
    if head.version > VERSION {
        let why = format!("it has version {}, this clampbook reads up to {VERSION}", head.version);
        return Err(reader.wrong(&why));
    }
    let mut seen = Tables::default();
    let (mut fasteners, mut settings) = (0, 0);
    loop {
        let (before, check) = (reader.number, reader.check.clone().finalize());
        match reader.next()? {
            // Figures are derived by the tables as the fasteners come.
            Some(Line::Lube(_) | Line::Strength(_)) if fasteners > 0 => {
                return Err(reader.wrong("a lube or strength after the first fastener"));
            }
            Some(Line::Lube(row)) => {
                let lube: Lube = row.into_record();
                seen.lubes.push(lube.clone());
                take(Item::Lube(lube))?;
            }
            Some(Line::Strength(row)) => {
                let class: StrengthClass = row.into_record();
                seen.strengths.push(class.clone());
                take(Item::Strength(class))?;
            }
            Some(Line::Fastener(row)) => {
                let fastener: Fastener = row.into_record();
                fasteners += 1;
                settings += fastener.settings.len() as u64;
                take(Item::Fastener(Box::new(fastener)))?;
            }
            Some(Line::Ledger(row)) => take(Item::Ledger(row))?,
            Some(Line::End(tail)) => {
                let counted = (seen.lubes.len(), seen.strengths.len(), fasteners, settings);
                let told = (head.lubes, head.strengths, head.fasteners, head.settings);
                let whole = tail.lines == before && tail.check == format!("{check:08x}");
                if whole && counted == told && reader.next()?.is_none() {
                    return Ok(());
                }
                return Err(reader.wrong("lines before this one are changed or missing"));
            }
            Some(Line::ClampbookBackup(_)) => return Err(reader.wrong("a second first line")),
            None => return Err(reader.wrong("the file ends before its last line")),
        }
    }
}

struct Reader<'a> {
    path: &'a Path,
    lines: BufReader<File>,
    number: u64,
    check: crc32fast::Hasher,
    text: Vec<u8>,
}

impl Reader<'_> {
    fn next(&mut self) -> Result<Option<Line>, StoreError> {
        self.text.clear();
        let read = self.lines.read_until(b'\n', &mut self.text);
        match read.map_err(|error| StoreError::io("read", self.path, error))? {
            0 => Ok(None),
            _ => {
                self.number += 1;
                self.check.update(&self.text);
                let line = serde_json::from_slice(&self.text);
                line.map(Some).map_err(|error| self.wrong(&error.to_string()))
            }
        }
    }

    fn wrong(&self, why: &str) -> StoreError {
        let (path, line) = (self.path.to_owned(), self.number as usize);
        StoreError::Backup { path, line, why: why.to_owned() }
    }
}
