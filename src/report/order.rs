//! The order of a joint as a page with its map, and as JSON.

use serde_json::Value;

use crate::procedure::{Order, Point};
use crate::record::{Joint, JointOrder, Places};
use crate::report::lay::{clean, wrap};
use crate::report::map::{by_number, text_map};
use crate::report::page::{Page, Table};

/// A joint with its order, or why it has none.
#[derive(Debug, Clone)]
pub struct OrderOfJoint {
    pub joint: Joint,
    /// Its order, or what is wrong with the listed one.
    pub order: Result<JointOrder, String>,
}

/// An order for holes at `points`: map, sequence, loosening.
pub fn order_page(order: &Order, points: Option<&[Point]>) -> Page<'static> {
    let mut page = Page::new();
    page.prose(rule_line(order));
    map_and_sequences(&mut page, order, points, None);
    for (key, value) in order_keys() {
        page.fact(key, value(Some(order)));
    }
    page
}

/// The orders of joints; `words` where the source has no list of holes.
pub fn joint_orders_page(joints: &[OrderOfJoint]) -> Page<'_> {
    let mut page = Page::new();
    for (at, one) in joints.iter().enumerate() {
        if at > 0 {
            page.blank();
        }
        joint_blocks(&mut page, one);
    }
    let known = |one: &OrderOfJoint| one.order.as_ref().ok().cloned();
    let mut rows = Table::new(joints)
        .key("assembly", |one: &&OrderOfJoint| one.joint.assembly.clone())
        .key("joint", |one| one.joint.name.clone());
    for (key, value) in order_keys() {
        rows = rows.key(key, move |one| {
            value(one.order.as_ref().ok().and_then(|known| known.order.as_ref()))
        });
    }
    let rows = rows
        .key("words", move |one| known(one).and_then(|known| known.words))
        .key("layout", |one| one.joint.layout.clone())
        .key("refused", |one| one.order.as_ref().err().cloned())
        .key("remarks", move |one| known(one).map(|known| known.remarks).unwrap_or_default());
    page.rows("rows", rows);
    page
}

/// What a program reads of an order, null where there is none.
type OrderKey = (&'static str, fn(Option<&Order>) -> Value);

fn order_keys() -> [OrderKey; 5] {
    [
        ("order", |order| order.map(|order| order.holes().to_vec()).into()),
        ("rule", |order| order.map(|order| order.rule().to_string()).into()),
        ("generated", |order| order.map(|order| order.rule().is_generated()).into()),
        ("order_at_hole", |order| order.map(Order::place_of_each).into()),
        ("loosening", |order| order.map(Order::loosening).into()),
    ]
}

fn joint_blocks(page: &mut Page<'_>, one: &OrderOfJoint) {
    page.prose(format!("{} / {}", clean(&one.joint.assembly), clean(&one.joint.name)));
    let known = match &one.order {
        Ok(known) => known,
        Err(why) => return page.prose(format!("refused: {}", clean(why))),
    };
    if let Some(words) = &known.words {
        page.prose(format!("LISTED, in words: {}", clean(words)));
        page.prose(
            "Words make no map: give the joint the order in numbers (order=1-3-2-4), or a \
             layout and no order.",
        );
    }
    if let Some(order) = &known.order {
        page.prose(rule_line(order));
        map_and_sequences(page, order, known.places.points(), Some(caption(&known.places)));
    }
    for remark in &known.remarks {
        page.prose(clean(remark));
    }
}

fn map_and_sequences(
    page: &mut Page<'_>,
    order: &Order,
    points: Option<&[Point]>,
    caption: Option<&'static str>,
) {
    let (map, points) = (order.clone(), points.map(<[Point]>::to_vec));
    page.drawn(move |columns, _| map_lines(&map, points.as_deref(), columns));
    page.prose(match caption {
        Some(caption) => format!("{LEGEND} {caption}"),
        None => LEGEND.to_owned(),
    });
    let order = order.clone();
    page.drawn(move |columns, _| sequences(&order, columns));
}

/// `GENERATED: circle, …` or `LISTED by the source`.
pub(crate) fn rule_line(order: &Order) -> String {
    if order.rule().is_generated() {
        return format!("GENERATED: {}", order.rule());
    }
    "LISTED by the source".to_owned()
}

/// How a map on a terminal is read: one numbering, its turns of another kind.
const LEGEND: &str = "12:3rd, or 12 above 3rd, is hole 12, pulled third.";

/// Under a map: how sure the places are.
pub(crate) fn caption(places: &Places) -> &'static str {
    match places {
        Places::Layout(_) => "Looking at the heads.",
        Places::TakenCircle(_) => {
            "Drawn as a circle, hole 1 on top, clockwise: check against the part."
        }
        Places::TakenRow(_) => "Drawn as a row, hole 1 on the left: check against the part.",
        Places::Unknown => "By number, not where they lie: no layout in the book.",
    }
}

fn map_lines(order: &Order, points: Option<&[Point]>, columns: usize) -> Vec<String> {
    let turns = order.place_of_each();
    points
        .and_then(|points| text_map(points, &turns, columns))
        .unwrap_or_else(|| by_number(&turns, columns))
}

fn sequences(order: &Order, columns: usize) -> Vec<String> {
    let sequence = |what: &str, holes: &[usize]| {
        let holes: Vec<String> = holes.iter().map(ToString::to_string).collect();
        // A blank after each dash, so that a long line can break.
        wrap(&format!("{what} {}", holes.join("- ")), columns)
            .iter()
            .map(|line| line.replace("- ", "-"))
            .collect::<Vec<_>>()
    };
    let mut lines = sequence("tighten holes", order.holes());
    lines.extend(sequence("loosen holes", &order.loosening()));
    lines
}
