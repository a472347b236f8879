//! Merging sorted runs of terms into one order.

use std::fs::File;
use std::io::{self, BufReader, Read};

use crate::store::image::lists::{Ordinals, Term};

/// One sorted run: in memory, or on the disk.
#[derive(Debug)]
pub(crate) struct Run {
    source: Source,
    next: Option<(Term, Ordinals)>,
}

#[derive(Debug)]
enum Source {
    Memory(std::vec::IntoIter<(Term, Ordinals)>),
    Disk(BufReader<File>),
}

impl Run {
    /// A run in memory, sorted.
    pub(crate) fn memory(sorted: Vec<(Term, Ordinals)>) -> Self {
        Self { source: Source::Memory(sorted.into_iter()), next: None }
    }

    /// A run on the disk, from where the file stands.
    pub(crate) fn read(file: File) -> Self {
        let source = Source::Disk(BufReader::with_capacity(1 << 16, file));
        Self { source, next: None }
    }

    fn advance(&mut self) -> io::Result<()> {
        self.next = match &mut self.source {
            Source::Memory(sorted) => sorted.next(),
            Source::Disk(file) => read_list(file)?,
        };
        Ok(())
    }
}

/// Calls `emit` with each term in order, the lists of all runs joined. Runs
/// hold rising ordinals, the first run the lowest.
pub(crate) fn merge(
    mut runs: Vec<Run>,
    mut emit: impl FnMut(&[u8], Ordinals) -> io::Result<()>,
) -> io::Result<()> {
    runs.iter_mut().try_for_each(Run::advance)?;
    loop {
        // A handful of runs: looking at all of them costs less than a heap.
        let least = runs.iter().filter_map(|run| run.next.as_ref().map(|(key, _)| key)).min();
        let Some(key) = least.cloned() else { return Ok(()) };
        let mut joined: Option<Ordinals> = None;
        for run in &mut runs {
            if run.next.as_ref().is_none_or(|(next, _)| *next != key) {
                continue;
            }
            if let Some((_, list)) = run.next.take() {
                joined = Some(match joined {
                    None => list,
                    Some(mut before) => {
                        list.ordinals().for_each(|ordinal| {
                            before.push(ordinal);
                        });
                        before
                    }
                });
            }
            run.advance()?;
        }
        emit(&key, joined.unwrap_or_default())?;
    }
}

fn read_list(file: &mut BufReader<File>) -> io::Result<Option<(Term, Ordinals)>> {
    let Some(length) = read_number(file)? else { return Ok(None) };
    let mut key = vec![0; length as usize];
    file.read_exact(&mut key)?;
    let mut number = || read_number(file)?.ok_or_else(|| io::ErrorKind::UnexpectedEof.into());
    let [first, last, count, length]: [io::Result<u64>; 4] =
        [number(), number(), number(), number()];
    let mut steps = vec![0; length? as usize];
    file.read_exact(&mut steps)?;
    let list = Ordinals { first: first? as u32, last: last? as u32, count: count? as u32, steps };
    Ok(Some((key.into(), list)))
}

/// A varint; `None` at the end of the file.
fn read_number(file: &mut BufReader<File>) -> io::Result<Option<u64>> {
    let (mut value, mut shift) = (0, 0);
    loop {
        let mut byte = [0];
        if file.read(&mut byte)? == 0 {
            return if shift == 0 { Ok(None) } else { Err(io::ErrorKind::UnexpectedEof.into()) };
        }
        value |= u64::from(byte[0] & 0x7f) << shift;
        if byte[0] < 0x80 {
            return Ok(Some(value));
        }
        shift = (shift + 7).min(63);
    }
}
