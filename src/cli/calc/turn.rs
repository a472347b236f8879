//! `calc turn`: the clamp that a turn adds on a known joint, and back.

use crate::cli::args::Args;
use crate::cli::calc::args::Turn;
use crate::cli::calc::bolt::{bolt, joint, layers};
use crate::cli::calc::read::{of_sum, stated, thread};
use crate::cli::calc::strength::{self, fastener, near};
use crate::cli::exit::Failure;
use crate::quantity::{Angle, Force, Stated};
use crate::report::calc::{Page, TurnAim, TurnSum};

/// The sum as a page.
pub(super) fn page(args: &Args, given: &Turn) -> Result<Page, Failure> {
    let turned = thread("THREAD", &given.thread)?;
    let bolt = bolt(&given.bolt, Some(&turned))?;
    let layers = layers(&given.parts)?;
    let joint = joint(&bolt, &given.parts, &layers, Some(&turned))?;
    let turn: Option<Stated<Angle>> = stated("--turn", given.angle.as_ref())?;
    let clamp: Option<Stated<Force>> = stated("--clamp", given.clamp.as_ref())?;
    let snug: Option<Stated<Force>> = stated("--snug", given.snug.as_ref())?;
    let pitch = turned.pitch().length();
    let (aim, turn, added) = match (turn, clamp) {
        (Some(turn), _) => {
            let added = joint.joint.clamp_for_turn(turn.value(), pitch).map_err(of_sum)?;
            (TurnAim::Turn(turn), turn.value(), added)
        }
        (None, Some(clamp)) => {
            let turn = joint.joint.turn_for_clamp(clamp.value(), pitch).map_err(of_sum)?;
            (TurnAim::Clamp(clamp), turn, clamp.value())
        }
        (None, None) => {
            let message = "give --turn to find the clamp, or --clamp to find the turn";
            return Err(Failure::Argument(message.to_owned()));
        }
    };
    let tables = strength::tables(args, given.strength.strength.is_some())?;
    let fastener = fastener(Some(turned.clone()), &given.strength, bolt.waist, &tables)?;
    let total = snug.map_or(added, |snug| snug.value() + added);
    let near = near(&strength::known(&fastener, &tables), total);
    Ok(TurnSum { thread: turned, joint, aim, turn, added, snug, near }.page())
}
