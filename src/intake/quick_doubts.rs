//! The two doubts that a long file is asked for row by row: a torque that
//! looks like another unit, and a strength of another family than its thread.
//! Each is judged once for all rows that say the same; `check` asks the rest
//! when the file is in the book.

use crate::audit::{FindingKind, unit_doubt};
use crate::intake::doubts::{FAMILY_ADVICE, Put, family, warn};
use crate::intake::outcome::Report;
use crate::quantity::{Extent, Kind, Stated, Stress};
use crate::record::{Fastener, Setting, StrengthClass, Tables};
use crate::text::QuickMap;
use crate::thread::Thread;

/// How many threads or strengths are remembered; a file that has more is
/// judged afresh.
const REMEMBERED: usize = 10_000;

/// Torque, proof and tensile in base units, bit by bit.
type DoubtedFigures = [u64; 3];

/// Judges fasteners one by one.
pub(crate) struct QuickDoubts<'a> {
    tables: &'a Tables,
    classes: QuickMap<String, Option<&'a StrengthClass>>,
    families: QuickMap<String, QuickMap<Thread, Option<String>>>,
    units: QuickMap<Thread, QuickMap<DoubtedFigures, Option<String>>>,
    /// How many figures `units` holds.
    held: usize,
}

impl<'a> QuickDoubts<'a> {
    pub(crate) fn new(tables: &'a Tables) -> Self {
        let (classes, families, units) = Default::default();
        Self { tables, classes, families, units, held: 0 }
    }

    /// Warns in `report` of what is doubtful in one fastener.
    pub(crate) fn judge(&mut self, put: &Put, report: &mut Report) {
        let fastener = &put.fastener;
        let Some(thread) = &fastener.thread else { return };
        for (setting, line) in fastener.settings.iter().zip(&put.lines).filter(|(_, l)| **l > 0) {
            if let Some(reason) = self.unit(fastener, thread, setting) {
                let row = FindingKind::UnitDoubt.row();
                warn(report, *line, "torque", row.name, reason, row.advice);
            }
        }
        let line = put.lines.iter().copied().filter(|line| *line > 0).min();
        if let (Some(line), Some(reason)) = (line, self.family(fastener, thread)) {
            warn(report, line, "strength", "strength-family", reason, FAMILY_ADVICE);
        }
    }

    fn class(&mut self, name: &str) -> Option<&'a StrengthClass> {
        if let Some(known) = self.classes.get(name) {
            return *known;
        }
        let class = self.tables.strength(name);
        if self.classes.len() < REMEMBERED {
            self.classes.insert(name.to_owned(), class);
        }
        class
    }

    fn family(&mut self, fastener: &Fastener, thread: &Thread) -> Option<String> {
        let name = fastener.strength.name.as_deref()?;
        if let Some(known) = self.families.get(name).and_then(|of| of.get(thread)) {
            return known.clone();
        }
        let found = family(thread, self.class(name)?);
        if self.families.len() < REMEMBERED {
            let of_name = self.families.entry(name.to_owned()).or_default();
            of_name.insert(thread.clone(), found.clone());
        }
        found
    }

    fn unit(&mut self, fastener: &Fastener, thread: &Thread, setting: &Setting) -> Option<String> {
        let (Extent::Exactly(torque) | Extent::Between(torque, _)) = setting.torque? else {
            return None;
        };
        let (proof, tensile) = self.strengths(fastener, thread)?;
        let figures = [torque.value().base(), proof.mpa(), tensile.mpa()].map(f64::to_bits);
        if let Some(known) = self.units.get(thread).and_then(|of| of.get(&figures)) {
            return known.clone();
        }
        let found = unit_doubt(fastener, torque, proof, tensile, self.tables);
        if self.held < REMEMBERED {
            self.held += 1;
            self.units.entry(thread.clone()).or_default().insert(figures, found.clone());
        }
        found
    }

    /// Proof, or yield in its place, and tensile, or proof in its place.
    fn strengths(&mut self, fastener: &Fastener, thread: &Thread) -> Option<(Stress, Stress)> {
        let sheet = &fastener.strength;
        let class = sheet.name.as_deref().and_then(|name| self.class(name));
        let row = class.and_then(|class| class.at(thread.nominal()));
        let proof = sheet.proof.map(Stated::value).or(row.and_then(|row| row.proof));
        let yield_ = sheet.yield_.map(Stated::value).or(row.and_then(|row| row.yield_));
        let tensile = sheet.tensile.map(Stated::value).or(row.and_then(|row| row.tensile));
        let proof = proof.or(yield_)?;
        Some((proof, tensile.unwrap_or(proof)))
    }
}
