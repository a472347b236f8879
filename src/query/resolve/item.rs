//! One item of a filter: a test of a field, a name, or something without a field.

use crate::quantity::Dimension;
use crate::query::resolve::filter::{all_of, filter};
use crate::query::resolve::names::{self, Joined};
use crate::query::resolve::value::{self, field_for};
use crate::query::resolve::{Names, ResolveError, Test, compare, material};
use crate::query::syntax::{Bare, Item, Join, Leaf, Name, Read, Relation, Test as Typed, What};
use crate::record::{FIELDS, Field, FieldKind, find_field};
use crate::text::{fold_name, nearest};
use crate::thread::{Thread, look_alikes};

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

pub(super) fn one_thread(leaf: &Leaf) -> Result<Thread, ResolveError> {
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
