//! The book's side.

use std::ops::ControlFlow;
use std::path::Path;
use std::time::{Duration, Instant};

use clampbook::intake::{EmptyBook, Options, Sheet, Sink, open_csv, reference, take_into};
use clampbook::query::{self, resolve, syntax};
use clampbook::record::{Fastener, Tables, field_words};
use clampbook::store::{Access, Book, Change, Figure, Loader, StoreError, Writer};
use clampbook::thread::Thread;

use crate::{Anyhow, data, median, milliseconds};

fn tables() -> Anyhow<Tables> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../seed-data/");
    let lubes = std::fs::read(format!("{folder}lubes.csv"))?;
    let strengths = std::fs::read(format!("{folder}strengths.csv"))?;
    Ok(Tables {
        lubes: reference::read_lubes(&lubes, "lubes.csv")?.records,
        strengths: reference::read_strengths(&strengths, "strengths.csv")?.records,
    })
}

/// A book with the reference tables.
pub(crate) fn create(book: &Path) -> Anyhow<Writer> {
    let mut writer = Writer::create(book)?;
    let tables = tables()?;
    let mut changes: Vec<Change> = tables.lubes.into_iter().map(Change::PutLube).collect();
    changes.extend(tables.strengths.into_iter().map(Change::PutStrength));
    writer.apply(changes)?;
    Ok(writer)
}

/// The settings without reading a file.
pub(crate) fn load(book: &Path, count: usize) -> Anyhow<()> {
    let mut writer = create(book)?;
    let mut loader = writer.load()?;
    data::fasteners(count).try_for_each(|fastener| loader.push(fastener))?;
    loader.finish()?;
    Ok(())
}

/// Fasteners on their way into the book.
struct Loading<'a> {
    loader: Loader<'a>,
    failed: Option<StoreError>,
}

impl Sink for Loading<'_> {
    fn put(&mut self, fastener: Fastener) -> ControlFlow<()> {
        match self.loader.push(fastener) {
            Ok(()) => ControlFlow::Continue(()),
            Err(error) => {
                self.failed = Some(error);
                ControlFlow::Break(())
            }
        }
    }
    fn start_over(&mut self) {
        self.failed = self.loader.start_over().err();
    }
}

fn take_up(sheet: &Sheet, tables: &Tables, writer: &mut Writer) -> Anyhow<()> {
    let mut loading = Loading { loader: writer.load()?, failed: None };
    let report = take_into(sheet, tables, &Options::default(), &EmptyBook, &mut loading)?;
    let Loading { loader, failed } = loading;
    failed.map_or(Ok(()), Err)?;
    if !report.is_sound() {
        let bad = report.bad_cells().next().map(|cell| format!("{cell:?}"));
        return Err(format!("not sound: {bad:?}").into());
    }
    loader.finish()?;
    Ok(())
}

/// The settings from a file, every cell read and checked.
pub(crate) fn import(book: &Path, file: &Path) -> Anyhow<()> {
    let start = Instant::now();
    let mut writer = Writer::open(book, Duration::ZERO)?;
    let sheet = open_csv(file, "settings")?;
    let tables = writer.book().tables().clone();
    take_up(&sheet, &tables, &mut writer)?;
    println!("{} {}", milliseconds(start.elapsed()), writer.book().info().settings);
    Ok(())
}

pub(crate) fn find(book: &Path, thread: &str) -> Anyhow<()> {
    let thread = Thread::parse(thread)?;
    let found = Book::open(book)?.find(&Access::Thread(thread.size(), thread.pitch()))?;
    for fastener in &found.fasteners {
        for setting in &fastener.settings {
            println!("{}|{}|{}", fastener.key, setting.in_words(), fastener.part);
        }
    }
    Ok(())
}

/// Where a first look-up spends its time, microseconds.
pub(crate) fn cold(book: &Path, thread: &str) -> Anyhow<()> {
    let thread = Thread::parse(thread)?;
    let access = Access::Thread(thread.size(), thread.pitch());
    let began = Instant::now();
    let book = Book::open(book)?;
    let opened = began.elapsed();
    let found = book.find(&access)?;
    let first = began.elapsed();
    let names = book.vocabulary()?.threads().count();
    let named = began.elapsed();
    drop(found);
    let other = Thread::parse("M6x1")?;
    let again = Instant::now();
    let other = Access::Or(vec![Access::Thread(other.size(), other.pitch()), access]);
    let estimate = book.estimate(&other);
    let again = again.elapsed();
    println!("open {opened:?}, find {:?}, names {:?}, estimate {again:?} {names} {estimate}", first - opened, named - first);
    Ok(())
}

pub(crate) fn range(book: &Path, low: f64, high: f64) -> Anyhow<()> {
    let book = Book::open(book)?;
    median(100, || {
        let found = book.find(&Access::Torque { low, high })?;
        let settings = found.fasteners.iter().flat_map(|f| &f.settings);
        let within = settings.filter(|setting| {
            setting.torque.is_some_and(|torque| {
                let (from, to) = (torque.low().map_or(0.0, |t| t.nm()), torque.high().nm());
                from <= high && to >= low
            })
        });
        Ok(within.count())
    })
}

pub(crate) fn figure(book: &Path, low: f64) -> Anyhow<()> {
    let book = Book::open(book)?;
    let access = Access::Figure { figure: Figure::OfProof, low, high: f64::MAX };
    median(20, || Ok(book.find(&access)?.fasteners.len()))
}

/// A question in process, the book open.
pub(crate) fn ask(book: &Path, question: &str) -> Anyhow<()> {
    let book = Book::open(book)?;
    let answer = || query::answer(question, &book).map(|answer| answer.rows.len());
    median(3, || answer().map_err(|error| error.to_string().into()))
}

/// Parse and resolve alone.
pub(crate) fn parse(book: &Path, question: &str) -> Anyhow<()> {
    let book = Book::open(book)?;
    let names = resolve::Names { vocabulary: book.vocabulary()?, tables: book.tables() };
    median(1000, || {
        let tree = syntax::parse(question, field_words()).map_err(|_| "not a question")?;
        resolve::resolve(&tree, names).map_err(|_| "not resolved")?;
        Ok(1)
    })
}

/// One edit: the book opened for changing, changed, durable.
pub(crate) fn edit(book: &Path) -> Anyhow<()> {
    let mut fastener = data::fasteners(400).last().ok_or("no fastener")?;
    let mut count = 0;
    median(30, || {
        count += 1;
        fastener.notes = Some(format!("edit {count}"));
        let mut writer = Writer::open(book, Duration::ZERO)?;
        writer.apply(vec![fastener.clone().into()])?;
        Ok(1)
    })
}
