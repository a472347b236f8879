//! `add`: a fastener or a further setting, read as one row of an import.

use std::sync::Arc;

use crate::cli::complete;
use crate::cli::exit::{Code, Failure, argument, unchanged as refused};
use crate::cli::globals::Globals;
use crate::cli::kept::{self, Task};
use crate::cli::known::BookLookup;
use crate::cli::named;
use crate::cli::open;
use crate::cli::out::Out;
use crate::cli::pairs::{cleaned, signed};
use crate::cli::sign::{Signer, signature};
use crate::intake::{self, Change as Outcome, Column, Options, Report, Verdict};
use crate::record::{Fastener, KeptKind, differences, find_field};
use crate::report;
use crate::store::{Book, Change, Signature};
use crate::text::fold_name;

// `add`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Example:
  clampbook add assembly=\"Tern 40 pump\" joint=cover part=bolt thread=M10x1.5 \\
      lube=oil torque=\"38 N·m\" source=\"Sheet P2 p. 2\"
  clampbook add wrench W2 low=\"20 lb-ft\" high=\"150 lb-ft\" graduation=\"1 lb-ft\" \\
      calibrated=2026-01-10 found=good
  clampbook add layout \"Dunlin 2 gear case\" file=case.csv notes=\"shaft left\"
  clampbook add set R12 fastener=marlow-6-rod-bolt bolts=\"1: new 1.9986 in; 2: new 1.9987 in\"

A wrench has low, high, graduation, shop-low, shop-high (the part of its scale
that the shop trusts), lever, calibrated (a day, added to those before), found
(good or out, before anything was adjusted), due, notes. A layout's file is a table
of coordinates: hole, x mm, y mm and, if there are any, group.")]
pub(super) struct Add {
    /// What is known of it, the fields being those of `list fields`; or wrench
    /// NAME, layout NAME, set NAME and its fields
    #[arg(required = true, value_name = "FIELD=VALUE", add = complete::record())]
    pub words: Vec<String>,
    #[command(flatten)]
    pub signer: Signer,
}

pub(super) fn run(globals: &Globals, add: &Add, out: &mut Out) -> Result<Code, Failure> {
    let words = cleaned(&add.words, out);
    let (name, pairs, who) = signed(&words, &add.signer)?;
    if let Some((kind, name)) = KeptKind::of_words(&name) {
        return kept::add(globals, &Task { kind, name, pairs: &pairs, who }, out);
    }
    if !name.is_empty() {
        return argument(format!(
            "`{name}` is no field=value: add takes assembly=…, joint=…, part=…"
        ));
    }
    open::own(globals)?;
    names_given(&pairs)?;
    // Where nothing can be entered no book is made either.
    let trial = open::trial(globals)?;
    if take_fields(&trial.book, &pairs, who)?.0.fasteners.is_empty() {
        out.answer("nothing changed: the book says so already");
        return Ok(Code::Answered);
    }
    let mut writer = open::writer(globals)?;
    let (report, signature) = take_fields(writer.book(), &pairs, who)?;
    let new = report.fasteners.first().ok_or_else(|| refused("the book has it by now"))?;
    let old = writer.book().fastener(&new.key)?;
    for cell in report.verdicts.iter().filter(|cell| cell.verdict == Verdict::TakenWithWarning) {
        out.say(&format!("warning: {}", intake::cell_in_words(cell)));
    }
    writer.sign(signature);
    let revision = writer.apply(vec![Change::from(new.clone())])?;
    show(old, new, &pairs, revision, out);
    Ok(Code::Answered)
}

/// What `book` would take of the fields, and who enters it.
fn take_fields(
    book: &Book,
    pairs: &[(&str, &str)],
    who: Option<&str>,
) -> Result<(Report, Signature), Failure> {
    let signature = signature(who, book);
    let sheet = intake::typed(pairs);
    let options = Options {
        today: signature.when.get(..10).and_then(|day| day.parse().ok()),
        who: Some(signature.who.clone()).filter(|who| !who.is_empty()),
        ..Options::default()
    };
    let known = BookLookup::new(book, &sheet)?;
    let report = intake::take(&sheet, book.tables(), &options, &known).map_err(refused)?;
    known.sound()?;
    known_fields(&report)?;
    if !report.is_sound() {
        let bad: Vec<String> = report.bad_cells().map(intake::cell_in_words).collect();
        return Err(refused(bad.join("\n")));
    }
    if let Some(new) = report.fasteners.first()
        && let Some(old) = book.fastener(&new.key)?
    {
        nothing_overwritten(&old, new, &report).map_err(refused)?;
    }
    Ok((report, signature))
}

/// What a fastener is known by must be there: all that is missing is named at once.
fn names_given(pairs: &[(&str, &str)]) -> Result<(), Failure> {
    let is_given = |name: &str| {
        let is_it = |typed: &str| find_field(&fold_name(typed)).is_some_and(|f| f.name == name);
        pairs.iter().any(|(typed, text)| is_it(typed) && !text.trim().is_empty())
    };
    let missing = |names: &[&str]| {
        let missing = names.iter().filter(|name| !is_given(name));
        missing.map(|name| format!("{name}=…")).collect::<Vec<_>>().join(", ")
    };
    let needed = missing(&["assembly", "joint", "part"]);
    // A key says which one it is.
    if needed.is_empty() || is_given("key") {
        return Ok(());
    }
    let more = match missing(&["thread", "lube", "torque", "source"]) {
        usual if usual.is_empty() => usual,
        usual => format!("; a setting also has {usual}"),
    };
    argument(format!("missing: {needed}{more}"))
}

/// Every name must be a field that is kept: a slip of the finger is no note.
fn known_fields(report: &Report) -> Result<(), Failure> {
    for heading in &report.headings {
        return argument(match &heading.column {
            Column::Unknown { .. } | Column::Blank => return Err(named::no_field(&heading.text)),
            Column::Derived(field) => format!("{} is computed by clampbook", field.name),
            _ => continue,
        });
    }
    Ok(())
}

/// `add` fills what is not stated; it never replaces what is.
fn nothing_overwritten(old: &Arc<Fastener>, new: &Fastener, report: &Report) -> Result<(), String> {
    if let Some(known) = report.settings.iter().find(|one| one.change == Outcome::Changed) {
        let against = known.against.as_deref().unwrap_or_default();
        return Err(format!(
            "{} is in the book with {against}; `clampbook edit {}` changes it",
            known.key, known.key
        ));
    }
    let changes = differences(old, new);
    match changes.into_iter().find(|change| change.old.is_some()) {
        None => Ok(()),
        Some(change) => Err(format!(
            "{}: the book says {} {}; `clampbook edit` changes it",
            change.key,
            change.field,
            change.old.unwrap_or_default()
        )),
    }
}

fn show(
    old: Option<Arc<Fastener>>,
    new: &Fastener,
    pairs: &[(&str, &str)],
    revision: u64,
    out: &mut Out,
) {
    let typed = pairs.iter().filter_map(|(name, _)| find_field(&fold_name(name)));
    let typed: Vec<&str> = typed.map(|field| field.name).collect();
    let blank = || Arc::new(Fastener { key: new.key.clone(), ..Fastener::default() });
    let changes = differences(&old.unwrap_or_else(blank), new);
    out.page(&report::entered_page(&new.key, &changes, &typed, revision));
}
