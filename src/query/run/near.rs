//! What else the book has: where a bare name also stands as text, and what is
//! nearest when nothing matches.

use std::collections::HashSet;

use crate::query::plan;
use crate::query::resolve::{Question, Test};
use crate::query::run::judge::{Judged, Sides};
use crate::query::run::judged;
use crate::query::syntax::otherwise;
use crate::record::{FIELDS, Field, FieldKind, NameOf, Vocabulary, find_field};
use crate::store::{Access, Book, StoreError};
use crate::text::{fold_name, nearest};

/// The bare names of a question's filter, each once.
pub(super) fn bare_names_of(question: &Question) -> Vec<String> {
    let mut names = Vec::new();
    if let Some(filter) = &question.filter {
        bare_names(filter, &mut names);
    }
    names
}

/// For each of the bare `names`: how many rows left out say it in their text.
/// `own` is what the filter keeps.
pub(super) fn also_said(
    question: &Question,
    names: &[String],
    own: &Judged,
    book: &Book,
) -> Result<Vec<String>, StoreError> {
    let Some(filter) = &question.filter else { return Ok(Vec::new()) };
    let mut remarks = Vec::new();
    for name in names {
        let said = said_count(filter, name, own, book)?;
        if said > 0 {
            let write = quoted(name);
            remarks.push(format!("{said} more say \"{name}\" in their text: write text {write}"));
        }
    }
    Ok(remarks)
}

/// As it is typed after a field.
fn quoted(name: &str) -> String {
    if name.contains(' ') { format!("\"{name}\"") } else { name.to_owned() }
}

fn bare_names(test: &Test, names: &mut Vec<String>) {
    match test {
        Test::All(tests) | Test::Any(tests) => tests.iter().for_each(|t| bare_names(t, names)),
        Test::Bare(_, name) if !names.contains(&name.name) => names.push(name.name.clone()),
        _ => {}
    }
}

/// General charts count only where they are shown.
fn said_count(filter: &Test, name: &str, own: &Judged, book: &Book) -> Result<usize, StoreError> {
    let Some(text) = find_field("text") else { return Ok(0) };
    let instead = replaced(filter, name, &Test::Says(text, fold_name(name)));
    let keys: HashSet<&str> = own.keys.iter().map(String::as_str).collect();
    let Sides { joints, charts } = alone(&instead, true, book)?;
    let charts = if own.has_charts { charts.keys } else { Vec::new() };
    let said = joints.keys.iter().chain(&charts);
    Ok(said.filter(|key| !keys.contains(key.as_str())).count())
}

/// The stored rows for which `test` holds.
pub(super) fn alone(test: &Test, wants_keys: bool, book: &Book) -> Result<Sides, StoreError> {
    let question = Question { filter: Some(test.clone()), ..Question::default() };
    let plan = plan::plan(&question, |access| book.estimate(access));
    Ok(judged(&question, &plan, book, wants_keys)?.0)
}

/// `test` with the bare name replaced.
fn replaced(test: &Test, name: &str, by: &Test) -> Test {
    let each = |tests: &[Test]| tests.iter().map(|t| replaced(t, name, by)).collect();
    match test {
        Test::All(tests) => Test::All(each(tests)),
        Test::Any(tests) => Test::Any(each(tests)),
        Test::Bare(_, found) if found.name == name => by.clone(),
        other => other.clone(),
    }
}

/// Where nothing is left: what each part of the question finds alone, and the
/// nearest words and threads that exist; or how many rows `keep` had to test.
pub(super) fn misses(
    question: &Question,
    matched: usize,
    book: &Book,
) -> Result<Vec<String>, StoreError> {
    if matched > 0 && question.keep.is_some() {
        return Ok(vec![format!("`keep` leaves none of the {}", count(matched))]);
    }
    let Some(filter) = &question.filter else { return Ok(vec!["the book is empty".to_owned()]) };
    let parts: Vec<&Test> = match filter {
        Test::All(tests) => tests.iter().collect(),
        one => vec![one],
    };
    let mut lines = Vec::new();
    for part in &parts {
        let found = alone(part, false, book)?;
        match (found.joints.matched + found.charts.matched, parts.len()) {
            (0, _) => lines.push(nothing(part, book)?),
            (_, 1) => {}
            (found, _) => lines.push(format!("{} alone: {}", words(part), count(found))),
        }
    }
    if question.with.is_empty() && parts.len() > 1 {
        lines.extend(instead_of_lubes(&parts));
    }
    let mut said = HashSet::new();
    lines.retain(|line| said.insert(line.clone()));
    Ok(lines)
}

/// A question for a lube that no row has may want the rows restated for it.
fn instead_of_lubes(parts: &[&Test]) -> Option<String> {
    let lube = |part: &&Test| match part {
        Test::Named(field, name) | Test::Bare(field, name) if field.name == "lube" => {
            Some(name.name.clone())
        }
        _ => None,
    };
    let lubes: Vec<String> = parts.iter().filter_map(lube).collect();
    (!lubes.is_empty()).then(|| format!("to restate rows, write `with {}`", lubes.join(", ")))
}

fn count(rows: usize) -> String {
    if rows == 1 { "1 row".to_owned() } else { format!("{rows} rows") }
}

/// That nothing has `part`, and what to write in its place.
fn nothing(part: &Test, book: &Book) -> Result<String, StoreError> {
    let said = words(part);
    if let Test::Says(field, word) = part {
        if let Some(hint) = otherwise(word) {
            return Ok(format!("nothing has {said}: {hint}"));
        }
        if field.name == "text"
            && let Some(field) = elsewhere(word, book)?
        {
            return Ok(format!("nothing has {said}: write {} {}", field.name, quoted(word)));
        }
    }
    let near = nearest_of(part, book.vocabulary()?);
    if near.is_empty() {
        return Ok(format!("nothing has {said}"));
    }
    Ok(format!("nothing has {said}; the nearest: {}", near.join(", ")))
}

/// The most fasteners that are read for a hint. No index serves these fields, and
/// a slip of the keys in a large book must not cost a scan of it.
const MOST_READ: usize = 10_000;

/// The first field of words in which some row says `word`; in a large book none.
fn elsewhere(word: &str, book: &Book) -> Result<Option<&'static Field>, StoreError> {
    if book.estimate(&Access::All) > MOST_READ {
        return Ok(None);
    }
    let fields: Vec<&'static Field> =
        FIELDS.iter().filter(|field| field.kind == FieldKind::Text).collect();
    first_saying(&fields, word, book)
}

/// By halves, because each question may read the whole book.
fn first_saying(
    fields: &[&'static Field],
    word: &str,
    book: &Book,
) -> Result<Option<&'static Field>, StoreError> {
    let says = fields.iter().map(|field| Test::Says(field, word.to_owned())).collect();
    let found = alone(&Test::Any(says), false, book)?;
    if found.joints.matched + found.charts.matched == 0 {
        return Ok(None);
    }
    if let [only] = fields {
        return Ok(Some(only));
    }
    let (left, right) = fields.split_at(fields.len() / 2);
    match first_saying(left, word, book)? {
        Some(field) => Ok(Some(field)),
        None => first_saying(right, word, book),
    }
}

/// The threads or words of the book that are nearest to what was asked.
fn nearest_of(part: &Test, vocabulary: &Vocabulary) -> Vec<String> {
    match part {
        Test::Thread(pattern) => {
            let size = plan::size_words(pattern);
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
            let words = known.flat_map(|name| name.split(' ').chain([name]));
            nearest(word, words).map(str::to_owned).into_iter().collect()
        }
        _ => Vec::new(),
    }
}

/// A part of a question in words.
fn words(test: &Test) -> String {
    match test {
        Test::Thread(pattern) | Test::ThreadIn(_, pattern) => format!("thread {pattern}"),
        Test::Named(field, name) | Test::Bare(field, name) => {
            format!("{} {}", field.name, name.name)
        }
        Test::Choice(field, word) => format!("{} {word}", field.name),
        Test::Says(field, words) => format!("\"{words}\" in {}", field.name),
        Test::Stated(field) => format!("{} stated", field.name),
        Test::Flag(field) => field.name.to_owned(),
        Test::Number(field, relation, value) => {
            format!("{} {} {value}", field.name, relation.spelling())
        }
        Test::Not(inner) => format!("not {}", words(inner)),
        Test::Any(tests) => tests.iter().map(words).collect::<Vec<_>>().join(" or "),
        Test::All(tests) => tests.iter().map(words).collect::<Vec<_>>().join(" and "),
        Test::Compare(compare) => match compare.left.as_field() {
            Some(field) => format!("{} {} that", field.name, compare.relation.spelling()),
            None => "that comparison".to_owned(),
        },
        Test::Within { left, .. } => match left.as_field() {
            Some(field) => format!("{} in that range", field.name),
            None => "that range".to_owned(),
        },
        Test::OneOf(_) => "a look-alike thread".to_owned(),
    }
}
