//! `calc prevailing`: what the wrench shows on a thread that locks.

use crate::mechanics::formulas;
use crate::mechanics::{Prevailing, PrevailingRule};
use crate::quantity::{Stated, System, Torque};
use crate::report::calc::Page;
use crate::report::calc::figure::Figure;
use crate::report::working::Step;

/// A stated torque and a prevailing one.
#[derive(Debug, Clone, PartialEq)]
pub struct PrevailingSum {
    /// The torque as stated, or what the wrench shows.
    pub stated: Stated<Torque>,
    /// The torque read while running down.
    pub running: Option<Stated<Torque>>,
    pub prevailing: Prevailing,
    pub rule: PrevailingRule,
    /// What the wrench is to show; none where nobody knows.
    pub wrench: Option<Torque>,
    /// What clamps; none where nobody knows.
    pub clamping: Option<Torque>,
    /// What the wrench would show if it were included, and if it were to add.
    pub either: Option<[Torque; 2]>,
}

impl PrevailingSum {
    /// The stated torque, what running down takes, and what the wrench shows.
    pub fn page(&self) -> Page {
        let unit = self.stated.written().unit;
        let mut page = Page::new("prevailing torque", unit.system == System::Inch);
        page.put(Figure::given("torque", "stated", self.stated));
        page.put(Figure::maybe_given("prevailing", "running down", self.running));
        page.put(Figure::words("prevailing_rule", "rule", Some(self.rule_words().to_owned())));
        let [included, to_add] = self.either.map_or([None, None], |both| both.map(Some));
        for (name, label, torque) in [
            ("wrench", "the wrench shows", self.wrench),
            ("clamping", "clamps with", self.clamping),
            ("if_included", "if included", included),
            ("if_to_add", "if to add", to_add),
        ] {
            page.put(Figure::maybe(name, label, torque).fine(4).in_unit(unit).if_known());
        }
        self.end(&mut page);
        page
    }

    fn rule_words(&self) -> &'static str {
        match (self.prevailing, self.rule) {
            (Prevailing::None, _) => "none: the thread runs freely",
            (Prevailing::Included, _) => "included in the stated torque",
            (Prevailing::ToAdd(_), PrevailingRule::Always) => "to add",
            (Prevailing::ToAdd(_), PrevailingRule::FromOneThird) => {
                "to add from a third of the stated torque on"
            }
            (Prevailing::Unknown, _) => "unknown",
        }
    }

    fn end(&self, page: &mut Page) {
        if self.prevailing == Prevailing::Unknown {
            page.refused = Some(format!(
                "does the stated {} include the prevailing torque? Ask the sheet or its maker, \
                 then give --rule included or --rule to-add",
                self.stated
            ));
            page.working.remark(
                "Printed rules differ, and some tables include it already: nothing is added \
                 unasked.",
            );
            return;
        }
        page.warn("Read the prevailing torque on the wrench while running down, before contact.");
        let Some(wrench) = self.wrench else { return };
        let formula = match self.rule {
            PrevailingRule::Always => &formulas::ADD_PREVAILING,
            PrevailingRule::FromOneThird => &formulas::ADD_FROM_THIRD,
        };
        match self.running.filter(|_| matches!(self.prevailing, Prevailing::ToAdd(_))) {
            Some(running) => page.working.step(
                Step::new("what the wrench shows", formula)
                    .with("T", self.stated, "as stated")
                    .with("Tprev", running, "read while running down")
                    .gives("Twrench", wrench),
            ),
            None => page.working.remark("Nothing is added: the wrench shows the stated torque."),
        }
        let is_added = wrench.nm() > self.stated.value().nm();
        let within = self.running.filter(|_| !is_added && self.prevailing != Prevailing::None);
        if let Some((running, clamping)) = within.zip(self.clamping) {
            let step = Step::new("torque that clamps", &formulas::LESS_PREVAILING)
                .with("Tsheet", self.stated, "as stated")
                .with("Tprev", running, "prevailing torque, taken by the locking thread");
            page.working.step(step.gives("T", clamping));
        }
    }
}
