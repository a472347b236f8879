//! Why a figure is not restated. Each reason is one kind with its own words.

use std::fmt::Display;

/// Why a setting may not be restated for another lube. The words follow
/// "refused: ".
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// An angle: it counts thread pitch, not friction.
    #[error("an angle setting is never converted")]
    Angle,
    /// A stretch: the lube does not change the target.
    #[error("a stretch setting does not depend on the lube: use the stretch")]
    Stretch,
    /// Only a maximum is known.
    #[error("only a maximum is stated: no value to convert")]
    Maximum,
    /// No torque at all.
    #[error("torque not stated")]
    NoTorque,
    /// No thread.
    #[error("thread not stated")]
    NoThread,
    /// The source itself has a value for the lube.
    #[error("{lube} is listed at {listed}: a listed value is never replaced")]
    Listed {
        /// The lube.
        lube: String,
        /// What the source lists for it.
        listed: String,
    },
    /// Thrown away after one use: tightened to yield as a rule.
    #[error("a single-use fastener is never converted")]
    SingleUse,
    /// A newer figure replaces the source value.
    #[error("the listed value is superseded: convert the newer one")]
    Superseded,
    /// The sheet does not say which lube its torque is for.
    #[error("the lube of the listed torque is not stated")]
    SourceLubeUnknown,
    /// The lube of the source value is not in the tables.
    #[error("{0} is not among the lubes of the book: no factor for it")]
    SourceLubeMissing(String),
    /// Two different lubes on threads and face.
    #[error("threads and face carry different lubes")]
    TwoLubes,
    /// Dry to wet raises clamp at a torque; wet to dry raises the torque.
    #[error("wet to dry is never converted")]
    WetToDry,
    /// The lube locks or seals and has no factor that could be trusted.
    #[error("no listed value for this compound")]
    Compound,
    /// The source value is for a locking or sealing compound.
    #[error("the listed value is for {0}, which is never converted")]
    FromCompound(String),
    /// The thread that turns carries a compound beside the lube.
    #[error("the threads are sealed ({0}): the lube alone does not decide the friction")]
    Sealed(String),
    /// The lube is marked as not convertible.
    #[error("{0} may not be converted")]
    NotConvertible(String),
    /// A lube without any factor.
    #[error("no factor for {0}: ask the maker")]
    NoFactor(String),
    /// The factors are of two forms.
    #[error("{0} and {1} have no factor of the same kind")]
    FormsDiffer(String, String),
    /// A factor without a source.
    #[error("the factor of {0} has no source")]
    NoSource(String),
    /// A plating or coating is part of the fastener: with another lube on it,
    /// or without it, the friction is a third one.
    #[error("a plated or coated fastener has no factor for another lube")]
    Coated,
    /// Aluminium, titanium or stainless gall: their friction is not the table's.
    #[error("{0} in the pair: friction of steel does not hold")]
    Material(&'static str),
    /// A joint on which a wrong clamp can kill.
    #[error("{0} joint: the maker's procedure only")]
    Duty(&'static str),
    /// The source forbids it.
    #[error("the source allows no other lube")]
    ThisLubeOnly,
    /// The row itself is computed.
    #[error("a computed value is not converted again")]
    Computed,
    /// A locking thread whose running torque is not known.
    #[error("prevailing torque unknown: measure it first")]
    Prevailing,
    /// A locking thread of which nobody said how its torque counts.
    #[error("not stated whether the listed value includes the prevailing torque: ask")]
    PrevailingRule,
    /// The result would pass proof, or 90 % of yield where proof is unknown.
    #[error("would reach {percent} % of {limit} in the {place}")]
    TooHigh {
        /// Per cent reached, rounded up.
        percent: u32,
        /// "proof" or "yield".
        limit: &'static str,
        /// The section.
        place: String,
    },
    /// The result would pass yield while tightening, torsion counted.
    #[error("would reach {percent} % of yield in the {place} with the torsion of tightening")]
    Combined {
        /// Per cent reached, rounded up.
        percent: u32,
        /// The section.
        place: String,
    },
    /// A section of the fastener is not known: it could be the weakest.
    #[error("the weakest section is not known: check the hole thread and the waist")]
    NoSection,
    /// The arithmetic itself refused.
    #[error("{0}")]
    Arithmetic(String),
}

impl Refusal {
    /// What the arithmetic says.
    pub(super) fn arithmetic(error: impl Display) -> Self {
        Self::Arithmetic(error.to_string())
    }
}
