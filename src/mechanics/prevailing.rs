//! Torque that a locking thread eats before anything is clamped.

use crate::mechanics::MechanicsError;
use crate::mechanics::error::positive;
use crate::mechanics::formula::Formula;
use crate::quantity::Torque;

pub static LESS_PREVAILING: Formula =
    Formula::new("T = Tsheet − Tprev", "AC 43.13-1B (1998), 7-40");

pub static ADD_PREVAILING: Formula =
    Formula::new("Twrench = T + Tprev", "AC 43.13-1B (1998), 7-40");

pub static ADD_FROM_THIRD: Formula =
    Formula::new("Twrench = T + Tprev if Tprev ≥ T/3, else T", "US Army TB 43-0218");

/// What is known of prevailing torque.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Prevailing {
    None,
    /// The stated torque includes it already.
    Included,
    /// Add this, as read on the wrench while running down, before contact.
    ToAdd(Torque),
    /// There is some, and nobody said whether the stated value includes it.
    Unknown,
}

/// When prevailing torque is added. Printed rules differ.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PrevailingRule {
    /// Always (AC 43.13-1B, 7-40).
    #[default]
    Always,
    /// Only when it is a third of the stated torque or more (US Army TB 43-0218).
    FromOneThird,
}

/// What the wrench must show for `stated`: T + T_prev under `rule`. Unknown is
/// an error that asks.
pub fn wrench_torque(
    stated: Torque,
    prevailing: Prevailing,
    rule: PrevailingRule,
) -> Result<Torque, MechanicsError> {
    let stated = positive("torque", stated)?;
    match prevailing {
        Prevailing::None | Prevailing::Included => Ok(stated),
        Prevailing::ToAdd(running) => {
            let running = positive("prevailing torque", running)?;
            let ignored = rule == PrevailingRule::FromOneThird && running * 3.0 < stated;
            Ok(if ignored { stated } else { stated + running })
        }
        Prevailing::Unknown => Err(MechanicsError::NotStated {
            field: "prevailing torque",
            purpose: "say whether the stated torque includes it, or how much to add",
        }),
    }
}

/// The torque that clamps when the wrench shows `shown`: what is left after the
/// prevailing torque, whatever rule the wrench was set by: a running torque that
/// a rule leaves out of the setting still does not clamp. `Included` still holds
/// the unknown part and is an error, as is `Unknown`.
pub fn clamping_torque(shown: Torque, prevailing: Prevailing) -> Result<Torque, MechanicsError> {
    let shown = positive("torque", shown)?;
    match prevailing {
        Prevailing::None => Ok(shown),
        Prevailing::ToAdd(running) => {
            let running = positive("prevailing torque", running)?;
            positive("torque less prevailing torque", shown - running)
        }
        Prevailing::Included | Prevailing::Unknown => Err(MechanicsError::NotStated {
            field: "prevailing torque",
            purpose: "the clamp needs to know how much of the torque the locking thread takes",
        }),
    }
}
