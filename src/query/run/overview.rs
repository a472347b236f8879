//! What is said of the rows of an answer that are too many to be held.

use std::collections::HashMap;
use std::sync::Arc;

use crate::query::resolve::Question;
use crate::query::run::answer::ends;
use crate::query::run::judge;
use crate::query::run::wrench::{self, WrenchSetting};
use crate::record::{Basis, FIELDS, Fastener, Row, Wrench};
use crate::thread::Thread;

/// What an answer says of its rows as a whole.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Overview {
    pub rows: usize,
    /// Those with a figure that is not refused.
    pub answered: usize,
    pub with_clamp: usize,
    /// Those of the answered whose figure was computed.
    pub computed: usize,
    pub restated: usize,
    pub superseded: usize,
    /// For each of `record::FIELDS`, whether one of them states it.
    pub stated: Vec<bool>,
    /// Of each thread, strength and lube of a general chart, the rows with the least and
    /// the greatest torque, in the order met.
    pub charts: Vec<[Row; 2]>,
    /// A fastener stands with two lubes.
    pub two_lubes: bool,
    /// The last fastener with a figure, and the lube of the first.
    last: Option<(Arc<Fastener>, Option<String>)>,
    places: HashMap<String, usize>,
    /// Rows that state a range of which only a part passes.
    pub(super) partly: usize,
    /// Those that the wrench of an `on` clause serves.
    pub(super) served: usize,
    /// Their threads, where the question asks for look-alikes.
    pub(super) threads: Vec<Thread>,
}

impl Overview {
    pub(super) fn add(&mut self, question: &Question, wrench: Option<&Wrench>, row: Row) {
        self.rows += 1;
        self.answered += usize::from(row.refused.is_none());
        self.with_clamp += usize::from(row.derived.clamp.is_some());
        let is_computed = row.setting.basis == Basis::Computed;
        self.computed += usize::from(row.refused.is_none() && is_computed);
        self.restated += usize::from(row.restated.is_some());
        self.superseded += usize::from(row.setting.superseded);
        if row.refused.is_none() {
            self.meet_lube(&row);
        }
        self.stated.resize(FIELDS.len(), false);
        for (is_stated, field) in self.stated.iter_mut().zip(FIELDS) {
            *is_stated = *is_stated || field.get(&row).is_stated();
        }
        self.partly += usize::from(judge::is_partly(question, &row));
        self.served += usize::from(wrench.is_some_and(|wrench| {
            matches!(wrench::for_row(wrench, &row), WrenchSetting::Set { .. })
        }));
        if !question.confused.is_empty() {
            ends(&row).for_each(|thread| self.meet(thread));
        }
        if row.setting.basis == Basis::Chart {
            self.keep_chart([row.clone(), row]);
        }
    }

    /// Adds what is said of others.
    pub(super) fn join(&mut self, other: Self) {
        self.rows += other.rows;
        self.partly += other.partly;
        self.answered += other.answered;
        self.with_clamp += other.with_clamp;
        self.computed += other.computed;
        self.two_lubes |= other.two_lubes;
        self.restated += other.restated;
        self.superseded += other.superseded;
        self.served += other.served;
        self.stated.resize(FIELDS.len(), false);
        self.stated.iter_mut().zip(&other.stated).for_each(|(own, other)| *own |= *other);
        other.threads.iter().for_each(|thread| self.meet(thread));
        other.charts.into_iter().for_each(|both| self.keep_chart(both));
    }

    /// The rows of a fastener come one after the other, in one part of the book.
    fn meet_lube(&mut self, row: &Row) {
        match &self.last {
            Some((fastener, lube)) if fastener.key == row.fastener.key => {
                self.two_lubes |= *lube != row.setting.lube;
            }
            _ => self.last = Some((Arc::clone(&row.fastener), row.setting.lube.clone())),
        }
    }

    fn meet(&mut self, thread: &Thread) {
        if !self.threads.contains(thread) {
            self.threads.push(thread.clone());
        }
    }

    fn keep_chart(&mut self, [least, greatest]: [Row; 2]) {
        let torque = |row: &Row| row.setting.torque.map(|torque| torque.high().nm());
        if torque(&least).is_none() {
            return;
        }
        let (fastener, lube) = (&least.fastener, &least.setting.lube);
        let name = format!("{:?} {:?} {lube:?}", fastener.thread, fastener.strength);
        let place = *self.places.entry(name).or_insert(self.charts.len());
        let Some(known) = self.charts.get_mut(place) else {
            return self.charts.push([least, greatest]);
        };
        if torque(&least) < torque(&known[0]) {
            known[0] = least;
        }
        if torque(&greatest) > torque(&known[1]) {
            known[1] = greatest;
        }
    }
}
