//! The questions of an import, asked on a terminal: the readings of a cell with
//! a number before each. What is answered is kept in the mapping, so that the
//! next import of the file asks nothing.
//!
//! Nothing is written before the last question: Ctrl-C leaves everything as it
//! was.

use std::collections::HashSet;
use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};

use crate::cli::ask::line;
use crate::cli::exit::{Failure, refused};
use crate::cli::file_out;
use crate::cli::globals::{Format, Globals};
use crate::cli::import::load;
use crate::cli::open;
use crate::cli::out::Out;
use crate::intake::{self, Answers, CellVerdict, Options, Report, Sheet, Verdict};
use crate::text::printable;

/// Whether there is somebody to ask: both ends are a terminal, and the answer is
/// read by a person.
pub(super) fn is_possible(out: &Out) -> bool {
    out.format == Format::Table && io::stdin().is_terminal() && io::stderr().is_terminal()
}

/// What is imported.
#[derive(Clone, Copy)]
pub(super) struct From<'a> {
    /// The file.
    pub file: &'a Path,
    /// The mapping that was given.
    pub map: Option<&'a Path>,
}

/// Asks what the file leaves open, until nothing is or the person has enough,
/// and puts the answers into `options`.
pub(super) fn questions(
    globals: &Globals,
    from: From<'_>,
    sheet: &Sheet,
    options: &mut Options,
    out: &mut Out,
) -> Result<(), Failure> {
    let opened = open::trial(globals)?;
    let mut asked = Asked::default();
    loop {
        let taken = load::look(sheet, options, &opened.book)?;
        let before = asked.answered;
        for question in open_questions(&taken) {
            if asked.is_over {
                break;
            }
            asked.ask(&question, options, out)?;
        }
        if asked.is_over || asked.answered == before {
            break;
        }
    }
    if asked.answered == 0 { Ok(()) } else { remember(from, &options.answers, out) }
}

/// One thing to ask: a cell, and how many more say the same.
struct Question {
    cell: CellVerdict,
    readings: Vec<String>,
    count: usize,
}

/// The questions of a report, each text of a column once.
fn open_questions(taken: &Report) -> Vec<Question> {
    let mut all: Vec<Question> = Vec::new();
    for cell in &taken.verdicts {
        let Verdict::Question { readings } = &cell.verdict else { continue };
        // What is asked of a row as a whole has no cell to be read otherwise.
        if cell.place.header.is_empty() || cell.raw.is_empty() {
            continue;
        }
        let same = |known: &&mut Question| {
            known.cell.place.header == cell.place.header && known.cell.raw == cell.raw
        };
        match all.iter_mut().find(same) {
            Some(known) => known.count += 1,
            None => {
                let (cell, readings) = (cell.clone(), readings.clone());
                all.push(Question { cell, readings, count: 1 });
            }
        }
    }
    all
}

#[derive(Default)]
struct Asked {
    answered: usize,
    is_over: bool,
    left_open: HashSet<(String, String)>,
}

impl Asked {
    fn ask(
        &mut self,
        question: &Question,
        options: &mut Options,
        out: &mut Out,
    ) -> Result<(), Failure> {
        let CellVerdict { place, raw, .. } = &question.cell;
        let key = (place.header.clone(), raw.clone());
        if self.left_open.contains(&key) {
            return Ok(());
        }
        out.complain(&words(question));
        let hint = if question.readings.is_empty() { "What" } else { "Number, or what" };
        let more = "to read in its place (Enter: leave it open, q: ask no more)";
        let Some(answer) = line(&format!("{hint} {more}: "), out)? else {
            self.is_over = true;
            return Ok(());
        };
        let number = answer.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
        let listed = number.and_then(|at| question.readings.get(at));
        let text = match (answer.as_str(), listed) {
            ("", _) => {
                self.left_open.insert(key);
                return Ok(());
            }
            ("q" | "Q", _) => {
                self.is_over = true;
                return Ok(());
            }
            (_, Some(reading)) => reading,
            (own, None) => own,
        };
        options.answers.say(&place.header, raw, text);
        self.answered += 1;
        Ok(())
    }
}

/// The cell, why it is asked for, and its readings.
fn words(question: &Question) -> String {
    let CellVerdict { place, raw, reason, advice, .. } = &question.cell;
    let more = match question.count {
        1 => String::new(),
        count => format!(" and {} more", count - 1),
    };
    let mut text = format!(
        "\n{} {} `{}`{more}: {}",
        place.address(),
        printable(&place.header),
        printable(raw),
        // Most reasons say the cell once more.
        printable(reason.strip_prefix(&format!("`{raw}`: ")).unwrap_or(reason))
    );
    for (at, reading) in question.readings.iter().enumerate() {
        text.extend(["\n  ", &(at + 1).to_string(), "  ", &printable(reading)]);
    }
    if question.readings.is_empty() {
        text.extend(["\n  ", &*printable(advice)]);
    }
    text
}

/// Keeps the answers in the mapping that was given, or in one that is offered.
fn remember(from: From<'_>, answers: &Answers, out: &mut Out) -> Result<(), Failure> {
    if let Some(map) = from.map {
        let text = std::fs::read_to_string(map)
            .map_err(|error| refused(format!("{}: {error}", map.display())))?;
        return keep(map, &intake::with_answers(&text, answers), out);
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
        return keep(&file, &intake::with_answers(&head, answers), out);
    }
}

/// Writes the mapping whole or not at all.
fn keep(file: &Path, text: &str, out: &mut Out) -> Result<(), Failure> {
    file_out::write(file, text.as_bytes(), false)?;
    out.complain(&format!("Answers kept in {}: import with --map.", file.display()));
    Ok(())
}
