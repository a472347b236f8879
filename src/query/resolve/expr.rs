//! Sums of fields and quantities, with their dimensions checked.
//!
//! Values are kept in coherent units of newton, millimetre, degree and kelvin,
//! so that a torque is N·mm here: torque per clamp is then a length.

use crate::quantity::Dimension;
use crate::query::resolve::ResolveError;
use crate::query::syntax::Operator;
use crate::query::syntax::{Atom, Leaf, Product, Read, Sum};
use crate::record::{Field, FieldKind, find_field};

/// Exponents of force, length, angle and temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Powers {
    force: i8,
    length: i8,
    angle: i8,
    temperature: i8,
}

impl Powers {
    pub const NONE: Self = Self { force: 0, length: 0, angle: 0, temperature: 0 };

    /// The powers that a quantity of `dimension` has.
    pub fn measuring(dimension: Dimension) -> Self {
        let powers = |force, length| Self { force, length, ..Self::NONE };
        match dimension {
            Dimension::Torque => powers(1, 1),
            Dimension::Force => powers(1, 0),
            Dimension::Length => powers(0, 1),
            Dimension::Stress => powers(1, -2),
            Dimension::Area => powers(0, 2),
            Dimension::Angle => Self { angle: 1, ..Self::NONE },
            Dimension::TemperatureDifference => Self { temperature: 1, ..Self::NONE },
            Dimension::Ratio => Self::NONE,
        }
    }

    /// The dimension that has these powers, if the trade names it.
    pub fn named(self) -> Option<Dimension> {
        use Dimension as D;
        [
            D::Torque,
            D::Force,
            D::Length,
            D::Stress,
            D::Area,
            D::Angle,
            D::TemperatureDifference,
            D::Ratio,
        ]
        .into_iter()
        .find(|dimension| Self::measuring(*dimension) == self)
    }

    /// In words, for messages.
    pub fn in_words(self) -> String {
        match self.named() {
            Some(dimension) => dimension.name().to_owned(),
            None => format!("force^{} × length^{}", self.force, self.length),
        }
    }

    fn times(self, other: Self) -> Self {
        Self {
            force: self.force.saturating_add(other.force),
            length: self.length.saturating_add(other.length),
            angle: self.angle.saturating_add(other.angle),
            temperature: self.temperature.saturating_add(other.temperature),
        }
    }

    fn per(self, other: Self) -> Self {
        Self {
            force: self.force.saturating_sub(other.force),
            length: self.length.saturating_sub(other.length),
            angle: self.angle.saturating_sub(other.angle),
            temperature: self.temperature.saturating_sub(other.temperature),
        }
    }
}

/// Coherent units in one base unit of `dimension`.
pub fn coherent(dimension: Dimension) -> f64 {
    if dimension == Dimension::Torque { 1000.0 } else { 1.0 }
}

/// A sum whose dimension is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Expr {
    pub what: Operand,
    pub powers: Powers,
}

/// What an expression computes.
#[derive(Debug, Clone, PartialEq)]
pub enum Operand {
    Field(&'static Field),
    /// A value in coherent units.
    Constant(f64),
    /// Two expressions joined.
    Join(Box<Expr>, Operator, Box<Expr>),
}

impl Expr {
    /// A constant of `dimension`, from base units.
    pub fn constant(base: f64, dimension: Dimension) -> Self {
        let what = Operand::Constant(base * coherent(dimension));
        Self { what, powers: Powers::measuring(dimension) }
    }

    /// A field that holds a quantity, share or number.
    pub fn field(field: &'static Field) -> Option<Self> {
        let dimension = match field.kind {
            FieldKind::Quantity(dimension) => dimension,
            FieldKind::Share | FieldKind::Number => Dimension::Ratio,
            _ => return None,
        };
        Some(Self { what: Operand::Field(field), powers: Powers::measuring(dimension) })
    }

    /// Calls `take` with the fields of a row that are in it.
    pub(super) fn each_field(&self, take: &mut dyn FnMut(&'static Field)) {
        match &self.what {
            Operand::Constant(_) => {}
            Operand::Field(field) => take(field),
            Operand::Join(left, _, right) => {
                left.each_field(take);
                right.each_field(take);
            }
        }
    }

    /// Whether no field of a row is in it.
    pub fn is_constant(&self) -> bool {
        match &self.what {
            Operand::Constant(_) => true,
            Operand::Field(_) => false,
            Operand::Join(left, _, right) => left.is_constant() && right.is_constant(),
        }
    }

    /// The field, if this is no more than one.
    pub fn as_field(&self) -> Option<&'static Field> {
        match self.what {
            Operand::Field(field) => Some(field),
            _ => None,
        }
    }
}

/// Resolves a sum; every part of it must be a number, quantity or field that
/// holds one, and the dimensions of sums must agree.
pub(super) fn sum(sum: &Sum) -> Result<Expr, ResolveError> {
    let mut left = product(&sum.first)?;
    for (operator, next) in &sum.rest {
        let right = product(next)?;
        if left.powers != right.powers {
            return Err(ResolveError::Mixed {
                left: left.powers.in_words(),
                right: right.powers.in_words(),
                span: sum.place.0,
            });
        }
        left = join(left, *operator, right);
    }
    Ok(left)
}

fn product(product: &Product) -> Result<Expr, ResolveError> {
    let mut left = atom(&product.first)?;
    for (operator, next) in &product.rest {
        let right = atom(next)?;
        if let (Operator::Per, Operand::Constant(0.0), Atom::Leaf(leaf)) =
            (*operator, &right.what, next)
        {
            return Err(ResolveError::DividedByNothing { span: leaf.place.0 });
        }
        left = join(left, *operator, right);
    }
    Ok(left)
}

fn join(left: Expr, operator: Operator, right: Expr) -> Expr {
    let powers = match operator {
        Operator::Plus | Operator::Minus => left.powers,
        Operator::Times => left.powers.times(right.powers),
        Operator::Per => left.powers.per(right.powers),
    };
    Expr { what: Operand::Join(Box::new(left), operator, Box::new(right)), powers }
}

fn atom(atom: &Atom) -> Result<Expr, ResolveError> {
    match atom {
        Atom::Group(inner) => sum(inner),
        Atom::Leaf(found) => leaf(found),
    }
}

fn leaf(leaf: &Leaf) -> Result<Expr, ResolveError> {
    let not_a_number = || ResolveError::NotANumber { found: leaf.text.clone(), span: leaf.place.0 };
    match &leaf.read {
        Read::Number(number) => Ok(Expr::constant(number.value(), Dimension::Ratio)),
        Read::Quantity(quantity) => Ok(Expr::constant(quantity.base(), quantity.dimension())),
        Read::Field => find_field(&leaf.text).and_then(Expr::field).ok_or_else(not_a_number),
        Read::Quoted => crate::quantity::Quantity::parse(&leaf.text)
            .map(|quantity| Expr::constant(quantity.base(), quantity.dimension()))
            .map_err(|_| not_a_number()),
        Read::Word | Read::Thread(_) => Err(not_a_number()),
    }
}
