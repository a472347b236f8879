//! A planned question gives what a full scan gives: the same rows in the same
//! order, and the same count of rows left out.

use clampbook::query::plan::{Plan, plan};
use clampbook::query::resolve::{Names, Question, resolve};
use clampbook::query::run::{Answer, run};
use clampbook::query::syntax;
use clampbook::record::{Fastener, Kept, field_words, setting_keys};
use clampbook::store::{Access, Book, Change, Writer};
use proptest::prelude::*;
use std::sync::LazyLock;

use super::book::Shop;
use crate::sample;

/// The small shop, and many fasteners with gaps of every kind.
static BOOK: LazyLock<(Book, tempfile::TempDir)> = LazyLock::new(|| {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book");
    let shop = Shop::new();
    let access = shop.book.find(&Access::All).unwrap();
    let mut writer = Writer::create(&path).unwrap();
    let tables = shop.book.tables().clone();
    let mut changes: Vec<Change> =
        tables.lubes.into_iter().map(|record| Change::PutRecord(Kept::Lube(record))).collect();
    changes.extend(
        tables.strengths.into_iter().map(|record| Change::PutRecord(Kept::Strength(record))),
    );
    changes.extend(access.fasteners.iter().map(|f| Change::from((**f).clone())));
    changes.extend((0..66).map(|number| {
        let mut fastener = sample::numbered(number);
        match number % 11 {
            0 => fastener.joint.assembly = String::new(),
            1 => fastener.joint.name = String::new(),
            _ => {}
        }
        Change::from(fastener)
    }));
    writer.apply(changes).unwrap();
    drop(writer);
    (Book::open(&path).unwrap(), folder)
});

fn resolved(text: &str, book: &Book) -> Option<Question> {
    let tree = syntax::parse(text, field_words()).ok()?;
    let names =
        Names { vocabulary: book.vocabulary().unwrap(), tables: book.tables(), is_second: false };
    resolve(&tree, names).ok()
}

/// The answer without what a plan may change.
fn answered(question: &Question, plan: &Plan, book: &Book) -> Answer {
    let answer = run(question, plan, book, usize::MAX).unwrap();
    // What is cut off unread is not known to match.
    Answer { read: 0, matched: 0, took: std::time::Duration::ZERO, plan: String::new(), ..answer }
}

fn one_of(words: &'static [&'static str]) -> impl Strategy<Value = String> {
    proptest::sample::select(words).prop_map(str::to_owned)
}

const THREADS: &[&str] =
    &["7/16-20", "7/16-14", "7/16", "M10", "M10 coarse", "M12x1.25", "1/2-20", "M30", "M8 fine"];
const NAMES: &[&str] = &[
    "head",
    "heads",
    "oil pan",
    "oil",
    "engine oil",
    "moly",
    "moly paste",
    "dry",
    "Marlow 6",
    "Marlow 7",
    "stud",
    "bolts",
    "screws",
    "covers",
    "races",
    "lots",
    "drains",
    "cyl",
    "\"oil gallery\"",
    "race",
    "24-017",
    "12-point",
    "lot 1",
    "\"№ 7\"",
    "guards",
    "zzz",
    "rod",
];
const FIELDS: &[&str] = &[
    "lube moly",
    "lube oil or dry",
    "lube \"engine oil\"",
    "strength 10.9",
    "grade 8",
    "class 8.8",
    "assembly \"Marlow 6\"",
    "assembly Marlow 12",
    "joint head",
    "joint oil",
    "text race",
    "text gallery",
    "thread M10",
    "hole-thread 7/16-14",
    "kind stud",
    "basis chart",
    "part stud long",
    "source \"sheet 4\"",
    "length 3.5 in",
    "confused-with M12x1.25",
    "lube != oil",
    "strength != 10.9",
    "joint != head",
    "face-lube oil",
    "notes oil",
];
const FLAGS: &[&str] = &["single-use", "wet", "blind", "superseded", "from-memory", "plated"];
const STATED: &[&str] = &["torque", "lube", "strength", "thread", "hole-thread", "sealant", "snug"];
const TORQUES: &[&str] = &["60 N.m", "66 lb-ft", "89.5 N.m", "40.7 N.m", "90 lb-in", "20 lb-ft"];
const RELATIONS: &[&str] = &["over", "under", "at-least", "at-most", "about", "=", "!="];

/// Something that a row is tested for.
fn leaf() -> impl Strategy<Value = String> {
    let compared =
        (one_of(RELATIONS), one_of(TORQUES)).prop_map(|(r, q)| format!("torque {r} {q}"));
    let turned = (one_of(RELATIONS), one_of(TORQUES)).prop_map(|(r, q)| format!("{q} {r} torque"));
    let shares = (one_of(RELATIONS), 40..110_u32).prop_map(|(r, n)| format!("of-proof {r} {n}%"));
    let sums = (one_of(RELATIONS), 1..90_u32)
        .prop_map(|(r, n)| format!("torque + {n} N.m {r} snug + 60 N.m"));
    prop_oneof![
        3 => one_of(THREADS),
        4 => one_of(NAMES),
        4 => one_of(FIELDS),
        1 => one_of(FLAGS),
        2 => (one_of(&["has", "lacks"]), one_of(STATED)).prop_map(|(a, b)| format!("{a} {b}")),
        3 => compared,
        1 => turned,
        1 => one_of(TORQUES),
        2 => (5..80_u32, 0..60_u32).prop_map(|(a, b)| format!("torque {a}..{} N.m", a + b)),
        1 => shares,
        1 => sums,
    ]
}

fn item() -> impl Strategy<Value = String> {
    let group = || proptest::collection::vec(leaf(), 1..3).prop_map(|all| all.join(" or "));
    prop_oneof![
        6 => leaf(),
        1 => leaf().prop_map(|leaf| format!("not {leaf}")),
        1 => group().prop_map(|group| format!("({group})")),
        1 => group().prop_map(|group| format!("not ({group})")),
    ]
}

fn filter() -> impl Strategy<Value = String> {
    let joint = one_of(&[", ", " ", " and ", " or "]);
    (item(), proptest::collection::vec((joint, item()), 0..3)).prop_map(|(first, rest)| {
        rest.into_iter().fold(first, |text, (joint, item)| text + &joint + &item)
    })
}

/// A clause, or nothing.
fn maybe(text: impl Strategy<Value = String>) -> impl Strategy<Value = String> {
    prop_oneof![2 => Just(String::new()), 1 => text.prop_map(|text| format!(" {text}"))]
}

prop_compose! {
    fn question()(
        filter in filter(),
        with in maybe(one_of(&["with oil", "with moly, dry", "with sealant"])),
        target in maybe(one_of(&["target 75% proof", "target 30 kN"])),
        keep in maybe(leaf().prop_map(|leaf| format!("keep {leaf}"))),
        sort in maybe(one_of(&["sort torque down", "sort part, clamp", "sort thread, lube down"])),
        first in maybe(one_of(&["first 3", "first 20"])),
        last in maybe(one_of(&["tally lube", "tally joint, thread", "show part, torque - 1 N.m"])),
    ) -> String {
        format!("{filter}{with}{target}{keep}{sort}{first}{last}")
    }
}

/// How many of the generated questions must be sound, so that the property
/// tests something: most are.
const SOUND: f64 = 0.5;

#[test]
fn a_planned_question_gives_what_a_full_scan_gives() {
    let (book, _) = &*BOOK;
    let mut runner = proptest::test_runner::TestRunner::new(ProptestConfig::with_cases(200));
    let sound = std::cell::Cell::new((0_u32, 0_u32, 0_u32));
    let checked = runner.run(&question(), |text| {
        let (mut all, mut good, mut indexed) = sound.get();
        all += 1;
        if let Some(question) = resolved(&text, book) {
            good += 1;
            let planned = plan(&question, |access| book.estimate(access));
            indexed += u32::from(planned.access != Access::All);
            let scan =
                Plan { access: Access::All, column: None, words: String::new(), estimate: 0 };
            let (one, other) =
                (answered(&question, &planned, book), answered(&question, &scan, book));
            prop_assert_eq!(one.left_out, other.left_out, "{} by {}", text, planned.words);
            prop_assert_eq!(&one, &other, "{} by {}", text, planned.words);
        }
        sound.set((all, good, indexed));
        Ok(())
    });
    if let Err(error) = checked {
        panic!("{error}");
    }
    let (all, good, indexed) = sound.get();
    assert!(f64::from(good) > SOUND * f64::from(all), "{good} of {all} are sound");
    assert!(indexed > good / 4, "{indexed} of {good} use an index");
}

#[test]
fn the_index_that_a_plan_uses() {
    let (book, _) = &*BOOK;
    let words = |text: &str| plan(&resolved(text, book).unwrap(), |_| 10).words;
    for (question, expected) in [
        ("7/16-20 stud", "(index of threads at 7/16, pitch 20 or index of thread not stated)"),
        ("M10 torque over 60 N.m show part", ""),
        ("lube moly or engine oil", ""),
        ("covers", "index of words at cover…"),
        ("lacks torque", "index of torque not stated"),
        ("not M10", "every record"),
        ("hole-thread 7/16-14", "every record"),
        ("of-proof over 90%", "column of of-proof from 0.9000, unknown ones counted"),
        ("clamp 20..30 kN", "column of clamp from 19799.9802 to 30300.0303, unknown ones counted"),
        ("M10 or k over 0.2", "every record"),
        ("cyl covers", "(index of words at cyl… and index of words at cover…)"),
        ("sort torque down first 3", "index of torques, the first 3 from its high end"),
        ("sort clamp, thread first 9", "column of clamp, the first 9 from its low end"),
        ("sort lube first 3", "every record"),
        ("sort torque down", "every record"),
    ] {
        let found = words(question);
        if expected.is_empty() {
            assert!(found.contains("index of") && !found.contains("every"), "{question}: {found}");
        } else {
            assert_eq!(found, expected, "{question}");
        }
    }
}

/// A text with hyphens is the beginning of a key, whole parts of it: looked up, not
/// searched for in all of the book.
#[test]
fn a_key_is_looked_up_in_its_index() {
    let (book, _) = &*BOOK;
    let all = book.find(&Access::All).unwrap().fasteners;
    let keys_of = |fastener: &Fastener| setting_keys(fastener);
    let asked = all.iter().find(|one| one.key.contains('-') && one.settings.len() > 1).unwrap();
    let setting = keys_of(asked).remove(1);
    let (start, _) = asked.key.rsplit_once('-').unwrap();
    for text in [asked.key.as_str(), &setting, start, &asked.key[..asked.key.len() - 1]] {
        let begins = |key: &String| {
            let rest = key.strip_prefix(text);
            rest.is_some_and(|rest| !rest.starts_with(|c: char| c.is_ascii_alphanumeric()))
        };
        let expected: Vec<String> =
            all.iter().flat_map(|one| keys_of(one)).filter(begins).collect();
        let question = format!("key \"{text}\"");
        let answer = clampbook::query::answer(&question, book).unwrap();
        let found: Vec<String> = answer.rows.iter().map(|row| row.key.clone()).collect();
        assert_eq!(found, expected, "{question}");
        assert!(answer.plan.starts_with("index of keys at"), "{question}: {}", answer.plan);
    }
    // Words alone are looked for in the whole of it.
    let words = clampbook::query::answer("key stud", book).unwrap();
    assert!(words.rows.iter().any(|row| !row.key.starts_with("stud")), "{}", words.plan);
}
