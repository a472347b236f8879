//! `list`: the tables of the book.

use crate::cli::complete;
use crate::cli::exit::{Code, Failure, argument};
use crate::cli::globals::Globals;
use crate::cli::out::Out;
use crate::cli::{bolts, clock, open, saved};
use crate::record::{Lube, StrengthClass, Tables};
use crate::report;
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
    let book = &opened.book;
    let (count, none) = match list.what {
        Listed::Sets => return bolts::draw(book, None, None, out),
        Listed::Fields | Listed::Strengths | Listed::Lubes => {
            tables(book.tables(), list, out);
            return Ok(Code::Answered);
        }
        Listed::Wrenches => {
            let wrenches = book.wrenches()?;
            out.page(&report::wrench_list(wrenches, clock::today()));
            (wrenches.len(), "no wrench: add wrench NAME enters one")
        }
        Listed::Layouts => {
            let layouts = book.layouts()?;
            out.page(&report::layout_list(layouts));
            (layouts.len(), "no layout: add layout NAME file=TABLE.csv enters one")
        }
        Listed::Questions => {
            let saved = saved::questions(book)?.into_iter().map(|one| (one.key, one.text));
            let saved: Vec<(String, String)> = saved.collect();
            out.page(&report::question_list(&saved));
            (saved.len(), "no question is saved: find --save NAME QUESTION keeps one")
        }
    };
    Ok(out.ended(count, none))
}

/// The lubes or strengths that are meant.
fn tables(tables: &Tables, list: &List, out: &mut Out) {
    let why = list.why || !list.name.is_empty();
    let name = fold_name(&list.name.join(" "));
    let is_meant = |own: &str, aliases: &[String]| {
        let words = std::iter::once(own).chain(aliases.iter().map(String::as_str));
        name.is_empty() || words.map(fold_name).any(|known| known.contains(&name))
    };
    if list.what == Listed::Lubes {
        let is_it = |lube: &Lube| is_meant(&lube.name, &lube.aliases);
        out.page(&report::lube_list(tables, why, &is_it));
    } else {
        let is_it = |class: &StrengthClass| is_meant(&class.name, &class.aliases);
        out.page(&report::strength_list(tables, why, &is_it));
    }
}

fn delete(globals: &Globals, list: &List, name: &str, out: &mut Out) -> Result<Code, Failure> {
    if list.what != Listed::Questions {
        return argument("--delete takes a saved question: list questions --delete NAME");
    }
    let mut writer = open::writer(globals)?;
    if let Some(note) = saved::remove(&mut writer, name)? {
        out.say(&format!("deleted `{}`: {}", note.key, note.text));
        return Ok(Code::Answered);
    }
    Ok(out.not_there(&saved::unknown(writer.book(), name)?))
}
