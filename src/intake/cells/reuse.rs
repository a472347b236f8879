//! Whether a fastener may be used again.

use super::{Context, read_quantity};
use crate::intake::once_words::{ONCE, says_each_time};
use crate::intake::verdict::{Problem, Reading, Taken};
use crate::intake::words::{plain_words, without_accents};
use crate::record::Reuse;
use crate::text::fold_name;

/// What only a column about it says so shortly.
#[rustfmt::skip] // words of five languages, side by side
const NO: &[&str] = &[
    "no", "n", "false", "bin", "bin it", "once", "one time", "one use", "replace", "discard", "new", "renew", "tty", "no - tty", "tty - replace", "tty-replace", "tty replace",
    "nein", "einmal", "einmalig", "erneuern", "ersetzen", "non", "a remplacer", "remplacer", "sustituir", "reemplazar", "sostituire", "da sostituire", "throw away", "neu",
];
/// It, or its opposite under a heading that asks for new ones.
const NEVER: &[&str] = &["never", "nie", "niemals", "jamais", "nunca", "jamas", "mai", "nooit"];
#[rustfmt::skip] // words of five languages, side by side
const AGAIN: &[&str] = &[
    "reusable", "keep", "yes", "y", "true", "x", "ok", "may be reused", "reuse", "unlimited", "ok to reuse", "can be reused",
    "reuse ok", "reuse if good", "re-use", "can reuse", "ja", "wiederverwendbar", "oui", "reutilisable", "si",
    "reutilizable", "riutilizzabile", "mehrfach",
];

/// Whether a heading asks for fasteners that are thrown away: `Replace`, `Schrauben ersetzen`.
pub(crate) fn asks_for_new(heading: &str) -> bool {
    let plain = plain_words(heading);
    let is_word = |words: &[&str]| words.iter().any(|word| plain_words(word) == plain);
    is_word(ONCE) || is_word(NO) || plain == "einmalschraube"
}

/// Whether a heading asks for fasteners that are used again: `Reuse`, `Re-use OK?`.
pub(crate) fn asks_for_again(heading: &str) -> bool {
    const SAYS: &[&str] =
        &["reus", "re us", "use again", "wiederverw", "reutil", "riutil", "reempl"];
    let plain = plain_words(heading);
    SAYS.iter().any(|says| plain.contains(says))
}

/// The same for a cell under such a heading, where what is so each time is fit for it.
pub(crate) fn read_again(cell: &str, context: Context) -> Reading<Reuse> {
    if says_each_time(&plain_words(cell)) {
        return Ok(Taken::plain(Reuse::Reusable));
    }
    read_reuse(cell, context)
}

/// The same for a cell under a heading that asks for new ones, where `yes` and `every time`
/// are single-use, and `never` is not.
pub(crate) fn read_new(cell: &str, context: Context) -> Reading<Reuse> {
    let plain = plain_words(cell);
    if says_each_time(&plain) {
        return Ok(Taken::plain(Reuse::SingleUse));
    }
    if NEVER.contains(&plain.as_str()) {
        return Ok(Taken::plain(Reuse::Reusable));
    }
    match cell.trim().to_lowercase().as_str() {
        "yes" | "y" | "ja" | "j" | "oui" | "o" | "si" | "sí" | "sì" | "s" | "x" | "true" | "1"
        | "✓" | "✔" => Ok(Taken::plain(Reuse::SingleUse)),
        "no" | "n" | "nein" | "non" | "false" | "0" => Ok(Taken::plain(Reuse::Reusable)),
        _ => read_reuse(cell, context),
    }
}

/// Reads `single-use`, `reusable`, `up to 5 cycles`, `5 times`, `until free
/// length 3.502 in`, `max length 3.502 in`.
pub(crate) fn read_reuse(cell: &str, context: Context) -> Reading<Reuse> {
    let folded = fold_name(cell);
    let plain = without_accents(&folded);
    if NO.contains(&plain.as_str())
        || NEVER.contains(&plain.as_str())
        || ONCE.iter().any(|once| plain.starts_with(once))
    {
        return Ok(Taken::plain(Reuse::SingleUse));
    }
    if AGAIN.contains(&plain.as_str()) {
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
    if let Some(reading) = limited(&plain, context) {
        return reading;
    }
    Err(Problem::refused(
        "reuse",
        format!("`{}` does not say whether it may be used again", cell.trim()),
        "write reusable, single-use, up to 5 cycles, or until free length 3.502 in",
    ))
}

/// `max 5 cycles`, `2x max`, `max 88.9 mm`: how often, or up to which length.
fn limited(plain: &str, context: Context) -> Option<Reading<Reuse>> {
    const BEFORE: &[&str] = &["up to", "max.", "max", "maximum", "at most", "not over"];
    #[rustfmt::skip] // words of five languages, side by side
    const BEHIND: &[&str] = &["max.", "max", "maximum", "maximal", "maxi", "maximo", "massimo", "at most"];
    #[rustfmt::skip] // words of five languages, side by side
    const TIMES: &[&str] = &[
        "cycles", "cycle", "times", "time", "uses", "use", "tightenings", "pulls", "x", "mal", "fois", "veces", "volte",
    ];
    let ended = || BEHIND.iter().find_map(|end| plain.strip_suffix(end));
    let limited = BEFORE.iter().find_map(|start| plain.strip_prefix(start)).or_else(ended);
    let bare = limited.unwrap_or(plain).trim();
    let bare = bare.strip_prefix("reuse ").unwrap_or(bare);
    let counted = TIMES.iter().find_map(|end| bare.strip_suffix(end));
    if let Ok(cycles) = counted.unwrap_or(bare).trim().parse::<u32>()
        && (limited.is_some() || counted.is_some())
        && (1..=1000).contains(&cycles)
    {
        let reuse = if cycles == 1 { Reuse::SingleUse } else { Reuse::UpTo(cycles) };
        return Some(Ok(Taken::plain(reuse)));
    }
    (limited.is_some() && counted.is_none()).then(|| free_length(bare, context))
}

fn free_length(text: &str, context: Context) -> Reading<Reuse> {
    let taken = read_quantity(text, context);
    let taken = taken.map_err(|problem| problem.within(|r| format!("until free length {r}")))?;
    Ok(taken.map(Reuse::FreeLength))
}
