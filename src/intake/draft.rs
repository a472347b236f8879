//! What one row says, before it is known to be whole.

use crate::intake::cells::Tightening;
use crate::quantity::{Extent, Length, Quantity, Stated};
use crate::record::{Basis, Fastener, Joint, Method, Pass, Setting};

/// One row as read, cell by cell.
#[derive(Debug, Clone)]
pub(crate) struct Draft {
    /// The key column.
    pub(crate) key: Option<String>,
    pub(crate) assembly: Option<String>,
    pub(crate) joint: Option<String>,
    pub(crate) part: Option<String>,
    /// Everything of the fastener but its names and settings.
    pub(crate) fastener: Fastener,
    /// Everything of the setting but how it is pulled.
    pub(crate) setting: Setting,
    pub(crate) method: Option<Method>,
    pub(crate) basis: Option<Basis>,
    pub(crate) this_lube_only: Option<bool>,
    pub(crate) superseded: Option<bool>,
    pub(crate) bearing_outer: Option<Stated<Length>>,
    pub(crate) bearing_hole: Option<Stated<Length>>,
    /// What the torque columns say, one for each lube.
    pub(crate) torques: Vec<Tightening>,
    /// What the angle column says.
    pub(crate) angle: Option<Tightening>,
    /// What the stretch column says.
    pub(crate) stretch: Option<Tightening>,
    /// What the passes column says.
    pub(crate) passes: Option<Tightening>,
    /// Passes with a column each, with their number.
    pub(crate) numbered: Vec<(u32, Pass)>,
    /// Ends of a torque that have a column each.
    pub(crate) torque_ends: Ends,
    /// Ends of a stretch that have a column each.
    pub(crate) stretch_ends: Ends,
    /// What to say about a strength that the book does not know.
    pub(crate) unknown_strength: Option<String>,
    /// Words to keep that have no column of their own.
    pub(crate) notes: Vec<String>,
    /// Words beside a thread: the part, where no column names it.
    pub(crate) beside_thread: Vec<String>,
    /// Cells that were read as something else than they say.
    pub(crate) verbatim: Vec<String>,
    /// Fields that two cells of the row state differently: field, first, second.
    pub(crate) clashes: Vec<(&'static str, String, String)>,
}

/// The two ends of a range, each from its own column.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Ends {
    pub(crate) low: Option<Quantity>,
    pub(crate) high: Option<Quantity>,
}

impl Draft {
    /// A row that says nothing yet.
    pub(crate) fn new() -> Self {
        let mut fastener = Fastener::new(Joint::named("", ""), "");
        fastener.key.clear();
        Self::holding(fastener)
    }

    /// A draft around `fastener`, so that its fields can be compared with
    /// those of a row.
    pub(crate) fn holding(fastener: Fastener) -> Self {
        Self {
            key: None,
            assembly: None,
            joint: None,
            part: None,
            bearing_outer: fastener.bearing.map(|bearing| bearing.outer),
            bearing_hole: fastener.bearing.map(|bearing| bearing.hole),
            fastener,
            setting: Setting::new(Method::Torque, Basis::Shop),
            method: None,
            basis: None,
            this_lube_only: None,
            superseded: None,
            torques: Vec::new(),
            angle: None,
            stretch: None,
            passes: None,
            numbered: Vec::new(),
            torque_ends: Ends::default(),
            stretch_ends: Ends::default(),
            unknown_strength: None,
            notes: Vec::new(),
            beside_thread: Vec::new(),
            verbatim: Vec::new(),
            clashes: Vec::new(),
        }
    }

    /// Sets `slot`, or records that `field` was stated before and differently.
    pub(crate) fn put<T: Clone + PartialEq>(
        &mut self,
        field: &'static str,
        get: impl Fn(&mut Self) -> &mut Option<T>,
        value: &T,
        say: impl Fn(&T) -> String,
    ) {
        match get(self) {
            Some(before) if before != value => {
                let (before, after) = (say(before), say(value));
                self.clashes.push((field, before, after));
            }
            slot => *slot = Some(value.clone()),
        }
    }
}

/// The range between two ends, or what one of them says alone.
pub(crate) fn between<K: crate::quantity::Kind>(ends: Ends) -> Result<Option<Extent<K>>, String> {
    let stated = |end: Quantity| Stated::<K>::new(end).map_err(|wrong| wrong.to_string());
    Ok(match (ends.low.map(stated).transpose()?, ends.high.map(stated).transpose()?) {
        (None, None) => None,
        (Some(low), Some(high)) if low.value() < high.value() => Some(Extent::Between(low, high)),
        (Some(low), Some(high)) if low == high => Some(Extent::Exactly(low)),
        (Some(low), Some(high)) => {
            return Err(format!("the low end {low} is above the high end {high}"));
        }
        (None, Some(high)) => Some(Extent::AtMost(high)),
        (Some(low), None) => return Err(format!("only the low end {low} is given")),
    })
}
