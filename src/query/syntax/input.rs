//! Tokens as the input of nom, and the furthest failure with what was wanted there.
//!
//! nom's own error is thrown away at every alternative that is given up, and
//! with it the reason why a long question stopped where it did. So each failed
//! attempt is noted in one place that outlives them all; the furthest wins.

use std::cell::Cell;
use std::fmt;

use nom::error::{ErrorKind, ParseError};
use nom::{IResult, Input, Needed};

use super::token::{Class, Token};
use super::tree::Place;

/// What a parser of this module gives.
pub(super) type Parsed<'a, T> = IResult<Tokens<'a>, T, Stop>;

/// A parser stopped; [`Context::furthest`] knows where and why.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stop;

impl ParseError<Tokens<'_>> for Stop {
    fn from_error_kind(_: Tokens<'_>, _: ErrorKind) -> Self {
        Self
    }

    fn append(_: Tokens<'_>, _: ErrorKind, other: Self) -> Self {
        other
    }
}

/// What all parsers of one question share.
pub(super) struct Context<'a> {
    /// The text as the lexer read it.
    pub(super) text: &'a str,
    pub(super) tokens: &'a [Token],
    /// For each `(` the place of its `)` in `tokens`; 0 for other tokens.
    pub(super) closings: Vec<usize>,
    /// The furthest token at which a parser stopped, and what was wanted there.
    pub(super) furthest: Cell<(usize, Wanted)>,
}

/// The tokens that are left.
#[derive(Clone, Copy)]
pub(super) struct Tokens<'a> {
    left: &'a [Token],
    context: &'a Context<'a>,
}

impl<'a> Tokens<'a> {
    pub(super) fn new(context: &'a Context<'a>) -> Self {
        Self { left: context.tokens, context }
    }

    /// The place of the next token among all of them.
    pub(super) fn index(self) -> usize {
        self.context.tokens.len() - self.left.len()
    }

    /// The class of the token `ahead` places on.
    pub(super) fn class(self, ahead: usize) -> Option<&'a Class> {
        self.left.get(ahead).map(|token| &token.class)
    }

    /// The class of the token after the parenthesis that closes the next one.
    pub(super) fn class_after_group(self) -> Option<&'a Class> {
        let close = self.context.closings.get(self.index())?;
        self.context.tokens.get(close + 1).map(|token| &token.class)
    }

    /// The next token and what is left after it.
    pub(super) fn split(self) -> Option<(&'a Token, Self)> {
        let (token, left) = self.left.split_first()?;
        Some((token, Self { left, context: self.context }))
    }

    pub(super) fn text(self, token: &Token) -> &'a str {
        token.piece.slice(self.context.text)
    }

    /// The place from the next token to the last one before `rest`.
    pub(super) fn place_to(self, rest: Self) -> Place {
        let taken = &self.left[..self.left.len() - rest.left.len()];
        match (taken.first(), taken.last()) {
            (Some(first), Some(last)) => Place(first.span.to(last.span)),
            _ => Place::default(),
        }
    }

    /// Notes that `want` was wanted in place of the next token, and stops.
    pub(super) fn stop<T>(self, want: Want) -> Parsed<'a, T> {
        let (furthest, wanted) = self.context.furthest.get();
        let at = self.index();
        if at > furthest {
            self.context.furthest.set((at, Wanted::default().with(want)));
        } else if at == furthest {
            self.context.furthest.set((furthest, wanted.with(want)));
        }
        Err(nom::Err::Error(Stop))
    }
}

/// nom's repetition asks only whether anything was taken; the rest follows
/// from the slice.
impl<'a> Input for Tokens<'a> {
    type Item = &'a Token;
    type Iter = std::slice::Iter<'a, Token>;
    type IterIndices = std::iter::Enumerate<Self::Iter>;

    fn input_len(&self) -> usize {
        self.left.len()
    }

    fn take(&self, index: usize) -> Self {
        Self { left: &self.left[..index], context: self.context }
    }

    fn take_from(&self, index: usize) -> Self {
        Self { left: &self.left[index..], context: self.context }
    }

    fn take_split(&self, index: usize) -> (Self, Self) {
        (self.take_from(index), self.take(index))
    }

    fn position<P: Fn(Self::Item) -> bool>(&self, predicate: P) -> Option<usize> {
        self.left.iter().position(predicate)
    }

    fn iter_elements(&self) -> Self::Iter {
        self.left.iter()
    }

    fn iter_indices(&self) -> Self::IterIndices {
        self.left.iter().enumerate()
    }

    fn slice_index(&self, count: usize) -> Result<usize, Needed> {
        match self.left.len().checked_sub(count) {
            Some(_) => Ok(count),
            None => Err(Needed::Unknown),
        }
    }
}

/// The next token, if `accept` takes it; `want` is noted otherwise.
pub(super) fn token<'a>(
    want: Want,
    accept: impl Fn(&Class) -> bool,
) -> impl Fn(Tokens<'a>) -> Parsed<'a, &'a Token> {
    move |input| match input.split() {
        Some((token, rest)) if accept(&token.class) => Ok((rest, token)),
        _ => input.stop(want),
    }
}

macro_rules! wants {
    ($($name:ident $words:literal,)*) => {
        /// One thing that can stand at a place, in the order in which messages list them.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        #[repr(u8)]
        pub(crate) enum Want { $($name),* }

        const WORDING: &[(Want, &str)] = &[$((Want::$name, $words)),*];
    };
}

wants! {
    Item "something to look for",
    Field "a field",
    Column "a column (a field or a sum)",
    Operand "a field, number or quantity",
    RangeEnd "a quantity with its unit",
    Thread "a thread",
    Length "a length with its unit",
    Lube "a lube",
    Wrench "a wrench",
    Amount "a percentage or a force",
    Count "a whole number from 1 up",
    Unit "a unit",
    Relation "a comparison such as `over`",
    Operator "an operator such as `per`",
    Share "`proof`, `yield` or `combined`",
    Down "`down`",
    Total "`total`",
    And "`and`",
    Or "`or`",
    Comma "`,`",
    Close "`)`",
    Clause "a clause such as `with` or `show`",
}

/// All that could stand at one place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Wanted(u32);

impl Wanted {
    /// The same with `want` added.
    pub(crate) fn with(self, want: Want) -> Self {
        Self(self.0 | 1 << want as u8)
    }

    /// Whether `want` is among them.
    pub(crate) fn has(self, want: Want) -> bool {
        self.0 & (1 << want as u8) != 0
    }
}

impl fmt::Display for Wanted {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // After a whole comparison an operator could stand too, which nobody
        // looks for there.
        let listed =
            |want: Want| self.has(want) && !(want == Want::Operator && self.has(Want::Comma));
        let words: Vec<&str> =
            WORDING.iter().filter(|row| listed(row.0)).map(|row| row.1).collect();
        match words.as_slice() {
            [] => f.write_str("the end of the question"),
            [only] => f.write_str(only),
            [most @ .., last] => write!(f, "{} or {last}", most.join(", ")),
        }
    }
}
