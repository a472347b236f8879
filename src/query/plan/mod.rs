//! From a question to the way its records are found. Pure: nothing is read
//! here but the estimates that the book gives.
//!
//! Each part of the filter that an index answers becomes an [`Access`]; the
//! most selective ones are intersected, the whole filter is tested again on
//! what they bring. A plan may bring too many records, never too few: those of
//! which the filter is true, and those of which it is unknown, because the
//! answer says how many were left out.

use crate::query::resolve::{ColumnOf, Name, Operand, Question, Test, field_of, names_a_key, stem};
use crate::query::syntax::Relation;
use crate::record::{Field, NameOf};
use crate::store::{Access, Figure, Lacking};
use crate::text::{fold_name, without_accents};

/// How a question's records are found.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// What the store is asked for.
    pub access: Access,
    /// Set where one column settles the question for most settings unread; used
    /// in place of `access` where the book has it.
    pub column: Option<ByColumn>,
    /// In words, for `--plan`.
    pub words: String,
    /// How many settings the store expects to read.
    pub estimate: usize,
}

/// One figure of every setting, which decides a question about all of the book.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ByColumn {
    pub by: By,
    /// Low end of what is asked for, in the base unit.
    pub low: f64,
    pub high: f64,
    /// Whether rows without the figure are in the answer, behind all others;
    /// else they are left out.
    pub is_unknown_last: bool,
    /// How many rows are asked for, and whether the largest come first; without
    /// the second in the order entered.
    pub first: Option<(usize, Option<bool>)>,
}

/// What a column or an index holds of every setting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum By {
    /// The torque: the index of torques.
    Torque,
    /// A derived figure: its column.
    Figure(Figure),
}

/// An access that is expected to bring more than this share of the smallest
/// one is not worth intersecting.
const WORTH_JOINING: usize = 8;

/// The plan for `question`; `estimate` says how many settings an access reads.
pub fn plan(question: &Question, estimate: impl Fn(&Access) -> usize) -> Plan {
    let access = access(question.filter.as_ref(), &estimate);
    let column = by_filter(question).or_else(|| by_order(question));
    let (words, estimate) = match column {
        None => (words(&access), estimate(&access)),
        Some(column) => (column.words(), column.expected(&estimate)),
    };
    Plan { access, column, words, estimate }
}

/// The cheapest access that brings every row for which `filter` can be true or
/// unknown.
pub fn access(filter: Option<&Test>, estimate: impl Fn(&Access) -> usize) -> Access {
    filter.and_then(|test| best(test, &estimate)).unwrap_or(Access::All)
}

/// The figure that the filter is about, if it is about one alone.
fn by_filter(question: &Question) -> Option<ByColumn> {
    let Access::Or(parts) = of_leaf(question.filter.as_ref()?)? else { return None };
    let Access::Figure { figure, low, high } = *parts.first()? else { return None };
    let by = By::Figure(figure);
    let first = question.first.filter(|count| *count > 0 && question.tally.is_none());
    let first = first.filter(|_| question.keep.is_none()).and_then(|count| {
        if question.sort.is_empty() {
            return Some((count, None));
        }
        let plain = question.with.is_empty() && question.target.is_none();
        let (sorted, down) = order(question)?;
        (plain && sorted == by).then_some((count, Some(down)))
    });
    Some(ByColumn { by, low, high, is_unknown_last: false, first })
}

/// The order that serves `question`, if it asks for the first of all by one.
fn by_order(question: &Question) -> Option<ByColumn> {
    let Question { filter: None, target: None, keep: None, first: Some(count), .. } = question
    else {
        return None;
    };
    let plain = question.with.is_empty() && question.tally.is_none();
    if !plain || *count == 0 || question.asks_for("basis") {
        return None;
    }
    let (by, down) = order(question)?;
    let first = Some((*count, Some(down)));
    Some(ByColumn { by, low: f64::MIN, high: f64::MAX, is_unknown_last: true, first })
}

/// What `question` sorts by first, and whether the largest come first.
fn order(question: &Question) -> Option<(By, bool)> {
    let (column, down) = question.sort.first()?;
    let ColumnOf::Field(field) = column.what else { return None };
    Some((By::field(field)?, *down))
}

impl ByColumn {
    fn words(self) -> String {
        let column = match self.by {
            By::Torque => "index of torques".to_owned(),
            By::Figure(figure) if self.is_unknown_last => format!("column of {}", figure.word()),
            By::Figure(figure) => {
                let Self { low, high, .. } = self;
                format!("{}, unknown ones counted", words(&Access::Figure { figure, low, high }))
            }
        };
        match self.first {
            Some((count, Some(down))) => {
                let end = if down { "high" } else { "low" };
                format!("{column}, the first {count} from its {end} end")
            }
            Some((count, None)) => format!("{column}, the first {count}"),
            None => column,
        }
    }

    fn expected(self, estimate: &impl Fn(&Access) -> usize) -> usize {
        let found = match self.by {
            By::Figure(figure) if !self.is_unknown_last => {
                estimate(&Access::Figure { figure, low: self.low, high: self.high })
            }
            _ => usize::MAX,
        };
        self.first.map_or(found, |(count, _)| found.min(count))
    }
}

/// The cheapest access that brings every row on which `test` can be true or
/// unknown; none if no index helps.
fn best(test: &Test, estimate: &impl Fn(&Access) -> usize) -> Option<Access> {
    match test {
        Test::All(tests) => {
            let found = tests.iter().filter_map(|test| best(test, estimate));
            intersect(found.collect(), estimate)
        }
        // Every alternative must have an index, or all must be read.
        Test::Any(tests) => {
            tests.iter().map(|test| best(test, estimate)).collect::<Option<_>>().map(Access::Or)
        }
        leaf => of_leaf(leaf),
    }
}

fn intersect(mut found: Vec<Access>, estimate: &impl Fn(&Access) -> usize) -> Option<Access> {
    found.sort_by_cached_key(estimate);
    let least = estimate(found.first()?);
    found.retain(|access| estimate(access) <= least.saturating_mul(WORTH_JOINING));
    if found.len() == 1 { found.pop() } else { Some(Access::And(found)) }
}

fn of_leaf(test: &Test) -> Option<Access> {
    match test {
        Test::Thread(pattern) => Some(or_lacks(of_pattern(pattern), Lacking::Thread)),
        Test::OneOf(threads) => {
            let each = threads.iter().map(|thread| Access::Thread(thread.size(), thread.pitch()));
            Some(or_lacks(Access::Or(each.collect()), Lacking::Thread))
        }
        Test::Named(field, name) => named(field.name, name),
        Test::Bare(name) => match name.what {
            NameOf::Assembly | NameOf::Joint | NameOf::Part => in_text(&name.name),
            _ => named(field_of(name.what)?.name, name),
        },
        Test::Says(field, words) if field.name == "text" => in_text(words),
        Test::Says(field, words) if names_a_key(field, words) => {
            Some(Access::Key(words.split('/').next().unwrap_or_default().to_owned()))
        }
        Test::Within { left, low, high, .. } => Some(By::operand(&left.what)?.between(*low, *high)),
        Test::Compare(compare) => {
            let column = By::operand(&compare.left.what)?;
            let Operand::Constant(value) = compare.right.what else { return None };
            compared(column, compare.relation, value, compare.slack)
        }
        Test::Not(inner) => match inner.as_ref() {
            Test::Stated(field) => lacking(field.name).map(Access::Lacks),
            _ => None,
        },
        // The index of threads does not tell the two ends apart, so it cannot
        // say where one of them is not stated.
        _ => None,
    }
}

/// `access`, and what is unknown because the value is not stated.
fn or_lacks(access: Access, lacking: Lacking) -> Access {
    Access::Or(vec![access, Access::Lacks(lacking)])
}

/// Where every word of `words` starts a word of the text, accents read both ways.
fn in_text(words: &str) -> Option<Access> {
    let folded = fold_name(words);
    let words = folded.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    let way = |way: String| Access::Word(stem(&way).to_owned());
    let each = words.map(|word| {
        let mut ways: Vec<Access> = without_accents(word).into_iter().map(way).collect();
        if ways.len() > 1 { Access::Or(ways) } else { ways.remove(0) }
    });
    let mut each: Vec<Access> = each.collect();
    if each.len() > 1 { Some(Access::And(each)) } else { each.pop() }
}

/// What is looked up as not stated where this field is not.
fn lacking(field: &str) -> Option<Lacking> {
    match field {
        "torque" => Some(Lacking::Torque),
        "lube" => Some(Lacking::Lube),
        "strength" => Some(Lacking::Strength),
        _ => None,
    }
}

fn of_pattern(pattern: &crate::thread::Pattern) -> Access {
    match pattern.pitch() {
        Some(pitch) => Access::Thread(pattern.size(), pitch),
        None => Access::Size(pattern.size()),
    }
}

fn named(field: &str, Name { what, name, .. }: &Name) -> Option<Access> {
    let name = name.clone();
    match (what, field) {
        (NameOf::Lube, "lube") => Some(or_lacks(Access::Lube(name), Lacking::Lube)),
        (NameOf::Strength, "strength") => Some(or_lacks(Access::Strength(name), Lacking::Strength)),
        // An assembly or joint without a name is entered under the empty one.
        (NameOf::Assembly, "assembly") => {
            Some(Access::Or(vec![Access::Assembly(name), Access::Assembly(String::new())]))
        }
        (NameOf::Joint, "joint") => {
            Some(Access::Or(vec![Access::Joint(name), Access::Joint(String::new())]))
        }
        _ => None,
    }
}

impl By {
    fn operand(operand: &Operand) -> Option<Self> {
        let Operand::Field(field) = operand else { return None };
        Self::field(field)
    }

    fn field(field: &Field) -> Option<Self> {
        if field.name == "torque" {
            return Some(Self::Torque);
        }
        Figure::ALL.into_iter().find(|figure| figure.word() == field.name).map(Self::Figure)
    }

    /// From `low` to `high`, a torque in N·mm, and what is not known. The ends
    /// went through other conversions than the values they are compared with:
    /// a hair more on both sides loses none.
    fn between(self, low: f64, high: f64) -> Access {
        const HAIR: f64 = 1e-6;
        let (low, high) = (low * (1.0 - HAIR), high * (1.0 + HAIR));
        match self {
            Self::Torque => {
                let torque = Access::Torque { low: low / 1000.0, high: high / 1000.0 };
                or_lacks(torque, Lacking::Torque)
            }
            Self::Figure(figure) => {
                or_lacks(Access::Figure { figure, low, high }, Lacking::Figure(figure))
            }
        }
    }
}

/// Where a comparison with `value`, a torque in N·mm, can hold.
fn compared(column: By, relation: Relation, value: f64, slack: f64) -> Option<Access> {
    Some(match relation {
        Relation::Over => column.between(value, f64::MAX),
        Relation::AtLeast => column.between(value - slack, f64::MAX),
        Relation::Under => column.between(0.0, value),
        Relation::AtMost => column.between(0.0, value + slack),
        Relation::Equal => column.between(value - slack, value + slack),
        Relation::About => column.between(value * 0.95, value * 1.05),
        Relation::NotEqual => return None,
    })
}

/// The access in words: "thread 7/16-20 and lube moly".
fn words(access: &Access) -> String {
    let joined = |each: &[Access], by: &str| {
        let words: Vec<String> = each.iter().map(words).collect();
        format!("({})", words.join(by))
    };
    match access {
        Access::All => "every record".to_owned(),
        Access::Size(size) => format!("index of sizes at {size}"),
        Access::Thread(size, pitch) => format!("index of threads at {size}, pitch {pitch}"),
        Access::Torque { low, high } if *high > f64::MAX / 1e6 => {
            format!("index of torques from {low:.1} N·m")
        }
        Access::Torque { low, high } => format!("index of torques {low:.1}..{high:.1} N·m"),
        Access::Lube(name) => format!("index of lubes at {name}"),
        Access::Strength(name) => format!("index of strengths at {name}"),
        Access::Key(start) => format!("index of keys at {start}…"),
        Access::Assembly(name) => format!("index of assemblies at {name}"),
        Access::Joint(name) => format!("index of joints at {name}"),
        Access::Word(word) => format!("index of words at {word}…"),
        Access::Figure { figure, low, high } => {
            let to = if *high < f64::MAX { format!(" to {high:.4}") } else { String::new() };
            format!("column of {} from {low:.4}{to}", figure.word())
        }
        Access::Lacks(Lacking::Figure(figure)) => format!("unknown {}", figure.word()),
        Access::Lacks(lacking) => format!("index of {lacking:?} not stated").to_lowercase(),
        Access::And(each) => joined(each, " and "),
        Access::Or(each) => joined(each, " or "),
    }
}
