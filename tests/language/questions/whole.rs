//! Words of the demo shop's own sheets by chance, through the whole of a question: from
//! text to rows, and what an answer or an error says besides. Each is answered.

use std::panic::catch_unwind;

use clampbook::query::answer;
use clampbook::store::Book;
use rand::rngs::StdRng;
use rand::seq::IndexedRandom;
use rand::{Rng, SeedableRng};

use crate::program::demo_shop;

/// How many texts, or `CLAMPBOOK_FUZZ`; each takes a tenth of a second without optimisation.
const COUNT: u64 = 100;

/// What stands between the words of people.
const SMALL: &[&str] = &[
    "and",
    "or",
    ",",
    "not",
    "with",
    "without",
    "no",
    "has",
    "lacks",
    "how many",
    "by",
    "per",
    "highest",
    "over 20 N.m",
    "bolts",
    "the",
    "for",
    "in",
    "first 2",
    "sort torque",
    "tally joint",
];

/// The words of each row, headings before them.
fn words() -> Vec<Vec<String>> {
    let sheet: &[u8] = include_bytes!("../../../seed-data/demo.csv");
    let rows = csv::ReaderBuilder::new().flexible(true).has_headers(false).from_reader(sheet);
    let rows = rows.into_records().map(|row| row.unwrap());
    let words = |row: csv::StringRecord| {
        let cells = row.iter().flat_map(|cell| cell.split([' ', ',', '/', ';']));
        cells.filter(|word| !word.is_empty()).map(str::to_owned).collect()
    };
    rows.map(words).collect()
}

/// Some words of one row, so that most find something, now and then one of another.
fn text(rows: &[Vec<String>], chance: &mut StdRng) -> String {
    let row = rows[1..].choose(chance).unwrap();
    let count = chance.random_range(1..5);
    let mut words = Vec::with_capacity(2 * count);
    for _ in 0..count {
        if chance.random_bool(0.25) {
            words.push(*SMALL.choose(chance).unwrap());
        }
        let from = if chance.random_bool(0.1) { rows.choose(chance).unwrap() } else { row };
        words.push(from.choose(chance).unwrap());
    }
    words.join(" ")
}

#[test]
fn words_of_the_shop_in_any_order_are_answered() {
    let count = std::env::var("CLAMPBOOK_FUZZ").map_or(COUNT, |count| count.parse().unwrap());
    let home = demo_shop();
    let book = Book::open(&home.path().join("data/clampbook")).expect("the demo");
    let (rows, mut chance) = (words(), StdRng::seed_from_u64(3));
    let (mut found, mut failed) = (0, Vec::new());
    for _ in 0..count {
        let text = text(&rows, &mut chance);
        match catch_unwind(std::panic::AssertUnwindSafe(|| answer(&text, &book))) {
            Ok(Ok(answer)) => found += u64::from(!answer.rows.is_empty()),
            Ok(Err(_)) => {}
            Err(_) => failed.push(text),
        }
    }
    assert!(failed.is_empty(), "{failed:#?}");
    assert!(found * 4 > count, "{found} of {count} find rows");
}
