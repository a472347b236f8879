//! What a command answers, before it is drawn: blocks for people and data for
//! programs, made together so that neither can forget what the other says.
//!
//! A [`Table`] holds its records and, for each column, a function over one of
//! them; nothing is drawn before `render` knows the format and the width.

use std::borrow::Cow;
use std::io;
use std::rc::Rc;

use serde_json::{Map, Value};

use crate::report::grid::{Grid, GridRow};
use crate::report::lay::{TIE, indented, width};
use crate::report::style::{Style, Tone};

/// A key of the data, lower_snake with the SI unit as suffix.
pub(crate) type Key = Cow<'static, str>;

/// The answer of a command.
#[derive(Default)]
pub struct Page<'a> {
    pub(super) blocks: Vec<Block<'a>>,
    pub(super) data: Vec<(Key, Data<'a>)>,
}

/// What a person reads, from top to bottom.
pub(super) enum Block<'a> {
    /// Prose, wrapped.
    Prose(Tone, String),
    /// Prose for which a row of CSV has no place: there it goes to stderr.
    Remark(Tone, String),
    /// Names at the left, values beside them.
    Facts(Vec<Fact>),
    Table(Rc<dyn Columns + 'a>),
    /// A block that lays itself out: a map, a figure of many lines. `true` as for
    /// a remark.
    Drawn(Drawing<'a>, bool),
    /// The same, line by line, where there may be very many.
    Long(LongDrawing<'a>),
    Blank,
}

type Drawing<'a> = Box<dyn Fn(usize, Style) -> Vec<String> + 'a>;

/// Lines for a width and a style, written one after the other.
type LongDrawing<'a> = Box<dyn Fn(usize, Style, &mut TakeLine<'_>) -> io::Result<()> + 'a>;

/// What becomes of a line: it is written.
pub(crate) type TakeLine<'t> = dyn FnMut(&str) -> io::Result<()> + 't;

/// A name and a value.
pub(super) struct Fact {
    pub(super) name: Cow<'static, str>,
    pub(super) text: String,
    /// Copied from the page, so never wrapped: a path.
    pub(super) is_whole: bool,
}

/// What stands under a key of the data.
pub(super) enum Data<'a> {
    /// Beside the rows: CSV, which has no place for it, leaves it to the remarks.
    Value(Value),
    /// Part of what was asked for: in CSV it is a line of its own.
    Fact(Value),
    /// The main rows; a page may have several kinds.
    Rows(Rc<dyn Rows + 'a>),
}

/// What becomes of a row: it is written.
pub(crate) type TakeRow<'t> = dyn FnMut(Map<String, Value>) -> io::Result<()> + 't;

/// Rows for a program. They are formed one at a time, so that a long answer is
/// never held twice.
pub(crate) trait Rows {
    /// The columns of CSV, known before there is a row.
    fn keys(&self) -> Vec<Key>;
    /// Calls `take` with each row and all its keys; JSON shows more than the columns
    /// where it has more.
    fn each(&self, take: &mut TakeRow<'_>) -> io::Result<()>;
}

/// Rows for a person, whose cells are formed when they are drawn.
pub(crate) trait Columns {
    fn grid(&self) -> Grid;
}

impl<'a> Page<'a> {
    /// A page with nothing on it.
    pub fn new() -> Self {
        Self::default()
    }

    pub(crate) fn prose(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Prose(Tone::Plain, text.into()));
    }

    pub(crate) fn toned(&mut self, tone: Tone, text: impl Into<String>) {
        self.blocks.push(Block::Prose(tone, text.into()));
    }

    /// Prose two columns in.
    pub(crate) fn indented(&mut self, text: impl Into<String>) {
        let text = text.into();
        self.drawn(move |width, _| indented(&text, width));
    }

    /// What is said beside the data.
    pub(crate) fn remark(&mut self, tone: Tone, text: impl Into<String>) {
        self.blocks.push(Block::Remark(tone, text.into()));
    }

    pub(crate) fn blank(&mut self) {
        self.blocks.push(Block::Blank);
    }

    pub(crate) fn drawn(&mut self, lines: impl Fn(usize, Style) -> Vec<String> + 'a) {
        self.blocks.push(Block::Drawn(Box::new(lines), false));
    }

    /// The same, line by line.
    pub(crate) fn drawn_long(
        &mut self,
        lines: impl Fn(usize, Style, &mut TakeLine<'_>) -> io::Result<()> + 'a,
    ) {
        self.blocks.push(Block::Long(Box::new(lines)));
    }

    /// The same, beside the data.
    pub(crate) fn drawn_beside(&mut self, lines: impl Fn(usize, Style) -> Vec<String> + 'a) {
        self.blocks.push(Block::Drawn(Box::new(lines), true));
    }

    /// A page of one table.
    pub(crate) fn of_table<R: 'a>(key: impl Into<Key>, table: Table<'a, R>) -> Self {
        let mut page = Self::new();
        page.table(key, table);
        page
    }

    /// A name and a value, for people alone.
    pub(crate) fn shown(&mut self, name: impl Into<Cow<'static, str>>, text: impl Into<String>) {
        self.line(Fact { name: name.into(), text: text.into(), is_whole: false });
    }

    /// The same, never wrapped.
    pub(crate) fn shown_whole(&mut self, name: &'static str, text: impl Into<String>) {
        self.line(Fact { name: name.into(), text: text.into(), is_whole: true });
    }

    fn line(&mut self, fact: Fact) {
        match self.blocks.last_mut() {
            Some(Block::Facts(facts)) => facts.push(fact),
            _ => self.blocks.push(Block::Facts(vec![fact])),
        }
    }

    /// A value, for programs alone.
    pub(crate) fn value(&mut self, key: impl Into<Key>, value: impl Into<Value>) {
        self.data.push((key.into(), Data::Value(value.into())));
    }

    /// A value that belongs to the answer itself, for programs alone.
    pub(crate) fn fact(&mut self, key: impl Into<Key>, value: impl Into<Value>) {
        self.data.push((key.into(), Data::Fact(value.into())));
    }

    /// A table for both, its rows under `key`.
    pub(crate) fn table<R: 'a>(&mut self, key: impl Into<Key>, table: Table<'a, R>) {
        let table = Rc::new(table);
        if !table.records.is_empty() {
            self.blocks.push(Block::Table(Rc::clone(&table) as Rc<dyn Columns + 'a>));
        }
        self.data.push((key.into(), Data::Rows(table)));
    }

    /// A table for people alone.
    pub(crate) fn shown_table<R: 'a>(&mut self, table: Table<'a, R>) {
        if !table.records.is_empty() {
            self.blocks.push(Block::Table(Rc::new(table)));
        }
    }

    /// Rows for programs alone.
    pub(crate) fn rows(&mut self, key: impl Into<Key>, rows: impl Rows + 'a) {
        self.data.push((key.into(), Data::Rows(Rc::new(rows))));
    }
}

/// Records with what is drawn of each.
pub(crate) struct Table<'a, R> {
    records: Vec<R>,
    columns: Vec<(Head, Box<dyn Fn(&R) -> String + 'a>)>,
    keys: Vec<(Key, Box<dyn Fn(&R) -> Value + 'a>)>,
}

impl<'a, R> Table<'a, R> {
    pub(crate) fn new(records: impl IntoIterator<Item = R>) -> Self {
        Self { records: records.into_iter().collect(), columns: Vec::new(), keys: Vec::new() }
    }

    /// A column for people.
    pub(crate) fn column<C: Into<String>>(
        mut self,
        head: Head,
        cell: impl Fn(&R) -> C + 'a,
    ) -> Self {
        self.columns.push((head, Box::new(move |record| cell(record).into())));
        self
    }

    pub(crate) fn objects(&self) -> impl Iterator<Item = Map<String, Value>> {
        let object =
            |record| self.keys.iter().map(move |(key, value)| (key.to_string(), value(record)));
        self.records.iter().map(move |record| object(record).collect())
    }

    /// A key for programs.
    pub(crate) fn key<V: Into<Value>>(
        mut self,
        key: impl Into<Key>,
        value: impl Fn(&R) -> V + 'a,
    ) -> Self {
        self.keys.push((key.into(), Box::new(move |record| value(record).into())));
        self
    }
}

impl<R> Rows for Table<'_, R> {
    fn keys(&self) -> Vec<Key> {
        self.keys.iter().map(|(key, _)| key.clone()).collect()
    }

    fn each(&self, take: &mut TakeRow<'_>) -> io::Result<()> {
        self.objects().try_for_each(take)
    }
}

impl<R> Columns for Table<'_, R> {
    fn grid(&self) -> Grid {
        let cells = |record: &R| self.columns.iter().map(|(_, cell)| cell(record)).collect();
        let row = |record: &R| GridRow { cells: cells(record), ..GridRow::default() };
        Grid {
            heads: self.columns.iter().map(|(head, _)| head.clone()).collect(),
            rows: self.records.iter().map(row).collect(),
        }
    }
}

/// A word longer than this may be broken.
const LONG_WORD: usize = 16;

/// The heading of a column, and whether its cells may be wrapped.
#[derive(Debug, Clone)]
pub(crate) struct Head {
    pub(crate) text: String,
    /// The width below which it is not wrapped; none for figures.
    pub(crate) wraps_to: Option<usize>,
    pub(crate) right: bool,
}

impl Head {
    /// A column whose cells are never broken.
    pub(crate) fn solid(text: impl Into<String>) -> Self {
        Self { text: text.into(), wraps_to: None, right: false }
    }

    /// A column of words, which may be wrapped down to `least` columns.
    pub(crate) fn words(text: impl Into<String>, least: usize) -> Self {
        Self { text: text.into(), wraps_to: Some(least), right: false }
    }

    /// The width down to which it may be wrapped: no word of usual length is broken, no
    /// figure at all. None where it is not wrapped.
    pub(super) fn least<'c>(&self, cells: impl Iterator<Item = &'c String>) -> Option<usize> {
        let words = cells.flat_map(|cell| cell.split(' '));
        let longest = words.map(|word| match (word.contains(TIE), width(word)) {
            (true, columns) => columns,
            (false, columns) => columns.min(LONG_WORD),
        });
        Some(self.wraps_to?.max(longest.max().unwrap_or(0)).max(width(&self.text)))
    }

    /// A column of plain numbers, flush right.
    pub(crate) fn number(text: impl Into<String>) -> Self {
        Self { text: text.into(), wraps_to: None, right: true }
    }
}
