//! What `passes`, `order` and `sheet` share: the wrench, the passes of rows,
//! the joints of an answer, the clock.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use jiff::tz::TimeZone;

use crate::cli::clock;
use crate::cli::exit::Failure;
use crate::procedure;
use crate::quantity::{Stated, Torque};
use crate::record::{
    Fastener, Joint, JointOrder, Layout, PassWish, Row, Tables, WrenchWish, joint_order,
    plan_passes, read_layout,
};
use crate::report::{OrderOfJoint, RowPasses};
use crate::store::{Access, Book};

/// How many steps, and for which wrench.
#[derive(Debug, clap::Args)]
pub(super) struct WrenchOptions {
    /// Steps, where the source gives none and they may be made up
    #[arg(long, value_name = "N", default_value_t = 3, value_parser = clap::value_parser!(u8).range(1..=20))]
    pub steps: u8,
    /// Between two marks of the wrench: steps are rounded to it, the last never
    #[arg(long, value_name = "TORQUE")]
    pub graduation: Option<String>,
    /// Lowest mark of the wrench
    #[arg(long, value_name = "TORQUE", requires = "wrench_high")]
    pub wrench_low: Option<String>,
    /// Full scale of the wrench: each step is checked against its range
    #[arg(long, value_name = "TORQUE", requires = "graduation")]
    pub wrench_high: Option<String>,
}

impl WrenchOptions {
    /// What is asked of the passes.
    pub(super) fn wish(&self) -> Result<PassWish, Failure> {
        let graduation = torque("--graduation", self.graduation.as_ref())?;
        let high = torque("--wrench-high", self.wrench_high.as_ref())?;
        let low = torque("--wrench-low", self.wrench_low.as_ref())?;
        let wrench = match (graduation, high) {
            (None, _) => WrenchWish::Unknown,
            (Some(graduation), None) => WrenchWish::Graduation(graduation),
            (Some(graduation), Some(high)) => {
                let wrench = procedure::Wrench {
                    // Without a lowest mark the range starts at a fifth of the scale anyway.
                    low_mark: low.map_or(high.value() * 0.2, Stated::value),
                    full_scale: high.value(),
                    graduation: graduation.value(),
                    unit: graduation.written().unit,
                    shop_range: None,
                };
                wrench.usable().map_err(|error| wrong("--wrench-high", error))?;
                WrenchWish::Whole(wrench)
            }
        };
        Ok(PassWish { count: usize::from(self.steps), wrench })
    }

    /// The wrench in words, if any was given.
    pub(super) fn in_words(&self) -> Option<String> {
        let marks = self.graduation.as_ref().map(|step| format!("marks of {step}"))?;
        let Some(high) = &self.wrench_high else { return Some(marks) };
        let from = self.wrench_low.as_ref().map(|low| format!("{low} to ")).unwrap_or_default();
        Some(format!("{from}{high}, {marks}"))
    }
}

fn torque(option: &str, text: Option<&String>) -> Result<Option<Stated<Torque>>, Failure> {
    text.map(|text| Stated::parse(text).map_err(|error| wrong(option, error))).transpose()
}

/// An argument that is wrong, by the option's name.
pub(super) fn wrong(option: &str, error: impl std::fmt::Display) -> Failure {
    Failure::Argument(format!("{option}: {error}"))
}

/// Each row with its passes; a refused row has none.
pub(super) fn with_passes(
    rows: Vec<Row>,
    tables: &Tables,
    wish: &PassWish,
) -> Result<Vec<RowPasses>, Failure> {
    let one = |row: Row| {
        if row.refused.is_some() {
            return Ok(RowPasses { row, plan: None });
        }
        let plan = plan_passes(&row.fastener, &row.setting, tables, wish)
            .map_err(|error| wrong(&row.key, error))?;
        Ok(RowPasses { row, plan: Some(plan) })
    };
    rows.into_iter().map(one).collect()
}

/// The joints of `rows`, each once, in their order. General charts are for no
/// joint in particular and left out.
pub(super) fn joints(rows: &[Row]) -> Vec<Joint> {
    let mut joints: Vec<Joint> = Vec::new();
    for row in rows.iter().filter(|row| !row.fastener.is_chart()) {
        let joint = &row.fastener.joint;
        if !joints.iter().any(|known| is_same(known, joint)) {
            joints.push(joint.clone());
        }
    }
    joints
}

/// Whether two records name one joint.
pub(super) fn is_same(one: &Joint, other: &Joint) -> bool {
    one.assembly == other.assembly && one.name == other.name
}

/// Layouts from tables of coordinates, each named like its file.
pub(super) fn layouts(files: &[PathBuf]) -> Result<Vec<Layout>, Failure> {
    files.iter().map(|file| layout(file)).collect()
}

/// The layout in a table of coordinates; its name is that of the file.
pub(super) fn layout(file: &Path) -> Result<Layout, Failure> {
    let shown = file.display();
    let text =
        fs::read_to_string(file).map_err(|error| Failure::Input(format!("{shown}: {error}")))?;
    let name = file.file_stem().unwrap_or_default().to_string_lossy();
    read_layout(&name, text.trim_start_matches('\u{feff}'))
        .map_err(|error| Failure::Input(format!("{shown}: {error}")))
}

/// The order of a joint from all its fasteners, not only those asked for.
pub(super) fn order_of(
    joint: &Joint,
    book: &Book,
    layouts: &[Layout],
) -> Result<OrderOfJoint, Failure> {
    let access = Access::And(vec![
        Access::Assembly(joint.assembly.clone()),
        Access::Joint(joint.name.clone()),
    ]);
    let found: Vec<Arc<Fastener>> = book.find(&access)?.fasteners;
    let own: Vec<&Fastener> =
        found.iter().map(Arc::as_ref).filter(|one| is_same(&one.joint, joint)).collect();
    let order: Result<JointOrder, String> =
        joint_order(joint, &own, layouts).map_err(|error| error.to_string());
    Ok(OrderOfJoint { joint: joint.clone(), order })
}

/// The time as the reader's clock shows it.
pub(super) fn now() -> String {
    clock::now().to_zoned_datetime(TimeZone::system()).strftime("%Y-%m-%d %H:%M").to_string()
}
