//! The text of a question cut into tokens.
//!
//! The order of trial is that of `<token>` in `grammar/tokens.bnf`, which a
//! test compares with this file: of all readings of the text at one place the
//! first in that order counts, and of that reading the longest.

use super::error::{SyntaxError, SyntaxErrorKind};
use super::place;
use super::shapes::{
    TakenRange, at_end, run_length, starts_number, take_dash_range, take_number, take_quantity,
    take_range, take_sign, take_thread, take_whole_unit,
};
use super::source::SourceText;
use super::token::{Class, Token};
use super::words::{FAMILIES, Keyword, OPERATOR_SIGNS, lookup, reserved};
use crate::quantity::{NumberError, UNITS, find_unit};
use crate::text::{Span, nearest};

/// The tokens of a text as far as it can be cut, and what is wrong after them.
///
/// `fields` are the names of the fields. Colours and completion of a prompt
/// use the tokens of a text that is not whole yet.
pub fn tokens(text: &str, fields: &[&str]) -> (Vec<Token>, Option<SyntaxError>) {
    scan(&SourceText::new(text), fields)
}

/// The same of a text that is already made ready to read.
pub(super) fn scan(source: &SourceText, fields: &[&str]) -> (Vec<Token>, Option<SyntaxError>) {
    let text = source.text();
    let mut lexer = Lexer { text, at: 0, fields, tokens: Vec::with_capacity(16), in_units: false };
    let mut error = lexer.run().err();
    let mut tokens = lexer.tokens;
    place::settle(&mut tokens, text);
    for token in &mut tokens {
        token.span = source.span(token.piece);
    }
    if let Some(error) = &mut error {
        error.span = source.span(error.span);
    }
    (tokens, error)
}

struct Lexer<'a> {
    text: &'a str,
    at: usize,
    fields: &'a [&'a str],
    tokens: Vec<Token>,
    /// Between `units` and the next clause words are units.
    in_units: bool,
}

impl<'a> Lexer<'a> {
    fn run(&mut self) -> Result<(), SyntaxError> {
        loop {
            let rest = self.text[self.at..].trim_start_matches(' ');
            self.at = self.text.len() - rest.len();
            let Some(first) = rest.chars().next() else { return Ok(()) };
            match first {
                ',' => self.push(Class::Comma, 1),
                '(' => self.push(Class::Open, 1),
                ')' => self.push(Class::Close, 1),
                '"' => self.quoted(rest)?,
                _ => match take_sign(rest) {
                    Some((class, length)) => self.push(class, length),
                    None => self.token(rest)?,
                },
            }
        }
    }

    fn push(&mut self, class: Class, length: usize) {
        let piece = Span::new(self.at, self.at + length);
        self.tokens.push(Token { class, span: piece, piece });
        self.at += length;
    }

    fn error(&self, kind: SyntaxErrorKind, offset: usize, length: usize) -> SyntaxError {
        let start = self.at + offset;
        SyntaxError::new(kind, Span::new(start, start + length))
    }

    /// The value of a number by its shape, or what is wrong with that number.
    fn sound<T>(&self, shaped: Result<T, NumberError>, length: usize) -> Result<T, SyntaxError> {
        shaped.map_err(|bad| self.error(SyntaxErrorKind::Number(bad), 0, length))
    }

    /// `"…"`; a quote inside is doubled.
    fn quoted(&mut self, rest: &str) -> Result<(), SyntaxError> {
        let mut content = String::new();
        let mut at = 1;
        loop {
            let Some(length) = rest[at..].find('"') else {
                return Err(self.error(SyntaxErrorKind::OpenQuote, 0, 1));
            };
            content.push_str(&rest[at..at + length]);
            at += length + 1;
            if !rest[at..].starts_with('"') {
                break;
            }
            content.push('"');
            at += 1;
        }
        if let Some(hidden) = content.chars().find(|found| found.is_control()) {
            return Err(self.error(SyntaxErrorKind::Character(hidden), 0, at));
        }
        if content.trim().is_empty() {
            return Err(self.error(SyntaxErrorKind::EmptyQuote, 0, at));
        }
        if !at_end(&rest[at..]) {
            return Err(self.error(SyntaxErrorKind::StrayQuote, at - 1, 1));
        }
        let unit = if self.in_units { find_unit(&content) } else { None };
        self.push(unit.map_or(Class::Quoted(content), Class::Unit), at);
        Ok(())
    }

    /// A token that is neither a mark nor quoted: the order of trial.
    fn token(&mut self, rest: &'a str) -> Result<(), SyntaxError> {
        let run = &rest[..run_length(rest)];
        if let Some(keyword) = reserved(run) {
            self.in_units = keyword == Keyword::Units || self.in_units && !keyword.starts_clause();
            self.push(Class::Keyword(keyword), run.len());
        } else if self.in_units && !run.eq_ignore_ascii_case(Keyword::First.spelling()) {
            self.unit(rest, run)?;
        } else if starts_number(rest) && self.numeric(rest)? {
            // Pushed by `numeric`.
        } else if let Some((pattern, length)) = take_thread(rest) {
            let pattern =
                pattern.map_err(|bad| self.error(SyntaxErrorKind::Thread(bad), 0, length))?;
            self.push(Class::Thread(pattern), length);
        } else if let Some((number, length)) = take_number(rest) {
            let number = self.sound(number, length)?;
            self.push(Class::Number(number), length);
        } else if let Some(operator) = lookup(OPERATOR_SIGNS, run) {
            self.push(Class::Operator(operator), run.len());
        } else if is_date(run) {
            self.push(Class::Date, run.len());
        } else if self.is_field(run) {
            self.push(Class::Field, run.len());
        } else {
            self.check_word(run)?;
            self.in_units = false;
            self.push(Class::Word, run.len());
        }
        Ok(())
    }

    fn is_field(&self, word: &str) -> bool {
        self.fields.iter().any(|field| field.eq_ignore_ascii_case(word))
    }

    /// A range or a quantity; false if there is none.
    fn numeric(&mut self, rest: &str) -> Result<bool, SyntaxError> {
        if let Some(range) = take_range(rest) {
            self.range(range)?;
            return Ok(true);
        }
        if let Some((quantity, length)) = take_quantity(rest) {
            let quantity = self.sound(quantity, length)?;
            self.push(Class::Quantity(quantity), length);
            return Ok(true);
        }
        if let Some((low, high)) = take_dash_range(rest) {
            let length = low.len() + 1 + high.len();
            let kind = SyntaxErrorKind::DashRange { low: low.into(), high: high.into() };
            return Err(self.error(kind, 0, length));
        }
        Ok(false)
    }

    fn range(&mut self, range: TakenRange) -> Result<(), SyntaxError> {
        let start = self.at;
        let (low, length) = range.low;
        let low = self.sound(low, length)?;
        self.push(low, length);
        self.at = start + range.dots.0;
        self.push(Class::Range, range.dots.1 - range.dots.0);
        let (high, from, to) = range.high;
        self.at = start + from;
        let high = self.sound(high, to - from)?;
        self.push(high, to - from);
        Ok(())
    }

    /// A unit after `units`, or the word for a whole family of them.
    fn unit(&mut self, rest: &str, run: &str) -> Result<(), SyntaxError> {
        if let Some((unit, length)) = take_whole_unit(rest) {
            self.push(Class::Unit(unit), length);
            return Ok(());
        }
        if lookup(FAMILIES, run).is_some() {
            self.push(Class::Word, run.len());
            return Ok(());
        }
        let spellings = UNITS.iter().flat_map(|unit| unit.spellings.iter().copied());
        let near = nearest(run, spellings).and_then(find_unit);
        let nearest = near.map(|unit| unit.symbol.replace('·', "."));
        let kind = SyntaxErrorKind::UnknownUnit { found: run.to_owned(), nearest };
        Err(self.error(kind, 0, run.len()))
    }

    /// Refuses what would otherwise be taken for a word that nobody meant.
    fn check_word(&self, run: &str) -> Result<(), SyntaxError> {
        if run.starts_with('-') {
            return Err(self.error(SyntaxErrorKind::LeadingDash(run.to_owned()), 0, run.len()));
        }
        if let Some((at, sign)) = self.glued_operator(run) {
            return Err(self.error(SyntaxErrorKind::GluedOperator(sign), at, 1));
        }
        if let Some(at) = run.find("..") {
            return Err(self.error(SyntaxErrorKind::HalfRange, at, 2));
        }
        if let Some(at) = run.find('"') {
            return Err(self.error(SyntaxErrorKind::StrayQuote, at, 1));
        }
        match stray_character(run) {
            None => Ok(()),
            Some((at, stray)) => {
                Err(self.error(SyntaxErrorKind::Character(stray), at, stray.len_utf8()))
            }
        }
    }

    /// `60*2`, `torque/clamp`: an operator that lacks its blanks.
    fn glued_operator(&self, run: &str) -> Option<(usize, char)> {
        let is_part =
            |text: &str| self.is_field(text) || starts_number(text) && take_number(text).is_some();
        run.char_indices().find(|&(at, sign)| match sign {
            '+' | '*' => true,
            '/' if at == 0 => true,
            '/' => {
                is_part(&run[..at]) && self.is_field(&run[at + 1..])
                    || self.is_field(&run[..at]) && is_part(&run[at + 1..])
            }
            // `through-hole` is a word of the trade.
            _ => false,
        })
    }
}

/// Whether `run` is a day or a month, as sources print them.
fn is_date(run: &str) -> bool {
    let shape: Vec<usize> = run.split('-').map(str::len).collect();
    matches!(shape.as_slice(), [4, 2] | [4, 2, 2])
        && run.bytes().all(|byte| byte.is_ascii_digit() || byte == b'-')
}

/// The first character of `run` that no word holds. A word starts with a
/// letter, a digit, or `#` before one of them.
fn stray_character(run: &str) -> Option<(usize, char)> {
    let mut before = None;
    for (at, character) in run.char_indices() {
        let plain = character.is_alphanumeric();
        let after_hash = before.is_none() && character == '#' && run.len() > 1;
        let inside = before.is_some_and(|before| before != '#' || at > 1)
            && matches!(character, '-' | '.' | '/' | '_' | '\'' | '&' | '#' | '·');
        if !plain && !after_hash && !inside {
            return Some((at, character));
        }
        before = Some(character);
    }
    None
}
