//! The filter of a question: items to tests.

use std::collections::HashSet;

use crate::query::resolve::names::{self, BareName, Joined};
use crate::query::resolve::value::{self, field_for};
use crate::query::resolve::{Compare, Expr, Names, ResolveError, Test, coherent, expr};
use crate::query::syntax::Relation;
use crate::query::syntax::{
    All, Bare, Compared, Filter, Item, Leaf, Name, Part, Read, Sum, Test as Typed, What,
};
use crate::record::{FIELDS, Field, FieldKind, find_field};
use crate::text::{Span, fold_name, nearest};
use crate::thread::{Thread, look_alikes};

/// A whole filter: every part must hold.
pub(super) fn filter(filter: &Filter, names: Names<'_>) -> Result<Test, ResolveError> {
    let parts: Result<Vec<Test>, _> = filter.parts.iter().map(|p| part(p, names)).collect();
    Ok(all_of(parts?))
}

fn all_of(mut tests: Vec<Test>) -> Test {
    if tests.len() == 1 { tests.remove(0) } else { Test::All(tests) }
}

/// Alternatives. After `FIELD value or` a bare word belongs to that field.
fn part(part: &Part, names: Names<'_>) -> Result<Test, ResolveError> {
    let mut tests = Vec::new();
    let mut open: Option<&'static Field> = None;
    for alternative in &part.alternatives {
        let taken = open.and_then(|field| only_value(alternative).map(|leaf| (field, leaf)));
        let test = match taken {
            Some((field, leaf)) => is(field, leaf, &alternative.items[1..], names)?.found,
            None => {
                open = last_field(alternative);
                all(alternative, names)?
            }
        };
        tests.push(test);
    }
    Ok(if tests.len() == 1 { tests.remove(0) } else { Test::Any(tests) })
}

/// The field of an alternative that ends in `FIELD value`.
fn last_field(all: &All) -> Option<&'static Field> {
    match &all.items.last()?.what {
        What::Test(Typed::Is { field, .. }) => find_field(&field.text),
        _ => None,
    }
}

/// The first leaf of an alternative that is nothing but bare words.
fn only_value(all: &All) -> Option<&Leaf> {
    let leaf = |item: &Item| match &item.what {
        What::Bare(Bare::Value(leaf)) if item.not.is_none() => {
            matches!(leaf.read, Read::Word | Read::Quoted | Read::Number(_)).then_some(())
        }
        _ => None,
    };
    all.items.iter().all(|item| leaf(item).is_some()).then_some(())?;
    match &all.items.first()?.what {
        What::Bare(Bare::Value(leaf)) => Some(leaf),
        _ => None,
    }
}

fn all(all: &All, names: Names<'_>) -> Result<Test, ResolveError> {
    let mut tests = Vec::new();
    let mut rest = all.items.as_slice();
    while let Some(item) = rest.first() {
        let Joined { found, items } = one(rest, names)?;
        tests.push(if item.not.is_some() { Test::Not(Box::new(found)) } else { found });
        rest = &rest[items..];
    }
    Ok(all_of(tests))
}

/// The test at the start of `items`, and how many items it took.
fn one(items: &[Item], names: Names<'_>) -> Result<Joined<Test>, ResolveError> {
    let single = |found| Joined { found, items: 1 };
    match &items[0].what {
        What::Group(inner) => filter(inner, names).map(single),
        What::Test(Typed::Is { field, value }) => {
            let field = known(field)?;
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
    field: &'static Field,
    leaf: &Leaf,
    after: &[Item],
    names: Names<'_>,
) -> Result<Joined<Test>, ResolveError> {
    if let Some(Joined { found: (what, name), items }) = names::for_field(field, leaf, after, names)
    {
        return Ok(Joined { found: Test::Named(field, what, name), items });
    }
    value::test(field, Relation::Equal, leaf, names).map(|found| Joined { found, items: 0 })
}

fn typed(test: &Typed, names: Names<'_>) -> Result<Test, ResolveError> {
    match test {
        Typed::Is { field, value } => {
            is(known(field)?, value, &[], names).map(|joined| joined.found)
        }
        Typed::Range { field, low, high } => range(known(field)?, low, high),
        Typed::Compare { left, relation, right } => compare(left, *relation, right, names),
        Typed::Unknown { word, .. } => Err(unknown_field(word)),
        Typed::Has { field } => Ok(Test::Stated(known(field)?)),
        Typed::Lacks { field } => Ok(Test::Not(Box::new(Test::Stated(known(field)?)))),
        Typed::ConfusedWith { thread } => confused(thread),
    }
}

/// The field that `name` names.
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

fn confused(leaf: &Leaf) -> Result<Test, ResolveError> {
    let pattern = value::thread(leaf)?;
    let thread = pattern.to_thread().map_err(|error| ResolveError::BadValue {
        found: leaf.text.clone(),
        field: "confused-with",
        expected: format!("one thread ({error})"),
        nearest: None,
        span: leaf.place.0,
    })?;
    let mut others: Vec<Thread> = look_alikes(&thread).into_iter().map(|pair| pair.other).collect();
    others.dedup();
    Ok(Test::OneOf(others))
}

fn range(field: &'static Field, low: &Leaf, high: &Leaf) -> Result<Test, ResolveError> {
    let left = Expr::field(field).ok_or(ResolveError::BadRelation {
        field: field.name,
        allowed: "it has no range: compare it with one value",
        span: high.place.0,
    })?;
    let (low_value, high_value) = match (&low.read, &high.read, field.kind) {
        (Read::Number(a), Read::Number(b), FieldKind::Number) => (a.value(), b.value()),
        _ => ends(field, low, high)?,
    };
    if low_value > high_value {
        return Err(ResolveError::Reversed { span: low.place.0.to(high.place.0) });
    }
    Ok(Test::Within { left, low: low_value, high: high_value })
}

/// Both ends in coherent units; a bare number takes the unit of the high end.
fn ends(field: &'static Field, low: &Leaf, high: &Leaf) -> Result<(f64, f64), ResolveError> {
    let top = value::quantity(field, high)?;
    let bottom = match &low.read {
        Read::Number(number) => crate::quantity::Quantity::new(*number, top.unit),
        _ => value::quantity(field, low)?,
    };
    for (leaf, found) in [(low, bottom), (high, top)] {
        let fits = match field.kind {
            FieldKind::Quantity(dimension) => found.dimension() == dimension,
            _ => found.dimension() == crate::quantity::Dimension::Ratio,
        };
        if !fits {
            return Err(value::wrong_dimension(field, leaf, found));
        }
    }
    let scale = coherent(top.dimension());
    let (down, up) = (bottom.half_step() * scale, top.half_step() * scale);
    // The ends hold within half of the last digit typed, as `=` does.
    let exact = field.kind == FieldKind::Number;
    let slack = |step: f64| if exact { 0.0 } else { step };
    Ok((bottom.base() * scale - slack(down), top.base() * scale + slack(up)))
}

fn compare(
    left: &Sum,
    relation: Compared,
    right: &Sum,
    names: Names<'_>,
) -> Result<Test, ResolveError> {
    if let Some(Leaf { text, read: Read::Field, .. }) = left.single()
        && let Some(field) = find_field(text)
        && let Some(value) = right.single()
        && value.read != Read::Field
    {
        return value::test(field, relation.relation, value, names);
    }
    let (left_sum, right_sum) = (expr::sum(left)?, expr::sum(right)?);
    if left_sum.powers != right_sum.powers {
        return Err(ResolveError::Dimension {
            found: words(right),
            is: right_sum.powers.in_words(),
            with: words(left),
            wanted: left_sum.powers.in_words(),
            span: right.place.0,
        });
    }
    let half_step = match right.single().map(|leaf| &leaf.read) {
        Some(Read::Quantity(quantity)) => quantity.half_step() * coherent(quantity.dimension()),
        Some(Read::Number(number)) => number.half_step(),
        _ => 0.0,
    };
    Ok(Test::Compare(Compare {
        left: left_sum,
        relation: relation.relation,
        right: right_sum,
        half_step,
    }))
}

/// A sum in a message: its only leaf as typed, else "this sum".
fn words(sum: &Sum) -> String {
    sum.single().map_or_else(|| "this sum".to_owned(), |leaf| leaf.text.clone())
}

fn of_field(
    name: &'static str,
    relation: Relation,
    leaf: &Leaf,
    names: Names<'_>,
) -> Result<Test, ResolveError> {
    let field = find_field(name).ok_or_else(|| bare_number(leaf))?;
    value::test(field, relation, leaf, names)
}

/// Something without a field.
fn bare(leaf: &Leaf, items: &[Item], names: Names<'_>) -> Result<Joined<Test>, ResolveError> {
    let single = |found| Joined { found, items: 1 };
    match &leaf.read {
        Read::Thread(pattern) => Ok(single(Test::Thread(pattern.clone()))),
        Read::Quoted => says(&leaf.text, leaf.place.0).map(single),
        Read::Quantity(quantity) => {
            let name = field_for(quantity.dimension()).ok_or_else(|| bare_number(leaf))?;
            of_field(name, Relation::Equal, leaf, names).map(single)
        }
        Read::Word | Read::Number(_) | Read::Field => named(leaf, items, names),
    }
}

fn named(leaf: &Leaf, items: &[Item], names: Names<'_>) -> Result<Joined<Test>, ResolveError> {
    let longest = names::bare(items, names);
    // A field that stands alone is a field, unless it begins a longer name.
    let alone = leaf.read == Read::Field && longest.as_ref().is_none_or(|name| name.items == 1);
    if let Some(field) = find_field(&leaf.text).filter(|_| alone) {
        let flag = field.kind == FieldKind::Flag;
        let found = if flag { Test::Flag(field) } else { Test::Stated(field) };
        return Ok(Joined { found, items: 1 });
    }
    match longest {
        Some(Joined { found: BareName::Book(what, name), items }) => {
            let field = names::field_of(what).ok_or_else(|| bare_number(leaf))?;
            Ok(Joined { found: Test::Bare(field, what, name), items })
        }
        Some(Joined { found: BareName::Kind(kind), items }) => {
            let field = find_field("kind").ok_or_else(|| bare_number(leaf))?;
            // "whose text says stud": the word counts too, whatever the kind.
            let found = Test::Any(vec![Test::Choice(field, kind), says(kind, leaf.place.0)?]);
            Ok(Joined { found, items })
        }
        None if matches!(leaf.read, Read::Number(_)) => Err(bare_number(leaf)),
        None => says(&leaf.text, leaf.place.0).map(|found| Joined { found, items: 1 }),
    }
}

fn says(text: &str, span: Span) -> Result<Test, ResolveError> {
    let field =
        find_field("text").ok_or(ResolveError::BareNumber { number: text.to_owned(), span })?;
    Ok(Test::Says(field, fold_name(text)))
}

fn bare_number(leaf: &Leaf) -> ResolveError {
    ResolveError::BareNumber { number: leaf.text.clone(), span: leaf.place.0 }
}

/// The fields that stand alone in the filter: they are to be shown too.
pub(super) fn alone(filter: &Filter) -> Vec<&'static Field> {
    let items = filter.parts.iter().flat_map(|part| &part.alternatives).flat_map(|all| &all.items);
    let mut fields: Vec<&'static Field> = Vec::new();
    for item in items {
        let found = match &item.what {
            What::Group(inner) => alone(inner),
            What::Bare(Bare::Value(leaf)) if leaf.read == Read::Field && item.not.is_none() => {
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
            let items = one(rest, names).map_or(1, |joined| joined.items);
            places.extend(rest[1..items].iter().map(|item| item.place.0));
            rest = &rest[items..];
        }
    }
    places
}
