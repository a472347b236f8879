//! What an export writes: the fasteners of a book or of an answer, one after the
//! other, so that a book of any size takes the memory of a small one.

use std::io;
use std::sync::Arc;

use crate::record::Fastener;

/// Fasteners in the order of the book.
pub trait Fasteners {
    /// Calls `visit` with each fastener, until it fails.
    ///
    /// # Errors
    /// What `visit` returns, or why the book cannot be read.
    fn each(&self, visit: &mut dyn FnMut(&Fastener) -> io::Result<()>) -> io::Result<()>;
}

impl<T: AsRef<[Arc<Fastener>]> + ?Sized> Fasteners for T {
    fn each(&self, visit: &mut dyn FnMut(&Fastener) -> io::Result<()>) -> io::Result<()> {
        self.as_ref().iter().try_for_each(|fastener| visit(fastener))
    }
}
