//! Bolt and clamped parts as springs: the figures and steps that stretch, turn
//! and heat share.

use serde_json::json;

use crate::mechanics::formulas;
use crate::mechanics::{Bearing, Joint, Layer, Segment, SegmentPart, Spread, in_a_row};
use crate::quantity::Length;
use crate::report::calc::Page;
use crate::report::calc::figure::Figure;
use crate::report::figures::{per_cent, short};
use crate::report::lay::tied;
use crate::report::working::{Measured, Step, Working};

/// The clamped parts as they were given.
#[derive(Debug, Clone, PartialEq)]
pub enum Parts {
    /// Their stiffness itself.
    Given,
    /// Layers under a head or nut, and how the pressure spreads in them.
    Layers(Vec<Layer>, Bearing, Spread),
    /// A sleeve: outer and inner diameter, length, modulus.
    Sleeve(Length, Length, Segment),
}

/// A joint with what its stiffness was made of.
#[derive(Debug, Clone, PartialEq)]
pub struct JointSum {
    /// Segments of the bolt; empty where its stiffness was given.
    pub segments: Vec<Segment>,
    pub parts: Parts,
    pub joint: Joint,
    pub assumed: Vec<String>,
}

impl JointSum {
    pub(super) fn figures(&self, page: &mut Page) {
        let Joint { bolt, parts } = self.joint;
        page.put(Figure::stiffness("bolt_stiffness", "bolt stiffness", bolt));
        page.put(Figure::stiffness("parts_stiffness", "parts stiffness", parts));
        page.put(Figure::stiffness("joint_stiffness", "both together", self.joint.together()));
        let share = Some(self.joint.load_share().value());
        let load = Figure::share("load_share", "load share", share);
        page.put(load.going_on("of an outside load is felt by the bolt"));
        segment_figures(&self.segments, page);
        page.assumed.extend(self.assumed.iter().cloned());
    }

    pub(super) fn steps(&self, working: &mut Working) {
        segment_steps(&self.segments, working);
        match &self.parts {
            Parts::Given => {}
            Parts::Layers(layers, face, spread) => {
                let formula = match spread {
                    Spread::Through => &formulas::CONES,
                    Spread::Tapped => &formulas::CONE,
                };
                let mut step = Step::new("stiffness of the clamped parts", formula)
                    .with("D", face.outer, "face at the outer end; it widens by 1.155·t")
                    .with("d", face.hole, "hole");
                for layer in layers {
                    step = step.with("t", layer.thickness, "thickness of a layer");
                    step = step.with("E", layer.modulus, "its modulus");
                }
                working.step(step.gives("kj", self.joint.parts));
            }
            Parts::Sleeve(outer, inner, sleeve) => {
                let step = Step::new("stiffness of the sleeve", &formulas::SLEEVE)
                    .with("Do", *outer, "outer diameter")
                    .with("Di", *inner, "inner diameter")
                    .with("L", sleeve.length, "length")
                    .with("E", sleeve.modulus, "modulus");
                working.step(step.gives("kj", self.joint.parts));
            }
        }
        let step = |title, formula| {
            let step = Step::new(title, formula).with("kb", self.joint.bolt, "bolt");
            step.with("kj", self.joint.parts, "parts")
        };
        let together = step("bolt and parts together", &formulas::TOGETHER);
        working.step(together.gives("k", self.joint.together()));
        let share = Measured::share(self.joint.load_share().value());
        working.step(step("share of an outside load", &formulas::LOAD_SHARE).gives("C", share));
    }
}

/// The segments on the page and for a program, each with its part of the give.
pub(super) fn segment_figures(segments: &[Segment], page: &mut Page) {
    let whole = in_a_row(segments).ok();
    let share = |segment: &Segment| -> Option<f64> {
        Some(whole?.n_per_mm() / segment.stiffness().ok()?.n_per_mm())
    };
    let list = segments.iter().map(|segment| {
        json!({
            "part": segment.part.to_string(),
            "length_mm": segment.length.mm(),
            "area_mm2": segment.area.mm2(),
            "modulus_mpa": segment.modulus.mpa(),
            "share_of_give": share(segment),
        })
    });
    page.put(Figure::hidden("segments", list.collect::<Vec<_>>()));
    for (at, segment) in segments.iter().enumerate() {
        let label = if at == 0 { "gives by" } else { "" };
        page.put(Figure::on_page(label, segment_text(segment, share(segment))));
    }
}

fn segment_text(segment: &Segment, share: Option<f64>) -> String {
    let share = share.map(per_cent).unwrap_or_default();
    tied(&format!(
        "{share:>2} %  {}, {} mm of {} mm²",
        segment.part,
        short(segment.length.mm(), 4),
        short(segment.area.mm2(), 4)
    ))
}

/// One step: the sum over the segments.
pub(super) fn segment_steps(segments: &[Segment], working: &mut Working) {
    let Ok(stiffness) = in_a_row(segments) else { return };
    let mut step = Step::new("stiffness of the bolt", &formulas::SEGMENT);
    let mut modulus = None;
    for segment in segments {
        step = step.with("L", segment.length, segment.part.to_string());
        step = step.with("A", segment.area, "its section");
        if modulus != Some(segment.modulus) {
            step = step.with("E", segment.modulus, "modulus from here on");
            modulus = Some(segment.modulus);
        }
    }
    working.step(step.gives("kb", stiffness));
    let is_end = |segment: &Segment| {
        segment.part == SegmentPart::Head || segment.part == SegmentPart::EngagedThread
    };
    if !segments.iter().any(is_end) {
        return;
    }
    working.remark(
        "Counted besides the lengths between: 0.5·d in a hexagon head (0.4·d in a socket head), \
         0.5·d of engaged thread, 0.4·d in a nut or 0.33·d in a tapped hole; VDI 2230, the five \
         factors from memory. Free thread counts with its root section.",
    );
}
