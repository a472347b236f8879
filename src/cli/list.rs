//! `list`: the tables of the book.

use crate::cli::complete;
use crate::cli::exit::{Code, Failure};
use crate::cli::globals::Globals;
use crate::cli::out::Out;
use crate::cli::{bolts, clock, open, saved};
use crate::report::{self, SavedQuestion};
use crate::store::Book;
use crate::text::fold_name;

// `list`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook list fields
  clampbook list lubes
  clampbook list lubes moly
  clampbook list strengths --why
  clampbook list strengths --format json
  clampbook list questions
  clampbook list questions --delete flanges")]
pub(super) struct List {
    /// What to list
    #[arg(value_enum)]
    pub what: Listed,
    /// Only the lubes or strengths whose name has these words, with their sources
    #[arg(value_name = "NAME", add = complete::listed_name())]
    pub name: Vec<String>,
    /// Also where the figures of lubes and strengths come from
    #[arg(long)]
    pub why: bool,
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

pub(super) fn run(globals: &Globals, list: &List, out: &mut Out) -> Result<Code, Failure> {
    if let Some(name) = &list.delete {
        return delete(globals, list, name, out);
    }
    if list.what == Listed::Fields {
        out.page(&report::fields_page());
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
    let why = list.why || !list.name.is_empty();
    let name = fold_name(&list.name.join(" "));
    let is_meant = |own: &str, aliases: &[String]| {
        let words = std::iter::once(own).chain(aliases.iter().map(String::as_str));
        name.is_empty() || words.map(fold_name).any(|known| known.contains(&name))
    };
    let page = match list.what {
        Listed::Lubes => {
            report::lube_list(tables, why, &|lube| is_meant(&lube.name, &lube.aliases))
        }
        _ => report::strength_list(tables, why, &|class| is_meant(&class.name, &class.aliases)),
    };
    out.page(&page);
    Ok(Code::Answered)
}

/// The wrenches; 1 if there is none.
fn wrenches(book: &Book, out: &mut Out) -> Result<Code, Failure> {
    let wrenches = book.wrenches()?;
    out.page(&report::wrench_list(wrenches, clock::today()));
    Ok(some_or_say(wrenches.is_empty(), "no wrench: add wrench NAME enters one", out))
}

/// The layouts; 1 if there is none.
fn layouts(book: &Book, out: &mut Out) -> Result<Code, Failure> {
    let layouts = book.layouts()?;
    out.page(&report::layout_list(layouts));
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
    out.page(&report::question_list(&saved));
    let way_out = "no question is saved: find --save NAME QUESTION keeps one";
    Ok(some_or_say(saved.is_empty(), way_out, out))
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
