//! Lubes and strengths from the command line, read by the readers of their
//! reference files.

use crate::intake::reference::{LUBE_COLUMNS, STRENGTH_COLUMNS, read_lubes, read_strengths};
use crate::intake::{EditError, IntakeError};
use crate::record::{Lube, StrengthClass, StrengthRow};

/// Cells under the column that each is meant for.
type Cells = [(&'static str, String)];

/// A new lube of these cells under [`LUBE_COLUMNS`].
pub fn new_lube(cells: &Cells) -> Result<Lube, EditError> {
    let report = read_lubes(&sheet(LUBE_COLUMNS, cells), "the lube")?;
    match report.records.into_iter().next() {
        Some(lube) if report.verdicts.is_empty() => Ok(lube),
        _ => Err(EditError::Cells(report.verdicts)),
    }
}

/// A new strength of these cells under [`STRENGTH_COLUMNS`], with one range of
/// sizes.
pub fn new_strength(cells: &Cells) -> Result<StrengthClass, EditError> {
    let class = read_strength(cells)?;
    match class.rows.first() {
        Some(row) if is_bare(row) => Err(without_figures()),
        _ => Ok(class),
    }
}

/// `class` with some cells changed. Figures are those of the sizes `from` to
/// `to`, which may be left out where the class has one range of sizes only; a
/// range that it does not have is added.
pub fn edited_strength(class: &StrengthClass, changes: &Cells) -> Result<StrengthClass, EditError> {
    let given = |column: &str| changes.iter().find(|(known, _)| *known == column);
    let mut cells: Vec<(&'static str, String)> = changes.to_vec();
    cells.push(("name", class.name.clone()));
    let sized = given("from").or(given("to")).is_some();
    let figured = ["proof", "yield", "tensile", "unit"].iter().any(|name| given(name).is_some());
    if figured && !sized && class.rows.len() != 1 {
        return Err(EditError::Together(format!(
            "{} has {} ranges of sizes: say which by from=… to=…, as in from=M6 to=M16",
            class.name,
            class.rows.len()
        )));
    }
    if !sized {
        // Any size will do to have the other cells read.
        cells.extend(["from", "to"].map(|column| (column, "M10".to_owned())));
    }
    let old = [("unit", class.unit.symbol), ("source", class.source.as_str())];
    for (column, text) in old.into_iter().filter(|(column, _)| given(column).is_none()) {
        cells.push((column, text.to_owned()));
    }
    let read = read_strength(&cells)?;
    let mut new = class.clone();
    if given("aliases").is_some() {
        new.aliases = read.aliases;
    }
    (new.unit, new.source) = (read.unit, read.source);
    if let Some(row) = read.rows.first().filter(|_| sized || figured) {
        put_row(&mut new, row, sized, &|column| given(column).is_some())?;
    }
    Ok(new)
}

/// Changes the figures given of the range that `row` names, or adds it.
fn put_row(
    class: &mut StrengthClass,
    row: &StrengthRow,
    sized: bool,
    given: &dyn Fn(&str) -> bool,
) -> Result<(), EditError> {
    // An inch size that is printed in millimetres comes back a hair off.
    let near = |one: f64, other: f64| (one - other).abs() < 0.001;
    let is_same = |known: &StrengthRow| {
        near(known.from.mm(), row.from.mm())
            && known.above == row.above
            && near(known.to.mm(), row.to.mm())
    };
    if let Some(old) = class.rows.iter_mut().find(|known| !sized || is_same(known)) {
        let figures = [
            ("proof", &mut old.proof, row.proof),
            ("yield", &mut old.yield_, row.yield_),
            ("tensile", &mut old.tensile, row.tensile),
        ];
        for (column, old, new) in figures {
            if given(column) {
                *old = new;
            }
        }
        return if is_bare(old) { Err(without_figures()) } else { Ok(()) };
    }
    let ends_before = |one: &StrengthRow, other: &StrengthRow| {
        let touch = near(one.to.mm(), other.from.mm());
        (one.to < other.from && !touch) || (touch && other.above)
    };
    if let Some(other) = class.rows.iter().find(|o| !ends_before(o, row) && !ends_before(row, o)) {
        let (from, to) = (other.from.mm(), other.to.mm());
        return Err(EditError::Together(format!(
            "these sizes overlap those of another range of {}, {from} mm to {to} mm; name that \
             range as it stands to change its figures",
            class.name
        )));
    }
    if is_bare(row) {
        return Err(without_figures());
    }
    class.rows.push(*row);
    class.rows.sort_by(|one, other| one.from.mm().total_cmp(&other.from.mm()));
    Ok(())
}

fn is_bare(row: &StrengthRow) -> bool {
    row.proof.is_none() && row.yield_.is_none() && row.tensile.is_none()
}

fn without_figures() -> EditError {
    let words = "a range of sizes has a proof, a yield or a tensile strength at least";
    EditError::Together(words.to_owned())
}

fn read_strength(cells: &Cells) -> Result<StrengthClass, EditError> {
    let report = read_strengths(&sheet(STRENGTH_COLUMNS, cells), "the strength")?;
    match report.records.into_iter().next() {
        Some(class) if report.verdicts.is_empty() => Ok(class),
        Some(_) | None if !report.verdicts.is_empty() => Err(EditError::Cells(report.verdicts)),
        _ => Err(EditError::Sheet(IntakeError::Empty { file: "the strength".to_owned() })),
    }
}

/// One line of a reference file.
fn sheet(columns: &[&'static str], cells: &Cells) -> Vec<u8> {
    let text = |column: &&str| {
        let cell = cells.iter().find(|(known, _)| known == column);
        cell.map_or("", |(_, text)| text.trim())
    };
    let mut sheet = csv::Writer::from_writer(Vec::new());
    // Invariant: a vector takes every write, and both lines have one cell for
    // each column.
    let _ = sheet.write_record(columns);
    let _ = sheet.write_record(columns.iter().map(text));
    sheet.into_inner().unwrap_or_default()
}
