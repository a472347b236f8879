//! What the two sides say about a text: the program, and the grammar files.

use clampbook::quantity::{Dimension, NumberForm};
use clampbook::query::syntax::{Class, Operator, SyntaxError, parse, tokens};
use clampbook::record::field_words;

use super::fold::{fold, is_extreme};
use super::oracle::Oracle;

/// What one side says about a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Verdict {
    /// It has the form of a question.
    Accepted,
    /// It has not.
    Refused,
    /// It goes past a limit that the files leave out, or may go past one.
    BeyondTheFiles,
}

/// Something that reads questions: the program, or a loosened one.
pub(crate) type Reader<'a> = &'a dyn Fn(&str) -> Result<(), SyntaxError>;

/// The program.
pub(crate) fn program(text: &str) -> Result<(), SyntaxError> {
    parse(text, field_words()).map(|_| ())
}

/// What `reader` says about `text`.
pub(crate) fn of_reader(reader: Reader<'_>, text: &str) -> Verdict {
    match reader(text) {
        Ok(()) => Verdict::Accepted,
        Err(error) if is_limit(&error) => Verdict::BeyondTheFiles,
        Err(_) => Verdict::Refused,
    }
}

/// What the files say about `text`.
pub(crate) fn of_files(oracle: &Oracle, text: &str) -> Verdict {
    let folded = fold(text);
    match oracle.trees(&folded) {
        _ if is_extreme(&folded) => Verdict::BeyondTheFiles,
        0 => Verdict::Refused,
        _ => Verdict::Accepted,
    }
}

/// Why the two sides disagree about `text`; None if they agree or one of them
/// has nothing to say.
pub(crate) fn dispute(oracle: &Oracle, reader: Reader<'_>, text: &str) -> Option<String> {
    let (files, program) = (of_files(oracle, text), of_reader(reader, text));
    let silent = files == Verdict::BeyondTheFiles || program == Verdict::BeyondTheFiles;
    (!silent && files != program).then(|| format!("{text:?}: files {files:?}, program {program:?}"))
}

/// A token: its class in `query.bnf`, its first byte, one past its last.
pub(crate) type Piece = (String, usize, usize);

/// Why the two sides cut the folded text `text` into different tokens; None if
/// they agree or the program is past a limit.
pub(crate) fn cut_dispute(oracle: &Oracle, text: &str) -> Option<String> {
    let program = match cut(text) {
        Err(error) if is_limit(&error) => return None,
        cut => cut.ok(),
    };
    let files = oracle.classes(text).map(|classes| {
        let cuts = oracle.cut(text).unwrap_or_default();
        let piece = |(class, cut): (String, super::oracle::Cut)| (class, cut.start, cut.end);
        classes.into_iter().zip(cuts).map(piece).collect::<Vec<Piece>>()
    });
    (program != files).then(|| format!("{text:?}: files {files:?}, program {program:?}"))
}

/// The tokens of the program.
pub(crate) fn cut(text: &str) -> Result<Vec<Piece>, SyntaxError> {
    let (tokens, error) = tokens(text, field_words());
    let piece = |token: &clampbook::query::syntax::Token| {
        (terminal(&token.class).to_owned(), token.span.start, token.span.end)
    };
    error.map_or_else(|| Ok(tokens.iter().map(piece).collect()), Err)
}

/// Whether `error` says that a text has the form of the files and only goes past a limit
/// that they do not hold.
pub(crate) fn is_limit(error: &SyntaxError) -> bool {
    const LIMITS: [&str; 5] =
        ["question-too-long", "nested-too-deep", "bad-number", "bad-thread", "clause-twice"];
    LIMITS.contains(&error.diagnostic().code)
}

/// The name of a class in `grammar/query.bnf`.
fn terminal(class: &Class) -> &'static str {
    match class {
        Class::Comma => ",",
        Class::Open => "(",
        Class::Close => ")",
        Class::Range => "..",
        Class::Relation(_) => "REL",
        Class::Operator(Operator::Plus | Operator::Minus) => "PLUS",
        Class::Operator(Operator::Times | Operator::Per) => "TIMES",
        Class::Keyword(keyword) => keyword.spelling(),
        Class::By => "x",
        Class::Share(_) => "SHARE",
        Class::Family(_) => "FAMILY",
        Class::Unit(_) => "UNIT",
        Class::Quantity(quantity) => match quantity.dimension() {
            Dimension::Ratio => "PERCENT",
            Dimension::Force => "FORCE",
            _ => "QUANTITY",
        },
        Class::Thread(_) => "THREAD",
        Class::Number(number) => {
            let is_whole = matches!(number.form(), NumberForm::Decimal { places: 0 });
            let is_count = (1.0..=f64::from(u32::MAX)).contains(&number.value());
            if is_whole && is_count { "COUNT" } else { "NUMBER" }
        }
        Class::Quoted(_) => "QUOTED",
        Class::Date => "DATE",
        Class::Field => "FIELD",
        Class::Word => "WORD",
    }
}
