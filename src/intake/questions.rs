//! What a report leaves open, each thing once: a column without a unit, a text
//! that may mean two things, wherever it stands.

use crate::intake::header::Heading;
use crate::intake::mapping::quoted;
use crate::intake::outcome::Report;
use crate::intake::suggest::meaning;
use crate::intake::verdict::{CellPlace, CellVerdict, Verdict};
use crate::intake::{Column, Options};
use crate::quantity::find_unit;

/// Code of the question with which lube a column of torques goes.
pub(crate) const WHICH_LUBE: &str = "which-lube";
/// Code of the question what a column holds.
pub(crate) const WHICH_COLUMN: &str = "which-column";
/// Where the answer stands in the meaning of a column.
const HERE: &str = "…";

/// Different texts kept of one question.
const TEXTS: usize = 3;

/// One thing that stands in the way of an import.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// Where it stands first.
    pub place: CellPlace,
    /// The cells as written, the first different ones.
    pub cells: Vec<String>,
    pub count: usize,
    /// Short stable name of the reason.
    pub code: &'static str,
    /// Why, one sentence without a full stop.
    pub reason: String,
    /// What to do, one sentence without a full stop.
    pub advice: String,
    /// What may be meant, the likeliest first; units where `column` is some.
    pub readings: Vec<String>,
    /// Whether it can be answered; else the cells were refused.
    pub is_open: bool,
    /// What the column means with `HERE` for the answer, where that holds for all of it.
    pub column: Option<String>,
}

impl Report {
    /// What stands in the way, each column, cause and text once.
    pub fn questions(&self) -> Vec<Question> {
        let mut all: Vec<Question> = Vec::new();
        for cell in self.bad_cells() {
            let fresh = Question::new(cell, self);
            let same = |known: &&mut Question| {
                known.code == fresh.code
                    && known.place.header == fresh.place.header
                    && known.column == fresh.column
                    && match &fresh.column {
                        Some(_) => true,
                        None if fresh.place.header.is_empty() => known.reason == fresh.reason,
                        None => known.cells == fresh.cells,
                    }
            };
            match all.iter_mut().find(same) {
                Some(known) => {
                    known.count += 1;
                    if known.cells.len() < TEXTS && !known.cells.contains(&cell.raw) {
                        known.cells.push(cell.raw.clone());
                    }
                }
                None => all.push(fresh),
            }
        }
        all
    }
}

impl Question {
    fn new(cell: &CellVerdict, report: &Report) -> Self {
        let mut readings = match &cell.verdict {
            Verdict::Question { readings } => readings.clone(),
            _ => Vec::new(),
        };
        let units = matches!(cell.code, "no-unit" | "pounds" | "kilograms")
            .then(|| units_of(&readings))
            .flatten();
        let is_it = |heading: &&Heading| heading.text == cell.place.header;
        let known = report.columns.iter().map(|one| &one.heading).find(is_it);
        let column = known.and_then(|heading| {
            let unit = heading.units.first().map(|unit| format!(" ({})", unit.symbol));
            match &heading.column {
                _ if cell.code == WHICH_LUBE => {
                    Some(format!("torque {HERE}{}", unit.unwrap_or_default()))
                }
                Column::Asked { .. } => Some(HERE.to_owned()),
                Column::Unknown { .. } | Column::Blank => None,
                _ if units.is_some() => Some(format!("{} ({HERE})", meaning(heading)?)),
                _ => None,
            }
        });
        if let (Some(units), Some(_)) = (units, &column) {
            readings = units;
        }
        Self {
            place: cell.place.clone(),
            cells: vec![cell.raw.clone()],
            count: 1,
            code: cell.code,
            reason: cell.reason.clone(),
            advice: cell.advice.clone(),
            readings,
            is_open: matches!(cell.verdict, Verdict::Question { .. }),
            column,
        }
    }

    /// Whether an answer can be given: there is a cell or a column to read
    /// otherwise.
    pub fn is_answerable(&self) -> bool {
        self.is_open && !self.place.header.is_empty() && !self.cells[0].is_empty()
    }

    /// Answers it with `text`; false if that cannot be an answer.
    pub fn answer(&self, text: &str, options: &mut Options) -> bool {
        let header = &self.place.header;
        match &self.column {
            Some(column) => {
                let unit = find_unit(text).map(|unit| unit.symbol);
                let Some(answer) =
                    unit.or(self.readings.iter().any(|one| one == text).then_some(text))
                else {
                    return false;
                };
                let meaning = column.replace(HERE, answer);
                options.columns.map(header, &meaning);
                options.answers.mean(header, &meaning);
            }
            None => options.answers.say(header, &self.cells[0], text),
        }
        true
    }

    /// The lines of a mapping that answer it with `text`.
    pub fn in_mapping(&self, text: &str) -> String {
        let header = quoted(&self.place.header);
        match &self.column {
            Some(column) => {
                format!("[columns] {header} = {}", quoted(&column.replace(HERE, text)))
            }
            None => format!("[answers.{header}] {} = {}", quoted(&self.cells[0]), quoted(text)),
        }
    }
}

/// The units at the ends of readings that are one figure each; none if one has
/// no unit.
fn units_of(readings: &[String]) -> Option<Vec<String>> {
    let unit = |reading: &String| {
        let last = reading.rsplit(' ').next()?;
        find_unit(last).map(|unit| unit.symbol.to_owned())
    };
    let units: Option<Vec<String>> = readings.iter().map(unit).collect();
    units.filter(|units| !units.is_empty())
}
