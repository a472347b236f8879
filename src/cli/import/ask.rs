//! The questions of an import, asked on a terminal: the readings of a cell with
//! a number before each. What is answered is kept in the mapping, so that the
//! next import of the file asks nothing.
//!
//! Nothing is written before the last question: Ctrl-C leaves everything as it
//! was.

use std::collections::HashSet;
use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};

use crate::cli::dialog::line;
use crate::cli::exit::{Failure, refused};
use crate::cli::file_out;
use crate::cli::globals::Globals;
use crate::cli::import::load;
use crate::cli::open;
use crate::cli::out::Out;
use crate::intake::{self, Answers, CellVerdict, Options, Question, Report, Sheet};
use crate::text::printable;

/// Whether there is somebody to ask: both ends are a terminal, and the answer is
/// read by a person.
pub(super) fn is_possible(out: &Out) -> bool {
    out.format.is_for_people() && io::stdin().is_terminal() && io::stderr().is_terminal()
}

/// The file that is imported, and its mapping.
#[derive(Clone, Copy)]
pub(super) struct From<'a> {
    pub file: &'a Path,
    pub map: Option<&'a Path>,
}

/// Asks what the file leaves open, until nothing is or the person has enough,
/// and puts the answers into `options`. An answer that cannot be read is asked
/// again, and never kept.
pub(super) fn questions(
    globals: &Globals,
    from: From<'_>,
    sheet: &Sheet,
    options: &mut Options,
    out: &mut Out,
) -> Result<(), Failure> {
    let opened = open::trial(globals)?;
    let look = |options: &Options| load::look(globals, sheet, options, &opened.book);
    let mut left_open: HashSet<(String, Vec<String>)> = HashSet::new();
    let mut is_answered = false;
    loop {
        let mut next = look(options)?.questions().into_iter();
        let is_next = |one: &Question| one.is_answerable() && !left_open.contains(&key(one));
        let Some(question) = next.find(is_next) else { break };
        out.complain(&words(&question));
        match answer(&question, options, look, out)? {
            Reply::Enough => break,
            Reply::LeaveOpen => _ = left_open.insert(key(&question)),
            Reply::Answered(with_it) => {
                *options = *with_it;
                is_answered = true;
            }
        }
    }
    if is_answered { remember(from, &options.answers, out) } else { Ok(()) }
}

/// What the person wants of a question.
enum Reply {
    Enough,
    LeaveOpen,
    /// The options with the answer, which the cells can be read by.
    Answered(Box<Options>),
}

/// Asks `question` until the answer can be read.
fn answer(
    question: &Question,
    options: &Options,
    look: impl Fn(&Options) -> Result<Report, Failure>,
    out: &mut Out,
) -> Result<Reply, Failure> {
    loop {
        let typed = match line(&prompt(question), out)? {
            None => return Ok(Reply::Enough),
            Some(typed) if typed.eq_ignore_ascii_case("q") => return Ok(Reply::Enough),
            Some(typed) if typed.is_empty() => return Ok(Reply::LeaveOpen),
            Some(typed) => typed,
        };
        let Some(text) = chosen(&typed, question) else {
            let most = question.readings.len();
            out.complain(&format!("`{}` is none of 1 to {most}", printable(&typed)));
            continue;
        };
        let mut tried = options.clone();
        let why = match question.answer(&text, &mut tried) {
            true => still(question, &text, &look(&tried)?),
            false => Some("it is no unit".to_owned()),
        };
        let Some(why) = why else { return Ok(Reply::Answered(Box::new(tried))) };
        out.complain(&format!("`{}`: {}", printable(&text), printable(&why)));
    }
}

fn key(question: &Question) -> (String, Vec<String>) {
    (question.place.header.clone(), question.cells.clone())
}

/// The reading of that number, or the text as typed; none for a number that is
/// not in the list.
fn chosen(typed: &str, question: &Question) -> Option<String> {
    match typed.parse::<usize>() {
        Ok(number) => number.checked_sub(1).and_then(|at| question.readings.get(at)).cloned(),
        Err(_) => Some(typed.to_owned()),
    }
}

/// Why the cells would still stand in the way with that answer.
fn still(question: &Question, text: &str, taken: &Report) -> Option<String> {
    let same = |cell: &&CellVerdict| {
        cell.place.header == question.place.header && question.cells.contains(&cell.raw)
    };
    let found = taken.bad_cells().find(same);
    // A question of another kind is the next one.
    found
        .filter(|cell| cell.code == question.code || !question.readings.contains(&text.to_owned()))
        .map(|cell| cell.reason.clone())
}

fn prompt(question: &Question) -> String {
    let hint = match (question.readings.is_empty(), question.column.is_some()) {
        (true, _) => "What",
        (_, true) => "Number, or a unit",
        (_, false) => "Number, or what",
    };
    format!("{hint} to read in its place (Enter: leave it open, q: ask no more): ")
}

fn words(question: &Question) -> String {
    let place = &question.place;
    let cells: Vec<String> =
        question.cells.iter().map(|cell| format!("`{}`", printable(cell))).collect();
    let more = match question.count - question.cells.len().min(question.count) {
        0 => String::new(),
        count => format!(" and {count} more"),
    };
    let first = format!("`{}`: ", question.cells[0]);
    let mut text = format!(
        "\n{} {} {}{more}: {}",
        place.address(),
        printable(&place.header),
        cells.join(", "),
        // Most reasons say the cell once more.
        printable(question.reason.strip_prefix(&first).unwrap_or(&question.reason))
    );
    for (at, reading) in question.readings.iter().enumerate() {
        text.extend(["\n  ", &(at + 1).to_string(), "  ", &printable(reading)]);
    }
    if question.readings.is_empty() {
        text.extend(["\n  ", &*printable(&question.advice)]);
    }
    text
}

/// Keeps the answers in the mapping that was given, or in one that is offered.
fn remember(from: From<'_>, answers: &Answers, out: &mut Out) -> Result<(), Failure> {
    if let Some(map) = from.map {
        let text = std::fs::read_to_string(map)
            .map_err(|error| refused(format!("{}: {error}", map.display())))?;
        return keep(map, &intake::with_answers(&text, answers), true, out);
    }
    let offered = from.file.with_extension("map.toml");
    loop {
        let ask = format!(
            "\nKeep the answers for the next import in {} (Enter: yes, n: no, or a name): ",
            offered.display()
        );
        let file = match line(&ask, out)?.as_deref() {
            None | Some("n" | "N" | "no") => return Ok(()),
            Some("" | "y" | "Y" | "yes") => offered.clone(),
            Some(name) => PathBuf::from(name),
        };
        if file.exists() {
            let what = "is there already: another name, or import with it as --map";
            out.complain(&format!("{} {what}", file.display()));
            continue;
        }
        let name = from.file.display().to_string().replace(['\n', '\r'], " ");
        let head = format!("# What was answered when {name} was imported.\n");
        return keep(&file, &intake::with_answers(&head, answers), false, out);
    }
}

fn keep(file: &Path, text: &str, replace: bool, out: &mut Out) -> Result<(), Failure> {
    file_out::write(file, text.as_bytes(), replace)?;
    out.complain(&format!("Answers kept in {}: import with --map.", file.display()));
    Ok(())
}
