//! What titles, sheet and file say of a table and of the rows below a title.

use crate::intake::doubts::is_inch_grade;
use crate::intake::header::{Column, Heading, is_thread, read_heading};
use crate::intake::names::Names;
use crate::intake::survey::columns::Settler;
use crate::intake::survey::columns_beside::says_assembly;
use crate::intake::survey::content::Look;
use crate::intake::survey::pages::Pages;
use crate::intake::survey::rows::TableFound;
use crate::intake::survey::{Given, Mark, Plan, title_facts, title_names, titles};
use crate::intake::words::plain_words;
use crate::record::Basis;

impl Settler<'_> {
    /// What the titles of a table say. One over several worksheets is of none of them.
    pub(super) fn titled(&self, table: &TableFound) -> Given {
        let mut given = titles::read(&table.titles, &self.sheet.name, self.names);
        if given.assembly.as_ref().is_some_and(|name| self.pages.over.contains(name)) {
            given.words = join(given.words.take(), given.assembly.take());
        }
        given
    }

    /// What titles, sheet and file say of a table.
    pub(super) fn given(
        &self,
        table: &mut TableFound,
        headings: &[Heading],
        is_chart: bool,
        plan: &mut Plan,
    ) -> Given {
        let has = |name: &str| headings.iter().any(|heading| heading.column.is(name));
        if self.sheet.is_typed {
            return Given { is_typed: true, ..Given::default() };
        }
        let mut given = self.titled(table);
        hold_on(&mut given, table, headings, plan);
        let above = (given.unit, given.lube.is_some());
        titles::below(&table.below, &mut given, self.names);
        let places = [given.unit != above.0, given.lube.is_some() != above.1];
        let place = |is_below: bool| if is_below { "note below" } else { "title" };
        let [unit_from, lube_from] = places.map(place);
        self.assembly(table, &has, &mut given, plan);
        let page = &self.sheet.pages[usize::from(table.page)].name;
        if given.unit.is_none() {
            given.unit = title_facts::unit_in(page)
                .or_else(|| title_facts::unit_in(&self.sheet.name.replace(['_', '.'], " ")));
        }
        let bare = headings
            .iter()
            .any(|heading| super::rows::figures(heading) && heading.units.is_empty());
        if let Some(unit) = given.unit.filter(|_| bare) {
            plan.conclude(format!(
                "a {unit_from} gives the unit of the torques: {unit}",
                unit = unit.symbol
            ));
        }
        // With a column of its own it holds for the blank cells there, which `finish` says.
        let is_for_lube = |heading: &Heading| matches!(heading.column, Column::TorqueFor(_));
        if headings.iter().any(is_for_lube) {
            given.lube = None;
        } else if let Some(lube) = given.lube.as_ref().filter(|_| !has("lube")) {
            plan.conclude(format!("a {lube_from} gives the lube: {lube}"));
        }
        self.graded(headings, &mut given, plan);
        if is_chart && !has("joint") && !has("part") {
            given.basis = Some(Basis::Chart);
            plan.conclude("a chart of sizes by grades: each figure is one of a general chart");
        }
        if !has("joint") && !has("key") {
            self.joint(table, is_chart, &mut given, plan);
        }
        given
    }

    /// The strength that a title gives, as far as headings and threads leave it one.
    fn graded(&self, headings: &[Heading], given: &mut Given, plan: &mut Plan) {
        let has = |name: &str| headings.iter().any(|heading| heading.column.is(name));
        let is_graded = |heading: &Heading| {
            heading.given.as_ref().is_some_and(|(field, _)| *field == "strength")
        };
        if headings.iter().any(is_graded) {
            given.strength = None;
        } else if let Some(grade) = given.strength.take_if(|grade| self.is_misfit(grade, headings))
        {
            plan.conclude(format!("a title says {grade}; most threads are metric: not taken"));
            given.words = join(given.words.take(), Some(grade));
        } else if let Some(strength) = given.strength.as_ref().filter(|_| !has("strength")) {
            plan.conclude(format!("a title gives the strength: {strength}"));
        }
    }

    /// Whether most threads of the table cannot have the grade: inch grades on metric ones.
    fn is_misfit(&self, grade: &str, headings: &[Heading]) -> bool {
        let cells = headings.iter().zip(&self.contents);
        let threads = cells.filter(|(heading, _)| heading.column.is("thread"));
        let counts =
            threads.map(|(_, cells)| (cells.count(Look::Metric), cells.count(Look::Thread)));
        let (metric, all) = counts.fold((0, 0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
        is_inch_grade(grade) && metric * 2 > all
    }

    /// The assembly that no column names: by title, sheet or file.
    fn assembly(
        &self,
        table: &TableFound,
        has: &dyn Fn(&str) -> bool,
        given: &mut Given,
        plan: &mut Plan,
    ) {
        if has("assembly") || has("key") {
            given.words = join(given.words.take(), given.assembly.take());
            return;
        }
        if self.options.assembly.is_some() {
            given.words = join(given.words.take(), given.assembly.take());
            return;
        }
        let page = &self.sheet.pages[usize::from(table.page)].name;
        let own = title_names::name_of_page(page, self.names);
        let own = own.filter(|_| self.pages.apart.contains(&table.page));
        let from_title = given.assembly.clone().map(|title| match own {
            Some(own) if !title_names::is_within(&own, &title) => format!("{title} {own}"),
            _ => title,
        });
        let from_page = title_names::name_of_page(page, self.names);
        let from_file = title_names::name_of_file(&self.sheet.name, self.names);
        let several = self.sheet.pages.len() > 1;
        let before = plan.blocks.iter().find(|block| block.page == table.page);
        let before = before.and_then(|block| block.given.assembly.clone());
        let (name, from) = match (from_title, from_page, from_file) {
            (Some(title), _, _) => (Some(title), "title"),
            _ if before.is_some() => (before, "title"),
            (_, Some(page), _) if several => (Some(page), "name of the sheet"),
            // `ensacheuse.xlsx` with the worksheet `Ensacheuse D2`.
            (_, Some(page), Some(file))
                if !plain_words(&page).contains(&plain_words(&file))
                    && !self.is_of_page(&page, &file) =>
            {
                (Some(file), "name of the file")
            }
            // `Pump shop` over `torque list.csv`: the shop says more than the file.
            (_, None, Some(file)) if title_names::name_in(&file, self.names).is_some() => {
                (Some(file), "name of the file")
            }
            (_, None, file) => {
                let mut above = table.titles.iter().map(|cells| cells.join(", "));
                match above.find_map(|title| title_names::name_in(&title, self.names)) {
                    Some(shop) => (Some(shop), "title"),
                    None => (file, "name of the file"),
                }
            }
            (_, page, _) => (page, "name of the sheet"),
        };
        if let Some(name) = &name {
            plan.conclude(format!("the {from} names the assembly: {name}"));
        }
        given.assembly = name;
    }

    /// Whether the one worksheet says more of the machine than the file: `Ombrey 4` in
    /// `Book1` or `torque list`.
    fn is_of_page(&self, page: &str, file: &str) -> bool {
        let names_one = |text: &str| is_numbered(text) || says_machine(text, self.names);
        let of_file = plain_words(file);
        let is_shared =
            plain_words(page).split(' ').any(|word| of_file.split(' ').any(|other| other == word));
        title_names::is_any_file(file, self.names)
            || names_one(page) && !names_one(file) && !is_shared
    }

    /// The joint that neither column, title nor option names.
    fn joint(&self, table: &TableFound, is_chart: bool, given: &mut Given, plan: &mut Plan) {
        let page = &self.sheet.pages[usize::from(table.page)];
        given.joint = given.joint.take().or(page.joint.clone());
        if given.joint.is_some() || self.options.joint.is_some() || !table.sections.is_empty() {
            return;
        }
        let name = if is_chart { "any joint" } else { "not stated" };
        plan.conclude(format!("no column names the joint: it is `{name}`"));
        given.joint = Some(name.to_owned());
    }

    /// Marks the titles among the rows with what they say.
    pub(super) fn sections(
        &self,
        table: &TableFound,
        headings: &[Heading],
        title: Option<&String>,
        plan: &mut Plan,
    ) {
        let has = |name: &str| headings.iter().any(|heading| heading.column.is(name));
        let (has_joint, has_assembly) = (has("joint"), has("assembly"));
        let mut assembly = None;
        let (mut joints, mut others) = (0, 0);
        for (nth, (at, text)) in table.sections.iter().enumerate() {
            let mut section = titles::section(text, self.names);
            let next = table.sections.get(nth + 1).map(|(at, _)| *at);
            let is_outer = next.is_some_and(|next| {
                *at != usize::MAX && !table.entries.iter().any(|entry| entry > at && *entry < next)
            });
            if (has_joint || is_outer || self.is_of_machines()) && !has_assembly {
                assembly = section.joint.take();
                // The name in the title is that of the whole.
                let title =
                    title.filter(|name| table.titles.iter().flatten().any(|t| t.contains(*name)));
                section.words = join(title.cloned(), section.words.take());
                others += 1;
            } else if has_joint {
                section.words = join(section.words.take(), section.joint.take());
                others += 1;
            } else {
                joints += usize::from(section.joint.is_some());
            }
            section.assembly.clone_from(&assembly);
            let (page, line) = match at {
                &usize::MAX => (table.page, table.header),
                at => (self.rows[*at].page, self.rows[*at].line),
            };
            plan.marks.insert((page, line), Mark::Section(section));
        }
        if joints > 0 {
            plan.conclude(format!("titles among the rows name the joint ({joints} of them)"));
        }
        if others > 0 && !has_assembly {
            plan.conclude(format!("titles among the rows name the assembly ({others} of them)"));
        }
    }
}

/// The last title above a table is its first section, where others follow,
/// or where other tables have titles of their own. With a column of joints it names none.
pub(super) fn first_section(
    table: &mut TableFound,
    names: &Names,
    [multi, several]: [bool; 2],
    pages: &Pages,
    [page, file]: [&str; 2],
) {
    let is_first = table.sections.first().map(|(at, _)| *at);
    let leads = table.entries.first().copied() < is_first.or(Some(usize::MAX));
    let is_one = table.titles.last().is_some_and(|cells| cells.len() == 1);
    let has_joint = table.headings.iter().any(|heading| heading.column.is("joint"));
    let is_second = table.titles.len() >= 2 && !has_joint;
    let more = !table.sections.is_empty() || multi || is_second;
    let is_name = table.titles.last().is_some_and(|cells| {
        let section = titles::section(&cells.join(" "), names);
        let machine = title_names::machine_in(&cells[0], names);
        let is_own = machine.as_ref().is_some_and(|name| !pages.over.contains(name));
        let is_place = machine.is_none() && title_names::name_in(&cells[0], names).is_some();
        let is_named = is_own || is_place && table.sections.is_empty() && !several;
        // `2.1 Boom` is numbered, no sentence.
        let bare = cells[0].trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
        section.unit.is_none() && is_named && !bare.contains([':', '.'])
    });
    let alone = table.titles.len() == 1 && table.sections.is_empty() && !multi;
    // `Dorrigan press 40` over the worksheet `Press 40` is the machine of its assemblies.
    let is_of_page = table.titles.last().is_some_and(|cells| {
        is_numbered(page) && plain_words(&cells[0]).contains(&plain_words(page))
    });
    // `Sturmvik 2300 - hub` over the worksheet `Hub` is the machine of the hub.
    let ends_in_page = table.titles.last().is_some_and(|cells| {
        let (title, page) = (plain_words(&cells[0]), plain_words(page));
        title
            .strip_suffix(&page)
            .is_some_and(|rest| rest.ends_with([' ', '–']) && is_numbered(rest))
    });
    let texts: Vec<String> = table.titles.iter().map(|cells| cells.join(", ")).collect();
    let is_of_file = title_names::repeated_by_file(&texts, file, names)
        .is_some_and(|name| texts.last().is_some_and(|last| last.contains(&name)));
    let is_machine = is_of_file
        || pages.apart.contains(&table.page)
        || ends_in_page
        || is_of_page && table.headings.iter().any(says_assembly);
    if more
        && !alone
        && !is_machine
        && leads
        && is_one
        && is_name
        && table.is_title_close
        && let Some(title) = table.titles.pop()
    {
        table.sections.insert(0, (usize::MAX, title[0].clone()));
    }
}

pub(super) fn says_machine(text: &str, names: &Names) -> bool {
    text.split(' ').any(|word| read_heading(word, names).column.is("assembly"))
}

/// The headings once more below another title: the page's title holds on.
fn hold_on(given: &mut Given, table: &TableFound, headings: &[Heading], plan: &Plan) {
    let texts = |headings: &[Heading]| {
        headings.iter().map(|heading| heading.text.to_lowercase()).collect::<Vec<_>>()
    };
    let before = plan.blocks.iter().find(|block| block.page == table.page);
    if let Some(first) = before.filter(|first| texts(&first.headings) == texts(headings)) {
        given.unit = given.unit.or(first.given.unit);
        given.series = given.series.or(first.given.series);
        given.lube = given.lube.take().or(first.given.lube.clone());
        given.strength = given.strength.take().or(first.given.strength.clone());
    }
}

fn join(one: Option<String>, other: Option<String>) -> Option<String> {
    match (one, other) {
        (Some(one), Some(other)) => Some(format!("{other}; {one}")),
        (one, other) => one.or(other),
    }
}

/// Whether a number stands among the words of a name, that is no thread.
pub(super) fn is_numbered(text: &str) -> bool {
    let has_digit = |word: &str| word.contains(|c: char| c.is_ascii_digit()) && !is_thread(word);
    text.split([' ', ',', ':']).any(has_digit)
}

/// Whether all titles among the rows have a machine's number: `Gearbox RL-31`.
pub(super) fn sections_are_machines(table: &TableFound) -> bool {
    table.sections.len() > 1 && table.sections.iter().all(|(_, text)| is_coded(text))
}

/// Whether a word of a name has letters and digits: `RL-31`.
pub(super) fn is_coded(text: &str) -> bool {
    let is_code = |word: &str| {
        let has = |kind: fn(&char) -> bool| word.chars().any(|c| kind(&c));
        has(char::is_ascii_digit) && has(|c| c.is_uppercase()) && !is_thread(word)
    };
    text.split([' ', ',', ':']).any(is_code)
}
