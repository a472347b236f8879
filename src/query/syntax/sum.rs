//! Leaves, and the sums built of them.

use nom::Parser;
use nom::combinator::cut;
use nom::multi::many0;
use nom::sequence::pair;

use super::input::{Parsed, Tokens, Want, token};
use super::token::{Class, Token};
use super::tree::{Atom, Compared, Leaf, Name, Place, Product, Read, Sum};
use super::words::Operator;

/// `token` as a leaf of the tree; None for marks and keywords.
pub(super) fn leaf(input: Tokens<'_>, token: &Token) -> Option<Leaf> {
    let place = Place(token.span);
    let read = match &token.class {
        Class::Quoted(text) => {
            return Some(Leaf { text: text.clone(), read: Read::Quoted, place });
        }
        Class::Word | Class::Date => Read::Word,
        Class::Field => Read::Field,
        Class::Number(number) => Read::Number(*number),
        Class::Quantity(quantity) => Read::Quantity(*quantity),
        Class::Thread(pattern) => Read::Thread(pattern.clone()),
        _ => return None,
    };
    Some(Leaf { text: input.text(token).to_owned(), read, place })
}

/// The next token as a leaf, if `accept` takes it.
pub(super) fn leaf_of<'a>(
    want: Want,
    accept: impl Fn(&Class) -> bool,
) -> impl Fn(Tokens<'a>) -> Parsed<'a, Leaf> {
    move |input| match input.split() {
        Some((token, rest)) if accept(&token.class) => match leaf(input, token) {
            Some(leaf) => Ok((rest, leaf)),
            None => input.stop(want),
        },
        _ => input.stop(want),
    }
}

pub(super) fn name_of<'a>(want: Want, class: &Class) -> impl Fn(Tokens<'a>) -> Parsed<'a, Name> {
    move |input| {
        let (rest, found) = token(want, |other| other == class)(input)?;
        Ok((rest, Name { text: input.text(found).to_owned(), place: Place(found.span) }))
    }
}

pub(super) fn field(input: Tokens<'_>) -> Parsed<'_, Name> {
    name_of(Want::Field, &Class::Field)(input)
}

pub(super) fn relation(input: Tokens<'_>) -> Parsed<'_, Compared> {
    let (rest, found) = token(Want::Relation, |class| matches!(class, Class::Relation(_)))(input)?;
    match found.class {
        Class::Relation(relation) => Ok((rest, Compared { relation, place: Place(found.span) })),
        _ => input.stop(Want::Relation),
    }
}

/// `product { ( "+" | "-" ) product }`; `want` is what a sum is called here.
pub(super) fn sum<'a>(want: Want) -> impl Fn(Tokens<'a>) -> Parsed<'a, Sum> {
    move |input| {
        let plus = operator(|found| matches!(found, Operator::Plus | Operator::Minus));
        let more = many0(pair(plus, cut(product(Want::Operand))));
        let (rest, (first, others)) = pair(product(want), more).parse(input)?;
        Ok((rest, Sum { first, rest: others, place: input.place_to(rest) }))
    }
}

fn product<'a>(want: Want) -> impl Fn(Tokens<'a>) -> Parsed<'a, Product> {
    move |input| {
        let times = operator(|found| matches!(found, Operator::Times | Operator::Per));
        let more = many0(pair(times, cut(atom(Want::Operand))));
        let (rest, (first, others)) = pair(atom(want), more).parse(input)?;
        Ok((rest, Product { first, rest: others }))
    }
}

fn operator<'a>(accept: impl Fn(Operator) -> bool) -> impl Fn(Tokens<'a>) -> Parsed<'a, Operator> {
    move |input| match input.split() {
        Some((token, rest)) => match token.class {
            Class::Operator(found) if accept(found) => Ok((rest, found)),
            _ => input.stop(Want::Operator),
        },
        None => input.stop(Want::Operator),
    }
}

/// A leaf or a sum in parentheses. The nesting of parentheses is capped before
/// the parser runs, so this recursion is too.
fn atom<'a>(want: Want) -> impl Fn(Tokens<'a>) -> Parsed<'a, Atom> {
    move |input| {
        if input.class(0) != Some(&Class::Open) {
            return leaf_of(want, Class::is_operand).map(Atom::Leaf).parse(input);
        }
        let (rest, _) = token(want, |class| *class == Class::Open)(input)?;
        let close = token(Want::Close, |class| *class == Class::Close);
        let (rest, (inner, _)) = cut(pair(sum(Want::Operand), close)).parse(rest)?;
        Ok((rest, Atom::Group(Box::new(inner))))
    }
}
