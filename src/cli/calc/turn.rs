//! `calc turn`: the clamp that a turn adds on a known joint, and back.

use crate::cli::calc::bolt::{BoltArgs, PartsArgs, bolt, joint, layers};
use crate::cli::calc::read::{of_sum, thread};
use crate::cli::calc::strength::{StrengthArgs, known, near};
use crate::cli::exit::{Failure, argument};
use crate::cli::globals::Globals;
use crate::cli::typed::stated;
use crate::quantity::{Angle, Force, Stated};
use crate::report::calc::{Page, TurnAim, TurnSum};

/// `calc turn`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook calc turn M10x1.5 --shank 10mm,60mm --free-thread 20mm \\
      --layer 80mm,aluminium --turn 90deg
  clampbook calc turn M10x1.5 --shank 10mm,60mm --free-thread 20mm \\
      --layer 80mm,\"grey iron\" --clamp 30kN
  clampbook calc turn M20x2 --shank 20mm,600mm --ends none --material 200GPa \\
      --sleeve 40mm,28mm,600mm,120GPa --turn 0.25turn
  clampbook calc turn M10x1.5 --bolt-stiffness 150kN/mm \\
      --parts-stiffness 600kN/mm --snug 8kN --turn 60deg

The turn counts from snug, faces closed; the clamp at snug comes on top. An angle
is never turned back into a torque.")]
pub(super) struct Turn {
    /// The thread, with its pitch
    pub thread: String,
    #[command(flatten)]
    pub bolt: BoltArgs,
    #[command(flatten)]
    pub parts: PartsArgs,
    #[command(flatten)]
    pub strength: StrengthArgs,
    /// Turn from snug, to find the clamp that it adds
    #[arg(long = "turn", group = "turned", value_name = "ANGLE")]
    pub angle: Option<String>,
    /// Clamp to add from snug, to find the turn
    #[arg(long, group = "turned", value_name = "FORCE")]
    pub clamp: Option<String>,
    /// Clamp at snug, where it is known
    #[arg(long, value_name = "FORCE")]
    pub snug: Option<String>,
}

pub(super) fn page(globals: &Globals, given: &Turn) -> Result<Page, Failure> {
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
            return argument("give --turn to find the clamp, or --clamp to find the turn");
        }
    };
    let known = known(globals, Some(turned.clone()), &given.strength, bolt.waist)?;
    let near = near(&known, snug.map_or(added, |snug| snug.value() + added));
    Ok(TurnSum { thread: turned, joint, aim, turn, added, snug, near }.page())
}
