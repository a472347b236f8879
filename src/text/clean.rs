//! Stored text made safe for a terminal, and names folded for comparison.

use std::borrow::Cow;

/// `text` with every control and direction-changing character escaped, so that
/// a cell of an imported file cannot move the cursor, colour the screen or
/// reverse what stands beside it. Line ends become a blank.
pub fn printable(text: &str) -> String {
    if is_plain(text) {
        return text.to_owned();
    }
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            // Nearly every character of nearly every text.
            ' '..='~' => out.push(character),
            '\n' | '\r' | '\t' => out.push(' '),
            hidden if is_hidden(hidden) => out.extend(hidden.escape_unicode()),
            plain => out.push(plain),
        }
    }
    out
}

/// Whether a character is not seen itself and changes how others are: controls,
/// marks without width or of direction, tags (Unicode 16, general categories Cc
/// and Cf, without those that belong to a script).
pub(super) fn is_hidden(character: char) -> bool {
    character.is_control()
        || matches!(character,
            '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}'
            | '\u{e0000}'..='\u{e007f}')
}

/// Nearly every text has nothing hidden, which its bytes tell: many at a time, without a
/// look at each before the next.
fn is_plain(text: &str) -> bool {
    let is_plain =
        |bytes: &[u8]| bytes.iter().fold(true, |all, byte| all & (b' '..=b'~').contains(byte));
    text.as_bytes().chunks(64).all(is_plain)
}

/// The first character of `text` that `is_hidden` names, line ends and tabs apart.
pub fn hidden_in(text: &str) -> Option<char> {
    if is_plain(text) {
        return None;
    }
    text.chars().find(|found| is_hidden(*found) && !matches!(found, '\n' | '\t'))
}

/// `text` with the fraction characters that a spreadsheet makes in digits: `1¼-8` is
/// `1-1/4-8`.
pub fn with_fractions(text: &str) -> Cow<'_, str> {
    const SIGNS: &[(char, &str)] = &[
        ('½', "1/2"),
        ('¼', "1/4"),
        ('¾', "3/4"),
        ('⅛', "1/8"),
        ('⅜', "3/8"),
        ('⅝', "5/8"),
        ('⅞', "7/8"),
    ];
    let sign = |c: char| SIGNS.iter().find(|(sign, _)| *sign == c);
    if text.is_ascii() || !text.contains(|c| sign(c).is_some()) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 4);
    for letter in text.chars() {
        match sign(letter) {
            Some((_, digits)) => {
                out.push_str(if out.ends_with(|c: char| c.is_ascii_digit()) { "-" } else { "" });
                out.push_str(digits);
            }
            None => out.push(letter),
        }
    }
    Cow::Owned(out)
}

/// `text` without such characters, and each that was taken out, once; a line end
/// becomes `\n`. None if there is nothing to change.
pub fn without_hidden(text: &str) -> Option<(String, Vec<char>)> {
    hidden_in(text)?;
    let (mut out, mut found) = (String::with_capacity(text.len()), Vec::new());
    let mut rest = text.chars().peekable();
    while let Some(character) = rest.next() {
        match character {
            '\r' if rest.peek() == Some(&'\n') => {}
            '\r' | '\n' => out.push('\n'),
            '\t' => out.push('\t'),
            hidden if !is_hidden(hidden) => out.push(hidden),
            known if found.contains(&known) => {}
            new => found.push(new),
        }
    }
    Some((out, found))
}

/// What is said of characters that were taken out.
pub fn taken_out(found: &[char]) -> String {
    let codes: Vec<String> = found.iter().map(|one| format!("U+{:04X}", u32::from(*one))).collect();
    format!("characters that cannot be seen were taken out: {}", codes.join(", "))
}

/// A name as it is compared: lower case, blanks of all kinds folded to one.
pub fn fold_name(name: &str) -> String {
    let mut out = String::with_capacity(name.len());
    if name.is_ascii() {
        // Nothing to map: the usual case, met a million times in an import.
        for word in name.split(|c| matches!(c, ' ' | '\t'..='\r')).filter(|word| !word.is_empty()) {
            if !out.is_empty() {
                out.push(' ');
            }
            out.push_str(word);
        }
        out.make_ascii_lowercase();
        return out;
    }
    let plain = super::Plain::new(name);
    for word in plain.as_str().split_whitespace() {
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(&word.to_lowercase());
    }
    out
}

/// Whether [`fold_name`] of `name` is `folded`, without building it.
pub fn folds_to(name: &str, folded: &str) -> bool {
    if !name.is_ascii() {
        return fold_name(name) == folded;
    }
    let mut rest = folded.as_bytes();
    for (at, word) in name.split_whitespace().enumerate() {
        if at > 0 {
            let Some(after) = rest.strip_prefix(b" ") else { return false };
            rest = after;
        }
        let Some((head, after)) = rest.split_at_checked(word.len()) else { return false };
        if !head.iter().zip(word.bytes()).all(|(a, b)| *a == b.to_ascii_lowercase()) {
            return false;
        }
        rest = after;
    }
    rest.is_empty()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn control_and_direction_characters_are_escaped() {
        assert_eq!(printable("a\u{1b}[31mb"), "a\\u{1b}[31mb");
        assert_eq!(printable("a\u{202e}b"), "a\\u{202e}b");
        assert_eq!(printable("N·m\n"), "N·m ");
    }

    #[test]
    fn hidden_characters_are_taken_out_and_named() {
        assert_eq!(without_hidden("70 lb-ft\n\tµ №"), None);
        let (clean, found) = without_hidden("a\r\nb\rc\u{1b}[0m\u{202e}d\u{1b}").unwrap();
        assert_eq!((clean.as_str(), hidden_in(&clean)), ("a\nb\nc[0md", None));
        let words = "characters that cannot be seen were taken out: U+001B, U+202E";
        assert_eq!(taken_out(&found), words);
        assert_eq!(without_hidden("a\r\n"), Some(("a\n".to_owned(), Vec::new())));
    }

    #[test]
    fn a_name_folds_to_its_folded_self_and_to_nothing_else() {
        let names =
            ["", " ", "moly", " Moly  paste\t", "MOLY PASTE", "moly p", "mo ly", "Öl", "\u{b}x"];
        for name in names {
            for other in names {
                let folded = fold_name(other);
                assert_eq!(folds_to(name, &folded), fold_name(name) == folded, "{name} {other}");
            }
        }
    }

    #[test]
    fn names_fold_case_and_blanks() {
        assert_eq!(fold_name("  Marlow\u{a0} 6 "), "marlow 6");
    }
}
