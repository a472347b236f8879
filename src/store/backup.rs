//! The backup: the whole book as one text file that says what it is, one
//! JSON value to a line. Reading it back loses nothing.
//!
//! First a line with the counts, then lubes, strengths, fasteners in the order
//! entered and the lines of the ledger, at last a line with the number of lines and their checksum.
//! A quantity stands as it is printed (`"65 lb-ft"`), a value that is not
//! stated is left out.

use std::fs::File;
use std::io::{self, BufRead, BufReader, BufWriter, Read as _, Write};
use std::path::Path;
use std::sync::Arc;

use serde::de::DeserializeSeed as _;
use serde_json::Value;

use crate::record::{Fastener, Lube, StrengthClass};
use crate::store::book::Book;
use crate::store::codec::LARGEST_ROW;
use crate::store::error::StoreError;
use crate::store::image::newer_form;
use crate::store::ledger::{self, KINDS, LedgerRow};
use crate::store::row::{FORM, Put, Take, Unusable, in_use, known};

/// No line of a backup is longer: no row is a quarter of it.
const LONGEST_LINE: u64 = 8 * LARGEST_ROW;

/// One line of a backup, read or to be written.
pub(crate) enum BackupLine {
    /// The first.
    ClampbookBackup(Head),
    Lube(Lube),
    Strength(StrengthClass),
    Fastener(Arc<Fastener>),
    /// A line of the ledger.
    Ledger(Box<LedgerRow>),
    /// The last.
    End(Tail),
}

/// What a backup says of itself first.
pub(crate) struct Head {
    pub(crate) form: u8,
    /// The highest number of every list in use.
    pub(crate) lists: String,
    pub(crate) generation: u64,
    pub(crate) lubes: u64,
    pub(crate) strengths: u64,
    pub(crate) fasteners: u64,
    pub(crate) settings: u64,
}

/// What it says at last.
pub(crate) struct Tail {
    /// Lines before this one.
    pub(crate) lines: u64,
    /// CRC-32 of their bytes, line ends included, in hexadecimal.
    pub(crate) check: String,
}

impl Book {
    /// Writes the whole book to `out` as one text; errors name it as `path`.
    pub fn backup(&self, out: &mut dyn Write, path: &Path) -> Result<(), StoreError> {
        let mut text = Text {
            out: BufWriter::with_capacity(1 << 18, out),
            lines: 0,
            check: crc32fast::Hasher::new(),
        };
        self.write_lines(path, &mut text)?;
        text.finish().map_err(|error| StoreError::io("write", path, error))
    }

    fn write_lines(&self, path: &Path, out: &mut Text<'_>) -> Result<(), StoreError> {
        let failed = |error: io::Error| StoreError::io("write", path, error);
        let (counts, tables) = (self.counts(), self.tables());
        let head = Head {
            form: FORM,
            lists: in_use(),
            generation: counts.generation,
            lubes: tables.lubes.len() as u64,
            strengths: tables.strengths.len() as u64,
            fasteners: counts.fasteners,
            settings: counts.settings,
        };
        out.line(&BackupLine::ClampbookBackup(head)).map_err(failed)?;
        for lube in &tables.lubes {
            out.line(&BackupLine::Lube(lube.clone())).map_err(failed)?;
        }
        for class in &tables.strengths {
            out.line(&BackupLine::Strength(class.clone())).map_err(failed)?;
        }
        self.each_entry(&mut |_, fastener| {
            out.line(&BackupLine::Fastener(fastener)).map_err(failed)
        })?;
        ledger::each(self.dir(), self.current(), &KINDS, &mut |row| {
            out.line(&BackupLine::Ledger(Box::new(row))).map_err(failed)
        })
    }
}

/// The text being written, with what its last line says.
struct Text<'a> {
    out: BufWriter<&'a mut dyn Write>,
    lines: u64,
    check: crc32fast::Hasher,
}

impl Text<'_> {
    fn line(&mut self, line: &BackupLine) -> io::Result<()> {
        let mut text = serde_json::to_vec(&Put(line))?;
        text.push(b'\n');
        self.lines += 1;
        self.check.update(&text);
        self.out.write_all(&text)
    }

    fn finish(mut self) -> io::Result<()> {
        let check = format!("{:08x}", self.check.clone().finalize());
        let lines = self.lines;
        self.line(&BackupLine::End(Tail { lines, check }))?;
        self.out.flush()
    }
}

/// Reads the backup at `path` and hands each line but first and last to `take`;
/// the tables come before the fasteners. An error before the end means that the file is not
/// whole: what was taken must be thrown away.
pub(crate) fn read(
    path: &Path,
    take: &mut dyn FnMut(BackupLine) -> Result<(), StoreError>,
) -> Result<(), StoreError> {
    let file = File::open(path).map_err(|error| StoreError::io("open", path, error))?;
    let mut reader = Reader {
        path,
        lines: BufReader::with_capacity(1 << 18, file),
        number: 0,
        check: crc32fast::Hasher::new(),
        text: Vec::new(),
    };
    let head = reader.head()?;
    let mut counted = [0; 4];
    let [lubes, strengths, fasteners, settings] = &mut counted;
    loop {
        let (before, check) = (reader.number, reader.check.clone().finalize());
        let line = match reader.next()? {
            Some(BackupLine::End(tail)) => {
                let own = [head.lubes, head.strengths, head.fasteners, head.settings];
                let whole = tail.lines == before && tail.check == format!("{check:08x}");
                if whole && counted == own && reader.next()?.is_none() {
                    return Ok(());
                }
                return Err(reader.wrong("lines before this one are changed or missing"));
            }
            None => return Err(reader.wrong("the file ends before its last line")),
            Some(line) => line,
        };
        match &line {
            BackupLine::ClampbookBackup(_) => return Err(reader.wrong("a second first line")),
            // Figures are derived by the tables as the fasteners come.
            BackupLine::Lube(_) | BackupLine::Strength(_) if *fasteners > 0 => {
                return Err(reader.wrong("a lube or strength after the first fastener"));
            }
            BackupLine::Lube(_) => *lubes += 1,
            BackupLine::Strength(_) => *strengths += 1,
            BackupLine::Fastener(fastener) => {
                *fasteners += 1;
                *settings += fastener.settings.len() as u64;
            }
            BackupLine::Ledger(_) | BackupLine::End(_) => {}
        }
        take(line)?;
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
    /// The first line. What a newer program says there is refused by name,
    /// before anything else of it is read.
    fn head(&mut self) -> Result<Head, StoreError> {
        let none = "it is not a backup of a book: its first line should say so";
        if !self.advance()? {
            return Err(self.wrong(none));
        }
        let said: Value = serde_json::from_slice(&self.text).unwrap_or_default();
        let said = said.get("clampbook_backup").ok_or_else(|| self.wrong(none))?;
        let lists = said.get("lists").and_then(Value::as_str).unwrap_or("?");
        let newer = match (said.get("form").and_then(Value::as_u64), known(lists)) {
            (Some(form), _) if form > u64::from(FORM) => Some(newer_form(form)),
            (Some(form), Ok(())) if form == u64::from(FORM) => None,
            (Some(form), Err(Unusable::Newer(what))) if form == u64::from(FORM) => Some(what),
            _ => return Err(self.wrong("it has a format that was never released")),
        };
        if let Some(what) = newer {
            let why = format!(
                "it was made by a newer clampbook, with what this one does not know: {what}"
            );
            return Err(self.wrong(&why));
        }
        match self.line()? {
            BackupLine::ClampbookBackup(head) => Ok(head),
            _ => Err(self.wrong(none)),
        }
    }

    fn next(&mut self) -> Result<Option<BackupLine>, StoreError> {
        if self.advance()? { self.line().map(Some) } else { Ok(None) }
    }

    /// Reads the next line; whether there is one.
    fn advance(&mut self) -> Result<bool, StoreError> {
        self.text.clear();
        let read = (&mut self.lines).take(LONGEST_LINE).read_until(b'\n', &mut self.text);
        let read = read.map_err(|error| StoreError::io("read", self.path, error))?;
        if read == 0 {
            return Ok(false);
        }
        self.number += 1;
        if read as u64 == LONGEST_LINE {
            return Err(self.wrong("it is longer than any line of a backup"));
        }
        self.check.update(&self.text);
        Ok(true)
    }

    fn line(&self) -> Result<BackupLine, StoreError> {
        line_of(&self.text).map_err(|error| self.wrong(&error.to_string()))
    }

    fn wrong(&self, why: &str) -> StoreError {
        let (path, line) = (self.path.to_owned(), self.number as usize);
        StoreError::Backup { path, line, why: why.to_owned() }
    }
}

/// The line that stands in `text`, and nothing behind it.
pub(crate) fn line_of(text: &[u8]) -> serde_json::Result<BackupLine> {
    let mut json = serde_json::Deserializer::from_slice(text);
    let line = Take::<BackupLine>::new().deserialize(&mut json)?;
    json.end().map(|()| line)
}
