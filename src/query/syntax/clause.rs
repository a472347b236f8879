//! Clauses: what is done with the rows that the filter leaves.

use nom::Parser;
use nom::combinator::{cut, map, opt};
use nom::multi::many1;
use nom::sequence::{pair, preceded};

use super::filter::{comma, filter, keyword, list};
use super::input::{Parsed, Tokens, Want, token};
use super::sum::{leaf_of, sum};
use super::token::{Class, whole_number};
use super::tree::{Clause, ClauseKind, Phrase, Place, SortColumn, Target, Units};
use super::words::Keyword;
use crate::quantity::{Dimension, Unit};

pub(super) fn clause(input: Tokens<'_>) -> Parsed<'_, Clause> {
    let starts = |class: &Class| matches!(class, Class::Keyword(word) if word.starts_clause());
    let (rest, first) = token(Want::Clause, starts)(input)?;
    let Class::Keyword(word) = first.class else { return input.stop(Want::Clause) };
    let (rest, what) = cut(body(word)).parse(rest)?;
    let keyword = Place(first.span);
    Ok((rest, Clause { what, keyword, place: input.place_to(rest) }))
}

fn body<'a>(word: Keyword) -> impl Fn(Tokens<'a>) -> Parsed<'a, ClauseKind> {
    move |input| match word {
        Keyword::With => map(list(comma, phrase(Want::Lube)), ClauseKind::With).parse(input),
        Keyword::Target => map(target, ClauseKind::Target).parse(input),
        Keyword::Keep => map(filter, ClauseKind::Keep).parse(input),
        Keyword::Show => map(list(comma, column), ClauseKind::Show).parse(input),
        Keyword::Sort => map(list(comma, sort_column), ClauseKind::Sort).parse(input),
        Keyword::First => map(count, ClauseKind::First).parse(input),
        Keyword::Tally => tally(input),
        Keyword::Units => map(units, ClauseKind::Units).parse(input),
        Keyword::On => map(phrase(Want::Wrench), ClauseKind::On).parse(input),
        _ => input.stop(Want::Clause),
    }
}

/// `[ column { "," column } ] [ "total" column ]`
fn tally(input: Tokens<'_>) -> Parsed<'_, ClauseKind> {
    let begins = |class: &Class| matches!(class, Class::Open) || class.is_operand();
    let (rest, by) = match input.class(0) {
        Some(class) if begins(class) => list(comma, column)(input)?,
        Some(Class::Keyword(word)) if *word == Keyword::Total || word.starts_clause() => {
            (input, Vec::new())
        }
        None => (input, Vec::new()),
        Some(_) => return input.stop(Want::Column),
    };
    let total = preceded(keyword(Keyword::Total, Want::Total), cut(column));
    map(opt(total), |total| ClauseKind::Tally { by: by.clone(), total }).parse(rest)
}

fn column(input: Tokens<'_>) -> Parsed<'_, super::tree::Sum> {
    sum(Want::Column)(input)
}

/// `column [ "down" ]`
fn sort_column(input: Tokens<'_>) -> Parsed<'_, SortColumn> {
    let down = opt(keyword(Keyword::Down, Want::Down));
    map(pair(column, down), |(sum, down)| SortColumn { sum, down: down.is_some() }).parse(input)
}

/// `QUOTED | WORD { WORD }`, where a word may be the name of a field (`thread
/// sealant`) or a number (`SAE 30`).
fn phrase<'a>(want: Want) -> impl Fn(Tokens<'a>) -> Parsed<'a, Phrase> {
    move |input| {
        if matches!(input.class(0), Some(Class::Quoted(_))) {
            let quoted = leaf_of(want, |class| matches!(class, Class::Quoted(_)));
            let (rest, leaf) = quoted(input)?;
            return Ok((rest, Phrase { text: leaf.text, quoted: true, place: leaf.place }));
        }
        let word = |class: &Class| {
            matches!(class, Class::Word | Class::Field | Class::Number(_) | Class::Date)
        };
        let (rest, words) = many1(token(want, word)).parse(input)?;
        let words: Vec<&str> = words.into_iter().map(|word| input.text(word)).collect();
        let place = input.place_to(rest);
        Ok((rest, Phrase { text: words.join(" "), quoted: false, place }))
    }
}

/// `percent ( "proof" | "yield" | "combined" ) | force`
fn target(input: Tokens<'_>) -> Parsed<'_, Target> {
    let amount = leaf_of(Want::Amount, |class| match class {
        Class::Quantity(quantity) => {
            matches!(quantity.dimension(), Dimension::Ratio | Dimension::Force)
        }
        Class::Quoted(_) => true,
        _ => false,
    });
    let (rest, amount) = amount(input)?;
    let share = token(Want::Share, |class| matches!(class, Class::Share(_)));
    let (rest, share) = match input.class(0) {
        Some(Class::Quantity(quantity)) if quantity.dimension() == Dimension::Force => (rest, None),
        Some(Class::Quantity(_)) => map(share, Some).parse(rest)?,
        _ => opt(share).parse(rest)?,
    };
    let share = match share.map(|token| &token.class) {
        Some(Class::Share(share)) => Some(*share),
        _ => None,
    };
    Ok((rest, Target { amount, share }))
}

/// A whole number from 1 up.
fn count(input: Tokens<'_>) -> Parsed<'_, u32> {
    match input.split() {
        Some((token, rest)) => match token.class {
            Class::Number(number) => match whole_number(number) {
                Some(count) => Ok((rest, count)),
                None => input.stop(Want::Count),
            },
            _ => input.stop(Want::Count),
        },
        None => input.stop(Want::Count),
    }
}

/// `"metric" | "inch" | unit { "," unit }`
fn units(input: Tokens<'_>) -> Parsed<'_, Units> {
    if let Some((token, rest)) = input.split()
        && let Class::Family(family) = token.class
    {
        return Ok((rest, Units::Family(family)));
    }
    map(list(comma, one_unit), Units::Each).parse(input)
}

fn one_unit(input: Tokens<'_>) -> Parsed<'_, (&'static Unit, Place)> {
    match input.split() {
        Some((token, rest)) => match token.class {
            Class::Unit(unit) => Ok((rest, (unit, Place(token.span)))),
            _ => input.stop(Want::Unit),
        },
        None => input.stop(Want::Unit),
    }
}
