//! Columns taken apart and put together, row by row: as a mapping says, or as
//! the survey found (one torque in two units, a column for each grade).

use crate::intake::cells::{says_nothing, unit_spelled};
use crate::intake::header::{Column, Heading, read_heading};
use crate::intake::names::Names;
use crate::intake::options::{CombinedColumn, SplitColumn};
use crate::intake::split::RawRow;
use crate::intake::words::plain_words;
use crate::intake::{IntakeError, Options};
use crate::quantity::Unit;
use crate::record::find_field;
use crate::text::Plain;

/// How rows are reshaped: made columns stand after those of the file.
#[derive(Debug, Default)]
pub(crate) struct Reshape {
    width: usize,
    made: Vec<Made>,
    /// A row for each of these.
    groups: Vec<ColumnGroup>,
    /// The groups are grades or sizes.
    is_chart: bool,
}

/// A column that the file does not have.
#[derive(Debug)]
enum Made {
    /// The part at `part` of the cells of a column.
    Part { column: usize, at: String, part: usize, of: usize },
    /// The cells of several columns joined.
    Whole { columns: Vec<usize>, with: String },
    /// The angles of several columns, one after the other.
    Angles(Vec<usize>),
    /// The lube whose column is ticked.
    Ticked(Vec<(usize, String)>),
    /// One figure in several units.
    Alternate(Vec<(usize, &'static Unit)>),
    /// What the heading of the group says, behind the cell of a column that says it too.
    Given(Option<usize>),
}

/// Columns whose headings say the same of their figures.
#[derive(Debug)]
struct ColumnGroup {
    text: String,
    columns: Vec<usize>,
}

impl Reshape {
    /// Finds the columns that the mapping names, and those `seen` to be two, adds the made ones to
    /// `headings` and leaves out those that they are made of.
    pub(crate) fn plan(
        headings: &mut Vec<Heading>,
        names: &Names,
        options: &Options,
        seen: &[SplitColumn],
        fault: impl Fn(String) -> IntakeError,
    ) -> Result<Self, IntakeError> {
        let mut reshape = Self { width: headings.len(), ..Self::default() };
        for split in options.columns.splits.iter().chain(seen) {
            reshape.split(split, headings, names, &fault)?;
        }
        for combined in &options.columns.combines {
            reshape.combine(combined, headings, names, &fault)?;
        }
        Ok(reshape)
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
            let (at, of) = (split.at.clone(), split.into.len());
            self.made.push(Made::Part { column, at, part, of });
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

    /// Makes one column of several that give the same figure each in its unit.
    pub(crate) fn alternate(
        &mut self,
        headings: &mut Vec<Heading>,
        columns: Vec<(usize, &'static Unit)>,
    ) {
        let origin = columns[0].0;
        let first = headings[origin].clone();
        let texts: Vec<&str> = columns.iter().map(|(at, _)| headings[*at].text.as_str()).collect();
        let text = texts.join(" / ");
        for (column, _) in &columns {
            headings[*column].column = Column::LeftOut;
        }
        headings.push(Heading { text, origin: Some(origin), units: Vec::new(), ..first });
        self.made.push(Made::Alternate(columns));
    }

    /// Makes one column of several that hold an angle each.
    pub(crate) fn angles(&mut self, headings: &mut Vec<Heading>, columns: Vec<usize>) {
        let first = headings[columns[0]].clone();
        columns.iter().for_each(|column| headings[*column].column = Column::LeftOut);
        headings.push(Heading { origin: Some(columns[0]), units: Vec::new(), ..first });
        self.made.push(Made::Angles(columns));
    }

    /// Makes a lube column of columns that are ticked for their lube.
    pub(crate) fn ticks(&mut self, headings: &mut Vec<Heading>, ticked: Vec<(usize, String)>) {
        let Some(lube) = find_field("lube") else { return };
        let origin = Some(ticked[0].0);
        ticked.iter().for_each(|(column, _)| headings[*column].column = Column::LeftOut);
        headings.push(Heading { origin, ..Heading::of_field(lube) });
        self.made.push(Made::Ticked(ticked));
    }

    /// Makes a row for each different text of `columns`, which `field` then says.
    pub(crate) fn groups(
        &mut self,
        headings: &mut Vec<Heading>,
        field: &'static str,
        columns: Vec<(usize, String)>,
    ) {
        let Some(known) = find_field(field) else { return };
        self.is_chart = !["joint", "assembly", "part"].contains(&field);
        let own = headings.iter().position(|heading| heading.column.is(field));
        if let Some(own) = own {
            headings[own].column = Column::LeftOut;
        }
        let Some((first, _)) = columns.first() else { return };
        let first = *first;
        for (column, text) in columns {
            match self.groups.iter_mut().find(|group| group.text == text) {
                Some(group) => group.columns.push(column),
                None => self.groups.push(ColumnGroup { text, columns: vec![column] }),
            }
            headings[column].given = None;
        }
        // The cells of one group stand for all: they are read as one column.
        let heading = Heading {
            text: field.to_owned(),
            column: Column::Field(known),
            origin: Some(first),
            units: Vec::new(),
            given: None,
            others: Vec::new(),
            ..headings[first].clone()
        };
        headings.push(heading);
        self.made.push(Made::Given(own));
        let members = self.groups.iter().flat_map(|group| &group.columns).copied();
        for column in members.collect::<Vec<_>>() {
            headings[column].others = Vec::new();
        }
    }

    /// Calls `each` with every row that the row stands for.
    pub(crate) fn each(&self, row: &RawRow, mut each: impl FnMut(&RawRow)) {
        if self.made.is_empty() {
            return each(row);
        }
        if self.groups.is_empty() {
            return each(&self.made_of(row, None));
        }
        for group in &self.groups {
            if group.columns.iter().any(|column| !says_nothing(row.cell(*column))) {
                each(&self.made_of(row, Some(group)));
            }
        }
    }

    fn made_of(&self, row: &RawRow, group: Option<&ColumnGroup>) -> RawRow {
        let mut made = RawRow::default();
        made.place_of(row);
        for column in 0..self.width {
            let is_other = group.is_some_and(|group| {
                !group.columns.contains(&column)
                    && self.groups.iter().any(|other| other.columns.contains(&column))
            });
            made.push(if is_other { "" } else { row.cell(column) });
        }
        for one in &self.made {
            made.push(&one.cell(row, group));
        }
        for beyond in self.width..row.len() {
            made.push(row.cell(beyond));
        }
        made
    }

    /// Whether it is a chart of figures by grades or sizes.
    pub(crate) fn is_chart(&self) -> bool {
        self.is_chart
    }

    /// Whether two columns of one group hold the same thing in this file.
    pub(crate) fn are_apart(&self, one: usize, other: usize) -> bool {
        let group = |column: usize| self.groups.iter().position(|g| g.columns.contains(&column));
        matches!((group(one), group(other)), (Some(one), Some(other)) if one != other)
    }
}

impl Made {
    fn cell(&self, row: &RawRow, group: Option<&ColumnGroup>) -> String {
        match self {
            Self::Part { column, at, part, of } => {
                let plain = Plain::new(row.cell(*column));
                let part = plain.as_str().splitn(*of, at.as_str()).nth(*part);
                part.unwrap_or_default().trim().to_owned()
            }
            Self::Whole { columns, with } => {
                let cells = columns.iter().map(|column| row.cell(*column));
                let filled: Vec<&str> = cells.filter(|cell| !cell.is_empty()).collect();
                filled.join(with)
            }
            Self::Angles(columns) => {
                let cells = columns.iter().map(|column| row.cell(*column));
                let filled = cells.filter(|cell| !says_nothing(cell));
                let with_sign = |cell: &str| match cell.ends_with(|c: char| c.is_ascii_digit()) {
                    true => format!("{cell}°"),
                    false => cell.to_owned(),
                };
                filled.map(with_sign).collect::<Vec<_>>().join(" + ")
            }
            Self::Ticked(columns) => {
                let ticked = columns.iter().filter(|(at, _)| !says_nothing(row.cell(*at)));
                ticked.map(|(_, lube)| lube.as_str()).collect::<Vec<_>>().join("/")
            }
            Self::Alternate(columns) => {
                let cells = columns.iter().map(|(at, unit)| (row.cell(*at), *unit));
                let filled = cells.filter(|(cell, _)| !says_nothing(cell));
                // `400 + 60°` beside `295 + 60°`: the turn is one.
                let filled: Vec<(&str, &'static Unit)> = filled.collect();
                let at = |cell: &str| cell.find('+').unwrap_or(cell.len());
                let turn = filled.first().map_or("", |(cell, _)| &cell[at(cell)..]);
                let is_one = filled.iter().all(|(cell, _)| &cell[at(cell)..] == turn);
                let figures = filled.iter().map(|(cell, unit)| {
                    with_unit(if is_one { cell[..at(cell)].trim() } else { cell }, unit)
                });
                let turn =
                    if is_one && !turn.is_empty() { format!(" {turn}") } else { String::new() };
                figures.collect::<Vec<_>>().join(" / ") + &turn
            }
            Self::Given(own) => {
                let cell = own.map_or("", |own| row.cell(own));
                let text = group.map_or("", |group| group.text.as_str());
                let both = [cell, text].into_iter().filter(|text| !text.is_empty());
                both.collect::<Vec<_>>().join(", ")
            }
        }
    }
}

/// A cell of a figure in several units: `82 lb-ft` of `82 lb-ft / 111 N·m`.
fn with_unit(cell: &str, unit: &'static Unit) -> String {
    let has_unit = cell.split(' ').next_back().is_some_and(|word| unit_spelled(word).is_some());
    match cell.contains(|c: char| c.is_ascii_digit()) && !has_unit {
        true => format!("{cell} {}", unit.symbol),
        false => cell.to_owned(),
    }
}

fn find(
    headings: &[Heading],
    name: &str,
    fault: &impl Fn(String) -> IntakeError,
) -> Result<usize, IntakeError> {
    let folded = plain_words(name);
    let found = headings
        .iter()
        .position(|heading| heading.origin.is_none() && plain_words(&heading.text) == folded);
    found.ok_or_else(|| {
        fault(format!("the mapping names a column `{name}`, which the file has not"))
    })
}
