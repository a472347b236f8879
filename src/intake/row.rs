//! One row read cell by cell into a draft.

use std::borrow::Cow;
use std::rc::Rc;

use crate::intake::Options;
use crate::intake::cell_reading::read_cell;
use crate::intake::cells::{
    Context, NO_UNIT, Split, says_ditto, says_error, says_nothing, says_unknown,
};
use crate::intake::draft::{Draft, Patch};
use crate::intake::fields::LONGEST_VALUE;
use crate::intake::header::{Column, Heading};
use crate::intake::names::Names;
use crate::intake::row_parts::{
    column_of, completed, dimension_of, ditto, header_of, in_series, is_a_step, is_choice, is_late,
    is_named, is_of_one_torque, is_of_row, mark_of, not_a_field, not_known, points_below,
    torque_unit, unguarded, without_marks, without_thousands,
};
use crate::intake::row_words::{NotesSaid, named_alone};
use crate::intake::split::RawRow;
use crate::intake::survey::{Given, Plan};
use crate::intake::verdict::{Problem, Reading, Remark};
use crate::intake::words::plain_words;
use crate::quantity::{DecimalMark, Dimension, Extent, Torque, Unit};
use crate::text::QuickMap;

/// Notes below the tables, by the mark that points at them.
pub(crate) type Footnotes = std::collections::HashMap<String, String>;

/// How many different cells of a column are remembered.
const REMEMBERED: usize = 4096;

/// What became of a cell that is worth a word.
#[derive(Debug)]
pub(crate) struct CellNote {
    /// Index of its column; none for the row as a whole.
    pub(crate) column: Option<usize>,
    pub(crate) raw: String,
    pub(crate) outcome: CellOutcome,
}

/// What became of a cell that had something in it.
#[derive(Debug)]
pub(crate) enum CellOutcome {
    Taken { read_as: Option<String>, remarks: Vec<Remark> },
    Bad(Problem),
}

/// Reads rows of one file. The same cell text in the same column is read
/// once: most columns of a shop's file hold few different cells.
pub(crate) struct RowReader<'a> {
    names: &'a Names<'a>,
    options: &'a Options,
    headings: Vec<Heading>,
    split: Split,
    has_keys: bool,
    /// Columns in the order of reading: passes last, as they take the unit of
    /// the torque.
    order: Vec<usize>,
    memory: Vec<QuickMap<String, Rc<Reading<Patch>>>>,
    /// The last cell read of each column: rows of one fastener mostly stand
    /// together, and texts too many to be remembered come in runs.
    last: Vec<Option<(String, Rc<Reading<Patch>>)>>,
    /// Columns whose cells are read the same whatever else the row says.
    alone: Vec<bool>,
    /// Pitch and threads-per-inch columns.
    pitches: Vec<usize>,
    /// The row before, for ditto marks.
    before: RawRow,
    /// What stands before the decimals.
    plan: &'a Plan,
    /// Notes below the tables of the worksheet.
    below: &'a Footnotes,
    /// A column says the lube.
    has_lube: bool,
    has_strength: bool,
    above: Above,
    /// What the notes of its rows say.
    pub(crate) said: NotesSaid,
}

/// What titles say of the figures.
#[derive(Clone, Copy, Default, PartialEq)]
struct Above {
    unit: Option<&'static Unit>,
    section_unit: Option<&'static Unit>,
    series: Option<&'static str>,
    /// They say the lube, the strength, where neither cell nor notes do.
    says: [bool; 2],
}

/// One row as read.
pub(crate) struct RowReading {
    pub(crate) draft: Draft,
    pub(crate) notes: Vec<CellNote>,
    /// Cells taken without a word.
    pub(crate) taken: usize,
}

impl<'a> RowReader<'a> {
    pub(crate) fn new(
        names: &'a Names<'a>,
        options: &'a Options,
        plan: &'a Plan,
        page: u16,
        headings: Vec<Heading>,
    ) -> Self {
        let below = plan.footnotes(page);
        let has = |name: &str| {
            headings.iter().any(|h| matches!(h.column, Column::Field(f) if f.name == name))
        };
        let (has_keys, has_strength) = (has("key"), has("strength"));
        let split = Split { page: !has("page"), revision: !has("revision") };
        let (mut order, last): (Vec<usize>, Vec<usize>) =
            (0..headings.len()).partition(|at| !is_late(&headings[*at]));
        order.extend(last);
        let memory = headings.iter().map(|_| QuickMap::default()).collect();
        let last = headings.iter().map(|_| None).collect();
        let is_pitch = |h: &Heading| matches!(h.column, Column::Pitch | Column::Tpi);
        let pitches: Vec<usize> =
            (0..headings.len()).filter(|at| is_pitch(&headings[*at])).collect();
        let has_unit = headings.iter().any(|heading| heading.column == Column::TorqueUnit);
        let around = [has_unit, !pitches.is_empty(), !below.is_empty()];
        let is_alone = |one: &Heading| options.answers.is_empty() && !is_of_row(one, around);
        let alone = headings.iter().map(is_alone).collect();
        let (before, above, said) = Default::default();
        let has_lube = headings.iter().any(says_lube);
        Self {
            names,
            options,
            headings,
            split,
            has_keys,
            order,
            memory,
            last,
            alone,
            pitches,
            before,
            plan,
            below,
            has_lube,
            has_strength,
            above,
            said,
        }
    }

    /// Goes on below a title.
    pub(crate) fn stand_under(&mut self, given: &Given) {
        let Given { unit, section_unit, series, .. } = *given;
        let says = [given.lube.is_some(), given.strength.is_some()];
        let above = Above { unit, section_unit, series, says };
        let before = std::mem::replace(&mut self.above, above);
        if before != self.above {
            self.memory.iter_mut().for_each(QuickMap::clear);
            self.last.iter_mut().for_each(|last| *last = None);
        }
    }

    /// What titles say of `row`: nothing of a lube or strength for which it has a cell.
    pub(crate) fn given_beside<'g>(&self, row: &RawRow, given: &'g Given) -> Cow<'g, Given> {
        let is_filled = |name: &str| {
            let own =
                |(at, one): (usize, &Heading)| one.column.is(name) && !row.cell(at).is_empty();
            self.headings.iter().enumerate().any(own)
        };
        let lube = given.lube.as_ref().is_some_and(|_| is_filled("lube"));
        let strength = given.strength.as_ref().is_some_and(|_| is_filled("strength"));
        if !lube && !strength {
            return Cow::Borrowed(given);
        }
        let mut rest = given.clone();
        rest.lube = rest.lube.filter(|_| !lube);
        rest.strength = rest.strength.filter(|_| !strength);
        Cow::Owned(rest)
    }

    /// Index of the column of a field.
    pub(crate) fn column_of(&self, field: &str) -> Option<usize> {
        column_of(&self.headings, field)
    }

    /// Reads one row into `draft`.
    pub(crate) fn read(&mut self, row: &RawRow, draft: Draft) -> RowReading {
        let mut reading = RowReading { draft, notes: Vec::new(), taken: 0 };
        let row_unit = reading.unit_of(row, &self.headings);
        for turn in 0..self.order.len() {
            self.cell(row, self.order[turn], row_unit, &mut reading);
        }
        self.beyond(row, &mut reading);
        reading.single_torque();
        if !self.has_keys && !self.names.is_typed {
            let [lube, strength] = self.above.says;
            let has = [self.has_lube && !lube, self.has_strength && !strength];
            named_alone(&mut reading, self.names, has, &mut self.said);
        }
        self.before.copy_from(row);
        reading
    }

    fn cell(
        &mut self,
        row: &RawRow,
        at: usize,
        row_unit: Option<&'static Unit>,
        reading: &mut RowReading,
    ) {
        let raw = unguarded(row.cell(at), &self.headings[at].column);
        if raw.is_empty() {
            return;
        }
        let (bare, marks) = without_marks(raw, self.below);
        if !marks.is_empty() {
            self.point_below(&marks, reading);
            let header = header_of(&self.headings, at);
            reading.draft.verbatim.push(format!("{header}: {raw}"));
        }
        let raw = bare;
        // What is remembered is a plain reading, none of the cases below.
        if self.alone[at]
            && let Some(known) = self.known(at, raw)
        {
            return self.settle(row, at, [raw, raw], &known, reading);
        }
        let heading = &self.headings[at];
        let is_beside = matches!(
            heading.column,
            Column::Pitch | Column::Tpi | Column::LeftOut | Column::RowNumber | Column::TorqueUnit
        );
        if says_nothing(raw) || is_beside {
            return;
        }
        let answer = self.options.answers.find(&heading.text, raw);
        if answer.is_some_and(str::is_empty) {
            // Answered as nothing: its words are kept all the same.
            reading.draft.notes.push(format!("{}: {raw}", heading.text));
            reading.taken += 1;
            return;
        }
        let whole = heading.thousands.and_then(|mark| without_thousands(raw, mark));
        let text = answer.or(whole.as_deref()).unwrap_or(raw);
        if self.notes_below(at, raw, reading) || self.no_value(at, raw, text, reading) {
            return;
        }
        let text = match self.with_pitch(row, at, text) {
            Ok(text) => text,
            Err(problem) => return reading.bad(at, raw, problem),
        };
        let (context, unit) = self.context(at, &text, row_unit, &reading.draft);
        let outcome = match answer {
            // An answer may be written as the book writes it, whatever the file does.
            Some(answer) if Extent::<Torque>::parse(answer).is_ok() => {
                Rc::new(self.fresh(at, &text, Context { mark: DecimalMark::Point, ..context }))
            }
            _ => self.remembered(at, &text, context, unit),
        };
        self.settle(row, at, [raw, &text], &outcome, reading);
    }

    /// Takes a cell that was read, or what is to be said of it. The unit of one torque is
    /// asked for once, whether it has a column or two for its ends.
    fn settle(
        &self,
        row: &RawRow,
        at: usize,
        [raw, text]: [&str; 2],
        outcome: &Reading<Patch>,
        reading: &mut RowReading,
    ) {
        let is_asked = |note: &CellNote| {
            let is_so = matches!(&note.outcome, CellOutcome::Bad(known) if known.code == NO_UNIT);
            is_so && note.column.is_some_and(|column| is_of_one_torque(&self.headings[column]))
        };
        let is_again = matches!(outcome, Err(problem) if problem.code == NO_UNIT)
            && is_of_one_torque(&self.headings[at])
            && reading.notes.iter().any(is_asked);
        if !is_again {
            let stray = row.has_stray_quote(at);
            let header = header_of(&self.headings, at);
            reading.take(at, header, raw, text, stray, outcome, self.below);
        }
    }

    /// Settles a cell that holds no value of a field: nothing, an error, a
    /// ditto mark, a question mark, or a column that is no field. False if it
    /// is none of these.
    fn no_value(&self, at: usize, raw: &str, text: &str, reading: &mut RowReading) -> bool {
        let heading = &self.headings[at];
        if says_nothing(text) {
            reading.taken += 1;
        } else if says_error(text) {
            let reason = format!("`{text}`: a formula of the spreadsheet gave no value");
            let advice = "mend the formula, or type the value in its place";
            reading.bad(at, raw, Problem::refused("formula", reason, advice));
        } else if let Column::Kept(_) = heading.column {
            reading.draft.notes.push(format!("{}: {raw}", heading.text));
            reading.taken += 1;
        } else if let Some((kept, remark)) = not_a_field(&self.headings[at], raw) {
            reading.draft.notes.extend(kept);
            reading.remark(at, raw, raw.to_owned(), vec![remark]);
        } else if says_ditto(text) {
            reading.bad(at, raw, ditto(text, self.before.cell(at)));
        } else if says_unknown(text) && !is_choice(&heading.column, text) {
            reading.draft.notes.push(format!("{}: {text}", heading.text));
            reading.remark(at, raw, raw.to_owned(), vec![not_known()]);
        } else {
            return false;
        }
        true
    }

    /// A cell of notes that only points at notes below the table: they are
    /// taken in its place.
    fn notes_below(&self, at: usize, raw: &str, reading: &mut RowReading) -> bool {
        let below = self.below;
        if below.is_empty() || !points_below(&self.headings[at]) {
            return false;
        }
        let parted = |c: char| matches!(c, ',' | ' ' | ')' | '(' | ';' | '&' | '+' | '.' | '/');
        let is_said = |mark: &&str| !mark.is_empty() && !SEE.contains(&plain_words(mark).as_str());
        let marks: Vec<&str> = raw.split(parted).filter(is_said).collect();
        if marks.is_empty() || !marks.iter().all(|mark| below.contains_key(*mark)) {
            return false;
        }
        self.point_below(&marks, reading);
        reading.taken += 1;
        true
    }

    /// Takes the notes below that the marks of a cell point at. One that is nothing but a
    /// lube, `* dry threads`, is that of the row.
    fn point_below(&self, marks: &[&str], reading: &mut RowReading) {
        reading.point_below(marks, self.below);
        let lubes = marks.iter().filter_map(|mark| self.names.lube_alone(&self.below[*mark]));
        if let Some(lube) = lubes.into_iter().next().filter(|_| !self.has_lube) {
            reading.draft.setting.lube.get_or_insert_with(|| lube.name.clone());
        }
    }

    /// The thread completed by a pitch column; a pitch in both must agree.
    fn with_pitch(&self, row: &RawRow, at: usize, text: &str) -> Result<String, Problem> {
        let is_thread = is_named(&self.headings[at], "thread");
        let stated = self.pitches.iter().copied().find(|at| !says_nothing(row.cell(*at)));
        let Some(pitch) = stated.filter(|_| is_thread) else {
            return Ok(match self.above.series.filter(|_| is_thread) {
                Some(series) => in_series(text, series),
                None => text.to_owned(),
            });
        };
        let is_tpi = self.headings[pitch].column == Column::Tpi;
        completed(text, row.cell(pitch), is_tpi, self.plan.decimal)
    }

    /// What the reader of this cell knows, and the unit that it depends on
    /// beside the column.
    fn context(
        &self,
        at: usize,
        text: &str,
        row_unit: Option<&'static Unit>,
        draft: &Draft,
    ) -> (Context<'a>, Option<&'static Unit>) {
        let heading = &self.headings[at];
        let dimension = dimension_of(&heading.column);
        let fits = |unit: &&'static Unit| Some(unit.dimension) == dimension;
        let mut units = heading.units.iter().copied().filter(|unit| fits(unit));
        let (first, second) = (units.next(), units.next());
        let is_passes = matches!(heading.column, Column::Pass(_))
            || matches!(heading.column, Column::Field(field) if field.name == "passes");
        let is_torque = dimension == Some(Dimension::Torque);
        let of_row = row_unit.filter(|_| is_torque);
        let of_torque = || is_passes.then(|| torque_unit(draft, &self.headings)).flatten();
        let of_row = of_row.or_else(|| of_torque().filter(|_| is_torque && first.is_none()));
        let given = match dimension {
            Some(Dimension::Torque) => self.options.torque_unit.or(self.above.unit),
            Some(Dimension::Length) => self.options.length_unit,
            Some(Dimension::Stress) => self.options.stress_unit,
            _ => None,
        };
        let of_title = self.above.section_unit.filter(|_| is_torque);
        let of_heading = heading.units.first().copied().filter(|_| is_a_step(&heading.column));
        // A step in per cent or degrees is none of the torques that a title speaks of.
        let unit = of_heading
            .filter(|unit| unit.dimension != Dimension::Torque)
            .or(of_title)
            .or(row_unit.filter(|_| is_torque))
            .or(first)
            .or(of_row)
            .or(given);
        let mark = mark_of(text, heading, self.plan);
        let (day_first, has_keys) = (self.plan.day_first, self.has_keys);
        (Context { names: self.names, mark, unit, second, has_keys, day_first }, of_row)
    }

    /// How this text was read in this column before.
    fn known(&mut self, at: usize, raw: &str) -> Option<Rc<Reading<Patch>>> {
        if let Some((last, known)) = &self.last[at]
            && last == raw
        {
            return Some(Rc::clone(known));
        }
        let known = Rc::clone(self.memory[at].get(raw)?);
        self.note_last(at, raw, &known);
        Some(known)
    }

    fn note_last(&mut self, at: usize, raw: &str, reading: &Rc<Reading<Patch>>) {
        match &mut self.last[at] {
            Some((last, known)) => {
                raw.clone_into(last);
                *known = Rc::clone(reading);
            }
            none => *none = Some((raw.to_owned(), Rc::clone(reading))),
        }
    }

    fn remembered(
        &mut self,
        at: usize,
        text: &str,
        context: Context,
        unit: Option<&'static Unit>,
    ) -> Rc<Reading<Patch>> {
        let key = match unit {
            Some(unit) => format!("{}\u{1}{text}", unit.symbol),
            None => text.to_owned(),
        };
        if let Some(known) = self.memory[at].get(&key) {
            return Rc::clone(known);
        }
        let fresh = Rc::new(self.fresh(at, text, context));
        if unit.is_none() {
            self.note_last(at, text, &fresh);
        }
        if self.memory[at].len() < REMEMBERED && text.len() <= LONGEST_VALUE {
            self.memory[at].insert(key, Rc::clone(&fresh));
        }
        fresh
    }

    fn fresh(&self, at: usize, text: &str, context: Context) -> Reading<Patch> {
        read_cell(&self.headings[at], text, self.split, context)
    }

    /// Cells past the last heading: a comma in an unquoted cell shifts a row.
    fn beyond(&self, row: &RawRow, reading: &mut RowReading) {
        let beyond = (self.headings.len()..row.len()).find(|at| !row.cell(*at).is_empty());
        if let Some(at) = beyond {
            let reason = "the row has more cells than there are headings".to_owned();
            let advice = "put a cell that holds the delimiter into quotes";
            reading.bad(at, row.cell(at), Problem::refused("too-many-cells", reason, advice));
        }
    }
}

/// Words before a mark that points below: `see C`.
const SEE: &[&str] = &["see", "note", "siehe", "voir", "ver", "vedi", "nota", "zie", "se"];

/// Whether the column says the lube of the row or of a torque.
fn says_lube(heading: &Heading) -> bool {
    is_named(heading, "lube") || matches!(heading.column, Column::TorqueFor(_))
}
