//! The paper that goes to the bench: one page for each joint, or a pocket card.
//!
//! One HTML file that needs nothing else: no network, no script (a policy in
//! its head forbids both), black on white, for A4 or Letter. The browser prints
//! it, to paper or to PDF. Every text of the book is escaped.

mod about;
mod cautions;
mod facts;
mod fit;
mod frame;
mod joint;
mod part;
mod pocket;
mod pulls;
mod record;
mod style;
mod svg;

use crate::query::run::UnitsWanted;
use crate::record::{Joint, JointOrder, Row};
use crate::report::duties::is_pulled;
use crate::report::passes::RowPasses;

pub use about::{sheet_note, written_page};

/// The size of the paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// 210 × 297 mm.
    #[default]
    A4,
    /// 8.5 × 11 in.
    Letter,
}

/// A joint with what is pulled there and in which order.
#[derive(Debug, Clone)]
pub struct BenchJoint {
    pub joint: Joint,
    /// Its rows, those of one fastener together, each with its passes.
    pub rows: Vec<RowPasses>,
    /// The order of the joint, or what is wrong with the listed one.
    pub order: Result<JointOrder, String>,
}

impl BenchJoint {
    /// The rows that are pulled: not refused, not superseded.
    pub fn pulled(&self) -> impl Iterator<Item = &Row> {
        self.rows.iter().map(|one| &one.row).filter(|row| is_pulled(row))
    }
}

/// What is printed at the foot, and on which paper.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetFacts {
    pub paper: Paper,
    /// The book's revision: its generation number.
    pub generation: u64,
    /// When it was made, as the reader's clock shows it.
    pub printed: String,
    /// The wrench that the passes were made for, as it was asked for.
    pub wrench: Option<String>,
    /// The adapter that its settings are for: `2 in at 0°`.
    pub adapter: Option<String>,
    /// Why that wrench is not to be used.
    pub wrench_warning: Option<String>,
}

/// What every part of a sheet needs to know.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Context<'a> {
    pub(crate) wanted: &'a UnitsWanted,
    pub(crate) facts: &'a SheetFacts,
}

/// One page for each joint, as one HTML file.
pub fn bench_sheet(joints: &[BenchJoint], wanted: &UnitsWanted, facts: &SheetFacts) -> String {
    let context = Context { wanted, facts };
    let pages: Vec<maud::Markup> =
        joints.iter().map(|joint| joint::page(joint, &context)).collect();
    frame::document(&title(joints, "bench sheet"), facts.paper, &pages)
}

/// Joint, torque and lube alone, in cards to cut out and carry.
pub fn pocket_card(joints: &[BenchJoint], wanted: &UnitsWanted, facts: &SheetFacts) -> String {
    let context = Context { wanted, facts };
    let cards = pocket::cards(joints, &context);
    frame::document(&title(joints, "pocket card"), facts.paper, &cards)
}

fn title(joints: &[BenchJoint], what: &str) -> String {
    match joints {
        [only] => format!("{} / {}, {what}", only.joint.assembly, only.joint.name),
        several => format!("{} joints, {what}", several.len()),
    }
}
