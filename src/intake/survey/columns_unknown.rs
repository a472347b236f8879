//! Columns whose headings are not known: read by what they hold, or asked about.

use crate::intake::header::{Column, Heading, Weight, read_heading, says_degrees, says_torque};
use crate::intake::heading_words::{ASIDE, NAMING, PLURALS};
use crate::intake::survey::columns::Settler;
use crate::intake::survey::columns_content::ByCells;
use crate::intake::survey::rows::figures;
use crate::intake::words::{NOMINAL, THEN, plain_words};
use crate::record::find_field;

impl Settler<'_> {
    /// `Spec`, `Value` over grades, threads or lubes, beside a column of figures to tighten to.
    pub(super) fn vague(&self, at: usize, headings: &[Heading]) -> Option<ByCells> {
        let (heading, content) = (&headings[at], &self.contents[at]);
        let has = |name: &str| headings.iter().any(|one| one.column.is(name));
        let words = plain_words(&heading.text);
        let is_vague = heading.column.is("torque")
            && heading.units.is_empty()
            && words.split(' ').all(|word| VAGUE.contains(&word));
        let is_torque =
            |nth: usize| nth != at && figures(&headings[nth]) && self.contents[nth].are_figures();
        if !is_vague || !(0..headings.len()).any(is_torque) {
            return None;
        }
        let (name, why) = match () {
            () if content.are_threads() && !has("thread") => ("thread", "the cells are threads"),
            () if content.are_strengths() && !has("strength") => {
                ("strength", "the cells are grades")
            }
            () if content.are_lubes() && !has("lube") => ("lube", "the cells are lubes"),
            () if content.are_figures() && !content.are_strengths() => return None,
            () => ("notes", "the cells are no torques"),
        };
        Some(ByCells::Field(name, why))
    }

    /// `Turns past finger tight` over 2-3, beside the threads themselves.
    pub(super) fn has_other_threads(&self, at: usize, headings: &[Heading]) -> bool {
        let beside_threads =
            |one: &Heading| one.column.is("thread") && one.weight >= Weight::Strong;
        headings
            .iter()
            .zip(&self.contents)
            .enumerate()
            .any(|(nth, (one, cells))| nth != at && beside_threads(one) && cells.are_threads())
    }

    /// `Nut torque` over figures, where no column is one of torque.
    pub(super) fn may_be_torque(&self, at: usize, headings: &[Heading]) -> bool {
        let words = plain_words(&headings[at].text);
        // `Nominal` beside `Min` and `Max`.
        let is_end = |one: &Heading| matches!(one.column, Column::Low(_) | Column::High(_));
        let is_nominal = words.split(' ').all(|word| NOMINAL.contains(&word))
            && headings.iter().any(is_end)
            && !headings.iter().any(|one| one.column.is_torque());
        is_unknown(&headings[at])
            && self.contents[at].are_figures()
            && (is_nominal || !headings.iter().any(figures) && words.split(' ').any(says_torque))
    }

    /// Turns, or degrees that may be turned, under an unknown heading beside a torque, where
    /// no column is the angle.
    pub(super) fn angle(&self, at: usize, headings: &[Heading]) -> Option<ByCells> {
        let (heading, content) = (&headings[at], &self.contents[at]);
        let has_angle = headings.iter().any(|one| one.column.is("angle"));
        if !is_unknown(heading) || self.sheet.is_typed || !headings.iter().any(figures) || has_angle
        {
            return None;
        }
        let are_angles = content.are_angles();
        if are_angles && content.have_turns() {
            return Some(ByCells::Field("angle", "the cells are turns"));
        }
        let asked = Column::Asked {
            reason: "degrees beside a torque: is it turned by them after it".to_owned(),
            readings: vec!["angle (°)".to_owned(), "notes".to_owned()],
        };
        let may_be = are_angles || content.are_figures() && adds(&heading.text);
        may_be.then_some(ByCells::Column(asked))
    }

    /// The field that an unknown heading nearly names, or one of its outer words does
    /// (`Engine family`), where no column has it.
    pub(super) fn near(&self, at: usize, headings: &[Heading]) -> Option<&'static str> {
        const FIELDS: &[&str] =
            &["assembly", "joint", "part", "thread", "torque", "lube", "strength", "count"];
        let Column::Unknown { nearest } = &headings[at].column else { return None };
        let text = headings[at].text.replace('_', " ");
        let is_free = |field: &str| !headings.iter().any(|heading| heading.column.is(field));
        let near = nearest.as_ref().and_then(|near| find_field(&near.to_lowercase()));
        // `Kart` is no slip of `part`: of a short word one letter makes another.
        let is_near = |field: &&'static str| {
            let length = text.chars().count();
            let first = |text: &str| text.chars().next().map(|c| c.to_ascii_lowercase());
            length >= 4 && (length >= 6 || first(&text) == first(field))
        };
        let near = near.map(|field| field.name).filter(|field| FIELDS.contains(field));
        let near = near.filter(is_near);
        // `Grease?` is nearly `Grade`, until its cells are seen.
        let content = &self.contents[at];
        let near = near.filter(|field| *field != "strength" || content.are_strengths());
        // `Engine family` names an engine, `Machine operator` and `Storage location` nothing
        // of the joint.
        let (first, rest) = text.split_once(' ').unwrap_or((&text, ""));
        let says = |words: &[&str], word: &str| words.contains(&plain_words(word).as_str());
        let is_name = !rest.is_empty() && rest.split(' ').all(|word| says(NAMING, word));
        let last = rest.rsplit(' ').next().filter(|last| !last.is_empty() && !says(ASIDE, first));
        let outer = [Some(first).filter(|_| is_name), last].into_iter().flatten();
        let named = outer.into_iter().find_map(|word| {
            let heading = read_heading(word, self.names);
            let fields = ["assembly", "joint", "strength"].into_iter();
            let field = fields.filter(|field| is_free(field)).find(|one| heading.column.is(one))?;
            let fits = match field {
                "strength" => content.are_strengths(),
                _ => content.filled > 0 && !content.are_figures(),
            };
            fits.then_some(field)
        });
        near.filter(|field| is_free(field)).or(named)
    }
}

/// Whether figures under a heading may be degrees that are added: `Seat (°)`, `+`, `then`.
fn adds(heading: &str) -> bool {
    let word = heading.trim().to_lowercase();
    says_degrees(heading) || ["+", "plus"].contains(&&*word) || THEN.contains(&&*word)
}

/// `Bolts`, `No of studs`, `Bolts per head`.
pub(super) fn is_count(heading: &str) -> bool {
    const NUMBER: &[&str] =
        &["no", "#", "number", "qty", "nr", "anzahl", "nombre", "nb", "cantidad", "quantita", "n"];
    const BETWEEN: &[&str] = &["of", "de", "der", "di"];
    let folded = plain_words(heading);
    let words = folded.split(' ').filter(|word| !NUMBER.contains(word) && !BETWEEN.contains(word));
    let mut words = words;
    words.next().is_some_and(|word| PLURALS.contains(&word))
        && words
            .next()
            .is_none_or(|word| ["per", "each", "je", "pro", "par", "por"].contains(&word))
}

pub(super) fn is_unknown(heading: &Heading) -> bool {
    matches!(heading.column, Column::Unknown { .. } | Column::Blank)
}

/// Words that say torque, and may head anything that is specified.
#[rustfmt::skip] // words of five languages, side by side
const VAGUE: &[&str] = &[
    "spec", "specs", "specification", "value", "figure", "setting", "requirement", "required", "rating", "data", "sollwert", "vorgabe", "wert", "valeur", "valor", "valore",
];
