//! `calc stretch`: the stretch of a clamp, the clamp of a stretch, and what is
//! left of it afterwards.

use crate::mechanics::formulas;
use crate::mechanics::{PermanentSet, Segment, in_a_row};
use crate::quantity::{Force, Length, Stated};
use crate::report::calc::Page;
use crate::report::calc::figure::Figure;
use crate::report::calc::joint::{segment_figures, segment_steps};
use crate::report::lay::tied;
use crate::report::working::Step;
use crate::thread::Thread;

/// Which of clamp and stretch was given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StretchAim {
    Clamp(Stated<Force>),
    Stretch(Stated<Length>),
}

/// The free length of a used bolt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FreeLength {
    pub now: Stated<Length>,
    /// When new, if it was written down.
    pub new: Option<Stated<Length>>,
    /// Growth at which it is given up.
    pub limit: Length,
    /// The limit is the customary one, not the sheet's.
    pub is_customary: bool,
    pub verdict: PermanentSet,
}

/// How near its strength a clamp brings the bolt.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Nearness {
    /// Share of proof in the smallest section.
    pub of_proof: Option<f64>,
    /// Share of yield in the smallest section.
    pub of_yield: Option<f64>,
}

impl Nearness {
    pub(super) fn figures(self, page: &mut Page) {
        page.put(Figure::share("of_proof", "of proof", self.of_proof));
        page.put(Figure::share("of_yield", "of yield", self.of_yield));
    }

    /// What must be said of an elastic sum that comes this near.
    pub(super) fn warnings(self, page: &mut Page) {
        match (self.of_yield.or(self.of_proof), self.of_yield) {
            (Some(share), limit) if crate::mechanics::exceeds(share, 1.0) => {
                let limit = if limit.is_some() { "YIELD" } else { "PROOF" };
                page.warn(format!(
                    "PAST {limit}: the sum is elastic and no longer holds; the bolt has stretched \
                     for good"
                ));
            }
            (None, _) => {
                page.warn("strength not stated: whether the bolt is still elastic is not known");
            }
            _ => {}
        }
    }
}

/// A bolt, its stretch and its clamp.
#[derive(Debug, Clone, PartialEq)]
pub struct StretchSum {
    pub thread: Option<Thread>,
    /// The bolt from end to end.
    pub segments: Vec<Segment>,
    pub aim: Option<(StretchAim, Force, Length)>,
    pub near: Nearness,
    /// The free length, where the bolt was used before.
    pub free: Option<FreeLength>,
    pub assumed: Vec<String>,
}

impl StretchSum {
    /// Clamp and stretch of each segment, and the permanent set.
    pub fn page(&self) -> Page {
        let thread = self.thread.as_ref();
        let is_inch = thread.is_some_and(|thread| thread.tpi().is_some());
        let title = thread.map_or_else(|| "stretch".to_owned(), |t| format!("{t}  stretch"));
        let mut page = Page::new(title, is_inch);
        page.put(Figure::hidden("thread", thread.map(ToString::to_string)));
        self.stretched(&mut page);
        if let Ok(stiffness) = in_a_row(&self.segments) {
            page.put(Figure::stiffness("bolt_stiffness", "bolt stiffness", stiffness));
        }
        segment_figures(&self.segments, &mut page);
        page.assumed.clone_from(&self.assumed);
        if let Some(free) = self.free {
            free.figures(&mut page);
            // Nothing else was asked for.
            if self.aim.is_none() && free.verdict == PermanentSet::CannotJudge {
                page.refused = Some(free.verdict_words().to_owned());
            }
        }
        page
    }

    fn stretched(&self, page: &mut Page) {
        let Some((aim, clamp, stretch)) = self.aim else { return };
        page.figures.extend(match aim {
            StretchAim::Clamp(given) => [
                Figure::computed("stretch", "stretch", stretch),
                Figure::given("clamp", "clamp", given),
            ],
            StretchAim::Stretch(given) => [
                Figure::computed("clamp", "clamp", clamp).fine(3),
                Figure::given("stretch", "stretch", given),
            ],
        });
        self.near.figures(page);
        self.near.warnings(page);
        segment_steps(&self.segments, &mut page.working);
        let Ok(stiffness) = in_a_row(&self.segments) else { return };
        page.working.step(match aim {
            StretchAim::Clamp(given) => Step::new("stretch of the clamp", &formulas::STRETCH)
                .with("F", given, "as given")
                .with("kb", stiffness, "bolt")
                .gives("δ", stretch),
            StretchAim::Stretch(given) => {
                Step::new("clamp of the stretch", &formulas::CLAMP_OF_STRETCH)
                    .with("δ", given, "as measured; the lube does not enter")
                    .with("kb", stiffness, "bolt")
                    .gives("F", clamp)
            }
        });
    }
}

impl FreeLength {
    fn figures(&self, page: &mut Page) {
        let unit = self.now.written().unit;
        page.put(Figure::given("free_length_now", "free now", self.now));
        page.put(Figure::maybe_given("free_length_new", "free when new", self.new));
        let grown = match self.verdict {
            PermanentSet::CannotJudge => None,
            PermanentSet::Shorter(by) => Some(-by),
            PermanentSet::Within(by) | PermanentSet::Over(by) => Some(by),
        };
        page.put(
            Figure::maybe("permanent_set", "grown by", grown).fine(3).in_unit(unit).if_known(),
        );
        let limit = Figure::computed("set_limit", "limit", self.limit).fine(3).in_unit(unit);
        page.put(if self.is_customary {
            limit.remark("common practice, no source; the sheet's own limit goes before it")
        } else {
            limit
        });
        page.put(Figure::words("verdict", "verdict", Some(self.verdict_words().to_owned())));
        self.step(grown, page);
    }

    fn verdict_words(&self) -> &'static str {
        match self.verdict {
            PermanentSet::CannotJudge => "cannot judge: no free length when new was written down",
            PermanentSet::Shorter(_) => {
                "shorter than when new: other gauge, other temperature or another bolt; measure \
                 again"
            }
            PermanentSet::Within(_) => "within the limit",
            PermanentSet::Over(_) => "over the limit: scrap",
        }
    }

    fn step(&self, grown: Option<Length>, page: &mut Page) {
        let Some((new, grown)) = self.new.zip(grown) else {
            page.working.remark(format!("{}.", self.verdict_words()));
            return;
        };
        let step = Step::new("permanent set", &formulas::SET)
            .with("Lnow", self.now, tied(&self.now.to_string()))
            .with("Lnew", new, tied(&new.to_string()));
        page.working.step(step.gives("set", grown));
    }
}
