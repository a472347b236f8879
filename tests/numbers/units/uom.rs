//! The factors of UNITS against a general library of units, to 1e-6.
//!
//! That library is the looser side: its pound-force is 8.65e-8 off the exact
//! one, its psi and lbf/in² disagree, and it knows force times length as energy
//! only. Exact factors are checked to full precision by the other witness.

use clampbook::quantity::UNITS;
use uom::si::f64::{Angle, Area, Force, Length, Pressure, Ratio, TemperatureInterval};
use uom::si::{angle, area, force, length, pressure, ratio, temperature_interval};

/// Base units of clampbook in one of the unit, by the library; None where it
/// has no such unit.
fn by_library(symbol: &str) -> Option<f64> {
    let newtons = |one: Force| one.get::<force::newton>();
    let millimetres = |one: Length| one.get::<length::millimeter>();
    let metres = |one: Length| one.get::<length::meter>();
    let megapascals = |one: Pressure| one.get::<pressure::megapascal>();
    let square = |one: Area| one.get::<area::square_millimeter>();
    let lbf = || newtons(Force::new::<force::pound_force>(1.0));
    let kgf = || newtons(Force::new::<force::kilogram_force>(1.0));
    Some(match symbol {
        "N·m" | "N" => newtons(Force::new::<force::newton>(1.0)),
        "lb-ft" => lbf() * metres(Length::new::<length::foot>(1.0)),
        "lb-in" => lbf() * metres(Length::new::<length::inch>(1.0)),
        "oz-in" => {
            newtons(Force::new::<force::ounce_force>(1.0))
                * metres(Length::new::<length::inch>(1.0))
        }
        "kgf·m" | "kgf" => kgf(),
        "kgf·cm" => kgf() * metres(Length::new::<length::centimeter>(1.0)),
        "daN·m" => newtons(Force::new::<force::decanewton>(1.0)),
        "kN·m" => newtons(Force::new::<force::kilonewton>(1.0)),
        "N·cm" => metres(Length::new::<length::centimeter>(1.0)),
        "kN" => newtons(Force::new::<force::kilonewton>(1.0)),
        "lbf" => lbf(),
        "kip" => newtons(Force::new::<force::kip>(1.0)),
        "mm" => millimetres(Length::new::<length::millimeter>(1.0)),
        "cm" => millimetres(Length::new::<length::centimeter>(1.0)),
        "m" => millimetres(Length::new::<length::meter>(1.0)),
        "µm" => millimetres(Length::new::<length::micrometer>(1.0)),
        "in" => millimetres(Length::new::<length::inch>(1.0)),
        "thou" => millimetres(Length::new::<length::mil>(1.0)),
        "ft" => millimetres(Length::new::<length::foot>(1.0)),
        "MPa" => megapascals(Pressure::new::<pressure::megapascal>(1.0)),
        "GPa" => megapascals(Pressure::new::<pressure::gigapascal>(1.0)),
        "psi" => megapascals(Pressure::new::<pressure::psi>(1.0)),
        "ksi" => megapascals(Pressure::new::<pressure::kip_per_square_inch>(1.0)),
        "kgf/mm²" => {
            megapascals(Pressure::new::<pressure::kilogram_force_per_square_millimeter>(1.0))
        }
        "mm²" => square(Area::new::<area::square_millimeter>(1.0)),
        "cm²" => square(Area::new::<area::square_centimeter>(1.0)),
        "in²" => square(Area::new::<area::square_inch>(1.0)),
        "°" => Angle::new::<angle::degree>(1.0).get::<angle::degree>(),
        "turn" => Angle::new::<angle::revolution>(1.0).get::<angle::degree>(),
        "K" => 1.0,
        "°F" => TemperatureInterval::new::<temperature_interval::degree_fahrenheit>(1.0)
            .get::<temperature_interval::kelvin>(),
        "%" => Ratio::new::<ratio::percent>(1.0).get::<ratio::ratio>(),
        _ => return None,
    })
}

#[test]
fn every_unit_agrees_with_the_library() {
    for unit in UNITS {
        let library = by_library(unit.symbol)
            .unwrap_or_else(|| panic!("{}: add it to this test", unit.symbol));
        let off = (unit.factor / library - 1.0).abs();
        assert!(off < 1e-6, "{}: {} here, {library} there", unit.symbol, unit.factor);
    }
}
