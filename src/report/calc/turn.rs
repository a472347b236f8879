//! `calc turn`: the clamp that a turn of the nut adds, and the turn for a clamp.

use crate::mechanics::formulas;
use crate::quantity::{Angle, Force, Length, Stated};
use crate::report::calc::Page;
use crate::report::calc::figure::Figure;
use crate::report::calc::joint::JointSum;
use crate::report::calc::stretch::Nearness;
use crate::report::working::Step;
use crate::thread::Thread;

/// Which of turn and clamp was given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TurnAim {
    /// A turn, to find the clamp.
    Turn(Stated<Angle>),
    /// A clamp to add, to find the turn.
    Clamp(Stated<Force>),
}

/// A turn from snug on a known joint.
#[derive(Debug, Clone, PartialEq)]
pub struct TurnSum {
    pub thread: Thread,
    pub joint: JointSum,
    pub aim: TurnAim,
    pub turn: Angle,
    pub added: Force,
    pub snug: Option<Stated<Force>>,
    /// How near its strength the bolt comes, snug included.
    pub near: Nearness,
}

impl TurnSum {
    /// The turn, the clamp that it adds, and what the bolt bears.
    pub fn page(&self) -> Page {
        let mut page =
            Page::new(format!("{}  turn from snug", self.thread), self.thread.tpi().is_some());
        page.put(Figure::hidden("thread", self.thread.to_string()));
        page.figures.extend(match self.aim {
            TurnAim::Turn(given) => [
                Figure::given("turn", "turn", given),
                Figure::computed("added_clamp", "adds", self.added).fine(3),
            ],
            TurnAim::Clamp(given) => [
                Figure::computed("turn", "turn", self.turn),
                Figure::given("added_clamp", "adds", given),
            ],
        });
        page.put(Figure::maybe_given("snug_clamp", "clamp at snug", self.snug));
        let total = self.snug.map(|snug| snug.value() + self.added);
        page.put(Figure::maybe("clamp", "clamp", total).fine(3).if_known());
        // Without the clamp at snug the added part is no share of the strength.
        let near = if self.snug.is_some() { self.near } else { Nearness::default() };
        near.figures(&mut page);
        self.advances(&mut page);
        self.joint.figures(&mut page);
        self.near.warnings(&mut page);
        page.warn("Elastic, faces closed at snug. An angle is never turned back into a torque.");
        if self.snug.is_none() {
            page.warn(
                "The clamp at snug comes on top: it is not stated, and without it nothing is said \
                 of proof or yield (--snug).",
            );
        }
        self.joint.steps(&mut page.working);
        page.working.step(self.step());
        page
    }

    fn advances(&self, page: &mut Page) {
        let pitch = self.thread.pitch().length();
        let advance = pitch * (self.turn.deg() / 360.0);
        let stretch: Length = advance * self.joint.joint.stretch_share().value();
        page.put(Figure::computed("advance", "nut advances", advance));
        page.put(
            Figure::computed("stretch", "stretches bolt", stretch)
                .remark("the rest squeezes the parts"),
        );
        page.put(Figure::computed("pitch", "", pitch).unshown());
    }

    fn step(&self) -> Step {
        let pitch = self.thread.pitch().length();
        let together = self.joint.joint.together();
        let step = |title, formula| {
            Step::new(title, formula).with("P", pitch, "pitch").with("k", together, "together")
        };
        match self.aim {
            TurnAim::Turn(given) => step("clamp of the turn", &formulas::CLAMP_OF_TURN)
                .with("θ", given, "as given")
                .gives("F", self.added),
            TurnAim::Clamp(given) => step("turn of the clamp", &formulas::TURN_OF_CLAMP)
                .with("F", given, "as given")
                .gives("θ", self.turn),
        }
    }
}
