//! `list`: the tables of the book.

use crate::cli::complete;
use crate::cli::exit::{Code, Failure};
use crate::cli::globals::{Format, Globals};
use crate::cli::out::Out;
use crate::cli::{bolts, clock, open, saved};
use crate::report::{self, SavedQuestion};
use crate::store::Book;

// `list`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook list fields
  clampbook list lubes
  clampbook list strengths --format json
  clampbook list questions
  clampbook list questions --delete heads")]
pub(super) struct List {
    /// What to list
    #[arg(value_enum)]
    pub what: Listed,
    /// Take the saved question of this name out of the book
    #[arg(long, value_name = "NAME", add = complete::saved())]
    pub delete: Option<String>,
}

/// What `list` lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum Listed {
    /// Lubricants with their factors and sources.
    Lubes,
    /// Strengths with their sizes and sources.
    Strengths,
    /// Wrenches with what of their scale may be used, and when they are due.
    Wrenches,
    /// Layouts of holes.
    Layouts,
    /// Bolt sets: each bolt with its tightenings and growth.
    Sets,
    /// The words that a question may ask for.
    Fields,
    /// The questions saved by `find --save`.
    Questions,
}

/// Runs the command.
pub(super) fn run(globals: &Globals, list: &List, out: &mut Out) -> Result<Code, Failure> {
    if let Some(name) = &list.delete {
        return delete(globals, list, name, out);
    }
    let json = out.format == Format::Json;
    if list.what == Listed::Fields {
        let page = if json { report::fields_json() } else { report::fields_page(out.width) };
        out.answer(&page);
        return Ok(Code::Answered);
    }
    let opened = open::reader(globals)?;
    if list.what == Listed::Questions {
        return questions(&opened.book, out);
    }
    match list.what {
        Listed::Wrenches => return wrenches(&opened.book, out),
        Listed::Layouts => return layouts(&opened.book, out),
        Listed::Sets => return bolts::draw(&opened.book, None, None, out),
        _ => {}
    }
    let tables = opened.book.tables();
    let page = match (list.what, json) {
        (Listed::Lubes, true) => report::lube_list_json(tables),
        (Listed::Lubes, false) => report::lube_list(tables, out.width),
        (_, true) => report::strength_list_json(tables),
        (_, false) => report::strength_list(tables, out.width),
    };
    out.answer(&page);
    Ok(Code::Answered)
}

/// The wrenches; 1 if there is none.
fn wrenches(book: &Book, out: &mut Out) -> Result<Code, Failure> {
    let (wrenches, day) = (book.wrenches()?, clock::today());
    out.answer(&match out.format {
        Format::Json => report::wrench_list_json(wrenches, day),
        Format::Csv => report::wrench_list_csv(wrenches, day),
        Format::Table if wrenches.is_empty() => String::new(),
        Format::Table => report::wrench_list(wrenches, day, out.width),
    });
    Ok(some_or_say(wrenches.is_empty(), "no wrench: add wrench NAME enters one", out))
}

/// The layouts; 1 if there is none.
fn layouts(book: &Book, out: &mut Out) -> Result<Code, Failure> {
    let layouts = book.layouts()?;
    out.answer(&match out.format {
        Format::Json => report::layout_list_json(layouts),
        Format::Table | Format::Csv if layouts.is_empty() => String::new(),
        Format::Table | Format::Csv => report::layout_list(layouts, out.width),
    });
    let way_out = "no layout: add layout NAME file=TABLE.csv enters one";
    Ok(some_or_say(layouts.is_empty(), way_out, out))
}

fn some_or_say(is_empty: bool, way_out: &str, out: &mut Out) -> Code {
    if is_empty {
        out.say(way_out);
    }
    if is_empty { Code::Nothing } else { Code::Answered }
}

/// The saved questions; 1 if there is none.
fn questions(book: &Book, out: &mut Out) -> Result<Code, Failure> {
    let notes = saved::all(book)?.into_iter();
    let saved: Vec<SavedQuestion> =
        notes.map(|note| SavedQuestion { name: note.key, question: note.text }).collect();
    if out.format == Format::Json {
        out.answer(&report::question_list_json(&saved));
    } else if !saved.is_empty() {
        out.answer(&report::question_list(&saved, out.width));
    }
    if saved.is_empty() {
        out.say("no question is saved: find --save NAME QUESTION keeps one");
        return Ok(Code::Nothing);
    }
    Ok(Code::Answered)
}

fn delete(globals: &Globals, list: &List, name: &str, out: &mut Out) -> Result<Code, Failure> {
    if list.what != Listed::Questions {
        let message = "--delete takes a saved question: list questions --delete NAME";
        return Err(Failure::Argument(message.to_owned()));
    }
    let mut writer = open::writer(globals)?;
    if let Some(note) = saved::remove(&mut writer, name)? {
        out.say(&format!("deleted `{}`: {}", note.key, note.text));
        return Ok(Code::Answered);
    }
    out.complain(&format!("error: {}", saved::unknown(writer.book(), name)?));
    Ok(Code::Nothing)
}
