//! `calc`: sums of one joint, without the book's fasteners.
//!
//! Each form reads its options, asks `mechanics` and hands a sum to `report`,
//! which draws it with the working.

mod adapter;
mod bolt;
mod engage;
mod heat;
mod misplaced;
mod prevailing;
mod read;
mod strength;
mod stretch;
mod sum;
mod turn;

use crate::cli::exit::{Code, Failure};
use crate::cli::globals::Globals;
use crate::cli::out::Out;
use crate::cli::question;
use adapter::Adapter;
use engage::Engage;
use heat::Heat;
pub(super) use misplaced::{before_form, hinted};
use prevailing::Prevailing;
use read::assumed_pitch;
use stretch::Stretch;
use sum::SumArgs;
use turn::Turn;

const CALC_EXAMPLES: &str = "\
Examples:
  clampbook calc 7/16-20 --yield 180ksi --lube moly --target \"75% yield\"
  clampbook calc M10x1.5 --strength 10.9 --lube oil --torque 60Nm
  clampbook calc M12x1.25 --strength 8.8 --mu 0.12 --target \"90% combined\" --why
  clampbook calc 7/16-20 --hole-thread 7/16-14 --yield 180ksi \\
      --k 0.09..0.12..0.16 --torque 65lb-ft
  clampbook calc stretch --help      stretch, turn, engage, heat, adapter, prevailing

With --lube the factors are the book's, with --k or --mu they are yours: none is
ever assumed. --k is the short form T = K·d·F. --mu is the long form, which needs
the face that slides: --bearing, else the standard hex head over a medium hole,
and the answer says so. A range LOW..HIGH or LOW..NOMINAL..HIGH gives the band of
the clamp; without one it is the published scatter of the method.
A target above proof is refused; \"90% combined\" is an answer, not a
recommendation.";

// `calc`
#[derive(Debug, clap::Args)]
#[command(
    subcommand_negates_reqs = true,
    override_usage = "clampbook calc [OPTIONS] <THREAD>\n       clampbook calc <COMMAND>",
    after_long_help = CALC_EXAMPLES
)]
pub(in crate::cli) struct Calc {
    /// Another sum than torque and clamp
    #[command(subcommand)]
    form: Option<CalcForm>,
    #[command(flatten)]
    sum: SumArgs,
    /// Also print the working: formulas, values, published sources
    #[arg(long, global = true)]
    why: bool,
}

// The other sums.
#[derive(Debug, clap::Subcommand)]
enum CalcForm {
    /// Stretch of a clamp, clamp of a stretch, permanent set of a used bolt
    Stretch(Box<Stretch>),
    /// Clamp that a turn adds on a known joint, turn for a clamp
    Turn(Box<Turn>),
    /// Engagement and strip strength
    Engage(Box<Engage>),
    /// Change of clamp with temperature
    Heat(Box<Heat>),
    /// Wrench setting with a crowfoot, an extension or a multiplier
    Adapter(Adapter),
    /// Wrench setting on a thread that locks
    Prevailing(Prevailing),
}

impl Calc {
    fn threads(&self) -> [Option<&String>; 2] {
        match &self.form {
            None => [self.sum.thread.as_ref(), self.sum.hole_thread.as_ref()],
            Some(CalcForm::Stretch(stretch)) => [stretch.thread.as_ref(), None],
            Some(CalcForm::Turn(turn)) => [Some(&turn.thread), None],
            Some(CalcForm::Engage(engage)) => [Some(&engage.thread), None],
            Some(CalcForm::Heat(heat)) => [heat.thread.as_ref(), None],
            Some(CalcForm::Adapter(_) | CalcForm::Prevailing(_)) => [None, None],
        }
    }
}

pub(super) fn run(globals: &Globals, calc: &Calc, out: &mut Out) -> Result<Code, Failure> {
    let mut page = match &calc.form {
        None => sum::page(globals, &calc.sum)?,
        Some(CalcForm::Stretch(stretch)) => stretch::page(globals, stretch)?,
        Some(CalcForm::Turn(turn)) => turn::page(globals, turn)?,
        Some(CalcForm::Engage(engage)) => engage::page(globals, engage)?,
        Some(CalcForm::Heat(heat)) => heat::page(heat)?,
        Some(CalcForm::Adapter(adapter)) => adapter::page(adapter)?,
        Some(CalcForm::Prevailing(prevailing)) => prevailing::page(prevailing)?,
    };
    for assumed in calc.threads().into_iter().flatten().filter_map(|text| assumed_pitch(text)) {
        page.assume(assumed);
    }
    let code = if page.is_refused() { Code::Nothing } else { Code::Answered };
    out.page(&page.page(&question::units(globals)?, calc.why));
    Ok(code)
}
