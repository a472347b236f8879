//! Writing an image: fasteners go in one by one, in the order entered.

use std::io;
use std::path::Path;
use std::sync::Arc;

use crate::record::{Fastener, Tables};
use crate::store::codec::{self, Unreadable};
use crate::store::image::columns::{ColumnsWriter, MOST};
use crate::store::image::file::ChunkWriter;
use crate::store::image::header::{
    COLUMNS, Counts, FileSection, Header, NAMES, PAGE, PIECES, RECORDS, TABLES, fences_of,
    postings_of,
};
use crate::store::image::lists::{Lists, Ordinals};
use crate::store::image::merge::merge;
use crate::store::image::names::NamesMet;
use crate::store::image::postings::PostingsWriter;
use crate::store::piece::{PIECE, PieceBuilder};
use crate::store::terms::{Index, each_term};

/// Why an image could not be written.
#[derive(Debug)]
pub(crate) enum WriteError {
    Io(io::Error),
    /// A record that cannot be kept.
    Unfit(Unreadable),
    /// Two fasteners have this key.
    SameKey(String),
}

impl From<io::Error> for WriteError {
    fn from(error: io::Error) -> Self {
        Self::Io(error)
    }
}

impl From<Unreadable> for WriteError {
    fn from(error: Unreadable) -> Self {
        Self::Unfit(error)
    }
}

/// Bytes of an entry of the piece table: where a piece is, and how long.
pub(crate) const PLACE: usize = 12;
/// Entries in a full page of the piece table.
pub(crate) const PLACES: usize = (PAGE - 4) / PLACE;

/// An image being written. Dropped before it is finished it leaves no file.
#[derive(Debug)]
pub(crate) struct ImageWriter {
    out: ChunkWriter,
    header: Header,
    piece: PieceBuilder,
    places: Vec<(u64, u32)>,
    lists: Lists,
    names: NamesMet,
    tables: Arc<Tables>,
    columns: ColumnsWriter,
}

impl ImageWriter {
    /// Begins an image at `path` with `tables`.
    pub(crate) fn create(path: &Path, tables: Arc<Tables>) -> io::Result<Self> {
        Ok(Self {
            out: ChunkWriter::create(path)?,
            header: Header::default(),
            piece: PieceBuilder::default(),
            places: Vec::new(),
            lists: Lists::new(path),
            names: NamesMet::default(),
            columns: ColumnsWriter::new(Arc::clone(&tables)),
            tables,
        })
    }

    /// Adds the next fastener; its number is above the one before. Returns
    /// the piece that it completed, if it did.
    pub(crate) fn push(
        &mut self,
        number: u64,
        fastener: &Fastener,
    ) -> Result<Option<Vec<u8>>, WriteError> {
        let counts = &mut self.header.counts;
        let ordinal = u32::try_from(counts.fasteners).ok().filter(|ordinal| *ordinal < MOST);
        let ordinal =
            ordinal.ok_or_else(|| Unreadable(format!("a book holds at most {MOST} fasteners")))?;
        each_term(fastener, &mut |index, term| self.lists.add(index, term, ordinal));
        self.lists.relieve()?;
        self.names.add(fastener);
        self.columns.add(ordinal, fastener);
        counts.fasteners += 1;
        counts.settings += fastener.settings.len() as u64;
        self.piece.push(number, fastener)?;
        if self.piece.len() == PIECE { self.close_piece().map(Some) } else { Ok(None) }
    }

    fn close_piece(&mut self) -> Result<Vec<u8>, WriteError> {
        let piece = self.piece.take();
        let offset = self.out.position();
        let length = self.out.chunk(&piece)?;
        let length =
            u32::try_from(length).map_err(|_| Unreadable("a piece is too large".into()))?;
        self.places.push((offset, length));
        Ok(piece)
    }

    /// Closes the last piece; call before [`Self::finish`] to have it.
    pub(crate) fn last_piece(&mut self) -> Result<Option<Vec<u8>>, WriteError> {
        if self.piece.len() == 0 { Ok(None) } else { self.close_piece().map(Some) }
    }

    /// Writes all the rest, and waits until it is on the disk.
    pub(crate) fn finish(mut self, generation: u64, next: u64) -> Result<Counts, WriteError> {
        self.last_piece()?;
        let begin = PAGE as u64;
        self.header.sections[RECORDS] =
            FileSection { offset: begin, length: self.out.position() - begin };
        let places = std::mem::take(&mut self.places);
        self.section(PIECES, |out| write_places(&places, out))?;
        let tables = codec::encode(&*self.tables)?;
        self.section(TABLES, |out| out.chunk(&tables).map(drop))?;
        self.header.counts.joints = self.names.count_joints();
        let names = std::mem::take(&mut self.names).encode()?;
        self.section(NAMES, |out| out.chunk(&names).map(drop))?;
        self.indexes()?;
        let columns = std::mem::replace(&mut self.columns, ColumnsWriter::new(Arc::default()));
        self.section(COLUMNS, |out| columns.write(out))?;
        self.header.counts.generation = generation;
        self.header.counts.next = next;
        let counts = self.header.counts;
        self.out.finish(self.header)?;
        Ok(counts)
    }

    fn section(
        &mut self,
        section: usize,
        write: impl FnOnce(&mut ChunkWriter) -> io::Result<()>,
    ) -> io::Result<()> {
        let offset = self.out.position();
        write(&mut self.out)?;
        let length = self.out.position() - offset;
        self.header.sections[section] = FileSection { offset, length };
        Ok(())
    }

    fn indexes(&mut self) -> Result<(), WriteError> {
        let lists = std::mem::replace(&mut self.lists, Lists::new(Path::new("")));
        let mut indexes = Index::ALL.into_iter().peekable();
        let mut open = PostingsWriter::default();
        let mut offset = self.out.position();
        let mut fences = Vec::new();
        let mut twice = None;
        let (out, header) = (&mut self.out, &mut self.header);
        let mut close = |index: Index, open: &mut PostingsWriter, out: &mut ChunkWriter| {
            fences.push((index, std::mem::take(open).finish(out)?));
            let length = out.position() - offset;
            header.sections[postings_of(index)] = FileSection { offset, length };
            offset = out.position();
            Ok::<(), io::Error>(())
        };
        merge(lists.finish(), |key, list: Ordinals| {
            while let Some(index) = indexes.next_if(|index| (*index as u8) < key[0]) {
                close(index, &mut open, out)?;
            }
            if key[0] == Index::Key as u8 && list.count > 1 {
                twice.get_or_insert_with(|| String::from_utf8_lossy(&key[2..]).into_owned());
            }
            open.term(&key[1..], &list, out)
        })?;
        for index in indexes {
            close(index, &mut open, out)?;
        }
        if let Some(key) = twice {
            return Err(WriteError::SameKey(key));
        }
        for (index, bytes) in fences {
            self.section(fences_of(index), |out| out.chunk(&bytes).map(drop))?;
        }
        Ok(())
    }
}

/// Writes the piece table in pages of its own.
fn write_places(places: &[(u64, u32)], out: &mut ChunkWriter) -> io::Result<()> {
    for page in places.chunks(PLACES) {
        let mut bytes = Vec::with_capacity(PAGE);
        for (offset, length) in page {
            bytes.extend_from_slice(&offset.to_le_bytes());
            bytes.extend_from_slice(&length.to_le_bytes());
        }
        out.chunk(&bytes)?;
    }
    Ok(())
}
