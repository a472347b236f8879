//! What is written down at the bench, and the foot of a page.

use maud::{Markup, html};

use crate::report::duties::SAFETY;
use crate::report::lay::clean;
use crate::report::sheet::SheetFacts;
use crate::report::sheet::pulls::blank;

/// Blanks for the record of a joint: one visit, one line in the log.
pub(crate) fn record(facts: &SheetFacts) -> Markup {
    html! {
        section.record {
            @if let Some(wrench) = &facts.wrench {
                p.wide.notes { "Passes made for the wrench " (clean(wrench)) "." }
            }
            (blank("Wrench"))
            (blank("Calibration due"))
            (blank("Lube and lot"))
            (blank("Done by"))
            div.two { (blank("Not as planned")) }
        }
    }
}

/// Revision, date, and what governs.
pub(crate) fn foot(facts: &SheetFacts) -> Markup {
    html! {
        footer.foot {
            b { "Book revision " (facts.generation) ", printed " (clean(&facts.printed)) "." }
            " This paper is stale if the spec changed: compare the revision with "
            "\u{201c}clampbook book info\u{201d}. " (SAFETY)
        }
    }
}
