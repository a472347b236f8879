//! What stands in the box on top of a page, once, and what belongs to one part.

use crate::query::run::UnitsWanted;
use crate::record::{Row, hole_numbers};
use crate::report::cautions::{angle_starts, confused, inch_pounds, own_lube};
use crate::report::lay::{capital, clean, untied};
use crate::report::notes::{About, Note, notes};
use crate::report::pull::Pull;
use crate::report::sheet::BenchJoint;

/// The cautions of a page, each once: with the parts they are for, where they
/// are not for all.
pub(crate) fn page_cautions(joint: &BenchJoint, wanted: &UnitsWanted) -> Vec<String> {
    let rows: Vec<&Row> = live(joint).collect();
    let mut said: Vec<(Note, Vec<&str>)> = Vec::new();
    let mut parts: Vec<&str> = Vec::new();
    for row in &rows {
        let part = row.fastener.part.as_str();
        if !parts.contains(&part) {
            parts.push(part);
        }
        for note in notes(row, wanted).into_iter().filter(is_of_joint) {
            match said.iter_mut().find(|(known, _)| *known == note) {
                Some((_, parts)) if !parts.contains(&part) => parts.push(part),
                Some(_) => {}
                None => said.push((note, vec![part])),
            }
        }
    }
    let mut lines: Vec<String> =
        said.into_iter().map(|(note, of)| line(&note, &of, of.len() == parts.len())).collect();
    let pulls: Vec<Pull> = rows.iter().map(|row| Pull::new(&row.setting, wanted)).collect();
    // What is to be discarded, and what is only the start, stands at its part.
    lines.extend(own_lube(&rows).map(str::to_owned));
    lines.extend(inch_pounds(&pulls));
    lines.extend(confused(&rows));
    lines.extend(either(&rows));
    lines.iter().map(|line| untied(line)).collect()
}

/// Parts that stand for each other: they name the same holes.
fn either(rows: &[&Row]) -> Option<String> {
    let mut parts: Vec<(&str, Vec<usize>)> = Vec::new();
    for row in rows {
        let (part, holes) = (row.fastener.part.as_str(), row.fastener.positions.as_deref());
        if let Some(holes) = holes.and_then(hole_numbers)
            && !parts.iter().any(|(known, _)| *known == part)
        {
            parts.push((part, holes));
        }
    }
    let shared = |at: &usize| parts.iter().filter(|(_, holes)| *holes == parts[*at].1).count() > 1;
    let at = (0..parts.len()).find(shared)?;
    let names = parts.iter().filter(|(_, holes)| *holes == parts[at].1);
    let names: Vec<String> = names.map(|(part, _)| clean(part)).collect();
    Some(format!("One of these in the same holes, never both: {}.", names.join(" or ")))
}

/// The rows that are pulled: not refused, not superseded.
pub(crate) fn live(joint: &BenchJoint) -> impl Iterator<Item = &Row> {
    let rows = joint.rows.iter().map(|one| &one.row);
    rows.filter(|row| row.refused.is_none() && !row.setting.superseded)
}

fn is_of_joint(note: &Note) -> bool {
    matches!(note.about, About::Joint(_))
}

/// `Blind (bolt, short): Liquid in this hole …`
fn line(note: &Note, parts: &[&str], is_for_all: bool) -> String {
    let About::Joint(word) = note.about else { return note.text.clone() };
    let Some(words) = note.text.strip_prefix(word).and_then(|rest| rest.strip_prefix(": ")) else {
        return note.text.clone();
    };
    let label = capital(word);
    if is_for_all {
        return format!("{label}: {words}");
    }
    let parts: Vec<String> = parts.iter().map(|part| clean(part)).collect();
    format!("{label} ({}): {words}", parts.join("; "))
}

/// The cautions of one row that stand at its part.
pub(crate) fn row_cautions(row: &Row, wanted: &UnitsWanted) -> Vec<String> {
    let own = notes(row, wanted).into_iter().filter(|note| note.is_caution && !is_of_joint(note));
    let start = angle_starts(&[row], wanted).into_iter();
    start.chain(own.map(|note| note.text)).map(|text| untied(&text)).collect()
}
