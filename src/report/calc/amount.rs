//! The value of a figure before it is drawn: as text in the units wanted, and as
//! a program reads it.

use serde_json::Value;

use crate::mechanics::Stiffness;
use crate::quantity::{Dimension, Extent, KIP, Stated, System, Torque, Unit};
use crate::query::run::UnitsWanted;
use crate::record::{Clamp, NOT_STATED};
use crate::report::figures::{
    Figures, Rounding, clamp_figures, figure, joined, per_cent, short, significant,
};
use crate::report::lay::tied;
use crate::report::units::{habit, units_for};

/// A value before it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Amount {
    Nothing,
    /// A quantity in base units; the unit and text as written where it was
    /// given, and how many figures it has where the usual rounding is too
    /// coarse.
    Measure {
        dimension: Dimension,
        base: f64,
        given: Option<Given>,
        figures: Option<i32>,
        rounding: Rounding,
    },
    /// A computed torque, rounded as one.
    Torque(Stated<Torque>),
    Band(Clamp),
    Stiffness(Stiffness),
    /// A share of 1, shown in per cent.
    Share(f64),
    /// A plain number with this many figures.
    Number(f64, i32),
    Words(String),
    /// Anything else a program reads.
    Data(Value),
}

/// The unit that stands first, with the quantity as written in it if it was
/// given so.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Given {
    pub(super) text: Option<String>,
    pub(super) unit: &'static Unit,
}

impl Amount {
    pub(super) fn json(&self) -> Value {
        match self {
            Self::Nothing => Value::Null,
            Self::Measure { base, .. } => (*base).into(),
            Self::Torque(torque) => torque.value().nm().into(),
            Self::Band(clamp) => clamp.nominal.n().into(),
            Self::Stiffness(stiffness) => stiffness.n_per_mm().into(),
            Self::Share(value) | Self::Number(value, _) => (*value).into(),
            Self::Words(text) => text.clone().into(),
            Self::Data(json) => json.clone(),
        }
    }

    pub(super) fn text(&self, wanted: &UnitsWanted, inch: bool) -> String {
        match self {
            Self::Nothing => NOT_STATED.to_owned(),
            Self::Measure { dimension, base, given, figures, rounding } => {
                let units = in_units(wanted, *dimension, given.as_ref().map(|g| g.unit), inch);
                let one = |unit: &&'static Unit| match given {
                    Some(Given { text: Some(text), unit: written }) if written == unit => {
                        text.clone()
                    }
                    _ => measured(*dimension, *base, *figures, *rounding, unit),
                };
                let shown: Vec<String> = units.iter().map(one).map(|text| tied(&text)).collect();
                shown.join(" / ")
            }
            Self::Torque(torque) => {
                let written = Some(torque.written().unit);
                let units = in_units(wanted, Dimension::Torque, written, inch);
                tied(&Figures::new(Extent::Exactly(*torque), &units, false).with_units())
            }
            Self::Band(clamp) => {
                let units = in_units(wanted, Dimension::Force, None, inch);
                let one = |unit: &&'static Unit| {
                    tied(&format!("{} {}", clamp_figures(*clamp, unit), unit.symbol))
                };
                units.iter().map(one).collect::<Vec<_>>().join(" / ")
            }
            Self::Stiffness(stiffness) => stiffness_text(*stiffness, inch),
            Self::Share(share) => tied(&format!("{} %", per_cent(*share))),
            Self::Number(number, figures) => short(*number, *figures),
            Self::Words(text) => text.clone(),
            Self::Data(json) => json.to_string(),
        }
    }
}

/// The units for a value: the given one first, else the habit of the thread's
/// family, with its counterpart.
fn in_units(
    wanted: &UnitsWanted,
    dimension: Dimension,
    given: Option<&'static Unit>,
    inch: bool,
) -> Vec<&'static Unit> {
    let system = if inch { System::Inch } else { System::Metric };
    units_for(wanted, dimension, given.or_else(|| habit(system, dimension)))
}

/// A number of base units in `unit`, rounded, signed.
fn measured(
    dimension: Dimension,
    base: f64,
    figures: Option<i32>,
    rounding: Rounding,
    unit: &Unit,
) -> String {
    let sign = if base < 0.0 { "−" } else { "" };
    let number = match (figures, rounding) {
        (figures, Rounding::Up | Rounding::Down) => {
            significant(base.abs() / unit.factor, figures.unwrap_or(2), rounding)
        }
        (Some(figures), Rounding::Nearest) => short(base.abs() / unit.factor, figures),
        (None, Rounding::Nearest) => figure(dimension, base.abs(), unit),
    };
    joined(&format!("{sign}{number}"), unit)
}

fn stiffness_text(stiffness: Stiffness, inch: bool) -> String {
    let per_mm = stiffness.n_per_mm();
    let metric = format!("{} kN/mm", short(per_mm / 1000.0, 3));
    let kip = KIP.factor;
    let pounds = format!("{} kip/in", short(per_mm * 25.4 / kip, 3));
    let both = if inch { [pounds, metric] } else { [metric, pounds] };
    both.map(|text| tied(&text)).join(" / ")
}
