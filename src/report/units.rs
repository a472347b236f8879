//! In which units a value is shown: the sheet's own first, or what was asked for.

use crate::quantity::{Dimension, NEWTON_METRE, System, UNITS, Unit, counterpart};
use crate::query::run::UnitsWanted;
use crate::report::figures::{Rounding, significant};
use crate::report::pull::Pull;

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
            let written = written.or_else(|| habit(*system, dimension));
            let mut units = both(dimension, written);
            if let (Some(written), [_, second]) = (written, &mut units[..])
                && second.system == written.system
                && written.system != *system
            {
                *second = counterpart(written);
            }
            units.sort_by_key(|unit| unit.system != *system && unit.system != System::Both);
            units
        }
        UnitsWanted::System(system) => {
            let first = in_system(*system, dimension, written);
            let newer =
                first.map(beside).filter(|unit| unit.system == *system && first != Some(unit));
            first.into_iter().chain(newer).collect()
        }
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
    let other = beside(written);
    if other == written { vec![written] } else { vec![written, other] }
}

/// What stands beside a written unit: what a wrench of today shows, in the other system
/// where the unit is one of today.
fn beside(written: &'static Unit) -> &'static Unit {
    match written.symbol {
        "kgf·m" | "kgf·cm" | "daN·m" | "kN·m" => NEWTON_METRE,
        _ => counterpart(written),
    }
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

/// What the unit that had no room is: `no room for N·m: 1 lb-ft = 1.36 N·m`.
pub(crate) fn other_unit(mut pulls: impl Iterator<Item = Pull>) -> Option<String> {
    pulls.find_map(|pull| {
        let Pull::Torque(figures, _) = pull else { return None };
        let [first, second] = figures.units()[..] else { return None };
        let share = significant(first.factor / second.factor, 3, Rounding::Nearest);
        let second = second.symbol;
        Some(format!("no room for {second}: 1 {} = {share} {second}", first.symbol))
    })
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
        // A wrench of today shows no kgf·m.
        assert_eq!(shown(&metric, Some(unit("kgf·m"))), "kgf·m / N·m");
        assert_eq!(shown(&UnitsWanted::AsWritten, Some(unit("kgf·m"))), "kgf·m / N·m");
        assert_eq!(shown(&inch, Some(unit("N·cm"))), "lb-in");
        assert_eq!(shown(&inch, None), "lb-ft");
        let first = |system, written| shown(&UnitsWanted::First(system), Some(unit(written)));
        assert_eq!(first(System::Metric, "lb-ft"), "N·m / lb-ft");
        assert_eq!(first(System::Inch, "lb-ft"), "lb-ft / N·m");
        assert_eq!(shown(&UnitsWanted::First(System::Inch), None), "lb-ft / N·m");
        assert_eq!(first(System::Inch, "kgf·m"), "lb-ft / kgf·m");
        let named = UnitsWanted::Units(vec![unit("kgf·m"), unit("kN")]);
        assert_eq!(shown(&named, Some(unit("lb-ft"))), "kgf·m");
        let other = UnitsWanted::Units(vec![unit("kN")]);
        assert_eq!(shown(&other, Some(unit("lb-ft"))), "lb-ft / N·m");
    }
}
