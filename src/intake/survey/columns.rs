//! Columns settled: each heading by its words and by what stands below it, no
//! field twice, and what no column says taken from titles, sheet and file.

use crate::intake::header::{Column, Heading};
use crate::intake::heading_parts::nearly_lube;
use crate::intake::names::Names;
use crate::intake::reshape::Reshape;
use crate::intake::split::RawRow;
use crate::intake::survey::around::{first_section, sections_are_machines};
use crate::intake::survey::columns_side::are_sides;
use crate::intake::survey::columns_torque::{settle_torques, wrong_unit};
use crate::intake::survey::columns_unknown::is_unknown;
use crate::intake::survey::content::{Content, Look, Seen};
use crate::intake::survey::pages::Pages;
use crate::intake::survey::rows::{Finder, Other, TableFound};
use crate::intake::survey::{Block, ColumnRead, Mark, Plan, survey, titles};
use crate::intake::words::kind_in;
use crate::intake::{IntakeError, Options, Sheet};
use crate::quantity::DecimalMark;
use crate::record::find_field;

/// How many entries of a table are looked at.
const LOOKED_AT: usize = 200;

/// The headings of the first table of `sheet` as an import reads them; those
/// of its first row where no table is found.
pub(crate) fn headings_of(sheet: &Sheet, names: &Names, options: &Options) -> Vec<Heading> {
    if let Ok(plan) = survey(sheet, names, options)
        && !plan.blocks.is_empty()
    {
        let mut all: Vec<Heading> = Vec::new();
        for heading in plan.blocks.into_iter().flat_map(|block| block.headings) {
            if heading.origin.is_none() && !all.iter().any(|known| known.text == heading.text) {
                all.push(heading);
            }
        }
        return all;
    }
    let rows = sheet.first_rows(30).unwrap_or_default();
    let widest = rows.iter().max_by_key(|row| row.cells().filter(|cell| !cell.is_empty()).count());
    let texts = widest.into_iter().flat_map(RawRow::cells).filter(|text| !text.is_empty());
    texts.map(|text| crate::intake::header::read_heading(text, names)).collect()
}

/// Settles what the finder found.
pub(super) fn settle(found: Finder, rows: &[RawRow]) -> Result<Plan, IntakeError> {
    let Finder { sheet, names, options, tables, marks, footnotes, lost, old, .. } = found;
    if tables.is_empty() {
        return Err(no_header(sheet, rows));
    }
    let mut plan = Plan { footnotes, decimal: options.decimal, ..Plan::default() };
    tell_left_out(sheet, lost, old, &mut plan);
    for (place, mark) in marks {
        let mark = match mark {
            Other::Skip => Mark::Skip,
            Other::Remark => Mark::Remark,
            Other::Section => continue,
        };
        plan.marks.insert(place, mark);
    }
    let mut seen = Seen::new(names);
    let contents: Vec<Vec<Content>> =
        tables.iter().map(|table| contents(table, rows, &mut seen)).collect();
    settle_decimal(sheet, &tables, &contents, &mut plan);
    let shows = |order: Look| contents.iter().flatten().any(|one| one.count(order) > 0);
    plan.day_first = match (shows(Look::DayFirst), shows(Look::MonthFirst)) {
        (true, true) => None,
        (false, false) => (plan.decimal == DecimalMark::Comma).then_some(true),
        (day_first, _) => Some(day_first),
    };
    let multi = tables.len() > 1;
    let tells = |table: &TableFound, contents: &[Content]| {
        let known = |name: &str| table.headings.iter().any(|heading| heading.column.is(name));
        table.headings.iter().any(super::rows::figures)
            || ["thread", "angle", "stretch", "passes", "key"].iter().any(|name| known(name))
            || contents.iter().any(Content::are_threads)
            || are_torques_of_joints(&table.headings, contents)
    };
    let is_any = tables.iter().zip(&contents).any(|(table, contents)| tells(table, contents));
    let mut tables = tables;
    let mut pages = Pages::new(&tables, rows, sheet, names);
    let several = sheet.pages.len() > 1;
    for table in &mut tables {
        let page = &sheet.pages[usize::from(table.page)].name;
        first_section(table, names, [multi, several], &pages, [page, &sheet.name]);
    }
    pages.see_sections(&tables, &sheet.name, names);
    for (table, contents) in tables.into_iter().zip(contents) {
        if is_any && !tells(&table, &contents) {
            // An index, a list of tools: its rows are told as no entries.
            let entries = table.entries.iter().map(|at| (rows[*at].page, rows[*at].line));
            plan.marks.extend(entries.map(|place| (place, Mark::Remark)));
            let texts: Vec<&str> = table.headings.iter().map(|one| one.text.as_str()).collect();
            let texts = texts.join("`, `").replace("`, ``", "`");
            plan.conclude(format!(
                "the table under `{texts}` has no threads or torques: not taken"
            ));
            continue;
        }
        let (page, pages) = (table.page, &pages);
        let settler = Settler { sheet, names, options, rows, contents, page, pages };
        settler.block(table, &mut plan)?;
    }
    Ok(plan)
}

/// Whether torques stand where no heading says what they are, in a table that names what is
/// tightened: `8-60 Nm` beside a wrench or under a place is the range of the wrench.
fn are_torques_of_joints(headings: &[Heading], contents: &[Content]) -> bool {
    const NAMES: &[&str] = &["joint", "part", "strength", "lube"];
    let names = |one: &Heading| NAMES.iter().any(|name| one.column.is(name));
    let is_so = |(one, content): (&Heading, &Content)| is_unknown(one) && content.are_torques();
    headings.iter().any(names) && headings.iter().zip(contents).any(is_so)
}

/// Tells what of the file no table holds.
fn tell_left_out(sheet: &Sheet, lost: Vec<(u16, usize)>, old: Vec<u16>, plan: &mut Plan) {
    let several = sheet.pages.len() > 1;
    for text in &sheet.left_over {
        plan.conclude(format!("`{text}` stands beside the rows: not taken"));
    }
    for page in sheet.pages.iter().filter(|page| page.is_turned) {
        let what = if several { format!("sheet {}", page.name) } else { "the file".to_owned() };
        plan.conclude(format!("{what} stands on its side: each column after the first is a row"));
    }
    for (page, count) in lost {
        let name = &sheet.pages[usize::from(page)].name;
        let what = if several { format!("sheet {name}") } else { "the file".to_owned() };
        let rows = if count == 1 { "1 row".to_owned() } else { format!("{count} rows") };
        plan.conclude(format!("{what}: not taken without headings: {rows}"));
    }
    for page in old {
        let name = &sheet.pages[usize::from(page)].name;
        plan.conclude(format!("sheet {name} is called old: not taken; --sheet takes it"));
    }
}

fn no_header(sheet: &Sheet, rows: &[RawRow]) -> IntakeError {
    let first = rows.iter().find(|row| !row.is_blank());
    let words = first.map(|row| row.cells().filter(|cell| !cell.is_empty()).collect::<Vec<_>>());
    let short: String = words.unwrap_or_default().join(", ").chars().take(60).collect();
    let hint =
        if short.is_empty() { String::new() } else { format!("; the first line is `{short}`") };
    let looked = rows.len().min(30);
    IntakeError::NoHeader { file: sheet.name.clone(), looked, hint }
}

fn contents<'a>(table: &TableFound, rows: &'a [RawRow], seen: &mut Seen<'a>) -> Vec<Content> {
    let mut contents = vec![Content::default(); table.headings.len()];
    for at in table.entries.iter().take(LOOKED_AT) {
        for (column, content) in contents.iter_mut().enumerate() {
            content.see(rows[*at].cell(column), seen);
        }
    }
    contents
}

/// Decimals after a comma, where the file writes them so all through, be it in its threads
/// alone: `M14x1,5` beside a torque of `1.100`, which is then asked for.
fn settle_decimal(
    sheet: &Sheet,
    tables: &[TableFound],
    contents: &[Vec<Content>],
    plan: &mut Plan,
) {
    if plan.decimal != DecimalMark::Point {
        return;
    }
    let threads = tables.iter().zip(contents).flat_map(|(table, contents)| {
        let is_so = |heading: &Heading, content: &Content| {
            heading.column.is("thread") || content.are_threads()
        };
        table.headings.iter().zip(contents).filter(move |(one, content)| is_so(one, content))
    });
    let in_threads = threads.map(|(_, content)| content.count(Look::Comma)).sum::<usize>() > 0;
    let figures = tables.iter().zip(contents).flat_map(|(table, contents)| {
        let is_so = |heading: &Heading, content: &Content| {
            let is_unknown = matches!(heading.column, Column::Unknown { .. });
            super::rows::figures(heading)
                || is_unknown && content.are_figures() && !content.are_strengths()
        };
        table.headings.iter().zip(contents).filter(move |(one, content)| is_so(one, content))
    });
    let (mut commas, mut points) = (0, 0);
    for (_, content) in figures {
        commas += content.count(Look::Comma);
        points += content.count(Look::Point);
    }
    // Numbers of a workbook have a point whatever its texts have.
    let by_figures = commas > 0 && sheet.delimiter.is_some_and(|delimiter| delimiter != ',');
    plan.has_numbers = sheet.delimiter.is_none();
    if in_threads && plan.has_numbers || points == 0 && (in_threads || by_figures) {
        plan.decimal = DecimalMark::Comma;
        plan.conclude("decimals stand after a comma");
    }
}

/// Decides for each column of a table what it holds.
pub(super) struct Settler<'a> {
    pub(super) sheet: &'a Sheet,
    pub(super) names: &'a Names<'a>,
    pub(super) options: &'a Options,
    pub(super) rows: &'a [RawRow],
    pub(super) contents: Vec<Content>,
    /// The worksheet of the table.
    pub(super) page: u16,
    pub(super) pages: &'a Pages,
}

impl Settler<'_> {
    /// Whether titles over the rows of the worksheet name machines.
    pub(super) fn is_of_machines(&self) -> bool {
        self.pages.of_machines.contains(&self.page)
    }

    pub(super) fn fault(&self, line: u32, problem: String, advice: &str) -> IntakeError {
        let (file, advice) = (self.sheet.name.clone(), advice.to_owned());
        IntakeError::Columns { file, line, problem, advice }
    }

    fn block(mut self, mut table: TableFound, plan: &mut Plan) -> Result<(), IntakeError> {
        let line = table.header;
        self.by_content(&mut table.headings, plan);
        self.side_columns(&mut table, plan);
        self.thousands(&mut table.headings, plan);
        let titled = self.titled(&table).assembly;
        self.place_on_machine(&mut table, titled.as_deref());
        let is_titled = titled.is_some();
        if !self.sheet.is_typed {
            self.first_column(&mut table, titled.as_deref(), plan);
        }
        let name_joints = self.titles_name_joints(&table, is_titled);
        Self::assign(&mut table.headings, name_joints, plan);
        if !self.sheet.is_typed {
            self.promote(&mut table, plan);
            self.length_units(&mut table.headings, plan);
        }
        let mut headings = std::mem::take(&mut table.headings);
        self.torques_twice(table.page, &mut headings, plan);
        self.sound(&table, &mut headings, plan)?;
        let fault =
            |problem: String| self.fault(line, problem, "correct the mapping, or the heading");
        let seen = self.two_in_one(&table, &headings, plan);
        let mut reshape = Reshape::plan(&mut headings, self.names, self.options, &seen, fault)?;
        self.name_sides(&mut headings, is_titled);
        settle_torques(&mut headings, &mut reshape, &self.contents, plan);
        self.each_once(line, &headings, &reshape)?;
        let given = self.given(&mut table, &headings, reshape.is_chart(), plan);
        if given.assembly.is_none()
            && self.options.assembly.is_none()
            && !self.sheet.is_typed
            && !headings
                .iter()
                .any(|heading| heading.column.is("assembly") || heading.column.is("key"))
        {
            return Err(self.fault(line, "no column names the assembly".to_owned(), NAME_IT));
        }
        self.kinds(&table, &headings, plan);
        self.sections(&table, &headings, given.assembly.as_ref(), plan);
        self.read_as(&table, &headings, plan);
        let titles = self.above(&table);
        let fills_down = self.fills_down(&table, &headings);
        plan.blocks.push(Block {
            page: table.page,
            header: table.header,
            headings,
            reshape,
            given,
            titles,
            fills_down,
            has_dittos: self.contents.iter().any(|content| content.has_dittos),
        });
        Ok(())
    }

    /// The titles above the headings, the first of the sections where it says more than a name.
    fn above(&self, table: &TableFound) -> Vec<String> {
        let says_more = |text: &str| titles::section(text, self.names).says_more();
        let first = table.sections.iter().find(|(at, text)| *at == usize::MAX && says_more(text));
        let titles = table.titles.iter().map(|cells| cells.join(" "));
        titles.chain(first.map(|(_, text)| text.clone())).collect()
    }

    /// Tells where the part says what it is.
    fn kinds(&self, table: &TableFound, headings: &[Heading], plan: &mut Plan) {
        if let Some(part) = headings.iter().position(|one| one.column.is("part"))
            && !self.sheet.is_typed
            && !headings.iter().any(|one| one.column.is("kind") || one.column.is("key"))
            && table.entries.iter().any(|row| kind_in(self.rows[*row].cell(part)).is_some())
        {
            let text = &headings[part].text;
            plan.conclude(format!("`{text}` says the kind too: bolt, stud, nut, screw or plug"));
        }
    }

    /// Refuses headings of which none names the torque, that name one for an unknown lube,
    /// or a wrong unit.
    fn sound(
        &self,
        table: &TableFound,
        headings: &mut [Heading],
        plan: &mut Plan,
    ) -> Result<(), IntakeError> {
        let line = table.header;
        self.unread_torques(table, headings, plan);
        for heading in headings.iter_mut() {
            if let Column::Unknown { .. } = heading.column
                && let Some(near) = nearly_lube(&heading.text, self.names)
            {
                let text = &heading.text;
                let problem =
                    format!("the heading `{text}` names a torque for a lube that is not known");
                let advice = format!("did you mean `{near}`? Else add the lube to the book first");
                return Err(self.fault(line, problem, &advice));
            }
            if let Some(problem) = wrong_unit(heading) {
                return Err(self.fault(line, problem, "correct the unit in the heading"));
            }
        }
        self.ask_figures(headings, plan);
        Ok(())
    }

    /// Where no column names the joint, the one that names the part does.
    fn promote(&self, table: &mut TableFound, plan: &mut Plan) {
        let has = |name: &str| table.headings.iter().any(|heading| heading.column.is(name));
        // Keys of JSON may name it too.
        let is_named = self.sheet.pages[usize::from(table.page)].joint.is_some();
        if is_named
            || has("joint")
            || has("key")
            || !table.sections.is_empty() && !self.is_of_machines()
            || self.options.joint.is_some()
            || are_sides(&table.headings)
        {
            return;
        }
        let joint = find_field("joint").map(Column::Field);
        self.only_words(table);
        let part = table.headings.iter_mut().find(|heading| heading.column.is("part"));
        if let (Some(part), Some(joint)) = (part, joint) {
            let name = match part.text.as_str() {
                "" => "the first column".to_owned(),
                text => format!("`{text}`"),
            };
            plan.conclude(format!("{name} names the joint: no other column does"));
            part.column = joint;
        }
    }

    fn read_as(&self, table: &TableFound, headings: &[Heading], plan: &mut Plan) {
        let page = &self.sheet.pages[usize::from(table.page)];
        for (at, heading) in headings.iter().enumerate().filter(|(_, one)| one.origin.is_none()) {
            let examples = self.contents.get(at).map(|content| content.examples.clone());
            let known = plan.columns.iter().any(|known| {
                known.page == page.name
                    && known.heading.text == heading.text
                    && known.heading.column == heading.column
            });
            if !known
                && (heading.column != Column::Blank
                    || examples.as_ref().is_some_and(|examples| !examples.is_empty()))
            {
                let page =
                    if self.sheet.pages.len() > 1 { page.name.clone() } else { String::new() };
                let heading = heading.clone();
                plan.columns.push(ColumnRead {
                    page,
                    heading,
                    examples: examples.unwrap_or_default(),
                });
            }
            if page.hidden_columns.contains(&at)
                && self.contents.get(at).is_some_and(|content| content.filled > 0)
            {
                plan.conclude(format!(
                    "column `{}` is hidden in the workbook: look whether it still holds",
                    heading.text
                ));
            }
        }
    }

    /// Whether titles among the rows name the joints; with a column of joints those of a
    /// machine do not.
    fn titles_name_joints(&self, table: &TableFound, is_titled: bool) -> bool {
        let has = |name: &str| table.headings.iter().any(|heading| heading.column.is(name));
        let is_titled = is_titled && !sections_are_machines(table);
        !self.is_of_machines()
            && !table.sections.is_empty()
            && (!has("joint") || !has("assembly") && is_titled)
    }

    /// Whether blank names stand below filled ones.
    fn fills_down(&self, table: &TableFound, headings: &[Heading]) -> bool {
        let columns: Vec<usize> = (0..headings.len())
            .filter(|at| headings[*at].origin.is_none())
            .filter(|at| headings[*at].column.is("assembly") || headings[*at].column.is("joint"))
            .collect();
        let Some(first) = table.entries.first() else { return false };
        !columns.is_empty() && columns.iter().all(|at| !self.rows[*first].cell(*at).is_empty())
    }
}

/// What to do where nothing names an assembly.
const NAME_IT: &str = "add the column, or say in a mapping which heading means it, or the one assembly and joint of the whole file: --suggest-map FILE writes one to edit, --map FILE imports with it";
