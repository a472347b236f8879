//! The log as a whole: appending, correcting, asking.

use std::collections::{BTreeMap, BTreeSet};

use crate::record::{Pull, PullKind, Reached};
use crate::text::fold_name;

/// What a line has in place of a number while the server of the book lacks it.
pub const NOT_SENT_YET: &str = "not sent yet";

/// Why a line is not taken, or a log is not sound.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LogError {
    #[error("the line has no {0}: write it")]
    Missing(&'static str),
    #[error("`{0}` is there twice: one entry for each fastener")]
    Twice(String),
    #[error("`{0}` has no value: leave it out")]
    Empty(String),
    #[error("line {0} is not in the log, so it cannot be corrected")]
    NoSuchLine(u64),
    #[error("line {old} was corrected by line {by}: correct that one")]
    Corrected { old: u64, by: u64 },
    #[error("line {0} is about another joint: a correction keeps job, assembly, joint and part")]
    OtherJoint(u64),
    #[error("line {expected} of the log is missing: found {found}")]
    Gap { expected: u64, found: u64 },
}

/// The lines of the log in their order. Lines are only ever added.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Log {
    lines: Vec<Pull>,
    /// Line to the line that stands in its place.
    corrected: BTreeMap<u64, u64>,
    /// Lines that were damaged and could not be restored; their numbers are not
    /// given again.
    lost: BTreeSet<u64>,
    /// The last number that is settled; none where all are.
    settled: Option<u64>,
}

impl Log {
    fn next_number(&self) -> u64 {
        (self.lines.len() + self.lost.len()) as u64 + 1
    }

    /// From here on lines are kept on this machine alone, until the server of the book
    /// can be reached: their numbers are not settled before.
    pub fn settle(&mut self) {
        self.settled = Some(self.next_number() - 1);
    }

    /// How many lines at the end the server of the book does not have yet.
    pub fn unsent(&self) -> usize {
        self.lines.iter().rev().take_while(|pull| self.is_unsent(pull.number)).count()
    }

    /// Whether the server of the book does not have that line yet.
    pub fn is_unsent(&self, number: u64) -> bool {
        self.settled.is_some_and(|settled| number > settled)
    }

    /// What a person is told in place of the number of a line.
    pub fn numbered(&self, number: u64) -> String {
        if self.is_unsent(number) { NOT_SENT_YET.to_owned() } else { number.to_string() }
    }

    /// Marks the next line as lost.
    pub(crate) fn lose(&mut self, found: u64) -> Result<(), LogError> {
        let expected = self.next_number();
        if found != expected {
            return Err(LogError::Gap { expected, found });
        }
        self.lost.insert(found);
        Ok(())
    }

    /// Adds a line at the end and returns its number. Nothing that is there
    /// changes.
    pub fn append(&mut self, mut pull: Pull) -> Result<u64, LogError> {
        check(&pull)?;
        pull.number = self.next_number();
        if let Some(old) = pull.corrects {
            self.may_correct(old, &pull)?;
            self.corrected.insert(old, pull.number);
        }
        let number = pull.number;
        self.lines.push(pull);
        Ok(number)
    }

    fn may_correct(&self, old: u64, pull: &Pull) -> Result<(), LogError> {
        if self.lost.contains(&old) {
            return Ok(());
        }
        let line = self.line(old).ok_or(LogError::NoSuchLine(old))?;
        if let Some(by) = self.corrected.get(&old) {
            return Err(LogError::Corrected { old, by: *by });
        }
        if about(line) == about(pull) { Ok(()) } else { Err(LogError::OtherJoint(old)) }
    }

    /// Every line, corrected ones too.
    pub fn lines(&self) -> &[Pull] {
        &self.lines
    }

    /// The line of that number.
    pub fn line(&self, number: u64) -> Option<&Pull> {
        let before = self.lost.range(..number).count() as u64;
        let at = usize::try_from(number.checked_sub(1 + before)?).ok()?;
        self.lines.get(at).filter(|_| !self.lost.contains(&number))
    }

    /// The lines that hold: those that no other stands in place of.
    pub fn current(&self) -> impl DoubleEndedIterator<Item = &Pull> {
        self.lines.iter().filter(|pull| !self.corrected.contains_key(&pull.number))
    }

    /// The line that stands in place of `number`, if it was corrected.
    pub fn corrected_by(&self, number: u64) -> Option<u64> {
        self.corrected.get(&number).copied()
    }

    /// A line and those that it corrects, newest first.
    pub fn history(&self, number: u64) -> Vec<&Pull> {
        std::iter::successors(self.line(number), |pull| self.line(pull.corrects?)).collect()
    }

    /// The last line that holds, for defaults; of that job if it has one.
    pub fn last(&self, job: &str) -> Option<&Pull> {
        let of_job = |pull: &&Pull| fold_name(&pull.job) == fold_name(job);
        self.current().rfind(of_job).or_else(|| self.current().next_back())
    }

    /// The lines that hold whose spec asks for a retorque that no later line of
    /// the same job and part records. A spec that says `none` asks for nothing.
    pub fn awaiting_retorque(&self) -> Vec<&Pull> {
        let asks = |pull: &&Pull| {
            let words = pull.spec.setting.retorque.as_deref().map(fold_name);
            pull.kind == PullKind::Tightened
                && words.is_some_and(|words| !words.is_empty() && words != "none" && words != "no")
        };
        let is_done = |pull: &Pull| {
            self.current().any(|later| {
                later.at >= pull.at
                    && later.kind == PullKind::Retorqued
                    && about(later) == about(pull)
            })
        };
        self.current().filter(asks).filter(|pull| !is_done(pull)).collect()
    }

    /// Readings of lines that hold which lie outside the spec's torque or angles by
    /// more than `tolerance` (0.1 is 10 %; none is that of each setting), or outside its
    /// stretch window, as (line, fastener). One that a later line puts right is none.
    pub fn off_target(&self, tolerance: Option<f64>) -> Vec<(&Pull, &Reached)> {
        let is_off = |pull: &Pull, reached: &Reached| match tolerance {
            Some(tolerance) => reached.is_off(pull, tolerance),
            None => reached.is_off_target(pull),
        };
        let is_put_right = |pull: &Pull, reached: &Reached| {
            let is_same = |other: &Reached| {
                let position = fold_name(&other.position);
                other.is_measured()
                    && (position == fold_name(&reached.position) || position == "all")
            };
            let is_later = |later: &&Pull| {
                later.number > pull.number && later.at >= pull.at && about(later) == about(pull)
            };
            let mut later = self.current().filter(is_later);
            later.any(|pull| pull.reached.iter().any(|one| is_same(one) && !is_off(pull, one)))
        };
        self.current()
            .flat_map(|pull| pull.reached.iter().map(move |reached| (pull, reached)))
            .filter(|(pull, reached)| is_off(pull, reached) && !is_put_right(pull, reached))
            .collect()
    }
}

/// What a line is about: a correction keeps it, a retorque settles it.
fn about(pull: &Pull) -> [String; 4] {
    [&pull.job, &pull.assembly, &pull.joint, &pull.spec.part].map(|name| fold_name(name))
}

fn check(pull: &Pull) -> Result<(), LogError> {
    let needed = [
        ("job", &pull.job),
        ("assembly", &pull.assembly),
        ("joint", &pull.joint),
        ("part", &pull.spec.part),
        ("spec", &pull.spec.key),
    ];
    if let Some((name, _)) = needed.iter().find(|(_, text)| text.trim().is_empty()) {
        return Err(LogError::Missing(name));
    }
    for (at, reached) in pull.reached.iter().enumerate() {
        let same = |other: &Reached| fold_name(&other.position) == fold_name(&reached.position);
        if pull.reached[..at].iter().any(same) {
            return Err(LogError::Twice(reached.position.clone()));
        }
        if *reached == (Reached { position: reached.position.clone(), ..Reached::default() }) {
            return Err(LogError::Empty(reached.position.clone()));
        }
    }
    Ok(())
}
