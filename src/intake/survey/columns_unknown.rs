//! Columns whose headings are not known: read by what they hold, or asked about.

use std::collections::HashSet;

use crate::intake::cells::says_ditto;
use crate::intake::header::{Column, Heading, Weight, read_heading, says_degrees, says_torque};
use crate::intake::heading_words::{ASIDE, NAMING, NO_FACT, PER, PLURALS, STOCK};
use crate::intake::survey::around::{is_numbered, says_machine};
use crate::intake::survey::columns::Settler;
use crate::intake::survey::columns_content::ByCells;
use crate::intake::survey::rows::{TableFound, figures};
use crate::intake::survey::{Plan, title_facts};
use crate::intake::words::{NOMINAL, THEN, plain_words};
use crate::record::find_field;

impl Settler<'_> {
    /// `Spec`, `Value` over grades, threads or lubes, beside a column of figures to tighten to.
    pub(super) fn vague(&self, at: usize, headings: &[Heading]) -> Option<ByCells> {
        let (heading, content) = (&headings[at], &self.contents[at]);
        let has = |name: &str| headings.iter().any(|one| one.column.is(name));
        let words = plain_words(&heading.text);
        let is_vague = heading.column.is("torque")
            && heading.units.is_empty()
            && words.split(' ').all(|word| VAGUE.contains(&word));
        let is_torque =
            |nth: usize| nth != at && figures(&headings[nth]) && self.contents[nth].are_figures();
        if !is_vague || !(0..headings.len()).any(is_torque) {
            return None;
        }
        let (name, why) = match () {
            () if content.are_threads() && !has("thread") => ("thread", "the cells are threads"),
            () if content.are_strengths() && !has("strength") => {
                ("strength", "the cells are grades")
            }
            () if content.are_lubes() && !has("lube") => ("lube", "the cells are lubes"),
            () if content.are_figures() && !content.are_strengths() => return None,
            () => ("notes", "the cells are no torques"),
        };
        Some(ByCells::Field(name, why))
    }

    /// `Turns past finger tight` over 2-3, beside the threads themselves.
    pub(super) fn has_other_threads(&self, at: usize, headings: &[Heading]) -> bool {
        let beside_threads =
            |one: &Heading| one.column.is("thread") && one.weight >= Weight::Strong;
        headings
            .iter()
            .zip(&self.contents)
            .enumerate()
            .any(|(nth, (one, cells))| nth != at && beside_threads(one) && cells.are_threads())
    }

    /// Passes, and grades by their numbers alone, under an unknown heading.
    pub(super) fn by_kind(&self, at: usize, headings: &[Heading]) -> Option<ByCells> {
        let has_passes = headings.iter().any(|one| one.column.is("passes"));
        if is_unknown(&headings[at]) && self.contents[at].are_passes() && !has_passes {
            return Some(ByCells::Field("passes", "the cells are passes"));
        }
        let has_strength = headings.iter().any(|one| one.column.is("strength"));
        if is_unknown(&headings[at])
            && self.contents[at].filled > 1
            && self.contents[at].are_named_strengths()
            && !has_strength
        {
            return Some(ByCells::Field("strength", "the cells are grades"));
        }
        self.are_grades_beside(at, headings)
            .then_some(ByCells::Field("strength", "the cells are grades of inch bolts"))
    }

    /// 5 and 8 beside inch threads, where another column is the count: no column is the grade.
    fn are_grades_beside(&self, at: usize, headings: &[Heading]) -> bool {
        let has = |name: &str| headings.iter().any(|one| one.column.is(name));
        is_unknown(&headings[at])
            && self.contents[at].are_inch_grades()
            && self.contents.iter().any(|one| one.are_threads() && one.are_of_inches())
            && has("count")
            && !has("strength")
    }

    /// Bare figures under an unknown heading are the torques, where a column holds their
    /// units, or who imports says it, no other holds torques, and no other such figures.
    pub(super) fn beside_units(&self, headings: &mut [Heading], plan: &mut Plan) {
        let is_done =
            |one: &Heading| figures(one) || ["key", "stretch"].iter().any(|it| one.column.is(it));
        let units = headings.iter().find(|one| one.column == Column::TorqueUnit);
        let why = match (units, self.options.torque_unit) {
            (Some(units), _) => format!("`{}` holds the units", units.text),
            (None, Some(unit)) => format!("the unit of the torques is said to be {}", unit.symbol),
            (None, None) => return,
        };
        if headings.iter().any(is_done) {
            return;
        }
        let may_be = |at: &usize| self.are_unknown_figures(*at, headings);
        let found: Vec<usize> = (0..headings.len()).filter(may_be).collect();
        let ([at], Some(torque)) = (&found[..], find_field("torque")) else { return };
        plan.conclude(format!("`{}` read as torque: {why}", headings[*at].text));
        headings[*at].column = Column::Field(torque);
        headings[*at].weight = Weight::Strong;
    }

    /// Whether a column holds bare figures, and neither its heading nor its cells say that
    /// they are none of the joint.
    fn are_unknown_figures(&self, at: usize, headings: &[Heading]) -> bool {
        let (heading, content) = (&headings[at], &self.contents[at]);
        matches!(heading.column, Column::Unknown { .. })
            && content.are_bare()
            && !content.count_rows()
            && content.ends.is_some_and(|(least, most)| least > 0.0 && most < LEAST_ID)
            && !says_no_fact(&heading.text)
            && !self.are_of_register(at, headings)
    }

    /// Whether whole numbers are those of papers: the heading says number, or they are long
    /// and hardly differ where the torques do: 4471, 4472, 4480.
    fn are_of_register(&self, at: usize, headings: &[Heading]) -> bool {
        let content = &self.contents[at];
        let ends = |nth: usize| self.contents[nth].ends.filter(|_| figures(&headings[nth]));
        let differ = |(least, most): (f64, f64)| most > least * 2.0;
        let Some((least, most)) = content.ends.filter(|_| content.are_whole()) else {
            return false;
        };
        let has_torque = headings.iter().any(figures);
        has_torque && says_register(&headings[at].text)
            || least >= LEAST_PAPER
                && most < least * 1.25
                && (0..headings.len()).filter_map(ends).any(differ)
    }

    /// Names that repeat, each in one block of rows, under a heading that is not known: the
    /// machines where nothing surer names them, else the joints where no column does. Two such
    /// columns, or a title that may be the machine, are asked about.
    pub(super) fn names_among(
        &self,
        table: &mut TableFound,
        titled: Option<&str>,
        plan: &mut Plan,
    ) {
        let has = |name: &str| table.headings.iter().any(|one| one.column.is(name));
        if has("key") || self.options.assembly.is_some() {
            return;
        }
        let is_named = has("assembly") || titled.is_some_and(|title| self.is_sure(title));
        let has_joint = has("joint") || !table.sections.is_empty() || self.options.joint.is_some();
        let name = if is_named { "joint" } else { "assembly" };
        if is_named && has_joint {
            return;
        }
        let found: Vec<usize> =
            (0..table.headings.len()).filter(|at| self.are_names(table, *at)).collect();
        let (Some(at), Some(field)) = (found.first().copied(), find_field(name)) else { return };
        let is_doubtful = titled.is_some() && !is_named && !self.are_numbered(table, at);
        let heading = &mut table.headings[at];
        if found.len() > 1 || is_doubtful {
            let names: &[&str] = if has_joint { &[name] } else { &["assembly", "joint"] };
            let readings = names.iter().chain(&["notes"]).map(|one| (*one).to_owned());
            heading.column = Column::Asked {
                reason: "names that repeat under a heading that is not known".to_owned(),
                readings: readings.collect(),
            };
            return;
        }
        plan.conclude(format!("`{}` read as {name}: its names repeat", heading.text));
        heading.column = Column::Field(field);
    }

    /// Whether a title is surely the machine's: it has a number, or says what kind it is.
    pub(super) fn is_sure(&self, title: &str) -> bool {
        is_numbered(title) || says_machine(title, self.names)
    }

    /// The names of a column, each once a block: a blank or a ditto goes on with the last.
    fn blocks<'t>(&'t self, table: &TableFound, at: usize) -> Vec<&'t str> {
        let mut blocks: Vec<&str> = Vec::new();
        for row in &table.entries {
            let cell = self.rows[*row].cell(at);
            if !cell.is_empty() && !says_ditto(cell) && blocks.last() != Some(&cell) {
                blocks.push(cell);
            }
        }
        blocks
    }

    /// The same where each name stands for two rows on average or more.
    pub(super) fn repeated<'t>(&'t self, table: &TableFound, at: usize) -> Option<Vec<&'t str>> {
        let blocks = self.blocks(table, at);
        (blocks.len() * 2 <= table.entries.len()).then_some(blocks)
    }

    /// `RX-30`, `KC3`: letters and numbers that the book does not know, one for several rows.
    pub(super) fn are_models(&self, table: &TableFound, at: usize) -> bool {
        let content = &self.contents[at];
        let is_model = |name: &&str| {
            name.contains(char::is_uppercase) && name.contains(|c: char| c.is_ascii_digit())
        };
        let is_known = content.are_threads()
            || content.are_named_strengths()
            || content.are_lubes()
            || content.are_figures();
        let blocks = self.repeated(table, at).filter(|_| !is_known);
        blocks.is_some_and(|blocks| blocks.iter().all(is_model))
    }

    fn are_numbered(&self, table: &TableFound, at: usize) -> bool {
        self.blocks(table, at).iter().all(|name| is_numbered(name))
    }

    /// Whether a column of an unknown heading holds names that repeat: words that begin with a
    /// capital or have a number, nothing that the book knows.
    fn are_names(&self, table: &TableFound, at: usize) -> bool {
        let (heading, content) = (&table.headings[at], &self.contents[at]);
        let is_text = matches!(heading.column, Column::Unknown { .. })
            && (content.are_words() || self.are_models(table, at))
            && !content.are_figures()
            && !content.are_lubes()
            && !content.are_strengths()
            && !content.end_in_threads()
            && !says_no_fact(&heading.text);
        let is_first =
            table.entries.first().is_some_and(|row| !self.rows[*row].cell(at).is_empty());
        let Some(blocks) = self.repeated(table, at).filter(|_| is_text && is_first) else {
            return false;
        };
        let names: HashSet<&str> = blocks.iter().copied().collect();
        let is_capital =
            |word: &str| word.starts_with(|c: char| c.is_uppercase() || c.is_numeric());
        let is_name = |name: &&str| match blocks.len() {
            // One name all through says little: `Torvane Hauler`, no `Zinc plated`.
            1 => name.contains(' ') && name.split(' ').all(is_capital),
            _ => is_capital(name) && name.split(' ').count() <= 5,
        };
        names.len() == blocks.len() && blocks.iter().all(is_name)
    }

    /// Asks, once for each column, what bare figures under a heading that is not known are.
    pub(super) fn ask_figures(&self, headings: &mut [Heading], plan: &mut Plan) {
        if self.sheet.is_typed || headings.iter().any(|one| one.column.is("key")) {
            return;
        }
        for at in 0..headings.len().min(self.contents.len()) {
            if !self.are_unknown_figures(at, headings) {
                continue;
            }
            let is_of_torque = title_facts::unit_in(&headings[at].text).is_some();
            if is_of_torque && headings.iter().any(figures) {
                // `Nm (2019)` beside `Nm now`
                let text = &headings[at].text;
                plan.conclude(format!("`{text}` is a second torque: kept in the notes"));
                headings[at].column = Column::Kept("another column is the torque");
                continue;
            }
            headings[at].column = Column::Asked {
                reason: "bare figures under a heading that is not known".to_owned(),
                readings: self.may_be(at, headings).into_iter().map(str::to_owned).collect(),
            };
        }
    }

    /// Asks, once for each column, what torques with their unit and turns under a heading that
    /// is not known are, be it in one cell of it.
    pub(super) fn ask_tightening(&self, headings: &mut [Heading]) {
        if self.sheet.is_typed || headings.iter().any(|one| one.column.is("key")) {
            return;
        }
        for at in 0..headings.len().min(self.contents.len()) {
            let content = &self.contents[at];
            let (torques, degrees) = (content.have_torques(), content.have_degrees());
            let is_unknown = matches!(headings[at].column, Column::Unknown { .. });
            if !is_unknown || !torques && !degrees || says_no_fact(&headings[at].text) {
                continue;
            }
            let reason = match torques {
                true => "torques under a heading that is not known",
                false => "degrees or turns under a heading that is not known",
            };
            let readings = Self::may_tighten(headings, torques);
            headings[at].column = Column::Asked { reason: reason.to_owned(), readings };
        }
    }

    /// What torques or turns may be: the torque, a further step, a figure of another day.
    fn may_tighten(headings: &[Heading], torques: bool) -> Vec<String> {
        let steps = headings.iter().filter_map(|one| match one.column {
            Column::Pass(step) => Some(step),
            _ => None,
        });
        let has_torque = headings.iter().any(figures);
        let next = steps.max().map_or(1 + u32::from(has_torque), |last| last + 1);
        let own = match torques {
            true => (!has_torque).then_some("torque"),
            false => (!headings.iter().any(|one| one.column.is("angle"))).then_some("angle"),
        };
        let old = torques.then(|| "old torque".to_owned());
        let step = [format!("pass {next}")].into_iter().filter(|_| has_torque || torques);
        own.map(str::to_owned)
            .into_iter()
            .chain(step)
            .chain(old)
            .chain(["notes".to_owned()])
            .collect()
    }

    /// What bare figures may be that no other column gives, the likeliest first.
    fn may_be(&self, at: usize, headings: &[Heading]) -> Vec<&'static str> {
        let content = &self.contents[at];
        let is_free = |name: &str| !headings.iter().any(|one| one.column.is(name));
        let (least, most) = content.ends.unwrap_or_default();
        let has_unit = headings.iter().any(|one| one.column == Column::TorqueUnit);
        let has_torque = headings.iter().any(figures);
        let torques: &[&str] = match (has_torque, has_unit) {
            (true, _) => &[],
            (_, true) => &["torque"],
            _ => &["torque (lb-ft)", "torque (N·m)"],
        };
        let whole = content.are_whole();
        let fields = [
            ("count", "count", whole && most <= MOST_COUNTED),
            ("strength", "strength", content.are_strengths()),
            ("passes", "passes", whole && has_torque && least >= 2.0 && most <= 6.0),
            ("head-size", "wrench size", least >= 4.0 && most <= 80.0),
            ("length", "length", least >= 4.0),
        ];
        let fields = fields.into_iter().filter(|(name, _, fits)| *fits && is_free(name));
        let fields = fields.map(|(_, said, _)| said);
        torques.iter().copied().chain(fields).chain(["notes"]).collect()
    }

    /// `Nut torque` over figures, where no column is one of torque.
    pub(super) fn may_be_torque(&self, at: usize, headings: &[Heading]) -> bool {
        let words = plain_words(&headings[at].text);
        // `Nominal` beside `Min` and `Max`.
        let is_end = |one: &Heading| matches!(one.column, Column::Low(_) | Column::High(_));
        let is_nominal = words.split(' ').all(|word| NOMINAL.contains(&word))
            && headings.iter().any(is_end)
            && !headings.iter().any(|one| one.column.is_torque());
        is_unknown(&headings[at])
            && self.contents[at].are_figures()
            && (is_nominal || !headings.iter().any(figures) && words.split(' ').any(says_torque))
    }

    /// Turns, or degrees that may be turned, under an unknown heading beside a torque, where
    /// no column is the angle.
    pub(super) fn angle(&self, at: usize, headings: &[Heading]) -> Option<ByCells> {
        let (heading, content) = (&headings[at], &self.contents[at]);
        let has_angle = headings.iter().any(|one| one.column.is("angle"));
        if !is_unknown(heading) || self.sheet.is_typed || !headings.iter().any(figures) || has_angle
        {
            return None;
        }
        let are_angles = content.are_angles();
        if are_angles && content.have_turns() {
            return Some(ByCells::Field("angle", "the cells are turns"));
        }
        let asked = Column::Asked {
            reason: "degrees beside a torque: is it turned by them after it".to_owned(),
            readings: vec!["angle (°)".to_owned(), "notes".to_owned()],
        };
        let may_be = are_angles || content.are_figures() && adds(&heading.text);
        may_be.then_some(ByCells::Column(asked))
    }

    /// The field that an unknown heading nearly names, or one of its outer words does
    /// (`Engine family`), where no column has it.
    pub(super) fn near(&self, at: usize, headings: &[Heading]) -> Option<&'static str> {
        const FIELDS: &[&str] =
            &["assembly", "joint", "part", "thread", "torque", "lube", "strength", "count"];
        let Column::Unknown { nearest } = &headings[at].column else { return None };
        let text = headings[at].text.replace('_', " ");
        let is_free = |field: &&str| !headings.iter().any(|heading| heading.column.is(field));
        let near = nearest.as_ref().and_then(|near| find_field(&near.to_lowercase()));
        // `Kart` is no slip of `part`: of a short word one letter makes another.
        let is_near = |field: &&'static str| {
            let length = text.chars().count();
            let first = |text: &str| text.chars().next().map(|c| c.to_ascii_lowercase());
            length >= 4 && (length >= 6 || first(&text) == first(field))
        };
        let near = near.map(|field| field.name).filter(|field| FIELDS.contains(field));
        let near = near.filter(is_near);
        // `Grease?` is nearly `Grade`, until its cells are seen.
        let content = &self.contents[at];
        let near = near.filter(|field| *field != "strength" || content.are_strengths());
        // `Engine family` names an engine, `Machine operator` and `Storage location` nothing
        // of the joint, `Part of engine` a place on one.
        let (first, rest) = text.split_once(' ').unwrap_or((&text, ""));
        if rest.split(' ').next().is_some_and(|word| OF.contains(&word)) {
            let of = read_heading(first, self.names).column;
            let is_place = (of.is("part") || of.is("joint")) && content.are_words();
            return is_place.then_some("joint").filter(is_free);
        }
        let says = |words: &[&str], word: &str| words.contains(&plain_words(word).as_str());
        let is_name = !rest.is_empty() && rest.split(' ').all(|word| says(NAMING, word));
        let last = rest.rsplit(' ').next().filter(|last| !last.is_empty() && !says(ASIDE, first));
        let outer = [Some(first).filter(|_| is_name), last].into_iter().flatten();
        let named = outer.into_iter().find_map(|word| {
            let heading = read_heading(word, self.names);
            let fields = ["assembly", "joint", "strength"].into_iter();
            let field = fields.filter(is_free).find(|one| heading.column.is(one))?;
            let fits = match field {
                "strength" => content.are_strengths(),
                _ => content.filled > 0 && !content.are_figures(),
            };
            fits.then_some(field)
        });
        near.filter(is_free).or(named)
    }
}

/// Whether figures under a heading may be degrees that are added: `Seat (°)`, `+`, `then`.
fn adds(heading: &str) -> bool {
    let word = heading.trim().to_lowercase();
    says_degrees(heading) || ["+", "plus"].contains(&&*word) || THEN.contains(&&*word)
}

/// Numbers of records are long.
const LEAST_ID: f64 = 10_000.0;

/// Numbers of papers have four digits and more.
const LEAST_PAPER: f64 = 1_000.0;

/// Whether a heading ends in a word for a number or a reference: `Rig sheet no.`, `Pad ref`.
fn says_register(heading: &str) -> bool {
    const REGISTER: &[&str] = &["no", "nr", "ref", "number", "nummer", "numero", "#", "num"];
    let folded = plain_words(heading);
    folded.split(' ').count() > 1
        && folded.rsplit(' ').next().is_some_and(|word| REGISTER.contains(&word))
}

/// More of one fastener are hardly counted in a row of a sheet.
const MOST_COUNTED: f64 = 200.0;

/// Whether a heading says something that is no fact of a joint: `Bin`, `Last done (km)`.
pub(super) fn says_no_fact(heading: &str) -> bool {
    let folded = plain_words(heading);
    let mut words = folded.split([' ', '(', ')', '/', '[', ']', '&', '+', '#']);
    words.any(|word| NO_FACT.contains(&word) || ASIDE.contains(&word) || STOCK.contains(&word))
}

/// Between what is named and what it is of.
const OF: &[&str] = &["of", "de", "du", "der", "des", "del", "della", "di"];

/// Words that say a count, with whatever stands beside them.
#[rustfmt::skip] // words of five languages, side by side
const QUANTITY: &[&str] = &[
    "qty", "quantity", "cnt", "count", "anz", "anzahl", "stuckzahl", "menge", "qte", "quantite", "cant", "cantidad", "qta", "quantita", "aantal", "antal",
];

/// `Bolts`, `No of studs`, `Bolts per head`, `Per coach`.
pub(super) fn is_count(heading: &Heading) -> bool {
    const NUMBER: &[&str] = &[
        "no", "#", "number", "qty", "nr", "anzahl", "stk", "nombre", "nb", "cantidad", "cant",
        "quantita", "n", "on", "for", "off", "pcs",
    ];
    let folded = plain_words(&heading.text);
    let is_word = |word: &&str| !NUMBER.contains(word) && !OF.contains(word);
    let mut words = folded.split([' ', '/']).filter(is_word);
    let is_per = |word: &str| PER.contains(&word);
    // `QTY_BOLT`, `bolt cnt`
    let is_quantity = || folded.split(' ').any(|word| QUANTITY.contains(&word));
    if is_unknown(heading) && is_quantity() && !says_no_fact(&heading.text) {
        return true;
    }
    match words.next() {
        Some(word) if PLURALS.contains(&word) => words.next().is_none_or(is_per),
        // `Par` is a torque.
        Some(word) => is_per(word) && is_unknown(heading),
        None => false,
    }
}

pub(super) fn is_unknown(heading: &Heading) -> bool {
    matches!(heading.column, Column::Unknown { .. } | Column::Blank)
}

/// Words that say torque, and may head anything that is specified.
#[rustfmt::skip] // words of five languages, side by side
const VAGUE: &[&str] = &[
    "spec", "specs", "specification", "value", "figure", "setting", "requirement", "required", "rating", "data", "sollwert", "vorgabe", "wert", "valeur", "valor", "valore",
];
