//! `calc engage`: how long a thread must be engaged so that it does not strip.

use serde_json::json;

use crate::mechanics::formulas;
use crate::mechanics::{RULES_OF_THUMB, RuleOfThumb, Strips, ThreadPair};
use crate::quantity::{Area, Force, Length, Stated};
use crate::report::calc::Page;
use crate::report::calc::figure::Figure;
use crate::report::figures::{Rounding, short};
use crate::report::lay::tied;
use crate::report::working::{Measured, Step};
use crate::thread::Thread;

/// What one engagement holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Engaged {
    pub length: Stated<Length>,
    /// Shear area of the bolt's thread.
    pub external: Area,
    /// Shear area of the hole's thread.
    pub internal: Area,
    /// Load at which the weaker one strips, and which that is.
    pub strips_at: (Force, Strips),
}

/// A thread pair worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct EngageSum {
    pub thread: Thread,
    pub pair: ThreadPair,
    /// Stress area of the bolt.
    pub area: Area,
    /// Engagement at which the sum gives one load for stripping and breaking.
    pub even: (Length, Strips),
    pub engaged: Option<Engaged>,
    /// A clamp, with the engagement that strips under it.
    pub clamp: Option<(Stated<Force>, Length)>,
    /// Rule of thumb of the hole's material; all where it is not stated.
    pub material: Option<String>,
    pub assumed: Vec<String>,
}

/// What the rules of thumb stand on.
const NO_SOURCE: &str = "common practice, no source";

/// What takes strength from a thread and is not in the sum. Named by VDI 2230
/// and by E. M. Alexander's method behind it (SAE 770420), from memory.
const NOT_COUNTED: &str = "Not counted: the widening of nut or boss under load, the bending of \
                           the threads, chamfers, wear. A thread strips below this sum.";

/// Where the sum holds.
const STATIC_LOAD: &str = "Static load, full thread form. A wire insert has its maker's table; a \
                           hot casting holds less.";

fn which(strips: Strips) -> &'static str {
    match strips {
        Strips::External => "thread of the bolt",
        Strips::Internal => "thread of the hole",
    }
}

impl EngageSum {
    /// Engagement, the load that strips the threads, and the rules that were used.
    pub fn page(&self) -> Page {
        let is_inch = self.thread.tpi().is_some();
        let mut page = Page::new(format!("{}  engagement", self.thread), is_inch);
        page.put(Figure::hidden("thread", self.thread.to_string()));
        self.rules(&mut page);
        let (length, strips) = self.even;
        let diameters = short(length / self.thread.nominal(), 3);
        let text = format!("{diameters} d: a bare sum and no engagement to use");
        let even = Figure::computed("even_strength", "strips as it breaks", length);
        page.put(even.fine(3).rounded(Rounding::Up).remark(text));
        page.put(Figure::words("would_strip", "then strips", Some(which(strips).to_owned())));
        self.engaged(&mut page);
        self.clamped(&mut page);
        page.put(Figure::computed("breaking_load", "bolt breaks at", self.breaking()).fine(3));
        self.sizes(&mut page);
        page.assumed.clone_from(&self.assumed);
        self.more_than_usual(&mut page);
        page.warn(NOT_COUNTED);
        page.warn(STATIC_LOAD);
        self.steps(&mut page);
        page
    }

    fn breaking(&self) -> Force {
        self.pair.external_tensile * self.area
    }

    fn engaged(&self, page: &mut Page) {
        let engaged = self.engaged;
        page.put(
            Figure::maybe_given("engagement", "engaged", engaged.map(|e| e.length)).if_known(),
        );
        let load = Figure::maybe("strip_load", "strips at", engaged.map(|e| e.strips_at.0));
        page.put(match engaged {
            Some(engaged) => load.fine(3).remark(which(engaged.strips_at.1)),
            None => load.unshown(),
        });
        let word = engaged.map(|engaged| which(engaged.strips_at.1).to_owned());
        page.put(Figure::words("strips", "", word).unshown());
        let (external, internal) = (engaged.map(|e| e.external), engaged.map(|e| e.internal));
        page.put(Figure::maybe("external_strip_area", "bolt's shear area", external).if_known());
        page.put(Figure::maybe("internal_strip_area", "hole's shear area", internal).if_known());
        if let Some(engaged) = engaged
            && engaged.strips_at.0 < self.breaking()
        {
            page.warn(format!(
                "strips before the bolt breaks: the {} gives first",
                which(engaged.strips_at.1)
            ));
        }
    }

    fn clamped(&self, page: &mut Page) {
        let clamp = self.clamp.map(|(clamp, _)| clamp);
        page.put(Figure::maybe_given("clamp", "clamp", clamp).if_known());
        let length = self.clamp.map(|(_, length)| length);
        let least = Figure::maybe("strips_under_clamp", "strips under it", length).fine(3);
        page.put(least.remark("engaged: more than this is needed").if_known());
        if let Some(((clamp, _), engaged)) = self.clamp.zip(self.engaged) {
            let factor = engaged.strips_at.0 / clamp.value();
            page.put(Figure::number("strip_factor", "strip load / clamp", Some(factor), 3));
            if factor <= 1.0 {
                page.warnings.insert(0, "STRIPS under this clamp".to_owned());
            }
        }
    }

    fn sizes(&self, page: &mut Page) {
        let pair = &self.pair;
        page.put(Figure::computed("tensile", "tensile of bolt", pair.external_tensile).fine(4));
        page.put(
            Figure::computed("hole_tensile", "tensile of hole", pair.internal_tensile).fine(4),
        );
        let share =
            Figure::number("shear_share", "shear / tensile", Some(pair.shear_share.value()), 2);
        page.put(share);
        page.put(Figure::computed("stress_area", "", self.area).unshown());
        let basis = if pair.limits.basic {
            "basic sizes, no tolerance: the areas come out high"
        } else {
            "least metal of the limits given"
        };
        page.put(Figure::words("sizes", "sizes", Some(basis.to_owned())));
    }

    fn usual(&self) -> Vec<&'static RuleOfThumb> {
        let fits =
            |rule: &&RuleOfThumb| self.material.as_deref().is_none_or(|m| m == rule.material);
        RULES_OF_THUMB.iter().filter(fits).collect()
    }

    /// Says so where even the bare sum asks for more than is usual.
    fn more_than_usual(&self, page: &mut Page) {
        let diameter = self.thread.nominal();
        let over = |rule: &&&RuleOfThumb| self.even.0 > diameter * rule.to;
        if let Some(rule) = self.usual().iter().find(over) {
            page.warn(format!(
                "The usual {} d in {} is not enough for this bolt: the bare sum alone asks for more",
                short(rule.to, 3),
                rule.material
            ));
        }
    }

    fn rules(&self, page: &mut Page) {
        let rules = self.usual();
        let diameter = self.thread.nominal();
        let json = rules.iter().map(|rule| {
            json!({
                "material": rule.material,
                "from_diameters": rule.from,
                "to_diameters": rule.to,
                "from_mm": (diameter * rule.from).mm(),
                "to_mm": (diameter * rule.to).mm(),
                "basis": NO_SOURCE,
            })
        });
        page.put(Figure::hidden("rule_of_thumb", json.collect::<Vec<_>>()));
        let one = |rule: &&RuleOfThumb| {
            let number = |value: f64| short(value, 3);
            let range = if rule.from == rule.to {
                number(rule.from)
            } else {
                format!("{}–{}", number(rule.from), number(rule.to))
            };
            tied(&format!("{} {range} d", rule.material))
        };
        let text: Vec<String> = rules.iter().map(one).collect();
        page.put(Figure::on_page("engage usually", format!("{} ({NO_SOURCE})", text.join(", "))));
    }

    fn steps(&self, page: &mut Page) {
        let limits = &self.pair.limits;
        let half = limits.flank_angle / 2.0;
        // One millimetre engaged, unless a length was given.
        let one = Length::from_mm(1.0);
        let length = self.engaged.map_or(one, |engaged| engaged.length.value());
        let basis = if self.engaged.is_some() { "engaged" } else { "for each millimetre" };
        let external = limits.external_area(length);
        let internal = limits.internal_area(length);
        let step = |title, formula| {
            Step::new(title, formula)
                .with("Le", length, basis)
                .with("P", limits.pitch, "pitch")
                .with("β", half, "half the flank angle")
        };
        if let Ok(area) = external {
            let step = step("shear area of the bolt's thread", &formulas::STRIP_EXTERNAL)
                .with("Kn", limits.internal_minor, "minor diameter of the hole's thread")
                .with("Es", limits.external_pitch, "pitch diameter of the bolt");
            page.working.step(step.gives("As", area));
        }
        if let Ok(area) = internal {
            let step = step("shear area of the hole's thread", &formulas::STRIP_INTERNAL)
                .with("Ds", limits.external_major, "major diameter of the bolt")
                .with("En", limits.internal_pitch, "pitch diameter of the hole's thread");
            page.working.step(step.gives("An", area));
        }
        self.load_steps(length, page);
    }

    fn load_steps(&self, length: Length, page: &mut Page) {
        let pair = &self.pair;
        if let Ok((load, strips)) = pair.strip_load(length) {
            let hole = format!("tensile of the hole; weaker: {}", which(strips));
            let step = Step::new("strip load", &formulas::STRIP_LOAD)
                .with("s", Measured::share(pair.shear_share.value()), "shear over tensile strength")
                .with("Rb", pair.external_tensile, "tensile of the bolt")
                .with("Rh", pair.internal_tensile, hole);
            page.working.step(step.gives("F", load));
        }
        let step = Step::new("load that breaks the bolt", &formulas::BREAKING)
            .with("Rb", pair.external_tensile, "tensile of the bolt")
            .with("A", self.area, "stress area");
        page.working.step(step.gives("F", self.breaking()));
        let title = "engagement at which the sums for stripping and breaking meet";
        let step = Step::new(title, &formulas::ENGAGEMENT);
        let step = step.with("F", self.breaking(), "load that breaks the bolt");
        page.working.step(step.gives("Le", self.even.0));
        if let Some((clamp, strips_under)) = self.clamp {
            let step = Step::new("engagement that strips under the clamp", &formulas::ENGAGEMENT);
            page.working.step(step.with("F", clamp, "as given").gives("Le", strips_under));
        }
    }
}
