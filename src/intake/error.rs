//! Why a file cannot be read at all. What is wrong with a single cell is a
//! verdict in the report, not an error.

impl IntakeError {
    /// A notation that cannot be read, in the file as a whole or, with `place`, at
    /// `, line 3` of it.
    pub(crate) fn notation(
        file: &str,
        place: impl Into<String>,
        problem: impl Into<String>,
        advice: impl Into<String>,
    ) -> Self {
        let (place, problem, advice) = (place.into(), problem.into(), advice.into());
        Self::Notation { file: file.to_owned(), place, problem, advice }
    }
}

/// A file that cannot be taken apart into rows and cells.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum IntakeError {
    #[error("{file}: the file is empty; it needs a row of headings and a row for each setting")]
    Empty {
        /// Name of the file.
        file: String,
    },
    /// A byte 0, which no text file holds.
    #[error(
        "{file}, line {line}: a zero byte, which no text file holds; save it as CSV in UTF-8, or as UTF-16 with a byte order mark"
    )]
    Nul {
        /// Name of the file.
        file: String,
        /// Line in the file, from 1.
        line: u32,
    },
    /// Broken UTF-16.
    #[error("{file}, line {line}: broken UTF-16; save the file again, best as UTF-8")]
    BrokenUtf16 {
        /// Name of the file.
        file: String,
        /// Line in the file, from 1.
        line: u32,
    },
    /// A quoted cell that never ends.
    #[error(
        "{file}, line {line}, column {column}: a quoted cell starts here and never ends; double a quote that stands for inches, or close the cell"
    )]
    OpenQuote {
        /// Name of the file.
        file: String,
        /// Line in the file, from 1.
        line: u32,
        /// Column, from 1.
        column: u16,
    },
    /// No row looks like a header.
    #[error(
        "{file}: no header row found in the first {looked} lines; one row must name the columns, such as Assembly, Joint, Part, Thread, Lube, Torque (lb-ft), Source{hint}"
    )]
    NoHeader {
        /// Name of the file.
        file: String,
        /// How many lines were looked at.
        looked: usize,
        /// What came nearest, as the end of the sentence.
        hint: String,
    },
    /// The columns cannot be used.
    #[error("{file}, line {line}: {problem}; {advice}")]
    Columns {
        /// Name of the file.
        file: String,
        /// Line of the header row.
        line: u32,
        problem: String,
        advice: String,
    },
    /// A notation that cannot be read: JSON, a mapping, a spreadsheet.
    #[error("{file}{place}: {problem}; {advice}")]
    Notation {
        /// Name of the file.
        file: String,
        /// `, line 3` or `, sheet Heads`, or nothing.
        place: String,
        problem: String,
        advice: String,
    },
    /// A file changed between two readings: it was UTF-8 before.
    #[error(
        "{file}, line {line}: not UTF-8 any more, so the file was changed while it was read; close it in other programs and import it again"
    )]
    NotUtf8 {
        /// Name of the file.
        file: String,
        /// Line in the file, from 1.
        line: u32,
    },
    /// The file could not be read from disk.
    #[error("{file}: {problem}; look at its name, its folder, and whether it may be read")]
    Read {
        /// Name of the file.
        file: String,
        /// What the system said.
        problem: String,
    },
}
