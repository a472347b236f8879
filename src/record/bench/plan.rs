//! The steps in which a fastener is tightened, as data.

use crate::mechanics;
use crate::procedure::{self, ProcedureError, Wrench};
use crate::quantity::{Angle, Extent, Length, Ratio, Stated, Torque, Unit};
use crate::record::{Aids, Fastener, Prevailing};

/// What is asked of the passes: how many, and for which wrench.
#[derive(Debug, Clone, PartialEq)]
pub struct PassWish {
    /// Steps, where they may be made up.
    pub count: usize,
    pub wrench: WrenchWish,
    /// What sits between it and the bolt. The prevailing torque of a fastener
    /// is put in by [`crate::record::plan_passes`].
    pub aids: Aids,
}

impl Default for PassWish {
    /// Three equal steps (common practice, no source), no wrench.
    fn default() -> Self {
        Self { count: 3, wrench: WrenchWish::Unknown, aids: Aids::default() }
    }
}

impl PassWish {
    /// The setting for a torque at the bolt between the limits given; none if
    /// the scale is not known, or nobody settled the prevailing torque.
    pub(crate) fn setting(
        &self,
        aim: Torque,
        floor: Option<Torque>,
        limit: Option<Torque>,
    ) -> Result<Option<procedure::Setting>, ProcedureError> {
        let WrenchWish::Whole(wrench) = self.wrench else { return Ok(None) };
        let at_wrench = |torque: Torque| self.aids.at_wrench(torque).ok();
        let Some(aim) = at_wrench(aim) else { return Ok(None) };
        let limits = (floor.and_then(at_wrench), limit.and_then(at_wrench));
        wrench.setting(aim, limits.0, limits.1).map(Some)
    }

    /// The same for `fastener`, and what its locking thread does to the setting.
    pub(crate) fn for_fastener(&self, fastener: &Fastener) -> (Self, Option<String>) {
        let mut own = self.clone();
        own.aids.prevailing = prevailing_of(fastener);
        let says = match (&self.wrench, own.aids.prevailing) {
            (WrenchWish::Whole(_), mechanics::Prevailing::ToAdd(_)) => {
                fastener.prevailing.map(|running| {
                    format!("wrench settings have the prevailing torque added, {running}")
                })
            }
            (WrenchWish::Whole(_), mechanics::Prevailing::Unknown) => Some(
                "no wrench setting: whether the torque includes the prevailing torque is not known"
                    .to_owned(),
            ),
            _ => None,
        };
        (own, says)
    }
}

/// What is known of the prevailing torque of `fastener`.
pub fn prevailing_of(fastener: &Fastener) -> mechanics::Prevailing {
    match (fastener.prevailing_rule, fastener.prevailing) {
        (None, None) => mechanics::Prevailing::None,
        (Some(Prevailing::ToAdd), Some(running)) => mechanics::Prevailing::ToAdd(running.value()),
        (Some(Prevailing::Included), _) => mechanics::Prevailing::Included,
        _ => mechanics::Prevailing::Unknown,
    }
}

/// What is known of the wrench.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum WrenchWish {
    /// Nothing: steps are not rounded.
    #[default]
    Unknown,
    /// Only what lies between two marks.
    Graduation(Stated<Torque>),
    /// The whole scale; every step is given its setting.
    Whole(Wrench),
}

impl WrenchWish {
    /// Between two marks, and the unit of the scale.
    pub(crate) fn graduation(&self) -> Option<(Torque, &'static Unit)> {
        match self {
            Self::Unknown => None,
            Self::Graduation(stated) => Some((stated.value(), stated.written().unit)),
            Self::Whole(wrench) => Some((wrench.graduation, wrench.unit)),
        }
    }
}

/// Where passes come from.
#[derive(Debug, Clone, PartialEq)]
pub enum PassFrom {
    Source,
    /// clampbook made equal steps; the last once more round the pattern.
    Generated,
    /// They follow from the method: snug, then each angle over the whole
    /// pattern. Never split.
    Method,
    /// One pull, with the reason why there are no more.
    OnePull(String),
}

impl PassFrom {
    /// In a few words.
    pub fn in_words(&self) -> String {
        match self {
            Self::Source => "as the source gives them".to_owned(),
            Self::Generated => "GENERATED: equal steps, common practice".to_owned(),
            Self::Method => "as the method has it; an angle is not split".to_owned(),
            Self::OnePull(why) => format!("one pull: {why}"),
        }
    }

    /// One word for a program.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Source => "source",
            Self::Generated => "generated",
            Self::Method => "method",
            Self::OnePull(_) => "one pull",
        }
    }
}

/// A torque that a pass goes to.
#[derive(Debug, Clone, PartialEq)]
pub struct TorqueStep {
    /// What to aim at; none where only a maximum is stated.
    pub aim: Option<Torque>,
    /// As the source wrote it; none for a step that was worked out.
    pub written: Option<Extent<Torque>>,
    /// The share of the final torque that the source wrote.
    pub share: Option<Stated<Ratio>>,
    /// The unit in which a step that was worked out is shown.
    pub unit: &'static Unit,
    pub on_mark: bool,
    /// What the wrench is set to, if its scale is known.
    pub setting: Option<procedure::Setting>,
}

impl TorqueStep {
    /// A step that was worked out, without a setting.
    pub(crate) fn worked_out(aim: Option<Torque>, unit: &'static Unit) -> Self {
        Self { aim, written: None, share: None, unit, on_mark: false, setting: None }
    }
}

/// One pass: every fastener of the joint is brought to it, in order, before the
/// next one starts.
#[derive(Debug, Clone, PartialEq)]
pub enum PassStep {
    Torque(TorqueStep),
    Turn(Stated<Angle>),
    /// To snug, without a figure.
    Snug,
    /// A start that stands only in the words of the source.
    AsQuoted,
    Stretch(Extent<Length>),
}

impl PassStep {
    /// It, if it goes to a torque.
    pub fn torque(&self) -> Option<&TorqueStep> {
        match self {
            Self::Torque(torque) => Some(torque),
            _ => None,
        }
    }
}

/// The passes of one setting.
#[derive(Debug, Clone, PartialEq)]
pub struct PassPlan {
    /// In the order in which they are pulled.
    pub steps: Vec<PassStep>,
    pub from: PassFrom,
    /// The final value is pulled once more round the pattern.
    pub repeat: bool,
    /// What to know about them, a sentence each without a full stop.
    pub remarks: Vec<String>,
    /// Why this wrench will not do for the final value.
    pub refused: Option<String>,
    /// A wrench that will, and what it is set to.
    pub suggested: Option<String>,
}

impl PassPlan {
    pub(crate) fn new(steps: Vec<PassStep>, from: PassFrom) -> Self {
        Self { steps, from, repeat: false, remarks: Vec::new(), refused: None, suggested: None }
    }

    /// The torque that the last of its torque steps goes to.
    pub fn final_torque(&self) -> Option<Extent<Torque>> {
        let rounded = |step: &TorqueStep| {
            let quantity = crate::quantity::Quantity::rounded(step.aim?, step.unit, 3)?;
            Stated::new(quantity).ok().map(Extent::Exactly)
        };
        let mut torques = self.steps.iter().rev().filter_map(PassStep::torque);
        torques.find_map(|step| step.written.or_else(|| rounded(step)))
    }
}
