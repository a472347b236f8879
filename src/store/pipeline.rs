//! A new state written on a thread of its own: the caller reads or parses the
//! next fasteners while the last ones are encoded, compressed and indexed.

use std::path::Path;
use std::sync::Arc;
use std::sync::mpsc::{self, Receiver, SyncSender};
use std::thread::{self, JoinHandle};

use crate::record::{Fastener, Tables};
use crate::store::error::StoreError;
use crate::store::rebuild::{Rebuild, Rebuilt};

/// Fasteners handed over at once, and how many hand-overs may wait.
const BATCH: usize = 256;
const WAITING: usize = 4;

enum Job {
    Add(Vec<Arc<Fastener>>),
    Finish,
}

/// A new state under way. Dropped before it is finished it leaves nothing.
pub(crate) struct Pipeline {
    orders: Option<SyncSender<Job>>,
    worker: Option<JoinHandle<Result<Rebuilt, StoreError>>>,
    batch: Vec<Arc<Fastener>>,
}

impl Pipeline {
    /// Begins generation `generation` of the book at `dir`, with `tables`.
    pub(crate) fn begin(dir: &Path, generation: u64, tables: Tables) -> Result<Self, StoreError> {
        let rebuild = Rebuild::begin(dir, generation, Arc::new(tables))?;
        let (orders, work) = mpsc::sync_channel(WAITING);
        let worker = thread::Builder::new()
            .name("new state".to_owned())
            .spawn(move || run(rebuild, &work))
            .map_err(|error| StoreError::unchanged("start a thread for", dir, error))?;
        Ok(Self { orders: Some(orders), worker: Some(worker), batch: Vec::new() })
    }

    /// Adds the next fastener. An error may be one of an earlier fastener.
    pub(crate) fn push(&mut self, fastener: Arc<Fastener>) -> Result<(), StoreError> {
        self.batch.push(fastener);
        if self.batch.len() < BATCH { Ok(()) } else { self.hand_over() }
    }

    fn hand_over(&mut self) -> Result<(), StoreError> {
        let batch = std::mem::replace(&mut self.batch, Vec::with_capacity(BATCH));
        self.order(Job::Add(batch))
    }

    fn order(&mut self, order: Job) -> Result<(), StoreError> {
        let taken = self.orders.as_ref().is_some_and(|orders| orders.send(order).is_ok());
        if taken { Ok(()) } else { self.join().map(drop) }
    }

    /// Completes the new state, durably.
    pub(crate) fn finish(mut self) -> Result<Rebuilt, StoreError> {
        self.hand_over()?;
        self.order(Job::Finish)?;
        self.join()
    }

    fn join(&mut self) -> Result<Rebuilt, StoreError> {
        self.orders = None;
        let joined = self.worker.take().map(JoinHandle::join);
        // A worker that is gone or has panicked finished nothing.
        joined.and_then(Result::ok).unwrap_or(Err(StoreError::Stopped))
    }
}

impl Drop for Pipeline {
    fn drop(&mut self) {
        // Waits, so that nothing of it is left when the caller goes on.
        let _ = self.join();
    }
}

fn run(mut rebuild: Rebuild, work: &Receiver<Job>) -> Result<Rebuilt, StoreError> {
    while let Ok(order) = work.recv() {
        match order {
            Job::Add(batch) => {
                batch.iter().try_for_each(|fastener| rebuild.push(fastener))?;
            }
            Job::Finish => return rebuild.finish(),
        }
    }
    Err(StoreError::Stopped)
}
