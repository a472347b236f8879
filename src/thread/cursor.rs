//! A place in a text that is read as a thread, and what stands there.

use crate::thread::size::SIXTY_FOURTH;

/// How much of a text is to be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Reading {
    /// All of it is meant as a thread: blanks around the dash, `No. 10`, a
    /// decimal comma after M and a bare `1"` are understood.
    Whole,
    /// It starts a longer text, so only what is surely a thread is taken.
    Start,
}

/// A place in a text that is being read, and the small parts that threads are
/// written with.
pub(crate) struct Cursor<'a> {
    pub(crate) text: &'a str,
    pub(crate) at: usize,
    pub(crate) reading: Reading,
}

impl<'a> Cursor<'a> {
    pub(crate) fn rest(&self) -> &'a str {
        &self.text[self.at..]
    }

    pub(crate) fn peek(&self) -> Option<u8> {
        self.rest().bytes().next()
    }

    pub(crate) fn ends_word(&self) -> bool {
        match self.reading {
            // What follows in M10x1.5x50 is a length; the error will say so.
            Reading::Whole => match self.rest().as_bytes() {
                [b'x' | b'X', b'0'..=b'9', ..] | [] => true,
                [next, ..] => !next.is_ascii_alphanumeric(),
            },
            Reading::Start => matches!(self.peek(), None | Some(b' ' | b',' | b';' | b'(' | b')')),
        }
    }

    pub(crate) fn eat(&mut self, byte: u8) -> bool {
        let found = self.peek() == Some(byte);
        self.at += usize::from(found);
        found
    }

    pub(crate) fn blanks(&mut self) -> bool {
        let start = self.at;
        while self.eat(b' ') {}
        self.at > start
    }

    /// Runs `part`; if it finds nothing, nothing is read.
    pub(crate) fn attempt<T>(&mut self, part: impl FnOnce(&mut Self) -> Option<T>) -> Option<T> {
        let start = self.at;
        let found = part(self);
        if found.is_none() {
            self.at = start;
        }
        found
    }

    pub(crate) fn letters(&mut self) -> &'a str {
        let length = self.rest().bytes().take_while(u8::is_ascii_alphabetic).count();
        self.take(length)
    }

    pub(crate) fn digits(&mut self) -> &'a str {
        let length = self.rest().bytes().take_while(u8::is_ascii_digit).count();
        self.take(length)
    }

    pub(crate) fn take(&mut self, length: usize) -> &'a str {
        let taken = &self.rest()[..length];
        self.at += length;
        taken
    }

    /// A whole number of at most four digits.
    pub(crate) fn whole(&mut self) -> Option<u32> {
        let digits = self.digits();
        if digits.len() > 4 { None } else { digits.parse().ok() }
    }

    /// `.` and at most `places` digits, as that many decimal digits.
    pub(crate) fn decimals(&mut self, places: usize) -> Option<u32> {
        let comma = self.reading == Reading::Whole && self.text.starts_with(['M', 'm']);
        let marked = self.eat(b'.') || (comma && self.eat(b','));
        if !marked {
            return None;
        }
        let digits = self.digits();
        if digits.is_empty() || digits.len() > places {
            return None;
        }
        format!("{digits:0<places$}").parse().ok()
    }

    /// A decimal number in thousandths.
    pub(crate) fn thousandths(&mut self) -> Option<u32> {
        self.attempt(|cursor| {
            let whole = if cursor.peek() == Some(b'.') { 0 } else { cursor.whole()? };
            let part = cursor.attempt(|cursor| cursor.decimals(3)).unwrap_or(0);
            Some(whole * 1000 + part)
        })
    }

    /// `over/under` of an inch in halves to 64ths, less than one.
    pub(crate) fn fraction(&mut self) -> Option<u32> {
        let over = self.whole()?;
        let under = if self.eat(b'/') { self.whole()? } else { return None };
        let named = matches!(under, 2 | 4 | 8 | 16 | 32 | 64);
        (named && (1..under).contains(&over)).then(|| over * (64 / under) * SIXTY_FOURTH)
    }

    /// The word `wanted`, case ignored, its blank also a dash.
    pub(crate) fn word(&mut self, wanted: &str) -> bool {
        self.attempt(|cursor| {
            for byte in wanted.bytes() {
                let next = cursor.peek()?;
                let fits = next.eq_ignore_ascii_case(&byte) || (byte == b' ' && next == b'-');
                if !fits {
                    return None;
                }
                cursor.at += 1;
            }
            (!cursor.peek().is_some_and(|next| next.is_ascii_alphanumeric())).then_some(())
        })
        .is_some()
    }
}
