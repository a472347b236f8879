//! What can be looked up without reading the whole book.

use std::sync::Arc;

use crate::record::Fastener;
use crate::thread::{Pitch, Size};

/// Which fasteners to read. An access never loses a fastener that it
/// describes; it may return a few more, so a question still tests each row.
///
/// Names are compared folded (`text::fold_name`); lubes and strengths are found
/// under every name that the reference tables give them.
#[derive(Debug, Clone, PartialEq)]
pub enum Access {
    /// Every fastener.
    All,
    /// Either thread of this size, whatever its pitch.
    Size(Size),
    /// Either thread of this size and pitch.
    Thread(Size, Pitch),
    /// A setting whose torque, as a range, meets this one; both ends inside.
    /// A maximum counts from nothing upwards.
    Torque {
        /// Low end, N·m.
        low: f64,
        /// High end, N·m.
        high: f64,
    },
    /// A setting with this lube on the threads.
    Lube(String),
    /// This strength by name.
    Strength(String),
    /// The keys that begin with this, of fasteners.
    Key(String),
    Assembly(String),
    /// This joint, of any assembly.
    Joint(String),
    /// A word in the field `text` begins with each word of this.
    Word(String),
    /// A setting whose derived figure is from `low` to `high`, both inside.
    Figure {
        figure: Figure,
        /// Low end, in the figure's base unit.
        low: f64,
        high: f64,
    },
    /// Nothing is stated: no thread at all, or a setting without torque or lube.
    Lacks(Lacking),
    /// All of these hold for the fastener. None of them: every fastener.
    And(Vec<Access>),
    /// One of these holds at least. None of them: no fastener.
    Or(Vec<Access>),
}

/// What can be looked up as not stated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lacking {
    /// Neither thread.
    Thread,
    /// A setting without torque.
    Torque,
    /// A setting without lube.
    Lube,
    /// A fastener without a strength by name.
    Strength,
    /// A setting for which this figure cannot be computed.
    Figure(Figure),
}

/// A derived figure that can be looked up; the number is that of its column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Figure {
    /// The clamp, nominal, N.
    Clamp = 0,
    /// Tension in the smallest section, MPa.
    Stress = 1,
    /// Share of proof, 0.75 is 75 %.
    OfProof = 2,
    OfYield = 3,
    /// Tension with torsion, share of yield.
    Combined = 4,
}

impl Figure {
    /// Every figure, in the order of its column.
    pub const ALL: [Self; 5] =
        [Self::Clamp, Self::Stress, Self::OfProof, Self::OfYield, Self::Combined];

    /// The field of that name in `record::FIELDS`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Clamp => "clamp",
            Self::Stress => "stress",
            Self::OfProof => "of-proof",
            Self::OfYield => "of-yield",
            Self::Combined => "combined",
        }
    }
}

/// What an access found.
#[derive(Debug, Clone, Default)]
pub struct Found {
    /// The fasteners, in the order entered.
    pub fasteners: Vec<Arc<Fastener>>,
    /// How many settings were read to find them.
    pub read: usize,
}
