//! The working of a figure, like a page of a notebook: formula, symbols with
//! values and units, published source, result.
//!
//! The formulas stand beside their functions in `mechanics`; the steps of a row of
//! the book are in [`row`], those of a sum without a book beside its page in
//! `report/calc`.

mod measured;
mod near;
mod restated;
mod row;
mod strength;
mod why;

use serde_json::{Value, json};

use crate::mechanics::Formula;
use crate::report::lay::{pad, untied, width, wrap};
use crate::report::style::{Style, Tone};

pub(crate) use measured::Measured;
pub(crate) use row::{band_words, row_working, target_working};
pub use why::why;

/// What stands for a value, what it is and where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Symbol {
    name: &'static str,
    value: Measured,
    is: String,
}

/// One formula with its values.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Step {
    title: String,
    formula: &'static str,
    source: String,
    symbols: Vec<Symbol>,
    result: Option<(&'static str, Measured)>,
}

impl Step {
    pub(crate) fn new(title: impl Into<String>, formula: &Formula) -> Self {
        Self {
            title: title.into(),
            formula: formula.text,
            source: formula.source.to_owned(),
            symbols: Vec::new(),
            result: None,
        }
    }

    /// Another source than the formula's usual one.
    pub(crate) fn source(mut self, source: impl Into<String>) -> Self {
        self.source = source.into();
        self
    }

    /// Adds a symbol: its value, and what it is.
    pub(crate) fn with(
        mut self,
        name: &'static str,
        value: impl Into<Measured>,
        is: impl Into<String>,
    ) -> Self {
        self.symbols.push(Symbol { name, value: value.into(), is: is.into() });
        self
    }

    pub(crate) fn gives(mut self, name: &'static str, value: impl Into<Measured>) -> Self {
        self.result = Some((name, value.into()));
        self
    }
}

/// A line of the notebook.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Line {
    Step(Step),
    /// Words: a rule, a reason, a doubt.
    Remark(String),
}

/// The steps that lead to a figure, in order.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Working {
    lines: Vec<Line>,
}

impl Working {
    pub(crate) fn step(&mut self, step: Step) {
        self.lines.push(Line::Step(step));
    }

    pub(crate) fn remark(&mut self, text: impl Into<String>) {
        self.lines.push(Line::Remark(text.into()));
    }

    /// The page in lines of at most `limit` columns; steps are numbered.
    pub(crate) fn draw(&self, limit: usize, style: Style) -> Vec<String> {
        let mut lines = Vec::new();
        let mut number = 0;
        for line in &self.lines {
            match line {
                Line::Remark(text) => lines.extend(indented("    ", "    ", text, limit)),
                Line::Step(step) => {
                    number += 1;
                    step.draw(number, limit, style, &mut lines);
                }
            }
        }
        lines
    }

    pub(crate) fn json(&self) -> Value {
        let line = |line: &Line| match line {
            Line::Remark(text) => json!({ "remark": text }),
            Line::Step(step) => step.json(),
        };
        self.lines.iter().map(line).collect()
    }
}

/// `text` wrapped behind `first`, its further lines behind `rest`.
fn indented(first: &str, rest: &str, text: &str, limit: usize) -> Vec<String> {
    let room = limit.saturating_sub(width(first)).max(16);
    let lines = wrap(text, room).into_iter().enumerate();
    let line = |(at, line): (usize, String)| {
        let before = if at == 0 { first } else { rest };
        untied(&format!("{before}{line}"))
    };
    lines.map(line).collect()
}

impl Step {
    fn draw(&self, number: usize, limit: usize, style: Style, lines: &mut Vec<String>) {
        let heading = format!("{number:>2}. ");
        let titled = indented(&heading, "    ", &self.title, limit);
        lines.extend(titled.iter().map(|line| style.paint(Tone::Heading, line)));
        lines.extend(indented("    ", "      ", self.formula, limit));
        let names = self.symbols.iter().map(|symbol| width(symbol.name)).max().unwrap_or(0);
        let values = self.symbols.iter().map(|symbol| width(&symbol.value.text)).max();
        for symbol in &self.symbols {
            let name = pad(symbol.name, names);
            let value = pad(&symbol.value.text, values.unwrap_or(0).min(24));
            let first = format!("      {name} = {value}  ");
            let rest = " ".repeat(width(&first).min(limit / 2));
            let drawn = indented(&first, &rest, &symbol.is, limit);
            lines.extend(drawn.iter().map(|line| line.trim_end().to_owned()));
        }
        if let Some((name, value)) = &self.result {
            lines.push(format!("    {name} = {}", value.with_counterpart()));
        }
        let source = indented("    source: ", "      ", &self.source, limit);
        lines.extend(source.iter().map(|line| style.paint(Tone::Faint, line)));
    }

    fn json(&self) -> Value {
        let symbol = |symbol: &Symbol| {
            let mut object = symbol.value.json(symbol.name);
            let is = Some(symbol.is.clone()).filter(|is| !is.is_empty());
            object.insert("is".to_owned(), is.into());
            Value::Object(object)
        };
        json!({
            "step": self.title,
            "formula": self.formula,
            "symbols": self.symbols.iter().map(symbol).collect::<Vec<_>>(),
            "result": self.result.as_ref().map(|(name, value)| value.json(name)),
            "source": self.source,
        })
    }
}
