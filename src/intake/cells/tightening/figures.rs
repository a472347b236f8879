//! The figures of a tightening cell: each number with its unit and with what
//! joins it to the one before.

use super::token::{Keyword, Token};
use crate::intake::cells::Context;
use crate::intake::verdict::Problem;
use crate::quantity::{DEGREE, Dimension, Number, Quantity, Unit};

/// Code of the problem that a figure has no unit.
pub(crate) const NO_UNIT: &str = "no-unit";
/// Code of the problem that a torque is written in pounds.
pub(crate) const NO_LEVER_LB: &str = "pounds";
/// Code of the problem that a torque is written in kilograms.
pub(crate) const NO_LEVER_KG: &str = "kilograms";

/// What a figure measures, as far as it is written.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Sort {
    /// No unit.
    Bare,
    /// A unit of the UNITS table.
    In(&'static Unit),
    /// Pounds, as written: the lever is missing.
    Pounds(String),
    /// Kilograms, as written: the lever is missing.
    Kilos(String),
}

/// What stands between a figure and the one before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Joint {
    /// Nothing: a blank, or it is the first.
    Blank,
    /// `-`
    Dash,
    /// `..` or `to`
    Range,
    /// `/`
    Slash,
    /// `,`
    Comma,
    /// `then`, an ordinal
    Then,
    /// `+`
    Plus,
    /// `±`
    PlusMinus,
    /// `x`
    Times,
}

/// One figure of a cell, with what tells it from its neighbours.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Value {
    pub(crate) number: Number,
    pub(crate) sort: Sort,
    pub(crate) joint: Joint,
}

impl Value {
    /// Its unit, if it has one.
    pub(crate) fn unit(&self) -> Option<&'static Unit> {
        match self.sort {
            Sort::In(unit) => Some(unit),
            _ => None,
        }
    }

    /// Whether it measures `dimension`.
    pub(crate) fn is(&self, dimension: Dimension) -> bool {
        self.unit().is_some_and(|unit| unit.dimension == dimension)
    }

    /// It as a quantity, if it has a unit.
    pub(crate) fn quantity(&self) -> Option<Quantity> {
        self.unit().map(|unit| Quantity::new(self.number, unit))
    }
}

/// A cell's figures and the words around them.
#[derive(Debug, Default)]
pub(crate) struct CellFigures {
    pub(crate) values: Vec<Value>,
    pub(crate) keys: Vec<Keyword>,
    pub(crate) notes: Vec<String>,
    pub(crate) footnotes: Vec<String>,
    pub(crate) unknown: Vec<String>,
    /// Units spelled with a slip: as written, as read.
    pub(crate) slips: Vec<(String, &'static Unit)>,
    /// A dash before the first figure.
    pub(crate) is_negative: bool,
}

impl CellFigures {
    /// Gathers the figures of `tokens`.
    pub(crate) fn read(tokens: &[Token]) -> Self {
        let mut figures = Self::default();
        let mut joint = Joint::Blank;
        for token in tokens {
            figures.add(token, &mut joint);
        }
        figures
    }

    /// Whether the cell holds the word.
    pub(crate) fn says(&self, key: Keyword) -> bool {
        self.keys.contains(&key)
    }

    fn add(&mut self, token: &Token, joint: &mut Joint) {
        let next = match token {
            Token::Number(number) => {
                let value = Value { number: *number, sort: Sort::Bare, joint: *joint };
                self.values.push(value);
                Joint::Blank
            }
            Token::Dash if self.values.is_empty() && self.keys.is_empty() => {
                self.is_negative = true;
                Joint::Blank
            }
            Token::Plus => Joint::Plus,
            Token::PlusMinus => Joint::PlusMinus,
            // `then +90°` is still a plus.
            Token::Then | Token::Step if *joint != Joint::Plus => Joint::Then,
            Token::Dash if *joint == Joint::Blank => Joint::Dash,
            Token::Slash => Joint::Slash,
            Token::Dots => Joint::Range,
            Token::To if *joint == Joint::Blank && !self.values.is_empty() => Joint::Range,
            Token::Comma if *joint == Joint::Blank => Joint::Comma,
            Token::Times => Joint::Times,
            Token::Unit(unit) => return self.give(Sort::In(unit)),
            Token::Slip(written, unit) => {
                self.slips.push((written.clone(), unit));
                return self.give(Sort::In(unit));
            }
            Token::Pounds(written) => return self.give(Sort::Pounds(written.clone())),
            Token::Kilos(written) => return self.give(Sort::Kilos(written.clone())),
            Token::Flats => return self.flats(),
            other => return self.word(other),
        };
        *joint = next;
    }

    fn word(&mut self, token: &Token) {
        match token {
            Token::Word(Keyword::Filler) => {}
            Token::Word(key) => self.keys.push(*key),
            Token::Note(note) => self.notes.push(note.clone()),
            Token::Footnote(mark) => self.footnotes.push(mark.clone()),
            Token::Unknown(word) => self.unknown.push(word.clone()),
            _ => {}
        }
    }

    fn give(&mut self, sort: Sort) {
        if let Some(last) = self.values.last_mut() {
            last.sort = sort;
        }
    }

    /// Flats of a hexagon are 60° each.
    fn flats(&mut self) {
        let Some(last) = self.values.last_mut() else { return };
        last.number = Number::decimal(last.number.value() * 60.0, 0);
        last.sort = Sort::In(DEGREE);
    }

    /// Opens `2 x 90°`, then gives bare figures the unit of their neighbours.
    pub(crate) fn settle(&mut self, cell: &str) -> Result<(), Problem> {
        self.open_times(cell)?;
        for at in (1..self.values.len()).rev() {
            if self.values[at - 1].sort == Sort::Bare && self.reaches_back(at) {
                self.values[at - 1].sort = self.values[at].sort.clone();
            }
        }
        for at in 1..self.values.len() {
            let before = &self.values[at - 1];
            let carries = before.is(Dimension::Torque)
                || before.is(Dimension::Length)
                || matches!(before.sort, Sort::Pounds(_) | Sort::Kilos(_))
                || (before.is(Dimension::Angle) && self.values[at].joint == Joint::Plus)
                || (before.is(Dimension::Ratio) && self.values[at].joint != Joint::Plus);
            let takes = self.values[at].joint != Joint::Plus || before.is(Dimension::Angle);
            if self.values[at].sort == Sort::Bare && carries && takes {
                self.values[at].sort = before.sort.clone();
            }
        }
        Ok(())
    }

    /// Whether the figure before `at` shares its unit: `60-65 lb-ft`,
    /// `20, 45, 65 lb-ft`, `+90 +90°`; not `60 + 90°`.
    fn reaches_back(&self, at: usize) -> bool {
        let value = &self.values[at];
        let joined = !matches!(value.joint, Joint::Plus | Joint::PlusMinus | Joint::Times);
        match value.joint {
            Joint::PlusMinus => !value.is(Dimension::Ratio),
            Joint::Plus => value.is(Dimension::Angle) && self.values[at - 1].joint == Joint::Plus,
            Joint::Dash | Joint::Range | Joint::Slash => true,
            _ => joined && !value.is(Dimension::Angle),
        }
    }

    fn open_times(&mut self, cell: &str) -> Result<(), Problem> {
        while let Some(at) = self.values.iter().position(|value| value.joint == Joint::Times) {
            if at == 0 {
                self.values[0].joint = Joint::Blank;
                continue;
            }
            let (first, second) = (self.values[at - 1].clone(), self.values[at].clone());
            let count = |value: &Value| {
                let times = value.number.value();
                let few = value.sort == Sort::Bare && (1.0..=6.0).contains(&times);
                (few && times.fract() == 0.0).then_some(times as usize)
            };
            let (times, mut figure) = match (count(&first), count(&second)) {
                (Some(times), _) if second.sort != Sort::Bare => (times, second),
                (_, Some(times)) if first.sort != Sort::Bare => (times, first.clone()),
                _ => return Err(unclear(cell, "what is multiplied is not clear")),
            };
            figure.joint = first.joint;
            let mut again = figure.clone();
            again.joint = Joint::Plus;
            let repeated = std::iter::once(figure).chain(std::iter::repeat_n(again, times - 1));
            self.values.splice(at - 1..=at, repeated);
        }
        Ok(())
    }

    /// Gives bare figures and those in pounds or kilograms the unit of the
    /// column. Some: a warning about it.
    pub(crate) fn fill_units(
        &mut self,
        dimension: Dimension,
        context: Context,
    ) -> Result<Option<String>, Problem> {
        let unit = context.unit.filter(|unit| unit.dimension == dimension);
        let mut warning = None;
        for value in &mut self.values {
            let levered = |wanted: &[&str]| unit.filter(|unit| wanted.contains(&unit.symbol));
            match &value.sort {
                Sort::In(_) => {}
                Sort::Bare => value.sort = Sort::In(unit.ok_or_else(|| no_unit(value.number))?),
                Sort::Pounds(written) => {
                    let found = levered(&["lb-ft", "lb-in"]);
                    let unit = found.ok_or_else(|| no_lever(value.number, written))?;
                    warning = Some(format!(
                        "`{written}` taken for {}, the unit of the column",
                        unit.symbol
                    ));
                    value.sort = Sort::In(unit);
                }
                Sort::Kilos(written) => {
                    let found = levered(&["kgf·m", "kgf·cm"]);
                    let unit = found.ok_or_else(|| no_lever(value.number, written))?;
                    warning = Some(format!(
                        "`{written}` taken for {}, the unit of the column",
                        unit.symbol
                    ));
                    value.sort = Sort::In(unit);
                }
            }
        }
        Ok(warning)
    }
}

fn no_unit(number: Number) -> Problem {
    let reason = format!("{number} has no unit");
    Problem::question(NO_UNIT, reason, Vec::new())
}

fn no_lever(number: Number, written: &str) -> Problem {
    let kilos = written.to_ascii_lowercase().starts_with('k');
    let code = if kilos { NO_LEVER_KG } else { NO_LEVER_LB };
    let reason = format!("{number} {written} is a weight; a torque needs its lever");
    Problem::question(code, reason, Vec::new())
}

/// A cell whose parts are understood but not what they say together.
pub(crate) fn unclear(cell: &str, why: &str) -> Problem {
    Problem::refused("unclear", format!("`{cell}`: {why}"), "write it out, or one row for each")
}
