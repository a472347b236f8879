//! A question that finds nothing, asked again where its words do stand: a word that no
//! name, tag or note has may be one of the source, of a caution or of any other field of
//! words; names that `and` joins may be alternatives.

use crate::query::besides::count;
use crate::query::besides::words::{exchanged, is_one_word, kind_of, parts, words};
use crate::query::plan;
use crate::query::resolve::{Question, Test};
use crate::query::run;
use crate::record::{FIELDS, Field, FieldKind, NameOf, Value, find_field};
use crate::store::{Access, Book, StoreError};
use crate::text::fold_name;

/// The most fasteners that are read for it. No index serves these fields, and a slip of
/// the keys in a large book must not cost scans of it.
const MOST_READ: usize = 10_000;

/// The second reading of a question, which says so, and whether it finds something.
pub fn second(mut question: Question, book: &Book) -> Result<(Question, bool), StoreError> {
    let Some(filter) = &question.filter else { return Ok((question, false)) };
    let finds = count(filter, None, book)?.joints > 0;
    question.readings.push(format!("nothing is all of it: read as `{}`", words(filter)));
    Ok((question, finds))
}

/// `question` with such words read otherwise, if it finds something then.
pub fn meant(question: &Question, book: &Book) -> Result<Option<Question>, StoreError> {
    let Some(filter) = &question.filter else { return Ok(None) };
    if book.estimate(&Access::All) > MOST_READ {
        return Ok(None);
    }
    let fields = FIELDS.iter().filter(|f| matches!(f.kind, FieldKind::Text | FieldKind::List));
    let fields: Vec<&'static Field> = fields.filter(|field| field.name != "key").collect();
    if let Some(turned) = turned_nut(filter)
        && count(&turned, None, book)?.joints > 0
    {
        let reading = "no nut is listed there: read as `turned nut`".to_owned();
        return Ok(Some(read_as(question, turned, vec![reading])));
    }
    if let Some((asked, other)) = other_kind(filter, book)? {
        let reading = format!("no {asked} is listed there: read as `{}`", words(&other));
        return Ok(Some(read_as(question, other, vec![reading])));
    }
    // A word of a name too, where the others alone find nothing.
    for of_names in [false, true] {
        let Some(anywhere) = with_words(filter, of_names, &mut |word| says(&fields, word)) else {
            continue;
        };
        if count(&anywhere, None, book)?.joints > 0 {
            return told(question, filter, &fields, of_names, book);
        }
    }
    Ok(None)
}

/// `tie rod nuts`, where the book lists the stud: what is asked for is the nut that turns.
fn turned_nut(test: &Test) -> Option<Test> {
    let mut tests: Vec<Test> = parts(test).into_iter().cloned().collect();
    let nut = find_field("kind").map(|field| Test::Choice(field, "nut"))?;
    let at = tests
        .iter()
        .position(|test| matches!(test, Test::Any(each) if each.first() == Some(&nut)))?;
    tests[at] = Test::Choice(find_field("turned")?, "nut");
    Some(Test::All(tests))
}

/// `gear case bolts`, where the book lists screws: the kind that was asked for, and the
/// filter with the one that people take it for, if only one is there.
fn other_kind(filter: &Test, book: &Book) -> Result<Option<(&'static str, Test)>, StoreError> {
    const ALIKE: [&str; 3] = ["bolt", "screw", "stud"];
    let all = parts(filter);
    let asked = all.iter().find_map(|part| Some((*part, kind_of(part)?)));
    let Some((part, asked)) = asked.filter(|(_, kind)| ALIKE.contains(kind)) else {
        return Ok(None);
    };
    // One that is there, and is not what else was asked, is no other kind.
    let is_named = |test: &&&Test| matches!(test, Test::Bare(_)) || **test == part;
    let named = Test::All(all.iter().filter(is_named).map(|test| (*test).clone()).collect());
    if count(&named, None, book)?.joints > 0 {
        return Ok(None);
    }
    let mut found = Vec::new();
    for kind in ALIKE.into_iter().filter(|kind| *kind != asked && all.len() > 1) {
        let of_kind = Test::Choice(find_field("kind").expect("there is a field of the kind"), kind);
        let other = exchanged(filter, part, &of_kind);
        found.extend((count(&other, None, book)?.joints > 0).then_some((asked, other)));
    }
    Ok(if found.len() == 1 { found.pop() } else { None })
}

/// `question` whose `not` of a word that no name has is of the fields that have it, if
/// some do.
pub fn denied(mut question: Question, book: &Book) -> Result<Question, StoreError> {
    let of_text = |test: &Test| match test {
        Test::Not(inner) => match &**inner {
            Test::Says(field, word) if field.name == "text" => Some(word.clone()),
            _ => None,
        },
        _ => None,
    };
    let denied: Vec<String> = question.filter.iter().flat_map(parts).filter_map(of_text).collect();
    for word in denied {
        let has = |field: &'static Field| {
            let found = count(&Test::Says(field, word.clone()), None, book)?;
            Ok::<bool, StoreError>(found.joints + found.charts > 0)
        };
        if book.estimate(&Access::All) > MOST_READ || has(text())? {
            continue;
        }
        let mut own = Vec::new();
        for field in FIELDS.iter().filter(|f| matches!(f.kind, FieldKind::Text | FieldKind::List)) {
            if field.name != "key" && has(field)? {
                own.push(field);
            }
        }
        if own.is_empty() {
            continue;
        }
        // Said nowhere, as of the text: true of a row that does not state the field.
        let is_not = |field: &&'static Field| {
            let says = Test::Not(Box::new(Test::Says(field, word.clone())));
            Test::Any(vec![says, Test::Not(Box::new(Test::Stated(field)))])
        };
        let other = Test::All(own.iter().map(is_not).collect());
        question.readings.push(format!("no name has `{word}`: read as `{}`", words(&other)));
        let filter = question.filter.take();
        let part = Test::Not(Box::new(Test::Says(text(), word)));
        question.filter = filter.map(|filter| exchanged(&filter, &part, &other));
    }
    Ok(question)
}

fn text() -> &'static Field {
    find_field("text").expect("there is a field of the text")
}

/// `question` with each word in the fields that have it, and how it is read.
fn told(
    question: &Question,
    filter: &Test,
    fields: &[&'static Field],
    of_names: bool,
    book: &Book,
) -> Result<Option<Question>, StoreError> {
    let mut each = Vec::new();
    with_words(filter, of_names, &mut |word| {
        each.push(word.to_owned());
        says(fields, word)
    });
    let (mut readings, mut found) = (Vec::new(), Vec::new());
    for word in &each {
        let mut own = Vec::new();
        for field in fields {
            let one = with_words(filter, of_names, &mut |other| {
                says(if other == word { std::slice::from_ref(field) } else { fields }, other)
            });
            let one = one.unwrap_or_else(|| filter.clone());
            if count(&one, None, book)?.joints > 0 && says_whole(field, word, book)? {
                own.push(*field);
            }
        }
        // What it names is found without them.
        if of_names && own.len() == fields.len() {
            own.clear();
        }
        if !own.is_empty() {
            let read = words(&says(&own, word));
            readings.push(match of_names {
                true => format!("`{word}` is looked for in more than names: `{read}`"),
                false => format!("nothing has `{word}` in its names: read as `{read}`"),
            });
        }
        found.push(own);
    }
    let mut found = found.iter();
    let filter = with_words(filter, of_names, &mut |word| {
        says(found.next().map_or(&[], Vec::as_slice), word)
    });
    let Some(filter) = filter.filter(|_| !readings.is_empty()) else { return Ok(None) };
    if count(&filter, None, book)?.joints == 0 {
        return Ok(None);
    }
    Ok(Some(read_as(question, filter, readings)))
}

/// `question` with another filter, which `readings` say before its own.
fn read_as(question: &Question, filter: Test, mut readings: Vec<String>) -> Question {
    readings.extend(question.readings.iter().cloned());
    let mut tests: Vec<Test> = parts(&filter).into_iter().cloned().collect();
    // `thick washer` is `washer thick`: the field has its word, and stands alone no more.
    let said: Vec<&'static Field> = tests.iter().filter_map(said_by).collect();
    let stands_alone = |test: &Test| match test {
        Test::Stated(field) => said.contains(field),
        _ => false,
    };
    tests.retain(|test| !stands_alone(test));
    let mut shown_alone = question.shown_alone.clone();
    shown_alone.retain(|field| !said.contains(field));
    let filter = Some(if tests.len() == 1 { tests.remove(0) } else { Test::All(tests) });
    Question { filter, readings, shown_alone, ..question.clone() }
}

/// The one field in which a word is looked for.
fn said_by(test: &Test) -> Option<&'static Field> {
    match test {
        Test::Says(field, _) if field.name != "text" => Some(field),
        _ => None,
    }
}

/// Whether `field` says `word` somewhere, and not only one that begins with it: nobody who
/// types `out` asks for the group `outer`.
fn says_whole(field: &'static Field, word: &str, book: &Book) -> Result<bool, StoreError> {
    let filter = Some(Test::Says(field, word.to_owned()));
    let question = Question { filter, ..Question::default() };
    let plan = plan::plan(&question, |access| book.estimate(access));
    let found = run::run(&question, &plan, book, usize::MAX)?;
    let one = |word: &str| word.strip_suffix('s').unwrap_or(word).to_owned();
    let asked = one(&fold_name(word));
    let is_asked = |text: &str| one(text.trim_matches(|c: char| !c.is_alphanumeric())) == asked;
    let says = |text: &str| {
        let text = fold_name(text);
        text.split(' ').any(is_asked) || text.split(|c: char| !c.is_alphanumeric()).any(is_asked)
    };
    Ok(found.rows.iter().any(|row| matches!(field.get(row), Value::Text(text) if says(&text))))
}

/// That one of `fields` says `word`.
fn says(fields: &[&'static Field], word: &str) -> Test {
    let each = fields.iter().map(|field| Test::Says(field, word.to_owned()));
    Test::any_of(each.collect())
}

/// One of `tests`, or `other`.
fn either_of(mut tests: Vec<Test>, other: Test) -> Test {
    tests.extend(Some(other).filter(|other| *other != Test::Any(Vec::new())));
    Test::Any(tests)
}

/// `test` with each word that is looked for in the text, or if `of_names` in the names
/// too, read as `instead` says; none where there is no such word.
fn with_words(test: &Test, of_names: bool, instead: &mut impl FnMut(&str) -> Test) -> Option<Test> {
    match test {
        Test::Says(field, word) if field.name == "text" => Some(instead(word)),
        // What is called so and no more is itself, `main`, not the group of another joint.
        Test::Bare(name) if of_names && name.what == NameOf::Part => {
            Some(either_of(vec![test.clone()], instead(&fold_name(&name.name))))
        }
        // A kind of fastener is no other word.
        kind if kind_of(kind).is_some() => None,
        // What the word names stays too.
        Test::Any(tests) if of_names && is_one_word(tests) => {
            let Some(Test::Says(_, word)) = tests.last() else { return None };
            Some(either_of(tests.clone(), instead(word)))
        }
        Test::All(tests) | Test::Any(tests) => {
            let each = tests.iter().map(|test| with_words(test, of_names, instead));
            let each: Vec<Option<Test>> = each.collect();
            each.iter().any(Option::is_some).then(|| {
                let both = each.into_iter().zip(tests);
                let both = both.map(|(new, old)| new.unwrap_or_else(|| old.clone())).collect();
                if matches!(test, Test::All(_)) { Test::All(both) } else { Test::Any(both) }
            })
        }
        _ => None,
    }
}
