//! `calc prevailing`: wrench setting on a thread that locks.

use crate::cli::calc::args::{Prevailing, RuleArg};
use crate::cli::calc::read::{of_sum, quantity, stated, wrong};
use crate::cli::exit::Failure;
use crate::mechanics::{self, PrevailingRule, clamping_torque, wrench_torque};
use crate::quantity::{Stated, Torque};
use crate::report::calc::{Page, PrevailingSum};

/// The sum as a page.
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
    let wrench = |prevailing| wrench_torque(sheet.value(), prevailing, rule).map_err(of_sum);
    let clamps = |shown, running| clamping_torque(shown, running).map_err(of_sum);
    let is_unknown = given.rule == RuleArg::Unknown;
    let clamping = match (given.rule, added) {
        (RuleArg::Included, Some(running)) => Some(clamps(sheet.value(), running)?),
        (RuleArg::Included, None) | (RuleArg::Unknown, _) => None,
        // What the wrench shows, less the drag: added or not, it does not clamp.
        (RuleArg::ToAdd | RuleArg::FromAThird, Some(running)) => {
            Some(clamps(wrench(prevailing)?, running)?)
        }
        (RuleArg::None | RuleArg::ToAdd | RuleArg::FromAThird, _) => Some(sheet.value()),
    };
    let either = match added {
        Some(running) if is_unknown => Some([sheet.value(), wrench(running)?]),
        _ => None,
    };
    let shown = if is_unknown { None } else { Some(wrench(prevailing)?) };
    let sum =
        PrevailingSum { stated: sheet, running, prevailing, rule, wrench: shown, clamping, either };
    Ok(sum.page())
}
