//! Lubricants and strengths: the shop's reference tables.

use crate::quantity::{Length, Stress};
use crate::record::Material;
use crate::record::choice::choice;
use crate::text::{fold_name, folds_to};

/// A factor with the range that it is known to take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    pub low: f64,
    /// The value to compute with.
    pub nominal: f64,
    pub high: f64,
}

impl Band {
    /// A band, if 0 < low ≤ nominal ≤ high and high is a factor of friction
    /// at all (below 1.5).
    pub fn new(low: f64, nominal: f64, high: f64) -> Option<Self> {
        let rising = 0.0 < low && low <= nominal && nominal <= high && high < 1.5;
        rising.then_some(Self { low, nominal, high })
    }
}

choice!(
    /// What a lube is, which decides whether its torque may be restated.
    LubeClass {
        /// Nothing on the thread.
        Dry = "dry",
        /// Oil, grease, paste or wax that the fitter puts on.
        Wet = "wet" ["oil", "grease", "paste", "wax"],
        /// A finish that comes on the fastener.
        Coating = "coating" ["coated", "plating", "plated"],
        Threadlocker = "threadlocker" ["thread locker", "locker"],
        Sealant = "sealant" ["sealer"],
    }
);

/// A lubricant or thread condition. Shop-editable: no factor of friction is
/// a constant of the program.
#[derive(Debug, Clone, PartialEq)]
pub struct Lube {
    pub name: String,
    pub aliases: Vec<String>,
    pub class: LubeClass,
    pub k: Option<Band>,
    pub mu_thread: Option<Band>,
    /// Friction under the head or nut.
    pub mu_bearing: Option<Band>,
    pub convertible: bool,
    pub what: Option<String>,
    pub source: Option<String>,
}

impl Lube {
    /// A lube of which only the name and what it is are known: no torque is
    /// restated from or to it.
    pub fn named(name: impl Into<String>, class: LubeClass) -> Self {
        Self {
            name: name.into(),
            aliases: Vec::new(),
            class,
            k: None,
            mu_thread: None,
            mu_bearing: None,
            convertible: false,
            what: None,
            source: None,
        }
    }
}

/// Strengths over one range of sizes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct StrengthRow {
    /// Smallest nominal diameter, itself inside unless `above`.
    pub from: Length,
    /// `from` itself is outside ("over 1 in").
    pub above: bool,
    /// Largest nominal diameter, inside.
    pub to: Length,
    /// Proof stress, where the standard has one.
    pub proof: Option<Stress>,
    /// Minimum yield.
    pub yield_: Option<Stress>,
    /// Minimum tensile strength.
    pub tensile: Option<Stress>,
}

/// A property class, grade or alloy.
#[derive(Debug, Clone, PartialEq)]
pub struct StrengthClass {
    /// Name: "10.9", "SAE 8".
    pub name: String,
    /// Other names: "class 10.9", "grade 8".
    pub aliases: Vec<String>,
    pub rows: Vec<StrengthRow>,
    /// The unit the standard gives them in.
    pub unit: &'static crate::quantity::Unit,
    pub source: String,
    /// What it is made of: steel's friction holds for steel alone.
    pub material: Option<Material>,
}

impl StrengthClass {
    /// The row for a nominal diameter.
    pub fn at(&self, nominal: Length) -> Option<&StrengthRow> {
        // A nominal size is exact; the slack covers 1/2 in = 12.7 mm.
        let slack = Length::from_mm(0.001);
        self.rows.iter().find(|row| {
            let from_fits =
                if row.above { nominal > row.from + slack } else { nominal + slack >= row.from };
            from_fits && nominal <= row.to + slack
        })
    }
}

/// The reference tables of a book.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tables {
    /// Lubricants, in the order entered.
    pub lubes: Vec<Lube>,
    /// Strengths, in the order entered.
    pub strengths: Vec<StrengthClass>,
}

impl Tables {
    /// The records that `other` has not, or has otherwise.
    pub fn beyond(&self, other: &Self) -> Self {
        let lubes = self.lubes.iter().filter(|one| !other.lubes.contains(one));
        let strengths = self.strengths.iter().filter(|one| !other.strengths.contains(one));
        Self { lubes: lubes.cloned().collect(), strengths: strengths.cloned().collect() }
    }

    /// Whether it has no record.
    pub fn is_empty(&self) -> bool {
        self.lubes.is_empty() && self.strengths.is_empty()
    }

    /// The lube of that name or alias.
    pub fn lube(&self, name: &str) -> Option<&Lube> {
        find(&self.lubes, name, |lube| (&lube.name, &lube.aliases))
    }

    /// The strength of that name or alias.
    pub fn strength(&self, name: &str) -> Option<&StrengthClass> {
        find(&self.strengths, name, |class| (&class.name, &class.aliases))
    }
}

/// The record of that name, else the one with that alias.
fn find<'a, R>(
    records: &'a [R],
    name: &str,
    names: fn(&R) -> (&String, &Vec<String>),
) -> Option<&'a R> {
    // Most settings spell it as the table does; no two names fold alike.
    if let Some(same) = records.iter().find(|record| names(record).0 == name) {
        return Some(same);
    }
    let name = fold_name(name);
    let is_named = |known: &String| folds_to(known, &name);
    let has_alias = |record: &&R| names(record).1.iter().any(is_named);
    let by_name = records.iter().find(|record| is_named(names(record).0));
    by_name.or_else(|| records.iter().find(has_alias))
}
