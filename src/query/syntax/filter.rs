//! Filters: what must hold for a row.
//!
//! Which alternative an item is shows in its first two or three tokens, so
//! nothing here is tried twice.

use nom::Parser;
use nom::combinator::{cut, map, opt};
use nom::multi::many0;
use nom::sequence::{pair, preceded};

use super::input::{Parsed, Tokens, Want, token};
use super::sum::{field, leaf_of, name_of, relation, sum};
use super::token::{Class, Token};
use super::tree::{All, Bare, Filter, Item, Join, Part, Place, Test, What};
use super::words::Keyword;

/// `part { "," part }`
pub(super) fn filter(input: Tokens<'_>) -> Parsed<'_, Filter> {
    map(list(comma, part), |parts| Filter { parts }).parse(input)
}

/// `all { "or" all }`
fn part(input: Tokens<'_>) -> Parsed<'_, Part> {
    let or = keyword(Keyword::Or, Want::Or);
    map(list(or, all), |alternatives| Part { alternatives }).parse(input)
}

/// `item { [ "and" ] item }`
fn all(input: Tokens<'_>) -> Parsed<'_, All> {
    let and = keyword(Keyword::And, Want::And);
    let joined = preceded(and, cut(item(Join::And)));
    let more = many0(joined.or(item(Join::Beside)));
    let (rest, (first, others)) = pair(item(Join::First), more).parse(input)?;
    Ok((rest, All { items: std::iter::once(first).chain(others).collect() }))
}

/// One or more of `element`, with `separator` between them.
pub(super) fn list<'a, S, T>(
    separator: impl Fn(Tokens<'a>) -> Parsed<'a, S>,
    element: impl Fn(Tokens<'a>) -> Parsed<'a, T>,
) -> impl Fn(Tokens<'a>) -> Parsed<'a, Vec<T>> {
    move |input| {
        let more = many0(preceded(&separator, cut(&element)));
        let (rest, (first, others)) = pair(&element, more).parse(input)?;
        Ok((rest, std::iter::once(first).chain(others).collect()))
    }
}

pub(super) fn comma(input: Tokens<'_>) -> Parsed<'_, &Token> {
    token(Want::Comma, |class| *class == Class::Comma)(input)
}

pub(super) fn keyword<'a>(
    wanted: Keyword,
    want: Want,
) -> impl Fn(Tokens<'a>) -> Parsed<'a, &'a Token> {
    token(want, move |class| *class == Class::Keyword(wanted))
}

/// `[ "not" ] ( "(" filter ")" | test | bare )`
fn item<'a>(join: Join) -> impl Fn(Tokens<'a>) -> Parsed<'a, Item> {
    move |input| {
        let (rest, not) = opt(keyword(Keyword::Not, Want::Item)).parse(input)?;
        let (rest, what) = if not.is_some() { cut(what).parse(rest)? } else { what(rest)? };
        let not = not.map(|token| Place(token.span));
        Ok((rest, Item { join, not, what, place: input.place_to(rest) }))
    }
}

fn what(input: Tokens<'_>) -> Parsed<'_, What> {
    let compared = |ahead| input.class(ahead).is_some_and(Class::joins_sums);
    match input.class(0) {
        Some(Class::Keyword(keyword)) => stated(input, *keyword),
        Some(Class::Open) if input.class_after_group().is_some_and(Class::joins_sums) => {
            compare(input)
        }
        Some(Class::Open) => group(input),
        Some(Class::Word) if compared(1) => unknown(input),
        Some(Class::Field) if !compared(1) => of_field(input),
        Some(first) if first.is_operand() && compared(1) => compare(input),
        _ => bare(input),
    }
}

/// `"(" filter ")"`. The nesting of parentheses is capped before the parser
/// runs, so this recursion is too.
fn group(input: Tokens<'_>) -> Parsed<'_, What> {
    let (rest, _) = token(Want::Item, |class| *class == Class::Open)(input)?;
    let close = token(Want::Close, |class| *class == Class::Close);
    map(cut(pair(filter, close)), |(inner, _)| What::Group(inner)).parse(rest)
}

/// `has FIELD` and the like, `confused-with THREAD`.
fn stated(input: Tokens<'_>, keyword: Keyword) -> Parsed<'_, What> {
    let Some((_, rest)) = input.split() else { return input.stop(Want::Item) };
    let test = match keyword {
        Keyword::Has | Keyword::Needs => map(cut(field), |field| Test::Has { field }).parse(rest),
        Keyword::Lacks => map(cut(field), |field| Test::Lacks { field }).parse(rest),
        Keyword::No => map(cut(field), |field| Test::No { field }).parse(rest),
        Keyword::ConfusedWith => {
            let thread =
                leaf_of(Want::Thread, |class| matches!(class, Class::Thread(_) | Class::Quoted(_)));
            map(cut(thread), |thread| Test::ConfusedWith { thread }).parse(rest)
        }
        _ => return input.stop(Want::Item),
    };
    test.map(|(rest, test)| (rest, What::Test(test)))
}

/// `sum REL sum`
fn compare(input: Tokens<'_>) -> Parsed<'_, What> {
    let sides = pair(sum(Want::Item), cut(pair(relation, sum(Want::Operand))));
    map(sides, |(left, (relation, right))| What::Test(Test::Compare { left, relation, right }))
        .parse(input)
}

/// `WORD REL sum`
fn unknown(input: Tokens<'_>) -> Parsed<'_, What> {
    let word = name_of(Want::Item, &Class::Word);
    let sides = pair(word, cut(pair(relation, sum(Want::Operand))));
    map(sides, |(word, (relation, right))| What::Test(Test::Unknown { word, relation, right }))
        .parse(input)
}

/// `FIELD [ value | range ]`
fn of_field(input: Tokens<'_>) -> Parsed<'_, What> {
    let Some((_, after)) = input.split() else { return input.stop(Want::Item) };
    if after.class(1) == Some(&Class::Range) {
        return range(input);
    }
    if !takes_value(after) {
        return bare(input);
    }
    let value = leaf_of(Want::Item, |_| true);
    map(pair(field, value), |(field, value)| What::Test(Test::Is { field, value })).parse(input)
}

/// Whether what follows a field is its value: not if it is compared itself.
fn takes_value(after: Tokens<'_>) -> bool {
    let is_value = match after.class(0) {
        // In `stretch torque 60..80 lb-ft` the range belongs to the torque.
        Some(Class::Field) => after.class(2) != Some(&Class::Range),
        Some(class) => class.is_operand() || *class == Class::Word,
        None => false,
    };
    is_value && !after.class(1).is_some_and(Class::joins_sums)
}

/// `FIELD low..high`
fn range(input: Tokens<'_>) -> Parsed<'_, What> {
    let end = |class: &Class| matches!(class, Class::Quantity(_) | Class::Number(_));
    let (rest, field) = field(input)?;
    let (rest, low) = cut(leaf_of(Want::RangeEnd, end)).parse(rest)?;
    let (rest, _) = cut(token(Want::RangeEnd, |class| *class == Class::Range)).parse(rest)?;
    let plain = matches!(low.read, super::tree::Read::Number(_));
    let high = leaf_of(Want::RangeEnd, |class| {
        matches!(class, Class::Quantity(_)) || plain && matches!(class, Class::Number(_))
    });
    let (rest, high) = cut(high).parse(rest)?;
    Ok((rest, What::Test(Test::Range { field, low, high })))
}

/// `THREAD [ "x" QUANTITY ] | QUANTITY | NUMBER | WORD | QUOTED | FIELD`
fn bare(input: Tokens<'_>) -> Parsed<'_, What> {
    let any = leaf_of(Want::Item, |class| class.is_operand() || *class == Class::Word);
    let (rest, value) = any(input)?;
    if rest.class(0) != Some(&Class::By) {
        return Ok((rest, What::Bare(Bare::Value(value))));
    }
    let by = token(Want::Length, |class| *class == Class::By);
    let length =
        leaf_of(Want::Length, |class| matches!(class, Class::Quantity(_) | Class::Quoted(_)));
    let (rest, length) = cut(preceded(by, length)).parse(rest)?;
    Ok((rest, What::Bare(Bare::ThreadAndLength { thread: value, length })))
}
