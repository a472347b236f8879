//! From text to tree.

use std::cell::Cell;

use nom::Parser;
use nom::combinator::{cut, map};
use nom::multi::many0;

use super::clause::clause;
use super::error::{SyntaxError, SyntaxErrorKind};
use super::filter::filter;
use super::input::{Context, Parsed, Tokens, Want, Wanted};
use super::source::SourceText;
use super::token::{Class, Token};
use super::tree::Question;
use super::{DEEPEST, LONGEST, hint, lexer};
use crate::text::Span;

/// Reads the question `text`. `fields` are the names of the fields, in any
/// order: a word among them is a field here, and which one is not asked.
pub fn parse(text: &str, fields: &[&str]) -> Result<Question, SyntaxError> {
    if text.len() > LONGEST {
        let start = text.floor_char_boundary(LONGEST);
        let kind = SyntaxErrorKind::TooLong { bytes: text.len() };
        return Err(SyntaxError::new(kind, Span::new(start, text.len())));
    }
    let source = SourceText::new(text);
    let (tokens, error) = lexer::scan(&source, fields);
    if let Some(error) = error {
        return Err(error);
    }
    let context = Context {
        text: source.text(),
        closings: closings(&tokens)?,
        tokens: &tokens,
        furthest: Cell::new((0, Wanted::default())),
    };
    match whole(Tokens::new(&context)) {
        Ok((_, question)) => once_each(question),
        Err(_) => Err(hint::explain(&context, fields, text.len())),
    }
}

/// `filter { clause } | clause { clause }`, to the end.
fn whole(input: Tokens<'_>) -> Parsed<'_, Question> {
    let starts_clause =
        matches!(input.class(0), Some(Class::Keyword(word)) if word.starts_clause());
    let (rest, filter) =
        if starts_clause { (input, None) } else { map(cut(filter), Some).parse(input)? };
    let (rest, clauses) = many0(clause).parse(rest)?;
    match rest.class(0) {
        None => Ok((rest, Question { filter, clauses })),
        Some(_) => rest.stop(Want::Clause),
    }
}

/// For each `(` the place of its `)`, or what is wrong with the parentheses.
fn closings(tokens: &[Token]) -> Result<Vec<usize>, SyntaxError> {
    let mut closings = vec![0; tokens.len()];
    let mut open = Vec::new();
    for (at, token) in tokens.iter().enumerate() {
        match token.class {
            Class::Open if open.len() == DEEPEST => {
                return Err(SyntaxError::new(SyntaxErrorKind::TooDeep, token.span));
            }
            Class::Open => open.push(at),
            Class::Close => match open.pop() {
                Some(opened) => closings[opened] = at,
                None => return Err(SyntaxError::new(SyntaxErrorKind::NotOpened, token.span)),
            },
            _ => {}
        }
    }
    match open.pop() {
        Some(opened) => Err(SyntaxError::new(SyntaxErrorKind::NotClosed, tokens[opened].span)),
        None => Ok(closings),
    }
}

/// Refuses a clause that stands twice.
fn once_each(question: Question) -> Result<Question, SyntaxError> {
    for (at, clause) in question.clauses.iter().enumerate() {
        let word = clause.word();
        if let Some(first) = question.clauses[..at].iter().find(|first| first.word() == word) {
            let kind =
                SyntaxErrorKind::ClauseTwice { clause: word.spelling(), first: first.keyword.0 };
            return Err(SyntaxError::new(kind, clause.keyword.0));
        }
    }
    Ok(question)
}
