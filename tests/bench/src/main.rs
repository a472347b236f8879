//! Measures the store beside SQLite on the same invented settings.
//!
//! `bench load BOOK COUNT`, `bench find BOOK THREAD`, `bench range BOOK`.

mod data;

use std::path::Path;
use std::time::{Duration, Instant};

use clampbook::intake::reference;
use clampbook::record::Tables;
use clampbook::store::{Access, Book, Change, Writer};
use clampbook::thread::Thread;

type Anyhow<T> = Result<T, Box<dyn std::error::Error>>;

fn main() -> Anyhow<()> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words.as_slice() {
        ["load", book, count] => load(Path::new(book), count.parse()?),
        ["find", book, thread] => find(Path::new(book), thread),
        ["range", book] => range(Path::new(book)),
        ["scan", book] => scan(Path::new(book)),
        ["edit", book] => edit(Path::new(book)),
        ["compact", book] => {
            Writer::open(Path::new(book), Duration::ZERO)?.compact()?;
            Ok(())
        }
        _ => Err("see the top of src/main.rs".into()),
    }
}

fn tables() -> Anyhow<Tables> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../seed-data/");
    let lubes = std::fs::read(format!("{folder}lubes.csv"))?;
    let strengths = std::fs::read(format!("{folder}strengths.csv"))?;
    Ok(Tables {
        lubes: reference::read_lubes(&lubes, "lubes.csv")?.records,
        strengths: reference::read_strengths(&strengths, "strengths.csv")?.records,
    })
}

fn scan(book: &Path) -> Anyhow<()> {
    let book = Book::open(book)?;
    let start = Instant::now();
    let mut count = 0;
    book.each(&Access::All, &mut |f| {
        count += f.settings.len();
        std::ops::ControlFlow::Continue(())
    })?;
    println!("{count} settings decoded in {:?}", start.elapsed());
    let fasteners: Vec<_> = data::fasteners(50_000).collect();
    let start = Instant::now();
    let mut sum = 0.0;
    for f in &fasteners {
        for s in &f.settings {
            sum += clampbook::record::derive(f, s, book.tables()).of_proof.unwrap_or(0.0);
        }
    }
    println!("derive of 50,000 settings in {:?} ({sum})", start.elapsed());
    Ok(())
}

fn load(book: &Path, count: usize) -> Anyhow<()> {
    let start = Instant::now();
    let mut writer = Writer::create(book)?;
    let tables = tables()?;
    let mut changes: Vec<Change> = tables.lubes.into_iter().map(Change::PutLube).collect();
    changes.extend(tables.strengths.into_iter().map(Change::PutStrength));
    writer.apply(changes)?;
    let mut loader = writer.load()?;
    for fastener in data::fasteners(count) {
        loader.push(fastener)?;
    }
    println!("pushed {:?}", start.elapsed());
    loader.finish()?;
    println!("loaded {:?}, {:?}", start.elapsed(), writer.book().info());
    Ok(())
}

fn find(book: &Path, thread: &str) -> Anyhow<()> {
    let thread = Thread::parse(thread)?;
    let found = Book::open(book)?.find(&Access::Thread(thread.size(), thread.pitch()))?;
    for fastener in &found.fasteners {
        for setting in &fastener.settings {
            println!("{}|{}|{}", fastener.key, setting.in_words(), fastener.part);
        }
    }
    Ok(())
}

fn range(book: &Path) -> Anyhow<()> {
    let book = Book::open(book)?;
    let mut times = Vec::new();
    let mut count = 0;
    for _ in 0..100 {
        let start = Instant::now();
        let found = book.find(&Access::Torque { low: 77.71, high: 77.89 })?;
        times.push(start.elapsed());
        count = found.fasteners.len();
    }
    println!("first {:?}", times[0]);
    times.sort();
    println!("{count} rows, median {:?}", times[50]);
    Ok(())
}

fn edit(book: &Path) -> Anyhow<()> {
    let fastener = data::fasteners(400).last().ok_or("none")?;
    for _ in 0..5 {
        let start = Instant::now();
        let mut writer = Writer::open(book, Duration::ZERO)?;
        writer.apply(vec![fastener.clone().into()])?;
        let applied = start.elapsed();
        drop(writer);
        println!("applied {applied:?}, closed {:?}", start.elapsed());
    }
    Ok(())
}
