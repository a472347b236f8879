//! What is nearest when nothing matches.

use std::collections::HashSet;

use crate::query::besides::count;
use crate::query::besides::words::{is_stated, kind_of, parts, rows, whole, words};
use crate::query::ear;
use crate::query::resolve::{Compare, Expr, Question, Test, is_sized};
use crate::query::run::Answer;
use crate::query::syntax::otherwise;
use crate::record::{FIELDS, NameOf, Vocabulary};
use crate::store::{Book, StoreError};
use crate::text::{fold_name, nearest};

/// Where general charts alone have what is asked: the question that shows them.
pub(super) fn only_charts(question: &Question, charts: usize) -> Option<String> {
    let filter = question.filter.as_ref().filter(|_| charts > 0)?;
    let write = format!("{}, basis chart {}", words(filter), question.clauses);
    Some(format!("only general charts have it, {}: write `{}`", rows(charts), write.trim_end()))
}

/// Where joints or parts are listed of which no row is all: what any of them finds.
fn any_of_names(
    question: &Question,
    parts: &[&Test],
    book: &Book,
) -> Result<Option<String>, StoreError> {
    const LIST: usize = 3;
    let is_name = |part: &&&Test| matches!(part, Test::Bare(name) if !matches!(name.what, NameOf::Lube | NameOf::Strength));
    let (names, rest): (Vec<&Test>, Vec<&Test>) = parts.iter().partition(is_name);
    if names.len() < LIST {
        return Ok(None);
    }
    let any = Test::Any(names.into_iter().cloned().collect());
    let all = match rest.is_empty() {
        true => any,
        false => Test::All(rest.into_iter().cloned().chain([any]).collect()),
    };
    let found = count(&all, None, book)?.joints;
    let write = whole(&all, question);
    Ok((found > 0).then(|| format!("any of them, {}: write `{write}`", rows(found))))
}

/// More parts than these are not looked for one by one.
const MOST_PARTS: usize = 16;

/// Where nothing is left: what each part of the question finds alone, and the
/// nearest words and threads that exist; or how many rows `keep` had to test. Rows that do
/// not state a field that stands alone are left out of `answer`.
pub(super) fn misses(
    question: &Question,
    answer: &mut Answer,
    book: &Book,
) -> Result<Vec<String>, StoreError> {
    let Some(filter) = &question.filter else {
        return Ok(vec!["the book is empty".to_owned()]);
    };
    let parts = parts(filter);
    let few = parts.len() <= MOST_PARTS && answer.matched == 0;
    match unstated(question, &parts, book)?.filter(|_| few) {
        Some((line, rows)) => {
            if rows > answer.left_out {
                answer.left_out = rows;
                answer.unstated = parts
                    .iter()
                    .filter(|part| is_alone(part))
                    .flat_map(|part| part.fields())
                    .collect();
            }
            Ok(vec![line])
        }
        None => nearest_to(question, &parts, answer.matched, book),
    }
}

fn nearest_to(
    question: &Question,
    parts: &[&Test],
    matched: usize,
    book: &Book,
) -> Result<Vec<String>, StoreError> {
    if matched > 0 && question.keep.is_some() {
        return Ok(vec![format!("`keep` leaves none of the {}", rows(matched))]);
    }
    // Each part is looked for in the whole book.
    if parts.len() > MOST_PARTS {
        return Ok(vec!["so many words are in no row together: ask for fewer".to_owned()]);
    }
    let mut lines = Vec::from_iter(any_of_names(question, parts, book)?);
    if lines.is_empty() {
        lines.extend(with_fewer(question, parts, book)?);
    }
    for (at, part) in parts.iter().enumerate() {
        let found = count(part, None, book)?;
        let name = words(part);
        match (found.joints, found.charts) {
            (0, 0) => lines.push(nothing(parts, at, book)?),
            (0, charts) if parts.len() > 1 => {
                lines.push(format!("`{name}, basis chart` alone: {}", rows(charts)));
            }
            (found, _) if parts.len() > 1 => lines.push(format!("`{name}` alone: {}", rows(found))),
            _ => {}
        }
    }
    if question.with.is_empty() {
        lines.extend(instead_of_lubes(parts, book)?);
    }
    let mut seen = HashSet::new();
    lines.retain(|line| seen.insert(line.clone()));
    Ok(lines)
}

/// Where rows have all that is asked but do not state the fields that stand alone: that
/// they do not, of how many, and the question that shows them.
fn unstated(
    question: &Question,
    parts: &[&Test],
    book: &Book,
) -> Result<Option<(String, usize)>, StoreError> {
    let (fields, rest): (Vec<&Test>, Vec<&Test>) = parts.iter().partition(|part| is_alone(part));
    let named = Test::All(rest.into_iter().cloned().collect());
    if fields.is_empty() || named == Test::All(Vec::new()) {
        return Ok(None);
    }
    let found = count(&named, None, book)?.joints;
    let each: Vec<String> = fields.into_iter().map(words).collect();
    let are = if each.len() == 1 { "is" } else { "are" };
    let (each, named) = (each.join(", "), words(&named));
    let shown = match question.clauses.as_str() {
        "" => format!("show part, lube, {each}"),
        clauses => clauses.to_owned(),
    };
    Ok((found > 0).then(|| {
        let line =
            format!("{named}: {each} {are} not stated ({}): write `{named} {shown}`", rows(found));
        (line, found)
    }))
}

/// The question without as few of its parts as it takes to find something, ready to be
/// typed: those that nothing has, and one or two more, words before what is named. A
/// figure that nothing has there may stand in another field.
fn with_fewer(
    question: &Question,
    parts: &[&Test],
    book: &Book,
) -> Result<Option<String>, StoreError> {
    let finds = |test: &Test| Ok::<usize, StoreError>(count(test, None, book)?.joints);
    let mut kept: Vec<Test> = Vec::new();
    let mut out: Vec<String> = Vec::new();
    for part in parts {
        match finds(part)? {
            0 if is_denial(part) => return Ok(None),
            0 => match instead(part, book)? {
                Some(other) => kept.push(other),
                None => out.push(format!("`{}`", words(part))),
            },
            _ => kept.push((*part).clone()),
        }
    }
    // Words before what is asked of them, and that before what is named.
    kept.sort_by_key(|part| match part {
        Test::Says(..) => 0,
        Test::Bare(_) => 2,
        _ => 1,
    });
    let all: Vec<usize> = (0..kept.len()).collect();
    let one = all.iter().map(|first| vec![*first]);
    let two = all.iter().flat_map(|first| all[first + 1..].iter().map(|next| vec![*first, *next]));
    let each = std::iter::once(vec![]).chain(one).chain(two.filter(|_| all.len() <= MOST_PAIRED));
    for without in each {
        let rest = all.iter().filter(|at| !without.contains(at)).map(|at| kept[*at].clone());
        let rest: Vec<Test> = rest.collect();
        // All the bolts of a book are no answer.
        let is_kinds = rest.iter().all(|part| kind_of(part).is_some());
        let rest = Test::All(rest);
        let dropped = out.len() + without.len();
        // What throws most of the question away is none of it, nor what it denies.
        let denies = without.iter().any(|at| is_denial(&kept[*at]));
        let names = without.iter().any(|at| is_named(&kept[*at]));
        if is_kinds || denies || names || 2 * dropped > parts.len() || dropped == parts.len() {
            continue;
        }
        let found = finds(&rest)?;
        if found == 0 {
            continue;
        }
        out.extend(without.iter().map(|at| format!("`{}`", words(&kept[*at]))));
        let out = match out.as_slice() {
            [] => String::new(),
            parts => format!("without {}: ", parts.join(", ")),
        };
        let write = whole(&rest, question);
        return Ok(Some(format!("{out}{}: write `{write}`", rows(found))));
    }
    Ok(None)
}

/// What the question names or measures: without it, it would be another one. A word of the
/// text, a kind and a field that stands alone may be one too many.
fn is_named(part: &Test) -> bool {
    !matches!(part, Test::Says(..)) && kind_of(part).is_none() && !is_alone(part)
}

/// A field that stands alone.
fn is_alone(part: &Test) -> bool {
    matches!(part, Test::Stated(_)) || matches!(part, Test::Any(tests) if is_stated(tests))
}

/// Whether leaving it out would turn the question round.
fn is_denial(part: &Test) -> bool {
    const DENY: [&str; 8] =
        ["never", "none", "nothing", "nobody", "nor", "neither", "unless", "without"];
    match part {
        Test::Not(inner) => !matches!(**inner, Test::None(_)),
        Test::None(_) => true,
        Test::Says(_, word) => DENY.contains(&word.as_str()),
        _ => false,
    }
}

/// Words of so few letters are not taken for slips of others.
const SHORT: usize = 3;

/// More parts than these are not left out two by two.
const MOST_PAIRED: usize = 6;

/// A word that nothing has as the nearest one; a figure that its field has nowhere, in
/// the first field that has it.
fn instead(part: &Test, book: &Book) -> Result<Option<Test>, StoreError> {
    if let Test::Says(field, word) = part
        && otherwise(word).is_none()
        && let [near] = nearest_of(part, book.vocabulary()?).as_slice()
    {
        return Ok(Some(Test::Says(field, near.clone())));
    }
    let Test::Compare(compare) = part else { return Ok(None) };
    let Some(field) = compare.left.as_field() else { return Ok(None) };
    let Some((_, figure)) = compare.asked.split_once(" = ") else { return Ok(None) };
    for other in FIELDS.iter().filter(|other| *other != field) {
        let test = match Expr::field(other).filter(|_| other.kind == field.kind) {
            Some(left) => {
                let asked = format!("{} = {figure}", other.name);
                Test::Compare(Compare { left, asked, ..compare.clone() })
            }
            None if is_sized(other) => Test::Says(other, fold_name(figure)),
            None => continue,
        };
        if count(&test, None, book)?.joints > 0 {
            return Ok(Some(test));
        }
    }
    Ok(None)
}

/// A question for a lube that no row has may want the rows restated for it.
fn instead_of_lubes(parts: &[&Test], book: &Book) -> Result<Option<String>, StoreError> {
    let lube = |part: &Test| match part {
        Test::Named(_, name) | Test::Bare(name) if name.what == NameOf::Lube => {
            Some(name.name.clone())
        }
        _ => None,
    };
    let lubes: Vec<String> = parts.iter().filter_map(|part| lube(part)).collect();
    let others = parts.iter().filter(|part| lube(part).is_none());
    let others = Test::All(others.map(|part| (*part).clone()).collect());
    if lubes.is_empty()
        || others == Test::All(Vec::new())
        || count(&others, None, book)?.joints == 0
    {
        return Ok(None);
    }
    let (others, lubes) = (words(&others), lubes.join(", "));
    Ok(Some(format!("to restate rows, write `{others} with {lubes}`")))
}

/// That nothing has the part at `at`, and what to write in its place.
fn nothing(parts: &[&Test], at: usize, book: &Book) -> Result<String, StoreError> {
    let part = parts[at];
    let name = words(part);
    if let Test::Not(inner) = part
        && let Test::Flag(field) = &**inner
    {
        let instead = Test::Not(Box::new(Test::Stated(field)));
        let mut all: Vec<Test> = parts.iter().map(|part| (*part).clone()).collect();
        all[at] = instead;
        let all = Test::All(all);
        let found = count(&all, None, book)?.joints;
        let state = format!("nothing states `{name}`");
        return Ok(if found == 0 {
            state
        } else {
            format!("{state}; {} state neither: write `{}`", rows(found), words(&all))
        });
    }
    let hint = match part {
        Test::Says(_, word) => otherwise(word),
        _ => None,
    };
    if let Some(hint) = hint {
        return Ok(format!("nothing has `{name}`: {hint}"));
    }
    let near = nearest_of(part, book.vocabulary()?);
    if near.is_empty() {
        return Ok(format!("nothing has `{name}`"));
    }
    Ok(format!("nothing has `{name}`; the nearest: {}", near.join(", ")))
}

/// The threads or words of the book that are nearest to what was asked.
fn nearest_of(part: &Test, vocabulary: &Vocabulary) -> Vec<String> {
    match part {
        Test::Thread(pattern) => {
            let size = pattern.size().to_string();
            let all = || vocabulary.threads().map(|(thread, _)| thread);
            let same: Vec<String> =
                all().filter(|thread| thread.starts_with(&size)).map(str::to_owned).collect();
            if same.is_empty() {
                return nearest(&pattern.to_string(), all())
                    .map(str::to_owned)
                    .into_iter()
                    .collect();
            }
            same
        }
        Test::Says(_, word) => {
            let kinds =
                [NameOf::Joint, NameOf::Part, NameOf::Lube, NameOf::Strength, NameOf::Assembly];
            let known = kinds.into_iter().flat_map(|what| vocabulary.spellings(what));
            let words = known.flat_map(|name| name.split([' ', ',']).chain([name]));
            // A slip of the keys is none of a short or plain word, nor of its first letter:
            // `far` is not `cap`, `way` not `wax`.
            let is_slip = word.len() > SHORT && !ear::has_word(word);
            let is_near = |near: &&str| {
                let is_longer = !near.starts_with(word.as_str());
                is_slip && is_longer && near.chars().next() == word.chars().next()
            };
            nearest(word, words.filter(is_near)).map(str::to_owned).into_iter().collect()
        }
        _ => Vec::new(),
    }
}
