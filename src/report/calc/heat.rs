//! `calc heat`: what warmth does to a clamp.

use serde_json::{Value, json};

use crate::mechanics::Warmed;
use crate::mechanics::formulas;
use crate::quantity::{Force, Stated};
use crate::report::calc::Page;
use crate::report::calc::figure::Figure;
use crate::report::calc::joint::JointSum;
use crate::report::figures::Rounding;
use crate::report::lay::tied;
use crate::report::working::{Measured, Step};

/// A length that is warmed, with what it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Warm {
    /// Length, expansion (the middle of its range), rise.
    pub warmed: Warmed,
    /// The material or the figure given, with its source.
    pub is: String,
}

/// A joint that is warmed or cooled.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatSum {
    pub joint: JointSum,
    pub parts: Vec<Warm>,
    /// The bolt between the faces.
    pub bolt: Warm,
    /// The change, with the middle of each range of expansion.
    pub change: Force,
    /// The change at the ends of the ranges; none where there is no range.
    pub range: Option<[Force; 2]>,
    /// The clamp when tightened.
    pub cold: Option<Stated<Force>>,
    /// Inch units stand first.
    pub is_inch: bool,
}

impl HeatSum {
    /// The clamp cold and warm, and what is over its limits there.
    pub fn page(&self) -> Page {
        let mut page = Page::new("clamp and temperature", self.is_inch);
        let word = if self.change.n() < 0.0 { "a loss" } else { "a gain" };
        page.put(Figure::computed("clamp_change", "clamp changes by", self.change).remark(word));
        self.limits(&mut page);
        page.put(Figure::maybe_given("clamp_cold", "clamp as tightened", self.cold));
        let then = self.cold.map(|cold| cold.value() + self.change);
        let is_loose = then.is_some_and(|clamp| clamp.n() <= 0.0);
        let left = then.filter(|_| !is_loose);
        page.put(Figure::maybe("clamp_warm", "clamp then", left).fine(3).if_known());
        page.put(Figure::hidden("parts", warmed_json(&self.parts)));
        page.put(Figure::hidden("bolt", warmed_json(std::slice::from_ref(&self.bolt))));
        for part in &self.parts {
            page.put(Figure::on_page("parts grow", part.in_words()));
        }
        page.put(Figure::on_page("bolt grows", self.bolt.in_words()));
        self.joint.figures(&mut page);
        if is_loose {
            page.warn("LOOSE: nothing of the clamp is left");
        }
        page.warn("Elastic, moduli as when cold, no creep of gasket or casting.");
        self.joint.steps(&mut page.working);
        page.working.step(self.step());
        page
    }

    /// The two ends of the change, rounded outward. Of a loss the least is the
    /// end nearer to nothing.
    fn limits(&self, page: &mut Page) {
        let [low, high] = self.range.map_or([None, None], |ends| ends.map(Some));
        let labels = match self.range {
            Some([_, high]) if high.n() <= 0.0 => ["at the most", "at the least"],
            Some([low, _]) if low.n() >= 0.0 => ["at the least", "at the most"],
            _ => ["as a loss up to", "as a gain up to"],
        };
        let end = |key, label, value: Option<Force>, is_low: bool| {
            // Down for the low end: of a negative number that is its size up.
            let is_up = value.is_some_and(|value| (value.n() < 0.0) == is_low);
            let rounding = if is_up { Rounding::Up } else { Rounding::Down };
            Figure::maybe(key, label, value).rounded(rounding).if_known()
        };
        page.put(end("clamp_change_low", labels[0], low, true));
        page.put(end("clamp_change_high", labels[1], high, false));
    }

    fn step(&self) -> Step {
        let together = self.joint.joint.together();
        let step = Step::new("change of the clamp", &formulas::HEAT);
        let step = step.with("k", together, "bolt and parts together");
        let warmed = |step: Step, [alpha, length, rise]: [&'static str; 3], one: &Warm| {
            step.with(alpha, one.warmed.expansion, one.is.clone())
                .with(length, one.warmed.length, "")
                .with(rise, one.warmed.rise, "warmer than when tightened")
        };
        let parts = self.parts.iter();
        let step = parts.fold(step, |step, part| warmed(step, ["αj", "Lj", "ΔTj"], part));
        warmed(step, ["αb", "Lb", "ΔTb"], &self.bolt).gives("ΔF", self.change)
    }
}

impl Warm {
    /// `90 mm, +80 K, 22.75·10⁻⁶/K: aluminium; …`.
    fn in_words(&self) -> String {
        let Warmed { length, expansion, rise } = self.warmed;
        let [length, expansion, size] =
            [Measured::typed(length), expansion.into(), Measured::number(rise.k().abs())];
        let sign = if rise.k() < 0.0 { "−" } else { "+" };
        let figures = [length.text, format!("{sign}{} K", size.text), expansion.text];
        format!("{}: {}", figures.map(|text| tied(&text)).join(", "), self.is)
    }
}

fn warmed_json(all: &[Warm]) -> Value {
    let one = |Warm { warmed, is }: &Warm| {
        json!({
            "is": is,
            "length_mm": warmed.length.mm(),
            "expansion_per_k": warmed.expansion.per_k(),
            "rise_k": warmed.rise.k(),
        })
    };
    all.iter().map(one).collect()
}
