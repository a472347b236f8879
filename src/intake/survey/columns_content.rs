//! What a column holds, by its cells where its heading says little or another thing.

use std::collections::HashSet;

use crate::intake::cells::{Context, read_choice, read_lube};
use crate::intake::header::{Column, Heading, Weight, read_heading};
use crate::intake::lube_words::says_no_lube;
use crate::intake::names::Names;
use crate::intake::options::SplitColumn;
use crate::intake::survey::Plan;
use crate::intake::survey::columns::Settler;
use crate::intake::survey::columns_beside::{is_no_end, says_assembly};
use crate::intake::survey::columns_unknown::{is_count, is_unknown};
use crate::intake::survey::content::{Content, starts_with_thread};
use crate::intake::survey::rows::{TableFound, figures};
use crate::intake::words::plain_words;
use crate::quantity::{DecimalMark, Dimension, find_unit};
use crate::record::{FieldKind, LubeClass, find_field};
use crate::text::{fold_name, nearest};

impl Settler<'_> {
    /// `Pump / Part` over `Pump 1 / cover`: two fields in one column.
    pub(super) fn two_in_one(
        &self,
        table: &TableFound,
        headings: &[Heading],
        plan: &mut Plan,
    ) -> Vec<SplitColumn> {
        const FIELDS: &[&str] =
            &["assembly", "joint", "part", "thread", "strength", "lube", "count"];
        const MARKS: &[&str] = &[" / ", "/", " - ", " – ", ", ", ": "];
        let named = |text: &str| {
            FIELDS.iter().find(|field| read_heading(text, self.names).column.is(field))
        };
        let mut seen = Vec::new();
        for (at, heading) in headings.iter().enumerate().filter(|(_, one)| one.origin.is_none()) {
            let Some((one, other)) = heading.text.split_once('/') else { continue };
            let (Some(mut one), Some(other)) = (named(one), named(other)) else { continue };
            let sizes =
                table.entries.iter().filter(|row| starts_with_thread(self.rows[**row].cell(at)));
            if *one == "part" && sizes.count() * 2 > table.entries.len() {
                one = &"thread";
            }
            let is_free = |field: &&str| {
                !headings.iter().enumerate().any(|(nth, one)| nth != at && one.column.is(field))
            };
            let cells = || table.entries.iter().map(|row| self.rows[*row].cell(at));
            let filled = cells().filter(|cell| !cell.is_empty()).count();
            let is_parted = |cell: &&str, mark: &str| {
                // `9/16` is one size.
                let whole = cell.split_once(mark).is_some_and(|(one, other)| {
                    one.ends_with(|c: char| c.is_ascii_digit())
                        && other.starts_with(|c: char| c.is_ascii_digit())
                });
                cell.matches(mark).count() == 1 && !whole
            };
            let parts = |mark: &&&str| cells().filter(|cell| is_parted(cell, mark)).count();
            let mark = MARKS.iter().find(|mark| parts(mark) * 5 >= filled * 4);
            if let Some(mark) =
                mark.filter(|_| filled > 0 && one != other && is_free(one) && is_free(other))
            {
                plan.conclude(format!(
                    "`{}` read as {one} and {other}, parted by `{}`",
                    heading.text,
                    mark.trim()
                ));
                let into = vec![(*one).to_owned(), (*other).to_owned()];
                seen.push(SplitColumn {
                    column: heading.text.clone(),
                    at: (*mark).to_owned(),
                    into,
                });
            }
        }
        seen
    }

    /// `none` among cells that name lubes, none of which is dry, says that there is no lube.
    pub(super) fn none_is_dry(
        &self,
        table: &TableFound,
        headings: &mut [Heading],
        plan: &mut Plan,
    ) {
        let is_typed = self.sheet.is_typed || headings.iter().any(|one| one.column.is("key"));
        let at = headings.iter().position(|one| one.column.is("lube") && one.origin.is_none());
        let Some(at) = at.filter(|_| !is_typed) else { return };
        let cells: HashSet<&str> =
            table.entries.iter().map(|row| self.rows[*row].cell(at)).collect();
        let none = cells.iter().copied().filter(|cell| says_no_lube(cell)).min();
        let others = cells.iter().filter(|cell| !says_no_lube(cell));
        let classes: Vec<LubeClass> =
            others.filter_map(|cell| class_of_lube(cell, self.names)).collect();
        if let Some(none) = none.filter(|_| !classes.contains(&LubeClass::Dry))
            && classes.contains(&LubeClass::Wet)
        {
            let heading = &mut headings[at];
            heading.none_is_dry = true;
            plan.conclude(format!(
                "`{none}` under `{}` read as dry: its other cells name what goes on",
                heading.text
            ));
        }
    }

    /// Lengths without a unit are in that of the threads beside them.
    pub(super) fn length_units(&self, headings: &mut [Heading], plan: &mut Plan) {
        let Some(thread) = headings.iter().position(|one| one.column.is("thread")) else { return };
        let has = |column: &Column| headings.iter().any(|one| one.column == *column);
        let threads = &self.contents[thread];
        let unit = match () {
            () if threads.are_of_inches() || has(&Column::Tpi) => "in",
            () if threads.are_metric() || has(&Column::Pitch) => "mm",
            () => return,
        };
        let (Some(unit), None) = (find_unit(unit), self.options.length_unit) else { return };
        for (at, heading) in headings.iter_mut().enumerate() {
            let figures = self.rows.iter().filter_map(|row| row.cell(at).parse::<f64>().ok());
            let fits =
                |figure: f64| if unit.symbol == "mm" { figure >= 5.0 } else { figure <= 24.0 };
            if heading.column.is("length")
                && heading.units.is_empty()
                && self.contents[at].filled > 0
                && figures.into_iter().all(fits)
            {
                plan.conclude(format!(
                    "`{}` has no unit: taken in {}, as the threads are",
                    heading.text, unit.symbol
                ));
                heading.units = vec![unit];
            }
        }
    }

    /// Corrects the meaning of headings by what stands below them.
    pub(super) fn by_content(&mut self, headings: &mut [Heading], plan: &mut Plan) {
        self.lettered_steps(headings);
        self.bare_ids(headings, plan);
        for at in 0..headings.len() {
            let is_text = |other: &&Column| matches!(other, Column::Field(field) if field.kind == FieldKind::Text);
            if self.are_words_of_another(at, headings)
                && let Some(other) = headings[at].others.iter().find(is_text).cloned()
            {
                headings[at].column = other;
                headings[at].weight = Weight::Strong;
            }
            let heading = &headings[at];
            if heading.weight == Weight::Named && !heading.column.is("thread") {
                continue;
            }
            let is_unknown = is_unknown(heading);
            let column = match self.by_cells(at, headings) {
                ByCells::Weak => {
                    self.weak(at, headings);
                    continue;
                }
                ByCells::Column(column) => {
                    headings[at].column = column;
                    continue;
                }
                ByCells::Field(name, why) => find_field(name).map(|field| (field, why)),
                ByCells::NoThread => None,
            };
            let heading = &mut headings[at];
            match column {
                Some((field, why)) => {
                    if !is_unknown || !heading.text.is_empty() {
                        plan.conclude(format!("`{}` read as {}: {why}", heading.text, field.name));
                    }
                    heading.others =
                        vec![std::mem::replace(&mut heading.column, Column::Field(field))];
                    heading.weight = Weight::Named;
                }
                None if heading.weight == Weight::Named => {}
                None => self.no_thread(at, &mut headings[at]),
            }
        }
        self.beside_units(headings, plan);
    }

    /// Whether words stand under the name of a count (`Place`), or of a group of
    /// bolts where no column names the joint: they are what shops mean by it.
    fn are_words_of_another(&self, at: usize, headings: &[Heading]) -> bool {
        let content = &self.contents[at];
        let Column::Field(field) = headings[at].column else { return false };
        let has_joint = headings.iter().any(|one| one.column.is("joint"));
        let is_other = field.kind == FieldKind::Number || field.name == "group" && !has_joint;
        is_other && content.are_words() && !content.are_figures() && !self.sheet.is_typed
    }

    /// `Status` over `ACT`, `OBSOLETE`: the heading is that of a list of words, and none of
    /// them, nor one nearly so, is in its cells.
    fn are_no_words(&self, at: usize, heading: &Heading) -> bool {
        let Column::Field(field) = heading.column else { return false };
        let FieldKind::Choice(words) = field.kind else { return false };
        let examples = &self.contents[at].examples;
        let is_other = |cell: &String| {
            read_choice(cell, words, |word| field.read(word).ok()).is_err()
                && nearest(&fold_name(cell), words.iter().copied()).is_none()
        };
        // A hole may be named by what it opens into, which is another list.
        let may_be = !self.sheet.is_typed && field.name != "hole" && !examples.is_empty();
        may_be && examples.iter().all(is_other)
    }

    /// What the cells of a column say that it is.
    fn by_cells(&self, at: usize, headings: &[Heading]) -> ByCells {
        let (heading, content) = (&headings[at], &self.contents[at]);
        let has = |name: &str| headings.iter().any(|one| one.column.is(name));
        let names = ["part", "joint", "length", "kind", "positions", "head-size", "strength"];
        let is_unknown = is_unknown(heading);
        let is_place = names.iter().any(|name| heading.column.is(name));
        let several = is_unknown && content.filled > 1;
        // `Greased with`, which a column of torques for grease might be headed too.
        let is_dry = |cell: &String| plain_words(cell) == "dry";
        let is_for_lube = matches!(heading.column, Column::TorqueFor(_))
            || heading.column.is("wet-to") && content.examples.iter().any(is_dry);
        let has_sizes = has("thread") || self.contents.iter().any(Content::are_threads);
        let has_pitch = content.are_figures()
            && headings.iter().any(|one| matches!(one.column, Column::Pitch | Column::Tpi));
        // Spanners and lengths in inches look like threads.
        let is_size = heading.column.is("head-size") || heading.column.is("length");
        let may_be_thread = is_place && !(is_size && has("thread"))
            || is_unknown && !self.has_other_threads(at, headings);
        if may_be_thread && content.are_threads() {
            ByCells::Field("thread", "the cells are threads")
        } else if (is_place || is_unknown || heading.column.is("thread")) && content.are_series() {
            ByCells::Column(Column::Pitch)
        } else if is_count(heading) && content.are_whole() && has_sizes && !has("count") {
            ByCells::Field("count", "the cells are whole numbers")
        } else if heading.column == Column::TorqueUnit && content.filled > 0 && !content.are_units()
        {
            match headings.iter().any(|one| one.column.is("assembly") && !says_assembly(one)) {
                true => ByCells::Column(Column::Kept("the cells are no units")),
                false => ByCells::Field("assembly", "the cells are no units"),
            }
        } else if (is_place || is_unknown) && content.end_in_threads() && !has("thread") {
            ByCells::Field("thread", "the cells end in threads")
        } else if is_unknown && content.are_torques() && !headings.iter().any(figures) {
            ByCells::Field("torque", "the cells are torques")
        } else if self.may_be_torque(at, headings) {
            ByCells::Field("torque", "its heading says torque")
        } else if let Some(angle) = self.angle(at, headings) {
            angle
        } else if heading.column.is("order") && content.are_steps() && !has("passes") {
            ByCells::Field("passes", "the cells are steps")
        } else if heading.column.is("thread") && content.are_no_threads() && !has_pitch {
            ByCells::NoThread
        } else if (is_unknown || heading.weight == Weight::Weak && figures(heading))
            && content.are_units()
            && !headings.iter().any(|one| one.column == Column::TorqueUnit)
        {
            ByCells::Column(Column::TorqueUnit)
        } else if (several || is_for_lube) && content.are_lubes() && !has("lube") {
            ByCells::Field("lube", "the cells are lubes")
        } else if let Some(found) = self.by_kind(at, headings).or_else(|| self.vague(at, headings))
        {
            found
        } else if let Some(near) = self.near(at, headings) {
            ByCells::Field(near, "its words nearly name it")
        } else if heading.column.is("wet-to") && content.are_figures() {
            ByCells::Column(Column::TorqueFor("oil".to_owned()))
        } else {
            ByCells::Weak
        }
    }

    /// A column headed `Size` that holds no threads.
    fn no_thread(&self, at: usize, heading: &mut Heading) {
        let content = &self.contents[at];
        let other = if content.are_words() { "part" } else { "notes" };
        if let Some(field) = find_field(other) {
            heading.column = Column::Field(field);
        }
    }

    /// Why the cells of a column are not what its heading says, and go into the notes.
    fn kept(&self, at: usize, headings: &[Heading]) -> Option<&'static str> {
        let (heading, content) = (&headings[at], &self.contents[at]);
        let figures = figures(heading);
        if matches!(heading.column, Column::TorqueFor(_)) && content.are_ticks() {
            None
        } else if is_no_end(at, headings) {
            Some("it is no end of the torque beside it")
        } else if heading.weight == Weight::Weak && figures && content.are_no_figures() {
            Some("it holds no figures")
        } else if heading.column.is("strength")
            && content.are_no_strengths()
            && content.are_words()
            && !content.examples.iter().any(|cell| says_stress(cell))
        {
            Some("it holds no grades")
        } else if heading.column.is("lube")
            && content.are_no_lubes()
            && plain_words(&heading.text).contains("condition")
        {
            Some("it holds no lubes")
        } else if self.are_no_words(at, heading) {
            Some("its cells are none of the words of it")
        } else {
            None
        }
    }

    /// Weak headings hold figures, or they are no headings of figures.
    fn weak(&self, at: usize, headings: &mut [Heading]) {
        if let Some(why) = self.kept(at, headings) {
            headings[at].column = Column::Kept(why);
        }
        let content = &self.contents[at];
        let has_assembly = headings.iter().any(|one| one.column.is("assembly"));
        let is_part = |nth: usize| {
            nth != at && headings[nth].column.is("part") && self.contents[nth].are_words()
        };
        let has_other_part = (0..headings.len()).any(is_part);
        let heading = &mut headings[at];
        if heading.column.is("part") && content.count_rows() && has_other_part {
            heading.column = Column::RowNumber;
        }
        if heading.column == Column::RowNumber && !content.count_rows() {
            let machine = heading.others.iter().find(|other| other.is("assembly")).cloned();
            let machine = machine.filter(|_| content.are_words() && !has_assembly);
            let other = heading.others.iter().find(|other| other.is("count")).cloned();
            let is_bare = BARE_NUMBERS.contains(&plain_words(&heading.text).as_str());
            heading.column = match (machine, other) {
                (Some(machine), _) => machine,
                (_, Some(count)) if is_bare && content.are_whole() => count,
                _ => Column::Kept(NO_NUMBER),
            };
        }
        if heading.column.is("positions")
            || heading.column.is("joint") && heading.others.iter().any(|o| o.is("positions"))
        {
            let is_place = content.are_words() && !content.are_figures();
            let wanted = if is_place { "joint" } else { "positions" };
            if let Some(field) = find_field(wanted).filter(|_| heading.weight != Weight::Named) {
                let counts = !is_place && content.count_rows();
                heading.column = if counts { Column::RowNumber } else { Column::Field(field) };
            }
        }
    }
}

/// Whether a figure with a unit of stress stands in a cell: `180 ksi stud`.
fn says_stress(cell: &str) -> bool {
    let folded = plain_words(cell);
    let words: Vec<&str> = folded.split(' ').collect();
    words.windows(2).any(|pair| {
        pair[0].parse::<f64>().is_ok()
            && find_unit(pair[1]).is_some_and(|unit| unit.dimension == Dimension::Stress)
    })
}

/// The class of the lube that a cell names on the threads.
fn class_of_lube(cell: &str, names: &Names) -> Option<LubeClass> {
    let (mark, has_keys) = (DecimalMark::Point, false);
    let (unit, second, day_first) = (None, None, None);
    let context = Context { names, mark, unit, second, has_keys, day_first };
    let read = read_lube(cell, context).ok()?;
    names.lube(&read.value.thread).map(|lube| lube.class)
}

/// Why a column headed as a number is none.
pub(super) const NO_NUMBER: &str = "it neither counts rows nor fasteners";

/// Words for a number that may count rows or fasteners; `Item no` never says how many.
const BARE_NUMBERS: &[&str] = &["no", "nr", "n°", "nº", "#", "num", "numero", "n"];

/// What the cells of a column say that it is.
pub(super) enum ByCells {
    /// A field, and why.
    Field(&'static str, &'static str),
    /// Another kind of column.
    Column(Column),
    /// Headed as a thread, and holding none.
    NoThread,
    /// Nothing beyond its heading.
    Weak,
}
