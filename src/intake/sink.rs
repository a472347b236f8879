//! What takes the fasteners of a file, one after the other.

use std::ops::ControlFlow;

use crate::record::Fastener;

/// What takes the fasteners of a file, one after the other.
pub trait Sink {
    /// Takes a fastener; a break ends the walk.
    fn put(&mut self, fastener: Fastener) -> ControlFlow<()>;
    /// Forgets all it has taken: they come again, as they are.
    fn start_over(&mut self);
    /// Hears now and then which share of the file was walked, 0 to 1.
    fn walked(&mut self, _share: f64) {}
}

impl Sink for Vec<Fastener> {
    fn put(&mut self, fastener: Fastener) -> ControlFlow<()> {
        self.push(fastener);
        ControlFlow::Continue(())
    }
    fn start_over(&mut self) {
        self.clear();
    }
}
