//! `edit`: fields of a fastener or of one of its settings, or of what is kept by
//! name.

use std::sync::Arc;

use crate::cli::complete;
use crate::cli::dialog::confirm;
use crate::cli::exit::{Code, Failure, argument, unchanged};
use crate::cli::globals::Globals;
use crate::cli::kept::{self, Task};
use crate::cli::open;
use crate::cli::out::Out;
use crate::cli::pairs::{cleaned, signed};
use crate::cli::sign::Signer;
use crate::cli::{joint, named};
use crate::intake::{self, Cell};
use crate::record::{
    Fastener, Field, Joint, KeptKind, Owner, differences, find_field, setting_keys,
};
use crate::report::{self, HistoryEntry};
use crate::store::{Book, Change, Writer};
use crate::text::fold_name;

// `edit`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook edit stilt-60-press-bolster-bolt-bolster count=8 grip=\"3.5 in\"
  clampbook edit dunlin-2-mill-drive-bolt-coupling-half/oil torque=\"205 N·m\"
  clampbook edit dunlin-2-mill-drive-bolt-coupling-half/oil retorque=
  clampbook edit dunlin-2-mill-drive-bolt-coupling-half --history
  clampbook edit lube moly k=0.13 source=\"own bench test, 2026\"
  clampbook edit wrench W2 shop-low=\"30 lb-ft\" shop-high=\"140 lb-ft\"
  clampbook edit wrench W2 calibrated=2026-05-04 found=out due=
  clampbook edit layout \"Dunlin 2 gear case\" --remove")]
pub(super) struct Edit {
    /// KEY of a fastener, KEY/LUBE of a setting, or lube, wrench, layout or set
    /// NAME; then the fields, an empty value being "not stated"
    #[arg(required = true, value_name = "KEY FIELD=VALUE", add = complete::record())]
    pub words: Vec<String>,
    /// Take it out of the book
    #[arg(long, conflicts_with = "history")]
    pub remove: bool,
    /// Do not ask before removing
    #[arg(long, requires = "remove")]
    pub yes: bool,
    /// Who changed what, and when
    #[arg(long)]
    pub history: bool,
    #[command(flatten)]
    pub signer: Signer,
}

pub(super) fn run(globals: &Globals, edit: &Edit, out: &mut Out) -> Result<Code, Failure> {
    let words = cleaned(&edit.words, out);
    let (name, pairs, who) = signed(&words, &edit.signer)?;
    if let Some((field, _)) = pairs.first().filter(|_| edit.remove || edit.history) {
        let option = if edit.remove { "--remove" } else { "--history" };
        return argument(format!("{field}= and {option} are two things: give one of them"));
    }
    if let Some((kind, name)) = KeptKind::of_words(&name) {
        let task = Task { kind, name, pairs: &pairs, who };
        return match (edit.history, edit.remove) {
            (true, _) => kept::history(globals, &task, out),
            (false, true) => kept::remove(globals, &task, edit.yes, out),
            (false, false) => kept::edit(globals, &task, out),
        };
    }
    if edit.history {
        return history(globals, &name, out);
    }
    if pairs.is_empty() && !edit.remove {
        return argument(format!("what of `{name}`? Write field=value, --remove or --history"));
    }
    let cells = cells(&pairs)?;
    let mut writer = open::changing(globals, who)?;
    let (key, mark) = name.split_once('/').map_or((&*name, None), |(key, mark)| (key, Some(mark)));
    let Some(old) = writer.book().fastener(key)? else {
        return unknown(writer.book(), key, out);
    };
    let at = setting_keys(&old).iter().position(|known| *known == name);
    if mark.is_some() && at.is_none() {
        return Ok(no_setting(&old, &name, out));
    }
    if edit.remove {
        return remove(&mut writer, &old, at, edit.yes, out);
    }
    change(&mut writer, &old, at, &cells, out)
}

/// The fields that are meant, each once.
fn cells(pairs: &[(&str, &str)]) -> Result<Vec<Cell>, Failure> {
    let mut cells: Vec<Cell> = Vec::new();
    for (name, text) in pairs {
        let field = field(name)?;
        if cells.iter().any(|(known, _)| known.name == field.name) {
            return argument(format!("{} is given twice", field.name));
        }
        cells.push((field, (*text).to_owned()));
    }
    // A source in one piece comes before the page and revision given beside it.
    cells.sort_by_key(|(field, _)| field.name != "source");
    Ok(cells)
}

fn field(name: &str) -> Result<&'static Field, Failure> {
    let name = fold_name(name);
    let found = find_field(&name).or_else(|| find_field(&name.replace([' ', '_'], "-")));
    match found {
        Some(field) if field.name == "key" => {
            argument("a key never changes: it is what notes and other programs hold on to")
        }
        Some(field) if field.is_stored() => Ok(field),
        Some(field) => argument(format!(
            "{} is computed by clampbook: change the torque, the thread or the lube",
            field.name
        )),
        None => Err(named::no_field(&name)),
    }
}

fn unknown(book: &Book, key: &str, out: &mut Out) -> Result<Code, Failure> {
    let near = named::nearest_key(book, key)?;
    let hint = named::meant(near, "`clampbook find … show part, key` shows the keys");
    Ok(out.not_there(&format!("no fastener has the key `{key}`; {hint}")))
}

fn no_setting(fastener: &Fastener, name: &str, out: &mut Out) -> Code {
    let keys = setting_keys(fastener).join(", ");
    out.not_there(&format!("there is no setting `{name}`; there is {keys}"))
}

fn history(globals: &Globals, name: &str, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(globals)?;
    let key = name.split('/').next().unwrap_or_default();
    let past = opened.book.history(key)?;
    let now = opened.book.fastener(key)?;
    if past.is_empty() && now.is_none() {
        return unknown(&opened.book, key, out);
    }
    // How it was entered is no change of it: its settings say so.
    let entered = now.iter().flat_map(|now| &now.settings).find_map(|setting| {
        Some((setting.entered_on?, setting.entered_by.clone().unwrap_or_default()))
    });
    if let Some((day, who)) = entered {
        out.say(format!("entered on {day} by {who}").trim_end_matches(" by "));
    }
    let entries = past.into_iter().map(|past| HistoryEntry {
        revision: Some(past.generation),
        who: past.signature.who,
        when: past.signature.when,
        removed: past.new.is_none().then(|| past.old.key.clone()),
        changes: past.new.map(|new| differences(&past.old, &new)).unwrap_or_default(),
    });
    let entries: Vec<HistoryEntry> = entries.collect();
    out.page(&report::history_page(key, &entries));
    Ok(Code::Answered)
}

/// Takes a fastener or one of its settings out of the book, after asking.
fn remove(
    writer: &mut Writer,
    old: &Arc<Fastener>,
    at: Option<usize>,
    yes: bool,
    out: &mut Out,
) -> Result<Code, Failure> {
    let keys = setting_keys(old);
    let name = at.and_then(|at| keys.get(at)).unwrap_or(&old.key);
    confirm(&format!("remove {name} from the book?"), yes, out)?;
    let change = match at {
        None => Change::Remove(old.key.clone()),
        Some(at) => {
            let mut rest = old.as_ref().clone();
            rest.settings.remove(at);
            Change::from(rest)
        }
    };
    let revision = writer.apply(vec![change])?;
    let words = format!("{name} removed; its history is kept");
    out.page(&report::removed_page(name, &words, revision));
    Ok(Code::Answered)
}

fn change(
    writer: &mut Writer,
    old: &Arc<Fastener>,
    at: Option<usize>,
    cells: &[Cell],
    out: &mut Out,
) -> Result<Code, Failure> {
    let of_setting = |(field, _): &&Cell| field.owner == Owner::Setting;
    if at.is_none()
        && old.settings.len() > 1
        && let Some((field, _)) = cells.iter().find(of_setting)
    {
        let keys = setting_keys(old).join(", ");
        return argument(format!("{}: of which setting? Name one of {keys}", field.name));
    }
    let edited = intake::edited(old, at, cells, writer.book().tables()).map_err(unchanged)?;
    for cell in &edited.warnings {
        out.say(&format!("warning: {}", intake::cell_in_words(cell)));
    }
    let new = Arc::new(edited.fastener);
    let mut changes = vec![(Arc::clone(old), Arc::clone(&new))];
    changes.extend(of_same_joint(writer.book(), old, &new)?);
    changes.retain(|(old, new)| old != new);
    let puts = changes.iter().map(|(_, new)| Change::from(new.as_ref().clone())).collect();
    let revision = writer.apply(puts)?;
    let differences: Vec<_> = changes.iter().flat_map(|(old, new)| differences(old, new)).collect();
    out.page(&report::changed_page(&old.key, &differences, revision));
    Ok(Code::Answered)
}

/// A fastener before and after a change.
type OldAndNew = (Arc<Fastener>, Arc<Fastener>);

/// What belongs to the joint (its duty, gasket, order) is said of all its
/// fasteners; a new name moves this fastener alone.
fn of_same_joint(book: &Book, old: &Fastener, new: &Fastener) -> Result<Vec<OldAndNew>, Failure> {
    let with_names_of = |joint: &Joint, names: &Joint| Joint {
        assembly: names.assembly.clone(),
        name: names.name.clone(),
        ..joint.clone()
    };
    if with_names_of(&new.joint, &old.joint) == old.joint {
        return Ok(Vec::new());
    }
    let is_same = |one: &Joint| {
        fold_name(&one.assembly) == fold_name(&old.joint.assembly)
            && fold_name(&one.name) == fold_name(&old.joint.name)
    };
    let others = joint::fasteners(book, &old.joint)?
        .into_iter()
        .filter(|one| one.key != old.key && is_same(&one.joint));
    let change = |one: Arc<Fastener>| {
        let mut changed = one.as_ref().clone();
        changed.joint = with_names_of(&new.joint, &one.joint);
        (one, Arc::new(changed))
    };
    Ok(others.map(change).collect())
}
