//! Stored text made safe for a terminal, and names folded for comparison.

/// `text` with every control and direction-changing character escaped, so that
/// a cell of an imported file cannot move the cursor, colour the screen or
/// reverse what stands beside it. Line ends become a blank.
pub fn printable(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
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

/// A name as it is compared: lower case, blanks of all kinds folded to one.
pub fn fold_name(name: &str) -> String {
    let mut out = String::with_capacity(name.len());
    if name.is_ascii() {
        // Nothing to map: the usual case, met a million times in an import.
        for word in name.split(is_ascii_blank).filter(|word| !word.is_empty()) {
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

/// The blanks among the ASCII characters, for which looking at one byte is
/// enough.
fn is_ascii_blank(character: char) -> bool {
    matches!(character, ' ' | '\t'..='\r')
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
