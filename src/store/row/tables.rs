//! Rows of the reference tables: lubricants and strengths.

use serde::{Deserialize, Serialize};

use crate::quantity::{Kind, Length, Stress, Unit};
use crate::record::{Band, Lube, LubeClass, StrengthClass, StrengthRow as SizeRange};
use crate::store::row::leaf::AsText;
use crate::store::row::mirror::{Mirror, mirror};

/// A factor with its range.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct BandRow {
    low: f64,
    nominal: f64,
    high: f64,
}

impl Mirror<Band> for BandRow {
    fn row_of(record: &Band) -> Self {
        let Band { low, nominal, high } = *record;
        Self { low, nominal, high }
    }
    fn into_record(self) -> Band {
        let Self { low, nominal, high } = self;
        Band { low, nominal, high }
    }
}

mirror!(
    /// A lubricant.
    LubeRow of Lube {
        name: String,
        aliases: Vec<String>,
        class: AsText<LubeClass>,
        k: Option<BandRow>,
        mu_thread: Option<BandRow>,
        mu_bearing: Option<BandRow>,
        convertible: bool,
        what: Option<String>,
        source: Option<String>,
    }
);

/// A typed value in base units: MPa, mm (see `quantity::Dimension`).
#[derive(Debug, Serialize, Deserialize)]
#[serde(transparent)]
pub(crate) struct Base(f64);

impl<K: Kind> Mirror<K> for Base {
    fn row_of(record: &K) -> Self {
        Self(record.base())
    }
    fn into_record(self) -> K {
        K::from_base(self.0)
    }
}

/// Strengths over one range of sizes: mm and MPa.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SizeRangeRow {
    from: Base,
    above: bool,
    to: Base,
    proof: Option<Base>,
    yield_: Option<Base>,
    tensile: Option<Base>,
}

impl Mirror<SizeRange> for SizeRangeRow {
    fn row_of(record: &SizeRange) -> Self {
        let SizeRange { from, above, to, proof, yield_, tensile } = record;
        Self {
            from: Mirror::<Length>::row_of(from),
            above: *above,
            to: Mirror::<Length>::row_of(to),
            proof: Mirror::<Option<Stress>>::row_of(proof),
            yield_: Mirror::<Option<Stress>>::row_of(yield_),
            tensile: Mirror::<Option<Stress>>::row_of(tensile),
        }
    }
    fn into_record(self) -> SizeRange {
        SizeRange {
            from: self.from.into_record(),
            above: self.above,
            to: self.to.into_record(),
            proof: self.proof.into_record(),
            yield_: self.yield_.into_record(),
            tensile: self.tensile.into_record(),
        }
    }
}

mirror!(
    /// A property class, grade or alloy.
    StrengthRow of StrengthClass {
        name: String,
        aliases: Vec<String>,
        rows: Vec<SizeRangeRow>,
        unit: AsText<StaticUnit>,
        source: String,
    }
);

type StaticUnit = &'static Unit;
