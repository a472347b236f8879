//! The steps in which a torque is pulled.

use crate::procedure::ProcedureError;
use crate::procedure::error::torque_above_0;
use crate::quantity::{Ratio, Torque};

/// Rising steps to a final torque.
#[derive(Debug, Clone, PartialEq)]
pub struct Passes {
    /// The steps, strictly rising; the last is the final torque exactly.
    pub steps: Vec<Torque>,
    /// How many steps were asked for; more than there are when the graduation
    /// is too coarse to tell them apart or to keep them even.
    pub asked: usize,
}

/// How many times the smallest step the largest may be: 1.75. Common practice,
/// no source.
const EVEN: f64 = 1.75;

/// Whether the steps that lead to these torques, the first from nothing, are
/// alike: the largest at most 1.75 times the smallest.
pub fn are_even(torques: &[Torque]) -> bool {
    let mut before = 0.0;
    let mut steps = torques.iter().map(|torque| {
        let step = torque.nm() - before;
        before = torque.nm();
        step
    });
    let first = steps.next().unwrap_or(0.0);
    let (least, most) =
        steps.fold((first, first), |(least, most), step| (least.min(step), most.max(step)));
    most <= EVEN * least * (1.0 + 1e-9)
}

/// Most steps that are taken.
const MOST_STEPS: usize = 20;

/// `count` equal rising steps to `last`, i·T/n, each but the last rounded to
/// the nearest multiple of `graduation`: 65 lb-ft in three steps on a scale of
/// 5 lb-ft is 20, 45, 65.
///
/// A step that the graduation cannot tell from the one before it, or that
/// comes within 10 % of the final value (half an equal step, if that is less),
/// is left out, so that the last pull always turns the fastener; and where a
/// coarse graduation would make one step more than 1.75 times another (20, 60,
/// 83), there are fewer. Three equal
/// steps are common practice, no source; a sheet's own steps go before them.
pub fn equal_passes(
    last: Torque,
    count: usize,
    graduation: Option<Torque>,
) -> Result<Passes, ProcedureError> {
    check_count(count)?;
    let of_count = |fewer: usize| {
        let shares = (1..=fewer).map(|step| step as f64 / fewer as f64);
        let gap = (0.5 / fewer as f64).min(0.1);
        rounded(last, shares, fewer, graduation, gap)
    };
    for fewer in (2..=count).rev() {
        let passes = of_count(fewer)?;
        if are_even(&passes.steps) {
            return Ok(Passes { asked: count, ..passes });
        }
    }
    Ok(Passes { asked: count, ..of_count(1)? })
}

/// Steps at `shares` of `last`, as a sheet gives them (30 %, 70 %, 100 %),
/// rounded as in [`equal_passes`]. Shares must rise strictly and end at 1.
pub fn share_passes(
    last: Torque,
    shares: &[Ratio],
    graduation: Option<Torque>,
) -> Result<Passes, ProcedureError> {
    check_count(shares.len())?;
    let mut before = 0.0;
    for (at, share) in shares.iter().map(|share| share.value()).enumerate() {
        let is_last = at + 1 == shares.len();
        let sound =
            share > before && if is_last { (share - 1.0).abs() < 1e-9 } else { share < 1.0 };
        if !sound {
            return Err(ProcedureError::NotRising { pass: at + 1, percent: share * 100.0 });
        }
        before = share;
    }
    rounded(last, shares.iter().map(|share| share.value()), shares.len(), graduation, 0.0)
}

fn check_count(found: usize) -> Result<(), ProcedureError> {
    if (1..=MOST_STEPS).contains(&found) {
        return Ok(());
    }
    Err(ProcedureError::OutOfRange { field: "steps", found, low: 1, high: MOST_STEPS })
}

fn rounded(
    last: Torque,
    shares: impl Iterator<Item = f64>,
    asked: usize,
    graduation: Option<Torque>,
    gap: f64,
) -> Result<Passes, ProcedureError> {
    let whole = torque_above_0("torque", last)?;
    let grid = graduation.map(|step| torque_above_0("graduation", step)).transpose()?;
    let ceiling = whole * (1.0 - gap);
    let mut steps: Vec<Torque> = Vec::with_capacity(asked);
    for share in shares.take(asked - 1) {
        let exact = whole * share;
        let step = grid.map_or(exact, |grid| (exact / grid).round() * grid);
        let above = step > steps.last().map_or(0.0, |before| before.nm()) + whole * 1e-9;
        if above && step < ceiling - whole * 1e-9 {
            steps.push(Torque::from_nm(step));
        }
    }
    steps.push(last);
    Ok(Passes { steps, asked })
}
