//! What a torque, passes, angle or stretch cell says, as data.

use std::fmt;

use crate::quantity::{Angle, Extent, Length, Ratio, Stated, Torque};
use crate::record::{Method, Pass};

/// One way of tightening, as far as one cell says it.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Tightening {
    /// The lube that the cell or its heading names.
    pub(crate) lube: Option<String>,
    /// Set where the cell says it by more than a torque.
    pub(crate) method: Option<Method>,
    pub(crate) torque: Option<Extent<Torque>>,
    /// Torque from which the angles are counted.
    pub(crate) snug: Option<Stated<Torque>>,
    pub(crate) angles: Vec<Stated<Angle>>,
    pub(crate) stretch: Option<Extent<Length>>,
    pub(crate) passes: Vec<Pass>,
    /// The torque itself comes after the passes.
    pub(crate) to_full: bool,
    /// Tolerance of the torque.
    pub(crate) tolerance: Option<Stated<Ratio>>,
    /// The cell says that the fastener is thrown away.
    pub(crate) single_use: bool,
    /// How many passes, where that is all that is said of them.
    pub(crate) count: Option<u32>,
    /// How often it is pulled to the torque and released before the passes.
    pub(crate) cycles: Option<u32>,
    /// A bare figure in a passes column: a count, or a torque.
    pub(crate) bare: Option<u32>,
    /// Words beside the figure.
    pub(crate) notes: Vec<String>,
}

/// Which column the cell stands in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Wanted {
    /// A torque, with whatever belongs to it.
    Torque,
    /// A list of passes.
    Passes,
    Angle,
    /// A stretch window.
    Stretch,
}

/// Several tightenings as one cell would say them.
pub(crate) fn in_words(tightenings: &[Tightening]) -> String {
    let words: Vec<String> = tightenings.iter().map(ToString::to_string).collect();
    words.join(", ")
}

impl fmt::Display for Tightening {
    /// As a cell that is read the same way.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut words: Vec<String> = Vec::new();
        words.extend(self.lube.clone());
        if let Some(stretch) = self.stretch {
            words.push(format!("stretch {stretch}"));
        }
        if self.passes.is_empty() {
            words.extend(self.torque.map(|torque| torque.to_string()));
            words.extend(self.snug.map(|snug| snug.to_string()));
            if self.snug.is_none() && !self.angles.is_empty() {
                words.push("snug".to_owned());
            }
            words.extend(self.angles.iter().map(|angle| format!("+{angle}")));
        } else {
            let passes: Vec<String> = self.passes.iter().map(ToString::to_string).collect();
            // In a torque cell a comma may part two lubes or two bolts.
            let in_torque_cell = self.torque.is_some() || self.method.is_some();
            words.push(passes.join(if in_torque_cell { " then " } else { ", " }));
            words.extend(self.to_full.then(|| "full".to_owned()));
        }
        words.extend(self.tolerance.map(|tolerance| format!("±{tolerance}")));
        words.extend(self.count.or(self.bare).map(|count| format!("{count} passes")));
        if self.single_use {
            words.push("single-use".to_owned());
        }
        f.write_str(&words.join(" "))
    }
}
