//! Units as shops write them, beyond the spellings of the UNITS table.

use crate::quantity::{Unit, find_unit};

/// A further spelling: lower case without blanks and full stops, the unit, and
/// whether it is a slip worth a warning (a stroke says "per").
const EXTRA: &[(&str, &str, bool)] = &[
    ("ft/lb", "lb-ft", true),
    ("ft/lbs", "lb-ft", true),
    ("lb/ft", "lb-ft", true),
    ("lbs/ft", "lb-ft", true),
    ("lbf/ft", "lb-ft", true),
    ("in/lb", "lb-in", true),
    ("in/lbs", "lb-in", true),
    ("lb/in", "lb-in", true),
    ("lbs/in", "lb-in", true),
    ("n/m", "N·m", true),
    ("kg/m", "kgf·m", true),
    ("kg/cm", "kgf·cm", true),
    ("#ft", "lb-ft", false),
    ("ft#", "lb-ft", false),
    ("#-ft", "lb-ft", false),
    ("ft-#", "lb-ft", false),
    ("'lb", "lb-ft", false),
    ("'lbs", "lb-ft", false),
    ("'#", "lb-ft", false),
    ("footlb", "lb-ft", false),
    ("footlbs", "lb-ft", false),
    ("foot-lb", "lb-ft", false),
    ("foot-lbs", "lb-ft", false),
    ("ftpounds", "lb-ft", false),
    ("ft-pounds", "lb-ft", false),
    ("ftpound", "lb-ft", false),
    ("#in", "lb-in", false),
    ("in#", "lb-in", false),
    ("#-in", "lb-in", false),
    ("in-#", "lb-in", false),
    ("\"lb", "lb-in", false),
    ("\"lbs", "lb-in", false),
    ("\"-lb", "lb-in", false),
    ("\"-lbs", "lb-in", false),
    ("\"#", "lb-in", false),
    ("inpounds", "lb-in", false),
    ("in-pounds", "lb-in", false),
    ("mkp", "kgf·m", false),
    ("rev", "turn", false),
    ("revs", "turn", false),
    ("ofaturn", "turn", false),
];

/// The unit that the whole of `text` spells, and whether the spelling is a
/// slip.
pub(crate) fn unit_spelled(text: &str) -> Option<(&'static Unit, bool)> {
    let text = text.trim();
    let bare = text.strip_suffix('.').unwrap_or(text);
    if let Some(unit) = find_unit(bare) {
        return Some((unit, false));
    }
    if !text.is_ascii() || text.len() > 16 {
        return None;
    }
    let folded: String =
        text.chars().filter(|c| !matches!(c, ' ' | '.')).collect::<String>().to_ascii_lowercase();
    let (_, symbol, slip) = EXTRA.iter().find(|(spelling, _, _)| *spelling == folded)?;
    find_unit(symbol).map(|unit| (unit, *slip))
}

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
