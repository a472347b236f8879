//! Quantities of the trade: what can be measured, in which units, and how it
//! is written.
//!
//! [`UNITS`] is the one table of units; everything that reads, prints or
//! completes a unit walks it. Typed values ([`Torque`], [`Force`], …) hold one
//! base unit each and cannot be mixed; [`Quantity`] keeps the number and unit
//! as written, [`Stated`] and [`Extent`] are quantities whose kind is known.

mod kinds;
mod notation;
mod number;
mod stated;
mod units;

pub use kinds::{
    Angle, Area, Dimension, Force, Kind, Length, Ratio, Stress, TemperatureDifference, Torque,
};
pub use notation::{Quantity, QuantityError, take_quantity};
pub use number::{DecimalMark, Number, NumberError, NumberForm};
pub use stated::{Extent, Stated, WrongKind, counterpart};
pub use units::{
    DEGREE, INCHES, KIP, MEGAPASCAL, MILLIMETRE, NEWTON_METRE, PER_CENT, POUND_FOOT, System, TURN,
    UNITS, Unit, find_unit, take_unit,
};
