//! The clauses of a question.

use std::collections::BTreeSet;

use crate::mechanics;
use crate::quantity::{Dimension, Force, Kind as _, Quantity, Ratio, System};
use crate::query::resolve::question::{ColumnAsked, ColumnOf, Question, Tallied, Units};
use crate::query::resolve::{Names, ResolveError, expr, filter};
use crate::query::syntax::{self as tree, Clause, ClauseKind, Leaf, Phrase, Read, Sum};
use crate::query::syntax::{Family, SHARES, Share};
use crate::record::{NameOf, find_field};
use crate::text::{fold_name, nearest};

pub(super) fn apply(
    question: &mut Question,
    clause: &Clause,
    names: Names<'_>,
) -> Result<(), ResolveError> {
    match &clause.what {
        ClauseKind::With(lubes) => {
            for phrase in lubes {
                let name = known(NameOf::Lube, "lube", phrase, names)?;
                // One row for each fastener and lube, however often it is named.
                if !question.with.contains(&name) {
                    question.with.push(name);
                }
            }
        }
        ClauseKind::Target(asked) => question.target = Some(target(asked)?),
        ClauseKind::Keep(test) => {
            question.keep = Some(filter::filter(test, names)?);
        }
        ClauseKind::Show(sums) => question.show = columns(sums)?,
        ClauseKind::Tally { by, total } => {
            let total = total.as_ref().map(column).transpose()?;
            question.tally = Some(Tallied { by: columns(by)?, total, by_count: None });
        }
        ClauseKind::Sort(by) => {
            let each = by.iter().map(|column| Ok((self::column(&column.sum)?, column.down)));
            question.sort = each.collect::<Result<_, ResolveError>>()?;
        }
        ClauseKind::First(count) => question.first = Some(*count as usize),
        ClauseKind::Units(units) => question.units = self::units(units),
        ClauseKind::On(wrench) => {
            question.on = Some(known(NameOf::Wrench, "wrench", wrench, names)?);
        }
    }
    Ok(())
}

/// Beside `tally`, `sort count` is by the tally's own number.
pub(super) fn sort_by_count(question: &mut Question, tree: &tree::Question) {
    let Some(tally) = &mut question.tally else { return };
    let sort = tree.clauses.iter().find_map(|clause| match &clause.what {
        ClauseKind::Sort(by) => Some(by),
        _ => None,
    });
    let is_count = |column: &tree::SortColumn| {
        column.sum.single().is_some_and(|leaf| leaf.text.eq_ignore_ascii_case("count"))
    };
    if let Some(at) = sort.and_then(|by| by.iter().position(is_count)) {
        tally.by_count = Some(question.sort[at].1);
        question.sort.truncate(at);
    }
}

pub(super) fn check(question: &Question, tree: &tree::Question) -> Result<(), ResolveError> {
    if question.show.is_empty() || question.tally.is_none() {
        return Ok(());
    }
    let is_either =
        |what: &ClauseKind| matches!(what, ClauseKind::Show(_) | ClauseKind::Tally { .. });
    let mut places = tree.clauses.iter().filter(|c| is_either(&c.what)).map(|c| c.keyword.0);
    let first = places.next().unwrap_or_default();
    Err(ResolveError::Clash {
        message: "`tally` counts rows and `show` lists them",
        first,
        span: places.next().unwrap_or(first),
    })
}

/// The name of `of` that `phrase` spells; `what` is what it is called.
fn known(
    of: NameOf,
    what: &'static str,
    phrase: &Phrase,
    names: Names<'_>,
) -> Result<String, ResolveError> {
    let vocabulary = names.vocabulary;
    if let Some(found) = vocabulary.find(of, &phrase.text) {
        return Ok(found.to_owned());
    }
    // `patch`, where one of them alone is a patch: `locking patch`. The answer names it.
    let asked = fold_name(&phrase.text);
    let is_one = |name: &&str| name.rsplit(' ').next() == Some(asked.as_str());
    let alike = vocabulary.spellings(of).filter(is_one);
    let alike: BTreeSet<&str> = alike.filter_map(|name| vocabulary.find(of, name)).collect();
    if let (1, Some(only)) = (alike.len(), alike.first()) {
        return Ok((*only).to_owned());
    }
    let near = nearest(&phrase.text, vocabulary.spellings(of));
    Err(ResolveError::UnknownName {
        what,
        found: phrase.text.clone(),
        nearest: near.map(str::to_owned),
        span: phrase.place.0,
    })
}

fn columns(sums: &[Sum]) -> Result<Vec<ColumnAsked>, ResolveError> {
    sums.iter().map(column).collect()
}

fn column(sum: &Sum) -> Result<ColumnAsked, ResolveError> {
    if let Some(Leaf { text, read: Read::Field, .. }) = sum.single()
        && let Some(field) = find_field(text)
    {
        return Ok(ColumnAsked { heading: field.name.to_owned(), what: ColumnOf::Field(field) });
    }
    Ok(ColumnAsked { heading: sum.to_string(), what: ColumnOf::Expr(expr::sum(sum)?) })
}

fn units(units: &tree::Units) -> Units {
    match units {
        tree::Units::Family(Family::Metric) => Units::System(System::Metric),
        tree::Units::Family(Family::Inch) => Units::System(System::Inch),
        tree::Units::Each(each) => Units::Each(each.iter().map(|(unit, _)| *unit).collect()),
    }
}

/// A target: a share of proof, yield or combined, or a force; quoted text may
/// hold the amount alone or with the word after it.
fn target(asked: &tree::Target) -> Result<mechanics::Target, ResolveError> {
    let wrong = || ResolveError::BadValue {
        found: asked.amount.text.clone(),
        field: "target",
        expected: "75% proof, 75% yield, 90% combined or a force such as 70 kN".to_owned(),
        nearest: None,
        span: asked.amount.place.0,
    };
    let (quantity, share) = match (&asked.amount.read, asked.share) {
        (Read::Quantity(quantity), share) => (*quantity, share),
        (_, share) => {
            let (quantity, inner) = amount(&asked.amount.text).ok_or_else(wrong)?;
            (quantity, share.or(inner))
        }
    };
    from_parts(quantity, share).ok_or_else(wrong)
}

/// `75% yield` as an amount and a share.
fn amount(text: &str) -> Option<(Quantity, Option<Share>)> {
    let text = text.trim();
    let named = SHARES.iter().find_map(|(word, share)| {
        let rest = text.strip_suffix(word)?.trim_end();
        Some((rest.strip_suffix(" of").unwrap_or(rest), *share))
    });
    let (amount, share) = named.map_or((text, None), |(rest, share)| (rest, Some(share)));
    Quantity::parse(amount).ok().map(|quantity| (quantity, share))
}

fn from_parts(quantity: Quantity, share: Option<Share>) -> Option<mechanics::Target> {
    let part = Ratio::from_base(quantity.base());
    match (quantity.dimension(), share) {
        (Dimension::Ratio, Some(Share::Proof)) => Some(mechanics::Target::OfProof(part)),
        (Dimension::Ratio, Some(Share::Yield)) => Some(mechanics::Target::OfYield(part)),
        (Dimension::Ratio, Some(Share::Combined)) => Some(mechanics::Target::Combined(part)),
        (Dimension::Force, None) => {
            Some(mechanics::Target::Clamp(Force::from_base(quantity.base())))
        }
        _ => None,
    }
}

/// Reads a target as the command line writes it: `75% yield`, `70 kN`.
pub fn parse_target(text: &str) -> Option<mechanics::Target> {
    let (quantity, share) = amount(text)?;
    from_parts(quantity, share)
}
