//! Taking the last change back, as a new change: what it changed is as it was, what
//! it removed is back, what it entered is gone. Taken back once more, the change
//! before it goes.

use std::collections::HashSet;
use std::sync::Arc;

use crate::record::{Fastener, Tables};
use crate::store::book::Book;
use crate::store::change::Change;
use crate::store::error::StoreError;
use crate::store::ledger::{self, LedgerRow, PAST, Past, STEP, Signature, Step};
use crate::store::writer::Writer;
use crate::text::fold_name;

/// The last change that was not taken back.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LastChange {
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

impl Book {
    /// The last change of fasteners, lubes or strengths; the bench, its log and notes
    /// are not looked at.
    ///
    /// # Errors
    /// [`StoreError::Undo`] where there is none, or where it entered more fasteners
    /// than the history lists.
    pub fn last_change(&self) -> Result<LastChange, StoreError> {
        let (mut steps, mut past) = (Vec::new(), Vec::new());
        ledger::each(self.dir(), self.current(), &[PAST, STEP], &mut |row| {
            match row {
                LedgerRow::Step(row) => steps.push(*row),
                LedgerRow::Past(row) => past.push(*row),
                LedgerRow::Note(_) | LedgerRow::Bench(_) => {}
            }
            Ok(())
        })?;
        let nothing = || StoreError::Undo("the book has no change that could be".to_owned());
        let generation = target(self.generation(), &steps, &past).ok_or_else(nothing)?;
        let step = steps.into_iter().find(|step| step.generation == generation).unwrap_or_default();
        if step.count > step.entered.len() as u64 {
            let count = step.count;
            return Err(StoreError::Undo(format!(
                "revision {generation} entered {count} fasteners at once; `book restore` goes back \
                 to a backup"
            )));
        }
        let past = past.into_iter().filter(|past| past.generation == generation);
        Ok(collected(generation, step, past))
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

fn collected(generation: u64, step: Step, past: impl Iterator<Item = Past>) -> LastChange {
    let Step { signature, entered, before, .. } = step;
    let mut change = LastChange { generation, signature, entered, before, ..LastChange::default() };
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
    /// Takes `change` back; returns the new generation.
    ///
    /// # Errors
    /// Where the book cannot be written.
    pub fn undo(&mut self, change: &LastChange) -> Result<u64, StoreError> {
        let mut changes: Vec<Change> = change.entered.iter().cloned().map(Change::Remove).collect();
        let old = change.changed.iter().map(|(old, _)| old).chain(&change.removed);
        changes.extend(old.map(|old| Change::from(old.as_ref().clone())));
        if let Some(before) = &change.before {
            changes.extend(tables_back(self.book().tables(), before));
        }
        self.change(changes, Some(change.generation))
    }
}

/// What makes `now` of lubes and strengths what it was `before`.
fn tables_back(now: &Tables, before: &Tables) -> Vec<Change> {
    let has =
        |known: &[&str], name: &str| known.iter().any(|other| fold_name(other) == fold_name(name));
    let lubes: Vec<&str> = before.lubes.iter().map(|lube| lube.name.as_str()).collect();
    let classes: Vec<&str> = before.strengths.iter().map(|class| class.name.as_str()).collect();
    let new = now.lubes.iter().filter(|lube| !has(&lubes, &lube.name));
    let mut changes: Vec<Change> = new.map(|lube| Change::RemoveLube(lube.name.clone())).collect();
    let new = now.strengths.iter().filter(|class| !has(&classes, &class.name));
    changes.extend(new.map(|class| Change::RemoveStrength(class.name.clone())));
    let lubes = before.lubes.iter().filter(|lube| !now.lubes.contains(lube));
    changes.extend(lubes.cloned().map(Change::PutLube));
    let classes = before.strengths.iter().filter(|class| !now.strengths.contains(class));
    changes.extend(classes.cloned().map(Change::PutStrength));
    changes
}
