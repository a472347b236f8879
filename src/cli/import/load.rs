//! The way of a file into the book: a short one as a list of changes, a long
//! one fastener by fastener into a bulk load. Either is one change: until its
//! end, and if it is broken off, the book is as it was.

use std::ops::ControlFlow;

use crate::cli::exit::{Failure, refused};
use crate::cli::globals::Globals;
use crate::cli::import::own::Own;
use crate::cli::known::BookLookup;
use crate::cli::progress::Progress;
use crate::intake::{self, Options, Report, Sheet, Sink, take_into};
use crate::record::{Fastener, Tables};
use crate::store::{Book, Change, Loader, StoreError, Writer};

/// What is done with the rows that cannot be taken, where the others are.
pub(super) type Leftovers<'a> = &'a dyn Fn(&Report, &Tables) -> Result<(), Failure>;

pub(super) fn look(
    globals: &Globals,
    sheet: &Sheet,
    options: &Options,
    book: &Book,
) -> Result<Report, Failure> {
    let mut nowhere = Loading::new(None, Progress::measured("reading", globals));
    let known = BookLookup::new(book, sheet)?;
    let own = Own::new(book, sheet)?;
    let report = take_into(sheet, &own.tables, options, &known, &mut nowhere);
    known.sound()?;
    let mut report = report.map_err(refused)?;
    own.say(&mut report);
    Ok(report)
}

/// Takes `sheet` into the book: whole or not at all, or, with `leftovers`, its
/// sound rows.
pub(super) fn load(
    sheet: &Sheet,
    options: &Options,
    writer: &mut Writer,
    leftovers: Option<Leftovers<'_>>,
    globals: &Globals,
) -> Result<Report, Failure> {
    let own = Own::new(writer.book(), sheet)?;
    let is_bulk = sheet.is_big() || writer.book().info().fasteners == 0;
    if is_bulk && own.changes.is_empty() {
        let mut report = bulk(sheet, options, writer, leftovers, globals)?;
        own.say(&mut report);
        return Ok(report);
    }
    let _progress = Progress::spinner("importing", globals);
    let mut report = {
        let known = BookLookup::new(writer.book(), sheet)?;
        let report = intake::take(sheet, &own.tables, options, &known);
        known.sound()?;
        report.map_err(refused)?
    };
    own.say(&mut report);
    if settled(&report, &own.tables, leftovers)? {
        let fasteners = report.fasteners.iter().cloned().map(Change::from);
        writer.apply(own.changes.into_iter().chain(fasteners).collect())?;
    }
    Ok(report)
}

fn settled(
    report: &Report,
    tables: &Tables,
    leftovers: Option<Leftovers<'_>>,
) -> Result<bool, Failure> {
    match leftovers {
        _ if report.is_sound() => Ok(true),
        Some(leftovers) => leftovers(report, tables).map(|()| true),
        None => Ok(false),
    }
}

fn bulk(
    sheet: &Sheet,
    options: &Options,
    writer: &mut Writer,
    leftovers: Option<Leftovers<'_>>,
    globals: &Globals,
) -> Result<Report, Failure> {
    // The book as it is, open beside the writer.
    let book = writer.book().again()?;
    let known = BookLookup::new(&book, sheet)?;
    let bar = Progress::measured("importing", globals);
    let mut loading = Loading::new(Some(writer.load()?), bar);
    let report = take_into(sheet, book.tables(), options, &known, &mut loading);
    let Loading { loader, taken, failed, bar } = loading;
    drop(bar);
    failed.map_or(Ok(()), Err)?;
    known.sound()?;
    let report = report.map_err(refused)?;
    // Without anything new the loader leaves the book as it is.
    if settled(&report, book.tables(), leftovers)? && taken > 0 {
        loader.map_or(Ok(0), Loader::finish)?;
    }
    Ok(report)
}

/// Where fasteners go; without a loader they are counted alone, in a dry run.
struct Loading<'a> {
    loader: Option<Box<dyn Loader + 'a>>,
    taken: usize,
    failed: Option<StoreError>,
    bar: Progress,
}

impl<'a> Loading<'a> {
    fn new(loader: Option<Box<dyn Loader + 'a>>, bar: Progress) -> Self {
        Self { loader, taken: 0, failed: None, bar }
    }

    /// What the loader says; the next fastener meets its error.
    fn note(
        &mut self,
        act: impl FnOnce(&mut (dyn Loader + 'a)) -> Result<(), StoreError>,
    ) -> ControlFlow<()> {
        match self.loader.as_deref_mut().map_or(Ok(()), act) {
            Ok(()) => ControlFlow::Continue(()),
            Err(error) => {
                self.failed.get_or_insert(error);
                ControlFlow::Break(())
            }
        }
    }
}

impl Sink for Loading<'_> {
    fn put(&mut self, fastener: Fastener) -> ControlFlow<()> {
        self.taken += 1;
        self.note(|loader| loader.push(fastener))
    }

    fn start_over(&mut self) {
        self.taken = 0;
        let _ = self.note(Loader::start_over);
    }

    fn walked(&mut self, share: f64) {
        self.bar.share(share, self.taken);
    }
}
