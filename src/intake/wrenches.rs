//! A table of wrenches: the headings are the fields of a wrench.

use crate::intake::IntakeError;
use crate::intake::table::read_table;
use crate::record::{KeptError, WRENCH_FIELDS, Wrench, set_field};

/// Why a table of wrenches was not read.
#[derive(Debug, thiserror::Error)]
pub enum WrenchesError {
    /// It is no table.
    #[error(transparent)]
    Table(#[from] IntakeError),
    /// A heading or a value that is not one of a wrench.
    #[error("line {line}: {error}")]
    Cell {
        /// The line, from 1.
        line: u32,
        /// What was read and what was expected.
        error: KeptError,
    },
}

/// Reads wrenches from CSV, one to a line, as `add wrench` reads its fields; an
/// empty cell is not stated. `name` is what messages call the file.
pub fn read_wrenches(bytes: &[u8], name: &str) -> Result<Vec<Wrench>, WrenchesError> {
    let table = read_table(bytes, name)?;
    let mut wrenches = Vec::with_capacity(table.rows.len());
    for row in &table.rows {
        let mut wrench = Wrench::default();
        for (heading, cell) in table.headings.iter().zip(row.cells()) {
            set_field("wrench", WRENCH_FIELDS, &mut wrench, heading, cell)
                .map_err(|error| WrenchesError::Cell { line: row.line, error })?;
        }
        wrenches.push(wrench);
    }
    Ok(wrenches)
}
