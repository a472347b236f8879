//! One heading read: which field it names, in which unit, for which lube.
//!
//! The spellings come from walking FIELDS; case, blanks, dashes, underscores
//! and full stops are folded.

use std::collections::HashMap;
use std::sync::LazyLock;

use crate::intake::cells::unit_spelled;
use crate::intake::names::Names;
use crate::quantity::{Dimension, Unit};
use crate::record::{FIELDS, Field, Origin, find_field};
use crate::text::{Plain, nearest};

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
    /// The pitch that completes the thread, in mm.
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
    /// Left out by the mapping, or taken apart or put together by it.
    LeftOut,
    /// No heading.
    Blank,
}

/// One heading of the file.
#[derive(Debug, Clone, PartialEq)]
pub struct Heading {
    /// As written.
    pub text: String,
    /// What its column holds.
    pub column: Column,
    /// The unit in the heading; a second one where the column gives each
    /// figure twice.
    pub units: Vec<&'static Unit>,
    /// The column of the file that it was made from, where a mapping takes
    /// columns apart or puts them together.
    pub(crate) origin: Option<usize>,
}

/// Folds a heading for comparison.
pub(crate) fn fold_header(text: &str) -> String {
    let plain = Plain::new(text).as_str().to_lowercase();
    let parted = |c: char| c.is_whitespace() || matches!(c, '-' | '_' | '.' | ':' | '*');
    let words: Vec<&str> = plain.split(parted).filter(|word| !word.is_empty()).collect();
    words.join(" ")
}

/// Every folded spelling of every field; stored fields win over derived ones.
static SPELLINGS: LazyLock<HashMap<String, &'static Field>> = LazyLock::new(|| {
    let mut spellings = HashMap::new();
    for origin in [Origin::Stored, Origin::Derived] {
        for field in FIELDS.iter().filter(|field| field.origin == origin) {
            let others = field.aliases.iter().chain(field.headers);
            for spelling in std::iter::once(&field.name).chain(others) {
                spellings.entry(fold_header(spelling)).or_insert(field);
            }
        }
    }
    spellings
});

/// Headings that are not fields of their own.
const OTHERS: &[(&str, Column)] = &[
    ("units", Column::TorqueUnit),
    ("torque unit", Column::TorqueUnit),
    ("torque units", Column::TorqueUnit),
    ("uom", Column::TorqueUnit),
    ("unit of torque", Column::TorqueUnit),
    ("threads per inch", Column::Tpi),
    ("thread pitch", Column::Pitch),
    ("threadlocker", Column::Threadlocker),
    ("thread locker", Column::Threadlocker),
    ("locking compound", Column::Threadlocker),
];

/// Reads a heading.
pub(crate) fn read_heading(text: &str, names: &Names) -> Heading {
    let parts = Parts::of(text);
    let (column, units) = parts.read(names);
    Heading { text: text.trim().to_owned(), column, units, origin: None }
}

/// No unit at the end of a heading is longer.
const LONGEST_UNIT: usize = 40;
/// Longer cells are not looked at as headings: they are text, or a row split
/// by the wrong delimiter.
const LONGEST_HEADING: usize = 120;

/// How surely `text` is a heading, for finding the header row: no lube needs
/// to be known for it.
pub(crate) fn is_heading(text: &str) -> bool {
    if text.is_empty() || text.len() > LONGEST_HEADING {
        return false;
    }
    let parts = Parts::of(text);
    parts.candidates().iter().any(|(words, _)| plain_column(words).is_some())
        || parts.candidates().iter().any(|(words, units)| {
            !units.is_empty() && words.split(' ').any(|word| word == "torque")
        })
}

/// A heading taken apart.
struct Parts {
    /// Outside of brackets, as written but plain.
    outside: String,
    /// What stands in brackets and is no unit.
    inside: Vec<String>,
    units: Vec<&'static Unit>,
}

impl Parts {
    fn of(text: &str) -> Self {
        let plain = Plain::new(text);
        let mut parts = Self { outside: String::new(), inside: Vec::new(), units: Vec::new() };
        let mut rest = plain.as_str();
        while let Some(open) = rest.find(['(', '[']) {
            parts.outside.push_str(&rest[..open]);
            parts.outside.push(' ');
            let after = &rest[open + 1..];
            let close = after.find([')', ']']).unwrap_or(after.len());
            parts.bracket(after[..close].trim());
            rest = after.get(close + 1..).unwrap_or("");
        }
        parts.outside.push_str(rest);
        parts
    }

    fn bracket(&mut self, content: &str) {
        let content = content.strip_prefix("in ").unwrap_or(content);
        match units_spelled(content) {
            Some(units) => self.units.extend(units),
            None if content.is_empty() => {}
            None => self.inside.push(content.to_owned()),
        }
    }

    /// The readings to try, best first: words without the unit, and the units.
    fn candidates(&self) -> Vec<(String, Vec<&'static Unit>)> {
        let mut found = Vec::new();
        let whole = fold_header(&self.outside);
        for inside in &self.inside {
            found.push((format!("{whole} {}", fold_header(inside)), self.units.clone()));
            found.push((format!("{} {whole}", fold_header(inside)), self.units.clone()));
        }
        found.push((whole, self.units.clone()));
        // A unit at the end, not in brackets: the longest that is one.
        let outside = self.outside.trim();
        let starts = outside.char_indices().filter(|(_, c)| matches!(c, ' ' | ',' | '_' | ':'));
        for (at, mark) in starts {
            let end = outside[at + mark.len_utf8()..].trim();
            if end.len() > LONGEST_UNIT {
                continue;
            }
            let end = end.strip_prefix("in ").unwrap_or(end);
            if let Some(units) = units_spelled(end) {
                let words = fold_header(outside[..at].trim_end_matches([',', '-', ' ']));
                let all = units.into_iter().chain(self.units.iter().copied()).collect();
                found.push((words.trim_end_matches(" in").to_owned(), all));
                break;
            }
        }
        found
    }

    fn read(&self, names: &Names) -> (Column, Vec<&'static Unit>) {
        let candidates = self.candidates();
        if candidates.iter().all(|(words, _)| words.is_empty()) && self.inside.is_empty() {
            return (Column::Blank, Vec::new());
        }
        for (words, units) in &candidates {
            if let Some(column) = plain_column(words) {
                let own = unit_spelled(words).map(|(unit, _)| unit);
                let units =
                    if units.is_empty() { own.into_iter().collect() } else { units.clone() };
                return (column, units);
            }
        }
        for (words, units) in &candidates {
            if let Some(column) = lube_column(words, units, names) {
                return (column, units.clone());
            }
        }
        for inside in &self.inside {
            if let Some(column) = plain_column(&fold_header(inside)) {
                return (column, self.units.clone());
            }
        }
        (unknown(&candidates), Vec::new())
    }
}

fn unknown(candidates: &[(String, Vec<&'static Unit>)]) -> Column {
    let words = candidates.last().map(|(words, _)| words.as_str()).unwrap_or_default();
    let stored = SPELLINGS.iter().filter(|(_, field)| field.origin == Origin::Stored);
    let mut spellings: Vec<&str> = stored.map(|(spelling, _)| spelling.as_str()).collect();
    spellings.sort_unstable();
    let near = nearest(words, spellings);
    Column::Unknown { nearest: near.map(|word| SPELLINGS[word].heading()) }
}

/// `text` as one unit, or several parted by `/`, `or`, `and`, `|`.
fn units_spelled(text: &str) -> Option<Vec<&'static Unit>> {
    if let Some((unit, _)) = unit_spelled(text) {
        return Some(vec![unit]);
    }
    let parted = text.replace(" or ", "/").replace(" and ", "/").replace(['|', ';'], "/");
    let pieces: Vec<&str> = parted.split('/').collect();
    if pieces.len() < 2 {
        return None;
    }
    pieces.into_iter().map(|piece| unit_spelled(piece.trim()).map(|(unit, _)| unit)).collect()
}

/// A column that needs no lube to be known.
fn plain_column(words: &str) -> Option<Column> {
    if let Some((_, column)) = OTHERS.iter().find(|(spelling, _)| *spelling == words) {
        return Some(column.clone());
    }
    if let Some(field) = SPELLINGS.get(words) {
        return Some(match (field.origin, field.name) {
            (Origin::Stored, _) => Column::Field(field),
            (Origin::Derived, "pitch") => Column::Pitch,
            (Origin::Derived, "tpi") => Column::Tpi,
            // "text", "single-use", "blind" and the like are asked, not kept.
            (Origin::Derived, _) => Column::Derived(field),
        });
    }
    numbered_pass(words).map(Column::Pass).or_else(|| end_of_range(words))
}

/// `pass 2`, `2nd pass`, `step 2`, `stage 2`.
fn numbered_pass(words: &str) -> Option<u32> {
    let (first, second) = words.split_once(' ')?;
    let is_pass = |word: &str| matches!(word, "pass" | "step" | "stage");
    let number = match (is_pass(first), is_pass(second)) {
        (true, false) => second,
        (false, true) => ["st", "nd", "rd", "th"].iter().find_map(|end| first.strip_suffix(end))?,
        _ => return None,
    };
    number.parse().ok().filter(|number| (1..=20).contains(number))
}

/// `torque min`, `max torque`, `minimum stretch`.
fn end_of_range(words: &str) -> Option<Column> {
    let (first, last) = (words.split(' ').next()?, words.rsplit(' ').next()?);
    let low = |word: &str| matches!(word, "min" | "minimum" | "low" | "lowest");
    let high = |word: &str| matches!(word, "max" | "maximum" | "high" | "highest");
    let (rest, mark) = if low(first) || high(first) {
        (words.strip_prefix(first)?, first)
    } else {
        (words.strip_suffix(last)?, last)
    };
    if !low(mark) && !high(mark) {
        return None;
    }
    let field = SPELLINGS.get(rest.trim()).filter(|f| matches!(f.name, "torque" | "stretch"))?;
    Some(if low(mark) { Column::Low(field) } else { Column::High(field) })
}

/// The torque for a lube: `torque oil`, `moly` with a unit, `dry torque`.
fn lube_column(words: &str, units: &[&'static Unit], names: &Names) -> Option<Column> {
    let has_unit = units.iter().any(|unit| unit.dimension == Dimension::Torque);
    let filler = |word: &&str| !matches!(*word, "with" | "w/" | "using" | "for" | "value" | ",");
    let pieces: Vec<&str> = words.split([' ', ',']).filter(|p| !p.is_empty()).collect();
    let torque = find_field("torque")?;
    let is_torque = |word: &&str| {
        SPELLINGS.get(*word).is_some_and(|field| *field == torque) || *word == "tightening"
    };
    let says_torque = pieces.iter().any(is_torque);
    let rest: Vec<&str> =
        pieces.into_iter().filter(|word| !is_torque(word)).filter(filler).collect();
    let lube = names.lube(&rest.join(" "))?;
    let wanted = has_unit || says_torque || is_torque_lube(lube);
    wanted.then(|| Column::TorqueFor(lube.name.clone()))
}

/// A bare `Oil` or `Dry` heads a column of torques; a compound's name may head
/// a yes or no.
fn is_torque_lube(lube: &crate::record::Lube) -> bool {
    use crate::record::LubeClass;
    matches!(lube.class, LubeClass::Dry | LubeClass::Wet)
}

/// A lube that a torque heading nearly names: `Torque oill (lb-ft)`.
pub(crate) fn nearly_lube(text: &str, names: &Names) -> Option<String> {
    let candidates = Parts::of(text).candidates();
    let words = &candidates.last()?.0;
    let rest: Vec<&str> = words.split(' ').filter(|word| *word != "torque").collect();
    let says_torque = rest.len() < words.split(' ').count();
    let near = names.nearest_lube(&rest.join(" ")).filter(|_| says_torque && !rest.is_empty());
    near.map(str::to_owned)
}
