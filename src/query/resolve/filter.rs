//! The filter of a question: how its items are joined.

use std::collections::HashSet;

use crate::quantity::Dimension;
use crate::query::resolve::alternatives::{
    Sort, add_alternative, are_alternatives, are_of_one_sort, first_of, last_of, sort_of,
    take_first,
};
use crate::query::resolve::item::{joined_test, one_thread};
use crate::query::resolve::names::{self, Joined};
use crate::query::resolve::{Names, ResolveError, Test};
use crate::query::syntax::{All, Bare, Filter, Item, Join, Name, Part, Read, Test as Typed, What};
use crate::record::{Field, FieldKind, find_field};
use crate::text::Span;
use crate::thread::Thread;

pub(super) fn filter(filter: &Filter, names: Names<'_>) -> Result<Test, ResolveError> {
    let mut tests: Vec<Test> = Vec::new();
    for (at, typed) in filter.parts.iter().enumerate() {
        let mut test = part(typed, names)?;
        // `class 10.9, 12.9`: what stands beside the comma may be alternatives.
        let is_plain = |part: &Part| part.alternatives.len() == 1;
        // `brake, wheel or lifting` too, where the last of them is an `or`.
        let is_list = is_plain(typed) || matches!(&test, Test::Any(each) if are_of_one_sort(each));
        let begins = typed.alternatives[0].items[0].not.is_none() && is_list;
        if let Some(before) = tests.last_mut().filter(|_| begins && is_plain(&filter.parts[at - 1]))
            && sort_of(last_of(before)).is_some_and(|sort| Some(sort) == sort_of(first_of(&test)))
        {
            let first = take_first(&mut test);
            add_alternative(last_of(before), first);
        }
        tests.extend(Some(test).filter(|test| *test != Test::All(Vec::new())));
    }
    Ok(all_of(tests))
}

pub(super) fn all_of(mut tests: Vec<Test>) -> Test {
    if tests.len() == 1 { tests.remove(0) } else { Test::All(tests) }
}

/// Alternatives. After `FIELD value or` a bare word belongs to that field.
fn part(part: &Part, names: Names<'_>) -> Result<Test, ResolveError> {
    let mut tests = Vec::new();
    let mut open: Option<&Name> = None;
    for alternative in &part.alternatives {
        let taken = open.and_then(|field| with_field(field, alternative, names));
        let test = match &taken {
            Some(taken) => conjunction(taken, names)?,
            None => {
                open = last_field(alternative, names);
                conjunction(alternative, names)?
            }
        };
        tests.push(test);
    }
    Ok(Test::any_of(tests))
}

/// The field of an alternative that ends in `FIELD value`, the value going on
/// through further words where a name does.
fn last_field<'t>(all: &'t All, names: Names<'_>) -> Option<&'t Name> {
    let is_field = |item: &Item| matches!(item.what, What::Test(Typed::Is { .. }));
    let at = all.items.iter().rposition(is_field)?;
    let What::Test(Typed::Is { field, .. }) = &all.items[at].what else { return None };
    let taken = joined_test(&all.items[at..], names).ok()?.items;
    (at + taken == all.items.len()).then_some(field)
}

/// `alternative` with its first word as a value of `field`, if that can be one.
fn with_field(name: &Name, alternative: &All, names: Names<'_>) -> Option<All> {
    let field = find_field(&name.text)?;
    let first = alternative.items.first().filter(|item| item.not.is_none())?;
    let What::Bare(Bare::Value(value)) = &first.what else { return None };
    let fits = match (&value.read, field.kind) {
        (Read::Thread(_), kind) => kind == FieldKind::Thread,
        (Read::Quantity(quantity), FieldKind::Quantity(wanted)) => quantity.dimension() == wanted,
        (Read::Quantity(quantity), kind) => {
            kind == FieldKind::Share && quantity.dimension() == Dimension::Ratio
        }
        (Read::Word, kind) => !matches!(
            kind,
            FieldKind::Quantity(_) | FieldKind::Share | FieldKind::Number | FieldKind::Thread
        ),
        (Read::Field, _) => {
            names::of_field(field, &name.text, &value.text, names).is_some()
                || names::choice_word(field, &value.text).is_some()
        }
        (Read::Number(_) | Read::Quoted, _) => true,
    };
    fits.then(|| {
        let mut items = alternative.items.clone();
        let field = name.clone();
        items[0].what = What::Test(Typed::Is { field, value: value.clone() });
        All { items }
    })
}

fn conjunction(all: &All, names: Names<'_>) -> Result<Test, ResolveError> {
    let mut tests = Vec::new();
    let mut begun = vec![0];
    let mut rest = all.items.as_slice();
    while let Some(item) = rest.first() {
        let Joined { found, items } = joined_test(rest, names)
            .map_err(|error| with_name(error, &all.items, rest.len(), names))?;
        // What stands in parentheses is meant as it stands.
        let is_bare = |at: usize| matches!(all.items[at].what, What::Bare(_));
        let at = all.items.len() - rest.len();
        let is_alternative = |last: &Test| match item.join {
            _ if item.not.is_some() => false,
            Join::And => {
                names.is_second
                    && is_bare(at)
                    && is_bare(at - 1)
                    && (is_name(last) && is_name(&found)
                        || sort_of(last).is_some_and(|sort| Some(sort) == sort_of(&found)))
            }
            _ => are_alternatives(last, &found),
        };
        match tests.last_mut().filter(|last| is_alternative(last)) {
            Some(last) => add_alternative(last, found),
            None if item.not.is_some() => tests.push(Test::Not(Box::new(found))),
            None => {
                begun.extend((item.join == Join::And).then_some(tests.len()));
                tests.push(found);
            }
        }
        rest = &rest[items..];
    }
    let ends = begun[1..].iter().copied().chain([tests.len()]);
    let runs: Vec<&[Test]> = begun.iter().zip(ends).map(|(at, end)| &tests[*at..end]).collect();
    // `the main studs and the head studs`, of which nothing is both.
    let is_each = names.is_second && runs.len() > 1 && runs.iter().all(|run| is_named_kind(run));
    Ok(match is_each {
        true => Test::Any(runs.into_iter().map(|run| all_of(run.to_vec())).collect()),
        false => all_of(tests),
    })
}

/// A name and a kind of fastener, `head studs`.
fn is_named_kind(run: &[Test]) -> bool {
    matches!(run, [name, kind] if is_name(name) && sort_of(kind) == Some(Sort::Choice("kind")))
}

/// Whether it looks for something by a name without a field, or for one of several.
fn is_name(test: &Test) -> bool {
    match test {
        Test::Any(tests) => tests.iter().all(is_name),
        test => matches!(test, Test::Bare(_)),
    }
}

/// A bare number with the nearest name that the words around it may mean:
/// `Tern 40` for `Tern 40 pump`. `left` items are not read yet.
fn with_name(error: ResolveError, items: &[Item], left: usize, names: Names<'_>) -> ResolveError {
    match error {
        ResolveError::BareNumber { number, span, .. } if number.parse::<f64>().is_ok() => {
            let name = names::around(items, items.len() - left, names);
            ResolveError::BareNumber { number, name, span }
        }
        other => other,
    }
}

/// How words were read that `more_text` looks for in two places.
pub(super) fn read_twice(test: &Test, lines: &mut Vec<String>) {
    match test {
        Test::Any(tests) => match tests.as_slice() {
            [Test::Says(field, word), other]
                if field.name != "text" && !matches!(other, Test::Says(..)) =>
            {
                lines.push(format!(
                    "`{word}` is looked for in {} too; for the other alone put a comma before it",
                    field.name
                ));
            }
            _ => tests.iter().for_each(|test| read_twice(test, lines)),
        },
        Test::All(tests) => tests.iter().for_each(|test| read_twice(test, lines)),
        _ => {}
    }
}

/// The threads whose look-alikes `filter` asks for.
pub(super) fn confused_threads(filter: &Filter) -> Vec<Thread> {
    let items = filter.parts.iter().flat_map(|part| &part.alternatives).flat_map(|all| &all.items);
    let threads = items.flat_map(|item| match &item.what {
        What::Group(inner) => confused_threads(inner),
        What::Test(Typed::ConfusedWith { thread }) => one_thread(thread).into_iter().collect(),
        _ => Vec::new(),
    });
    threads.collect()
}

/// The fields that stand alone in the filter and are no part of a name: they
/// are to be shown too.
pub(super) fn alone(filter: &Filter, continuing: &HashSet<Span>) -> Vec<&'static Field> {
    let items = filter.parts.iter().flat_map(|part| &part.alternatives).flat_map(|all| &all.items);
    let mut fields: Vec<&'static Field> = Vec::new();
    for item in items {
        let found = match &item.what {
            What::Group(inner) => alone(inner, continuing),
            What::Bare(Bare::Value(leaf))
                if leaf.read == Read::Field
                    && item.not.is_none()
                    && !continuing.contains(&item.place.0) =>
            {
                find_field(&leaf.text).into_iter().collect()
            }
            _ => Vec::new(),
        };
        fields.extend(found);
    }
    fields.retain(|field| field.kind != FieldKind::Flag);
    fields
}

/// The places of the items that go on with the name before them: `pan` of
/// `oil pan`. They do not mix adjacency with `or`.
pub(super) fn continuing(filter: &Filter, names: Names<'_>) -> HashSet<Span> {
    let mut places = HashSet::new();
    let alternatives = filter.parts.iter().flat_map(|part| &part.alternatives);
    for all in alternatives {
        let mut rest = all.items.as_slice();
        while let Some(item) = rest.first() {
            if let What::Group(inner) = &item.what {
                places.extend(continuing(inner, names));
            }
            let items = joined_test(rest, names).map_or(1, |joined| joined.items);
            places.extend(rest[1..items].iter().map(|item| item.place.0));
            rest = &rest[items..];
        }
    }
    places
}
