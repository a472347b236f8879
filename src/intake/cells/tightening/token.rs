//! A cell that says how to tighten, cut into tokens: numbers, units, signs,
//! lubes, and the few words of the trade that change the meaning.

use super::phrases::{PHRASES, SOME_LUBE};
use crate::intake::cells::Context;
use crate::intake::cells::numbers::{is_letter_number, joined_thousands, letter, take_number};
use crate::intake::cells::units::take_unit_spelled;
use crate::intake::once_words::ONCE;
use crate::intake::verdict::Problem;
use crate::intake::words::step_words;
use crate::quantity::{DEGREE, DecimalMark, Dimension, Number, NumberForm, Quantity, TURN, Unit};
use crate::text::Plain;

/// One token of a tightening cell.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Token {
    Number(Number),
    /// A unit of torque, angle, length or a per cent sign.
    Unit(&'static Unit),
    /// Pounds or `#`: a force without its lever.
    Pounds(String),
    /// Kilograms without a lever.
    Kilos(String),
    /// Flats of a hexagon, 60° each.
    Flats,
    /// A lube by its name in the book.
    Lube(String),
    /// `lubed`, `wet`: some lube, as written.
    SomeLube(String),
    /// `+`
    Plus,
    /// `±`
    PlusMinus,
    /// `-`
    Dash,
    /// `/`
    Slash,
    /// `..`
    Dots,
    /// `to`, which joins a range or only leads to a number.
    To,
    /// `from`, `between`: what joins the next two figures makes them a range.
    From,
    /// `,`
    Comma,
    /// `then`, `;`, an arrow, a line end.
    Then,
    /// `x` between two numbers.
    Times,
    /// `2nd`, `pass 2`, `final`.
    Step,
    /// A word of the trade.
    Word(Keyword),
    /// Text in brackets.
    Note(String),
    /// A mark that points to a footnote.
    Footnote(String),
    /// A spelling of a unit worth a warning: as written, as read.
    Slip(String, &'static Unit),
    /// A word that is not understood.
    Unknown(String),
}

/// Words of the trade that change what a figure means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Keyword {
    /// Not more than.
    Max,
    /// Not less than.
    Min,
    /// From snug.
    Snug,
    /// Thrown away after use.
    SingleUse,
    /// Torque to yield.
    ToYield,
    About,
    /// The figure is a stretch.
    Stretch,
    /// Says nothing about the figure: each, torque, per bolt.
    Filler,
}

/// Cuts `cell` into tokens. With `in_list`, a comma always parts members.
pub(crate) fn tokens(cell: &str, context: Context, in_list: bool) -> Result<Vec<Token>, Problem> {
    let joined = joined_thousands(cell);
    let plain = Plain::new(&joined);
    let mut cutter = Cutter { cell: plain.as_str(), at: 0, context, in_list, out: Vec::new() };
    while cutter.skip_blanks() {
        cutter.token()?;
    }
    ranges_in_words(&mut cutter.out);
    Ok(cutter.out)
}

/// `between 20 and 25`: the word between the two figures is no `then`.
fn ranges_in_words(tokens: &mut [Token]) {
    let starts: Vec<usize> = (0..tokens.len()).filter(|at| tokens[*at] == Token::From).collect();
    for start in starts {
        let rest = &mut tokens[start + 1..];
        let is_figure = |token: &Token| matches!(token, Token::Number(_) | Token::Unit(_));
        let joint = rest.iter().position(|token| !is_figure(token)).filter(|at| *at > 0);
        if let Some(joint) = joint.filter(|at| rest[*at] == Token::Then) {
            rest[joint] = Token::To;
        }
    }
}

struct Cutter<'a> {
    cell: &'a str,
    at: usize,
    context: Context<'a>,
    in_list: bool,
    out: Vec<Token>,
}

impl<'a> Cutter<'a> {
    fn rest(&self) -> &'a str {
        &self.cell[self.at..]
    }

    /// Steps over blanks; a line end counts as `then`. False at the end.
    fn skip_blanks(&mut self) -> bool {
        let rest = self.rest();
        let body = rest.trim_start();
        if rest[..rest.len() - body.len()].contains('\n') && !self.out.is_empty() {
            self.out.push(Token::Then);
        }
        self.at += rest.len() - body.len();
        !body.is_empty()
    }

    fn push(&mut self, token: Token, length: usize) {
        self.out.push(token);
        self.at += length;
    }

    fn follows_number(&self) -> bool {
        matches!(self.out.last(), Some(Token::Number(_)))
    }

    fn follows_figure(&self) -> bool {
        matches!(self.out.last(), Some(Token::Number(_) | Token::Unit(_) | Token::Flats))
    }

    fn token(&mut self) -> Result<(), Problem> {
        if self.follows_number() && self.unit() {
            return Ok(());
        }
        if self.lube() || self.sign() || self.fraction() {
            return Ok(());
        }
        let rest = self.rest();
        let is_point = rest.starts_with(['.', ','])
            && rest[1..].starts_with(|c: char| c.is_ascii_digit())
            && !self.follows_number();
        if rest.starts_with(|c: char| c.is_ascii_digit()) || (is_point && rest.starts_with('.')) {
            return self.number();
        }
        self.word()
    }

    fn unit(&mut self) -> bool {
        let rest = self.rest();
        if rest.starts_with('#') && !rest[1..].starts_with(|c: char| c.is_alphabetic() || c == '-')
        {
            self.push(Token::Pounds("#".to_owned()), 1);
            return true;
        }
        // `70-lb-ft`, with a dash before the unit.
        let dash = usize::from(
            rest.starts_with('-') && rest[1..].starts_with(|c: char| c.is_alphabetic()),
        );
        let Some((unit, length, slip)) = take_unit_spelled(&rest[dash..]) else {
            let lower = rest[dash..].to_ascii_lowercase();
            let Some(length) = word_of(&lower, ["kgs", "kg", "kilos", "kilo"]) else {
                return false;
            };
            self.push(Token::Kilos(rest[dash..dash + length].to_owned()), dash + length);
            return true;
        };
        let written = rest[dash..dash + length].trim().to_owned();
        let token = match unit.dimension {
            Dimension::Force if unit.symbol == "lbf" => Token::Pounds(written),
            _ if slip => Token::Slip(written, unit),
            _ => Token::Unit(unit),
        };
        self.push(token, dash + length);
        true
    }

    fn lube(&mut self) -> bool {
        let rest = self.rest();
        let starts_word = !self.cell[..self.at].ends_with(|c: char| c.is_alphabetic());
        if !starts_word || !rest.starts_with(char::is_alphabetic) {
            return false;
        }
        if let Some((lube, length)) = self.context.names.take_lube(rest) {
            self.push(Token::Lube(lube.name.clone()), length);
            return true;
        }
        let lower = rest.to_ascii_lowercase();
        if let Some(length) = word_of(&lower, SOME_LUBE.iter().copied()) {
            self.push(Token::SomeLube(rest[..length].to_owned()), length);
            return true;
        }
        false
    }

    fn sign(&mut self) -> bool {
        let rest = self.rest();
        let pairs = [
            ("+/-", Token::PlusMinus),
            ("+-", Token::PlusMinus),
            ("±", Token::PlusMinus),
            ("->", Token::Then),
            ("=>", Token::Then),
            ("→", Token::Then),
            ("…", Token::Dots),
            ("...", Token::Dots),
            ("..", Token::Dots),
            ("<=", Token::Word(Keyword::Max)),
            ("≤", Token::Word(Keyword::Max)),
            ("<", Token::Word(Keyword::Max)),
            (">=", Token::Word(Keyword::Min)),
            ("≥", Token::Word(Keyword::Min)),
            ("~", Token::Word(Keyword::About)),
            ("≈", Token::Word(Keyword::About)),
            (";", Token::Then),
            ("&", Token::Then),
            ("|", Token::Slash),
            ("+", Token::Plus),
            ("-", Token::Dash),
            ("÷", Token::Dash), // `190 ÷ 200` in Italian
            ("/", Token::Slash),
            (",", Token::Comma),
            (":", Token::Word(Keyword::Filler)),
        ];
        if let Some((spelled, token)) =
            pairs.into_iter().find(|(spelled, _)| rest.starts_with(spelled))
        {
            self.push(token, spelled.len());
            return true;
        }
        self.bracket() || self.mark()
    }

    fn bracket(&mut self) -> bool {
        let rest = self.rest();
        let close = match rest.chars().next() {
            Some('(') => ')',
            Some('[') => ']',
            _ => return false,
        };
        let end = rest.find(close).unwrap_or(rest.len());
        let note = rest[1..end].trim().to_owned();
        self.push(Token::Note(note), (end + 1).min(rest.len()));
        true
    }

    /// Footnote marks, a cross between numbers, an arrow head, a stray stop.
    fn mark(&mut self) -> bool {
        let rest = self.rest();
        let Some(first) = rest.chars().next() else { return false };
        let after = rest[first.len_utf8()..].trim_start();
        let number_next = after.starts_with(|c: char| c.is_ascii_digit());
        let token = match first {
            'x' | '*' if self.follows_figure() && number_next => Token::Times,
            '*' | '†' | '‡' | '§' | '¹' | '²' | '³' => {
                let length = rest.len() - rest.trim_start_matches(first).len();
                self.push(Token::Footnote(rest[..length].to_owned()), length);
                return true;
            }
            '>' if self.out.is_empty() => Token::Word(Keyword::Min),
            '>' => Token::Then,
            '.' if !number_next => Token::Word(Keyword::Filler),
            _ => return false,
        };
        self.push(token, first.len_utf8());
        true
    }

    /// `1/4 turn`, `1-1/2 turns`, `½ turn`, `half a turn`, `quarter turn`.
    fn fraction(&mut self) -> bool {
        let Some((number, unit, length)) = turn(self.rest()) else { return false };
        self.out.push(Token::Number(number));
        self.push(Token::Unit(unit), length);
        true
    }

    fn number(&mut self) -> Result<(), Problem> {
        let rest = self.rest();
        let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
        let lower = rest[digits..].to_ascii_lowercase();
        if let Some(length) = word_of(&lower, ORDINAL_ENDINGS) {
            let after = rest[digits + length..].trim_start().to_ascii_lowercase();
            let word = word_of(&after, step_words()).unwrap_or(0);
            let blanks = rest[digits + length..].len() - after.len();
            let blanks = if word == 0 { 0 } else { blanks };
            self.push(Token::Step, digits + length + blanks + word);
            return Ok(());
        }
        // `1. Stufe`, `2e passe`, `3ª etapa`
        let ordinal = lower.trim_start_matches(['.', 'e', 'è', 'm', 'r', 'a', 'º', 'ª', '°']);
        let after = ordinal.trim_start();
        if lower.len() - ordinal.len() <= 5
            && ordinal.len() < lower.len()
            && let Some(word) = word_of(after, step_words())
        {
            let length = digits + lower.len() - after.len() + word;
            let colon = rest[length..].len() - rest[length..].trim_start_matches([':', '=']).len();
            self.push(Token::Step, length + colon);
            return Ok(());
        }
        // `1) 30 2) 60`, `1: 30, 2: 60`
        if (1..=2).contains(&digits)
            && let Some(after) = rest[digits..].strip_prefix([')', ':'])
            && after.trim_start().starts_with(|c: char| c.is_ascii_digit() || c == '+')
        {
            self.push(Token::Step, digits + 1);
            return Ok(());
        }
        let (number, length) = take_number(self.cell, rest, self.context.mark, self.in_list)?;
        self.push(Token::Number(number), length);
        Ok(())
    }

    fn word(&mut self) -> Result<(), Problem> {
        let rest = self.rest();
        let lower = rest.to_ascii_lowercase();
        // `pass 1: 30`, `stage 2 - 60`, `step 3) 70`
        if let Some(length) = word_of(&lower, step_words()) {
            let number = rest[length..].trim_start();
            let digits = number.bytes().take_while(u8::is_ascii_digit).count();
            let after = number[digits..].trim_start_matches([':', ')', '.', '=', ' ', '-']);
            let is_label = (1..=2).contains(&digits) && !after.is_empty();
            let whole = if is_label { rest.len() - after.len() } else { length };
            self.push(Token::Step, whole);
            return Ok(());
        }
        let once = (Token::Word(Keyword::SingleUse), ONCE);
        let longest = |(token, phrases): (Token, &'static [&'static str])| {
            let lengths = phrases.iter().filter_map(|phrase| word_of(&lower, [*phrase]));
            lengths.max().map(|length| (length, token))
        };
        let found = PHRASES.iter().cloned().chain([once]).filter_map(longest);
        if let Some((length, token)) = found.max_by_key(|(length, _)| *length) {
            self.push(token, length);
            return Ok(());
        }
        let stops = |c: char| c.is_whitespace() || matches!(c, ',' | ';' | '(' | '[' | '+' | '/');
        let first = rest.chars().next().map_or(0, char::len_utf8);
        let end = rest.find(stops).unwrap_or(rest.len()).max(first);
        let word = &rest[..end];
        if is_letter_number(word) {
            return Err(letter(word));
        }
        self.push(Token::Unknown(word.to_owned()), end);
        Ok(())
    }
}

/// The length of the first of `words` that `text` (lower case) starts with and
/// that ends where a word ends.
/// Endings of a figure that counts a pass, in five languages; `a`, `o` and `e` need the word
/// after them.
const ORDINAL_ENDINGS: [&str; 16] = [
    "º", "ª", "st", "nd", "rd", "th", "ère", "ere", "ème", "eme", "er", "re", "ra", "da", "ta",
    "ro",
];

fn word_of<'w>(text: &str, words: impl IntoIterator<Item = &'w str>) -> Option<usize> {
    words.into_iter().find_map(|word| {
        let after = text.strip_prefix(word)?;
        let symbol = !word.ends_with(char::is_alphanumeric);
        (symbol || !after.starts_with(char::is_alphanumeric)).then_some(word.len())
    })
}

/// What says turn behind a fraction.
const TURNS: [&str; 16] = [
    "of a turn",
    "of turn",
    "a turn",
    "turns",
    "turn",
    "revs",
    "rev",
    "umdrehungen",
    "umdrehung",
    "de tour",
    "tours",
    "tour",
    "de vuelta",
    "vuelta",
    "di giro",
    "giro",
];

/// A turn at the start of `text` with its unit and its length.
fn turn(text: &str) -> Option<(Number, &'static Unit, usize)> {
    if let Some((degrees, length)) = part_of_turn(text) {
        return Some((degrees, DEGREE, length));
    }
    let (number, length) = turn_fraction(text)?;
    let after = text[length..].trim_start();
    let word = word_of(&after.to_ascii_lowercase(), TURNS)?;
    Some((number, TURN, text.len() - after.len() + word))
}

/// The degrees at the start of words, `90 deg`, `¼ turn`, and their length.
pub(crate) fn turn_at(text: &str) -> Option<(f64, usize)> {
    const DEGREES: [&str; 8] =
        ["°", "degrees", "degree", "deg", "grad", "degres", "grados", "gradi"];
    if let Some((number, unit, length)) = turn(text) {
        return Some((Quantity::new(number, unit).base() / DEGREE.factor, length));
    }
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    let degrees = text[..digits].parse().ok()?;
    let after = text[digits..].trim_start();
    let word = word_of(after, DEGREES)?;
    Some((degrees, text.len() - after.len() + word))
}

/// `1/6 turn`, of which no decimal is exact: its whole degrees, and its length.
fn part_of_turn(text: &str) -> Option<(Number, usize)> {
    let (over, rest) = text.split_once('/')?;
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    let (over, under): (u32, u32) = (over.parse().ok()?, rest[..digits].parse().ok()?);
    let after = rest[digits..].trim_start();
    let word = word_of(&after.to_ascii_lowercase(), TURNS)?;
    let is_part = matches!(under, 3 | 5 | 6 | 12) && (1..under).contains(&over);
    let length = text.len() - after.len() + word;
    is_part.then(|| (Number::decimal(f64::from(360 * over / under), 0), length))
}

/// A fraction at the start of `text` and its length.
fn turn_fraction(text: &str) -> Option<(Number, usize)> {
    let lower = text.to_ascii_lowercase();
    #[rustfmt::skip] // words of five languages
    let spelled = [
        ("three quarters", 3, 4), ("three-quarter", 3, 4), ("a quarter", 1, 4), ("one quarter", 1, 4), ("quarter", 1, 4), ("a half", 1, 2),
        ("half", 1, 2), ("one", 1, 1), ("eine viertel", 1, 4), ("viertel", 1, 4), ("eine halbe", 1, 2), ("halbe", 1, 2), ("un quart", 1, 4), ("quart", 1, 4),
        ("un demi", 1, 2), ("demi", 1, 2), ("un cuarto", 1, 4), ("cuarto", 1, 4), ("media", 1, 2), ("un quarto", 1, 4), ("mezzo", 1, 2), ("mezza", 1, 2),
        ("¼", 1, 4),
        ("½", 1, 2),
        ("¾", 3, 4),
        ("⅓", 1, 3),
        ("⅔", 2, 3),
    ];
    for (word, over, under) in spelled {
        if let Some(length) = word_of(&lower, [word]) {
            return Number::fraction(over, under).map(|number| (number, length));
        }
    }
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    let signs = [('¼', 1, 4), ('½', 1, 2), ('¾', 3, 4)];
    for (sign, over, under) in signs {
        if digits > 0 && digits < 4 && text[digits..].starts_with(sign) {
            let whole: u32 = text[..digits].parse().ok()?;
            let number = Number::fraction(whole * u32::from(under) + over, under)?;
            return Some((number, digits + sign.len_utf8()));
        }
    }
    let (number, length) = Number::take(text, DecimalMark::Point).ok()?;
    // `60 1/4 turn` is a torque and a quarter turn, not 60¼ turns.
    let is_fraction = matches!(number.form(), NumberForm::Fraction { .. }) && number.value() < 4.0;
    is_fraction.then_some((number, length))
}
