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
    #[error("only a maximum is stated: no value to convert")]
    Maximum,
    #[error("torque not stated")]
    NoTorque,
    #[error("thread not stated")]
    NoThread,
    #[error("{lube} is listed at {listed}: a listed value is never replaced")]
    Listed { lube: String, listed: String },
    /// Thrown away after one use: tightened to yield as a rule.
    #[error("a single-use fastener is never converted")]
    SingleUse,
    #[error("the listed value is superseded: convert the newer one")]
    Superseded,
    #[error("the lube of the listed torque is not stated")]
    SourceLubeUnknown,
    #[error("{0} is not among the lubes of the book: no factor for it")]
    SourceLubeMissing(String),
    #[error("threads and face carry different lubes")]
    TwoLubes,
    /// Dry to wet raises clamp at a torque; wet to dry raises the torque.
    #[error("wet to dry is never converted")]
    WetToDry,
    /// The lube locks or seals and has no factor that could be trusted.
    #[error("no listed value for this compound")]
    Compound,
    #[error("the listed value is for {0}, which is never converted")]
    FromCompound(String),
    #[error("the threads are sealed ({0}): the lube alone does not decide the friction")]
    Sealed(String),
    #[error("{0} may not be converted")]
    NotConvertible(String),
    #[error("no factor for {0}: ask the maker")]
    NoFactor(String),
    #[error("{0} and {1} have no factor of the same kind")]
    FormsDiffer(String, String),
    #[error("the factor of {0} has no source")]
    NoSource(String),
    /// A plating or coating is part of the fastener: with another lube on it,
    /// or without it, the friction is a third one.
    #[error("a plated or coated fastener has no factor for another lube")]
    Coated,
    #[error("the finish `{words}` is not known: edit {key} finish=… in the words of `plain`")]
    UnknownFinish { words: String, key: String },
    #[error("finish not stated: a dry value holds for plain steel only (edit {key} finish=plain)")]
    FinishNotStated { key: String },
    /// Aluminium, titanium or stainless gall: their friction is not the table's.
    #[error("{0} in the pair: friction of steel does not hold")]
    Material(&'static str),
    #[error("what `{words}` is made of is not known: where it is steel, edit {settle}")]
    UnknownStrength {
        words: String,
        /// What the command `edit` is given to settle it.
        settle: String,
    },
    /// A hole in a material that the table of materials does not know.
    #[error(
        "the hole material `{words}` is not known: edit {key} hole-material=… (steel, cast iron)"
    )]
    UnknownHole { words: String, key: String },
    /// A joint on which a wrong clamp can kill.
    #[error("{0} joint: the maker's procedure only")]
    Duty(&'static str),
    #[error(
        "`{word}` says {duty}: the maker's procedure only; where it is none, edit {key} duty=engine"
    )]
    DutyWord { word: String, duty: &'static str, key: String },
    /// A plug seals or sits on a gasket: its torque is no clamp.
    #[error("a plug is never converted")]
    Plug,
    #[error("`{word}` says single use; where it may be used again, edit {key} reuse=reusable")]
    ReuseWord { word: String, key: String },
    #[error(
        "`{word}` says that the thread locks: edit {key} with its prevailing torque and \
         prevailing-rule=included"
    )]
    LockingWord { word: String, key: String },
    #[error("a chart is for no particular joint: its value is never converted")]
    Chart,
    #[error("this fastener is governed by {0}: a torque beside it is never converted")]
    Governed(&'static str),
    #[error("two current values for {lube}, {} and {}: mark one superseded first", values[0], values[1])]
    Disagree { lube: String, values: [String; 2] },
    #[error("the listed value is at {percent} % of {limit}: too near to convert")]
    NearProof {
        /// Per cent, rounded up.
        percent: u32,
        /// "proof" or "yield".
        limit: &'static str,
    },
    #[error("the source allows no other lube")]
    ThisLubeOnly,
    #[error("a computed value is not converted again")]
    Computed,
    #[error("prevailing torque unknown: measure it first")]
    Prevailing,
    #[error("not stated whether the listed value includes the prevailing torque: ask")]
    PrevailingRule,
    /// The result would pass proof, or 90 % of yield where proof is unknown.
    #[error("would reach {percent} % of {limit} in the {place}")]
    TooHigh {
        /// Per cent reached, rounded up.
        percent: u32,
        /// "proof" or "yield".
        limit: &'static str,
        place: String,
    },
    #[error("would reach {percent} % of yield in the {place} with the torsion of tightening")]
    Combined {
        /// Per cent reached, rounded up.
        percent: u32,
        place: String,
    },
    /// A section of the fastener is not known: it could be the weakest.
    #[error("the weakest section is not known: check the hole thread and the waist")]
    NoSection,
    /// What the arithmetic itself says, or a question that cannot be answered.
    #[error("{0}")]
    Words(String),
}

impl Refusal {
    pub(crate) fn words(why: impl Display) -> Self {
        Self::Words(why.to_string())
    }

    /// The same without the name of the `lube` that was asked for, so that all lubes of
    /// one reason stand together.
    pub fn of_any_lube(mut self, lube: &str) -> Self {
        if let Self::Listed { lube: name, .. }
        | Self::NotConvertible(name)
        | Self::NoFactor(name)
        | Self::NoSource(name)
        | Self::FormsDiffer(_, name) = &mut self
            && name == lube
        {
            "this lube".clone_into(name);
        }
        self
    }
}
