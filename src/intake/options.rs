//! What the caller says about a file beyond the file itself.

use std::collections::HashMap;

use jiff::civil::Date;

use crate::quantity::{DecimalMark, Unit};
use crate::record::{Basis, Source};
use crate::text::fold_name;

/// Settings of one import. Everything is off or empty by default: nothing is
/// assumed that the file does not say.
#[derive(Debug, Clone, Default)]
pub struct Options {
    /// What stands before the decimals in this file.
    pub decimal: DecimalMark,
    /// Unit of a torque that has none in cell, heading or unit column.
    pub torque_unit: Option<&'static Unit>,
    /// Unit of a length that has none in cell or heading.
    pub length_unit: Option<&'static Unit>,
    /// Unit of a stress that has none in cell or heading.
    pub stress_unit: Option<&'static Unit>,
    /// Lube of a setting that names none.
    pub lube: Option<String>,
    /// Strength of a fastener that names none.
    pub strength: Option<String>,
    /// Assembly of a row that names none.
    pub assembly: Option<String>,
    /// Joint of a row that names none.
    pub joint: Option<String>,
    /// Source of a row that names none; used as a whole or not at all.
    pub source: Source,
    /// Basis of a row that names none; else it follows from the source.
    pub basis: Option<Basis>,
    /// A blank assembly or joint repeats the one above, as where cells were
    /// merged.
    pub fill_down: bool,
    /// Day that new settings are entered on.
    pub today: Option<Date>,
    /// Who enters them.
    pub who: Option<String>,
    /// What the book has from the source of the file and the file no longer says is
    /// marked superseded.
    pub retire: bool,
    /// Answers to questions of an earlier report.
    pub answers: Answers,
    /// The sheet of a workbook that has several.
    pub sheet: Option<String>,
    /// The line of the header row, where it cannot be told by its headings.
    pub header_row: Option<u32>,
    /// What a mapping says of the columns.
    pub columns: Columns,
}

/// What a mapping says of the columns of a file.
#[derive(Debug, Clone, Default)]
pub struct Columns {
    /// What headings mean, by their folded spelling: the heading to read in
    /// their place, nothing to leave the column out.
    pub(crate) meanings: HashMap<String, String>,
    /// Columns taken apart.
    pub(crate) splits: Vec<SplitColumn>,
    /// Columns put together.
    pub(crate) combines: Vec<CombinedColumn>,
}

/// A column whose cells hold several fields.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct SplitColumn {
    /// Heading in the file.
    pub(crate) column: String,
    /// What parts its cells.
    pub(crate) at: String,
    /// The headings of the parts, in order.
    pub(crate) into: Vec<String>,
}

/// A field whose cell stands in several columns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct CombinedColumn {
    /// The heading of the whole.
    pub(crate) into: String,
    /// Headings in the file, in order.
    pub(crate) from: Vec<String>,
    /// What joins their cells.
    pub(crate) with: String,
}

impl Columns {
    /// Reads the column headed `heading` as if it were headed `meaning`;
    /// nothing leaves it out.
    pub fn map(&mut self, heading: &str, meaning: &str) {
        let folded = crate::intake::words::plain_words(heading);
        self.meanings.insert(folded, meaning.trim().to_owned());
    }
}

/// Answers to questions: in place of this cell, read that text. The cell as
/// written is still kept.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Answers {
    by_cell: HashMap<(String, String), String>,
    /// What headings were answered to mean.
    columns: Vec<(String, String)>,
}

impl Answers {
    /// Wherever the column headed `header` says `raw`, read `text`.
    pub fn say(&mut self, header: &str, raw: &str, text: &str) {
        self.by_cell.insert((fold_name(header), raw.trim().to_owned()), text.to_owned());
    }

    /// The column headed `header` means `meaning`; [`Columns::map`] has it read so.
    pub fn mean(&mut self, header: &str, meaning: &str) {
        self.columns.retain(|(known, _)| known != header);
        self.columns.push((header.to_owned(), meaning.to_owned()));
    }

    /// What headings were answered to mean, for writing it down.
    pub fn columns(&self) -> &[(String, String)] {
        &self.columns
    }

    /// Whether nothing was answered.
    pub fn is_empty(&self) -> bool {
        self.by_cell.is_empty()
    }

    /// The answers given for a heading and a cell, for writing them down.
    pub fn by_cell(&self) -> impl Iterator<Item = (&str, &str, &str)> {
        self.by_cell.iter().map(|((header, raw), text)| (&**header, &**raw, &**text))
    }

    /// The text to read in place of `raw`, if it was answered.
    pub(crate) fn find(&self, header: &str, raw: &str) -> Option<&str> {
        if self.is_empty() {
            return None;
        }
        self.by_cell.get(&(fold_name(header), raw.trim().to_owned())).map(String::as_str)
    }
}
