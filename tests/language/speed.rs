//! How long a typical question takes to parse and resolve: printed, not judged,
//! since a machine under load is no yardstick. At most 50 µs is the aim.
//!
//! `cargo test --release --test language speed -- --ignored --nocapture`

use std::hint::black_box;
use std::time::Instant;

use clampbook::query::ear::hear;
use clampbook::query::resolve::{Names, resolve};
use clampbook::query::syntax::parse;
use clampbook::record::field_words;
use clampbook::store::{Book, Writer};

#[test]
#[ignore = "a measurement"]
fn parse_and_resolve() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("book");
    drop(Writer::create(&path).expect("a book"));
    let book = Book::open(&path).expect("the book");
    let question =
        "7/16-20 stud torque over 60 N.m show part, torque, clamp sort torque down first 10";
    let mut times: Vec<u128> = (0..10_000)
        .map(|_| {
            let began = Instant::now();
            let names = Names {
                vocabulary: book.vocabulary().expect("names"),
                tables: book.tables(),
                is_second: false,
            };
            let heard = hear(black_box(question), names.vocabulary).expect("a question");
            let tree = parse(&heard.text, field_words()).expect("a question");
            black_box(resolve(&tree, names).expect("a question"));
            began.elapsed().as_nanos()
        })
        .collect();
    times.sort_unstable();
    println!("parse and resolve: median {} ns of {} runs", times[times.len() / 2], times.len());
}
