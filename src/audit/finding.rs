//! One thing that is wrong or doubtful.

use crate::audit::standing::mark_of;
use crate::record::{Fastener, Setting, setting_keys};

/// How much it matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Something is missing: a question will not be answered.
    Gap,
    /// It may be right, somebody should look.
    Doubt,
    /// It can break a fastener or hurt somebody.
    Danger,
}

impl Severity {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Gap => "gap",
            Self::Doubt => "doubt",
            Self::Danger => "danger",
        }
    }
}

/// What kinds of finding there are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum FindingKind {
    /// Above 90 % of proof, or of yield with torsion.
    NearProof,
    /// The top of the band passes yield.
    MayPassYield,
    /// Two sources state different figures for the same lube.
    SourcesDiffer,
    /// Nothing a wrench could follow.
    NoFigure,
    /// No lube for a torque.
    NoLube,
    NoThread,
    NoSource,
    NoStrength,
    /// Several fasteners and no order.
    NoOrder,
    /// A torque that looks like another unit.
    UnitDoubt,
    /// Two threads of one assembly that are mistaken for each other.
    LookAlike,
    /// A superseded figure without the one that replaced it.
    Superseded,
    /// The order names another number of holes than there are.
    CountDiffers,
    /// Prevailing torque of which nobody knows whether it is included.
    Prevailing,
    /// The sheet's own ratio of two lubes is far from the ratio of their K.
    RatioDiffers,
    /// Reuse is not stated, and words or the method say that it may be used once.
    ReuseUnknown,
    /// A wrench past the day on which its calibration was due.
    WrenchOverdue,
    /// A bolt that must not be used again.
    BoltPastUse,
    /// A joint pulled with another lube than its setting names.
    OtherLube,
    /// A reading of the log away from its target, and no later one that puts it right.
    OffTarget,
}

/// One row of [`FINDINGS`].
#[derive(Debug)]
pub struct FindingRow {
    pub kind: FindingKind,
    pub name: &'static str,
    /// How much it matters.
    pub severity: Severity,
    pub advice: &'static str,
}

const fn row(
    kind: FindingKind,
    name: &'static str,
    severity: Severity,
    advice: &'static str,
) -> FindingRow {
    FindingRow { kind, name, severity, advice }
}

use FindingKind as K;
use Severity::{Danger, Doubt, Gap};

/// Every kind of finding.
#[rustfmt::skip] // one row a line, read as a table
pub static FINDINGS: &[FindingRow] = &[
    row(K::NearProof, "near-proof", Danger, "check K, strength and sheet; measure stretch; a listed value stays as listed"),
    row(K::MayPassYield, "may-pass-yield", Doubt, "ask the maker or measure stretch"),
    row(K::SourcesDiffer, "sources-differ", Danger, "find out which sheet holds and mark the other superseded"),
    row(K::NoFigure, "no-figure", Gap, "enter torque, angle or stretch from the sheet"),
    row(K::NoLube, "no-lube", Danger, "enter the lube that the sheet names: a torque without it is half a spec"),
    row(K::NoThread, "no-thread", Gap, "enter the thread with its pitch"),
    row(K::NoSource, "no-source", Gap, "enter the title and page of the sheet, or say that it is from memory"),
    row(K::NoStrength, "no-strength", Gap, "enter class, grade or the sheet's own yield"),
    row(K::NoOrder, "no-order", Gap, "enter the order that the manual lists"),
    row(K::UnitDoubt, "unit-doubt", Danger, "look at the sheet: is it another unit?"),
    row(K::LookAlike, "look-alike", Doubt, "keep the two apart; by fingers three turns, or wrong thread"),
    row(K::Superseded, "superseded", Doubt, "enter the figure that replaced it, or take the mark off"),
    row(K::CountDiffers, "count-differs", Doubt, "count the holes and mend the order or the count"),
    row(K::Prevailing, "prevailing-unknown", Doubt, "find out whether the listed torque includes it"),
    row(K::RatioDiffers, "ratio-differs", Doubt, "check the sheet or K; nothing was changed"),
    row(K::ReuseUnknown, "reuse-unknown", Doubt, "find out whether it may be used again: reuse=single-use, reusable or \"up to 5 cycles\""),
    row(K::WrenchOverdue, "wrench-overdue", Danger, "have it calibrated; `log wrench NAME` says what it tightened"),
    row(K::BoltPastUse, "bolt-past-use", Danger, "scrap it and enter the new bolt in its set"),
    row(K::OffTarget, "off-target", Danger, "put it right and log that with what was reached; a stretched bolt is scrap"),
    row(K::OtherLube, "other-lube", Danger, "each torque is for its own lube only: take it apart, clean it and pull it again"),
];

impl FindingKind {
    /// Its row of [`FINDINGS`].
    pub fn row(self) -> &'static FindingRow {
        // Invariant: every kind has its row; a test walks them.
        FINDINGS.iter().find(|row| row.kind == self).unwrap_or(&FINDINGS[0])
    }
}

/// One thing that is wrong or doubtful.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    pub kind: FindingKind,
    /// Key of the setting, or of the fastener.
    pub key: String,
    /// Key of the fastener.
    pub fastener: String,
    /// Assembly, joint and part in words.
    pub place: [String; 3],
    /// Lube of the setting that it is about, where it has one.
    pub lube: Option<String>,
    /// The reason, one sentence without a full stop.
    pub reason: String,
    /// The figures that it rests on: when they change it is another finding.
    pub figures: String,
}

impl Finding {
    /// About a fastener as a whole.
    pub(super) fn about(kind: FindingKind, fastener: &Fastener, reason: impl Into<String>) -> Self {
        let joint = &fastener.joint;
        Self {
            kind,
            key: fastener.key.clone(),
            fastener: fastener.key.clone(),
            place: [joint.assembly.clone(), joint.name.clone(), fastener.part.clone()],
            lube: None,
            reason: reason.into(),
            figures: String::new(),
        }
    }

    /// About one of its settings.
    pub(super) fn new(
        kind: FindingKind,
        fastener: &Fastener,
        setting: &Setting,
        reason: impl Into<String>,
    ) -> Self {
        let at = fastener.settings.iter().position(|one| std::ptr::eq(one, setting));
        let key = at.and_then(|at| setting_keys(fastener).into_iter().nth(at));
        let mut finding = Self::about(kind, fastener, reason);
        finding.key = key.unwrap_or(finding.key);
        finding.lube.clone_from(&setting.lube);
        let thread = fastener.thread.as_ref().map(ToString::to_string).unwrap_or_default();
        let lube = setting.lube.as_deref().unwrap_or("no lube");
        finding.resting_on(format!("{thread} {lube} {}, {}", setting.in_words(), setting.source))
    }

    /// The same with more figures that it rests on.
    pub(super) fn resting_on(mut self, figures: impl AsRef<str>) -> Self {
        let more = figures.as_ref().replace(['\n', '\r'], " ");
        if !self.figures.is_empty() {
            self.figures.push_str("; ");
        }
        self.figures.push_str(more.trim());
        self
    }

    /// Six letters and digits by which it is called: they change with the
    /// figures that it rests on.
    pub fn mark(&self) -> String {
        mark_of(&[self.kind.row().name, &self.key, &self.figures])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_has_its_own_row_and_name() {
        let mut names = std::collections::HashSet::new();
        for row in FINDINGS {
            assert_eq!(row.kind.row().name, row.name);
            assert!(names.insert(row.name));
        }
    }
}
