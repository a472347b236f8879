//! The value of any field as text, its units in the heading where all agree.

use crate::quantity::Unit;
use crate::query::run::UnitsWanted;
use crate::record::{Field, Measure, NOT_STATED, Value, Written};
use crate::report::figures::{
    Figures, Rounding, converted, range, shared_units, short, stated_figures, symbols,
};
use crate::report::lay::{clean, tied};
use crate::report::page::Head;
use crate::report::units::units_for;

const NOT_KNOWN: &str = "not known";

/// A column drawn as text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ColumnText {
    /// The heading, with the units where all cells share them.
    pub(crate) heading: String,
    pub(crate) cells: Vec<String>,
    /// Words, which may be wrapped; else figures, which may not.
    pub(crate) is_words: bool,
}

impl ColumnText {
    pub(crate) fn head(&self) -> Head {
        if self.is_words {
            Head::words(self.heading.clone(), 8)
        } else {
            Head::solid(self.heading.clone())
        }
    }
}

pub(crate) fn column_text(
    heading: &str,
    field: Option<&'static Field>,
    values: &[&Value<'_>],
    wanted: &UnitsWanted,
) -> ColumnText {
    let figures: Vec<Option<Figures>> =
        values.iter().map(|value| value_figures(value, wanted)).collect();
    let shared = shared_units(figures.iter().flatten());
    let cell = |(value, figures): (&&Value, &Option<Figures>)| match (figures, &shared) {
        (Some(figures), Some(_)) => figures.bare(),
        (Some(figures), None) => figures.with_units(),
        (None, _) => plain(value, field),
    };
    let cells = values.iter().zip(&figures).map(cell).collect();
    let is_words = values.iter().any(|value| matches!(value, Value::Text(_)));
    let units = shared.map_or_else(String::new, |units| format!(" {}", symbols(&units)));
    ColumnText { heading: clean(heading) + &units, cells, is_words }
}

fn value_figures(value: &Value<'_>, wanted: &UnitsWanted) -> Option<Figures> {
    match value {
        Value::Measure(measure) => Some(measure_figures(measure, wanted)),
        _ => None,
    }
}

/// A value without a unit.
fn plain(value: &Value<'_>, field: Option<&'static Field>) -> String {
    match value {
        Value::NotStated => {
            let is_stored = field.is_some_and(Field::is_stored);
            (if is_stored { NOT_STATED } else { NOT_KNOWN }).to_owned()
        }
        Value::Text(text) => clean(text),
        Value::Number(number) => plain_number(*number),
        Value::Thread(thread) => tied(&thread.to_string()),
        Value::Flag(true) => "yes".to_owned(),
        Value::Flag(false) => "no".to_owned(),
        Value::Measure(measure) => short(measure.high, 4),
    }
}

/// A whole number in full, any other with four figures.
fn plain_number(number: f64) -> String {
    if number.fract() == 0.0 { format!("{number:.0}") } else { short(number, 4) }
}

/// A quantity or range in each unit wanted; as written where it was written so.
pub(crate) fn measure_figures(measure: &Measure<'_>, wanted: &UnitsWanted) -> Figures {
    let units = units_for(wanted, measure.dimension, measure.unit());
    let parts = match &measure.written {
        Written::Exactly(one) => stated_figures(&[*one], false, &units, false),
        Written::Between(low, high) => stated_figures(&[*low, *high], false, &units, false),
        Written::AtMost(one) => stated_figures(&[*one], true, &units, false),
        // A list of angles is shown by its sum.
        Written::Nowhere | Written::Steps(_) => {
            units.iter().map(|unit| (derived(measure, unit), *unit)).collect()
        }
    };
    Figures { before: if measure.low.is_none() { "max " } else { "" }, parts }
}

fn derived(measure: &Measure<'_>, unit: &'static Unit) -> String {
    let show = |base: f64, way| converted(measure.dimension, base, unit, way);
    match measure.low {
        Some(low) if low < measure.high => range([low, measure.high], show).join("–"),
        Some(_) => show(measure.high, Rounding::Nearest),
        None => show(measure.high, Rounding::Down),
    }
}
