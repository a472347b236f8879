//! What the cells of a row make of its draft, and what is to be said of them.

use crate::intake::cells::{TWO_LUBES, says_nothing, unit_spelled};
use crate::intake::draft::Patch;
use crate::intake::header::{Column, Heading};
use crate::intake::row::{CellNote, CellOutcome, Footnotes, RowReading};
use crate::intake::split::RawRow;
use crate::intake::verdict::{Problem, Reading, Remark};
use crate::quantity::{Dimension, Unit};

impl RowReading {
    /// The unit that a unit column gives the torques of this row.
    pub(crate) fn unit_of(&mut self, row: &RawRow, headings: &[Heading]) -> Option<&'static Unit> {
        let at = headings.iter().position(|h| h.column == Column::TorqueUnit)?;
        let raw = row.cell(at);
        if says_nothing(raw) {
            return None;
        }
        let found = unit_spelled(raw).filter(|(unit, _)| unit.dimension == Dimension::Torque);
        let Some((unit, _)) = found else {
            let reason = format!("`{raw}` is not a unit of torque");
            let problem = Problem::refused("unit", reason, "write lb-ft, lb-in, N·m or kgf·m");
            self.bad(at, raw, problem);
            return None;
        };
        self.taken += 1;
        Some(unit)
    }

    pub(crate) fn bad(&mut self, column: usize, raw: &str, problem: Problem) {
        if problem.is_soft {
            let Problem { code, reason, advice, .. } = problem;
            let remark = Remark::warning(code, reason, advice);
            let outcome = CellOutcome::Taken { read_as: None, remarks: vec![remark] };
            self.notes.push(CellNote { column: Some(column), raw: raw.to_owned(), outcome });
            return;
        }
        let outcome = CellOutcome::Bad(problem);
        let column = Some(column);
        self.notes.push(CellNote { column, raw: raw.to_owned(), outcome });
    }

    pub(crate) fn remark(
        &mut self,
        column: usize,
        raw: &str,
        read_as: String,
        remarks: Vec<Remark>,
    ) {
        let outcome = CellOutcome::Taken { read_as: Some(read_as), remarks };
        let column = Some(column);
        self.notes.push(CellNote { column, raw: raw.to_owned(), outcome });
    }

    /// Takes the notes below the tables that the marks of a cell point at.
    pub(crate) fn point_below(&mut self, marks: &[&str], below: &Footnotes) {
        for mark in marks {
            let note = format!("note {mark}: {}", below[*mark]);
            if !self.draft.notes.contains(&note) {
                self.draft.notes.push(note);
            }
        }
    }

    /// Takes a cell that was read.
    #[allow(clippy::too_many_arguments)] // a cell, its place and how it was read
    pub(crate) fn take(
        &mut self,
        column: usize,
        header: &str,
        raw: &str,
        text: &str,
        stray: bool,
        outcome: &Reading<Patch>,
        below: &Footnotes,
    ) {
        let taken = match outcome {
            Ok(taken) => taken,
            Err(problem) => {
                if problem.is_soft {
                    self.draft.notes.push(format!("{header}: {raw}"));
                }
                return self.bad(column, raw, problem.clone());
            }
        };
        let clashes = self.draft.clashes.len();
        taken.value.apply(&mut self.draft);
        if let Some((field, before, after)) = self.draft.clashes.get(clashes).cloned() {
            let reason = format!("the row says {field} {before} in another cell, and {after} here");
            let advice = "make the two cells agree, or leave one empty";
            return self.bad(column, raw, Problem::refused("cells-disagree", reason, advice));
        }
        let mut remarks = taken.remarks.clone();
        self.draft.beside_thread.extend_from_slice(&taken.words);
        for mark in &taken.marks {
            match below.get(mark) {
                Some(text) => self.draft.notes.push(format!("note {mark}: {text}")),
                None => remarks.push(Remark::warning(
                    "footnote",
                    format!("the mark {mark} points to a footnote that is not here"),
                    "look it up on the sheet",
                )),
            }
        }
        if stray {
            let reason = "a quote stands inside a quoted cell";
            remarks.push(Remark::warning("stray-quote", reason, "double it"));
        }
        let same =
            |one: &str, two: &str| crate::text::fold_name(one) == crate::text::fold_name(two);
        if text != raw || (!remarks.is_empty() && !same(&taken.value.read_as, raw)) {
            self.draft.verbatim.push(format!("{header}: {raw}"));
        }
        if remarks.is_empty() {
            self.taken += 1;
        } else {
            self.remark(column, raw, taken.value.read_as.clone(), remarks);
        }
    }

    /// Two lubes and one torque: not a question any more.
    pub(crate) fn single_torque(&mut self) {
        let figures = self.draft.torques.iter().filter(|one| one.torque.is_some()).count();
        for note in &mut self.notes {
            if let CellOutcome::Bad(problem) = &mut note.outcome
                && problem.code == TWO_LUBES
                && figures == 1
            {
                problem.readings = None;
                problem.reason = format!("`{}`: two lubes, one torque", note.raw);
            }
        }
    }
}
