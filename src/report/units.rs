//! In which units a value is shown: the sheet's own first, or what was asked for.

use crate::quantity::{Dimension, System, UNITS, Unit, counterpart};
use crate::query::run::UnitsWanted;

/// The units for a value of `dimension`: of a stated one the unit it is
/// `written` in and its counterpart, of a derived one the habit of the shop.
///
/// The habit of the shop puts its own unit first; one system or named units replace
/// both. Empty only for a dimension without
/// a unit in the table.
pub(crate) fn units_for(
    wanted: &UnitsWanted,
    dimension: Dimension,
    written: Option<&'static Unit>,
) -> Vec<&'static Unit> {
    match wanted {
        UnitsWanted::AsWritten => both(dimension, written),
        UnitsWanted::First(system) => {
            let mut units = both(dimension, written.or_else(|| habit(*system, dimension)));
            units.sort_by_key(|unit| unit.system != *system && unit.system != System::Both);
            units
        }
        UnitsWanted::System(system) => in_system(*system, dimension, written).into_iter().collect(),
        UnitsWanted::Units(units) => {
            let asked = units.iter().copied().filter(|unit| unit.dimension == dimension);
            let asked: Vec<&'static Unit> = asked.collect();
            if asked.is_empty() { both(dimension, written) } else { asked }
        }
    }
}

/// The written unit with its counterpart; without one, the metric habit.
fn both(dimension: Dimension, written: Option<&'static Unit>) -> Vec<&'static Unit> {
    let Some(written) = written else {
        return habit(System::Metric, dimension).into_iter().collect();
    };
    let other = counterpart(written);
    if other == written { vec![written] } else { vec![written, other] }
}

/// The unit of `system`: the written one if it belongs there.
fn in_system(
    system: System,
    dimension: Dimension,
    written: Option<&'static Unit>,
) -> Option<&'static Unit> {
    let belongs = |unit: &&'static Unit| unit.system == system || unit.system == System::Both;
    written
        .filter(belongs)
        .or_else(|| written.map(counterpart).filter(belongs))
        .or_else(|| habit(system, dimension))
}

/// The unit that the trade uses for a value that no sheet states.
pub(crate) fn habit(system: System, dimension: Dimension) -> Option<&'static Unit> {
    let inch = system == System::Inch;
    let symbol = match dimension {
        Dimension::Torque if inch => "lb-ft",
        Dimension::Torque => "N·m",
        Dimension::Force if inch => "lbf",
        Dimension::Force => "kN",
        Dimension::Length if inch => "in",
        Dimension::Length => "mm",
        Dimension::Stress if inch => "ksi",
        Dimension::Stress => "MPa",
        Dimension::Area if inch => "in²",
        Dimension::Area => "mm²",
        Dimension::Angle => "°",
        Dimension::TemperatureDifference if inch => "°F",
        Dimension::TemperatureDifference => "K",
        Dimension::Ratio => "%",
    };
    UNITS.iter().find(|unit| unit.symbol == symbol)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::find_unit;
    use crate::report::figures::symbols;

    fn unit(symbol: &str) -> &'static Unit {
        find_unit(symbol).unwrap()
    }

    #[test]
    fn every_dimension_has_a_habit() {
        for unit in UNITS {
            for system in [System::Metric, System::Inch] {
                assert_eq!(habit(system, unit.dimension).unwrap().dimension, unit.dimension);
            }
        }
    }

    #[test]
    fn the_sheets_unit_stands_first() {
        let shown = |wanted: &UnitsWanted, written: Option<&'static Unit>| {
            symbols(&units_for(wanted, Dimension::Torque, written))
        };
        let (metric, inch) =
            (UnitsWanted::System(System::Metric), UnitsWanted::System(System::Inch));
        assert_eq!(shown(&UnitsWanted::AsWritten, Some(unit("lb-ft"))), "lb-ft / N·m");
        assert_eq!(shown(&UnitsWanted::AsWritten, Some(unit("N·m"))), "N·m / lb-ft");
        assert_eq!(shown(&metric, Some(unit("lb-in"))), "N·m");
        assert_eq!(shown(&metric, Some(unit("kgf·m"))), "kgf·m");
        assert_eq!(shown(&inch, Some(unit("N·cm"))), "lb-in");
        assert_eq!(shown(&inch, None), "lb-ft");
        let first = |system, written| shown(&UnitsWanted::First(system), Some(unit(written)));
        assert_eq!(first(System::Metric, "lb-ft"), "N·m / lb-ft");
        assert_eq!(first(System::Inch, "lb-ft"), "lb-ft / N·m");
        assert_eq!(shown(&UnitsWanted::First(System::Inch), None), "lb-ft / N·m");
        let named = UnitsWanted::Units(vec![unit("kgf·m"), unit("kN")]);
        assert_eq!(shown(&named, Some(unit("lb-ft"))), "kgf·m");
        let other = UnitsWanted::Units(vec![unit("kN")]);
        assert_eq!(shown(&other, Some(unit("lb-ft"))), "lb-ft / N·m");
    }
}
