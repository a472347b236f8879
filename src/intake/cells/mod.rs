//! Readers of cells, one per kind of field. Each gives a value with remarks,
//! a question with its readings, or a refusal with what to do.
//!
//! A unit is never guessed from the size of a number: it stands in the cell,
//! in the heading, or in what the caller said about the file.

mod choices;
mod dates;
mod lubes;
mod numbers;
mod orders;
mod quantities;
mod reuse;
mod sources;
mod strengths;
mod threads;
mod tightening;
mod units;

pub(crate) use choices::{read_choice, read_count, read_flag, read_hole};
pub(crate) use dates::read_date;
pub(crate) use lubes::{LubeCell, TWO_LUBES, read_lube, read_threadlocker};
pub(crate) use orders::{is_no_order, read_order};
pub(crate) use quantities::{read_quantity, read_share};
pub(crate) use reuse::{asks_for_again, asks_for_new, read_again, read_new, read_reuse};
pub(crate) use sources::{Split, read_source};
pub(crate) use strengths::{read_strength, strength_named};
pub(crate) use threads::{counted, read_thread};
pub(crate) use tightening::{
    NO_UNIT, Tightening, Wanted, ends_in, in_words, passes_in_words, read_tightening, turn_at,
    words_alone,
};
pub(crate) use units::{take_unit_spelled, unit_spelled};

use crate::intake::names::Names;
use crate::intake::words::plain_words;
use crate::quantity::{DecimalMark, Unit};

/// What a cell reader knows beside the cell.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Context<'a> {
    /// Names of lubes and strengths.
    pub(crate) names: &'a Names<'a>,
    /// What stands before the decimals.
    pub(crate) mark: DecimalMark,
    /// Unit of a bare number in this column.
    pub(crate) unit: Option<&'static Unit>,
    /// Unit of the second figure where the heading names two.
    pub(crate) second: Option<&'static Unit>,
    /// Its rows have keys: an export, of which nothing is left open.
    pub(crate) has_keys: bool,
    /// Whether the dates of the file have their day first, as far as one shows it.
    pub(crate) day_first: Option<bool>,
}

/// Whether the cell says in so many words that nothing is stated.
pub(crate) fn says_nothing(text: &str) -> bool {
    #[rustfmt::skip] // words and marks, side by side
    const WORDS: &[&str] = &[
        "", "-", "--", "–", "—", "n/a", "na", "n.a.", "#n/a", "null", "(null)", "<null>", "not stated", "none stated", "nil", ".",
    ];
    let text = text.trim();
    WORDS.iter().any(|word| text.eq_ignore_ascii_case(word))
}

/// Whether the cell says that the value is not known yet.
pub(crate) fn says_unknown(text: &str) -> bool {
    const WORDS: &[&str] = &["?", "??", "???", "tbd", "tba", "unknown", "not known", "to follow"];
    WORDS.iter().any(|word| text.trim().eq_ignore_ascii_case(word))
}

/// Whether the cell holds what a spreadsheet shows in place of a value.
pub(crate) fn says_error(text: &str) -> bool {
    const ERRORS: &[&str] = &[
        "#REF!",
        "#VALUE!",
        "#DIV/0!",
        "#NAME?",
        "#NUM!",
        "#NULL!",
        "#DATA!",
        "#GETTING_DATA",
        "#FORMULA!",
        "Err:502",
        "Err:508",
        "Err:522",
    ];
    text.starts_with(['#', 'E']) && ERRORS.iter().any(|error| text.eq_ignore_ascii_case(error))
}

/// Whether the cell stands for the one above it, in a word or by marks: `"`, `-do-`, `ídem`.
pub(crate) fn says_ditto(text: &str) -> bool {
    #[rustfmt::skip] // words of five languages, side by side
    const WORDS: &[&str] = &[
        "ditto", "dito", "dto", "do", "same", "same as last", "same as above", "as above", "idem", "d°", "gleich", "wie oben", "wie vor", "s o",
        "comme ci dessus", "ci dessus", "meme", "le meme", "la meme", "igual", "lo mismo", "el mismo", "como arriba", "come sopra", "c s", "uguale", "stesso",
    ];
    const LONGEST: usize = 20;
    let is_mark =
        |c: char| matches!(c, '"' | '\'' | '”' | '“' | '„' | '″' | '〃' | '´' | '`' | '’');
    let text = text.trim();
    if text.len() > LONGEST {
        return false;
    }
    let bare = text.trim_matches(['-', '–', '—', ' ']);
    let are_marks =
        !["", "'"].contains(&bare) && bare.chars().all(|c| is_mark(c) || matches!(c, ' ' | '-'));
    let plain = plain_words(bare);
    are_marks || WORDS.contains(&plain.as_str()) || plain == "id" && bare.ends_with('.')
}
