//! What stands in the box on top of a page, once, and what belongs to one part.

use crate::query::run::UnitsWanted;
use crate::record::{Row, hole_numbers};
use crate::report::cautions::cautions;
use crate::report::lay::{clean, untied};
use crate::report::notes::notes;
use crate::report::pull::Pull;
use crate::report::sheet::BenchJoint;

/// The cautions that hold for a joint as a whole begin so in the notes of a
/// row; the rest of a note belongs to its part.
const OF_THE_JOINT: &[&str] = &[
    "blind: ",
    "aluminium: ",
    "wheel: ",
    "steering: ",
    "brake: ",
    "lifting: ",
    "pressure: ",
    "Studs replace bolts:",
];
/// Said at the part itself.
const DISCARD: &str = "DISCARD";
const START_ONLY: &str = "is only the start";

/// The cautions of a page, each once: with the parts they are for, where they
/// are not for all.
pub(crate) fn page_cautions(joint: &BenchJoint, wanted: &UnitsWanted) -> Vec<String> {
    let rows: Vec<&Row> = live(joint).collect();
    let mut said: Vec<(String, Vec<&str>)> = Vec::new();
    let mut parts: Vec<&str> = Vec::new();
    for row in &rows {
        let part = row.fastener.part.as_str();
        if !parts.contains(&part) {
            parts.push(part);
        }
        for note in notes(row, wanted).iter().filter(|note| is_of_joint(&note.text)) {
            match said.iter_mut().find(|(text, _)| *text == note.text) {
                Some((_, parts)) if !parts.contains(&part) => parts.push(part),
                Some(_) => {}
                None => said.push((note.text.clone(), vec![part])),
            }
        }
    }
    let mut lines: Vec<String> =
        said.into_iter().map(|(text, of)| line(&text, &of, of.len() == parts.len())).collect();
    let pulls: Vec<Pull> = rows.iter().map(|row| Pull::of(&row.setting, wanted)).collect();
    let general = cautions(&rows, &pulls).into_iter();
    lines.extend(general.filter(|text| !text.contains(DISCARD) && !text.contains(START_ONLY)));
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

fn is_of_joint(text: &str) -> bool {
    OF_THE_JOINT.iter().any(|start| text.starts_with(start))
}

/// `Blind (bolt, short): Liquid in this hole …`
fn line(text: &str, parts: &[&str], is_for_all: bool) -> String {
    let Some((label, words)) = text.split_once(": ").filter(|_| !text.starts_with("Studs")) else {
        return text.to_owned();
    };
    let mut letters = label.chars();
    let label: String = letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default();
    if is_for_all {
        return format!("{label}: {words}");
    }
    let parts: Vec<String> = parts.iter().map(|part| clean(part)).collect();
    format!("{label} ({}): {words}", parts.join("; "))
}

/// The cautions of one row that stand at its part.
pub(crate) fn row_cautions(row: &Row, wanted: &UnitsWanted) -> Vec<String> {
    let own = notes(row, wanted).into_iter().filter(|note| note.is_caution);
    let own = own.map(|note| note.text).filter(|text| !is_of_joint(text));
    let start = cautions(&[row], &[]).into_iter().filter(|text| text.contains(START_ONLY));
    start.chain(own).map(|text| untied(&text)).collect()
}
