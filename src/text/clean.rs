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

fn is_hidden(character: char) -> bool {
    character.is_control()
        || matches!(character,
            '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}')
}

/// A name as it is compared: lower case, blanks of all kinds folded to one.
pub fn fold_name(name: &str) -> String {
    let plain = super::Plain::new(name);
    let mut out = String::with_capacity(name.len());
    for word in plain.as_str().split_whitespace() {
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(&word.to_lowercase());
    }
    out
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
    fn names_fold_case_and_blanks() {
        assert_eq!(fold_name("  Marlow\u{a0} 6 "), "marlow 6");
    }
}
