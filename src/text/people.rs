//! What a person reads: the last thing before a text goes to a terminal.

use std::borrow::Cow;
use std::io::{self, Write};

use super::clean::is_hidden;

/// `text` with every character escaped that moves the cursor, colours the screen,
/// hides or turns what stands beside it: file names, arguments and messages of
/// others may hold them. Line ends and tabs stay; so do, where `is_coloured`, the
/// plain colours that the program itself uses.
pub fn for_people(text: &str, is_coloured: bool) -> Cow<'_, str> {
    let is_shown = |c: char| matches!(c, ' '..='~' | '\n' | '\t') || !is_hidden(c);
    if text.chars().all(is_shown) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(character) = rest.chars().next() {
        if let Some(colour) = colour_at(rest).filter(|_| is_coloured) {
            out.push_str(colour);
            rest = &rest[colour.len()..];
            continue;
        }
        match character {
            '\n' | '\t' => out.push(character),
            hidden if is_hidden(hidden) => out.extend(hidden.escape_unicode()),
            plain => out.push(plain),
        }
        rest = &rest[character.len_utf8()..];
    }
    Cow::Owned(out)
}

/// The escape at the start of `text`, if it sets a colour or weight; one that
/// conceals, blinks or swaps is none.
fn colour_at(text: &str) -> Option<&str> {
    let codes = text.strip_prefix("\u{1b}[")?;
    let (codes, _) = codes.split_once('m')?;
    let is_colour = |code: &str| {
        matches!(code.parse::<u8>(), Ok(0..=4 | 22..=24 | 30..=37 | 39 | 90..=97))
            || code.is_empty()
    };
    let is_own = codes.len() <= 12 && codes.split(';').all(is_colour);
    is_own.then(|| &text[..codes.len() + "\u{1b}[m".len()])
}

/// A stream that a person reads.
#[derive(Debug)]
pub struct ForPeople<W> {
    pub to: W,
    /// Whether the program's own colours go through.
    pub is_coloured: bool,
}

impl<W: Write> Write for ForPeople<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let text = match std::str::from_utf8(bytes) {
            Ok(text) => text,
            Err(error) if error.valid_up_to() > 0 => {
                // The rest comes again with what follows it.
                std::str::from_utf8(&bytes[..error.valid_up_to()]).unwrap_or_default()
            }
            Err(_) => return self.to.write(bytes),
        };
        self.to.write_all(for_people(text, self.is_coloured).as_bytes())?;
        Ok(text.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.to.flush()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hidden_characters_are_shown_and_own_colours_go_through() {
        let cases = [
            ("65 lb-ft\n\tµ №", "65 lb-ft\n\tµ №"),
            ("a\u{1b}]0;title\u{7}b", "a\\u{1b}]0;title\\u{7}b"),
            ("\u{202e}gpj.exe\u{200b}\r", "\\u{202e}gpj.exe\\u{200b}\\u{d}"),
            ("\u{9b}2J\u{ad}\u{61c}\u{e0041}", "\\u{9b}2J\\u{ad}\\u{61c}\\u{e0041}"),
            ("\u{1b}[8mhidden", "\\u{1b}[8mhidden"),
        ];
        for (text, shown) in cases {
            assert_eq!(for_people(text, false), shown);
            assert_eq!(for_people(text, true), shown);
        }
        let red = "\u{1b}[1;31mLISTED\u{1b}[0m";
        assert_eq!(for_people(red, true), red);
        assert_eq!(for_people(red, false), "\\u{1b}[1;31mLISTED\\u{1b}[0m");
        // What wrong arguments are answered with.
        let underlined = "\u{1b}[1m\u{1b}[4mUsage:\u{1b}[0m";
        assert_eq!(for_people(underlined, true), underlined);
        let mut stream = ForPeople { to: Vec::new(), is_coloured: false };
        stream.write_all("70 N·m \u{202e}x".as_bytes()).unwrap();
        assert_eq!(stream.to, "70 N·m \\u{202e}x".as_bytes());
    }
}
