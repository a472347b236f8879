//! An `or` between two of one sort joins those two: `M10 press or mill` is M10, on the
//! press or the mill. Where both of its ends say more, `press studs or mill bolts`, it
//! joins all that they say.

use crate::query::resolve::filter::with_field;
use crate::query::resolve::item::joined_test;
use crate::query::resolve::names::Joined;
use crate::query::resolve::{Names, Test};
use crate::query::syntax::{All, Filter, Item, Join, Part, Place, Test as Typed, What};
use crate::record::{Field, FieldKind, NameOf};

/// What two that `or` joins have in common.
#[derive(PartialEq, Eq)]
enum Sort {
    /// The name of a machine, a joint or a part.
    Name,
    Lube,
    Strength,
    Thread,
    Flag,
    Stated,
    Material,
    /// Values of one field.
    Field(&'static str),
}

/// Whether there is an `or` at all.
pub(super) fn has_choice(tests: &Filter) -> bool {
    let is_choice = |item: &Item| matches!(&item.what, What::Group(inner) if has_choice(inner));
    let mut alternatives = tests.parts.iter().flat_map(|part| &part.alternatives);
    tests.parts.iter().any(|part| part.alternatives.len() > 1)
        || alternatives.any(|all| all.items.iter().any(is_choice))
}

/// `tests` with such joined, also in parentheses.
pub(super) fn filter(tests: &Filter, names: Names<'_>) -> Filter {
    let part = |part: &Part| {
        let item = |item: &Item| match &item.what {
            What::Group(inner) => Item { what: What::Group(filter(inner, names)), ..item.clone() },
            _ => item.clone(),
        };
        let all = |all: &All| All { items: all.items.iter().map(item).collect() };
        narrowed(part.alternatives.iter().map(all).collect(), names)
    };
    Filter { parts: tests.parts.iter().map(part).collect() }
}

/// `tests` with all that stands between an `or` and the next in parentheses.
pub(super) fn in_parentheses(tests: &Filter) -> Filter {
    let part = |part: &Part| {
        let group = |all: &All| match all.items.as_slice() {
            [_, .., last] if part.alternatives.len() > 1 => {
                let place = Place(all.items[0].place.0.to(last.place.0));
                let inner = Filter { parts: vec![Part { alternatives: vec![all.clone()] }] };
                All {
                    items: vec![Item {
                        join: Join::First,
                        not: None,
                        what: What::Group(inner),
                        place,
                    }],
                }
            }
            _ => all.clone(),
        };
        Part { alternatives: part.alternatives.iter().map(group).collect() }
    };
    Filter { parts: tests.parts.iter().map(part).collect() }
}

fn narrowed(alternatives: Vec<All>, names: Names<'_>) -> Part {
    let mut joined: Vec<All> = Vec::with_capacity(alternatives.len());
    let mut grown = false;
    for all in alternatives {
        let found = joined.last().and_then(|before| {
            let at = last_run(before, grown, names)?;
            Some((at, first_run(before, at, &all, names)?))
        });
        grown = found.is_some();
        match found {
            Some((at, length)) => join(&mut joined, at, all, length, names),
            None => joined.push(all),
        }
    }
    Part { alternatives: joined }
}

/// Where the last name or test of `all` begins. What stands in parentheses is meant as
/// it stands, unless they are those that were made for it here.
fn last_run(all: &All, grown: bool, names: Names<'_>) -> Option<usize> {
    let mut at = 0;
    loop {
        let length = joined_test(&all.items[at..], names).ok()?.items;
        if at + length == all.items.len() {
            let is_group = matches!(all.items[at].what, What::Group(_));
            return (grown || !is_group).then_some(at);
        }
        at += length;
    }
}

/// How many items of `after` are of one sort with those of `before` from `at`, where
/// either says more, and only one of them.
fn first_run(before: &All, at: usize, after: &All, names: Names<'_>) -> Option<usize> {
    let (first, next) = (&before.items[at], &after.items[0]);
    let is_plain = next.not.is_none() && !matches!(next.what, What::Group(_));
    let is_beside = |item: Option<&Item>| item.is_none_or(|item| item.join != Join::And);
    if !is_plain || first.join == Join::And {
        return None;
    }
    let own = match &first.what {
        What::Test(Typed::Is { field, .. }) => with_field(field, after, names),
        _ => None,
    };
    let Joined { found, items } = joined_test(&own.as_ref().unwrap_or(after).items, names).ok()?;
    let more_after = items < after.items.len();
    let last = joined_test(&before.items[at..], names).ok()?.found;
    let is_one = sort(&last).is_some_and(|sort_of_last| Some(sort_of_last) == sort(&found));
    let has_more = if at > 0 { !more_after } else { more_after || first.not.is_some() };
    (has_more && is_one && is_beside(after.items.get(items))).then_some(items)
}

/// The items of the last of `joined` from `at`, with those before it that are no more than
/// one of that sort, and the first of `after` in parentheses; the rest of `after` beside
/// them.
fn join(joined: &mut Vec<All>, at: usize, after: All, length: usize, names: Names<'_>) {
    let mut after = after.items;
    let rest = after.split_off(length);
    let mut alternatives = vec![All { items: after }];
    let mut before = joined.pop().map_or_else(Vec::new, |all| all.items);
    let mut own = before.split_off(at);
    let (join, not) = (own[0].join, own[0].not.take());
    own[0].join = Join::First;
    let is_alone = before.is_empty() && not.is_none();
    match own.as_mut_slice() {
        [Item { what: What::Group(inner), .. }] => {
            let grown = std::mem::take(&mut inner.parts[0].alternatives);
            alternatives.splice(..0, grown);
        }
        _ => alternatives.insert(0, All { items: own }),
    }
    let wanted = single(&alternatives[0], names);
    while is_alone && joined.last().is_some_and(|all| single(all, names) == wanted) {
        alternatives.splice(..0, joined.pop());
    }
    let place = |all: &All| all.items[0].place.0.to(all.items[all.items.len() - 1].place.0);
    let place = Place(place(&alternatives[0]).to(place(&alternatives[alternatives.len() - 1])));
    let what = What::Group(Filter { parts: vec![Part { alternatives }] });
    before.push(Item { join, not, what, place });
    before.extend(rest);
    joined.push(All { items: before });
}

/// The sort of an alternative that says no more than one.
fn single(all: &All, names: Names<'_>) -> Option<Sort> {
    let Joined { found, items } = joined_test(&all.items, names).ok()?;
    sort(&found).filter(|_| items == all.items.len() && all.items[0].not.is_none())
}

fn sort(test: &Test) -> Option<Sort> {
    match test {
        Test::Bare(name) => Some(of_name(name.what)),
        Test::Named(field, name) if field.kind != FieldKind::List => Some(of_name(name.what)),
        Test::Thread(_) | Test::ThreadIn(..) => Some(Sort::Thread),
        Test::Flag(_) => Some(Sort::Flag),
        Test::Stated(_) | Test::None(_) => Some(Sort::Stated),
        Test::HoleOf(_) => Some(Sort::Material),
        Test::Named(field, _) | Test::Choice(field, _) | Test::Says(field, _) => {
            Some(of_field(field))
        }
        Test::Date { field, .. } | Test::DateWithin { field, .. } => Some(of_field(field)),
        Test::Compare(compare) => compare.left.as_field().map(of_field),
        Test::Within { left, .. } => left.as_field().map(of_field),
        Test::Not(inner) => sort(inner).filter(|sort| *sort == Sort::Stated),
        // `press or engine`: a duty stands beside the names of machines.
        Test::Any(tests) if matches!(tests[0], Test::Choice(field, _) if field.name == "duty") => {
            Some(Sort::Name)
        }
        // One word in two places, or alternatives.
        Test::Any(tests) => sort(tests.first()?),
        Test::All(_) | Test::OneOf(_) | Test::Form(..) => None,
    }
}

fn of_name(what: NameOf) -> Sort {
    match what {
        NameOf::Lube => Sort::Lube,
        NameOf::Strength => Sort::Strength,
        _ => Sort::Name,
    }
}

fn of_field(field: &Field) -> Sort {
    Sort::Field(field.name)
}
