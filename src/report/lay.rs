//! Text measured, wrapped and cut by the columns that it takes on a terminal.
//!
//! A no-break space joins what must stay on one line ("65 lb-ft"); it is
//! printed as a plain blank.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::record::NOT_STATED;
use crate::text::printable;

/// Joins a number to its unit.
pub(crate) const TIE: char = '\u{a0}';

/// Columns that `text` takes on a terminal.
pub(crate) fn width(text: &str) -> usize {
    // Measured at every word that is drawn: nearly all are of letters that take one column.
    let takes_one =
        |letter| matches!(letter, ' '..='~' | '\u{a0}'..='\u{ac}' | '\u{ae}'..='ÿ' | '–');
    if text.chars().all(takes_one) { text.chars().count() } else { text.width() }
}

fn columns(character: char) -> usize {
    character.width().unwrap_or(0)
}

/// Stored text made safe to draw, with every blank plain.
pub(crate) fn clean(text: &str) -> String {
    printable(text).replace(TIE, " ")
}

/// `text` with its blanks tied, so that it stays on one line.
pub(crate) fn tied(text: &str) -> String {
    text.replace(' ', "\u{a0}")
}

/// `text` with its ties as plain blanks, ready to print.
pub(crate) fn untied(text: &str) -> String {
    text.replace(TIE, " ")
}

/// `text` with blanks up to `columns`.
pub(crate) fn pad(text: &str, columns: usize) -> String {
    let missing = columns.saturating_sub(width(text));
    format!("{text}{}", " ".repeat(missing))
}

/// `text` in lines of at most `columns`, broken at blanks. Only a word that is
/// longer than a whole line is broken inside. A per cent sign stays with its
/// number. Never empty.
pub(crate) fn wrap(text: &str, columns: usize) -> Vec<String> {
    let text = text.replace(" %", "\u{a0}%");
    let (mut lines, mut taken) = (vec![String::new()], 0);
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        taken = put(&mut lines, taken, word, " ", columns.max(1));
    }
    lines
}

/// `text` in lines of at most `columns`, each two columns in.
pub(crate) fn indented(text: &str, columns: usize) -> Vec<String> {
    wrap(text, columns.saturating_sub(2)).iter().map(|line| format!("  {line}")).collect()
}

/// A text that fits keeps its blanks as they are; else it is wrapped.
pub(crate) fn fitted(text: &str, columns: usize) -> Vec<String> {
    if width(text) <= columns { vec![text.to_owned()] } else { wrap(text, columns) }
}

/// Text of several lines in lines of at most `columns`. Those that begin with a blank
/// stay: they are drawn, or to be copied.
pub fn folded(text: &str, columns: usize) -> String {
    let fold = |line: &str| match line.starts_with(' ') || width(line) <= columns {
        true => line.to_owned(),
        false => wrap(line, columns).join("\n"),
    };
    untied(&text.split('\n').map(fold).collect::<Vec<_>>().join("\n"))
}

/// Adds `piece` to the last line, which takes `taken` columns, if it fits there after
/// `gap`, else to lines of its own; the columns that the last line then takes.
fn put(lines: &mut Vec<String>, taken: usize, piece: &str, gap: &str, columns: usize) -> usize {
    let gap = if taken == 0 { "" } else { gap };
    let longer = taken + width(gap) + width(piece);
    if longer <= columns {
        if let Some(line) = lines.last_mut() {
            line.push_str(gap);
            line.push_str(piece);
        }
        return longer;
    }
    if taken > 0 {
        lines.push(String::new());
    }
    let mut rest = piece;
    while width(rest) > columns {
        let (line, after) = rest.split_at(fit(rest, columns));
        if let Some(last) = lines.last_mut() {
            last.push_str(line);
        }
        lines.push(String::new());
        rest = after;
    }
    if let Some(line) = lines.last_mut() {
        line.push_str(rest);
    }
    width(rest)
}

/// Bytes at the start of `text` that fit in `limit` columns, one character at
/// the least.
fn fit(text: &str, limit: usize) -> usize {
    let mut taken = 0;
    for (at, character) in text.char_indices() {
        taken += columns(character);
        if taken > limit && at > 0 {
            return at;
        }
    }
    text.len()
}

/// Short texts one after the other, two blanks between them, each on one line
/// where it fits.
pub(crate) fn flow(items: &[String], columns: usize) -> Vec<String> {
    let (mut lines, mut taken) = (vec![String::new()], 0);
    for item in items {
        if width(item) <= columns {
            taken = put(&mut lines, taken, item, "  ", columns);
            continue;
        }
        let mut pieces = wrap(item, columns);
        taken = pieces.last().map_or(0, |line| width(line));
        if lines.last().is_some_and(String::is_empty) {
            lines.pop();
        }
        lines.append(&mut pieces);
    }
    lines.retain(|line| !line.is_empty());
    lines
}

/// `text` with its first letter large.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// `count` things: "1 row", "5 rows".
pub(crate) fn counted(count: usize, thing: &str) -> String {
    let ending = if count == 1 { "" } else { "s" };
    format!("{count} {thing}{ending}")
}

pub(crate) fn or_not_stated(text: Option<impl AsRef<str>>) -> String {
    text.map_or_else(|| NOT_STATED.to_owned(), |text| clean(text.as_ref()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wrapping_breaks_at_blanks_and_keeps_ties() {
        assert_eq!(
            wrap("wet to dry is never converted", 10),
            ["wet to dry", "is never", "converted"]
        );
        assert_eq!(wrap("from 44\u{a0}lb-ft dry", 9), ["from", "44\u{a0}lb-ft", "dry"]);
        assert_eq!(wrap("", 10), [""]);
        for line in wrap("a-very-long-word-without-any-blank µµµµµ", 7) {
            assert!(width(&line) <= 7, "{line}");
        }
    }

    #[test]
    fn wide_letters_count_twice() {
        assert_eq!(width("漢字"), 4);
        for line in wrap("漢字漢字漢字", 3) {
            assert!(width(&line) <= 3, "{line}");
        }
        assert_eq!(width("95 N·m"), 6);
    }

    #[test]
    fn what_is_counted_is_as_wide_as_what_is_looked_up() {
        for letter in (0..0x1_0000).filter_map(char::from_u32) {
            let text = letter.to_string();
            assert_eq!(width(&text), text.width(), "{:x}", u32::from(letter));
        }
    }

    #[test]
    fn notes_flow() {
        let notes = ["a one two".to_owned(), "b three".to_owned(), "c x".to_owned()];
        assert_eq!(flow(&notes, 18), ["a one two  b three", "c x"]);
        assert_eq!(flow(&notes, 8), ["a one", "two", "b three", "c x"]);
        assert!(flow(&[], 10).is_empty());
    }
}
