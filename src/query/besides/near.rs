//! What else the book has: where a bare name also stands as text, and what is
//! nearest when nothing matches.

use std::collections::HashSet;

use crate::query::besides::count;
use crate::query::plan;
use crate::query::resolve::{Question, Test};
use crate::query::syntax::{Relation, otherwise};
use crate::record::{FIELDS, Field, FieldKind, NameOf, Vocabulary, find_field};
use crate::store::{Access, Book, StoreError};
use crate::text::{fold_name, nearest};

/// For each bare name of the filter: how many rows left out have it in their
/// text. General charts count only where they are shown.
pub(super) fn also_in_text(question: &Question, book: &Book) -> Result<Vec<String>, StoreError> {
    let (Some(filter), Some(text)) = (&question.filter, find_field("text")) else {
        return Ok(Vec::new());
    };
    let mut names = Vec::new();
    bare_names(filter, &mut names);
    let mut remarks = Vec::new();
    for name in names {
        let instead = replaced(filter, &name, &Test::Says(text, fold_name(&name)));
        let found = count(&instead, Some(filter), book)?;
        let charts = if question.asks_for("basis") { found.charts } else { 0 };
        let rows = found.joints + charts;
        if rows > 0 {
            let write = quoted(&name);
            remarks.push(format!("{rows} more say \"{name}\" in their text: write text {write}"));
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
        Test::Bare(name) if !names.contains(&name.name) => names.push(name.name.clone()),
        _ => {}
    }
}

/// `test` with the bare name replaced.
fn replaced(test: &Test, name: &str, by: &Test) -> Test {
    let each = |tests: &[Test]| tests.iter().map(|t| replaced(t, name, by)).collect();
    match test {
        Test::All(tests) => Test::All(each(tests)),
        Test::Any(tests) => Test::Any(each(tests)),
        Test::Bare(found) if found.name == name => by.clone(),
        other => other.clone(),
    }
}

/// More parts than these are not looked for one by one.
const MOST_PARTS: usize = 16;

/// Where nothing is left: what each part of the question finds alone, and the
/// nearest words and threads that exist; or how many rows `keep` had to test.
pub(super) fn misses(
    question: &Question,
    matched: usize,
    book: &Book,
) -> Result<Vec<String>, StoreError> {
    if matched > 0 && question.keep.is_some() {
        return Ok(vec![format!("`keep` leaves none of the {}", rows(matched))]);
    }
    let Some(filter) = &question.filter else { return Ok(vec!["the book is empty".to_owned()]) };
    let parts: Vec<&Test> = match filter {
        Test::All(tests) => tests.iter().collect(),
        one => vec![one],
    };
    // Each part is looked for in the whole book.
    if parts.len() > MOST_PARTS {
        return Ok(vec!["so many words are in no row together: ask for fewer".to_owned()]);
    }
    let mut lines = Vec::new();
    for part in &parts {
        let found = count(part, None, book)?;
        let found = if found.joints > 0 { found.joints } else { found.charts };
        match (found, parts.len()) {
            (0, _) => lines.push(nothing(part, book)?),
            (_, 1) => {}
            (found, _) => lines.push(format!("{} alone: {}", words(part), rows(found))),
        }
    }
    if question.with.is_empty() && parts.len() > 1 {
        lines.extend(instead_of_lubes(&parts));
    }
    let mut seen = HashSet::new();
    lines.retain(|line| seen.insert(line.clone()));
    Ok(lines)
}

/// A question for a lube that no row has may want the rows restated for it.
fn instead_of_lubes(parts: &[&Test]) -> Option<String> {
    let lube = |part: &&Test| match part {
        Test::Named(_, name) | Test::Bare(name) if name.what == NameOf::Lube => {
            Some(name.name.clone())
        }
        _ => None,
    };
    let lubes: Vec<String> = parts.iter().filter_map(lube).collect();
    (!lubes.is_empty()).then(|| format!("to restate rows, write `with {}`", lubes.join(", ")))
}

fn rows(count: usize) -> String {
    if count == 1 { "1 row".to_owned() } else { format!("{count} rows") }
}

/// That nothing has `part`, and what to write in its place.
fn nothing(part: &Test, book: &Book) -> Result<String, StoreError> {
    let said = words(part);
    if let Test::Not(inner) = part
        && let Test::Flag(field) = &**inner
    {
        let name = field.name;
        return Ok(format!("nothing states {said}: for what states nothing, write lacks {name}"));
    }
    let text_of = match part {
        // A word that a field may have is looked for in the text too.
        Test::Any(tests) => tests.last().unwrap_or(part),
        one => one,
    };
    if let Test::Says(field, word) = text_of {
        let said = if part == text_of { said.clone() } else { words(text_of) };
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
    let fields: Vec<&'static Field> = FIELDS
        .iter()
        .filter(|field| matches!(field.kind, FieldKind::Text | FieldKind::List))
        .collect();
    first_saying(&fields, word, book)
}

/// By halves, because each question may read the whole book.
fn first_saying(
    fields: &[&'static Field],
    word: &str,
    book: &Book,
) -> Result<Option<&'static Field>, StoreError> {
    let says = fields.iter().map(|field| Test::Says(field, word.to_owned())).collect();
    let found = count(&Test::Any(says), None, book)?;
    if found.joints + found.charts == 0 {
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

/// Whether the alternatives are those of one word: what it names, or the text.
pub(super) fn is_one_word(tests: &[Test]) -> bool {
    let Some((Test::Says(field, _), others)) = tests.split_last() else { return false };
    let is_meant = |test: &Test| matches!(test, Test::Choice(..) | Test::Flag(_) | Test::Named(..));
    field.name == "text" && !others.is_empty() && others.iter().all(is_meant)
}

/// A part of a question in words.
pub(super) fn words(test: &Test) -> String {
    match test {
        Test::Thread(pattern) | Test::ThreadIn(_, pattern) => format!("thread {pattern}"),
        Test::Named(field, name) => format!("{} {}", field.name, name.name),
        Test::Bare(name) => match name.what {
            NameOf::Lube => format!("lube {}", name.name),
            NameOf::Strength => format!("strength {}", name.name),
            _ => format!("\"{}\"", name.name),
        },
        Test::Choice(field, word) => format!("{} {word}", field.name),
        Test::HoleOf(material) => format!("hole-material {material}"),
        Test::Says(field, words) => format!("\"{words}\" in {}", field.name),
        Test::Stated(field) => format!("{} stated", field.name),
        Test::Flag(field) => field.name.to_owned(),
        Test::None(field) => format!("no {}", field.name),
        Test::Date { field, relation: Relation::Equal, date } => format!("{} {date}", field.name),
        Test::Date { field, relation, date } => {
            format!("{} {} {date}", field.name, relation.spelling())
        }
        Test::DateWithin { field, low, high } => format!("{} {low}..{high}", field.name),
        Test::Not(inner) => match &**inner {
            Test::None(field) => format!("{} stated", field.name),
            inner => format!("not {}", words(inner)),
        },
        Test::Any(tests) if is_one_word(tests) => tests.last().map(words).unwrap_or_default(),
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
