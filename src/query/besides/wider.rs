//! Rows that one word more or less would have found, and why threads are
//! mistaken for each other.

use crate::query::besides::count;
use crate::query::besides::words::{exchanged, is_one_word, kind_of, parts, whole, words};
use crate::query::resolve::{Question, Test};
use crate::query::run::is_twin;
use crate::record::find_field;
use crate::store::{Book, StoreError};
use crate::text::fold_name;
use crate::thread::{BY_FINGERS, Thread, look_alikes};

/// The remarks on what a filter one word wider or other than that of `question` finds.
pub(super) fn remarks(question: &Question, book: &Book) -> Result<Vec<String>, StoreError> {
    let Some(filter) = &question.filter else { return Ok(Vec::new()) };
    let more = |wider: &Test| Ok::<usize, StoreError>(count(wider, Some(filter), book)?.joints);
    let mut remarks = Vec::new();
    if let Some((kind, others)) = without_kind(filter) {
        let more = more(&others)?;
        let write = whole(&others, question);
        remarks
            .extend((more > 0).then(|| format!("{more} more without `{kind}`: write `{write}`")));
    }
    if let Some(named) = called_so(filter) {
        let so = count(&named, None, book)?.joints;
        let others = count(filter, Some(&named), book)?.joints;
        let are = if so == 1 { "is of a part" } else { "are of parts" };
        let (is_some, write) = (so > 0 && others > 0, whole(&named, question));
        remarks.extend(is_some.then(|| format!("{so} {are} called so: write `{write}`")));
    }
    if let Some(recheck) = recheck_too(filter) {
        let more = more(&recheck)?;
        let rows = if more == 1 { "row asks" } else { "rows ask" };
        remarks.extend(
            (more > 0).then(|| format!("{more} more {rows} for a recheck: write `has recheck`")),
        );
    }
    if let Some(open) = open_without_sealant(filter) {
        let more = more(&open)?;
        let rows = if more == 1 { "row opens" } else { "rows open" };
        remarks.extend((more > 0).then(|| {
            format!(
                "{more} more {rows} into oil, coolant or a port and state no sealant: \
                 write `wet lacks sealant`"
            )
        }));
    }
    remarks.extend(once_in_words(filter, book)?);
    Ok(remarks)
}

/// Rows that state no reuse, and whose notes or sheet say all the same that a new one goes
/// in: who orders what is single-use would order too few.
fn once_in_words(filter: &Test, book: &Book) -> Result<Option<String>, StoreError> {
    let all = parts(filter);
    let is_flag = |test: &Test| matches!(test, Test::Flag(field) if field.name == "single-use");
    let is_once = |test: &Test| match test {
        Test::Any(tests) => is_one_word(tests) && tests.iter().any(is_flag),
        one => is_flag(one),
    };
    let (Some(reuse), true) = (find_field("reuse"), all.iter().any(|test| is_once(test))) else {
        return Ok(None);
    };
    let mut others: Vec<Test> = all.into_iter().filter(|test| !is_once(test)).cloned().collect();
    others.push(Test::Not(Box::new(Test::Stated(reuse))));
    let mut said = Vec::new();
    for field in ["notes", "verbatim"].into_iter().filter_map(find_field) {
        for word in ["new", "discard", "replace"] {
            let says = Test::Says(field, word.to_owned());
            let with = Test::All([&others[..], std::slice::from_ref(&says)].concat());
            said.extend((count(&with, None, book)?.joints > 0).then_some(says));
        }
    }
    others.push(Test::any_of(said));
    let others = Test::All(others);
    let more = count(&others, None, book)?.joints;
    let say = if more == 1 { "says" } else { "say" };
    let form = words(&others);
    Ok((more > 0).then(|| format!("{more} more {say} so in words alone: write `{form}`")))
}

/// The kind that a bare word asks for among other parts, and the filter
/// without it.
fn without_kind(filter: &Test) -> Option<(&'static str, Test)> {
    let Test::All(tests) = filter else { return None };
    let at = tests.iter().position(|test| kind_of(test).is_some())?;
    let mut others = tests.clone();
    let word = kind_of(&others.remove(at))?;
    // All that is not something is no other answer.
    let is_asked = others.iter().any(|test| !matches!(test, Test::Not(_)));
    is_asked.then_some((word, Test::All(others)))
}

/// `pump bolts` of `pump` and `bolt`: the filter for what is called by both words in one.
fn called_so(filter: &Test) -> Option<Test> {
    let (Test::All(tests), part) = (filter, find_field("part")?) else { return None };
    let named = tests.windows(2).enumerate().find_map(|(at, pair)| {
        let [Test::Bare(name), kind] = pair else { return None };
        let called = format!("{} {}", fold_name(&name.name), kind_of(kind)?);
        Some((at, Test::Says(part, called)))
    });
    let (at, named) = named?;
    let mut tests = tests.clone();
    tests.splice(at..at + 2, [named]);
    Some(Test::All(tests))
}

/// The filter with "sealant not stated, opens into something" in place of
/// "sealant stated".
fn open_without_sealant(filter: &Test) -> Option<Test> {
    let (wet, sealant) = (find_field("wet")?, find_field("sealant")?);
    let open = Test::All(vec![Test::Flag(wet), Test::Not(Box::new(Test::Stated(sealant)))]);
    instead_of_stated(filter, "sealant", open)
}

/// The filter with "recheck stated" in place of "retorque stated".
fn recheck_too(filter: &Test) -> Option<Test> {
    let recheck = Test::Not(Box::new(Test::None(find_field("recheck")?)));
    instead_of_stated(filter, "retorque", recheck)
}

fn instead_of_stated(filter: &Test, name: &str, instead: Test) -> Option<Test> {
    let is_asked = |test: &Test| match test {
        Test::Not(none) => matches!(&**none, Test::None(field) if field.name == name),
        Test::Stated(field) => field.name == name,
        _ => false,
    };
    let asked = parts(filter).into_iter().find(|test| is_asked(test))?;
    Some(exchanged(filter, asked, &instead))
}

/// For each of `threads` that is mistaken for one that `question` names, what a wrong
/// pair does.
pub(super) fn mistaken(question: &Question, threads: &[&Thread]) -> Vec<String> {
    question.confused.iter().flat_map(|thread| mistaken_for(thread, threads)).collect()
}

fn mistaken_for(thread: &Thread, found: &[&Thread]) -> Vec<String> {
    let mut named: Vec<Thread> = Vec::new();
    let mut lines = Vec::new();
    for pair in look_alikes(thread) {
        let is_new =
            found.iter().any(|one| is_twin(one, &pair.other)) && !named.contains(&pair.other);
        if is_new {
            lines.push(format!("{pair}."));
            named.push(pair.other);
        }
    }
    lines.extend((!lines.is_empty()).then(|| BY_FINGERS.to_owned()));
    lines
}
