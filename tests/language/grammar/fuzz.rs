//! Texts of any kind: the program answers each with a tree that prints and
//! parses alike, or with an error whose place is in the text; the tree resolves,
//! or is refused at a place in the text.
//!
//! The soak makes ten million, or `CLAMPBOOK_FUZZ` of each sort, and names the slowest
//! single text: `cargo test --test language soak -- --ignored --nocapture`.

use std::sync::LazyLock;
use std::time::{Duration, Instant};

use clampbook::query::ear::hear;
use clampbook::query::resolve::{Names, resolve};
use clampbook::query::syntax::{join_arguments, parse, read_quoted, tokens};
use clampbook::record::{NameOf, Tables, Vocabulary, field_words};
use clampbook::store::{Book, Writer};
use clampbook::text::Diagnostic;
use rand::rngs::StdRng;
use rand::{Rng, SeedableRng};

use super::edits::{one_character, one_token};
use super::lists::{accepted, rejected};
use super::samples::any;

/// How many texts of each sort.
const COUNT: u64 = 10_000;
/// The same of the soak, if `CLAMPBOOK_FUZZ` does not say.
const SOAK: u64 = 5_000_000;

/// A text by chance: samples side by side, or any characters.
fn by_chance(chance: &mut StdRng) -> String {
    if chance.random_bool(0.5) {
        let length = chance.random_range(0..12);
        (0..length).map(|_| any(chance)).collect::<Vec<_>>().join(" ")
    } else {
        let length = chance.random_range(0..24);
        (0..length).map(|_| anything(chance)).collect()
    }
}

/// A character, those of the language more often than others.
fn anything(chance: &mut StdRng) -> char {
    const OFTEN: &[u8] = b" .,()\"-+*/<>=!0123456789xXmMnNkKlbftinGgRrUu#%'";
    match chance.random_range(0..4) {
        0 => char::from_u32(chance.random_range(0..0x11_0000)).unwrap_or('\u{fffd}'),
        _ => char::from(OFTEN[chance.random_range(0..OFTEN.len())]),
    }
}

/// The lubes and strengths of a new book, and some names as a shop has them.
static BOOK: LazyLock<(Tables, Vocabulary)> = LazyLock::new(|| {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("book");
    drop(Writer::create(&path).expect("a book"));
    let tables = Book::open(&path).expect("the book").tables().clone();
    let mut vocabulary = Vocabulary::collect([], &tables);
    for (what, name) in [
        (NameOf::Assembly, "Marlow 6"),
        (NameOf::Assembly, "Tern 40 pump"),
        (NameOf::Joint, "head"),
        (NameOf::Joint, "oil pan"),
        (NameOf::Part, "bolt, short"),
        (NameOf::Part, "stud"),
    ] {
        vocabulary.add(what, name, name);
    }
    (tables, vocabulary)
});

/// The longest that one text may take. The longest allowed takes milliseconds;
/// the rest is for a machine that is busy with other work and for builds without
/// optimisation, where less would fail by chance.
const LONGEST: Duration = Duration::from_secs(3);

fn check(text: &str) -> bool {
    timed(text).0
}

/// Whether `text` is understood, and how long that took.
fn timed(text: &str) -> (bool, Duration) {
    let once = || {
        let began = Instant::now();
        let understood = read(text);
        (understood, began.elapsed())
    };
    let (understood, mut took) = once();
    // A machine that is busy with other work halts any text now and then: once more, by the
    // time on the processor where the system tells it.
    for _ in 0..3 {
        if took < LONGEST {
            break;
        }
        let before = on_processor();
        took = once().1;
        if let Some((before, after)) = before.zip(on_processor()) {
            took = after.saturating_sub(before);
        }
    }
    assert!(took < LONGEST, "{text:?} took {took:?}");
    (understood, took)
}

/// How long this thread was on a processor until now.
fn on_processor() -> Option<Duration> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    text.split(' ').next()?.parse().ok().map(Duration::from_nanos)
}

/// What is wrong is said of a place in the text.
fn check_diagnostic(diagnostic: &Diagnostic, text: &str) {
    let place = diagnostic.span;
    assert!(text.get(place.start..place.end).is_some(), "{text:?}: {place:?}");
    assert!(!diagnostic.message.is_empty() && !diagnostic.label.is_empty(), "{text:?}");
}

fn read(typed: &str) -> bool {
    let heard = match hear(typed, &BOOK.1) {
        Ok(heard) => heard,
        Err(found) => {
            check_diagnostic(&found, typed);
            return false;
        }
    };
    let text = &*heard.text;
    match parse(text, field_words()) {
        Ok(tree) => {
            let printed = tree.to_string();
            assert_eq!(
                parse(&printed, field_words()).as_ref(),
                Ok(&tree),
                "{text:?} → {printed:?}"
            );
            tree.readings(&|_| false).iter().for_each(|line| assert!(line.starts_with("read as ")));
            let names = Names { tables: &BOOK.0, vocabulary: &BOOK.1, is_second: false };
            if let Err(error) = resolve(&tree, names) {
                check_diagnostic(&heard.of_typed(error.diagnostic()), typed);
            }
            true
        }
        Err(error) => {
            check_diagnostic(&heard.of_typed(error.diagnostic()), typed);
            false
        }
    }
}

/// What a number of texts came to.
struct Checked {
    understood: u64,
    slowest: (Duration, String),
}

/// Checks `count` texts that `text` gives; at least one in `most` has to be understood,
/// and at least one refused.
fn check_many(count: u64, seed: u64, most: u64, text: impl Fn(&mut StdRng) -> String) -> Checked {
    let mut chance = StdRng::seed_from_u64(seed);
    let mut checked = Checked { understood: 0, slowest: (Duration::ZERO, String::new()) };
    for turn in 0..count {
        let text = text(&mut chance);
        let (is_understood, took) = timed(&text);
        checked.understood += u64::from(is_understood);
        if took > checked.slowest.0 {
            checked.slowest = (took, text.clone());
        }
        if turn % 16 == 0 {
            let _ = tokens(&text, &[]);
            let _ = read_quoted(&text);
            let first = text.split(' ').next().unwrap_or("");
            check(&join_arguments(&[&text, first]));
        }
    }
    let understood = checked.understood;
    let refused = count - understood;
    assert!(understood * most > count && refused * most > count, "{understood} of {count}");
    checked
}

fn check_any(count: u64) -> Checked {
    check_many(count, 1, 50, by_chance)
}

/// Questions of the lists with some characters and words changed.
fn check_changed(count: u64) -> Checked {
    let list: Vec<String> =
        accepted().into_iter().chain(rejected().into_iter().map(|row| row.1)).collect();
    check_many(count, 2, 5, |chance| {
        let mut text = list[chance.random_range(0..list.len())].clone();
        for change in 0..chance.random_range(1..4) {
            text = match change % 2 {
                0 => one_character(&text, chance),
                _ => one_token(&text.split(' ').collect::<Vec<_>>(), chance),
            };
        }
        text
    })
}

#[test]
fn any_text_gets_an_answer() {
    check_any(COUNT);
}

#[test]
fn any_changed_question_gets_an_answer() {
    check_changed(COUNT);
}

#[test]
#[ignore = "ten million texts"]
#[allow(clippy::print_stdout, reason = "a soak says what it covered")]
fn soak() {
    let count = std::env::var("CLAMPBOOK_FUZZ").map_or(SOAK, |count| count.parse().unwrap());
    for (sort, check) in [("any", check_any as fn(u64) -> Checked), ("changed", check_changed)] {
        let began = Instant::now();
        let Checked { understood, slowest: (took, text) } = check(count);
        let seconds = began.elapsed().as_secs_f64();
        println!("{sort}: {count} texts in {seconds:.0} s, {understood} understood");
        println!("{sort}: the slowest took {} µs: {text:?}", took.as_micros());
    }
}

/// Parentheses, joints and operators without end: refused or read, never deep.
#[test]
fn long_texts_are_read_flat() {
    // Half of what is allowed, because a sign may be printed as a longer word.
    let repeated = |unit: &str| unit.repeat(4000 / unit.len());
    for unit in
        ["(", ")", "((a) ", "a or ", "a, ", "1 + ", "torque over ", "not ", "\"", "x ", "M10 "]
    {
        check(&repeated(unit));
    }
    assert!(check(&format!("{}1 > 2", repeated("1 + "))));
    assert!(check(&format!("{}head", repeated("head or "))));
    assert!(check(&format!("show {}torque", repeated("torque / "))));
    // A sign that is read as a shorter one: its place is the whole of it.
    assert!(!check("he“ad & oil"));
    let deep = |levels: usize| format!("{}head{}", "(".repeat(levels), ")".repeat(levels));
    assert!(check(&deep(32)));
    let error = parse(&deep(33), field_words()).expect_err("one level too many");
    assert_eq!((error.diagnostic().code, error.span.start), ("nested-too-deep", 32));
}
