//! One heading read: which field it names, in which unit, for which lube or
//! grade. What its column holds may still decide otherwise (`survey`).
//!
//! The names of FIELDS come first, then the words of `words`; what is left is
//! taken apart into units, lubes, grades, ends of a range and steps.

use std::collections::HashMap;
use std::sync::LazyLock;

use crate::intake::cells::unit_spelled;
use crate::intake::heading_figures::Peeled;
use crate::intake::heading_parts::Parts;
use crate::intake::heading_words::HEADINGS;
use crate::intake::names::Names;
use crate::intake::once_words::ONCE;
use crate::intake::words::{HIGH, LOW, TORQUE, ordinal, plain_words};
use crate::quantity::{DEGREE, Dimension, Unit};
use crate::record::{FIELDS, Field, FieldKind, find_field};
use crate::text::nearest;
use crate::thread::{Thread, ThreadError};

/// What a column holds.
#[derive(Debug, Clone, PartialEq)]
pub enum Column {
    /// A stored field.
    Field(&'static Field),
    /// The torque for the lube named in the heading.
    TorqueFor(String),
    /// The low end of a range of this field.
    Low(&'static Field),
    /// The high end of a range of this field.
    High(&'static Field),
    /// The pass of this number.
    Pass(u32),
    /// The unit of the torques in the row.
    TorqueUnit,
    /// What completes the thread: its pitch in mm, or its series, `UNC`.
    Pitch,
    /// The threads per inch that complete the thread.
    Tpi,
    /// A threadlocker, by name or only by its colour.
    Threadlocker,
    /// A figure that clampbook computes itself; not taken.
    Derived(&'static Field),
    /// Not known; its cells are kept in the notes.
    Unknown {
        /// The nearest known heading.
        nearest: Option<String>,
    },
    /// Known, and kept in the notes for this reason.
    Kept(&'static str),
    /// Numbers that only count the rows.
    RowNumber,
    /// Left out by the mapping, or taken apart or put together by it.
    LeftOut,
    /// What it holds is asked, once for all of it.
    Asked {
        reason: String,
        /// What a mapping may say that it means, the likeliest first.
        readings: Vec<String>,
    },
    Blank,
}

impl Column {
    /// Whether it holds that field.
    pub(crate) fn is(&self, name: &str) -> bool {
        matches!(self, Self::Field(field) if field.name == name || field.aliases.contains(&name))
    }

    /// Whether it holds a torque of the row.
    pub(crate) fn is_torque(&self) -> bool {
        self.is("torque") || matches!(self, Self::TorqueFor(_))
    }
}

/// One heading of the file.
#[derive(Debug, Clone, PartialEq)]
pub struct Heading {
    pub text: String,
    /// What its column holds.
    pub column: Column,
    /// The unit in the heading; a second one where the column gives each
    /// figure twice.
    pub units: Vec<&'static Unit>,
    /// The column of the file that it was made from, where a mapping or the
    /// survey takes columns apart or puts them together.
    pub(crate) origin: Option<usize>,
    /// A field that the heading itself states for its figures: the grade, in a
    /// matrix of sizes by grades.
    pub(crate) given: Option<(&'static str, String)>,
    /// What the heading may mean beside `column`, the likeliest first.
    pub(crate) others: Vec<Column>,
    /// The mark that parts thousands, where the column's other figures show it.
    pub(crate) thousands: Option<char>,
    /// Its decimals stand after a point here and after a comma there.
    pub(crate) is_mixed: bool,
    /// How surely the words are a heading.
    pub(crate) weight: Weight,
}

/// How surely a text is a heading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Weight {
    None,
    /// It may as well be a cell: a grade, a lube, a thread, a bare unit.
    Weak,
    /// Words of a heading.
    Strong,
    /// The name of a field.
    Named,
}

impl Heading {
    /// The heading of a field's own column.
    pub(crate) fn of_field(field: &'static Field) -> Self {
        let weight = Weight::Named;
        Self { weight, ..Self::plain(&field.heading(), Column::Field(field)) }
    }

    pub(crate) fn plain(text: &str, column: Column) -> Self {
        let text = text.trim().to_owned();
        let (units, others) = (Vec::new(), Vec::new());
        let (origin, given, thousands, is_mixed) = Default::default();
        let weight = Weight::None;
        Self { text, column, units, origin, given, others, thousands, is_mixed, weight }
    }
}

/// Every folded spelling of every field; stored fields win over derived ones.
static SPELLINGS: LazyLock<HashMap<String, &'static Field>> = LazyLock::new(|| {
    let mut spellings = HashMap::new();
    for is_stored in [true, false] {
        for field in FIELDS.iter().filter(|field| field.is_stored() == is_stored) {
            let others = field.aliases.iter().chain(field.headers);
            for spelling in std::iter::once(&field.name).chain(others) {
                spellings.entry(plain_words(spelling)).or_insert(field);
            }
        }
    }
    spellings
});

/// The meanings of HEADINGS by their words.
static MEANINGS: LazyLock<HashMap<&'static str, Vec<Column>>> = LazyLock::new(|| {
    let mut meanings: HashMap<&'static str, Vec<Column>> = HashMap::new();
    for (names, words) in HEADINGS {
        for word in *words {
            let columns = names.iter().filter_map(|name| column_named(name));
            meanings.entry(word).or_default().extend(columns);
        }
    }
    for once in ONCE {
        meanings.entry(once).or_default().extend(column_named("reuse"));
    }
    meanings
});

fn column_named(name: &str) -> Option<Column> {
    Some(match name {
        "torque-unit" => Column::TorqueUnit,
        "pitch" => Column::Pitch,
        "tpi" => Column::Tpi,
        "row-number" => Column::RowNumber,
        name => Column::Field(find_field(name)?),
    })
}

/// Whether a word alone says torque.
pub(crate) fn says_torque(word: &str) -> bool {
    let heads = || MEANINGS.get(word).is_some_and(|columns| columns[0].is("torque"));
    TORQUE.contains(&word) || heads()
}

/// Longer cells are text, or a row split by the wrong delimiter.
const LONGEST_HEADING: usize = 120;
pub(crate) fn read_heading(text: &str, names: &Names) -> Heading {
    known_heading(text, names).unwrap_or_else(|| {
        let column = match text.len() {
            0..=LONGEST_HEADING => unknown(&Parts::split(text).candidates()),
            _ => Column::Unknown { nearest: None },
        };
        Heading::plain(text, column)
    })
}

/// The same for a text whose words are known; none for any other.
pub(crate) fn known_heading(text: &str, names: &Names) -> Option<Heading> {
    if text.len() > LONGEST_HEADING {
        return None;
    }
    let parts = Parts::split(text);
    let candidates = parts.candidates();
    if candidates.iter().all(|(words, _)| words.is_empty()) && parts.is_empty() {
        return Some(Heading::plain(text, Column::Blank));
    }
    // `Torque Nm (oiled)`: what stands in the bracket counts.
    let peeled = || Peeled::peel(text, names).heading(text, names);
    if !parts.inside.is_empty()
        && let Some(heading) = peeled().filter(|one| matches!(one.column, Column::TorqueFor(_)))
    {
        return Some(heading);
    }
    for (words, units) in &candidates {
        if let Some((mut columns, weight)) = meanings(words) {
            // `Lubricated (Nm)` is a torque, no lube.
            let fits = |column: &Column| holds_torque(column) || *column == Column::TorqueUnit;
            if !units.is_empty() && is_of_torque(units) && !columns.iter().any(fits) {
                continue;
            }
            let own = || unit_spelled(words).map(|(unit, _)| unit).into_iter().collect();
            let units = if units.is_empty() { own() } else { units.clone() };
            let column = columns.remove(0);
            let plain = Heading::plain(text, column);
            return Some(Heading { units, others: columns, weight, ..plain });
        }
    }
    if let Some(heading) = peeled() {
        return Some(heading);
    }
    if let Some(angle) = candidates.iter().find_map(|(words, _)| numbered_angle(words)) {
        return Some(Heading { weight: Weight::Strong, ..Heading::plain(text, angle) });
    }
    // `Bolt/where`: two words of headings, the first one's column.
    let pieces = || text.split('/').map(|piece| meanings(&plain_words(piece)));
    if text.contains('/')
        && pieces().all(|known| known.is_some())
        && let Some((mut columns, _)) = pieces().next().flatten()
    {
        let plain = Heading::plain(text, columns.remove(0));
        return Some(Heading { others: columns, weight: Weight::Strong, ..plain });
    }
    let words = candidates.last().map_or("", |(words, _)| words.as_str());
    if let Some(heading) = bare_degrees(text, words).or_else(|| labelled(text, words)) {
        return Some(heading);
    }
    for inside in &parts.inside {
        if let Some((mut columns, weight)) = meanings(&plain_words(inside)) {
            let (column, units) = (columns.remove(0), parts.units.clone());
            let plain = Heading::plain(text, column);
            return Some(Heading { units, others: columns, weight, ..plain });
        }
    }
    None
}

/// Whether the unit of a heading is the degree, whatever its words are.
pub(crate) fn says_degrees(text: &str) -> bool {
    let is_so = |unit: &&Unit| unit.symbol == DEGREE.symbol;
    let candidates = Parts::split(text).candidates();
    let all = candidates.iter().flat_map(|(_, units)| units);
    all.copied().any(|unit| is_so(&unit)) || unit_spelled(text).is_some_and(|(one, _)| is_so(&one))
}

/// `(°)`, `+ °`: the angle, with no word beside it.
fn bare_degrees(text: &str, words: &str) -> Option<Heading> {
    let is_bare = says_degrees(text) && !words.contains(char::is_alphanumeric);
    let angle = Column::Field(find_field("angle").filter(|_| is_bare)?);
    let plain = Heading::plain(text, angle);
    Some(Heading { units: vec![DEGREE], weight: Weight::Weak, ..plain })
}

/// A heading of a label and what it labels: `EQUIP_DESC`, as an export has it, `Crane no`.
fn labelled(text: &str, words: &str) -> Option<Heading> {
    const LABELS: &[&str] = &["desc", "descr", "name", "txt"];
    const NUMBERS: &[&str] =
        &[" no", " nr", " n°", " #", " number", " num", " id", " tag", " name", " code", " ref"];
    let is_label = |word: &str| LABELS.contains(&word.to_lowercase().as_str());
    let (labels, rest): (Vec<_>, Vec<_>) = text.split('_').partition(|word| is_label(word));
    if !labels.is_empty()
        && let Some((mut columns, weight)) = meanings(&plain_words(&rest.join(" ")))
    {
        let plain = Heading::plain(text, columns.remove(0));
        return Some(Heading { others: columns, weight: weight.min(Weight::Strong), ..plain });
    }
    // `unidad_par`, `Einheit Drehmoment`.
    let is_unit = |word| meanings(word).is_some_and(|(one, _)| one[0] == Column::TorqueUnit);
    if words.split(' ').any(is_unit) && words.split(' ').any(says_torque) {
        return Some(Heading {
            weight: Weight::Strong,
            ..Heading::plain(text, Column::TorqueUnit)
        });
    }
    // What numbers a machine names it where nothing else does.
    let rest = NUMBERS.iter().find_map(|number| words.strip_suffix(number))?;
    let machine = meanings(rest)?.0.into_iter().next().filter(|one| one.is("assembly"))?;
    Some(Heading { weight: Weight::Weak, ..Heading::plain(text, machine) })
}

/// `angle 1`, `2nd angle`: one of several columns of angles.
fn numbered_angle(words: &str) -> Option<Column> {
    let is_number = |word: &str| {
        word.parse::<u32>().is_ok_and(|number| (1..10).contains(&number)) || ordinal(word).is_some()
    };
    let (first, rest) = words.split_once(' ')?;
    let (front, last) = words.rsplit_once(' ')?;
    let rest = if is_number(last) { front } else { Some(rest).filter(|_| is_number(first))? };
    let (columns, _) = meanings(rest)?;
    columns.into_iter().find(|column| column.is("angle"))
}

/// Whether figures of torque may stand in the column.
fn holds_torque(column: &Column) -> bool {
    match column {
        Column::Field(field) | Column::Low(field) | Column::High(field) => {
            field.name == "passes" || field.kind == FieldKind::Quantity(Dimension::Torque)
        }
        Column::TorqueFor(_) | Column::Pass(_) => true,
        _ => false,
    }
}

fn unknown(candidates: &[(String, Vec<&'static Unit>)]) -> Column {
    let words = candidates.last().map(|(words, _)| words.as_str()).unwrap_or_default();
    let stored = SPELLINGS.iter().filter(|(_, field)| field.is_stored());
    let mut spellings: Vec<&str> = stored.map(|(spelling, _)| spelling.as_str()).collect();
    spellings.sort_unstable();
    let near = nearest(words, spellings);
    Column::Unknown { nearest: near.map(|word| SPELLINGS[word].heading()) }
}

/// What the whole of `words` may mean, and how surely.
fn meanings(words: &str) -> Option<(Vec<Column>, Weight)> {
    if words.is_empty() {
        return None;
    }
    let known = SPELLINGS.get(words).copied();
    if let Some(field) = known.filter(|field| field.is_stored())
        && field.name.replace('-', " ") == words
    {
        let others = MEANINGS.get(words).into_iter().flatten();
        let others = others.filter(|other| !other.is(field.name)).cloned();
        return Some((
            std::iter::once(Column::Field(field)).chain(others).collect(),
            Weight::Named,
        ));
    }
    if let Some(columns) = MEANINGS.get(words) {
        return Some((columns.clone(), Weight::Strong));
    }
    let column = match (words, known) {
        ("threadlocker" | "thread locker" | "locking compound", _) => Column::Threadlocker,
        (_, Some(field)) if field.is_stored() => Column::Field(field),
        // "text", "single-use", "blind" and the like are asked, not kept.
        (_, Some(field)) => Column::Derived(field),
        _ => end_of_range(words)?,
    };
    Some((vec![column], Weight::Strong))
}

/// `stretch min`, `minimum stretch`: torques are taken apart.
fn end_of_range(words: &str) -> Option<Column> {
    let (first, last) = (words.split(' ').next()?, words.rsplit(' ').next()?);
    let ends = [(first, words.strip_prefix(first)?), (last, words.strip_suffix(last)?)];
    ends.into_iter().find_map(|(mark, rest)| {
        let field =
            SPELLINGS.get(rest.trim()).filter(|f| matches!(f.name, "torque" | "stretch"))?;
        match (LOW.contains(&mark), HIGH.contains(&mark)) {
            (true, _) => Some(Column::Low(field)),
            (_, true) => Some(Column::High(field)),
            _ => None,
        }
    })
}

pub(crate) fn is_of_torque(units: &[&'static Unit]) -> bool {
    units.iter().all(|unit| unit.dimension == Dimension::Torque)
}

/// Whether `text` is a thread, or a size that lacks only its pitch.
pub(crate) fn is_thread(text: &str) -> bool {
    let digits = text.chars().any(|c| c.is_ascii_digit());
    let sign = text.starts_with(['M', 'm', '#']) || text.contains(['/', '-']);
    digits
        && sign
        && matches!(
            Thread::parse(text),
            Ok(_) | Err(ThreadError::PitchNeeded { .. } | ThreadError::ManyFine { .. })
        )
}
