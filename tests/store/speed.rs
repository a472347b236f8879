//! How many settings a second are decoded when a whole book is read:
//! `cargo test --release --test store speed -- --ignored --nocapture`.

use std::ops::ControlFlow;
use std::time::Instant;

use clampbook::store::{Access, Book, Writer};

use crate::sample;

const FASTENERS: u64 = 100_000;

#[test]
#[ignore = "a measurement"]
fn decoding() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().join("book");
    let mut writer = Writer::create(&dir).unwrap();
    let mut loader = writer.load().unwrap();
    for n in 0..FASTENERS {
        loader.push(sample::numbered(n)).unwrap();
    }
    loader.finish().unwrap();
    drop(writer);
    let mut best = f64::INFINITY;
    for _ in 0..7 {
        let book = Book::open(&dir).unwrap();
        let began = Instant::now();
        let mut read = 0;
        book.each(&Access::All, &mut |fastener| {
            read += fastener.settings.len();
            ControlFlow::Continue(())
        })
        .unwrap();
        assert_eq!(read as u64, book.info().settings);
        best = best.min(began.elapsed().as_secs_f64() / read as f64);
    }
    println!("{:.0} settings a second", 1.0 / best);
    println!("{} bytes on the disk", Book::open(&dir).unwrap().info().bytes);
}
