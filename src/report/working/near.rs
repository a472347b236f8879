//! How near its strength a clamp brings the fastener.

use crate::mechanics::{self, TORSION_LEFT};
use crate::mechanics::{Formula, formulas};
use crate::quantity::Force;
use crate::report::working::measured::Measured;
use crate::report::working::row::Inputs;
use crate::report::working::strength::section_words;
use crate::report::working::{Step, Working};

impl Inputs<'_> {
    /// Tension, of proof and of yield, in the smallest section.
    pub(crate) fn shares_of_strength(&self, working: &mut Working) {
        let derived = &self.row.derived;
        let Some(clamp) = self.clamp_found() else { return };
        if let Some((area, stress)) = derived.area.zip(derived.stress) {
            let step = Step::new("tension", &formulas::TENSION).with("F", clamp, "clamp");
            working.step(step.with("A", area, section_words(derived)).gives("σ", stress));
        }
        let share =
            |title, formula: &'static Formula, symbol, load: Option<Force>, share: Option<f64>| {
                let (load, share) = load.zip(share)?;
                let step = Step::new(title, formula).with("F", clamp, "clamp");
                Some(
                    step.with(symbol, load, "in the smallest section")
                        .gives("share", Measured::share(share)),
                )
            };
        let proof =
            share("of proof", &formulas::OF_PROOF, "Sp·A", derived.proof_load, derived.of_proof);
        let limit =
            share("of yield", &formulas::OF_YIELD, "Sy·A", derived.yield_load, derived.of_yield);
        for step in proof.into_iter().chain(limit) {
            working.step(step);
        }
        if derived
            .yield_load
            .zip(derived.clamp)
            .is_some_and(|(limit, clamp)| mechanics::exceeds(clamp.high / limit, 1.0))
        {
            working.remark("The top of the band passes yield: ask the maker, or measure stretch.");
        }
    }

    /// Tension with torsion, while tightening and afterwards.
    pub(crate) fn combined(&self, working: &mut Working) {
        let derived = &self.row.derived;
        let Some(clamp) = self.clamp_found() else { return };
        let Ok(Some(twist)) = self.form().thread_torque(&self.geometry, clamp) else {
            working.remark(
                "Combined stress not computed: K alone does not say how much of the torque twists \
                 the fastener; friction coefficients do.",
            );
            return;
        };
        let lever = self.form().twisting_lever(&self.geometry).ok().flatten();
        let Some(lever) = lever else { return };
        let step = Step::new("torque in the thread", &formulas::TWIST).with("F", clamp, "clamp");
        working.step(step.with("Tt/F", lever, "the thread's part of the lever").gives("Tt", twist));
        let Some((limit, combined)) = derived.yield_.zip(derived.combined) else { return };
        let Some(area) = derived.area else { return };
        let step = |title, formula| {
            Step::new(title, formula)
                .with("F", clamp, "clamp")
                .with("Tt", twist, "torque in the thread")
                .with("A", area, section_words(derived))
                .with("Sy", limit, "yield")
        };
        let while_tightening = step("combined while tightening, of yield", &formulas::COMBINED);
        working.step(while_tightening.gives("share", Measured::share(combined)));
        if let Ok(after) = mechanics::combined_after(clamp, area, twist, TORSION_LEFT) {
            let after = Measured::share(after / limit);
            let step = step("combined with the wrench off, of yield", &formulas::COMBINED_AFTER);
            working.step(step.with("k", TORSION_LEFT, "torsion left").gives("share", after));
        }
    }
}
