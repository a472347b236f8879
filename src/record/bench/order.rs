//! The order in which the fasteners of a joint are pulled: listed before made
//! up, with the places of the holes as far as they are known.

use crate::procedure::{
    Order, Point, ProcedureError, Walk, circle, grid, grouped, layout as order_over, listed,
};
use crate::record::bench::groups::groups;
use crate::record::bench::layout::{self, Layout};
use crate::record::bench::{listed_numbers, own_holes};
use crate::record::{Fastener, Joint, find_by_name};

/// Where the holes are drawn.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Places {
    Layout(Layout),
    /// Round a circle, clockwise from the top: taken, not known.
    TakenCircle(Vec<Point>),
    /// In a row, left to right: taken, not known.
    TakenRow(Vec<Point>),
    #[default]
    Unknown,
}

impl Places {
    /// The points, hole 1 first; none if nobody says where they lie.
    pub fn points(&self) -> Option<&[Point]> {
        match self {
            Self::Layout(layout) => Some(&layout.points),
            Self::TakenCircle(points) | Self::TakenRow(points) => Some(points),
            Self::Unknown => None,
        }
    }
}

/// The order of one joint.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct JointOrder {
    /// The order by hole numbers, listed or made up; none where the source has
    /// only words, or nothing is known that an order could be made from.
    pub order: Option<Order>,
    /// The source's own words, where they are no list of holes.
    pub words: Option<String>,
    pub places: Places,
    /// What to know about it, a sentence each without a full stop.
    pub remarks: Vec<String>,
}

/// The order of `joint`, whose fasteners are `fasteners`.
///
/// The listed order first: each hole exactly once, or an error that says which
/// is not. Else one made from the layout (its groups one after the other), else
/// from the bare number of holes as if they lay evenly round a circle, which is
/// said. Layouts are found by name in `layouts`, or describe themselves
/// ([`Layout::standard`]).
pub fn joint_order(
    joint: &Joint,
    fasteners: &[&Fastener],
    layouts: &[Layout],
) -> Result<JointOrder, ProcedureError> {
    let mut remarks = miscounts(fasteners);
    let layout = layout_of(joint, layouts, &mut remarks);
    let known = match &layout {
        Some(layout) => Some(layout.points.len()),
        None => highest_position(fasteners),
    };
    if let Some(text) = &joint.order {
        return match listed_numbers(text) {
            Some(numbers) => of_numbers(&numbers, known, layout, fasteners, remarks),
            None => Ok(of_words(text, layout, remarks)),
        };
    }
    if let Some(layout) = layout {
        let order = over_layout(&layout, fasteners)?;
        let places = Places::Layout(layout);
        return Ok(JointOrder { order: Some(order), places, remarks, ..JointOrder::default() });
    }
    of_count(known.or_else(|| only_count(fasteners)), remarks)
}

fn layout_of(joint: &Joint, layouts: &[Layout], remarks: &mut Vec<String>) -> Option<Layout> {
    let name = joint.layout.as_ref()?;
    let found = find_by_name(layouts, name).cloned().or_else(|| Layout::standard(name));
    if found.is_none() {
        remarks
            .push(format!("layout `{name}` is not in the book: where the holes lie is not known"));
    }
    found
}

fn highest_position(fasteners: &[&Fastener]) -> Option<usize> {
    fasteners.iter().filter_map(|fastener| own_holes(fastener)).flatten().max()
}

/// How many there are, where the joint has one kind of fastener.
fn only_count(fasteners: &[&Fastener]) -> Option<usize> {
    match fasteners {
        [only] => only.count.map(|count| count as usize),
        _ => None,
    }
}

/// Fasteners whose number is not that of their holes.
fn miscounts(fasteners: &[&Fastener]) -> Vec<String> {
    let wrong = fasteners.iter().filter_map(|fastener| {
        let (count, holes) = (fastener.count? as usize, own_holes(fastener)?.len());
        let text = format!("{}: count is {count}, positions name {holes}: which?", fastener.part);
        (count != holes).then_some(text)
    });
    wrong.collect()
}

fn of_numbers(
    numbers: &[usize],
    known: Option<usize>,
    layout: Option<Layout>,
    fasteners: &[&Fastener],
    mut remarks: Vec<String>,
) -> Result<JointOrder, ProcedureError> {
    let named = numbers.iter().copied().max().unwrap_or(0).max(numbers.len());
    let count = known.unwrap_or(named);
    let order = listed(numbers, count)?;
    for fastener in fasteners.iter().filter(|_| known.is_none()) {
        if let Some(other) = fastener.count.filter(|other| *other as usize != count) {
            let part = &fastener.part;
            remarks.push(format!(
                "{part}: the listed order is over {count} holes, there are {other} of these"
            ));
        }
    }
    let places = layout.map_or_else(|| recognised(&order), Places::Layout);
    Ok(JointOrder { order: Some(order), words: None, places, remarks })
}

/// A listed order that is the very one of a circle or of a row is drawn so.
fn recognised(order: &Order) -> Places {
    let count = order.holes().len();
    let is_circle = circle(count).is_ok_and(|circle| circle.holes() == order.holes());
    if is_circle && let Some(points) = layout::circle(count) {
        return Places::TakenCircle(points);
    }
    let mirrored: Vec<usize> = order.holes().iter().map(|hole| count + 1 - hole).collect();
    let row = grid(1, count, Walk::Cross);
    let is_row = row.is_ok_and(|row| row.holes() == order.holes() || row.holes() == mirrored);
    match layout::grid(1, count) {
        Some(points) if is_row && count > 1 => Places::TakenRow(points),
        _ => Places::Unknown,
    }
}

fn of_words(text: &str, layout: Option<Layout>, remarks: Vec<String>) -> JointOrder {
    let places = layout.map_or(Places::Unknown, Places::Layout);
    JointOrder { order: None, words: Some(text.to_owned()), places, remarks }
}

/// By groups where the fasteners name them and they cover the layout, else by
/// those of the layout itself, else as one.
fn over_layout(layout: &Layout, fasteners: &[&Fastener]) -> Result<Order, ProcedureError> {
    let own = || layout.groups.iter().map(|(_, holes)| holes.clone()).collect::<Vec<_>>();
    let of_layout = Some(own()).filter(|groups| groups.len() > 1);
    match groups(fasteners, layout.points.len()).or(of_layout) {
        Some(groups) => grouped(&layout.points, &groups, Walk::Cross),
        None => order_over(&layout.points, Walk::Cross),
    }
}

fn of_count(count: Option<usize>, mut remarks: Vec<String>) -> Result<JointOrder, ProcedureError> {
    let Some(count) = count else {
        remarks.push("no order, no layout, and how many holes there are is not stated".to_owned());
        return Ok(JointOrder { remarks, ..JointOrder::default() });
    };
    if count < 3 {
        let order = grid(1, count.max(1), Walk::Cross).ok();
        return Ok(JointOrder { order, remarks, ..JointOrder::default() });
    }
    let order = circle(count)?;
    remarks.push(format!(
        "no order and no layout in the book: the {count} holes are taken as evenly round a circle"
    ));
    let places = layout::circle(count).map_or(Places::Unknown, Places::TakenCircle);
    Ok(JointOrder { order: Some(order), words: None, places, remarks })
}
