//! `man`: the manual, made from the arguments themselves and from [`about`].

use std::fs;
use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};
use std::process;

use clap_mangen::Man as Pages;
use clap_mangen::roff::{Roff, bold, roman};

use crate::cli::about;
use crate::cli::exit::{Code, Failure};
use crate::cli::out::Out;
use crate::report::SAFETY;

// `man`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook man
  clampbook man > clampbook.1
  clampbook man --dir ~/.local/share/man/man1

On a terminal the page is shown by `man`.")]
pub(super) struct Man {
    /// Write the page of the program and one of each command into this folder
    #[arg(long, value_name = "DIR")]
    pub dir: Option<PathBuf>,
}

pub(super) fn run(asked: &Man, program: clap::Command, out: &mut Out) -> Result<Code, Failure> {
    let mut program = program.disable_help_subcommand(true);
    program.build();
    if let Some(dir) = &asked.dir {
        fs::create_dir_all(dir).map_err(Failure::Output)?;
        let written = write_all(&program, dir)?;
        out.answer(&format!("{}: {written} pages.", dir.display()));
        return Ok(Code::Answered);
    }
    let page = page(&program)?;
    if io::stdout().is_terminal() && is_shown(&page) {
        return Ok(Code::Answered);
    }
    out.data(&String::from_utf8_lossy(&page));
    Ok(Code::Answered)
}

/// Writes the pages of a command and of all below it; how many.
fn write_all(command: &clap::Command, dir: &Path) -> Result<usize, Failure> {
    let name = command.get_display_name().unwrap_or_else(|| command.get_name());
    fs::write(dir.join(format!("{name}.1")), page(command)?).map_err(Failure::Output)?;
    let below = command.get_subcommands().filter(|one| one.get_name() != "help");
    below.map(|one| write_all(one, dir)).try_fold(1, |sum, written| Ok(sum + written?))
}

/// Shows a page with `man`; whether it could.
fn is_shown(page: &[u8]) -> bool {
    let Ok(folder) = tempfile::tempdir() else { return false };
    let file = folder.path().join("clampbook.1");
    let man = || process::Command::new("man").arg(&file).status();
    fs::write(&file, page).and_then(|()| man()).is_ok_and(|status| status.success())
}

fn page(command: &clap::Command) -> Result<Vec<u8>, Failure> {
    let mut page = Vec::new();
    written(command, &mut page)
        .map_err(|error| anyhow::Error::new(error).context("the manual page"))?;
    Ok(page)
}

fn written(command: &clap::Command, to: &mut Vec<u8>) -> io::Result<()> {
    let is_whole = command.get_name() == "clampbook";
    let pages = Pages::new(command.clone());
    pages.render_title(to)?;
    pages.render_name_section(to)?;
    pages.render_synopsis_section(to)?;
    pages.render_description_section(to)?;
    if is_whole {
        table("QUESTIONS", about::QUESTIONS).to_writer(to)?;
    }
    pages.render_options_section(to)?;
    if command.get_subcommands().next().is_some() {
        pages.render_subcommands_section(to)?;
    }
    if is_whole {
        examples(about::EXAMPLES).to_writer(to)?;
        table("EXIT STATUS", about::EXIT_STATUS).to_writer(to)?;
        table("ENVIRONMENT", about::ENVIRONMENT).to_writer(to)?;
        table("FILES", about::FILES).to_writer(to)?;
    } else if let Some(text) = command.get_after_long_help() {
        examples(&text.to_string()).to_writer(to)?;
    }
    Roff::new().control("SH", ["SAFETY"]).text([roman(SAFETY)]).to_writer(to)
}

/// Names with what is said of each.
fn table(title: &str, rows: &[(&str, &str)]) -> Roff {
    let mut roff = Roff::new();
    roff.control("SH", [title]);
    for (name, text) in rows {
        roff.control("TP", []).text([bold(*name)]).text([roman(*text)]);
    }
    roff
}

/// The examples as they are typed, and what is said after them.
fn examples(text: &str) -> Roff {
    let (lines, rest) = text.split_once("\n\n").unwrap_or((text, ""));
    let mut roff = Roff::new();
    roff.control("SH", ["EXAMPLES"]).control("nf", []);
    for line in lines.lines().skip(1) {
        roff.text([roman(line)]);
    }
    roff.control("fi", []);
    for paragraph in rest.split("\n\n").filter(|paragraph| !paragraph.is_empty()) {
        roff.control("PP", []).text([roman(paragraph.replace('\n', " "))]);
    }
    roff
}
