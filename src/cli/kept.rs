//! `add`, `edit` and the history of what is kept by name: wrenches, layouts, bolt
//! sets, lubes, strengths.

use std::path::Path;

use crate::cli::dialog::confirm;
use crate::cli::exit::{Code, Failure, argument, unchanged as refused};
use crate::cli::globals::Globals;
use crate::cli::joint::layout as read_table;
use crate::cli::named;
use crate::cli::open;
use crate::cli::out::Out;
use crate::cli::sign::signature;
use crate::record::{Field, FieldError, Kept, KeptKind, Layout, NOT_STATED, StrengthClass};
use crate::report::{self, HistoryEntry};
use crate::store::{Book, Change, Writer};
use crate::text::fold_name;

const TOPIC: &str = "changes of tables";

/// What is to be done with a record.
pub(super) struct Task<'a> {
    pub kind: KeptKind,
    pub name: &'a str,
    pub pairs: &'a [(&'a str, &'a str)],
    pub who: Option<&'a str>,
}

type Cell<'a> = (&'static Field, &'a str);

/// `add wrench NAME …`.
pub(super) fn add(globals: &Globals, task: &Task<'_>, out: &mut Out) -> Result<Code, Failure> {
    let table = task.kind.table();
    let what = table.what;
    if task.name.is_empty() {
        return argument(format!("which {what}? Write its name before its fields"));
    }
    let (file, cells) = cells(task)?;
    if cells.iter().any(|(field, _)| field.name == "name") {
        return argument("its name stands before its fields");
    }
    let mut writer = open::writer(globals)?;
    if let Some(known) = known(writer.book(), task.kind, task.name)? {
        let known = known.name();
        let also = if known == task.name { String::new() } else { format!(", as {known}") };
        return Err(refused(format!(
            "the book has a {what} `{}`{also}; `clampbook edit {what} {known}` changes it",
            task.name
        )));
    }
    let missing = table
        .needed
        .iter()
        .find(|needed| **needed != "name" && cells.iter().all(|(field, _)| field.name != **needed));
    if let Some(needed) = missing {
        let help = table.field(needed).map_or("", |field| field.help);
        return Err(refused(format!("a {what} needs {needed}=…: {help}")));
    }
    let new = stated(task.kind.named(task.name), file, &cells)?;
    if let Kept::Strength(line) = &new {
        line.check_line().map_err(refused)?;
    }
    settle(&mut writer, None, new, &cells, task, out)
}

/// `edit wrench NAME …`.
pub(super) fn edit(globals: &Globals, task: &Task<'_>, out: &mut Out) -> Result<Code, Failure> {
    let (file, cells) = cells(task)?;
    let what = task.kind.table().what;
    if task.pairs.is_empty() {
        return argument(format!("what of the {what}? Write field=value, --remove or --history"));
    }
    let mut writer = open::changing(globals, task.who)?;
    let Some(old) = known(writer.book(), task.kind, task.name)? else {
        return unknown(writer.book(), task, out);
    };
    let new = stated(old.clone(), file, &cells)?;
    if fold_name(new.name()) != fold_name(old.name()) {
        return argument(match task.kind {
            KeptKind::Lube | KeptKind::Strength => {
                format!("settings know their {what} by its name: give it a further one as alias")
            }
            _ => format!("the log knows this {what} as {}: add one of the new name", old.name()),
        });
    }
    settle(&mut writer, Some(&old), new, &cells, task, out)
}

/// `edit wrench NAME --remove`, asking unless `yes`.
pub(super) fn remove(
    globals: &Globals,
    task: &Task<'_>,
    yes: bool,
    out: &mut Out,
) -> Result<Code, Failure> {
    if matches!(task.kind, KeptKind::Lube | KeptKind::Strength) {
        return argument("a lube or strength stays: settings know it by its name");
    }
    let mut writer = open::changing(globals, task.who)?;
    let Some(old) = known(writer.book(), task.kind, task.name)? else {
        return unknown(writer.book(), task, out);
    };
    confirm(&format!("remove {} from the book?", old.title()), yes, out)?;
    let revision = writer.apply(vec![Change::RemoveRecord(task.kind, old.name().to_owned())])?;
    let words = format!("{} removed; its history is kept", old.title());
    out.page(&report::removed_page(old.name(), &words, revision));
    Ok(Code::Answered)
}

/// `edit wrench NAME --history`.
pub(super) fn history(globals: &Globals, task: &Task<'_>, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(globals)?;
    let book = &opened.book;
    let known = known(book, task.kind, task.name)?;
    let entries = match task.kind {
        KeptKind::Lube | KeptKind::Strength => {
            let Some(known) = &known else { return unknown(book, task, out) };
            noted(book, &known.title())?
        }
        _ => past(book, task)?,
    };
    if entries.is_empty() && known.is_none() {
        return unknown(book, task, out);
    }
    let title = known.map_or_else(|| task.kind.named(task.name).title(), |known| known.title());
    out.page(&report::history_page(&title, &entries));
    Ok(Code::Answered)
}

/// The states of a record of the bench, each held against the one before.
fn past(book: &Book, task: &Task<'_>) -> Result<Vec<HistoryEntry>, Failure> {
    let mut before: Option<Kept> = None;
    let mut entries = Vec::new();
    for (signature, state) in book.kept_history(task.kind, task.name)? {
        let changes = state.as_ref().map(|state| state.changes_from(before.as_ref()));
        entries.push(HistoryEntry {
            revision: None,
            who: signature.who,
            when: signature.when,
            removed: state.is_none().then(|| task.kind.named(task.name).title()),
            changes: changes.unwrap_or_default(),
        });
        before = state;
    }
    Ok(entries)
}

fn noted(book: &Book, title: &str) -> Result<Vec<HistoryEntry>, Failure> {
    let of_it = book.notes(TOPIC)?.into_iter().filter_map(|note| {
        let (what, revision) = note.key.rsplit_once(" #")?;
        (what == title).then(|| HistoryEntry {
            revision: revision.parse().ok(),
            who: note.signature.who,
            when: note.signature.when,
            removed: None,
            changes: report::noted_changes(&note.text),
        })
    });
    Ok(of_it.collect())
}

/// The fields that are meant, and the table of coordinates that a layout may be
/// read from.
fn cells<'a>(task: &Task<'a>) -> Result<(Option<&'a str>, Vec<Cell<'a>>), Failure> {
    let is_file = |name: &str| {
        let file = ["file", "holes", "table", "coordinates"];
        task.kind == KeptKind::Layout && file.contains(&fold_name(name).as_str())
    };
    let (files, pairs): (Vec<_>, Vec<_>) =
        task.pairs.iter().copied().partition(|(name, _)| is_file(name));
    Ok((files.first().map(|(_, path)| *path), task.kind.table().cells(&pairs)?))
}

/// `record` with what `cells` say, and the holes of the table at `file`.
fn stated(mut record: Kept, file: Option<&str>, cells: &[Cell<'_>]) -> Result<Kept, Failure> {
    if let Kept::Strength(class) = &record
        && class.rows.iter().any(|row| row.to.mm() > 0.0)
    {
        return Ok(Kept::Strength(class.with(cells).map_err(refused)?));
    }
    for (field, text) in cells {
        field.set(record.record_mut(), text)?;
    }
    if let (Kept::Layout(layout), Some(file)) = (&mut record, file) {
        let table = read_table(Path::new(file))?;
        (layout.points, layout.groups) = (table.points, table.groups);
    }
    Ok(record)
}

fn settle(
    writer: &mut Writer,
    old: Option<&Kept>,
    new: Kept,
    cells: &[Cell<'_>],
    task: &Task<'_>,
    out: &mut Out,
) -> Result<Code, Failure> {
    check(&new, writer.book())?;
    sourced(old, &new, cells)?;
    let differences = new.changes_from(old);
    let mut revision = writer.book().generation();
    let title = new.title();
    if old != Some(&new) {
        writer.sign(signature(task.who, writer.book()));
        revision = writer.apply(entered(&new, old, revision + 1))?;
    }
    let typed: Vec<&str> = cells.iter().map(|(field, _)| field.name).collect();
    match old {
        Some(_) => out.page(&report::changed_page(&title, &differences, revision)),
        None => out.page(&report::entered_page(&title, &differences, &typed, revision)),
    }
    Ok(Code::Answered)
}

/// `new` in place of `old`; of a lube or strength with what its history tells.
pub(super) fn entered(new: &Kept, old: Option<&Kept>, revision: u64) -> Vec<Change> {
    let note = matches!(new, Kept::Lube(_) | Kept::Strength(_)).then(|| {
        let text = report::note_of_changes(&new.changes_from(old));
        Change::note(TOPIC, &format!("{} #{revision}", new.title()), Some(&text))
    });
    std::iter::once(Change::from(new.clone())).chain(note).collect()
}

/// What the book has under that name; a lube or strength under any of its names.
pub(super) fn known(book: &Book, kind: KeptKind, name: &str) -> Result<Option<Kept>, Failure> {
    Ok(match kind {
        KeptKind::Lube => book.tables().lube(name).cloned().map(Kept::Lube),
        KeptKind::Strength => book.tables().strength(name).cloned().map(Kept::Strength),
        _ => {
            let is_it = |one: &Kept| fold_name(one.name()) == fold_name(name);
            book.records(kind)?.into_iter().find(is_it)
        }
    })
}

/// Says that the book has none of that name, and which is near.
fn unknown(book: &Book, task: &Task<'_>, out: &mut Out) -> Result<Code, Failure> {
    let records = book.records(task.kind)?;
    let words = named::unknown(task.kind, task.name, records.iter().map(Kept::name));
    Ok(out.not_there(&words))
}

/// What no single field can see.
pub(super) fn check(record: &Kept, book: &Book) -> Result<(), Failure> {
    let tables = book.tables();
    match record {
        Kept::Wrench(wrench) => {
            let scale = [wrench.low, wrench.high, wrench.graduation];
            let is_whole = scale.iter().all(Option::is_some);
            let has_range = wrench.shop_low.is_some() || wrench.shop_high.is_some();
            match wrench.scale() {
                Err(error) if is_whole || has_range => Err(refused(error)),
                _ => Ok(()),
            }
        }
        Kept::Layout(layout) => check_layout(layout),
        Kept::BoltSet(set) => {
            if book.fastener(&set.fastener)?.is_some() {
                return Ok(());
            }
            let near = named::nearest_key(book, &set.fastener)?;
            let hint = near.map(|near| format!("; did you mean `{near}`?")).unwrap_or_default();
            Err(refused(format!("no fastener has the key `{}`{hint}", set.fastener)))
        }
        Kept::Lube(lube) => {
            lube.check().map_err(|(factor, why)| refused(format!("{factor}: {why}")))?;
            let called = |alias: &str| tables.lube(alias).map(|lube| &*lube.name);
            unambiguous(&lube.name, &lube.aliases, &called)
        }
        Kept::Strength(StrengthClass { name, aliases, .. }) => {
            let called = |alias: &str| tables.strength(alias).map(|class| &*class.name);
            unambiguous(name, aliases, &called)
        }
    }
}

fn check_layout(layout: &Layout) -> Result<(), Failure> {
    if Layout::standard(&layout.name).is_some() {
        return Err(refused(format!(
            "`{}` describes itself and needs no entry: name this layout otherwise",
            layout.name
        )));
    }
    if layout.points.is_empty() {
        let message = "a layout needs its holes: file=TABLE.csv with the columns hole, x mm, y mm";
        return Err(refused(message));
    }
    Ok(())
}

/// A name or alias means one record.
fn unambiguous<'a>(
    name: &str,
    aliases: &[String],
    called: &dyn Fn(&str) -> Option<&'a str>,
) -> Result<(), Failure> {
    for alias in aliases {
        if let Some(other) = called(alias).filter(|other| *other != name) {
            return Err(refused(format!("aliases: `{alias}` already means {other}")));
        }
    }
    Ok(())
}

/// A figure keeps to its source: where one changes, the source is said anew.
fn sourced(old: Option<&Kept>, new: &Kept, cells: &[Cell<'_>]) -> Result<(), Failure> {
    let (differ, source) = match (old, new) {
        (Some(Kept::Lube(old)), Kept::Lube(new)) => {
            (old.factors() != new.factors(), old.source.as_deref())
        }
        (None, Kept::Lube(new)) => (new.factors() != [None; 3], None),
        (Some(Kept::Strength(old)), Kept::Strength(new)) => {
            (old.rows != new.rows, Some(old.source.as_str()))
        }
        _ => (false, None),
    };
    let says = cells.iter().any(|(field, text)| field.name == "source" && !text.trim().is_empty());
    if !differ || says {
        return Ok(());
    }
    let source = source.unwrap_or(NOT_STATED);
    Err(refused(format!(
        "a figure changes, and its source is still `{source}`; say where the new one comes from: \
         source=\"…\""
    )))
}

impl From<FieldError> for Failure {
    /// A slip in a name is an argument, a value that cannot be read is input.
    fn from(error: FieldError) -> Self {
        match error {
            FieldError::Unknown { .. } | FieldError::Twice(_) => Self::Argument(error.to_string()),
            FieldError::Value { .. } => refused(error),
        }
    }
}
