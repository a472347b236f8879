//! What is sound but doubtful: the rules of `check`, asked before anything is
//! stored. They only warn.

use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

use crate::audit::{Finding, FindingKind, audit};
use crate::intake::existing::Existing;
use crate::intake::outcome::Report;
use crate::intake::verdict::{CellVerdict, Verdict};
use crate::intake::{Column, Heading};
use crate::record::{Fastener, StrengthClass, Tables, setting_keys};
use crate::thread::Thread;

/// A fastener to put, with the line of each setting; 0 for a setting that the
/// file does not give.
#[derive(Debug)]
pub(crate) struct Put {
    pub(crate) fastener: Fastener,
    pub(crate) lines: Vec<u32>,
}

/// The findings that are worth a word at import, and the column they are
/// about. What is only missing is left to `check`.
const ASKED: &[(FindingKind, &str)] = &[
    (FindingKind::UnitDoubt, "torque"),
    (FindingKind::NearProof, "torque"),
    (FindingKind::SourcesDiffer, "torque"),
    (FindingKind::RatioDiffers, "torque"),
    (FindingKind::LookAlike, "thread"),
    (FindingKind::CountDiffers, "order"),
];

/// Warns in `report` of what is doubtful in `puts`, and gives them back. A
/// joint is judged with what the `book` has of it beside the file.
pub(crate) fn doubts(
    puts: Vec<Put>,
    book: &dyn Existing,
    tables: &Tables,
    report: &mut Report,
) -> Vec<Put> {
    let (fasteners, lines): (Vec<Arc<Fastener>>, Vec<Vec<u32>>) =
        puts.into_iter().map(|put| (Arc::new(put.fastener), put.lines)).unzip();
    let places: HashMap<&str, usize> =
        fasteners.iter().enumerate().map(|(at, one)| (one.key.as_str(), at)).collect();
    let mut judged = fasteners.clone();
    judged.extend(neighbours(&fasteners, book, &places));
    for finding in audit(&judged, tables) {
        let Some((_, field)) = ASKED.iter().find(|(kind, _)| *kind == finding.kind) else {
            continue;
        };
        let at = places.get(finding.fastener.as_str());
        let line = at.and_then(|at| line_of(&fasteners[*at], &lines[*at], &finding));
        if let Some(line) = line {
            let row = finding.kind.row();
            warn(report, line, field, row.name, finding.reason, row.advice);
        }
    }
    for (fastener, lines) in fasteners.iter().zip(&lines) {
        let named = fastener.strength.name.as_deref().and_then(|name| tables.strength(name));
        let found = fastener.thread.as_ref().zip(named);
        let reason = found.and_then(|(thread, class)| family(thread, class));
        if let (Some(reason), Some(line)) = (reason, first(lines)) {
            warn(report, line, "strength", "strength-family", reason, FAMILY_ADVICE);
        }
    }
    drop(judged);
    let fasteners = fasteners.into_iter().map(Arc::unwrap_or_clone);
    fasteners.zip(lines).map(|(fastener, lines)| Put { fastener, lines }).collect()
}

/// What the book has of the joints of `fasteners` and the file does not touch.
fn neighbours(
    fasteners: &[Arc<Fastener>],
    book: &dyn Existing,
    known: &HashMap<&str, usize>,
) -> Vec<Arc<Fastener>> {
    let joints: BTreeSet<(&str, &str)> = fasteners
        .iter()
        .map(|one| (one.joint.assembly.as_str(), one.joint.name.as_str()))
        .collect();
    let all = joints.into_iter().flat_map(|(assembly, joint)| book.of_joint(assembly, joint));
    all.filter(|one| !known.contains_key(one.key.as_str())).collect()
}

/// The line of the setting that a finding is about; none if the file does not
/// give it.
fn line_of(fastener: &Fastener, lines: &[u32], finding: &Finding) -> Option<u32> {
    let keys = setting_keys(fastener);
    match keys.iter().position(|key| *key == finding.key) {
        Some(at) => lines.get(at).copied().filter(|line| *line > 0),
        None => first(lines),
    }
}

fn first(lines: &[u32]) -> Option<u32> {
    lines.iter().copied().filter(|line| *line > 0).min()
}

/// What to do about [`family`].
pub(crate) const FAMILY_ADVICE: &str = "check thread and strength against the sheet";

/// A metric class on an inch thread, an inch grade on a metric one, or a size
/// that the class does not cover.
pub(crate) fn family(thread: &Thread, class: &StrengthClass) -> Option<String> {
    let is_inch = thread.tpi().is_some();
    let is_property_class = class.name.split_once('.').is_some_and(|(tensile, ratio)| {
        let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
        digits(tensile) && digits(ratio)
    });
    if (is_inch && is_property_class) || (!is_inch && is_inch_grade(&class.name)) {
        return Some(format!("{} on the thread {thread}: two families", class.name));
    }
    let uncovered = class.at(thread.nominal()).is_none();
    uncovered.then(|| format!("{} has no figures for the size of {thread}", class.name))
}

/// Whether a strength is a grade of SAE J429, which metric fasteners do not have.
pub(crate) fn is_inch_grade(name: &str) -> bool {
    name.starts_with("SAE")
}

/// Adds a warning about a figure that was taken.
pub(crate) fn warn(
    report: &mut Report,
    line: u32,
    field: &str,
    code: &'static str,
    reason: String,
    advice: &str,
) {
    let is_it = |heading: &Heading| match &heading.column {
        Column::Field(known) | Column::Low(known) | Column::High(known) => known.name == field,
        Column::TorqueFor(_) => field == "torque",
        _ => false,
    };
    let column = report.current().iter().position(is_it);
    let place = report.place(line, column);
    report.note(CellVerdict {
        place,
        raw: String::new(),
        verdict: Verdict::TakenWithWarning,
        read_as: None,
        code,
        reason,
        advice: advice.to_owned(),
    });
}
