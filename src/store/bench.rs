//! What belongs to the bench: wrenches, layouts, bolt sets and the log. They
//! lie in the ledger, so that none of them rewrites the book and a look-up
//! that needs none of them reads none.

use std::path::Path;

use crate::record::{
    BoltSet, Kept, KeptKind, Layout, Log, Named, Pull, Wrench, place_of_name, put_by_name,
};
use crate::store::book::Book;
use crate::store::change::Change;
use crate::store::error::StoreError;
use crate::store::folder::Current;
use crate::store::ledger::{self, BENCH, LedgerRow, Signature};
use crate::text::fold_name;

/// A change of the bench as it lies in the ledger.
#[derive(Debug)]
pub(crate) struct BenchRow {
    pub(crate) signature: Signature,
    pub(crate) change: BenchChange,
    /// Whether it takes the last change of that record back.
    pub(crate) takes_back: bool,
}

/// A change of the bench, as the ledger keeps it.
#[derive(Debug)]
pub(crate) enum BenchChange {
    Wrench(Wrench),
    WrenchRemoved(String),
    Layout(Layout),
    LayoutRemoved(String),
    BoltSet(BoltSet),
    BoltSetRemoved(String),
    /// A line of the log; nothing takes one away or puts another in its place.
    Pull(Box<Pull>),
    /// The line of that number was damaged and could not be restored.
    LineLost(u64),
}

/// The bench of a book as its ledger leaves it.
#[derive(Debug, Clone, Default)]
pub(crate) struct Bench {
    pub(crate) wrenches: Vec<Wrench>,
    pub(crate) layouts: Vec<Layout>,
    pub(crate) bolt_sets: Vec<BoltSet>,
    pub(crate) log: Log,
    /// Who wrote each line of the log, and when.
    pub(crate) written: Vec<Signature>,
}

impl Bench {
    /// The bench of the book at `dir`.
    pub(crate) fn read(dir: &Path, current: &Current) -> Result<Self, StoreError> {
        let mut bench = Self::default();
        ledger::each(dir, current, &[BENCH], &mut |row| {
            let LedgerRow::Bench(row) = row else { return Ok(()) };
            bench.replay(row.change, row.signature).map_err(|why| {
                StoreError::damaged(dir, format!("its log is not what was written: {why}"))
            })
        })?;
        Ok(bench)
    }

    fn replay(&mut self, change: BenchChange, signature: Signature) -> Result<(), String> {
        match change {
            BenchChange::Pull(pull) => {
                let own = pull.number;
                let number = self.log.append(*pull).map_err(|error| error.to_string())?;
                if number != own {
                    return Err(format!("line {number} says that it is line {own}"));
                }
                self.written.push(signature);
            }
            BenchChange::LineLost(number) => {
                self.log.lose(number).map_err(|error| error.to_string())?;
                self.written.push(signature);
            }
            other => match other.state() {
                Some((_, _, Some(record))) => self.put(record),
                // What is not there is gone all the same.
                Some((kind, name, None)) => drop(self.remove(kind, &name)),
                None => {}
            },
        }
        Ok(())
    }

    /// Makes `change` and returns the rows that keep it; `change` itself if it
    /// is none of the bench.
    pub(crate) fn take(
        &mut self,
        signature: &Signature,
        change: Change,
        takes_back: bool,
    ) -> Result<Vec<LedgerRow>, StoreError> {
        let rows = match change {
            Change::PutRecord(record) => {
                self.put(record.clone());
                BenchChange::put(record).into_iter().collect()
            }
            Change::RemoveRecord(kind, name) => vec![self.remove(kind, &name)?],
            Change::AppendPulls(pulls) => self.append(pulls)?,
            _ => Vec::new(),
        };
        let row = |change| BenchRow { signature: signature.clone(), change, takes_back };
        Ok(rows.into_iter().map(row).map(|row| LedgerRow::Bench(Box::new(row))).collect())
    }

    fn put(&mut self, record: Kept) {
        match record {
            Kept::Wrench(wrench) => put_by_name(&mut self.wrenches, wrench),
            Kept::Layout(layout) => put_by_name(&mut self.layouts, layout),
            Kept::BoltSet(set) => put_by_name(&mut self.bolt_sets, set),
            Kept::Lube(_) | Kept::Strength(_) => {}
        }
    }

    /// Takes a record out, by its name as it is entered.
    fn remove(&mut self, kind: KeptKind, name: &str) -> Result<BenchChange, StoreError> {
        Ok(match kind {
            KeptKind::Wrench => BenchChange::WrenchRemoved(take(&mut self.wrenches, name)?.name),
            KeptKind::Layout => BenchChange::LayoutRemoved(take(&mut self.layouts, name)?.name),
            KeptKind::BoltSet => BenchChange::BoltSetRemoved(take(&mut self.bolt_sets, name)?.name),
            KeptKind::Lube | KeptKind::Strength => {
                let what = kind.table().what;
                return Err(StoreError::Unknown { what, name: name.to_owned() });
            }
        })
    }

    /// Adds lines at the end of the log. A line that was stored before has a
    /// number: it is refused, for the log is never altered.
    fn append(&mut self, pulls: Vec<Pull>) -> Result<Vec<BenchChange>, StoreError> {
        let mut rows = Vec::with_capacity(pulls.len());
        for pull in pulls {
            if pull.number != 0 {
                return Err(StoreError::LogKeeps(pull.number));
            }
            let number = self.log.append(pull)?;
            rows.extend(
                self.log.line(number).map(|line| BenchChange::Pull(Box::new(line.clone()))),
            );
        }
        Ok(rows)
    }
}

impl Book {
    /// The wrenches, in the order first entered.
    pub fn wrenches(&self) -> Result<&[Wrench], StoreError> {
        Ok(&self.bench()?.wrenches)
    }

    /// The layouts, in the order first entered.
    pub fn layouts(&self) -> Result<&[Layout], StoreError> {
        Ok(&self.bench()?.layouts)
    }

    /// The bolt sets, in the order first entered.
    pub fn bolt_sets(&self) -> Result<&[BoltSet], StoreError> {
        Ok(&self.bench()?.bolt_sets)
    }

    /// The records of a kind, in the order first entered.
    pub fn records(&self, kind: KeptKind) -> Result<Vec<Kept>, StoreError> {
        let tables = self.tables();
        Ok(match kind {
            KeptKind::Wrench => self.wrenches()?.iter().cloned().map(Kept::Wrench).collect(),
            KeptKind::Layout => self.layouts()?.iter().cloned().map(Kept::Layout).collect(),
            KeptKind::BoltSet => self.bolt_sets()?.iter().cloned().map(Kept::BoltSet).collect(),
            KeptKind::Lube => tables.lubes.iter().cloned().map(Kept::Lube).collect(),
            KeptKind::Strength => tables.strengths.iter().cloned().map(Kept::Strength).collect(),
        })
    }

    /// Every line that was logged, the oldest first.
    pub fn log(&self) -> Result<&Log, StoreError> {
        Ok(&self.bench()?.log)
    }

    /// Who wrote each line of the log, and when; the first is of line 1. That
    /// need not be who did the work, nor when.
    pub fn log_written(&self) -> Result<&[Signature], StoreError> {
        Ok(&self.bench()?.written)
    }
}

impl Book {
    /// The states through which the wrench, layout or bolt set of that name went,
    /// oldest first, with who made each; none where it was taken out. Nothing for
    /// a kind that is not of the bench.
    pub fn kept_history(
        &self,
        kind: KeptKind,
        name: &str,
    ) -> Result<Vec<(Signature, Option<Kept>)>, StoreError> {
        let folded = fold_name(name);
        let mut states = Vec::new();
        ledger::each(self.dir(), self.current(), &[BENCH], &mut |row| {
            if let LedgerRow::Bench(row) = row
                && let Some((of_kind, of_name, state)) = row.change.state()
                && of_kind == kind
                && fold_name(&of_name) == folded
            {
                states.push((row.signature, state));
            }
            Ok(())
        })?;
        Ok(states)
    }
}

impl BenchChange {
    /// What keeps a record of the bench.
    fn put(record: Kept) -> Option<Self> {
        Some(match record {
            Kept::Wrench(wrench) => Self::Wrench(wrench),
            Kept::Layout(layout) => Self::Layout(layout),
            Kept::BoltSet(set) => Self::BoltSet(set),
            Kept::Lube(_) | Kept::Strength(_) => return None,
        })
    }

    /// The kind and name of what changed, and what it became; none for a line of
    /// the log.
    pub(crate) fn state(self) -> Option<(KeptKind, String, Option<Kept>)> {
        let put = |kept: Kept| Some((kept.kind(), kept.name().to_owned(), Some(kept)));
        match self {
            Self::Wrench(wrench) => put(Kept::Wrench(wrench)),
            Self::Layout(layout) => put(Kept::Layout(layout)),
            Self::BoltSet(set) => put(Kept::BoltSet(set)),
            Self::WrenchRemoved(name) => Some((KeptKind::Wrench, name, None)),
            Self::LayoutRemoved(name) => Some((KeptKind::Layout, name, None)),
            Self::BoltSetRemoved(name) => Some((KeptKind::BoltSet, name, None)),
            Self::Pull(_) | Self::LineLost(_) => None,
        }
    }
}

/// Takes out the record of that name.
pub(crate) fn take<T: Named>(list: &mut Vec<T>, name: &str) -> Result<T, StoreError> {
    let what = T::KIND.table().what;
    let at = place_of_name(list, name);
    Ok(list.remove(at.ok_or_else(|| StoreError::Unknown { what, name: name.to_owned() })?))
}
