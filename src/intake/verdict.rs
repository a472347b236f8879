//! What becomes of a cell: taken, taken with a warning, a question, refused.

/// What became of one cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Verdict {
    /// Taken as written.
    Taken,
    /// Taken, but something about it should be looked at.
    TakenWithWarning,
    /// Two or more sound readings, or one that must be confirmed. Each is the
    /// text that would be read that way in the same cell.
    Question {
        /// The readings, the likeliest first.
        readings: Vec<String>,
    },
    /// Not taken.
    Refused,
}

impl Verdict {
    /// The word for it in a report.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Taken => "taken",
            Self::TakenWithWarning => "warning",
            Self::Question { .. } => "question",
            Self::Refused => "refused",
        }
    }

    /// Whether the cell stands in the way of the import.
    pub fn is_bad(&self) -> bool {
        matches!(self, Self::Question { .. } | Self::Refused)
    }
}

/// Where a cell stands in the file.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct CellPlace {
    /// The worksheet, where the file has several.
    pub sheet: String,
    /// Line in the file (row of a spreadsheet), from 1.
    pub line: u32,
    /// Column, from 1; 0 for the row as a whole.
    pub column: u16,
    /// Its heading, as written in the file.
    pub header: String,
}

impl CellPlace {
    /// The column as a spreadsheet letters it: 1 is A, 27 is AA.
    pub fn letters(&self) -> String {
        let mut rest = u32::from(self.column);
        let mut letters = Vec::new();
        while rest > 0 {
            rest -= 1;
            letters.push(char::from(b'A' + (rest % 26) as u8));
            rest /= 26;
        }
        letters.iter().rev().collect()
    }

    /// The address as a spreadsheet writes it: `C7`; the line alone for a row
    /// as a whole.
    pub fn address(&self) -> String {
        let sheet = if self.sheet.is_empty() { String::new() } else { format!("{}!", self.sheet) };
        format!("{sheet}{}{}", self.letters(), self.line)
    }
}

/// One cell with what became of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CellVerdict {
    pub place: CellPlace,
    /// The cell as written.
    pub raw: String,
    /// What became of it.
    pub verdict: Verdict,
    /// How it was read, if it was.
    pub read_as: Option<String>,
    /// Short stable name of the reason, such as `no-unit`.
    pub code: &'static str,
    /// Why, one sentence without a full stop.
    pub reason: String,
    /// What to do, one sentence without a full stop; empty if nothing.
    pub advice: String,
}

/// Something to say about a cell that was taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Remark {
    pub(crate) code: &'static str,
    pub(crate) reason: String,
    pub(crate) advice: String,
    /// A warning; else only an echo of how the cell was read.
    pub(crate) is_warning: bool,
}

impl Remark {
    /// Something that should be looked at.
    pub(crate) fn warning(
        code: &'static str,
        reason: impl Into<String>,
        advice: impl Into<String>,
    ) -> Self {
        Self { code, reason: reason.into(), advice: advice.into(), is_warning: true }
    }

    /// How the cell was read.
    pub(crate) fn echo(code: &'static str, reason: impl Into<String>) -> Self {
        Self { code, reason: reason.into(), advice: String::new(), is_warning: false }
    }
}

/// Why a cell was not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Problem {
    pub(crate) code: &'static str,
    pub(crate) reason: String,
    pub(crate) advice: String,
    /// Some: a question with these readings. None: refused.
    pub(crate) readings: Option<Vec<String>>,
    /// The row is taken all the same, the words of the cell in its notes.
    pub(crate) is_soft: bool,
}

impl Problem {
    pub(crate) fn refused(
        code: &'static str,
        reason: impl Into<String>,
        advice: impl Into<String>,
    ) -> Self {
        Self { code, reason: reason.into(), advice: advice.into(), readings: None, is_soft: false }
    }

    pub(crate) fn question(
        code: &'static str,
        reason: impl Into<String>,
        readings: Vec<String>,
    ) -> Self {
        let advice = match readings.as_slice() {
            [] => "write it out in full".to_owned(),
            [one] => format!("write `{one}` if that is meant"),
            several => format!("write one of: {}", several.join("; ")),
        };
        Self { code, reason: reason.into(), advice, readings: Some(readings), is_soft: false }
    }

    /// The same with other advice.
    pub(crate) fn advise(mut self, advice: impl Into<String>) -> Self {
        self.advice = advice.into();
        self
    }

    /// The same, but the row is taken with the words of the cell in its notes.
    pub(crate) fn soft(mut self) -> Self {
        self.is_soft = true;
        self
    }

    /// The same about a part of a cell: each reading becomes the whole cell.
    pub(crate) fn within(mut self, whole: impl Fn(&str) -> String) -> Self {
        if let Some(readings) = &mut self.readings {
            for reading in readings.iter_mut() {
                *reading = whole(reading);
            }
        }
        self
    }

    /// The verdict that it gives.
    pub(crate) fn verdict(&self) -> Verdict {
        match &self.readings {
            Some(readings) => Verdict::Question { readings: readings.clone() },
            None => Verdict::Refused,
        }
    }
}

/// A value read from a cell, with what there is to say about it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Taken<T> {
    pub(crate) value: T,
    pub(crate) remarks: Vec<Remark>,
    /// Words of the cell that are no part of the value.
    pub(crate) words: Vec<String>,
    /// Marks that point at a note below the table.
    pub(crate) marks: Vec<String>,
}

/// What a cell reader gives.
pub(crate) type Reading<T> = Result<Taken<T>, Problem>;

impl<T> Taken<T> {
    /// A value that needs no word.
    pub(crate) fn plain(value: T) -> Self {
        Self { value, remarks: Vec::new(), words: Vec::new(), marks: Vec::new() }
    }

    /// The same with a warning.
    pub(crate) fn warn(
        mut self,
        code: &'static str,
        reason: impl Into<String>,
        advice: impl Into<String>,
    ) -> Self {
        self.remarks.push(Remark::warning(code, reason, advice));
        self
    }

    /// The same with a word on how it was read.
    pub(crate) fn echo(mut self, code: &'static str, reason: impl Into<String>) -> Self {
        self.remarks.push(Remark::echo(code, reason));
        self
    }

    /// The same with words that are no part of the value.
    pub(crate) fn saying(mut self, words: impl Into<String>) -> Self {
        self.words.push(words.into());
        self
    }

    /// Another value with the same remarks.
    pub(crate) fn map<U>(self, change: impl FnOnce(T) -> U) -> Taken<U> {
        let Self { value, remarks, words, marks } = self;
        Taken { value: change(value), remarks, words, marks }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_lettered_as_in_a_spreadsheet() {
        let at = |column| {
            CellPlace { sheet: String::new(), line: 7, column, header: String::new() }.address()
        };
        let addresses = [1, 26, 27, 52, 53, 702, 703].map(at);
        assert_eq!(addresses, ["A7", "Z7", "AA7", "AZ7", "BA7", "ZZ7", "AAA7"]);
    }
}
