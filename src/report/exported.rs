//! What an export writes: the fasteners of a book or of an answer, one after the
//! other, so that a book of any size takes the memory of a small one.

use std::any::Any;
use std::io;
use std::sync::Arc;

use crate::record::{Fastener, Field, LUBES, RecordTable, STRENGTHS, StrengthClass, Tables};

/// Fasteners in the order of the book.
pub trait Fasteners {
    /// Calls `visit` with each fastener, until it fails.
    ///
    /// # Errors
    /// What `visit` returns, or why the book cannot be read.
    fn each(&self, visit: &mut dyn FnMut(&Fastener) -> io::Result<()>) -> io::Result<()>;

    /// Lubes and strengths that they name and no other book has.
    fn own(&self) -> Option<&Tables> {
        None
    }
}

/// A record as its file has it: each field that it states, and the cell.
pub(crate) type Line = Vec<(&'static Field, String)>;

/// The lubes and strengths of `own`, each kind under its table, where there are any.
pub(crate) fn own_lines(own: Option<&Tables>) -> Vec<(&'static RecordTable, Vec<Line>)> {
    fn line(table: &'static RecordTable, record: &dyn Any) -> Line {
        let cells = table
            .fields
            .iter()
            .map(|field| (field, field.value(record).cell().map(String::from).unwrap_or_default()));
        cells.filter(|(_, cell)| !cell.is_empty()).collect()
    }
    let Some(own) = own else { return Vec::new() };
    let lubes = own.lubes.iter().map(|lube| line(&LUBES, lube)).collect();
    let strengths = own.strengths.iter().flat_map(StrengthClass::lines);
    let strengths = strengths.map(|one| line(&STRENGTHS, &one)).collect();
    let both = [(&LUBES, lubes), (&STRENGTHS, strengths)];
    both.into_iter().filter(|(_, lines): &(_, Vec<Line>)| !lines.is_empty()).collect()
}

impl<T: AsRef<[Arc<Fastener>]> + ?Sized> Fasteners for T {
    fn each(&self, visit: &mut dyn FnMut(&Fastener) -> io::Result<()>) -> io::Result<()> {
        self.as_ref().iter().try_for_each(|fastener| visit(fastener))
    }
}
