//! A heading taken apart at its brackets: words and units.

use crate::intake::cells::unit_spelled;
use crate::intake::names::Names;
use crate::intake::words::plain_words;
use crate::quantity::Unit;
use crate::text::Plain;

/// No unit at the end of a heading is longer.
const LONGEST_UNIT: usize = 40;

/// A heading taken apart at its brackets.
pub(crate) struct Parts {
    /// Outside of brackets, as written but plain.
    pub(crate) outside: String,
    /// What stands in brackets and is no unit.
    pub(crate) inside: Vec<String>,
    pub(crate) units: Vec<&'static Unit>,
}

impl Parts {
    pub(crate) fn split(text: &str) -> Self {
        let plain = Plain::new(text);
        let mut parts = Self { outside: String::new(), inside: Vec::new(), units: Vec::new() };
        let mut rest = plain.as_str();
        while let Some(open) = rest.find(['(', '[']) {
            parts.outside.push_str(&rest[..open]);
            parts.outside.push(' ');
            let after = &rest[open + 1..];
            let close = after.find([')', ']']).unwrap_or(after.len());
            parts.bracket(after[..close].trim());
            rest = after.get(close + 1..).unwrap_or("");
        }
        parts.outside.push_str(rest);
        parts
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.inside.is_empty() && self.units.is_empty()
    }

    fn bracket(&mut self, content: &str) {
        // `(in lbs)` is a unit, `(in mm)` says in which.
        let bare = content.strip_prefix("in ").unwrap_or(content);
        match units_spelled(content).or_else(|| units_spelled(bare)) {
            Some(units) => self.units.extend(units),
            None if content.is_empty() => {}
            None => self.inside.push(content.to_owned()),
        }
    }

    /// The readings to try, best first: words without the unit, and the units.
    pub(crate) fn candidates(&self) -> Vec<(String, Vec<&'static Unit>)> {
        let mut found = Vec::new();
        let whole = plain_words(&self.outside);
        for inside in &self.inside {
            found.push((format!("{whole} {}", plain_words(inside)), self.units.clone()));
            found.push((format!("{} {whole}", plain_words(inside)), self.units.clone()));
        }
        found.push((whole, self.units.clone()));
        // A unit at the end, not in brackets: the longest that is one.
        let outside = self.outside.trim();
        let starts =
            outside.char_indices().filter(|(_, c)| matches!(c, ' ' | ',' | '_' | ':' | '/'));
        for (at, mark) in starts {
            let end = outside[at + mark.len_utf8()..].trim();
            if end.len() > LONGEST_UNIT {
                continue;
            }
            let bare = end.strip_prefix("in ").unwrap_or(end);
            if let Some(units) = units_spelled(end).or_else(|| units_spelled(bare)) {
                let words = plain_words(outside[..at].trim_end_matches([',', '-', ' ']));
                let all = units.into_iter().chain(self.units.iter().copied()).collect();
                found.push((words.trim_end_matches(" in").to_owned(), all));
                break;
            }
        }
        found
    }
}

/// `text` as one unit, or several parted by `/`, `or`, `and`, `|`.
pub(crate) fn units_spelled(text: &str) -> Option<Vec<&'static Unit>> {
    if let Some((unit, _)) = unit_spelled(text) {
        return Some(vec![unit]);
    }
    let parted = text.replace(" or ", "/").replace(" and ", "/").replace(['|', ';'], "/");
    let pieces: Vec<&str> = parted.split('/').collect();
    if pieces.len() < 2 {
        return None;
    }
    pieces.into_iter().map(|piece| unit_spelled(piece.trim()).map(|(unit, _)| unit)).collect()
}

/// A lube that a torque heading nearly names: `Torque oill (lb-ft)`.
pub(crate) fn nearly_lube(text: &str, names: &Names) -> Option<String> {
    let candidates = Parts::split(text).candidates();
    let words = &candidates.last()?.0;
    let rest: Vec<&str> = words.split(' ').filter(|word| *word != "torque").collect();
    let says_torque = rest.len() < words.split(' ').count();
    let near = names.nearest_lube(&rest.join(" ")).filter(|_| says_torque && !rest.is_empty());
    near.map(str::to_owned)
}
