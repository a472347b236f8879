//! `passes`: the steps to a torque, or those of the rows of a question.

use crate::cli::complete;
use crate::cli::exit::{Code, Failure, argument};
use crate::cli::globals::Globals;
use crate::cli::out::Out;
use crate::cli::wrench::{Chosen, WrenchOptions, suggest, warn_of, with_passes};
use crate::cli::{clock, open, question};
use crate::quantity::{DecimalMark, Extent, Number, Ratio, Torque};
use crate::record::plan_torque;
use crate::report::{self, RowPasses};

// `passes`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook passes 65 lb-ft --steps 3 --graduation \"5 lb-ft\"
  clampbook passes coupling half oil
  clampbook passes coupling half oil --wrench W4
  clampbook passes coupling half oil --wrench W4 --adapter 50mm
  clampbook passes bolster oil --graduation 1lb-ft --wrench-high 250lb-ft

The source's own passes go first. Else three equal steps (common practice, no
source), but only for a plain torque of 20 N.m or more on two or more fasteners
that are neither single-use nor thread-locked.")]
pub(super) struct Passes {
    /// A torque, or a question
    #[arg(required = true, value_name = "TORQUE|QUESTION", add = complete::question())]
    pub what: Vec<String>,
    /// Steps and wrench
    #[command(flatten)]
    pub wrench: WrenchOptions,
}

/// Runs the command: 1 if there is nothing to pull, or not with this wrench.
pub(super) fn run(globals: &Globals, passes: &Passes, out: &mut Out) -> Result<Code, Failure> {
    let typed = passes.what.join(" ");
    if let Ok(torque) = Extent::<Torque>::parse(&typed) {
        return of_torque(globals, torque, passes, out);
    }
    if let Ok(number) = Number::parse(&typed, DecimalMark::Point) {
        return argument(format!(
            "{number} what? write {number} lb-ft, {number} N.m or {number} lb-in"
        ));
    }
    let opened = open::reader(globals)?;
    let answer = question::ask(globals, &passes.what, &opened.book)?;
    if answer.rows.is_empty() {
        question::draw(&answer, out);
        return Ok(Code::Nothing);
    }
    let chosen = passes.wrench.wish(Some(&opened.book))?;
    let rows = with_passes(answer.rows, &opened.book, &chosen.wish)?;
    warn_of(&chosen, out);
    out.page(&report::passes_page(&rows, &answer.units, with_wrench(passes, &chosen)));
    Ok(if rows.iter().any(can_be_pulled) { Code::Answered } else { Code::Nothing })
}

fn of_torque(
    globals: &Globals,
    torque: Extent<Torque>,
    passes: &Passes,
    out: &mut Out,
) -> Result<Code, Failure> {
    let opened = passes.wrench.needs_book().then(|| open::reader(globals)).transpose()?;
    let book = opened.as_ref().map(|opened| &opened.book);
    let chosen = passes.wrench.wish(book)?;
    let plan = plan_torque(torque, &chosen.wish);
    let mut plan = plan.map_err(|error| Failure::Argument(error.to_string()))?;
    if let Some(book) = book {
        suggest(&mut plan, None, book)?;
    }
    warn_of(&chosen, out);
    let units = question::units(globals)?;
    out.page(&report::torque_passes_page(torque, &plan, &units, with_wrench(passes, &chosen)));
    Ok(if plan.refused.is_some() { Code::Nothing } else { Code::Answered })
}

/// The wrench and adapter that the settings are for; for a program only a wrench of
/// the book.
fn with_wrench(passes: &Passes, chosen: &Chosen) -> Option<report::WithWrench> {
    let words = passes.wrench.in_words(chosen).unwrap_or_default();
    let adapter = passes.wrench.adapter.as_deref();
    match &chosen.wrench {
        Some(wrench) => {
            let gain = chosen.wish.aids.attachment.gain().ok().map(Ratio::value);
            let keys = report::wrench_with_adapter(wrench, clock::today(), adapter, gain);
            Some((words, keys))
        }
        None => adapter.map(|_| (words, report::Keys::default())),
    }
}

fn can_be_pulled(one: &RowPasses) -> bool {
    one.plan.as_ref().is_some_and(|plan| !plan.steps.is_empty() && plan.refused.is_none())
}
