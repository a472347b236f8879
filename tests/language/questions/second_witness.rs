//! 2,000 random questions over a random book, against the plain loops of
//! `evaluator.rs`: rows and their order, rows left out, ranges of which only a
//! part passes, groups of a tally.

use std::path::Path;
use std::process::Command;
use std::sync::LazyLock;

use clampbook::quantity::{Extent, Stated};
use clampbook::query::answer;
use clampbook::query::ear::hear;
use clampbook::query::plan::plan;
use clampbook::query::resolve::{Names, resolve};
use clampbook::query::run::{Answer, run};
use clampbook::query::syntax::parse;
use clampbook::record::{
    Basis, Bottom, Fastener, Joint, Kept, Method, Reuse, Setting, SourceKind, field_words,
};
use clampbook::store::{Book, Change, Writer};
use clampbook::thread::Thread;
use rand::rngs::StdRng;
use rand::seq::IndexedRandom;
use rand::{Rng, SeedableRng};
use serde_json::Value;

use super::book::Shop;
use super::evaluator::{self, Figure, Order, Row, Test};

/// How many questions; `CLAMPBOOK_QUESTIONS` asks more.
const QUESTIONS: usize = 2000;
const FASTENERS: usize = 160;
/// One in so many goes the whole way of a question that is typed.
const WHOLE: usize = 20;

fn pick<T: Clone>(random: &mut StdRng, list: &[T]) -> T {
    list.choose(random).unwrap().clone()
}

fn setting(random: &mut StdRng) -> Setting {
    let mut setting = Setting::new(Method::Torque, pick(random, &[Basis::Listed, Basis::Shop]));
    let lube = pick(random, &["moly", "oil", "dry", ""]);
    setting.lube = (!lube.is_empty()).then(|| lube.to_owned());
    let torque: f64 = random.random_range(8.0..120.0);
    let unit = pick(random, &["N·m", "lb-ft", "lb-in", "kgf·m"]);
    let places = random.random_range(0..2);
    let text = match random.random_range(0..10) {
        0 | 1 => String::new(),
        2..=4 => {
            let top = torque * random.random_range(1.01..1.3);
            format!("{torque:.places$}..{top:.places$} {unit}")
        }
        5 => format!("max {torque:.places$} {unit}"),
        _ => format!("{torque:.places$} {unit}"),
    };
    setting.torque = Extent::parse(&text).ok();
    if random.random_ratio(1, 6) {
        setting.stretch = Extent::parse("0.0055 in..0.0060 in").ok();
    }
    setting.superseded = random.random_ratio(1, 12);
    setting.this_lube_only = random.random_ratio(1, 12);
    let day = |random: &mut StdRng| {
        let text = format!(
            "{}-0{}-1{}",
            random.random_range(2015..2024),
            random.random_range(1..9),
            random.random_range(0..9)
        );
        text.parse().ok()
    };
    setting.entered_on = if random.random_ratio(3, 4) { day(random) } else { None };
    setting.source.date = if random.random_ratio(1, 2) { day(random) } else { None };
    setting.source.kind = pick(random, &[None, Some(SourceKind::Memory), Some(SourceKind::Manual)]);
    setting
}

fn fastener(random: &mut StdRng, at: usize) -> Fastener {
    let joint = pick(random, &["head", "main", "rod", "cover"]);
    let joint = Joint::named(format!("Marlow {}", at / 20), joint);
    let mut fastener = Fastener::new(joint, format!("piece {at}"));
    let thread = pick(random, &["M8x1.25", "M10x1.5", "M10x1.25", "M12x1.75", ""]);
    fastener.thread = Thread::parse(thread).ok();
    fastener.hole_thread = random.random_ratio(1, 8).then(|| Thread::parse("M10x1.5").unwrap());
    let strength = pick(random, &["8.8", "10.9", ""]);
    fastener.strength.name = (!strength.is_empty()).then(|| strength.to_owned());
    fastener.count = random.random_ratio(4, 5).then(|| random.random_range(1..20));
    fastener.reuse = pick(random, &[None, Some(Reuse::Reusable), Some(Reuse::SingleUse)]);
    fastener.bottom = pick(random, &[None, Some(Bottom::Blind), Some(Bottom::Through)]);
    fastener.insert = pick(random, &[None, Some(true), Some(false)]);
    fastener.finish =
        pick(random, &[None, Some("zinc plated".to_owned()), Some("plain".to_owned())]);
    let length = pick(random, &["", "40 mm", "1.5 in", "38.1 mm", "3.75 in", "4 in", "95 mm"]);
    fastener.length = Stated::parse(length).ok();
    let settings = random.random_range(1..4);
    fastener.settings = (0..settings).map(|_| setting(random)).collect();
    fastener
}

fn program(book: &Path, arguments: &[&str]) -> String {
    let mut command = Command::new(env!("CARGO_BIN_EXE_clampbook"));
    command.arg("--book").arg(book).args(arguments);
    let output = command.output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

/// The book, and its rows as the program exports them.
static BOOK: LazyLock<(Book, Vec<Row>, tempfile::TempDir)> = LazyLock::new(|| {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book");
    let mut random = StdRng::seed_from_u64(14);
    let mut writer = Writer::create(&path).unwrap();
    let tables = Shop::new().book.tables().clone();
    let mut changes: Vec<Change> =
        tables.lubes.into_iter().map(|record| Change::PutRecord(Kept::Lube(record))).collect();
    changes.extend(
        tables.strengths.into_iter().map(|record| Change::PutRecord(Kept::Strength(record))),
    );
    changes.extend((0..FASTENERS).map(|at| Change::from(fastener(&mut random, at))));
    writer.apply(changes).unwrap();
    drop(writer);
    let exported = program(&path, &["export", "--as", "jsonl"]);
    let derived = program(&path, &["--format", "json", "find", "first", "100000"]);
    let derived: Value = serde_json::from_str(&derived).unwrap();
    let derived = derived["rows"].as_array().unwrap();
    // The lubes and strengths of the shop go before the settings, which have keys.
    let settings = exported.lines().map(|line| serde_json::from_str::<Row>(line).unwrap());
    let rows = settings.filter(|row| row.contains_key("key")).map(|mut row| {
        // The key of a program, the word of a question.
        if let Some(pieces) = row.remove("count") {
            row.insert("qty".to_owned(), pieces);
        }
        let own = derived.iter().find(|found| found["key"] == row["key"]).unwrap();
        for key in ["of_proof", "of_yield", "clamp_n"] {
            row.insert(key.to_owned(), own[key].clone());
        }
        row.insert("derived_k".to_owned(), own["k"].clone());
        row
    });
    let rows: Vec<Row> = rows.collect();
    assert!(rows.len() > FASTENERS, "{} rows", rows.len());
    (Book::open(&path).unwrap(), rows, folder)
});

fn figure(random: &mut StdRng, field: &str) -> Figure {
    let (most, units): (f64, &[&'static str]) = match field {
        "torque" => (130.0, &["N.m", "lb-ft", "lb-in"]),
        "clamp" => (60.0, &["kN"]),
        "of-proof" | "of-yield" => (150.0, &["%"]),
        "length" => (110.0, &["mm", "in"]),
        "k" => (0.25, &[""]),
        _ => (20.0, &[""]),
    };
    let unit = pick(random, units);
    let scale = match unit {
        "lb-ft" => 0.7376,
        "lb-in" => 8.851,
        "in" => 1.0 / 25.4,
        _ => 1.0,
    };
    let places = if field == "qty" { 0 } else { random.random_range(0..3) };
    let value = random.random_range(0.02..1.0) * most * scale;
    let least = 10_f64.powi(-i32::try_from(places).unwrap());
    Figure { digits: format!("{:.places$}", value.max(least)), unit }
}

fn leaf(random: &mut StdRng) -> (String, Test) {
    let fields =
        ["torque", "torque", "torque", "clamp", "of-proof", "of-yield", "length", "qty", "k"];
    match random.random_range(0..12) {
        0..=3 => {
            let field = pick(random, &fields);
            let figure = figure(random, field);
            let relation = pick(random, &["over", "under", "at-least", "at-most", "=", "about"]);
            (
                format!("{field} {relation} {}", figure.typed()),
                Test::Compare(field, relation, figure),
            )
        }
        4 => {
            let field = pick(random, &fields);
            let (mut low, mut high) = (figure(random, field), figure(random, field));
            high.unit = low.unit;
            if low.digits.parse::<f64>().unwrap() > high.digits.parse::<f64>().unwrap() {
                std::mem::swap(&mut low, &mut high);
            }
            (format!("{field} {}..{}", low.typed(), high.typed()), Test::Range(field, low, high))
        }
        5 => {
            let flags = [
                "single-use",
                "blind",
                "through",
                "from-memory",
                "superseded",
                "this-lube-only",
                "insert",
                "plated",
            ];
            let flag = pick(random, &flags);
            (flag.to_owned(), Test::Flag(flag))
        }
        6 => {
            let field =
                pick(random, &["torque", "lube", "length", "stretch", "strength", "thread"]);
            let (word, test) = pick(random, &[("has", true), ("lacks", false)]);
            let found = if test { Test::Has(field) } else { Test::Lacks(field) };
            (format!("{word} {field}"), found)
        }
        7 | 8 => {
            let (field, word) = pick(
                random,
                &[
                    ("lube", "moly"),
                    ("lube", "oil"),
                    ("strength", "10.9"),
                    ("joint", "head"),
                    ("basis", "shop"),
                    ("hole", "blind"),
                ],
            );
            (format!("{field} {word}"), Test::Is(field, word))
        }
        9 => {
            let field = pick(random, &["entered-on", "source-date"]);
            let (word, relation) =
                pick(random, &[("after", "over"), ("before", "under"), ("=", "=")]);
            let date = pick(random, &["2018", "2020", "2019-05", "2021-03", "2017-04-12"]);
            (format!("{field} {word} {date}"), Test::Date(field, relation, date))
        }
        10 => {
            let thread = pick(random, &["M10", "M8", "M10x1.25", "M12"]);
            (thread.to_owned(), Test::Thread(thread))
        }
        _ => {
            let (text, test) = leaf(random);
            (format!("({text})"), test)
        }
    }
}

/// Parts between commas, alternatives, items joined by `and`, some of them not.
fn filter(random: &mut StdRng) -> (String, Test) {
    let mut parts = Vec::new();
    for _ in 0..random.random_range(1..3) {
        let mut alternatives = Vec::new();
        for _ in 0..random.random_range(1..3) {
            let mut items = Vec::new();
            for _ in 0..random.random_range(1..3) {
                let (text, test) = leaf(random);
                let negated = random.random_ratio(1, 5);
                items.push(if negated {
                    (format!("not ({text})"), Test::Not(Box::new(test)))
                } else {
                    (format!("({text})"), test)
                });
            }
            alternatives.push(joined(items, " and ", Test::All));
        }
        parts.push(joined(alternatives, " or ", Test::Any));
    }
    joined(parts, ", ", Test::All)
}

fn joined(
    items: Vec<(String, Test)>,
    between: &str,
    join: impl Fn(Vec<Test>) -> Test,
) -> (String, Test) {
    let (texts, tests): (Vec<String>, Vec<Test>) = items.into_iter().unzip();
    (texts.join(between), join(tests))
}

#[test]
fn random_questions_agree_with_plain_loops() {
    let (book, rows, _) = &*BOOK;
    let questions = std::env::var("CLAMPBOOK_QUESTIONS").map_or(QUESTIONS, |n| n.parse().unwrap());
    let mut random = StdRng::seed_from_u64(2026);
    let (mut found, mut left_out, mut partly, mut groups) = (0, 0, 0, 0);
    for turn in 0..questions {
        let (text, test) = filter(&mut random);
        if turn % 5 == 4 {
            groups += tallied(book, rows, &mut random, &text, &test);
            continue;
        }
        let mut order = Order::default();
        let mut question = text;
        if random.random_ratio(1, 2) {
            let (by, down) =
                (pick(&mut random, &["torque", "qty", "of-proof", "length"]), random.random());
            question += &format!(" sort {by}{}", if down { " down" } else { "" });
            order.by = Some((by, down));
        }
        if random.random_ratio(1, 2) {
            let first = random.random_range(1..12);
            question += &format!(" first {first}");
            order.first = Some(first);
        }
        let expected = evaluator::answer(rows, &test, &order);
        let own = asked(&question, book, turn % WHOLE == 0);
        let keys: Vec<&str> = own.rows.iter().map(|row| row.key.as_str()).collect();
        let differ = |row: &&Row| {
            let key = row["key"].as_str().unwrap();
            keys.contains(&key) != expected.keys.iter().any(|other| other == key)
        };
        let rows: Vec<&Row> = rows.iter().filter(differ).collect();
        assert_eq!(keys, expected.keys, "{question}: {rows:#?}");
        assert_eq!(own.left_out, expected.left_out, "left out of {question}");
        assert_eq!(own.partly, expected.partly, "partly of {question}");
        found += expected.keys.len();
        left_out += expected.left_out;
        partly += expected.partly;
    }
    println!(
        "{questions} questions: {found} rows, {left_out} left out, {partly} partly, {groups} groups"
    );
    assert!(
        found > questions
            && left_out > questions
            && partly > questions / 20
            && groups > questions / 20
    );
}

/// The answer of the language's core; now and then of the whole of it, which remarks on the
/// answer besides: that takes many times as long and is looked at by `offers`.
fn asked(text: &str, book: &Book, is_whole: bool) -> Answer {
    if is_whole {
        return answer(text, book).unwrap_or_else(|error| panic!("{text}: {error}"));
    }
    let vocabulary = book.vocabulary().unwrap();
    let heard = hear(text, vocabulary).unwrap_or_else(|error| panic!("{text}: {error:?}"));
    let tree = parse(&heard.text, field_words()).unwrap_or_else(|error| panic!("{text}: {error}"));
    let names = Names { vocabulary, tables: book.tables(), is_second: false };
    let question = resolve(&tree, names).unwrap_or_else(|error| panic!("{text}: {error:?}"));
    run(&question, &plan(&question, |access| book.estimate(access)), book, usize::MAX).unwrap()
}

fn tallied(book: &Book, rows: &[Row], random: &mut StdRng, text: &str, test: &Test) -> usize {
    let by = pick(random, &["joint", "lube", "strength"]);
    let mut question = format!("{text} tally {by} total qty");
    let mut expected = evaluator::tally(rows, test, by);
    let mut level = 0;
    if random.random_ratio(1, 2) {
        let first = random.random_range(1..4);
        question += &format!(" first {first}");
        let cut = expected.split_off(first.min(expected.len()));
        level = cut.iter().take_while(|group| group.1 == expected[first - 1].1).count();
    }
    let own = asked(&question, book, false);
    assert_eq!(own.level, level, "groups level with the last of {question}");
    let tally = own.tally.unwrap();
    let groups = tally.groups.iter().map(|group| {
        let name = match &group.values[0] {
            clampbook::record::Value::Text(text) => text.to_string(),
            _ => String::new(),
        };
        let sum = match group.values[1] {
            clampbook::record::Value::Number(sum) => Some(sum),
            _ => None,
        };
        (name, group.count, sum)
    });
    assert_eq!(groups.collect::<Vec<_>>(), expected, "{question}");
    expected.len()
}

/// For one figure exactly one of under, = and over holds.
#[test]
fn one_of_under_equal_and_over_holds_for_each_figure() {
    let (book, rows, _) = &*BOOK;
    let mut random = StdRng::seed_from_u64(3);
    for _ in 0..300 {
        let field = pick(&mut random, &["torque", "clamp", "of-proof", "length", "qty", "k"]);
        let typed = figure(&mut random, field).typed();
        let mut times = std::collections::HashMap::new();
        for relation in ["under", "=", "over"] {
            let question = format!("{field} {relation} {typed}");
            for row in asked(&question, book, false).rows {
                // A range has many figures.
                if !format!("{:?}", row.setting.torque).contains("Between") || field != "torque" {
                    *times.entry(row.key).or_insert(0) += 1;
                }
            }
        }
        assert!(times.values().all(|times| *times == 1), "{field} {typed}");
        assert!(!times.is_empty() && times.len() <= rows.len(), "{field} {typed}");
    }
}
