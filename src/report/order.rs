//! The order of a joint as a page with its map, and as JSON.

use crate::procedure::{Order, Point};
use crate::record::{Joint, JointOrder, Places};
use crate::report::csv::keyed;
use crate::report::json::Json;
use crate::report::lay::{clean, wrap};
use crate::report::map::{by_number, text_map};
use crate::report::passes::keys_of;

/// A joint with its order, or why it has none.
#[derive(Debug, Clone)]
pub struct OrderOfJoint {
    /// The joint.
    pub joint: Joint,
    /// Its order, or what is wrong with the listed one.
    pub order: Result<JointOrder, String>,
}

/// An order for holes at `points`, for a person: map, sequence, loosening.
pub fn order_page(order: &Order, points: Option<&[Point]>, columns: usize) -> String {
    let mut lines = wrap(&rule_line(order), columns);
    lines.extend(map_lines(order, points, columns));
    lines.extend(sequences(order, columns));
    lines.join("\n")
}

/// The same for a program: `order` holds hole numbers.
pub fn order_json(order: &Order) -> Json {
    let mut json = Json::object(vec![]);
    add_order(&mut json, Some(order));
    json
}

/// The orders of joints, for a person.
pub fn joint_orders_page(joints: &[OrderOfJoint], columns: usize) -> String {
    let pages = joints.iter().map(|one| joint_page(one, columns).join("\n"));
    pages.collect::<Vec<_>>().join("\n\n")
}

/// The same for a program; `words` where the source has no list of holes.
pub fn joint_orders_json(joints: &[OrderOfJoint]) -> Json {
    Json::object(vec![("rows", Json::List(json_rows(joints)))])
}

/// The same as CSV, one line for each joint.
pub fn joint_orders_csv(joints: &[OrderOfJoint]) -> String {
    let rows = json_rows(joints);
    keyed(&keys_of(&rows), &rows)
}

fn json_rows(joints: &[OrderOfJoint]) -> Vec<Json> {
    let one = |one: &OrderOfJoint| {
        let mut json = Json::object(vec![
            ("assembly", (&one.joint.assembly).into()),
            ("joint", (&one.joint.name).into()),
        ]);
        let known = one.order.as_ref().ok();
        add_order(&mut json, known.and_then(|known| known.order.as_ref()));
        json.add("words", known.and_then(|known| known.words.clone()).into());
        json.add("layout", one.joint.layout.clone().into());
        json.add("refused", one.order.as_ref().err().cloned().into());
        json.add("remarks", known.map(|known| known.remarks.clone()).unwrap_or_default().into());
        json
    };
    joints.iter().map(one).collect()
}

fn add_order(json: &mut Json, order: Option<&Order>) {
    let all = |of: fn(&Order) -> Vec<usize>| Json::from(order.map(of));
    json.add("order", all(|order| order.holes().to_vec()));
    json.add("rule", order.map(|order| order.rule().to_string()).into());
    json.add("generated", order.map(|order| order.rule().is_generated()).into());
    json.add("order_at_hole", all(Order::place_of_each));
    json.add("loosening", all(Order::loosening));
}

fn joint_page(one: &OrderOfJoint, columns: usize) -> Vec<String> {
    let mut lines =
        wrap(&format!("{} / {}", clean(&one.joint.assembly), clean(&one.joint.name)), columns);
    let known = match &one.order {
        Ok(known) => known,
        Err(why) => {
            lines.extend(wrap(&format!("refused: {}", clean(why)), columns));
            return lines;
        }
    };
    if let Some(words) = &known.words {
        lines.extend(wrap(&format!("LISTED, in words: {}", clean(words)), columns));
    }
    if let Some(order) = &known.order {
        lines.extend(wrap(&rule_line(order), columns));
        lines.extend(map_lines(order, known.places.points(), columns));
        lines.extend(wrap(caption(&known.places), columns));
        lines.extend(sequences(order, columns));
    }
    for remark in &known.remarks {
        lines.extend(wrap(&clean(remark), columns));
    }
    lines
}

/// `GENERATED: circle, …` or `LISTED by the source`.
pub(crate) fn rule_line(order: &Order) -> String {
    if order.rule().is_generated() {
        return format!("GENERATED: {}", order.rule());
    }
    "LISTED by the source".to_owned()
}

/// Under a map: what it shows, and how sure the places are.
pub(crate) fn caption(places: &Places) -> &'static str {
    match places {
        Places::Layout(_) => "Order at each hole, looking at the heads.",
        Places::TakenCircle(_) => {
            "Drawn as a circle, hole 1 on top, clockwise: check against the part."
        }
        Places::TakenRow(_) => "Drawn as a row, hole 1 on the left: check against the part.",
        Places::Unknown => "Holes by number, not where they lie: no layout in the book.",
    }
}

fn map_lines(order: &Order, points: Option<&[Point]>, columns: usize) -> Vec<String> {
    let numbers = order.place_of_each();
    points
        .and_then(|points| text_map(points, &numbers, columns))
        .unwrap_or_else(|| by_number(&numbers, columns))
}

fn sequences(order: &Order, columns: usize) -> Vec<String> {
    let said = |what: &str, holes: &[usize]| {
        let holes: Vec<String> = holes.iter().map(ToString::to_string).collect();
        // A blank after each dash, so that a long line can break.
        wrap(&format!("{what} {}", holes.join("- ")), columns)
            .iter()
            .map(|line| line.replace("- ", "-"))
            .collect::<Vec<_>>()
    };
    let mut lines = said("tighten holes", order.holes());
    lines.extend(said("loosen holes", &order.loosening()));
    lines
}
