//! One row of an answer: one setting of one fastener, with what follows from it.

use std::sync::Arc;

use crate::mechanics::{Clamp, Form, SectionAt};
use crate::quantity::{Area, Force, Stress};
use crate::record::{Basis, Fastener, LubeClass, Method, Refusal, Setting, slug};

/// What follows from a fastener and a setting. `None` is "cannot be known".
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Derived {
    /// How torque and clamp were computed from each other, at nominal friction.
    pub form: Option<Form>,
    /// The bearing ring that was assumed for the long form, in words that
    /// follow "assumed: "; None where it is stated or not used.
    pub assumed_bearing: Option<&'static str>,
    pub is_of_coat: bool,
    /// What the lube on the threads is: it decides where that goes.
    pub lube_class: Option<LubeClass>,
    /// The nut factor used, or the equivalent one of the long form.
    pub k: Option<f64>,
    pub clamp: Option<Clamp>,
    pub area: Option<Area>,
    pub section: Option<SectionAt>,
    /// Tension in the smallest section.
    pub stress: Option<Stress>,
    /// Share of proof in the smallest section, 0.75 is 75 %.
    pub of_proof: Option<f64>,
    /// Share of yield in the smallest section.
    pub of_yield: Option<f64>,
    pub turned_of_yield: Option<f64>,
    pub turned_of_proof: Option<f64>,
    /// Tension with torsion while tightening, share of yield, in the smallest
    /// section; only where the friction in the thread is known.
    pub combined: Option<f64>,
    /// Proof stress, from the sheet or the strength table.
    pub proof: Option<Stress>,
    /// Yield, from the sheet or the strength table.
    pub yield_: Option<Stress>,
    /// Tensile strength, from the sheet or the strength table.
    pub tensile: Option<Stress>,
    /// Proof × smallest section.
    pub proof_load: Option<Force>,
    /// Yield × smallest section.
    pub yield_load: Option<Force>,
    pub no_clamp: Option<String>,
}

/// Where a row that is not in the book comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Restated {
    pub from_lube: String,
    pub from: String,
    pub from_torque_nm: f64,
    /// The rule that stands in place of the factors: a chart's own.
    pub note: Option<String>,
}

/// One setting of one fastener: what a question returns.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    pub fastener: Arc<Fastener>,
    /// The setting, stored or restated.
    pub setting: Setting,
    pub key: String,
    pub derived: Derived,
    /// Set on a row that clampbook computed.
    pub restated: Option<Restated>,
    /// Why the figure that was asked for is not given; the row then has none.
    pub refused: Option<Refusal>,
    pub warnings: Vec<String>,
}

impl Row {
    /// The row that stands where a figure for `lube` was asked for and refused,
    /// with the reason; without a lube where none is stated.
    pub fn refused(fastener: &Arc<Fastener>, lube: Option<&str>, reason: Refusal) -> Self {
        let mut setting = Setting::new(Method::Torque, Basis::Computed);
        setting.lube = lube.map(str::to_owned);
        Self {
            key: format!("{}/{}", fastener.key, slug(&[lube.unwrap_or("no lube")])),
            fastener: Arc::clone(fastener),
            setting,
            derived: Derived::default(),
            restated: None,
            refused: Some(reason),
            warnings: Vec::new(),
        }
    }
}
