//! A fastener that is in the book, with some of its fields stated anew: the
//! readers and the checks are those of an import.

use crate::intake::cells::{Tightening, says_nothing};
use crate::intake::doubts::{Put, doubts};
use crate::intake::draft::{Draft, place};
use crate::intake::finish::Around;
use crate::intake::names::Names;
use crate::intake::reading::{RowContext, read_entry};
use crate::intake::row::RowReader;
use crate::intake::sheet::Page;
use crate::intake::split::RawRow;
use crate::intake::survey::{Given, Plan};
use crate::intake::{CellVerdict, EmptyBook, Heading, Options, Report, Sheet, Verdict};
use crate::record::{FIELDS, Fastener, Field, Owner, Setting, Tables, Value, place_of};

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
}

fn cells_in_words(cells: &[CellVerdict]) -> String {
    let words: Vec<String> = cells.iter().map(cell_in_words).collect();
    words.join("\n")
}

/// One verdict in a sentence: `Torque "65": has no unit; write 65 lb-ft`.
pub fn cell_in_words(cell: &CellVerdict) -> String {
    let header = if cell.place.header.is_empty() { "row" } else { &cell.place.header };
    let raw = if cell.raw.is_empty() { String::new() } else { format!(" `{}`", cell.raw) };
    let advice = if cell.advice.is_empty() { String::new() } else { format!("; {}", cell.advice) };
    format!("{}{raw}: {}{advice}", header.to_lowercase(), cell.reason)
}

/// A field and what it is to say; nothing is "not stated".
pub type Cell = (&'static Field, String);

/// `old` with `cells` stated anew, those of a setting for the one at `at`, or for
/// each. What the edit does not touch stays as it is in `old`.
pub fn edited(
    old: &Fastener,
    at: Option<usize>,
    cells: &[Cell],
    tables: &Tables,
) -> Result<Edited, EditError> {
    let is_meant =
        |field: &Field, row: usize| field.owner != Owner::Setting || at.is_none_or(|at| at == row);
    let after = read(old, cells, &is_meant, tables);
    if !after.report.is_sound() || after.report.bad_cells().next().is_some() {
        return Err(EditError::Cells(after.report.bad_cells().cloned().collect()));
    }
    let mut new = after.fastener;
    let of_setting = cells.iter().any(|(field, _)| field.owner == Owner::Setting);
    let had = old.settings.len();
    if had == 0 && !of_setting {
        new.settings.clear();
    } else if had > 0 && new.settings.len() != had {
        let words = format!(
            "the fastener has {had} settings and would have {}; an edit changes one figure of one \
             setting: use `add` for a further one",
            new.settings.len()
        );
        return Err(EditError::Together(words));
    }
    // What the readers make of the record as it is, they made before this edit.
    let before = read(old, &[], &is_meant, tables);
    let base = before.fastener;
    keep(&mut new, &base, old);
    let known: Vec<(&str, &str)> =
        before.report.verdicts.iter().map(|cell| (cell.code, cell.reason.as_str())).collect();
    let is_new = |cell: &CellVerdict| {
        cell.verdict == Verdict::TakenWithWarning
            && !known.contains(&(cell.code, cell.reason.as_str()))
    };
    let warnings = after.report.verdicts.iter().filter(|cell| is_new(cell)).cloned().collect();
    Ok(Edited { fastener: new, warnings })
}

/// A fastener as the readers of an import leave it, with what they say of it.
struct Reread {
    fastener: Fastener,
    report: Report,
}

/// Reads `cells` onto `old`: a row for each of its settings, the cells of which
/// are meant for it.
fn read(
    old: &Fastener,
    cells: &[Cell],
    is_meant: &dyn Fn(&Field, usize) -> bool,
    tables: &Tables,
) -> Reread {
    let names = Names::of_typed(tables);
    let options = Options::default();
    let headings: Vec<Heading> = cells.iter().map(|(field, _)| heading(field)).collect();
    let sheet = Sheet::of_rows("the edit", vec![Page::default()], Vec::new());
    let plan = Plan::of_cells(headings.clone());
    let mut report = Report::on(&sheet, &plan);
    let mut reader = RowReader::new(&names, &options, &plan, 0, headings);
    let given = Given { is_typed: true, ..Given::default() };
    let around = Around {
        given: &given,
        names: None,
        infers_reuse: false,
        infers_kind: false,
        has_column: [false; 2],
    };
    let known = RowContext { options: &options, tables, around };
    let mut fastener: Option<Fastener> = None;
    let mut settings = Vec::new();
    for at in 0..old.settings.len().max(1) {
        let mut draft = Draft::copied(old, old.settings.get(at));
        let mut row = RawRow::on_line(1);
        for (field, text) in cells {
            let is_meant = is_meant(field, at);
            if is_meant {
                draft.clear(field);
            }
            row.push(if is_meant && !says_nothing(text) { text } else { "" });
        }
        let (finished, reasons) = read_entry(&mut reader, &row, draft, &known, &mut report);
        if !reasons.is_empty() {
            report.refuse(1, reasons);
        }
        settings.extend(finished.settings);
        fastener.get_or_insert(finished.fastener);
    }
    let mut fastener = fastener.expect("there is a row even of a fastener without a setting");
    fastener.key.clone_from(&old.key);
    if cells.iter().all(|(field, _)| field.name != "verbatim") {
        // What is typed here is no text of the sheet.
        fastener.verbatim.clone_from(&old.verbatim);
    }
    fastener.settings = settings;
    let lines = vec![1; fastener.settings.len()];
    doubts(vec![Put { fastener: fastener.clone(), lines }], &EmptyBook, tables, &mut report);
    Reread { fastener, report }
}

fn heading(field: &'static Field) -> Heading {
    Heading::of_field(field)
}

/// What `new` and `base` say alike stays as it is in `old`.
fn keep(new: &mut Fastener, base: &Fastener, old: &Fastener) {
    keep_fields(Owner::Joint, &mut new.joint, &base.joint, &old.joint);
    keep_fields(Owner::Fastener, new, base, old);
    if base.settings.len() == old.settings.len() {
        let pairs = base.settings.iter().zip(&old.settings);
        for (new, (base, old)) in new.settings.iter_mut().zip(pairs) {
            keep_fields(Owner::Setting, new, base, old);
        }
    }
}

fn keep_fields<R: std::any::Any>(owner: Owner, new: &mut R, base: &R, old: &R) {
    let is_own = |field: &&Field| field.is_stored() && field.owner == owner;
    for field in FIELDS.iter().filter(is_own) {
        if field.is_same(new, base) {
            field.copy(old, new);
        }
    }
}

const PAGE: usize = place_of("page");
const REVISION: usize = place_of("revision");
const KEY: usize = place_of("key");

impl Draft {
    /// What the book says of a fastener and one of its settings.
    fn copied(fastener: &Fastener, setting: Option<&Setting>) -> Self {
        let mut draft = Self::new();
        draft.fastener = Fastener { settings: Vec::new(), ..fastener.clone() };
        if let Some(setting) = setting {
            draft.setting = setting.clone();
            let torque = setting.torque;
            draft.torques.extend(torque.is_some().then(|| Tightening { torque, ..none() }));
            draft.angle = Some(Tightening { angles: setting.angles.clone(), ..none() });
            draft.stretch = Some(Tightening { stretch: setting.stretch, ..none() });
            draft.passes = Some(Tightening { passes: setting.passes.clone(), ..none() });
        }
        draft.notes.extend(fastener.notes.clone());
        draft.verbatim.extend(fastener.verbatim.clone());
        // Its key never changes; names that are taken away are asked for.
        let is_stated = |(at, field): &(usize, &Field)| {
            *at != KEY && field.is_stored() && field.stored(fastener, setting).is_stated()
        };
        let stated = FIELDS.iter().enumerate().filter(is_stated);
        stated.for_each(|(at, _)| draft.stated.add(at));
        draft
    }

    /// Takes away what is said of `field`; of a source its place in it too.
    fn clear(&mut self, field: &'static Field) {
        match field.name {
            "torque" => self.torques.clear(),
            "angle" => self.angle = None,
            "stretch" => self.stretch = None,
            "passes" => self.passes = None,
            "notes" => self.notes.clear(),
            "verbatim" => self.verbatim.clear(),
            "source" => {
                self.take_away(PAGE);
                self.take_away(REVISION);
            }
            _ => {}
        }
        self.take_away(place(field));
    }

    fn take_away(&mut self, place: usize) {
        let field = &FIELDS[place];
        let owner = field.owner_of_mut(&mut self.fastener, &mut self.setting);
        // A name or a choice that is never empty stays; it is asked for, or follows
        // from the rest, once it is not stated.
        drop(field.put(owner, Value::NotStated));
        self.stated.drop(place);
    }
}

fn none() -> Tightening {
    Tightening::default()
}

/// What was typed, as a sheet of one row: each pair a heading and its cell.
pub fn typed(cells: &[(&str, &str)]) -> Sheet {
    let mut row = RawRow::on_line(1);
    cells.iter().for_each(|(_, text)| row.push(text));
    let headings = cells.iter().map(|(heading, _)| (*heading).to_owned()).collect();
    let page = Page { headings: Some(headings), ..Page::default() };
    let mut sheet = Sheet::of_rows("the command line", vec![page], vec![row]);
    sheet.is_typed = true;
    sheet
}
