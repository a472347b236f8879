//! Taking the last change back, as a new change: what it changed is as it was, what
//! it removed is back, what it entered is gone. Taken back once more, the change
//! before it goes.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use crate::record::{Fastener, Kept, KeptKind, Tables};
use crate::store::bench::BenchRow;
use crate::store::book::Book;
use crate::store::change::Change;
use crate::store::error::StoreError;
use crate::store::ledger::{self, BENCH, LedgerRow, PAST, Past, STEP, Signature, Step};
use crate::store::writer::Writer;
use crate::text::fold_name;

/// What a change takes back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Undoes {
    Nothing,
    /// The change that made this generation.
    Generation(u64),
    /// The last change of a record of the bench.
    Bench,
}

impl Undoes {
    pub(crate) fn generation(self) -> Option<u64> {
        match self {
            Self::Generation(generation) => Some(generation),
            Self::Nothing | Self::Bench => None,
        }
    }
}

/// The last change that was not taken back.
#[derive(Debug, Clone, PartialEq)]
pub enum LastChange {
    /// Of fasteners, lubes or strengths.
    OfTheBook(Revision),
    /// Of a wrench, layout or bolt set.
    OfTheBench(Box<BenchStep>),
}

/// A change of fasteners, lubes or strengths.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Revision {
    /// The generation that it made.
    pub generation: u64,
    /// Who made it, and when.
    pub signature: Signature,
    /// Fasteners that it changed, before and after.
    pub changed: Vec<(Arc<Fastener>, Arc<Fastener>)>,
    /// Fasteners that it removed.
    pub removed: Vec<Arc<Fastener>>,
    /// Keys of the fasteners that it entered.
    pub entered: Vec<String>,
    /// The lubes and strengths before it, if it changed them.
    pub before: Option<Tables>,
}

/// A change of a wrench, layout or bolt set.
#[derive(Debug, Clone, PartialEq)]
pub struct BenchStep {
    /// Who made it, and when.
    pub signature: Signature,
    /// What kind of record.
    pub kind: KeptKind,
    /// Its name.
    pub name: String,
    /// The record before; none if it was entered.
    pub before: Option<Kept>,
    /// The record after; none if it was removed.
    pub after: Option<Kept>,
}

impl Book {
    /// The last change of fasteners, lubes, strengths, wrenches, layouts or bolt sets;
    /// the log and notes are not looked at.
    ///
    /// # Errors
    /// [`StoreError::Undo`] where there is none, or where it entered more fasteners
    /// than the history lists.
    pub fn last_change(&self) -> Result<LastChange, StoreError> {
        let (mut steps, mut past, mut bench) = (Vec::new(), Vec::new(), BenchSteps::default());
        // Where each generation left its last trace.
        let mut places: HashMap<u64, usize> = HashMap::new();
        let mut place = 0;
        ledger::each(self.dir(), self.current(), &[PAST, STEP, BENCH], &mut |row| {
            place += 1;
            match row {
                LedgerRow::Step(row) => {
                    places.insert(row.generation, place);
                    steps.push(*row);
                }
                LedgerRow::Past(row) => {
                    places.insert(row.generation, place);
                    past.push(*row);
                }
                LedgerRow::Bench(row) => bench.take(place, *row),
                LedgerRow::Note(_) => {}
            }
            Ok(())
        })?;
        let generation = target(self.generation(), &steps, &past);
        let of_book = generation.and_then(|generation| places.get(&generation));
        match bench.steps.pop() {
            Some((place, step)) if of_book.is_none_or(|of_book| *of_book < place) => {
                return Ok(LastChange::OfTheBench(Box::new(step)));
            }
            _ => {}
        }
        let nothing = || StoreError::Undo("the book has no change that could be".to_owned());
        let generation = generation.ok_or_else(nothing)?;
        let step = steps.into_iter().find(|step| step.generation == generation).unwrap_or_default();
        if step.count > step.entered.len() as u64 {
            let count = step.count;
            return Err(StoreError::Undo(format!(
                "revision {generation} entered {count} fasteners at once; `book restore` goes back \
                 to a backup"
            )));
        }
        let past = past.into_iter().filter(|past| past.generation == generation);
        Ok(LastChange::OfTheBook(collected(generation, step, past)))
    }
}

/// The changes of the bench that were not taken back, with their places in the ledger.
#[derive(Default)]
struct BenchSteps {
    steps: Vec<(usize, BenchStep)>,
    /// Each record as it is by now.
    now: HashMap<(KeptKind, String), Kept>,
}

impl BenchSteps {
    fn take(&mut self, place: usize, row: BenchRow) {
        let BenchRow { signature, change, takes_back } = row;
        let Some((kind, name, after)) = change.state() else { return };
        let key = (kind, fold_name(&name));
        let before = match &after {
            Some(record) => self.now.insert(key.clone(), record.clone()),
            None => self.now.remove(&key),
        };
        if takes_back {
            let is_its = |(_, step): &(usize, BenchStep)| (step.kind, fold_name(&step.name)) == key;
            if let Some(at) = self.steps.iter().rposition(is_its) {
                self.steps.remove(at);
            }
        } else {
            self.steps.push((place, BenchStep { signature, kind, name, before, after }));
        }
    }
}

/// The last generation with a trace that no later one has taken back. One without a
/// trace (a compaction, a restore) changed nothing that could be.
fn target(last: u64, steps: &[Step], past: &[Past]) -> Option<u64> {
    let traced: HashSet<u64> =
        steps.iter().map(|s| s.generation).chain(past.iter().map(|p| p.generation)).collect();
    let undone = |at: u64| steps.iter().find(|step| step.generation == at)?.undoes;
    let mut at = last;
    while at > 0 {
        match undone(at) {
            Some(taken) => at = taken.min(at).saturating_sub(1),
            None if traced.contains(&at) => return Some(at),
            None => at -= 1,
        }
    }
    None
}

fn collected(generation: u64, step: Step, past: impl Iterator<Item = Past>) -> Revision {
    let Step { signature, entered, before, .. } = step;
    let mut change = Revision { generation, signature, entered, before, ..Revision::default() };
    let mut seen = HashSet::new();
    // Of a fastener that one change touches twice the first state is the one before.
    for Past { signature, old, new, .. } in past {
        change.signature = signature;
        if seen.insert(old.key.clone()) {
            match new {
                Some(new) => change.changed.push((old, new)),
                None => change.removed.push(old),
            }
        }
    }
    change
}

impl Writer {
    /// Takes `change` back; returns the generation after it.
    ///
    /// # Errors
    /// Where the book cannot be written.
    pub fn undo(&mut self, change: LastChange) -> Result<u64, StoreError> {
        let change = match change {
            LastChange::OfTheBook(change) => change,
            LastChange::OfTheBench(step) => {
                let BenchStep { kind, name, before, .. } = *step;
                let back = before.map_or_else(|| Change::RemoveRecord(kind, name), Change::from);
                return self.change(vec![back], Undoes::Bench);
            }
        };
        let mut changes: Vec<Change> = change.entered.iter().cloned().map(Change::Remove).collect();
        let old = change.changed.iter().map(|(old, _)| old).chain(&change.removed);
        changes.extend(old.map(|old| Change::from(old.as_ref().clone())));
        if let Some(before) = &change.before {
            changes.extend(tables_back(self.book().tables(), before));
        }
        self.change(changes, Undoes::Generation(change.generation))
    }
}

/// What makes `now` of lubes and strengths what it was `before`.
fn tables_back(now: &Tables, before: &Tables) -> Vec<Change> {
    let [now, before] = [now, before].map(|tables| tables.records().collect::<Vec<_>>());
    let name = |one: &Kept| (one.kind(), fold_name(one.name()));
    let names: HashSet<(KeptKind, String)> = before.iter().map(name).collect();
    let entered = now.iter().filter(|one| !names.contains(&name(one)));
    let mut changes: Vec<Change> =
        entered.map(|one| Change::RemoveRecord(one.kind(), one.name().to_owned())).collect();
    let differs = before.into_iter().filter(|one| !now.contains(one));
    changes.extend(differs.map(Change::from));
    changes
}
