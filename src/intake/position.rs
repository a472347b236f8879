//! Where a walk over the rows of a sheet is: in which table, under which titles, below
//! which row.

use std::borrow::Cow;

use crate::intake::Heading;
use crate::intake::dittos::Dittos;
use crate::intake::split::RawRow;
use crate::intake::survey::{Block, Given, Mark, Plan, Section};

/// What a row is where it stands.
pub(crate) enum Step<'p, 'r> {
    /// An entry of this table, its dittos as what they stand for, and where they stood.
    Entry(&'p Block, Cow<'r, RawRow>, Vec<usize>),
    /// A title that holds for the rows below it.
    Section(&'p Section),
    /// Words that are no entry.
    Remark,
    /// Headings, units, blanks, what stands outside of every table.
    Nothing,
}

/// The position of a walk: what holds for the row that comes next.
pub(crate) struct Position<'p> {
    plan: &'p Plan,
    /// The table that the walk is in, and the next one.
    pub(crate) block: Option<usize>,
    next: usize,
    pub(crate) given: Given,
    dittos: Dittos,
}

impl<'p> Position<'p> {
    pub(crate) fn before(plan: &'p Plan) -> Self {
        let (given, dittos) = Default::default();
        Self { plan, block: None, next: 0, given, dittos }
    }

    /// Begins the tables above `row`; the last of them, if one begins.
    pub(crate) fn enter(&mut self, row: &RawRow) -> Option<&'p Block> {
        let plan = self.plan;
        let mut entered = None;
        while let Some(block) = plan.blocks.get(self.next)
            && (block.page, block.header) <= (row.page, row.line)
        {
            (self.block, self.next) = (Some(self.next), self.next + 1);
            self.given = block.given.clone();
            self.dittos.forget();
            entered = Some(block);
        }
        entered
    }

    /// What `row` is, and what holds from then on.
    pub(crate) fn step<'r>(&mut self, row: &'r RawRow) -> Step<'p, 'r> {
        let plan = self.plan;
        let block = self.block.map(|at| &plan.blocks[at]).filter(|block| block.page == row.page);
        match (plan.mark(row), block) {
            (Some(Mark::Section(section)), Some(block)) => {
                self.given = section.below(&block.given);
                self.dittos.forget();
                return Step::Section(section);
            }
            (Some(Mark::Skip), _) | (None, None) => return Step::Nothing,
            (Some(Mark::Remark), _) => return Step::Remark,
            _ => {}
        }
        let Some(block) = block.filter(|_| !row.is_blank()) else { return Step::Nothing };
        if !is_entry(row, &block.headings) {
            let is_alone = row.cells().filter(|cell| !cell.is_empty()).count() == 1;
            return if is_alone { Step::Remark } else { Step::Nothing };
        }
        if !block.has_dittos {
            return Step::Entry(block, Cow::Borrowed(row), Vec::new());
        }
        let (whole, stood) = self.dittos.resolve(row, &block.headings);
        Step::Entry(block, Cow::Owned(whole), stood)
    }
}

impl Section {
    /// What holds below it in a table of which `table` holds.
    fn below(&self, table: &Given) -> Given {
        let given = table.clone();
        let words: Vec<String> = self.words.iter().chain(&given.words).cloned().collect();
        Given {
            assembly: self.assembly.clone().or(given.assembly),
            joint: self.joint.clone().or(given.joint),
            words: (!words.is_empty()).then(|| words.join("; ")),
            lube: self.lube.clone().or(given.lube),
            section_unit: self.unit,
            series: self.series.or(given.series),
            ..given
        }
    }
}

/// Whether a row of a long file beyond its sample is an entry: not blank, not
/// the headings once more, and more than one filled cell.
fn is_entry(row: &RawRow, headings: &[Heading]) -> bool {
    let is_made = |at: usize| headings.get(at).is_some_and(|heading| heading.origin.is_some());
    let mut filled = (0..row.len()).filter(|at| !row.cell(*at).is_empty() && !is_made(*at));
    let Some(first) = filled.next() else { return false };
    if filled.next().is_some() {
        let same = |at: usize| row.cell(at).eq_ignore_ascii_case(&headings[at].text);
        return !(0..headings.len()).filter(|at| !is_made(*at)).all(same);
    }
    let by_key = headings.get(first).is_some_and(|heading| heading.column.is("key"));
    headings.len() <= 2 || by_key
}
