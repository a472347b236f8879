//! Where else a name of the question stands: in the text, as a tag, as a word of a closed
//! list, or as the name of a machine too.

use crate::query::besides::count;
use crate::query::besides::words::{exchanged, parts, rows, whole};
use crate::query::resolve::{LISTS, Question, Test};
use crate::record::{FieldKind, NameOf, find_field};
use crate::store::{Book, StoreError};
use crate::text::fold_name;

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
            let other = replaced(filter, &name, &other);
            let found = count(&other, Some(filter), book)?;
            let charts = if question.asks_for("basis") { found.charts } else { 0 };
            let all = found.joints + charts;
            if all > 0 {
                remarks.push(format!("{all} more {said}: write `{}`", whole(&other, question)));
            }
            Ok(())
        };
        more(Test::Says(text, fold_name(&name)), &format!("say \"{name}\" in their text"))?;
        let is_lube = book.vocabulary()?.find(NameOf::Lube, &name).is_some();
        if let Some(sealant) = find_field("sealant").filter(|_| is_lube) {
            more(Test::Says(sealant, fold_name(&name)), "state it as their sealant")?;
        }
        // `coolant` is part of a name, and what a hole opens into; a `motor` may be an engine.
        for field in LISTS.into_iter().filter_map(find_field) {
            let FieldKind::Choice(choices) = field.kind else { continue };
            let called = if name.eq_ignore_ascii_case("motor") { "engine" } else { &name };
            if let Some(word) = choices.iter().find(|word| word.eq_ignore_ascii_case(called)) {
                more(Test::Choice(field, word), &format!("state {} {word}", field.name))?;
            }
        }
    }
    Ok(remarks)
}

/// How many rows a name finds by a tag alone, where it is a name of others: the side bolts of
/// `main cap`, which are tagged `cap`.
pub(super) fn by_tag(question: &Question, book: &Book) -> Result<Vec<String>, StoreError> {
    let Some(filter) = &question.filter else { return Ok(Vec::new()) };
    let mut remarks = Vec::new();
    for part in parts(filter) {
        let Test::Bare(name) = part else { continue };
        if matches!(name.what, NameOf::Lube | NameOf::Strength) {
            continue;
        }
        let mut by_name = Vec::new();
        for field in ["assembly", "joint", "part"].into_iter().filter_map(find_field) {
            let says = Test::Says(field, fold_name(&name.name));
            if count(&exchanged(filter, part, &says), None, book)?.joints > 0 {
                by_name.push(says);
            }
        }
        if by_name.is_empty() {
            continue;
        }
        let named = exchanged(filter, part, &Test::any_of(by_name));
        let tagged = count(filter, Some(&named), book)?.joints;
        if tagged == 0 {
            continue;
        }
        let (are, name, write) =
            (if tagged == 1 { "is" } else { "are" }, &name.name, whole(&named, question));
        remarks.push(format!("{tagged} of these {are} tagged `{name}` and not called so: for the others write `{write}`"));
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
        let wider = exchanged(filter, part, &only);
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
    let is_duty = |part: &&Test| {
        let Test::Any(each) = part else { return false };
        matches!(each.first(), Some(Test::Choice(field, _)) if field.name == "duty")
    };
    let mut remarks = Vec::new();
    for part in parts(filter).into_iter().filter(is_duty) {
        // Asked here: the names of a large book are read when they are first asked for, and a
        // question of a thread alone asks for none.
        for machine in book.vocabulary()?.spellings(NameOf::Assembly).take(MOST_MACHINES) {
            let of_machine = Test::Says(assembly, fold_name(machine));
            let of_both = Test::All(vec![part.clone(), of_machine.clone()]);
            let of_duty = count(&of_both, None, book)?.joints;
            if of_duty == 0 || of_duty * 2 <= count(&of_machine, None, book)?.joints {
                continue;
            }
            let wider = exchanged(filter, part, &of_machine);
            let more = count(&wider, Some(filter), book)?.joints;
            let have = if more == 1 { "has" } else { "have" };
            let write = whole(&wider, question);
            let said = format!("{more} more of {machine} {have} another duty: write `{write}`");
            remarks.extend((more > 0).then_some(said));
        }
    }
    Ok(remarks)
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
