//! Whether a fastener may be used again.

use super::{Context, read_quantity};
use crate::intake::verdict::{Problem, Reading, Taken};
use crate::record::Reuse;
use crate::text::fold_name;

const ONCE: &[&str] = &[
    "single-use",
    "single use",
    "no",
    "n",
    "false",
    "never",
    "not reusable",
    "one time",
    "once",
    "one time use",
    "one-time use",
    "use once",
    "do not reuse",
    "do not re-use",
    "no - tty",
    "once only",
    "replace",
    "always replace",
    "discard",
    "throw away",
    "new",
    "new each time",
    "new bolts",
    "new bolts each time",
    "discard after removal",
    "tty",
    "tty - replace",
    "tty-replace",
    "tty replace",
    "replace after use",
    "nein",
    "einmal",
    "einmalig",
    "nicht wiederverwendbar",
    "neue schrauben",
    "erneuern",
    "ersetzen",
    "non",
    "usage unique",
    "vis neuves",
    "à remplacer",
    "remplacer",
    "un solo uso",
    "no reutilizar",
    "sustituir",
    "monouso",
    "sostituire",
    "non riutilizzare",
    "renew",
    "renew each time",
    "always new",
    "new every time",
    "one use",
    "throwaway",
];
const AGAIN: &[&str] = &[
    "reusable",
    "yes",
    "y",
    "true",
    "x",
    "ok",
    "may be reused",
    "reuse",
    "unlimited",
    "ok to reuse",
    "can be reused",
    "reuse ok",
    "reuse if good",
    "re-use",
    "can reuse",
    "ja",
    "wiederverwendbar",
    "oui",
    "reutilisable",
    "réutilisable",
    "sí",
    "si",
    "reutilizable",
    "sì",
    "riutilizzabile",
    "mehrfach",
];

/// Reads `single-use`, `reusable`, `up to 5 cycles`, `5 times`, `until free
/// length 3.502 in`, `max length 3.502 in`.
pub(crate) fn read_reuse(cell: &str, context: Context) -> Reading<Reuse> {
    let folded = fold_name(cell);
    if ONCE.contains(&folded.as_str()) {
        return Ok(Taken::plain(Reuse::SingleUse));
    }
    if AGAIN.contains(&folded.as_str()) {
        return Ok(Taken::plain(Reuse::Reusable));
    }
    let lengths = [
        "until free length",
        "free length",
        "max free length",
        "max length",
        "maximum length",
        "length up to",
        "up to length",
        "until length",
    ];
    if let Some(rest) = lengths.iter().find_map(|start| folded.strip_prefix(start)) {
        let rest = rest.trim_start_matches([':', '=', '<', ' ']);
        return free_length(rest, context);
    }
    let starts = ["up to", "max.", "max", "maximum", "at most", "not over"];
    let limited = starts.iter().find_map(|start| folded.strip_prefix(start));
    let bare = limited.unwrap_or(&folded).trim();
    let bare = bare.strip_prefix("reuse ").unwrap_or(bare);
    let ends = ["cycles", "cycle", "times", "time", "uses", "use", "tightenings", "pulls", "x"];
    let counted = ends.iter().find_map(|end| bare.strip_suffix(end));
    if let Ok(cycles) = counted.unwrap_or(bare).trim().parse::<u32>()
        && (limited.is_some() || counted.is_some())
        && (1..=1000).contains(&cycles)
    {
        let reuse = if cycles == 1 { Reuse::SingleUse } else { Reuse::UpTo(cycles) };
        return Ok(Taken::plain(reuse));
    }
    if let (Some(_), None) = (limited, counted) {
        return free_length(bare, context);
    }
    Err(Problem::refused(
        "reuse",
        format!("`{}` does not say whether it may be used again", cell.trim()),
        "write reusable, single-use, up to 5 cycles, or until free length 3.502 in",
    ))
}

fn free_length(text: &str, context: Context) -> Reading<Reuse> {
    let taken = read_quantity(text, context);
    let taken = taken.map_err(|problem| problem.within(|r| format!("until free length {r}")))?;
    Ok(taken.map(Reuse::FreeLength))
}
