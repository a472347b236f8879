//! The table of the ear, read from `grammar/ears.txt`.

use std::collections::BTreeMap;
use std::sync::LazyLock;

/// One row: what is heard, and what it is read as.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Rule {
    pub(super) heard: Vec<Piece>,
    pub(super) written: Vec<Piece>,
    /// A clause that goes to the end of the question.
    pub(super) clause: Vec<Piece>,
    /// It is heard only at the beginning of the question.
    pub(super) at_start: bool,
    /// It is heard only where a test ends.
    pub(super) at_end: bool,
    /// It carries nothing: heard where nothing is denied, and no name has the word.
    pub(super) is_idle: bool,
}

/// A part of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Piece {
    Word(&'static str),
    /// A figure, a thread or a field.
    Operand,
    /// A figure with its unit.
    Measure,
    Number,
    /// A small whole number, in figures or in a word.
    Count,
    Share,
    Field,
    /// A field with no value after it.
    OpenField,
    Flag,
    DateField,
    Date,
    Relation,
    Text,
    /// A word of a name of the book that begins no lube.
    NoLube,
    Wrench,
    /// The beginning of a name, or a word of it, of an assembly, joint or part.
    Name,
    /// The beginning of the name of a lube.
    Lube,
    /// The same, of one that is no field too.
    OnlyLube,
    /// A field that is no lube, nor holds one.
    PlainField,
    /// A field of a figure.
    MeasuredField,
    Kind,
    Kinds,
    Thread,
    /// A size of a tool: a length, or a fraction of an inch.
    Size,
    Material,
    Unit,
    /// Between the ends of a range.
    Dots,
    Comma,
    /// The words up to what stands behind it in the row: one or a few, none of them a sign
    /// or a clause.
    Run,
}

static TEXT: &str = include_str!("../../../grammar/ears.txt");

/// The rows in the order in which they are tried.
pub(super) fn rules() -> &'static [Rule] {
    static RULES: LazyLock<Vec<Rule>> = LazyLock::new(|| {
        let lines = TEXT.lines().map(str::trim);
        let rows = lines.filter(|line| !line.is_empty() && !line.starts_with(';'));
        rows.flat_map(expanded).collect()
    });
    &RULES
}

/// Whether `word`, in lower case, stands in what a row hears. The rows themselves are
/// not made for it: a look-up by a thread needs none.
pub(crate) fn has_word(word: &str) -> bool {
    static WORDS: &[&str] = &include!(concat!(env!("OUT_DIR"), "/ear_words.rs"));
    WORDS.binary_search(&word).is_ok()
}

/// A row, and how far behind its beginning the word stands that it is found by.
type RowAt = (usize, usize);

/// The rows that have `word`, in lower case, as their first word of its own: most
/// words of a question are in none.
pub(super) fn rules_with(word: &str) -> &'static [RowAt] {
    static WORDS: LazyLock<BTreeMap<&str, Vec<RowAt>>> = LazyLock::new(|| {
        let mut words: BTreeMap<&str, Vec<RowAt>> = BTreeMap::new();
        for (at, rule) in rules().iter().enumerate() {
            let own = rule.heard.iter().enumerate().find_map(|(offset, piece)| match piece {
                Piece::Word(word) => Some((*word, offset)),
                _ => None,
            });
            let (word, offset) = own.expect("every row has a word; a test reads each");
            words.entry(word).or_default().push((at, offset));
        }
        words
    });
    WORDS.get(word).map_or(&[], Vec::as_slice)
}

/// The rows of a line: one for each of the words that `+` joins in it.
fn expanded(row: &'static str) -> Vec<Rule> {
    let rule = rule(row).expect("every row has two columns; a test reads each");
    let mut rules = vec![rule];
    loop {
        let several = |piece: &Piece| matches!(piece, Piece::Word(words) if words.contains('+'));
        let Some(at) = rules[0].heard.iter().position(several) else { return rules };
        rules = rules.iter().flat_map(|rule| with_each_word(rule, at)).collect();
    }
}

/// `rule` with each of the words that stand for its piece at `at`.
fn with_each_word(rule: &Rule, at: usize) -> Vec<Rule> {
    let Piece::Word(words) = rule.heard[at] else { return vec![rule.clone()] };
    let each = words.split('+').map(|word| {
        let mut one = rule.clone();
        one.heard[at] = Piece::Word(word);
        one
    });
    each.collect()
}

fn rule(row: &'static str) -> Option<Rule> {
    let mut columns = row.split('|').map(str::trim);
    let (heard, written) = (columns.next()?, columns.next()?);
    let (at_start, heard) = stripped(heard.strip_prefix('^'), heard);
    let (at_end, heard) = stripped(heard.strip_suffix('~'), heard);
    let (is_idle, heard) = stripped(heard.strip_prefix('-'), heard);
    let (written, clause) = written.split_once('>').unwrap_or((written, ""));
    let pieces = |text: &'static str| text.split_whitespace().map(piece).collect();
    Some(Rule {
        heard: pieces(heard),
        written: pieces(written),
        clause: pieces(clause),
        at_start,
        at_end,
        is_idle,
    })
}

fn stripped(found: Option<&'static str>, text: &'static str) -> (bool, &'static str) {
    found.map_or((false, text), |rest| (true, rest))
}

fn piece(word: &'static str) -> Piece {
    match word {
        "X" => Piece::Operand,
        "Q" => Piece::Measure,
        "N" => Piece::Number,
        "C" => Piece::Count,
        "P" => Piece::Share,
        "F" => Piece::Field,
        "O" => Piece::OpenField,
        "B" => Piece::Flag,
        "D" => Piece::DateField,
        "T" => Piece::Date,
        "R" => Piece::Relation,
        "W" => Piece::Text,
        "Z" => Piece::NoLube,
        "K" => Piece::Wrench,
        "A" => Piece::Name,
        "L" => Piece::Lube,
        "Y" => Piece::OnlyLube,
        "G" => Piece::PlainField,
        "V" => Piece::MeasuredField,
        "E" => Piece::Kind,
        "Es" => Piece::Kinds,
        "H" => Piece::Thread,
        "S" => Piece::Size,
        "M" => Piece::Material,
        "U" => Piece::Unit,
        ".." => Piece::Dots,
        "," => Piece::Comma,
        "*" => Piece::Run,
        word => Piece::Word(word),
    }
}
