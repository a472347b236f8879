//! The kinds of quantity and their typed values.
//!
//! Base units are chosen so that N = MPa · mm²: newton, millimetre, megapascal.
//! Torque is kept in N·m and is its own kind, never an energy: nothing converts
//! between the two.

use std::ops::{Add, Div, Mul, Neg, Sub};

/// What a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Dimension {
    /// Turning moment, base N·m.
    Torque,
    /// Tension or clamp, base N.
    Force,
    /// Length, base mm.
    Length,
    /// Stress or strength, base MPa = N/mm².
    Stress,
    /// Area of a section, base mm².
    Area,
    /// Turn of a wrench, base degree.
    Angle,
    /// Difference of two temperatures, base K; never a temperature itself.
    TemperatureDifference,
    /// A share or a plain factor, base 1.
    Ratio,
}

impl Dimension {
    /// The trade's word for it, as it appears in messages.
    pub fn name(self) -> &'static str {
        match self {
            Self::Torque => "torque",
            Self::Force => "force",
            Self::Length => "length",
            Self::Stress => "stress",
            Self::Area => "area",
            Self::Angle => "angle",
            Self::TemperatureDifference => "temperature difference",
            Self::Ratio => "ratio",
        }
    }

    /// The symbol of its base unit; empty for a ratio.
    pub fn base_unit(self) -> &'static str {
        match self {
            Self::Torque => "N·m",
            Self::Force => "N",
            Self::Length => "mm",
            Self::Stress => "MPa",
            Self::Area => "mm²",
            Self::Angle => "°",
            Self::TemperatureDifference => "K",
            Self::Ratio => "",
        }
    }
}

/// A typed quantity: a number of base units of one [`Dimension`].
pub trait Kind: Copy + PartialOrd + std::fmt::Debug {
    const DIMENSION: Dimension;
    fn from_base(base: f64) -> Self;
    fn base(self) -> f64;
}

macro_rules! kind {
    ($(#[$doc:meta])* $name:ident, $from:ident, $get:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            #[doc = concat!("From a number of ", $unit, ".")]
            pub const fn $from(value: f64) -> Self {
                Self(value)
            }
            #[doc = concat!("The value in ", $unit, ".")]
            pub const fn $get(self) -> f64 {
                self.0
            }
        }
        impl Kind for $name {
            const DIMENSION: Dimension = Dimension::$name;
            fn from_base(base: f64) -> Self {
                Self(base)
            }
            fn base(self) -> f64 {
                self.0
            }
        }
        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }
        impl Div for $name {
            /// The plain ratio of the two.
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }
    };
}

kind!(
    /// A torque. Not an energy, although both are force times length.
    Torque, from_nm, nm, "N·m"
);
kind!(
    /// A force: clamp, proof load, strip load.
    Force, from_n, n, "N"
);
kind!(
    /// A length: diameter, pitch, stretch.
    Length, from_mm, mm, "mm"
);
kind!(
    /// A stress or strength.
    Stress, from_mpa, mpa, "MPa (N/mm²)"
);
kind!(
    /// An area of a section.
    Area, from_mm2, mm2, "mm²"
);
kind!(
    /// An angle of turn.
    Angle, from_deg, deg, "degrees"
);
kind!(
    /// A difference of temperatures.
    TemperatureDifference, from_k, k, "K"
);
kind!(
    /// A share (0.75 is 75 %) or a factor.
    Ratio, from_value, value, "1"
);

impl Mul<Area> for Stress {
    type Output = Force;
    /// N = MPa · mm².
    fn mul(self, area: Area) -> Force {
        Force::from_n(self.mpa() * area.mm2())
    }
}

impl Div<Area> for Force {
    type Output = Stress;
    /// MPa = N / mm².
    fn div(self, area: Area) -> Stress {
        Stress::from_mpa(self.n() / area.mm2())
    }
}

impl Mul<Length> for Force {
    type Output = Torque;
    /// A force at a lever: N·m = N · mm / 1000.
    fn mul(self, lever: Length) -> Torque {
        Torque::from_nm(self.n() * lever.mm() / 1000.0)
    }
}

impl Div<Length> for Torque {
    type Output = Force;
    /// The force that makes this torque at a lever.
    fn div(self, lever: Length) -> Force {
        Force::from_n(self.nm() * 1000.0 / lever.mm())
    }
}

impl Mul for Length {
    type Output = Area;
    fn mul(self, other: Self) -> Area {
        Area::from_mm2(self.mm() * other.mm())
    }
}
