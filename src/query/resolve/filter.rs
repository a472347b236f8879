//! The filter of a question: items to tests.

use std::collections::HashSet;

use crate::quantity::Dimension;
use crate::query::resolve::alternatives::{
    add_alternative, are_alternatives, are_of_one_sort, first_of, last_of, sort_of, take_first,
};
use crate::query::resolve::names::{self, Joined};
use crate::query::resolve::value::{self, field_for};
use crate::query::resolve::{Names, ResolveError, Test, compare, material};
use crate::query::syntax::Relation;
use crate::query::syntax::{
    All, Bare, Filter, Item, Join, Leaf, Name, Part, Read, Test as Typed, What,
};
use crate::record::{FIELDS, Field, FieldKind, find_field};
use crate::text::{Span, fold_name, nearest};
use crate::thread::{Thread, look_alikes};

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

fn all_of(mut tests: Vec<Test>) -> Test {
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
    Ok(if tests.len() == 1 { tests.remove(0) } else { Test::Any(tests) })
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
pub(super) fn with_field(name: &Name, alternative: &All, names: Names<'_>) -> Option<All> {
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
                    && is_name(last)
                    && is_name(&found)
            }
            _ => are_alternatives(last, &found),
        };
        match tests.last_mut().filter(|last| is_alternative(last)) {
            Some(last) => add_alternative(last, found),
            None if item.not.is_some() => tests.push(Test::Not(Box::new(found))),
            None => tests.push(found),
        }
        rest = &rest[items..];
    }
    Ok(all_of(tests))
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
        ResolveError::BareNumber { number, span, .. } => {
            let name = names::around(items, items.len() - left, names);
            ResolveError::BareNumber { number, name, span }
        }
        other => other,
    }
}

/// The test at the start of `items`, and how many items it took.
pub(super) fn joined_test(items: &[Item], names: Names<'_>) -> Result<Joined<Test>, ResolveError> {
    let single = |found| Joined { found, items: 1 };
    match &items[0].what {
        What::Group(inner) => filter(inner, names).map(single),
        What::Test(Typed::Is { field, value }) => {
            let joined = is(field, value, &items[1..], names)?;
            Ok(Joined { found: joined.found, items: joined.items + 1 })
        }
        What::Test(test) => typed(test, names).map(single),
        What::Bare(Bare::ThreadAndLength { thread, length }) => {
            let thread = Test::Thread(value::thread(thread)?);
            let length = of_field("length", Relation::Equal, length, names)?;
            Ok(single(Test::All(vec![thread, length])))
        }
        What::Bare(Bare::Value(leaf)) => bare(leaf, items, names),
    }
}

/// `FIELD value`, the value going on through `after` where a name does.
fn is(
    name: &Name,
    leaf: &Leaf,
    after: &[Item],
    names: Names<'_>,
) -> Result<Joined<Test>, ResolveError> {
    let field = known(name)?;
    if let Some(Joined { found, items }) = names::for_field((field, &name.text), leaf, after, names)
    {
        return Ok(Joined { found: Test::Named(field, found), items });
    }
    if let Some(joined) = material::of_hole(field, leaf, after) {
        return Ok(joined);
    }
    if let Some(Joined { found, items }) = names::for_choice(field, leaf, after) {
        return Ok(Joined { found: Test::Choice(field, found), items });
    }
    if let Some(figure) = names::figure_of_text(field, leaf, after) {
        let found = Test::Says(
            field,
            fold_name(&format!("{} {}", leaf.text, names::text_of(field, figure))),
        );
        return Ok(Joined { found, items: 1 });
    }
    let found = value::test((field, &name.text), Relation::Equal, leaf, names)?;
    let is_text = matches!(found, Test::Says(..));
    let more = is_text.then(|| more_text(field, after, names));
    let Joined { found: more, items } = more.unwrap_or(Joined { found: vec![], items: 0 });
    Ok(Joined { found: all_of(std::iter::once(found).chain(more).collect()), items })
}

/// `retorque after heat cycle`: words after a text may go on with it. One that
/// names nothing of the book stands there or in the text of the row, one that does
/// there or where it usually is: `gasket paper dry`. A number goes with the word after
/// it: `retorque after 8 hours`.
fn more_text(field: &'static Field, after: &[Item], names: Names<'_>) -> Joined<Vec<Test>> {
    let mut tests = Vec::new();
    let mut at = 0;
    let word = |at: usize| match after.get(at).map(|item| (item, &item.what)) {
        Some((item, What::Bare(Bare::Value(leaf)))) if item.join == Join::Beside => {
            Some(leaf).filter(|_| item.not.is_none())
        }
        _ => None,
    };
    while let Some(leaf) = word(at).filter(|_| field.name != "text") {
        if let (Read::Number(_), Some(next)) = (&leaf.read, word(at + 1))
            && named(leaf, &after[at..], names).is_err()
        {
            let counted = format!("{} {}", leaf.text, next.text);
            tests.push(Test::Says(field, fold_name(&counted)));
            at += 2;
            continue;
        }
        if leaf.read != Read::Word {
            break;
        }
        let Ok(Joined { found, items: 1 }) = named(leaf, &after[at..], names) else { break };
        if names::kind(&leaf.text).is_some() {
            break;
        }
        tests.push(Test::Any(vec![Test::Says(field, fold_name(&leaf.text)), found]));
        at += 1;
    }
    Joined { found: tests, items: at }
}

/// How words were read that [`more_text`] looks for in two places.
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

fn typed(test: &Typed, names: Names<'_>) -> Result<Test, ResolveError> {
    match test {
        Typed::Is { field, value } => is(field, value, &[], names).map(|joined| joined.found),
        Typed::Range { field, low, high } => compare::range(known(field)?, low, high),
        Typed::Compare { left, relation, right } => compare::sums(left, *relation, right, names),
        Typed::Unknown { word, .. } => Err(unknown_field(word)),
        // Whoever asks what needs a washer does not want `washer none`.
        Typed::Has { field } => Ok(Test::Not(Box::new(Test::None(known(field)?)))),
        Typed::Lacks { field } => Ok(Test::Not(Box::new(Test::Stated(known(field)?)))),
        Typed::No { field } => Ok(Test::None(known(field)?)),
        Typed::ConfusedWith { thread } => confused(thread),
    }
}

pub(super) fn known(name: &Name) -> Result<&'static Field, ResolveError> {
    find_field(&name.text).ok_or_else(|| unknown_field(name))
}

fn unknown_field(name: &Name) -> ResolveError {
    let words =
        FIELDS.iter().flat_map(|f| std::iter::once(f.name).chain(f.aliases.iter().copied()));
    ResolveError::UnknownField {
        word: name.text.clone(),
        nearest: nearest(&name.text, words).map(str::to_owned),
        span: name.place.0,
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

fn one_thread(leaf: &Leaf) -> Result<Thread, ResolveError> {
    value::thread(leaf)?.to_thread().map_err(|error| ResolveError::BadValue {
        found: leaf.text.clone(),
        field: "confused-with",
        expected: format!("one thread ({error})"),
        nearest: None,
        span: leaf.place.0,
    })
}

fn confused(leaf: &Leaf) -> Result<Test, ResolveError> {
    let thread = one_thread(leaf)?;
    let mut others: Vec<Thread> = look_alikes(&thread).into_iter().map(|pair| pair.other).collect();
    others.dedup();
    Ok(Test::OneOf(others))
}

fn of_field(
    name: &'static str,
    relation: Relation,
    leaf: &Leaf,
    names: Names<'_>,
) -> Result<Test, ResolveError> {
    let field = find_field(name).ok_or_else(|| bare_number(leaf))?;
    value::test((field, name), relation, leaf, names)
}

/// Something without a field.
fn bare(leaf: &Leaf, items: &[Item], names: Names<'_>) -> Result<Joined<Test>, ResolveError> {
    let single = |found| Joined { found, items: 1 };
    match &leaf.read {
        Read::Thread(pattern) => Ok(single(Test::Thread(pattern.clone()))),
        Read::Quoted => Ok(single(names::says(&leaf.text))),
        Read::Quantity(quantity) => {
            let share = || ResolveError::BareShare { share: leaf.text.clone(), span: leaf.place.0 };
            let name = field_for(quantity.dimension()).ok_or_else(share)?;
            let found = of_field(name, Relation::Equal, leaf, names)?;
            if quantity.dimension() != Dimension::Angle {
                return Ok(single(found));
            }
            // In all, or in one of its steps.
            let step = of_field("angle-step", Relation::Equal, leaf, names)?;
            Ok(single(Test::Any(vec![found, step])))
        }
        Read::Word | Read::Number(_) | Read::Field => named(leaf, items, names),
    }
}

fn named(leaf: &Leaf, items: &[Item], names: Names<'_>) -> Result<Joined<Test>, ResolveError> {
    let longest = names::bare(items, names);
    if longest.is_none()
        && let Some(Joined { found: (field, text), items }) = names::head_of_size(items)
    {
        return Ok(Joined { found: Test::Says(field, fold_name(&text)), items });
    }
    // A field that stands alone is a field, unless it begins a longer name or is one.
    let alone = leaf.read == Read::Field
        && longest.as_ref().is_none_or(|name| name.items == 1)
        && !names::is_called(&leaf.text, names);
    if let Some(field) = find_field(&leaf.text).filter(|_| alone) {
        let flag = field.kind == FieldKind::Flag;
        let found = if flag { Test::Flag(field) } else { stated(field) };
        return Ok(Joined { found, items: 1 });
    }
    match longest {
        Some(joined) => Ok(joined),
        None if matches!(leaf.read, Read::Number(_)) => Err(bare_number(leaf)),
        // `fine bolts`: of what has no name of that word.
        None => {
            let thread = find_field("thread");
            let form = thread.and_then(|field| Some(Test::Form(field, value::form(field, leaf)?)));
            Ok(Joined { found: form.unwrap_or_else(|| names::says(&leaf.text)), items: 1 })
        }
    }
}

/// A field that stands alone is stated; `torque` is whatever a bolt is tightened by.
fn stated(field: &'static Field) -> Test {
    if field.name != "torque" {
        return Test::Stated(field);
    }
    let others = ["angle", "stretch"].into_iter().filter_map(find_field);
    Test::Any(std::iter::once(field).chain(others).map(Test::Stated).collect())
}

fn bare_number(leaf: &Leaf) -> ResolveError {
    ResolveError::BareNumber { number: leaf.text.clone(), name: None, span: leaf.place.0 }
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
