//! Heading rows found, and every row below them told apart: entries, titles,
//! units, totals, notes, another table.

use std::collections::HashMap;

use crate::intake::header::{Column, Heading, Weight, read_heading};
use crate::intake::leftovers::WHY;
use crate::intake::names::Names;
use crate::intake::row::Footnotes;
use crate::intake::split::RawRow;
use crate::intake::survey::content::starts_with_thread;
use crate::intake::survey::tell::{
    adds_up, filled, footnote, is_again, is_corner, over_threads, pointed_at, score,
};
use crate::intake::survey::titles;
use crate::intake::words::{NOTE, OLD, TOTAL, TOTAL_ALONE, TOTAL_ENDS, plain_words};
use crate::intake::{Options, Sheet};

/// How many rows at the top of a table may be titles.
const HEADER_WITHIN: usize = 30;
/// A title is short.
const LONGEST_TITLE: usize = 70;

/// A table whose columns are not settled yet.
#[derive(Debug)]
pub(super) struct TableFound {
    pub(super) page: u16,
    pub(super) header: u32,
    pub(super) headings: Vec<Heading>,
    pub(super) titles: Vec<Vec<String>>,
    /// The last title stands directly above the headings.
    pub(super) is_title_close: bool,
    /// Index of its entries among the rows.
    pub(super) entries: Vec<usize>,
    /// Sentences below the entries.
    pub(super) below: Vec<String>,
    /// Titles among the entries, with the index of their row.
    pub(super) sections: Vec<(usize, String)>,
}

/// What is known of a row that is no entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Other {
    Skip,
    Section,
    Remark,
}

/// Walks the rows of a file and finds where tables begin and end.
pub(super) struct Finder<'a> {
    pub(super) sheet: &'a Sheet,
    pub(super) names: &'a Names<'a>,
    pub(super) options: &'a Options,
    pub(super) tables: Vec<TableFound>,
    pub(super) marks: HashMap<(u16, u32), Other>,
    pub(super) footnotes: HashMap<u16, Footnotes>,
    /// Worksheets that are called old.
    pub(super) old: Vec<u16>,
    /// Rows of pages without headings.
    pub(super) lost: Vec<(u16, usize)>,
    /// Index of the first row of the page among all rows.
    base: usize,
    seen: Vec<u16>,
}

impl<'a> Finder<'a> {
    pub(super) fn new(sheet: &'a Sheet, names: &'a Names<'a>, options: &'a Options) -> Self {
        let (tables, marks, footnotes) = Default::default();
        let (lost, old, base, seen) = Default::default();
        Self { sheet, names, options, tables, marks, footnotes, old, lost, base, seen }
    }

    /// A page without rows that has headings all the same.
    pub(super) fn empty_page(&mut self, page: u16) {
        let known = self.sheet.pages.get(usize::from(page)).and_then(|page| page.headings.as_ref());
        if let Some(headings) = known.filter(|_| !self.seen.contains(&page)) {
            let headings = headings.iter().map(|text| self.heading(text)).collect();
            self.tables.push(TableFound::new(page, 0, headings));
        }
    }

    /// Looks at the rows of one page.
    pub(super) fn page(&mut self, rows: &[RawRow]) {
        let page = rows.first().map_or(0, |row| row.page);
        self.seen.push(page);
        if self.is_old(page) {
            self.old.push(page);
            let filled = rows.iter().filter(|row| !row.is_blank());
            self.marks.extend(filled.map(|row| ((row.page, row.line), Other::Skip)));
            self.base += rows.len();
            return;
        }
        let known = self.sheet.pages.get(usize::from(page)).and_then(|page| page.headings.clone());
        let mut at = 0;
        if let Some(headings) = known {
            let headings = headings.iter().map(|text| self.heading(text)).collect();
            self.tables.push(TableFound::new(page, 0, headings));
            at = self.body(rows, 0, &[]);
        }
        let mut is_first = true;
        while let Some((header, headings)) = self.header(&rows[at..], is_first) {
            is_first = false;
            at = self.table(rows, at, at + header, headings);
        }
        let rest = rows[at..].iter().filter(|row| !row.is_blank()).count();
        for row in rows[at..].iter().filter(|row| !row.is_blank()) {
            self.marks.insert((row.page, row.line), Other::Remark);
        }
        if rest > 0 && !self.tables.iter().any(|table| table.page == page) {
            self.lost.push((page, rest));
        }
        self.base += rows.len();
    }

    /// A worksheet that is called old, beside others.
    fn is_old(&self, page: u16) -> bool {
        let name = self.sheet.pages.get(usize::from(page)).map(|page| plain_words(&page.name));
        let is_old = |name: String| name.split(' ').any(|word| OLD.contains(&word));
        self.sheet.pages.len() > 1 && name.is_some_and(is_old)
    }

    pub(super) fn heading(&self, text: &str) -> Heading {
        let meaning = self.options.columns.meanings.get(&plain_words(text)).map(String::as_str);
        let own = || read_heading(text, self.names);
        match meaning {
            _ if text == WHY => Heading { column: Column::LeftOut, weight: Weight::Named, ..own() },
            Some("") => Heading { column: Column::LeftOut, weight: Weight::Named, ..own() },
            Some(meaning) => Heading {
                text: text.trim().to_owned(),
                weight: Weight::Named,
                others: Vec::new(),
                ..read_heading(meaning, self.names)
            },
            None => own(),
        }
    }

    /// The next heading row among `rows`: where it stands, and its headings.
    fn header(&self, rows: &[RawRow], is_first: bool) -> Option<(usize, Vec<Heading>)> {
        let wanted = self.options.header_row.filter(|_| is_first);
        let mut best: Option<(usize, usize, Vec<Heading>)> = None;
        let mut looked = 0;
        for (at, row) in rows.iter().enumerate() {
            if row.is_blank() || row.is_rule() {
                continue;
            }
            if let Some(line) = wanted {
                if row.line == line {
                    let headings = row.cells().map(|text| self.heading(text)).collect();
                    return Some((at, headings));
                }
                continue;
            }
            looked += 1;
            if looked > HEADER_WITHIN {
                break;
            }
            let headings: Vec<Heading> = row.cells().map(|text| self.heading(text)).collect();
            if is_corner(rows, at, &headings) {
                return Some((at, headings));
            }
            let scored = score(row, &headings).or_else(|| over_threads(rows, at, &headings));
            if let Some((points, is_sure)) = scored {
                if best.as_ref().is_none_or(|(_, most, _)| points > *most) {
                    best = Some((at, points, headings));
                }
                if is_sure && !self.is_title_above(rows, at, points) {
                    break;
                }
            }
        }
        best.map(|(at, _, headings)| (at, headings))
    }

    /// Whether a row of few cells is a title cut at its comma, over fuller headings.
    fn is_title_above(&self, rows: &[RawRow], at: usize, points: usize) -> bool {
        let few = filled(&rows[at]).count();
        let Some(next) = rows[at + 1..].iter().find(|row| !row.is_blank()) else { return false };
        if few > 3 || filled(next).count() <= few || !rows[at].cell(0).contains(' ') {
            return false;
        }
        let headings: Vec<Heading> = next.cells().map(|text| self.heading(text)).collect();
        score(next, &headings).is_some_and(|(more, is_sure)| is_sure && more > points)
    }

    /// One table whose headings stand at `header`; where the next may start.
    fn table(
        &mut self,
        rows: &[RawRow],
        from: usize,
        header: usize,
        headings: Vec<Heading>,
    ) -> usize {
        let row = &rows[header];
        let mut found = TableFound::new(row.page, row.line, headings);
        let mut body = header + 1;
        let above: Vec<&RawRow> = rows[from..header].iter().filter(|row| !row.is_blank()).collect();
        let mut titles = above.as_slice();
        if let Some((last, rest)) = above.split_last()
            && self.is_over(last, &found.headings)
        {
            found.headings = self.combined(last, row);
            titles = rest;
        }
        found.is_title_close = titles.last().is_some_and(|title| {
            let at = rows[..header].iter().position(|row| row.line == title.line);
            at.is_some_and(|at| !rows[at + 1..header].iter().any(RawRow::is_blank))
        });
        for row in &rows[from..=header] {
            self.marks.insert((row.page, row.line), Other::Skip);
        }
        found.titles = self.titles(titles);
        if let Some(rule) = rows.get(body).filter(|row| row.is_rule()) {
            self.marks.insert((rule.page, rule.line), Other::Skip);
            body += 1;
        }
        if let Some(next) = rows.get(body)
            && self.unit_row(next, &found.headings).is_none_or(|units| units.has_words)
            && self.is_second(next, &found.headings)
        {
            found.headings = self.combined(row, next);
            self.marks.insert((next.page, next.line), Other::Skip);
            body += 1;
        } else if self.names_under(&rows[body.min(rows.len())..], &mut found.headings) {
            self.marks.insert((row.page, rows[body].line), Other::Skip);
            body += 1;
        }
        if let Some(next) = rows.get(body)
            && let Some(units) = self.unit_row(next, &found.headings)
        {
            let other = if units.has_words { Other::Remark } else { Other::Skip };
            self.give_units(&mut found.headings, next, units);
            self.marks.insert((next.page, next.line), other);
            body += 1;
        }
        self.tables.push(found);
        let texts: Vec<String> = row.cells().map(str::to_owned).collect();
        self.body(rows, body, &texts)
    }

    /// The titles among the rows above headings. Rows of a thread and more are none: they are
    /// told, as nothing says what their cells are.
    fn titles(&mut self, above: &[&RawRow]) -> Vec<Vec<String>> {
        let is_entry = |row: &RawRow| {
            filled(row).count() > 2 && filled(row).any(|(_, text)| starts_with_thread(text))
        };
        let (entries, titles): (Vec<&RawRow>, Vec<&RawRow>) =
            above.iter().partition(|row| is_entry(row));
        if let Some(first) = entries.first() {
            self.lost.push((first.page, entries.len()));
        }
        self.marks.extend(entries.iter().map(|row| ((row.page, row.line), Other::Remark)));
        for (page, mark, words) in titles.iter().flat_map(|row| {
            let legends = filled(row).flat_map(|(_, text)| titles::legends(text));
            legends.map(|(mark, words)| (row.page, mark, words))
        }) {
            self.footnotes.entry(page).or_default().entry(mark).or_insert(words);
        }
        let texts = |row: &RawRow| filled(row).map(|(_, text)| text.to_owned()).collect();
        titles.into_iter().map(texts).collect()
    }

    /// Walks the rows of a table; where the next table may start.
    fn body(&mut self, rows: &[RawRow], from: usize, headings: &[String]) -> usize {
        let mut gap = false;
        let mut at = from;
        while at < rows.len() {
            let row = &rows[at];
            if row.is_blank() {
                gap = true;
                at += 1;
                continue;
            }
            let cells: Vec<(usize, &str)> = filled(row).collect();
            if row.is_rule() || is_again(row, headings) {
                self.marks.insert((row.page, row.line), Other::Skip);
            } else if self.starts_table(rows, at, gap) {
                return at;
            } else if let Some(other) = self.other(rows, at, &cells, gap) {
                if other == Other::Section && self.leads_to_headings(rows, at) {
                    return at;
                }
                let is_remark = other == Other::Remark;
                if let Some(table) = self.tables.last_mut().filter(|_| is_remark) {
                    let words: Vec<&str> = cells.iter().map(|(_, text)| *text).collect();
                    table.below.push(words.join(", "));
                }
                if other == Other::Section {
                    let text = cells[0].1.to_owned();
                    if let Some(table) = self.tables.last_mut() {
                        table.sections.push((self.base + at, text));
                    }
                }
                self.marks.insert((row.page, row.line), other);
                // What follows the title of another table starts it.
                gap = is_remark;
                at += 1;
                continue;
            } else if let Some(table) = self.tables.last_mut() {
                table.entries.push(self.base + at);
            }
            gap = false;
            at += 1;
        }
        at
    }

    /// Whether headings follow within a few titles.
    fn leads_to_headings(&self, rows: &[RawRow], at: usize) -> bool {
        let mut next = rows[at + 1..].iter().filter(|row| !row.is_blank()).take(3);
        let mut seen = Vec::new();
        for row in next.by_ref() {
            seen.push(row);
            if filled(row).count() > 1 {
                break;
            }
        }
        let Some(last) = seen.last() else { return false };
        let headings: Vec<Heading> = last.cells().map(|text| self.heading(text)).collect();
        filled(last).count() > 1 && score(last, &headings).is_some()
    }

    /// Whether other headings, or a table of another kind, start here.
    fn starts_table(&self, rows: &[RawRow], at: usize, gap: bool) -> bool {
        let row = &rows[at];
        let cells: Vec<&str> = filled(row).map(|(_, text)| text).collect();
        if cells.len() < 2
            || cells.iter().any(|text| text.contains(['x', '-', '/']) && starts_with_thread(text))
        {
            return false;
        }
        let with_digits = cells.iter().filter(|text| text.contains(|c: char| c.is_ascii_digit()));
        if with_digits.count() * 2 > cells.len() {
            return false;
        }
        let headings: Vec<Heading> = row.cells().map(|text| self.heading(text)).collect();
        let holds_a_figure = self.tables.last().is_some_and(|table| {
            let columns = table.headings.iter().zip(&headings).enumerate();
            columns.into_iter().any(|(at, (over, here))| {
                let digit = row.cell(at).starts_with(|c: char| c.is_ascii_digit());
                figures(over) && digit && here.weight < Weight::Strong
            })
        });
        if holds_a_figure {
            return false;
        }
        let count =
            |least: Weight| headings.iter().filter(|heading| heading.weight >= least).count();
        // Words of a row may be headings too: head, bolt, snug.
        let is_full = count(Weight::Weak) * 5 >= cells.len() * 4;
        let is_sure = count(Weight::Strong) >= 3 || (gap && count(Weight::Strong) >= 2);
        let is_header = is_full && is_sure && score(row, &headings).is_some();
        is_header || (gap && self.is_foreign(rows, at))
    }

    /// Whether what starts here after a gap is a table of something else: no
    /// digit in its first row, no thread and no torque below.
    fn is_foreign(&self, rows: &[RawRow], at: usize) -> bool {
        let Some(table) = self.tables.last() else { return false };
        let first = &rows[at];
        if filled(first).any(|(_, text)| text.contains(|c: char| c.is_ascii_digit())) {
            return false;
        }
        let run: Vec<&RawRow> = rows[at + 1..].iter().take_while(|row| !row.is_blank()).collect();
        let is_torque = |at: usize| table.headings.get(at).is_some_and(figures);
        let is_entry = |row: &&&RawRow| {
            filled(row).any(|(at, text)| {
                starts_with_thread(text)
                    || (is_torque(at) && text.contains(|c: char| c.is_ascii_digit()))
            })
        };
        !run.is_empty() && run.iter().filter(is_entry).count() == 0 && !is_entry(&&first)
    }

    /// What the row is beside an entry.
    fn other(
        &mut self,
        rows: &[RawRow],
        at: usize,
        cells: &[(usize, &str)],
        gap: bool,
    ) -> Option<Other> {
        let (column, first) = *cells.first()?;
        let has_thread = cells.iter().any(|(_, text)| starts_with_thread(text));
        let leads = |list: &[&str]| {
            let words = plain_words(first);
            list.iter().any(|word| {
                words
                    .strip_prefix(word)
                    .is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
            })
        };
        if !has_thread && (leads(TOTAL) || self.is_total(rows, cells)) {
            return Some(Other::Remark);
        }
        let after_note = self.after_note(rows, at);
        let pointed =
            self.tables.last().and_then(|one| pointed_at(&rows[..at], &one.headings, first));
        if !has_thread && let Some((mark, text)) = footnote(cells, after_note, pointed) {
            let is_noted = cells.len() == 1 || gap || after_note;
            if is_noted {
                // The same mark below another table: both are kept, none holds in silence.
                let notes = self.footnotes.entry(rows[at].page).or_default();
                let known = notes.entry(mark).or_default();
                if known.is_empty() {
                    *known = text;
                } else if *known != text {
                    *known = format!("{known}; below another table: {text}");
                }
                return Some(Other::Remark);
            }
        }
        let is_same = cells.len() > 1 && cells.iter().all(|(_, text)| *text == first);
        if cells.len() > 1 && !is_same {
            // A note with a comma in it, cut where it stands.
            let is_note = column == 0 && !has_thread && cells.len() <= 3 && leads(NOTE);
            let is_sentence = first.ends_with(':') || first.split(' ').count() > 3;
            return (is_note && is_sentence).then_some(Other::Remark);
        }
        if leads(NOTE) {
            return Some(Other::Remark);
        }
        let width = self.tables.last().map_or(0, |table| table.headings.len());
        let only = self.tables.last().and_then(|table| table.headings.get(column));
        let by_key = only.is_some_and(|heading| heading.column.is("key"));
        if width <= 1 || by_key || has_thread {
            return None;
        }
        Some(if self.is_title(rows, at, first) { Other::Section } else { Other::Remark })
    }

    /// Whether a row adds up those above it, or is to be filled in: `Checked by: ........`.
    fn is_total(&self, rows: &[RawRow], cells: &[(usize, &str)]) -> bool {
        let is_form = |text: &str| ["....", "____", "……"].iter().any(|line| text.contains(line));
        let is_word = |text: &str| TOTAL.contains(&plain_words(text).as_str()) || is_form(text);
        let ends = |text: &str| TOTAL_ENDS.iter().any(|end| plain_words(text).ends_with(end));
        // `44 | bolts in all`
        let sums_up = (2..=3).contains(&cells.len()) && cells.iter().any(|(_, text)| ends(text));
        let is_sum = || {
            self.tables.last().is_some_and(|table| {
                let row = |entry: &usize| rows.get(entry.checked_sub(self.base)?);
                adds_up(cells, &table.headings, table.entries.iter().filter_map(row))
            })
        };
        let is_alone = || {
            cells.first().is_some_and(|(_, text)| TOTAL_ALONE.contains(&plain_words(text).as_str()))
        };
        sums_up || cells.iter().any(|(_, text)| is_word(text)) || is_alone() || is_sum()
    }

    /// Whether the row before was a note.
    fn after_note(&self, rows: &[RawRow], at: usize) -> bool {
        let before = rows[..at].iter().rev().find(|row| !row.is_blank());
        before.is_some_and(|row| self.marks.get(&(row.page, row.line)) == Some(&Other::Remark))
    }

    /// A short text that entries follow.
    fn is_title(&self, rows: &[RawRow], at: usize, text: &str) -> bool {
        let words = text.split(' ').count();
        let is_short = text.len() <= LONGEST_TITLE && words <= 8;
        let is_sentence = text.ends_with(['.', '!', '?']) || (words > 5 && text.contains(", "));
        let next = rows[at + 1..].iter().find(|row| !row.is_blank());
        let follows = next.is_some_and(|row| {
            let place = at + 1 + position(&rows[at + 1..], row);
            if self.is_foreign(rows, place) {
                return false;
            }
            filled(row).count() >= 2 || self.is_title(rows, place, row.cell(0))
        });
        is_short && !is_sentence && follows && text.chars().any(char::is_alphabetic)
    }
}

fn position(rows: &[RawRow], row: &RawRow) -> usize {
    rows.iter().position(|one| one.line == row.line).unwrap_or(0)
}

impl TableFound {
    fn new(page: u16, header: u32, headings: Vec<Heading>) -> Self {
        let (titles, entries, below, sections) = Default::default();
        Self { page, header, headings, titles, is_title_close: false, entries, below, sections }
    }
}

/// Whether the column of a heading holds figures to tighten to.
pub(super) fn figures(heading: &Heading) -> bool {
    heading.column.is_torque()
        || matches!(heading.column, Column::Pass(_) | Column::Low(_) | Column::High(_))
}
