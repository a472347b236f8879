//! The words and signs of the language, one table for each kind.
//!
//! The lexer, the printer, the messages and the check of the grammar files all
//! walk these tables; no other place spells a word of the language.

/// A word that belongs to the language.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Keyword {
    And,
    Or,
    Not,
    Has,
    /// The same as `has`, for needs such as sealant.
    Needs,
    Lacks,
    /// A field is not stated, or states that there is none.
    No,
    ConfusedWith,
    /// Clause: restate for other lubes.
    With,
    /// Clause: torque that reaches a clamp.
    Target,
    /// Clause: a test of the restated rows.
    Keep,
    Show,
    Sort,
    /// Clause: how many rows. Only before a number.
    First,
    /// Clause: count by columns.
    Tally,
    Units,
    /// Clause: the wrench in hand.
    On,
    /// Largest first. Only after a column of `sort`.
    Down,
    /// A column to add up. Only in `tally`, before a column.
    Total,
}

/// The words that are reserved everywhere.
pub const RESERVED: &[(&str, Keyword)] = &[
    ("and", Keyword::And),
    ("or", Keyword::Or),
    ("not", Keyword::Not),
    ("has", Keyword::Has),
    ("needs", Keyword::Needs),
    ("lacks", Keyword::Lacks),
    ("no", Keyword::No),
    ("confused-with", Keyword::ConfusedWith),
    ("with", Keyword::With),
    ("target", Keyword::Target),
    ("keep", Keyword::Keep),
    ("show", Keyword::Show),
    ("sort", Keyword::Sort),
    ("tally", Keyword::Tally),
    ("units", Keyword::Units),
    ("on", Keyword::On),
];

/// The keywords that start a clause, in the order in which help lists them.
pub const CLAUSES: &[Keyword] = &[
    Keyword::With,
    Keyword::Target,
    Keyword::Keep,
    Keyword::Show,
    Keyword::Sort,
    Keyword::First,
    Keyword::Tally,
    Keyword::Units,
    Keyword::On,
];

impl Keyword {
    /// The word as a question has it.
    pub fn spelling(self) -> &'static str {
        match self {
            Self::First => "first",
            Self::Down => "down",
            Self::Total => "total",
            // Invariant: every other keyword is in the table; a test walks it.
            _ => RESERVED.iter().find(|row| row.1 == self).map_or("", |row| row.0),
        }
    }

    /// Whether it starts a clause.
    pub fn starts_clause(self) -> bool {
        CLAUSES.contains(&self)
    }
}

/// The keyword spelled `word` that is reserved everywhere, case ignored.
pub(crate) fn reserved(word: &str) -> Option<Keyword> {
    lookup(RESERVED, word)
}

/// How two values are compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Relation {
    Equal,
    NotEqual,
    Under,
    AtMost,
    Over,
    AtLeast,
    /// Within 5 %.
    About,
}

/// The signs of comparison. A longer sign stands before one that it starts with.
pub const RELATION_SIGNS: &[(&str, Relation)] = &[
    ("!=", Relation::NotEqual),
    ("<=", Relation::AtMost),
    (">=", Relation::AtLeast),
    ("=", Relation::Equal),
    ("<", Relation::Under),
    (">", Relation::Over),
    ("≠", Relation::NotEqual),
    ("≤", Relation::AtMost),
    ("≥", Relation::AtLeast),
];

/// The words of comparison; words of the language only in their place.
pub const RELATION_WORDS: &[(&str, Relation)] = &[
    ("over", Relation::Over),
    ("under", Relation::Under),
    ("at-least", Relation::AtLeast),
    ("at-most", Relation::AtMost),
    ("about", Relation::About),
];

impl Relation {
    /// The word, or the sign where there is no word.
    pub fn spelling(self) -> &'static str {
        let tables = RELATION_WORDS.iter().chain(RELATION_SIGNS);
        // Invariant: every relation is in one of the tables; a test walks them.
        tables.into_iter().find(|row| row.1 == self).map_or("", |row| row.0)
    }
}

/// An operator between two parts of a sum.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Operator {
    Plus,
    Minus,
    Times,
    Per,
}

/// The signs of arithmetic; each stands between blanks.
pub const OPERATOR_SIGNS: &[(&str, Operator)] =
    &[("+", Operator::Plus), ("-", Operator::Minus), ("*", Operator::Times), ("/", Operator::Per)];

/// The words of arithmetic; words of the language only in their place.
pub const OPERATOR_WORDS: &[(&str, Operator)] =
    &[("times", Operator::Times), ("per", Operator::Per)];

impl Operator {
    /// The sign that every shell leaves alone, or the word.
    pub fn spelling(self) -> &'static str {
        match self {
            Self::Plus => "+",
            Self::Minus => "-",
            Self::Times => "times",
            Self::Per => "per",
        }
    }
}

/// What a percentage in `target` is a share of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Share {
    Proof,
    /// Of yield in tension.
    Yield,
    /// Of yield in tension and torsion together, while tightening.
    Combined,
}

/// The words after a percentage in `target`.
pub const SHARES: &[(&str, Share)] =
    &[("proof", Share::Proof), ("yield", Share::Yield), ("combined", Share::Combined)];

impl Share {
    /// The word as a question has it.
    pub fn spelling(self) -> &'static str {
        SHARES.iter().find(|row| row.1 == self).map_or("", |row| row.0)
    }
}

/// A whole family of units, after `units`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Family {
    /// N·m, kN, mm, MPa.
    Metric,
    /// lb-ft, lbf, in, ksi.
    Inch,
}

/// The words for a whole family of units. `inch` before a comma is the unit.
pub const FAMILIES: &[(&str, Family)] = &[("metric", Family::Metric), ("inch", Family::Inch)];

impl Family {
    /// The word as a question has it.
    pub fn spelling(self) -> &'static str {
        FAMILIES.iter().find(|row| row.1 == self).map_or("", |row| row.0)
    }
}

/// The row of `table` spelled `word`, case ignored.
pub(crate) fn lookup<T: Copy>(table: &[(&str, T)], word: &str) -> Option<T> {
    table.iter().find(|row| row.0.eq_ignore_ascii_case(word)).map(|row| row.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_finds_its_own_spelling() {
        for (word, keyword) in RESERVED {
            assert_eq!(keyword.spelling(), *word);
        }
        for clause in CLAUSES {
            assert!(!clause.spelling().is_empty() && clause.starts_clause());
        }
        for (word, relation) in RELATION_WORDS {
            assert_eq!(relation.spelling(), *word);
        }
        for (_, relation) in RELATION_SIGNS {
            assert!(!relation.spelling().is_empty());
        }
        for (word, operator) in OPERATOR_SIGNS.iter().chain(OPERATOR_WORDS) {
            let printed = operator.spelling();
            assert!(
                lookup(OPERATOR_SIGNS, printed).or(lookup(OPERATOR_WORDS, printed))
                    == Some(*operator),
                "{word}"
            );
        }
        assert!(SHARES.iter().all(|(word, share)| share.spelling() == *word));
        assert!(FAMILIES.iter().all(|(word, family)| family.spelling() == *word));
    }

    #[test]
    fn a_longer_sign_stands_first() {
        for (at, (sign, _)) in RELATION_SIGNS.iter().enumerate() {
            for (longer, _) in &RELATION_SIGNS[at + 1..] {
                assert!(!longer.starts_with(sign), "{longer} is hidden by {sign}");
            }
        }
    }
}
