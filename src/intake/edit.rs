//! A record that is in the book, read again with some of its cells changed.
//!
//! An export reads back as it was, so an edit is that export with other cells:
//! the readers and the checks are those of an import.

use crate::intake::cells::{Split, read_source};
use crate::intake::reference::{LUBE_COLUMNS, lube_cells, read_lubes};
use crate::intake::{CellVerdict, EmptyBook, IntakeError, Options, Verdict, read_csv, take};
use crate::record::{Fastener, Lube, Setting, Tables};

/// A fastener as an edit makes it.
#[derive(Debug, Clone, PartialEq)]
pub struct Edited {
    /// The fastener with the cells of the edit.
    pub fastener: Fastener,
    /// What must be looked at because of the edit; it was taken all the same.
    pub warnings: Vec<CellVerdict>,
}

/// Why an edit was not taken. Nothing of it was.
#[derive(Debug, thiserror::Error)]
pub enum EditError {
    /// Cells that were refused, or have several readings.
    #[error("{}", cells_in_words(.0))]
    Cells(Vec<CellVerdict>),
    /// The cells are sound, but not together.
    #[error("{0}")]
    Together(String),
    /// The cells cannot be read as a sheet at all.
    #[error(transparent)]
    Sheet(#[from] IntakeError),
}

fn cells_in_words(cells: &[CellVerdict]) -> String {
    let words: Vec<String> = cells.iter().map(cell_in_words).collect();
    words.join("\n")
}

/// One verdict in a sentence: `Torque "70": has no unit; write 70 lb-ft`.
pub fn cell_in_words(cell: &CellVerdict) -> String {
    let header = if cell.place.header.is_empty() { "row" } else { &cell.place.header };
    let raw = if cell.raw.is_empty() { String::new() } else { format!(" `{}`", cell.raw) };
    let advice = if cell.advice.is_empty() { String::new() } else { format!("; {}", cell.advice) };
    format!("{}{raw}: {}{advice}", header.to_lowercase(), cell.reason)
}

/// `old` as the sheet `after` says it. `before` is the sheet that export makes
/// of `old`: what both sheets read alike stays as it is in `old`, so that an
/// edit touches nothing beside its own cells.
pub fn edited(
    old: &Fastener,
    before: &str,
    after: &str,
    tables: &Tables,
) -> Result<Edited, EditError> {
    let (mut new, told) = read_one(after, tables)?;
    // A record whose own cells no longer read (its lube was removed, say) may
    // still be mended by the edit.
    let (base, known) = read_one(before, tables).unwrap_or_else(|_| (old.clone(), Vec::new()));
    let had = old.settings.len();
    if had == 0 && new.settings == base.settings {
        new.settings.clear();
    } else if had > 0 && new.settings.len() != had {
        let words = format!(
            "the fastener has {had} settings and would have {}; an edit changes one figure of one \
             setting: use `add` for a further one",
            new.settings.len()
        );
        return Err(EditError::Together(words));
    }
    keep_fastener(&mut new, &base, old);
    if base.settings.len() == had {
        let pairs = base.settings.iter().zip(&old.settings);
        for (new, (base, old)) in new.settings.iter_mut().zip(pairs) {
            keep_setting(new, base, old);
        }
    }
    new.key.clone_from(&old.key);
    let warnings = told.into_iter().filter(|cell| !known.contains(cell)).collect();
    Ok(Edited { fastener: new, warnings })
}

/// The one fastener of a sheet, and the warnings about it.
fn read_one(sheet: &str, tables: &Tables) -> Result<(Fastener, Vec<CellVerdict>), EditError> {
    let sheet = read_csv(sheet.as_bytes(), "the edit")?;
    let report = take(&sheet, tables, &Options::default(), &EmptyBook)?;
    if !report.is_sound() {
        return Err(EditError::Cells(report.bad_cells().cloned().collect()));
    }
    let warned = |cell: &&CellVerdict| cell.verdict == Verdict::TakenWithWarning;
    let warnings = report.verdicts.iter().filter(warned).cloned().collect();
    let mut fasteners = report.fasteners;
    match (fasteners.pop(), fasteners.is_empty()) {
        (Some(fastener), true) => Ok((fastener, warnings)),
        _ => Err(EditError::Together("the cells do not make one fastener".to_owned())),
    }
}

macro_rules! keep {
    ($new:ident, $base:ident, $old:ident: $($($field:ident).+),* $(,)?) => {
        $(if $new.$($field).+ == $base.$($field).+ {
            $new.$($field).+.clone_from(&$old.$($field).+);
        })*
    };
}

fn keep_fastener(new: &mut Fastener, base: &Fastener, old: &Fastener) {
    keep!(new, base, old: joint.assembly, joint.name, joint.duty, joint.gasket, joint.machining,
        joint.place, joint.layout, joint.order, part, kind, part_number, count, positions, group,
        after_group, thread, hole_thread, hole_end_lube, hole_end_fitting, turned, strength,
        finish, waist, length, grip, engagement, hole_depth, hole_material, insert, head, drive,
        seat, bearing, bottom, wet, sealant, washer, reuse, prevailing, prevailing_rule, tags,
        notes, verbatim);
}

fn keep_setting(new: &mut Setting, base: &Setting, old: &Setting) {
    keep!(new, base, old: lube, face_lube, method, torque, snug, angles, stretch, passes, cycles,
        tolerance, this_lube_only, retorque, recheck, basis, source, entered_on, entered_by,
        checked_by, supersedes, superseded, warnings);
}

/// A source as typed in one piece, `Sheet H7 rev C p. 12`, as its cells: title,
/// page, revision; empty where it has none.
pub fn source_cells(text: &str) -> [(&'static str, String); 3] {
    let found = read_source(text, Split { page: true, revision: true }).value;
    let or_empty = Option::unwrap_or_default;
    [
        ("source", or_empty(found.title)),
        ("page", or_empty(found.page)),
        ("revision", or_empty(found.revision)),
    ]
}

/// `lube` with some cells changed, each a column of the lubes file and its new
/// text. A factor whose nominal value is taken away goes as a whole.
pub fn edited_lube(lube: &Lube, changes: &[(&'static str, String)]) -> Result<Lube, EditError> {
    let mut cells = lube_cells(lube);
    for (column, text) in changes {
        if text.trim().is_empty() {
            let ends = [format!("{column} low"), format!("{column} high")];
            let of_band = cells.iter_mut().filter(|(name, _)| ends.iter().any(|end| end == name));
            of_band.for_each(|(_, cell)| cell.clear());
        }
    }
    for (column, text) in changes {
        for (_, cell) in cells.iter_mut().filter(|(name, _)| name == column) {
            text.trim().clone_into(cell);
        }
    }
    let mut sheet = csv::Writer::from_writer(Vec::new());
    // Invariant: a vector takes every write, and both lines have one cell for
    // each column.
    let _ = sheet.write_record(LUBE_COLUMNS);
    let _ = sheet.write_record(cells.iter().map(|(_, cell)| cell));
    let bytes = sheet.into_inner().unwrap_or_default();
    let report = read_lubes(&bytes, "the edit")?;
    match report.records.into_iter().next() {
        Some(lube) if report.verdicts.is_empty() => Ok(lube),
        _ => Err(EditError::Cells(report.verdicts)),
    }
}
