//! Columns taken apart and put together as a mapping says, row by row.

use crate::intake::header::{Column, Heading, fold_header, read_heading};
use crate::intake::names::Names;
use crate::intake::options::{CombinedColumn, SplitColumn};
use crate::intake::split::RawRow;
use crate::intake::{IntakeError, Options};
use crate::text::Plain;

/// How rows are reshaped: made columns stand after those of the file.
#[derive(Debug, Default)]
pub(crate) struct Reshape {
    width: usize,
    made: Vec<Made>,
    row: RawRow,
}

/// A column that the file does not have.
#[derive(Debug)]
enum Made {
    /// The part at `part` of the cells of a column.
    Part { column: usize, at: String, part: usize },
    /// The cells of several columns joined.
    Whole { columns: Vec<usize>, with: String },
}

impl Reshape {
    /// Finds the columns that the mapping names, adds the made ones to
    /// `headings` and leaves out those that they are made of.
    pub(crate) fn of(
        headings: &mut Vec<Heading>,
        names: &Names,
        options: &Options,
        fault: impl Fn(String) -> IntakeError,
    ) -> Result<Self, IntakeError> {
        let mut reshape = Self { width: headings.len(), ..Self::default() };
        for split in &options.columns.splits {
            reshape.split(split, headings, names, &fault)?;
        }
        for combined in &options.columns.combines {
            reshape.combine(combined, headings, names, &fault)?;
        }
        Ok(reshape)
    }

    /// Whether rows stay as they are.
    pub(crate) fn is_idle(&self) -> bool {
        self.made.is_empty()
    }

    fn split(
        &mut self,
        split: &SplitColumn,
        headings: &mut Vec<Heading>,
        names: &Names,
        fault: &impl Fn(String) -> IntakeError,
    ) -> Result<(), IntakeError> {
        let column = find(headings, &split.column, fault)?;
        for (part, meaning) in split.into.iter().enumerate() {
            let text = headings[column].text.clone();
            let made = read_heading(meaning, names);
            headings.push(Heading { text, origin: Some(column), ..made });
            self.made.push(Made::Part { column, at: split.at.clone(), part });
        }
        headings[column].column = Column::LeftOut;
        Ok(())
    }

    fn combine(
        &mut self,
        combined: &CombinedColumn,
        headings: &mut Vec<Heading>,
        names: &Names,
        fault: &impl Fn(String) -> IntakeError,
    ) -> Result<(), IntakeError> {
        let columns: Vec<usize> = combined
            .from
            .iter()
            .map(|name| find(headings, name, fault))
            .collect::<Result<_, _>>()?;
        let Some(first) = columns.first().copied() else { return Ok(()) };
        let made = read_heading(&combined.into, names);
        headings.push(Heading { text: combined.from.join(" + "), origin: Some(first), ..made });
        for column in &columns {
            headings[*column].column = Column::LeftOut;
        }
        self.made.push(Made::Whole { columns, with: combined.with.clone() });
        Ok(())
    }

    /// The row with its made cells.
    pub(crate) fn row<'r>(&'r mut self, row: &'r RawRow) -> &'r RawRow {
        if self.is_idle() {
            return row;
        }
        self.row.copy_from(row);
        self.row.fit(self.width);
        for made in &self.made {
            self.row.push(&made.cell(row));
        }
        for beyond in self.width..row.len() {
            self.row.push(row.cell(beyond));
        }
        &self.row
    }
}

impl Made {
    fn cell(&self, row: &RawRow) -> String {
        match self {
            Self::Part { column, at, part } => {
                let plain = Plain::new(row.cell(*column));
                plain.as_str().split(at.as_str()).nth(*part).unwrap_or_default().to_owned()
            }
            Self::Whole { columns, with } => {
                let cells = columns.iter().map(|column| row.cell(*column));
                let filled: Vec<&str> = cells.filter(|cell| !cell.is_empty()).collect();
                filled.join(with)
            }
        }
    }
}

fn find(
    headings: &[Heading],
    name: &str,
    fault: &impl Fn(String) -> IntakeError,
) -> Result<usize, IntakeError> {
    let folded = fold_header(name);
    let found = headings
        .iter()
        .position(|heading| heading.origin.is_none() && fold_header(&heading.text) == folded);
    found.ok_or_else(|| {
        fault(format!("the mapping names a column `{name}`, which the file has not"))
    })
}
