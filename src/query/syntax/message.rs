//! What a wrong question is answered: the place, what was expected there, and
//! what to do.

use super::error::{SyntaxError, SyntaxErrorKind};
use crate::quantity::NumberError;
use crate::text::Diagnostic;

impl SyntaxError {
    /// The error as data to draw.
    pub fn diagnostic(&self) -> Diagnostic {
        let diagnostic = Diagnostic::new(self.code(), self.span, self.to_string(), self.label());
        let diagnostic = match self.other_place() {
            Some((span, label)) => diagnostic.also(span, label),
            None => diagnostic,
        };
        match self.hint.clone().or_else(|| self.advice()) {
            // One hint: the nearest word, where there is one.
            _ if self.nearest().is_some() => diagnostic.suggest(self.nearest()),
            Some(line) => diagnostic.help(line),
            None => diagnostic,
        }
    }

    fn nearest(&self) -> Option<&str> {
        match &self.kind {
            SyntaxErrorKind::UnknownField { nearest, .. }
            | SyntaxErrorKind::UnknownUnit { nearest, .. } => nearest.as_deref(),
            _ => None,
        }
    }

    /// What stands under the caret.
    fn label(&self) -> String {
        match &self.kind {
            SyntaxErrorKind::Empty => "expected a question".to_owned(),
            SyntaxErrorKind::TooLong { .. } => "too long from here on".to_owned(),
            SyntaxErrorKind::TooDeep => "expected no further parenthesis".to_owned(),
            SyntaxErrorKind::Character(_) => "expected a word, number or sign".to_owned(),
            SyntaxErrorKind::Number(NumberError::TooLong(_)) => "expected fewer digits".to_owned(),
            SyntaxErrorKind::Number(_) => "expected a number or a fraction".to_owned(),
            SyntaxErrorKind::Thread(_) => "expected a thread that exists".to_owned(),
            SyntaxErrorKind::OpenQuote => "expected a second `\"` after this one".to_owned(),
            SyntaxErrorKind::NotClosed => "expected a `)` after this".to_owned(),
            SyntaxErrorKind::EmptyQuote => "expected text".to_owned(),
            SyntaxErrorKind::StrayQuote => "expected a blank before this".to_owned(),
            SyntaxErrorKind::DashRange { .. } => "expected two dots between the ends".to_owned(),
            SyntaxErrorKind::HalfRange => "expected a number on both sides".to_owned(),
            SyntaxErrorKind::GluedOperator(sign) => format!("expected ` {sign} `"),
            SyntaxErrorKind::LeadingDash(_) => "expected a word or number".to_owned(),
            SyntaxErrorKind::NotOpened => "expected `(` before this".to_owned(),
            SyntaxErrorKind::Unexpected { expected, .. } => format!("expected {expected}"),
            SyntaxErrorKind::UnknownField { .. } => "expected a field".to_owned(),
            SyntaxErrorKind::UnknownUnit { .. } => "expected a unit".to_owned(),
            SyntaxErrorKind::ClauseTwice { .. } => "expected only one".to_owned(),
        }
    }

    /// What to do, where that follows from the kind alone.
    fn advice(&self) -> Option<String> {
        let line = match &self.kind {
            SyntaxErrorKind::Empty => "for example: head with oil".to_owned(),
            SyntaxErrorKind::TooLong { .. } => "ask in several questions".to_owned(),
            SyntaxErrorKind::TooDeep => {
                "a comma is the loosest `and` and needs no parentheses".to_owned()
            }
            SyntaxErrorKind::Character(found) => character_advice(*found)?.to_owned(),
            SyntaxErrorKind::OpenQuote => {
                "close it with `\"`; a quote inside quotes is written twice".to_owned()
            }
            SyntaxErrorKind::EmptyQuote => "leave the quotes out".to_owned(),
            SyntaxErrorKind::StrayQuote => {
                "a quote opens text after a blank, comma or parenthesis; after a number it is \
                 inches"
                    .to_owned()
            }
            SyntaxErrorKind::DashRange { low, high } => format!(
                "write {low}..{high}; if `{low}-…` is a thread or a name, put a comma after it"
            ),
            SyntaxErrorKind::GluedOperator('*') => {
                "to find words that start so, leave it out: every word does".to_owned()
            }
            SyntaxErrorKind::GluedOperator('/') => {
                "in words: clamp per proof-load; a file or part number stands in quotes".to_owned()
            }
            SyntaxErrorKind::GluedOperator(sign) => {
                format!("write clamp {sign} 5 kN; a name with `{sign}` in it stands in quotes")
            }
            SyntaxErrorKind::Thread(_) => {
                "leave out what contradicts the rest; `clampbook thread M10` names the pitches of \
                 a size"
                    .to_owned()
            }
            SyntaxErrorKind::HalfRange => "for example: torque 60..80 lb-ft".to_owned(),
            SyntaxErrorKind::LeadingDash(text) => leading_dash_advice(text),
            SyntaxErrorKind::Number(NumberError::TooLong(_)) => {
                "round it: no figure of a sheet is as long".to_owned()
            }
            SyntaxErrorKind::Number(_) => {
                "a fraction of an inch is written 7/16 or 1-1/2; text stands in quotes".to_owned()
            }
            SyntaxErrorKind::NotClosed => {
                "close it, or leave it out: `head, moly or oil` needs none".to_owned()
            }
            SyntaxErrorKind::NotOpened => "leave it out: `head, moly or oil` needs none".to_owned(),
            SyntaxErrorKind::UnknownField { .. } => {
                "`clampbook list fields` names them all".to_owned()
            }
            SyntaxErrorKind::UnknownUnit { .. } => {
                "for example: units N.m, kN, or units metric, or units inch".to_owned()
            }
            SyntaxErrorKind::ClauseTwice {
                clause: clause @ ("first" | "target" | "on"), ..
            } => {
                format!("leave one `{clause}` out")
            }
            SyntaxErrorKind::ClauseTwice { clause, .. } => {
                format!("leave one `{clause}` out, or join the two with commas")
            }
            SyntaxErrorKind::Unexpected { .. } => return None,
        };
        Some(line)
    }
}

fn leading_dash_advice(text: &str) -> String {
    let rest = text.trim_start_matches('-');
    if rest.starts_with(|first: char| first.is_ascii_digit() || first == '.') {
        return format!("to subtract, write `- {rest}`; a figure is never below zero");
    }
    if text.starts_with("--") {
        return format!(
            "to leave rows out, write `not {rest}`; options stand outside the question"
        );
    }
    format!("to leave rows out, write `not {rest}`; to subtract, `- {rest}`")
}

fn character_advice(found: char) -> Option<&'static str> {
    Some(match found {
        '!' => "write `not`",
        '&' => "write `and`",
        '|' => "write `or`",
        ';' => "write a comma",
        ':' => "a field and its value stand side by side: lube moly",
        '[' | ']' | '{' | '}' => "write parentheses: ( and )",
        '?' => "leave it out; every word also finds longer words that start with it",
        '%' => "write it right after a number: 75%",
        '\n' | '\r' => "one question stands on one line",
        _ => return None,
    })
}
