//! `calc prevailing`: wrench setting on a thread that locks.

use crate::cli::calc::read::of_sum;
use crate::cli::exit::{Failure, wrong};
use crate::cli::typed::{quantity, stated};
use crate::mechanics::{self, PrevailingRule, clamping_torque, wrench_torque};
use crate::quantity::{Stated, Torque};
use crate::report::calc::{Page, PrevailingSum};

/// `calc prevailing`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook calc prevailing --torque 50lb-in --prevailing 30lb-in --rule to-add
  clampbook calc prevailing --torque 40Nm --prevailing 6Nm --rule included
  clampbook calc prevailing --torque 40Nm --prevailing 6Nm

Where nobody says whether the stated torque includes it, both readings are shown
and the answer is refused: ask the sheet. from-a-third adds it only when it is a
third of the stated torque or more, as one printed rule has it.")]
pub(super) struct Prevailing {
    /// Torque as the sheet states it
    #[arg(long)]
    pub torque: String,
    /// Prevailing torque, read on the wrench while running down, before contact
    #[arg(long = "prevailing", value_name = "TORQUE")]
    pub running: Option<String>,
    /// How the two belong together
    #[arg(long, value_enum, default_value_t = RuleArg::Unknown)]
    pub rule: RuleArg,
}

/// How a prevailing torque belongs to a stated one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum RuleArg {
    /// The stated torque includes it.
    Included,
    /// It is added.
    ToAdd,
    /// It is added when it is a third of the stated torque or more.
    FromAThird,
    /// The thread runs freely.
    None,
    /// Nobody says.
    Unknown,
}

pub(super) fn page(given: &Prevailing) -> Result<Page, Failure> {
    let sheet: Stated<Torque> = quantity("--torque", &given.torque)?;
    let running: Option<Stated<Torque>> = stated("--prevailing", given.running.as_ref())?;
    let needed =
        || wrong("--prevailing", "give the torque read while running down, before contact");
    let added = running.map(|running| mechanics::Prevailing::ToAdd(running.value()));
    let prevailing = match given.rule {
        RuleArg::None => mechanics::Prevailing::None,
        RuleArg::Included => mechanics::Prevailing::Included,
        RuleArg::Unknown => mechanics::Prevailing::Unknown,
        RuleArg::ToAdd | RuleArg::FromAThird => added.ok_or_else(needed)?,
    };
    let rule = match given.rule {
        RuleArg::FromAThird => PrevailingRule::FromOneThird,
        _ => PrevailingRule::Always,
    };
    let shown = |prevailing| wrench_torque(sheet.value(), prevailing, rule).map_err(of_sum);
    let (wrench, either) = match (given.rule, added) {
        (RuleArg::Unknown, Some(running)) => (None, Some([sheet.value(), shown(running)?])),
        (RuleArg::Unknown, None) => (None, None),
        _ => (Some(shown(prevailing)?), None),
    };
    let clamping = match (given.rule, wrench, added) {
        (RuleArg::Included, _, None) => None,
        // What the wrench shows, less the drag: added or not, it does not clamp.
        (rule, Some(wrench), Some(running)) if rule != RuleArg::None => {
            Some(clamping_torque(wrench, running).map_err(of_sum)?)
        }
        _ => wrench,
    };
    Ok(PrevailingSum { stated: sheet, running, prevailing, rule, wrench, clamping, either }.page())
}
