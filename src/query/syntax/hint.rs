//! From the furthest failure to an error: what was read there, what was
//! expected, and one hint where the words around the place suggest it or the word
//! itself is plain English that this language says otherwise.

use super::error::{SyntaxError, SyntaxErrorKind};
use super::input::{Context, Want, Wanted};
use super::token::{Class, Token};
use super::words::{CLAUSES, Keyword};
use crate::quantity::{Dimension, Quantity, QuantityError};
use crate::text::{Span, nearest};

/// The error for the furthest failure noted in `context`. `end` is the length
/// of the text that was typed.
pub(super) fn explain(context: &Context<'_>, fields: &[&str], end: usize) -> SyntaxError {
    if context.tokens.is_empty() {
        return SyntaxError::new(SyntaxErrorKind::Empty, Span::new(0, end));
    }
    let (at, expected) = context.furthest.get();
    let place = Unexpected { context, at, expected };
    let Some(token) = context.tokens.get(at) else {
        let kind = SyntaxErrorKind::Unexpected { found: None, expected };
        let end = context.tokens.last().map_or(end, |last| last.span.end);
        let mut error = SyntaxError::new(kind, Span::new(end, end));
        error.hint = place.hint();
        return error;
    };
    let found = place.text(token).to_owned();
    let kind = if place.wants_a_field(token) {
        let nearest = nearest(&found, fields.iter().copied()).map(str::to_owned);
        SyntaxErrorKind::UnknownField { found, nearest }
    } else {
        SyntaxErrorKind::Unexpected { found: Some(found), expected }
    };
    let instead = || match &kind {
        SyntaxErrorKind::UnknownField { found, .. } => otherwise(found).map(str::to_owned),
        _ => None,
    };
    let hint = place.hint().or_else(instead);
    SyntaxError { kind, span: token.span, hint }
}

/// The token that nothing accepted.
struct Unexpected<'a> {
    context: &'a Context<'a>,
    at: usize,
    expected: Wanted,
}

impl Unexpected<'_> {
    fn text(&self, token: &Token) -> &str {
        token.piece.slice(self.context.text)
    }

    /// The token `back` places before; 0 is the one that nothing accepted.
    fn before(&self, back: usize) -> Option<&Token> {
        self.context.tokens.get(self.at.checked_sub(back)?)
    }

    fn class(&self, back: usize) -> Option<&Class> {
        self.before(back).map(|token| &token.class)
    }

    /// A word stands where of all words only a field can.
    fn wants_a_field(&self, token: &Token) -> bool {
        token.class == Class::Word
            && !self.looks_like_quantity(token)
            && [Want::Field, Want::Column, Want::Operand]
                .iter()
                .any(|want| self.expected.has(*want))
    }

    fn looks_like_quantity(&self, token: &Token) -> bool {
        self.text(token).starts_with(|first: char| first.is_ascii_digit())
    }

    fn hint(&self) -> Option<String> {
        self.of_keyword()
            .or_else(|| self.of_word())
            .or_else(|| self.of_target())
            .or_else(|| self.misspelt_clause())
            .or_else(|| self.of_lube())
            .or_else(|| self.of_range())
            .or_else(|| self.of_joint())
            .or_else(|| self.of_end())
    }

    /// A comma, `and` or `or` with nothing to join before or after it.
    fn of_joint(&self) -> Option<String> {
        let joint = |back: usize| {
            let token = self.before(back).filter(|token| joins(&token.class))?;
            Some(self.text(token))
        };
        match (joint(1), joint(0), self.before(0), self.before(1)) {
            (Some(first), Some(second), ..) if first == second => {
                Some(format!("one `{first}` is enough"))
            }
            (Some(first), Some(second), ..) => {
                Some(format!("leave one of `{first}` and `{second}` out"))
            }
            (Some(joint), None, None, _) | (None, Some(joint), _, None) => {
                Some(format!("leave the `{joint}` out, or name what it joins"))
            }
            _ => None,
        }
    }

    /// What was begun and not ended: a sum without a comparison, a clause
    /// without what it takes.
    fn of_end(&self) -> Option<String> {
        let example = match self.class(1) {
            Some(Class::Keyword(Keyword::Units)) => "units metric, or units N.m, kN",
            Some(Class::Keyword(Keyword::First)) => "first 10",
            _ if self.before(0).is_none() && self.expected.has(Want::Relation) => {
                "clamp per proof-load over 0.8"
            }
            _ => return None,
        };
        Some(format!("for example: {example}"))
    }

    /// After `has`, `lacks`, `no`, `confused-with` and the like.
    fn of_keyword(&self) -> Option<String> {
        let Some(Class::Keyword(keyword)) = self.class(1) else { return None };
        let token = self.before(0)?;
        let found = self.text(token);
        let is_word = matches!(token.class, Class::Word | Class::Quoted(_));
        match keyword {
            Keyword::Lacks | Keyword::No if is_word => Some(format!(
                "`{}` takes a field; `not {found}` leaves rows out",
                keyword.spelling()
            )),
            Keyword::No if matches!(token.class, Class::Thread(_)) => {
                Some(format!("a number size is written without `no`: {found}"))
            }
            Keyword::Has | Keyword::Needs if is_word => Some(format!(
                "`{}` takes a field; a word alone finds the rows that say it: {found}",
                keyword.spelling()
            )),
            Keyword::Not if token.class == Class::Keyword(Keyword::Not) => {
                Some("one `not` is enough".to_owned())
            }
            _ => None,
        }
    }

    /// A word that is nearly a quantity.
    fn of_word(&self) -> Option<String> {
        let token = self.before(0).filter(|token| token.class == Class::Word)?;
        if !self.looks_like_quantity(token) {
            return None;
        }
        match Quantity::parse(self.text(token)) {
            // One letter is near to every other: no slip can be read from it.
            Err(QuantityError::UnknownUnit { found, .. }) if found.chars().count() == 1 => {
                Some(format!("`{found}` is not a unit"))
            }
            Err(QuantityError::UnknownUnit { found, nearest: None }) => {
                Some(format!("`{found}` is not a unit"))
            }
            Err(QuantityError::UnknownUnit { found, nearest: Some(near) }) => {
                Some(format!("`{found}` is not a unit; did you mean `{near}`?"))
            }
            _ => None,
        }
    }

    fn of_range(&self) -> Option<String> {
        let classes = (self.class(3), self.class(2), self.class(1));
        if let (Some(low), Some(Class::Operator(sign)), Some(high)) = classes
            && sign.spelling() == "-"
            && is_measure(low)
            && is_measure(high)
        {
            let (low, high) = (self.text(self.before(3)?), self.text(self.before(1)?));
            return Some(format!("a range is {low}..{high}"));
        }
        match (self.class(0)?, self.class(1)?) {
            (Class::Range, _) => {
                Some("name a field before a range: torque 60..80 lb-ft".to_owned())
            }
            (Class::Number(_), Class::Range) => {
                Some("a unit stands after the second number: 60..80 lb-ft".to_owned())
            }
            (Class::Relation(_), _) if self.in_columns().is_some() => {
                let clause = self.in_columns()?;
                Some(format!("`{clause}` takes columns; a test stands before it, or after `keep`"))
            }
            (Class::Relation(_), _) if self.expected.has(Want::Comma) => {
                Some("a range stands after its field: torque 60..80 lb-ft".to_owned())
            }
            _ => None,
        }
    }

    /// After `with`, something that no lube can be.
    fn of_lube(&self) -> Option<String> {
        let found = self.class(0).filter(|_| self.expected.has(Want::Lube))?;
        let before = self.before(2).map_or("", |token| self.text(token));
        if let (Class::Thread(_), true) = (found, before.eq_ignore_ascii_case("confused")) {
            let thread = self.before(0).map_or("", |token| self.text(token));
            return Some(format!("`confused-with` is one word: confused-with {thread}"));
        }
        if let Class::Keyword(Keyword::No | Keyword::Lacks | Keyword::Has) = found {
            return Some("what must hold stands before `with`: head, no lube".to_owned());
        }
        let is_test = matches!(found, Class::Thread(_) | Class::Quantity(_) | Class::Relation(_));
        is_test.then(|| "`with` takes lubes; a test stands before it, or after `keep`".to_owned())
    }

    /// The clause of columns that the place is in.
    fn in_columns(&self) -> Option<&'static str> {
        let before = self.context.tokens[..self.at].iter().rev();
        let clause = before.into_iter().find_map(|token| match token.class {
            Class::Keyword(word) if word.starts_clause() => Some(word),
            _ => None,
        })?;
        let takes_columns = matches!(clause, Keyword::Show | Keyword::Sort | Keyword::Tally);
        takes_columns.then(|| clause.spelling())
    }

    fn of_target(&self) -> Option<String> {
        if self.expected.has(Want::Share) {
            return Some("say what it is a share of: target 75% proof".to_owned());
        }
        if !self.expected.has(Want::Amount) {
            return None;
        }
        match self.class(0) {
            Some(Class::Number(_)) => Some("with its unit: target 75% proof".to_owned()),
            Some(Class::Quantity(quantity)) if quantity.dimension() == Dimension::Torque => {
                Some("a torque is what `target` finds; name the clamp: target 70 kN".to_owned())
            }
            _ => Some("for example: target 75% proof, or target 70 kN".to_owned()),
        }
    }

    /// The word before, or this one, is nearly the keyword of a clause.
    fn misspelt_clause(&self) -> Option<String> {
        if !self.expected.has(Want::Clause) {
            return None;
        }
        let words = [self.before(0), self.before(1), self.before(2)];
        words.into_iter().flatten().filter(|token| token.class == Class::Word).find_map(|token| {
            let word = Some(self.text(token)).filter(|word| word.len() > 2)?;
            let near = nearest(word, CLAUSES.iter().map(|word| word.spelling()));
            let near = near.filter(|near| !near.eq_ignore_ascii_case(word))?;
            Some(format!("did you mean `{near}`?"))
        })
    }
}

fn joins(class: &Class) -> bool {
    matches!(class, Class::Comma | Class::Keyword(Keyword::And | Keyword::Or))
}

fn is_measure(class: &Class) -> bool {
    matches!(class, Class::Number(_) | Class::Quantity(_))
}

/// Words, and what to write in their place.
const OTHERWISE: &[(&[&str], &str)] = &[
    (&["confused", "mistaken", "similar"], "for example: confused-with M12x1.25"),
    (
        &["scatter", "band", "worst", "maximum", "minimum"],
        "the ends of a band are clamp-low and clamp-high: clamp-high over yield-load",
    ),
    (
        &[
            "conflict",
            "differ",
            "differing",
            "disagree",
            "disagreeing",
            "disagrees",
            "doubtful",
            "mistake",
            "mistakes",
            "ratio",
            "suspect",
            "wrong",
        ],
        "`clampbook check` lists what is wrong, doubtful or disagrees",
    ),
    (&["lubes", "lubricants", "several", "multiple"], "the lubes of each part: tally part, lube"),
    (
        &["paste", "goop", "dope", "gunk", "grease", "greased", "compound"],
        "what goes on the threads stands in lube and sealant: tally lube, sealant",
    ),
    (&["motor", "motors"], "the fasteners of an engine: duty engine"),
    (&["new"], "what is renewed each time: single-use"),
    (&["block"], "what a hole is cut in: hole-material cast iron"),
    (&["big-end"], "what is there is asked for by its name, such as: rod"),
    (&["bottom-end"], "what is there is asked for by its names, such as: main or rod"),
    (&["top-end"], "what is there is asked for by its names, such as: head or rocker"),
    (
        &["hex", "socket", "sockets", "spanner", "spanners"],
        "what the tool must fit stands in head-size: show joint, head-size",
    ),
    (
        &["exact", "literal", "original", "quoted", "wording"],
        "the sheet's own words stand in verbatim: show joint, verbatim",
    ),
];

/// What to write in place of `word`; none for a word that may be meant as such.
pub(crate) fn otherwise(word: &str) -> Option<&'static str> {
    let word = word.to_lowercase();
    OTHERWISE.iter().find(|(words, _)| words.contains(&word.as_str())).map(|(_, hint)| *hint)
}
