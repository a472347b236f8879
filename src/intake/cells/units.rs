//! Units as shops write them: also the spellings that only a file may use.

use std::collections::HashMap;
use std::sync::LazyLock;

use crate::intake::words::without_accents;
use crate::quantity::{UNITS, Unit, find_unit};

/// The unit that the whole of `text` spells, and whether the spelling is a
/// slip.
pub(crate) fn unit_spelled(text: &str) -> Option<(&'static Unit, bool)> {
    let text = text.trim();
    let bare = text.strip_suffix('.').unwrap_or(text);
    if let Some(unit) = find_unit(bare) {
        return Some((unit, false));
    }
    if text.len() > 24 {
        return None;
    }
    let fold = |c| if matches!(c, '·' | '•' | '⋅' | '×' | '∙') { '-' } else { c };
    let joined: String = text.chars().filter(|c| !matches!(c, ' ' | '.')).map(fold).collect();
    let folded = without_accents(&joined.to_lowercase());
    let loose = LOOSE.get(folded.as_str()).copied();
    loose.or_else(|| find_unit(&folded).filter(|_| joined != text).map(|unit| (unit, false)))
}

/// The spellings without blanks and points that only a cell may have, and whether
/// each is a slip.
static LOOSE: LazyLock<HashMap<&'static str, (&'static Unit, bool)>> = LazyLock::new(|| {
    let mut loose = HashMap::new();
    for unit in UNITS {
        for spelling in unit.loose.iter().chain(unit.slips) {
            loose.entry(*spelling).or_insert((unit, unit.slips.contains(spelling)));
        }
    }
    loose
});

/// The longest unit at the start of `text`: the unit, its length in bytes
/// with leading blanks, and whether the spelling is a slip.
pub(crate) fn take_unit_spelled(text: &str) -> Option<(&'static Unit, usize, bool)> {
    let blanks = text.len() - text.trim_start_matches(' ').len();
    let body = &text[blanks..];
    let stops =
        |c: char| c.is_ascii_digit() || matches!(c, '(' | ')' | '[' | ',' | ';' | '+' | '±');
    let stop = body.find(stops).unwrap_or(body.len()).min(24);
    // N/mm² is also written with a digit.
    let stop = if body.to_ascii_lowercase().starts_with("n/mm") { body.len() } else { stop };
    let mut ends: Vec<usize> = Vec::new();
    let mut before = ' ';
    for (at, character) in body.char_indices() {
        if at > stop {
            break;
        }
        let is_end = at > 0 && !before.is_whitespace();
        if is_end && (!before.is_alphanumeric() || !character.is_alphanumeric()) {
            ends.push(at);
        }
        before = character;
    }
    if stop == body.len() {
        ends.push(stop);
    }
    let found = ends.into_iter().rev().find_map(|end| {
        let piece = body.get(..end)?;
        // A dash belongs to what follows: `Nm-70`, `ft-lb - 70`.
        let joined = piece.ends_with(['-', '/', '.']) && !piece.ends_with('#');
        let (unit, slip) = unit_spelled(piece.trim_end_matches('.'))?;
        (!joined || piece.ends_with('.')).then_some((unit, end, slip))
    })?;
    Some((found.0, blanks + found.1, found.2))
}
