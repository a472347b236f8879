//! `edit lube|strength NAME field=…`, `add lube|strength NAME field=…` and
//! their history: the shop's own factors and figures.

use crate::cli::exit::{Code, Failure};
use crate::cli::globals::Globals;
use crate::cli::open;
use crate::cli::out::Out;
use crate::intake::reference::{LUBE_COLUMNS, STRENGTH_COLUMNS};
use crate::intake::{self, EditError};
use crate::record::{Band, FieldChange, Lube, NOT_STATED, Tables};
use crate::report::{self, TableEntry};
use crate::store::{Change, Writer};
use crate::text::{fold_name, nearest};

/// Where the changes of lubes and strengths are noted in the book.
const SHELF: &str = "changes of tables";

/// Cells under their columns.
type Cells = Vec<(&'static str, String)>;

/// Which table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Table {
    Lube,
    Strength,
}

impl Table {
    /// The table and the name that words such as `lube moly` mean.
    pub(super) fn of(words: &str) -> Option<(Self, &str)> {
        let (first, name) = words.split_once(' ')?;
        match first {
            "lube" => Some((Self::Lube, name)),
            "strength" => Some((Self::Strength, name)),
            _ => None,
        }
    }

    fn word(self) -> &'static str {
        match self {
            Self::Lube => "lube",
            Self::Strength => "strength",
        }
    }

    fn columns(self) -> &'static [&'static str] {
        match self {
            Self::Lube => LUBE_COLUMNS,
            Self::Strength => STRENGTH_COLUMNS,
        }
    }

    fn names(self, tables: &Tables) -> Vec<&str> {
        match self {
            Self::Lube => tables.lubes.iter().map(|lube| lube.name.as_str()).collect(),
            Self::Strength => tables.strengths.iter().map(|class| class.name.as_str()).collect(),
        }
    }

    /// What the book calls it.
    fn known(self, name: &str, tables: &Tables) -> Option<String> {
        match self {
            Self::Lube => tables.lube(name).map(|lube| lube.name.clone()),
            Self::Strength => tables.strength(name).map(|class| class.name.clone()),
        }
    }
}

/// `edit`: changes the record called `name`.
pub(super) fn edit(
    globals: &Globals,
    who: Option<&str>,
    (table, name): (Table, &str),
    pairs: &[(&str, &str)],
    out: &mut Out,
) -> Result<Code, Failure> {
    let cells = cells(table, pairs)?;
    let mut writer = open::changing(globals, who)?;
    let tables = writer.book().tables().clone();
    match table {
        Table::Lube => {
            let Some(old) = tables.lube(name) else {
                return Ok(unknown(table, name, &tables, out));
            };
            let new = intake::edited_lube(old, &cells).map_err(wrong)?;
            sourced(old != &new, factors(old) != factors(&new), &cells, old.source.as_deref())?;
            unambiguous(table, &new.name, &new.aliases, &tables)?;
            let told = report::lube_differences(Some(old), &new);
            settle(&mut writer, (table, &new.name), told, Change::PutLube(new.clone()), out)
        }
        Table::Strength => {
            let Some(old) = tables.strength(name) else {
                return Ok(unknown(table, name, &tables, out));
            };
            let new = intake::edited_strength(old, &cells).map_err(wrong)?;
            sourced(old != &new, old.rows != new.rows, &cells, Some(&old.source))?;
            unambiguous(table, &new.name, &new.aliases, &tables)?;
            let told = report::strength_differences(Some(old), &new);
            settle(&mut writer, (table, &new.name), told, Change::PutStrength(new.clone()), out)
        }
    }
}

/// `add`: enters a new record called `name`.
pub(super) fn add(
    globals: &Globals,
    who: Option<&str>,
    (table, name): (Table, &str),
    pairs: &[(&str, &str)],
    out: &mut Out,
) -> Result<Code, Failure> {
    let mut cells = cells(table, pairs)?;
    cells.push(("name", name.to_owned()));
    let mut writer = open::changing(globals, who)?;
    let tables = writer.book().tables().clone();
    if let Some(known) = table.known(name, &tables) {
        let word = table.word();
        let also = if known == name { String::new() } else { format!(", as {known}") };
        return Err(refused(format!(
            "the book has the {word} `{name}`{also}; `clampbook edit {word} {known}` changes it"
        )));
    }
    match table {
        Table::Lube => {
            let new = intake::new_lube(&cells).map_err(wrong)?;
            sourced(true, factors(&new) != [None; 3], &cells, None)?;
            unambiguous(table, &new.name, &new.aliases, &tables)?;
            let told = report::lube_differences(None, &new);
            settle(&mut writer, (table, name), told, Change::PutLube(new), out)
        }
        Table::Strength => {
            let new = intake::new_strength(&cells).map_err(wrong)?;
            unambiguous(table, &new.name, &new.aliases, &tables)?;
            let told = report::strength_differences(None, &new);
            settle(&mut writer, (table, name), told, Change::PutStrength(new), out)
        }
    }
}

/// `edit lube|strength NAME --history`.
pub(super) fn history(
    globals: &Globals,
    (table, name): (Table, &str),
    out: &mut Out,
) -> Result<Code, Failure> {
    let opened = open::reader(globals)?;
    let tables = opened.book.tables();
    let Some(known) = table.known(name, tables) else {
        return Ok(unknown(table, name, tables, out));
    };
    let title = format!("{} {known}", table.word());
    let notes = opened.book.shelf(SHELF)?;
    let of_it = notes.into_iter().filter_map(|note| {
        let (what, revision) = note.key.rsplit_once(" #")?;
        let is_it = what == title;
        let (revision, signature) = (revision.parse().ok()?, note.signature);
        let (who, when, changes) = (signature.who, signature.when, note.text);
        is_it.then_some(TableEntry { revision, who, when, changes })
    });
    let entries: Vec<TableEntry> = of_it.collect();
    out.page(&report::table_history_page(&title, &entries));
    Ok(Code::Answered)
}

/// Stores a change with its note and tells it; nothing if nothing differs.
fn settle(
    writer: &mut Writer,
    (table, name): (Table, &str),
    told: Vec<FieldChange>,
    change: Change,
    out: &mut Out,
) -> Result<Code, Failure> {
    let title = format!("{} {name}", table.word());
    let mut revision = writer.book().generation();
    if !told.is_empty() {
        let key = format!("{title} #{}", revision + 1);
        let (shelf, text) = (SHELF.to_owned(), report::table_note(&told));
        revision = writer.apply(vec![change, Change::PutNote { shelf, key, text }])?;
    }
    out.page(&report::changed_page(&title, &told, revision));
    Ok(Code::Answered)
}

fn unknown(table: Table, name: &str, tables: &Tables, out: &mut Out) -> Code {
    let word = table.word();
    let near = nearest(name, table.names(tables));
    let hint = near.map_or_else(
        || {
            format!(
                "`clampbook list {}` names them",
                if word == "lube" { "lubes" } else { "strengths" }
            )
        },
        |near| format!("did you mean `{near}`?"),
    );
    out.complain(&format!("error: the book has no {word} `{name}`; {hint}"));
    Code::Nothing
}

/// The columns that are meant, each once.
fn cells(table: Table, pairs: &[(&str, &str)]) -> Result<Cells, Failure> {
    let (word, columns) = (table.word(), table.columns());
    if pairs.is_empty() {
        let example = if table == Table::Lube { "k=0.13" } else { "proof=830 unit=MPa" };
        let message = format!("what of the {word}? Write {example} source=\"…\" or the like");
        return Err(Failure::Argument(message));
    }
    let mut cells: Cells = Vec::new();
    for (field, text) in pairs {
        let folded = fold_name(&field.replace(['-', '_'], " "));
        let Some(column) = columns.iter().copied().find(|column| *column == folded) else {
            let near = nearest(&folded, columns.iter().copied());
            let hint = near.map_or_else(
                || format!("a {word} has {}", columns.join(", ")).replace("mu ", "mu-"),
                |near| format!("did you mean `{}`?", near.replace(' ', "-")),
            );
            return Err(Failure::Argument(format!("`{field}` is no field of a {word}; {hint}")));
        };
        if column == "name" {
            let message =
                format!("settings know their {word} by its name: give it a further one as alias");
            return Err(Failure::Argument(message));
        }
        if cells.iter().any(|(known, _)| *known == column) {
            return Err(Failure::Argument(format!("{field} is given twice")));
        }
        cells.push((column, (*text).to_owned()));
    }
    Ok(cells)
}

fn factors(lube: &Lube) -> [Option<Band>; 3] {
    [lube.k, lube.mu_thread, lube.mu_bearing]
}

/// A figure keeps to its source.
fn sourced(
    differs: bool,
    figures_differ: bool,
    cells: &Cells,
    old: Option<&str>,
) -> Result<(), Failure> {
    let says = cells.iter().any(|(column, text)| *column == "source" && !text.trim().is_empty());
    if !differs || !figures_differ || says {
        return Ok(());
    }
    let source = old.unwrap_or(NOT_STATED);
    Err(refused(format!(
        "a figure changes, and its source is still `{source}`; say where the new one comes from: \
         source=\"…\""
    )))
}

/// A name or alias means one record.
fn unambiguous(
    table: Table,
    name: &str,
    aliases: &[String],
    tables: &Tables,
) -> Result<(), Failure> {
    for alias in aliases {
        if let Some(other) = table.known(alias, tables).filter(|other| other != name) {
            return Err(refused(format!("aliases: `{alias}` already means {other}")));
        }
    }
    Ok(())
}

fn wrong(error: EditError) -> Failure {
    refused(error.to_string())
}

fn refused(why: String) -> Failure {
    Failure::Input(format!("{why}\nnothing was changed"))
}
