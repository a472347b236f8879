//! Columns settled by the ones beside them: which names the machine, which is no torque.

use std::collections::{HashMap, HashSet};

use crate::intake::cells::{read_count, read_date, says_ditto};
use crate::intake::header::{Column, Heading, Weight, read_heading};
use crate::intake::heading_words::STOCK;
use crate::intake::survey::around::is_numbered;
use crate::intake::survey::columns::Settler;
use crate::intake::survey::columns_content::NO_NUMBER;
use crate::intake::survey::columns_unknown::says_no_fact;
use crate::intake::survey::content::Content;
use crate::intake::survey::rows::TableFound;
use crate::intake::survey::{Plan, title_names};
use crate::intake::words::plain_words;
use crate::record::find_field;

impl Settler<'_> {
    /// `Machine` beside `Assembly`, or above it in a title with a number: that is a place on
    /// the machine.
    pub(super) fn place_on_machine(&self, table: &mut TableFound, titled: Option<&str>) {
        let is_named = |one: &Heading| one.column.is("assembly") && !says_assembly(one);
        let numbered = |at: usize| {
            let cells = table.entries.iter().map(|row| self.rows[*row].cell(at));
            cells.filter(|cell| cell.contains(|c: char| c.is_ascii_digit())).count()
        };
        let is_place = |at: usize| {
            says_assembly(&table.headings[at]) && numbered(at) * 2 < self.contents[at].filled
        };
        let is_titled = titled.is_some_and(is_numbered)
            && !table.headings.iter().any(|one| one.column.is("joint"))
            && (0..table.headings.len()).any(is_place);
        let headings = &mut table.headings;
        if !is_titled && !headings.iter().any(is_named) {
            return;
        }
        for at in 0..headings.len() {
            if says_assembly(&headings[at]) {
                let has_joint = headings.iter().any(|one| one.column.is("joint"));
                let joint = find_field("joint").filter(|_| !has_joint).map(Column::Field);
                headings[at].column = joint.unwrap_or(Column::Kept("a part of the machine"));
            }
        }
    }

    /// `Checked` over days: when, and not by whom.
    fn days_of_checks(&self, headings: &mut [Heading]) {
        let is_day = |cell: &String| read_date(cell, None).is_ok_and(|day| day.value.is_some());
        for (heading, content) in headings.iter_mut().zip(&self.contents) {
            let examples = &content.examples;
            if heading.column.is("checked-by")
                && !examples.is_empty()
                && examples.iter().all(is_day)
            {
                heading.column = Column::Kept("it holds days, not who");
            }
        }
    }

    /// `id` over the bare numbers that a program gives, beside names: no key of fasteners, of
    /// which one could say all that its row does not.
    pub(super) fn bare_ids(&self, headings: &mut [Heading], plan: &mut Plan) {
        self.days_of_checks(headings);
        Self::marks_below(headings, &self.contents, plan);
        self.no_counts(headings, plan);
        let has_names = headings.iter().any(|one| one.column.is("joint") || one.column.is("part"));
        let is_id =
            |one: &Heading, at: usize| one.column.is("key") && self.contents[at].are_whole();
        let Some(at) = (0..headings.len()).find(|at| is_id(&headings[*at], *at)) else { return };
        if has_names && !self.sheet.is_typed && plain_words(&headings[at].text) != "key" {
            plan.conclude(format!(
                "`{}` holds bare numbers: no keys, not taken",
                headings[at].text
            ));
            headings[at].column = Column::RowNumber;
        }
    }

    /// `NB` over `both sides in turn`: words under the name of a count are notes.
    fn no_counts(&self, headings: &mut [Heading], plan: &mut Plan) {
        let is_number =
            |cell: &String| cell.contains(|c: char| c.is_ascii_digit()) || read_count(cell).is_ok();
        let Some(notes) = find_field("notes") else { return };
        for (heading, content) in headings.iter_mut().zip(&self.contents) {
            let are_words = content.are_words() && content.are_no_figures();
            if heading.column.is("count")
                && heading.weight < Weight::Named
                && are_words
                && !self.sheet.is_typed
                && !content.examples.iter().any(is_number)
            {
                plan.conclude(format!("`{}` read as notes: its cells are words", heading.text));
                heading.column = Column::Field(notes);
                heading.others.clear();
            }
        }
    }

    /// `Fleet no` beside `Machine`: the number of a machine that another column names. Where
    /// one name stands for several numbers, these tell the machines apart.
    pub(super) fn numbers_of_machines(&self, table: &mut TableFound, plan: &mut Plan) {
        let is_machine = |at: &usize| table.headings[*at].column.is("assembly");
        let (numbers, plain): (Vec<usize>, Vec<usize>) = (0..table.headings.len())
            .filter(is_machine)
            .partition(|at| says_number(&table.headings[*at].text));
        let [machine] = plain[..] else { return };
        let is_name = self.contents[machine].are_words() || self.are_models(table, machine);
        for at in numbers.into_iter().filter(|_| is_name) {
            let mut known: HashMap<&str, &str> = HashMap::new();
            let rows = table.entries.iter().map(|row| &self.rows[*row]);
            let mut pairs = rows
                .map(|row| (row.cell(machine), row.cell(at)))
                .filter(|(name, number)| ![name, number].iter().any(|it| it.is_empty()));
            let is_one = pairs.all(|(name, number)| *known.entry(name).or_insert(number) == number);
            let heading = &mut table.headings[at];
            if is_one && heading.weight < Weight::Named {
                plan.conclude(format!("`{}` numbers the machine: kept in the notes", heading.text));
                heading.column = Column::Kept("another column names it");
            }
        }
    }

    /// `Key` over the marks of the notes below the table: no keys of fasteners.
    fn marks_below(headings: &mut [Heading], contents: &[Content], plan: &mut Plan) {
        let are_marks = |examples: &[String]| {
            let is_mark = |text: &String| plan.footnotes.values().any(|one| one.contains_key(text));
            !examples.is_empty() && examples.iter().all(is_mark)
        };
        let is_so = |(at, one): (usize, &Heading)| {
            one.column.is("key") && are_marks(&contents[at].examples)
        };
        let found = headings.iter().enumerate().position(is_so);
        if let Some((at, notes)) = found.zip(find_field("notes")) {
            plan.conclude(format!("`{}` points at the notes below", headings[at].text));
            headings[at].column = Column::Field(notes);
            headings[at].weight = Weight::Strong;
        }
    }

    /// `Used on` beside the places, or a `Station` with a number whose name repeats, names the
    /// machines, where nothing else does.
    fn used_on(&self, table: &mut TableFound, plan: &mut Plan) {
        let is_joint = |at: &usize| table.headings[*at].column.is("joint");
        let joints: Vec<usize> = (0..table.headings.len()).filter(is_joint).collect();
        let may_be =
            |at: &usize| table.headings[*at].others.iter().any(|other| other.is("assembly"));
        let repeats = |at: &usize| {
            let blocks = self.repeated(table, *at);
            blocks.is_some_and(|blocks| blocks.iter().all(|name| is_numbered(name)))
        };
        let found = joints.iter().copied().find(may_be);
        let found = found.or_else(|| joints.iter().copied().find(repeats));
        let Some(at) = found.filter(|_| joints.len() > 1) else { return };
        if let Some(assembly) = find_field("assembly").map(Column::Field) {
            let text = &table.headings[at].text;
            plan.conclude(format!("`{text}` read as assembly: another names the joint"));
            table.headings[at].column = assembly;
        }
    }

    /// The first column, headed by a word that is not known, names the machines where
    /// nothing else does and its names repeat; else the joints beside their parts.
    pub(super) fn first_column(
        &self,
        table: &mut TableFound,
        titled: Option<&str>,
        plan: &mut Plan,
    ) {
        self.numbers_of_machines(table, plan);
        self.by_first(table, titled, plan);
        self.names_among(table, titled, plan);
    }

    fn by_first(&self, table: &mut TableFound, titled: Option<&str>, plan: &mut Plan) {
        let is_titled = titled.is_some();
        self.lines(table, is_titled, plan);
        self.unnamed(table, plan);
        let has = |name: &str| table.headings.iter().any(|heading| heading.column.is(name));
        let Some(field) = find_field("assembly") else { return };
        if has("assembly") || has("key") || self.options.assembly.is_some() {
            return;
        }
        if !is_titled {
            self.used_on(table, plan);
            self.tells_apart(table, plan);
        }
        let has = |name: &str| table.headings.iter().any(|heading| heading.column.is(name));
        if has("assembly") {
            return;
        }
        let holds = |at: &usize| {
            self.contents[*at].filled > 0 && table.headings[*at].column != Column::RowNumber
        };
        // Keys of JSON stand in no order.
        let is_json = self.sheet.pages[usize::from(table.page)].headings.is_some();
        let is_unknown = |at: &usize| {
            matches!(table.headings[*at].column, Column::Unknown { .. })
                && self.contents[*at].are_words()
        };
        let first = (0..table.headings.len()).find(|at| holds(at) && (!is_json || is_unknown(at)));
        let Some(at) = first else { return };
        let heading = &table.headings[at];
        let cells = table.entries.iter().map(|row| self.rows[*row].cell(at));
        let names: HashSet<&str> =
            cells.filter(|cell| !cell.is_empty() && !says_ditto(cell)).collect();
        let is_word =
            matches!(heading.column, Column::Unknown { .. }) && !says_no_fact(&heading.text);
        // `Drive` over names that stand once for the rows below them.
        let is_first =
            table.entries.first().is_some_and(|row| !self.rows[*row].cell(at).is_empty());
        let is_sparse = self.contents[at].filled * 2 <= table.entries.len() && is_first;
        let is_named = is_word || heading.column.is("drive");
        let are_names = self.contents[at].are_words() || self.are_models(table, at);
        if !(is_word && are_names || is_named && is_sparse) {
            return;
        }
        // `Rewbold V4 compressor.ods` is of a machine.
        let file = title_names::name_of_file(&self.sheet.name, self.names).unwrap_or_default();
        let says = |word: &str| read_heading(word, self.names).column.is("assembly");
        // `Ring and hub bolts` over `Querrin 3`, `Querrin 4` names none of them.
        let is_titled = titled
            .is_some_and(|title| self.is_sure(title) || !self.tells_places(table, at))
            || !has("joint") && file.split(' ').any(says);
        let (field, why) = match find_field("joint") {
            _ if !is_titled && names.len() < table.entries.len() => (field, "its names repeat"),
            Some(joint) if !has("joint") => (joint, "no other names the joint"),
            _ => return,
        };
        let text = &heading.text;
        plan.conclude(format!("`{text}` read as {}: the first column, and {why}", field.name));
        table.headings[at].column = Column::Field(field);
    }

    /// Whether a column has several names with numbers, each in one block of rows, and the same
    /// words stand in another column below several of them.
    fn tells_places(&self, table: &TableFound, at: usize) -> bool {
        let Some(blocks) = self.repeated(table, at) else { return false };
        let distinct: HashSet<&str> = blocks.iter().copied().collect();
        let are_names = blocks.len() > 1
            && distinct.len() == blocks.len()
            && blocks.iter().all(|name| is_numbered(name) && name.contains(' '));
        let stands_below_several = |other: usize| {
            let mut held: HashMap<&str, &str> = HashMap::new();
            let mut name = "";
            table.entries.iter().map(|row| &self.rows[*row]).any(|row| {
                let cell = row.cell(at);
                name = if cell.is_empty() || says_ditto(cell) { name } else { cell };
                let place = row.cell(other);
                !place.is_empty() && *held.entry(place).or_insert(name) != name
            })
        };
        let is_place = |other: &usize| {
            let column = &table.headings[*other].column;
            let is_word = matches!(column, Column::Unknown { .. })
                || ["joint", "part"].iter().any(|name| column.is(name));
            let content = &self.contents[*other];
            *other != at && is_word && content.are_words() && !content.are_lubes()
        };
        let mut places = (0..table.headings.len()).filter(is_place);
        are_names && places.any(stands_below_several)
    }

    /// `Repère`, `Item no`, `Tag` over names that repeat, where rows of the same place differ
    /// by them: `Pompe 31 volute`, `Pompe 32 volute`.
    fn tells_apart(&self, table: &mut TableFound, plan: &mut Plan) {
        let Some(assembly) = find_field("assembly").map(Column::Field) else { return };
        if table.headings.iter().any(|one| one.column.is("assembly")) {
            return;
        }
        let is_place =
            |at: &usize| ["joint", "part"].iter().any(|name| table.headings[*at].column.is(name));
        let places: Vec<usize> = (0..table.headings.len()).filter(is_place).collect();
        let may_be = |at: &usize| {
            let is_number = table.headings[*at].column == Column::Kept(NO_NUMBER);
            (is_number || table.headings[*at].column.is("tags"))
                && !self.contents[*at].are_figures()
        };
        let tells = |at: &usize| {
            let mut held: HashMap<Vec<&str>, HashSet<&str>> = HashMap::new();
            let (mut names, mut name) = (HashSet::new(), "");
            for row in table.entries.iter().map(|row| &self.rows[*row]) {
                let cell = row.cell(*at);
                name = if cell.is_empty() || says_ditto(cell) { name } else { cell };
                names.insert(name);
                let place = places.iter().map(|place| row.cell(*place)).collect();
                held.entry(place).or_default().insert(name);
            }
            let are_numbered = names.iter().all(|name| name.contains(|c: char| c.is_ascii_digit()));
            are_numbered
                && names.len() < table.entries.len()
                && held.iter().any(|(place, names)| {
                    names.len() > 1 && place.iter().any(|cell| !cell.is_empty())
                })
        };
        if let Some(at) = (0..table.headings.len()).filter(may_be).find(tells) {
            plan.conclude(format!(
                "`{}` read as assembly: its names repeat, and tell like joints apart",
                table.headings[at].text
            ));
            table.headings[at].column = assembly;
        }
    }

    /// Words under no heading at all, first in the rows: the parts, where nothing names them.
    fn unnamed(&self, table: &mut TableFound, plan: &mut Plan) {
        let has = |name: &str| table.headings.iter().any(|heading| heading.column.is(name));
        let is_first = table.headings.first().is_some_and(|one| one.column == Column::Blank);
        if let Some(part) = find_field("part")
            && is_first
            && !has("part")
            && !has("joint")
            && !has("key")
            && self.contents[0].are_words()
        {
            plan.conclude("the first column has no heading: its words are names");
            table.headings[0].column = Column::Field(part);
        }
    }

    /// `Wheel` over `front`, `rear`: the only words before the threads and torques, where
    /// neither joint nor part is named.
    pub(super) fn only_words(&self, table: &mut TableFound) {
        let has = |name: &str| table.headings.iter().any(|heading| heading.column.is(name));
        let is_figure = |one: &Heading| one.column.is("thread") || super::rows::figures(one);
        let Some(end) = table.headings.iter().position(is_figure) else { return };
        let is_word = |at: &usize| {
            matches!(table.headings[*at].column, Column::Unknown { .. })
                && self.contents[*at].are_words()
                && !self.contents[*at].are_figures()
        };
        let words: Vec<usize> = (0..end).filter(is_word).collect();
        if let [at] = words[..]
            && let Some(part) = find_field("part").filter(|_| !has("part") && !has("positions"))
        {
            table.headings[at].column = Column::Field(part);
        }
    }

    /// `Line` under the title of a machine, each named once and no joint beside them: its
    /// pipes.
    fn lines(&self, table: &mut TableFound, is_titled: bool, plan: &mut Plan) {
        let may_count = |one: &Heading| {
            one.column.is("assembly") && one.others.iter().any(|other| other.is("assembly"))
        };
        let Some(at) = table.headings.iter().position(may_count).filter(|_| is_titled) else {
            return;
        };
        let has_joint =
            table.headings.iter().any(|one| one.column.is("joint") || one.column.is("part"));
        let names: HashSet<&str> =
            table.entries.iter().map(|row| self.rows[*row].cell(at)).collect();
        if let Some(joint) = find_field("joint")
            && !has_joint
            && names.len() == table.entries.len()
        {
            plan.conclude(format!(
                "`{}` read as joint: the title names the assembly",
                table.headings[at].text
            ));
            table.headings[at].column = Column::Field(joint);
        }
    }
}

/// Whether a bare `Min` or `Max` is none of the torque: beside a column of the stock, or
/// a low end without a high one beside the whole figure.
pub(super) fn is_no_end(at: usize, headings: &[Heading]) -> bool {
    let heading = &headings[at];
    let is_low = matches!(heading.column, Column::Low(_));
    let is_high = |one: &Heading| matches!(one.column, Column::High(_));
    let says_stock =
        |one: &Heading| plain_words(&one.text).split(' ').any(|word| STOCK.contains(&word));
    (is_low || is_high(heading))
        && heading.weight == Weight::Weak
        && heading.units.is_empty()
        && headings.iter().any(|one| one.column.is_torque())
        && (headings.iter().any(says_stock) || is_low && !headings.iter().any(is_high))
}

/// Whether a heading of machines says their number: `Fleet no`, `Asset`.
fn says_number(heading: &str) -> bool {
    #[rustfmt::skip] // words of five languages, side by side
    const NUMBERS: &[&str] = &["fleet", "asset", "no", "number", "num", "nr", "id", "nummer", "numero", "n", "#", "n°", "nº", "machinenr", "maschinennr", "maschinennummer"];
    plain_words(heading).split([' ', '/']).any(|word| NUMBERS.contains(&word))
}

/// Whether the heading is the word `Assembly` itself.
pub(super) fn says_assembly(heading: &Heading) -> bool {
    const WORDS: &[&str] = &["assembly", "assy", "ass'y", "assembly name", "assy name"];
    heading.column.is("assembly") && WORDS.contains(&plain_words(&heading.text).as_str())
}
