//! What else the book has: where a bare name also stands as text, and what is
//! nearest when nothing matches.

use std::collections::HashSet;

use crate::query::besides::count;
use crate::query::besides::words::{is_stated, kind_of, parts, whole, words};
use crate::query::ear;
use crate::query::resolve::{Compare, Expr, LISTS, Question, Test, is_sized};
use crate::query::syntax::otherwise;
use crate::record::{FIELDS, FieldKind, NameOf, Vocabulary, find_field};
use crate::store::{Book, StoreError};
use crate::text::{fold_name, nearest};

/// Of so many machines is it looked whether a duty is their name too.
const MOST_MACHINES: usize = 8;

/// For each bare name of the filter: how many rows left out have it in their text, or
/// state it where it is a word of a closed list. General charts count only where they
/// are shown.
pub(super) fn named_elsewhere(question: &Question, book: &Book) -> Result<Vec<String>, StoreError> {
    let (Some(filter), Some(text)) = (&question.filter, find_field("text")) else {
        return Ok(Vec::new());
    };
    let mut names = Vec::new();
    bare_names(filter, &mut names);
    let mut remarks = Vec::new();
    for name in names {
        remarks.extend(elsewhere(&name, filter, question, book)?);
        let mut more = |other: Test, said: &str| -> Result<(), StoreError> {
            let found = count(&replaced(filter, &name, &other), Some(filter), book)?;
            let charts = if question.asks_for("basis") { found.charts } else { 0 };
            let rows = found.joints + charts;
            if rows > 0 {
                remarks.push(format!("{rows} more {said}: write `{}`", words(&other)));
            }
            Ok(())
        };
        more(Test::Says(text, fold_name(&name)), &format!("say \"{name}\" in their text"))?;
        let is_lube = book.vocabulary()?.find(NameOf::Lube, &name).is_some();
        if let Some(sealant) = find_field("sealant").filter(|_| is_lube) {
            more(Test::Says(sealant, fold_name(&name)), "state it as their sealant")?;
        }
        // `coolant` is part of a name, and what a hole opens into.
        for field in LISTS.into_iter().filter_map(find_field) {
            let FieldKind::Choice(choices) = field.kind else { continue };
            if let Some(word) = choices.iter().find(|word| word.eq_ignore_ascii_case(&name)) {
                more(Test::Choice(field, word), &format!("state {} {word}", field.name))?;
            }
        }
    }
    Ok(remarks)
}

/// How many rows a word by which a machine is called finds elsewhere: the `pump` of a
/// machine, and an oil pump of another.
fn elsewhere(
    name: &str,
    filter: &Test,
    question: &Question,
    book: &Book,
) -> Result<Option<String>, StoreError> {
    let is_machine = book.vocabulary()?.names_machine(name);
    let Some(assembly) = find_field("assembly").filter(|_| is_machine) else { return Ok(None) };
    let machine = Test::Says(assembly, fold_name(name));
    let alone = replaced(filter, name, &machine);
    let other = count(filter, Some(&alone), book)?.joints;
    let write = whole(&alone, question);
    let are = if other == 1 { "is of a joint or part" } else { "are of joints or parts" };
    let said = format!("{other} of these {are} called so: for the machine alone write `{write}`");
    Ok((other > 0).then_some(said))
}

/// How many rows the `not` of a joint's name takes away by a tag that has the word too:
/// `not drive`, where parts of another joint are tagged `mill drive`.
pub(super) fn denied_by_tag(question: &Question, book: &Book) -> Result<Vec<String>, StoreError> {
    let (Some(filter), Some(joint)) = (&question.filter, find_field("joint")) else {
        return Ok(Vec::new());
    };
    let mut remarks = Vec::new();
    for part in parts(filter) {
        let Test::Not(inner) = part else { continue };
        let Test::Bare(name) = &**inner else { continue };
        let of_joint = Test::Says(joint, fold_name(&name.name));
        if book.vocabulary()?.find(NameOf::Joint, &name.name).is_none() {
            continue;
        }
        let only = Test::Not(Box::new(of_joint));
        let wider = instead_of(filter, part, &only);
        let more = count(&wider, Some(filter), book)?.joints;
        let write = whole(&wider, question);
        remarks.extend((more > 0).then(|| {
            let joints = rows(more);
            let name = &name.name;
            format!("`not {name}` took away {joints} of other joints too: write `{write}`")
        }));
    }
    Ok(remarks)
}

/// Machines whose fasteners mostly have the duty that a word asks for are called by it
/// too: of `engine` how many of the machine's own have another duty, such as its spark
/// plugs, and the question that finds them.
pub(super) fn of_other_duties(question: &Question, book: &Book) -> Result<Vec<String>, StoreError> {
    let (Some(filter), Some(assembly)) = (&question.filter, find_field("assembly")) else {
        return Ok(Vec::new());
    };
    let machines: Vec<&str> = book.vocabulary()?.spellings(NameOf::Assembly).collect();
    let is_duty = |part: &&Test| {
        let Test::Any(each) = part else { return false };
        matches!(each.first(), Some(Test::Choice(field, _)) if field.name == "duty")
    };
    let mut remarks = Vec::new();
    for part in parts(filter).into_iter().filter(is_duty) {
        for machine in machines.iter().take(MOST_MACHINES) {
            let of_machine = Test::Says(assembly, fold_name(machine));
            let of_both = Test::All(vec![part.clone(), of_machine.clone()]);
            let of_duty = count(&of_both, None, book)?.joints;
            if of_duty == 0 || of_duty * 2 <= count(&of_machine, None, book)?.joints {
                continue;
            }
            let wider = instead_of(filter, part, &of_machine);
            let more = count(&wider, Some(filter), book)?.joints;
            let have = if more == 1 { "has" } else { "have" };
            let write = whole(&wider, question);
            let said = format!("{more} more of {machine} {have} another duty: write `{write}`");
            remarks.extend((more > 0).then_some(said));
        }
    }
    Ok(remarks)
}

/// `filter` with `other` for its part `part`.
fn instead_of(filter: &Test, part: &Test, other: &Test) -> Test {
    let each = parts(filter).into_iter();
    Test::All(each.map(|one| if one == part { other.clone() } else { one.clone() }).collect())
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
    let parts = parts(filter);
    // Each part is looked for in the whole book.
    if parts.len() > MOST_PARTS {
        return Ok(vec!["so many words are in no row together: ask for fewer".to_owned()]);
    }
    if let Some(line) = unstated(question, &parts, book)? {
        return Ok(vec![line]);
    }
    let mut lines = Vec::from_iter(any_of_names(question, &parts, book)?);
    if lines.is_empty() {
        lines.extend(with_fewer(question, &parts, book)?);
    }
    for (at, part) in parts.iter().enumerate() {
        let found = count(part, None, book)?;
        let name = words(part);
        match (found.joints, found.charts) {
            (0, 0) => lines.push(nothing(&parts, at, book)?),
            (0, charts) if parts.len() > 1 => {
                lines.push(format!("`{name}, basis chart` alone: {}", rows(charts)));
            }
            (found, _) if parts.len() > 1 => lines.push(format!("`{name}` alone: {}", rows(found))),
            _ => {}
        }
    }
    if question.with.is_empty() {
        lines.extend(instead_of_lubes(&parts, book)?);
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
) -> Result<Option<String>, StoreError> {
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
        format!("{named}: {each} {are} not stated ({}): write `{named} {shown}`", rows(found))
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
        let rest = Test::All(rest.collect());
        let dropped = out.len() + without.len();
        // What throws most of the question away is none of it, nor what it denies.
        let denies = without.iter().any(|at| is_denial(&kept[*at]));
        let names = without.iter().any(|at| is_named(&kept[*at]));
        if denies || names || 2 * dropped > parts.len() || dropped == parts.len() {
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

fn rows(count: usize) -> String {
    if count == 1 { "1 row".to_owned() } else { format!("{count} rows") }
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
