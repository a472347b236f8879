//! `lubes`: every lube for the fasteners of a question.

use std::path::PathBuf;

use crate::cli::complete;
use crate::cli::exit::{Code, Failure};
use crate::cli::file_out;
use crate::cli::globals::Globals;
use crate::cli::out::Out;
use crate::cli::progress::Progress;
use crate::cli::{open, question};
use crate::correction::{Comparison, Comparisons};
use crate::report::{self, LubesWish};

// `lubes`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook lubes suction flange
  clampbook lubes joint drive, M16
  clampbook lubes suction flange --chart
  clampbook lubes assembly \"Stilt 60 press\", bolster

A block for each fastener: every lube that one would put on it with its torque,
those that have none, and what the listed torque would do with a wrong one.")]
pub(super) struct Lubes {
    /// The question that picks the fasteners
    #[arg(required = true, value_name = "QUESTION", add = complete::question())]
    pub question: Vec<String>,
    /// Say of each lube without a figure why it has none
    #[arg(long)]
    pub why: bool,
    /// Draw the clamp of each lube with its band against proof and yield
    #[arg(long)]
    pub chart: bool,
    /// The chart as a picture in this file (SVG)
    #[arg(short, long, value_name = "FILE", requires = "chart")]
    pub output: Option<PathBuf>,
    /// Replace the file if it is there
    #[arg(long, requires = "output")]
    pub replace: bool,
}

pub(super) fn run(globals: &Globals, lubes: &Lubes, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(globals)?;
    let answer = question::ask(globals, &lubes.question, &opened.book)?;
    if answer.rows.is_empty() {
        question::draw(&answer, out);
        return Ok(Code::Nothing);
    }
    let all = Comparisons::new(&answer.rows, opened.book.tables());
    match &lubes.output {
        Some(file) => {
            let progress = Progress::spinner("comparing", globals);
            let svg = report::lubes_chart_svg(all, &answer.units);
            drop(progress);
            file_out::write(file, svg.as_bytes(), lubes.replace)?;
            out.say(&format!("wrote {}", file.display()));
        }
        None => {
            let wish = match (lubes.chart, lubes.why) {
                (true, _) => LubesWish::Chart,
                (false, true) => LubesWish::Reasons,
                (false, false) => LubesWish::Plain,
            };
            out.page(&report::lubes_page(all, &answer.units, wish));
        }
    }
    let is_answered = |one: Comparison| one.rows.iter().any(|row| row.refused.is_none());
    Ok(if all.each().any(is_answered) { Code::Answered } else { Code::Nothing })
}
