//! The worksheets of a workbook held against each other: which of their names are machines.

use std::collections::{HashMap, HashSet};

use crate::intake::Sheet;
use crate::intake::cells::says_ditto;
use crate::intake::header::{Column, Heading};
use crate::intake::names::Names;
use crate::intake::split::RawRow;
use crate::intake::survey::around::{is_coded, is_numbered, says_machine};
use crate::intake::survey::rows::{TableFound, figures};
use crate::intake::survey::{title_names, titles};
use crate::intake::words::plain_words;

/// What the worksheets say by standing beside each other.
pub(super) struct Pages {
    /// Titles that stand over several worksheets of machines.
    pub(super) over: HashSet<String>,
    /// Worksheets whose titles among the rows name machines.
    pub(super) of_machines: HashSet<u16>,
    /// Worksheets under one title that have other figures for the same places.
    pub(super) apart: HashSet<u16>,
}

impl Pages {
    pub(super) fn new(
        tables: &[TableFound],
        rows: &[RawRow],
        sheet: &Sheet,
        names: &Names,
    ) -> Self {
        Self {
            over: over_pages(tables, sheet, names),
            of_machines: HashSet::new(),
            apart: apart(tables, rows, sheet, names),
        }
    }

    /// Sees which titles among the rows are machines, once it is known which are above them.
    pub(super) fn see_sections(&mut self, tables: &[TableFound], file: &str, names: &Names) {
        self.of_machines = pages_of_machines(tables, file, names);
    }
}

/// The worksheets that only their names tell apart: `North` and `South` under one title, each
/// with a figure of its own for the same fastener.
fn apart(tables: &[TableFound], rows: &[RawRow], sheet: &Sheet, names: &Names) -> HashSet<u16> {
    let mut held: HashMap<Vec<String>, Vec<(u16, String)>> = HashMap::new();
    let mut apart = HashSet::new();
    if sheet.pages.len() < 2 {
        return apart;
    }
    for table in tables {
        let page = &sheet.pages[usize::from(table.page)].name;
        let title = titles::read(&table.titles, &sheet.name, names).assembly;
        let says = |name: &str| table.headings.iter().any(|one| one.column.is(name));
        let is_named = title_names::name_of_page(page, names).is_some() && !is_year(page);
        let Some(title) = title.filter(|_| is_named && !says("assembly") && !says("key")) else {
            continue;
        };
        let mut above: Vec<String> = vec![String::new(); table.headings.len()];
        for at in &table.entries {
            let row = &rows[*at];
            let section = table
                .sections
                .iter()
                .rev()
                .find(|(section, _)| *section == usize::MAX || section < at);
            let mut place = vec![title.clone(), section.map_or("", |(_, text)| text).to_owned()];
            let mut figure = String::new();
            for (column, heading) in table.headings.iter().enumerate() {
                let cell = row.cell(column);
                let is_above = heading.column.is("joint") && cell.is_empty() || says_ditto(cell);
                if !is_above {
                    plain_words(cell).clone_into(&mut above[column]);
                }
                match () {
                    () if figures(heading) => figure = format!("{figure} {}", above[column]),
                    () if is_place(heading) => place.push(above[column].clone()),
                    () => {}
                }
            }
            let others = held.entry(place).or_default();
            for (page, other) in others.iter() {
                if *page != table.page && *other != figure {
                    apart.extend([*page, table.page]);
                }
            }
            others.push((table.page, figure));
        }
    }
    apart
}

/// Whether a column says which fastener a row is of, and how it is put in.
fn is_place(heading: &Heading) -> bool {
    const NAMES: &[&str] = &["joint", "part", "positions", "thread", "strength", "lube"];
    matches!(heading.column, Column::Unknown { .. } | Column::Blank)
        || NAMES.iter().any(|name| heading.column.is(name))
}

/// `2023` and `2024` are the same machine in two years.
fn is_year(page: &str) -> bool {
    let is_year = |word: &str| {
        word.len() == 4
            && ["19", "20"].iter().any(|century| word.starts_with(century))
            && word.bytes().all(|c| c.is_ascii_digit())
    };
    page.split([' ', '-', '.', '/', '_']).any(is_year)
}

/// The names in titles that stand over several worksheets, each with a name of its own
/// that has a number or says a machine: `North mill` over `Pump 7` and `Pump 8`.
pub(super) fn over_pages(tables: &[TableFound], sheet: &Sheet, names: &Names) -> HashSet<String> {
    let mut pages: HashMap<String, HashSet<u16>> = HashMap::new();
    for table in tables {
        let page = &sheet.pages[usize::from(table.page)].name;
        for name in table
            .titles
            .iter()
            .filter_map(|cells| title_names::machine_in(&cells.join(", "), names))
        {
            let is_own = title_names::name_of_page(page, names)
                .is_some_and(|own| own != name && (is_numbered(&own) || says_machine(&own, names)));
            if is_own {
                pages.entry(name).or_default().insert(table.page);
            }
        }
    }
    pages.retain(|_, pages| pages.len() > 1);
    pages.into_keys().collect()
}

/// The worksheets whose titles over the rows are machines, each with its number:
/// `Pump Ostrel 40`, `Blower Fenwyth 3`, under a title that is none.
fn pages_of_machines(tables: &[TableFound], file: &str, names: &Names) -> HashSet<u16> {
    let says_machine = |text: &str| says_machine(text, names);
    let is_machine = |page: &u16| {
        let own = || tables.iter().filter(|table| table.page == *page);
        let texts: Vec<&str> =
            own().flat_map(|one| &one.sections).map(|(_, text)| text.as_str()).collect();
        let above = own().flat_map(|one| &one.titles).flatten();
        let is_titled = above.into_iter().any(|text| is_numbered(text) && says_machine(text));
        let machines = texts.iter().filter(|text| says_machine(text)).count();
        let is_alone = own().all(|one| titles::read(&one.titles, file, names).assembly.is_none());
        texts.len() > 1
            && !is_titled
            && texts.iter().all(|text| is_numbered(text))
            && (machines * 2 >= texts.len() || is_alone && texts.iter().all(|text| is_coded(text)))
    };
    tables.iter().map(|table| table.page).filter(is_machine).collect()
}
