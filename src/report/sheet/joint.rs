//! The page of one joint.

use maud::{Markup, html};

use crate::procedure::Point;
use crate::record::{Fastener, JointOrder, Pattern, Places, is_of_order, own_holes};
use crate::report::lay::clean;
use crate::report::order::{caption, rule_line};
use crate::report::sheet::cautions::{Pulled, lift_shared, page_cautions};
use crate::report::sheet::facts::sentence;
use crate::report::sheet::fit::{Content, width_em};
use crate::report::sheet::part::part;
use crate::report::sheet::pulls::blank;
use crate::report::sheet::record::{foot, record};
use crate::report::sheet::svg::{self, Hole, Map, Room};
use crate::report::sheet::{BenchJoint, Context};

/// Heights that a map may have, em: the type is chosen for the last, and where the
/// page has room to spare the map takes it, as where the part goes to the next page anyway.
const MAP_HEIGHTS: [f64; 5] = [36.0, 32.0, 28.0, 24.0, 20.0];
/// The height that it has instead where the page would else be two, and the most holes
/// that it then shows clearly.
const TIGHT: (f64, usize) = (14.0, 12);
/// Holes in a line where nobody knows where they lie: few, or many.
const IN_A_LINE: (usize, usize) = (12, 20);

/// The page of `joint`.
pub(crate) fn page(joint: &BenchJoint, context: &Context<'_>) -> Markup {
    let outlines = outlines(joint);
    let mut rows: Vec<Pulled<'_>> =
        joint.rows.iter().map(|one| Pulled::new(one, context.wanted)).collect();
    lift_shared(&mut rows);
    let cautions = page_cautions(&rows, context);
    let content = Content { joint, rows, cautions };
    let order = own_order(joint);
    let chart = order.as_ref().ok().and_then(|order| chart(order, &outlines));
    let map = |width: f64, most: f64| chart.as_ref().map(|chart| chart.draw(width, most));
    let [.., least] = MAP_HEIGHTS;
    let height = |width: f64| map(width, least).map_or(0.0, |map| map.height);
    let size = content.font_pt(&height, context);
    let has_room = |most: &&f64| {
        let height = |width: f64| map(width, **most).map_or(0.0, |map| map.height);
        content.is_one_page(size, &height, context)
    };
    let is_small = chart.as_ref().is_some_and(|chart| chart.holes.len() <= TIGHT.1);
    let otherwise = match is_small {
        true => TIGHT.0,
        false if content.begins_below(size, &height, context) => least,
        false => MAP_HEIGHTS[0],
    };
    let most = MAP_HEIGHTS.iter().find(has_room).copied().unwrap_or(otherwise);
    let map = map(width_em(size, context), most).map(|map| map.svg);
    html! {
        article.page style=(format!("font-size:{size}pt")) {
            (head(joint))
            @if !content.cautions.is_empty() {
                section.warn {
                    h2 { "CAUTION" }
                    ul { @for caution in &content.cautions { li { (caution) } } }
                }
            }
            (figure(joint, &order, map))
            @for rows in content.parts() {
                (part(rows, outlines.index(&rows[0].one.row.fastener), context))
            }
            (joint_notes(joint))
            (record(context.facts))
            (foot(context.facts))
        }
    }
}

fn head(joint: &BenchJoint) -> Markup {
    html! {
        header.head {
            div {
                p.assembly { (clean(&joint.joint.assembly)) }
                h1 { (clean(&joint.joint.name)) }
            }
            div.blanks { (blank("Job")) (blank("Date")) }
        }
    }
}

/// Gasket and machining, as the source says them.
fn joint_notes(joint: &BenchJoint) -> Markup {
    let gasket = joint.joint.gasket.as_ref().map(|text| sentence("Gasket", text));
    let machining = joint.joint.machining.as_ref().map(|text| sentence("Machining", text));
    html! {
        @for text in [gasket, machining].into_iter().flatten() { p.notes { (text) } }
    }
}

/// The map with what is said under it.
fn figure(joint: &BenchJoint, order: &Result<JointOrder, String>, map: Option<Markup>) -> Markup {
    let order = match order {
        Ok(order) => order,
        Err(why) => {
            return html! { figure.map { figcaption { p.rule { "ORDER REFUSED: " (clean(why)) } } } };
        }
    };
    if is_needless(joint, order) {
        return html! {};
    }
    html! {
        figure.map {
            @if let Some(map) = map { (map) }
            figcaption { (order_words(order)) }
        }
    }
}

/// Under the map: where the order comes from. One that was made from nothing
/// but a number of holes is not said: the paper leaves room for the order used.
fn order_words(order: &JointOrder) -> Markup {
    let made = order.order.as_ref().filter(|_| !is_guess(order));
    html! {
        p.rule {
            @match (made, &order.words) {
                (Some(made), _) => { "Order " (rule_line(made)) }
                (None, Some(words)) => { "Order LISTED, in words: " (clean(words)) }
                (None, None) => { (blank("Order not stated, no layout in the book. Order used")) }
            }
        }
        @if let Some(made) = made {
            p {
                "In the ring the hole's number, beside it its turn: 1st, 2nd. "
                (caption(&order.places)) " Loosen backwards, in stages."
            }
            p { "Holes in turn: " b { (in_turn(made)) } }
            @for remark in &order.remarks { p { (clean(remark)) "." } }
        }
    }
}

/// Hole numbers in the order in which they are pulled.
fn in_turn(order: &crate::procedure::Order) -> String {
    let holes: Vec<String> = order.holes().iter().map(ToString::to_string).collect();
    holes.join(", ")
}

/// Made up without knowing where the holes lie.
fn is_guess(order: &JointOrder) -> bool {
    let is_made = order.order.as_ref().is_some_and(|order| order.rule().is_generated());
    is_made && !matches!(order.places, Places::Layout(_))
}

fn fasteners(joint: &BenchJoint) -> Vec<&Fastener> {
    let mut fasteners: Vec<&Fastener> = joint.rows.iter().map(|one| &*one.row.fastener).collect();
    fasteners.dedup_by_key(|fastener| &fastener.key);
    fasteners
}

/// The order of the joint, if it is of holes that are on this page: one plug of a cover
/// has none of the cover's.
fn own_order(joint: &BenchJoint) -> Result<JointOrder, String> {
    let order = joint.order.clone()?;
    let Some(holes) = order.order.as_ref().map(|made| made.holes().len()) else { return Ok(order) };
    let own = fasteners(joint);
    let count: u32 = own.iter().filter_map(|fastener| fastener.count).sum();
    let is_own = count as usize == holes || own.iter().any(|one| is_of_order(one, holes));
    Ok(if is_own { order } else { JointOrder::default() })
}

/// One fastener has no order.
fn is_needless(joint: &BenchJoint, order: &JointOrder) -> bool {
    *order == JointOrder { remarks: order.remarks.clone(), ..JointOrder::default() }
        && matches!(fasteners(joint)[..], [only] if only.count == Some(1))
}

/// What a map shows.
struct Chart {
    points: Vec<Point>,
    holes: Vec<Hole>,
}

impl Chart {
    /// The map on a page that is `width` em wide, as wide as the page where its
    /// height allows that.
    fn draw(&self, width: f64, most: f64) -> Map {
        svg::map(&self.points, &self.holes, Room { width: width * 0.98, height: most })
    }
}

/// The map, if there is an order or a layout to draw.
///
/// A circle that was only taken because nothing else is known is not drawn: on
/// paper it would look like the part.
fn chart(order: &JointOrder, outlines: &Outlines) -> Option<Chart> {
    let made = order.order.as_ref();
    if is_guess(order) {
        return None;
    }
    let at_hole = made.map(crate::procedure::Order::place_of_each);
    let count = at_hole.as_ref().map(Vec::len);
    let points: Vec<Point> = match (order.places.points(), count) {
        (Some(points), _) => points.to_vec(),
        (None, Some(count)) => in_lines(count)?,
        (None, None) => return None,
    };
    let hole = |number: usize| Hole {
        number,
        order: at_hole.as_ref().and_then(|places| places.get(number - 1)).copied(),
        outline: outlines.at(number),
    };
    let holes = (1..=points.len()).map(hole).collect();
    Some(Chart { points, holes })
}

/// Lines by number, wide enough apart for the hole numbers.
fn in_lines(count: usize) -> Option<Vec<Point>> {
    let in_a_line = if count <= 2 * IN_A_LINE.0 { IN_A_LINE.0 } else { IN_A_LINE.1 };
    let lines = count.div_ceil(in_a_line);
    let points = Pattern::Grid(lines, count.min(in_a_line)).points()?;
    let apart = |point: Point| Point { x: point.x, y: point.y * 1.5 };
    Some(points.into_iter().take(count).map(apart).collect())
}

/// The holes of each kind of fastener, where a joint has several in holes of their own:
/// the place of a kind is its outline.
struct Outlines(Vec<Vec<usize>>);

fn outlines(joint: &BenchJoint) -> Outlines {
    let mut kinds: Vec<Vec<usize>> = Vec::new();
    for holes in joint.rows.iter().filter_map(|one| own_holes(&one.row.fastener)) {
        if !kinds.contains(&holes) {
            kinds.push(holes);
        }
    }
    Outlines(if kinds.len() < 2 { Vec::new() } else { kinds })
}

impl Outlines {
    fn index(&self, fastener: &Fastener) -> Option<usize> {
        let holes = own_holes(fastener)?;
        self.0.iter().position(|known| *known == holes)
    }

    /// The outline of a hole; a ring where no part names it.
    fn at(&self, hole: usize) -> usize {
        self.0.iter().position(|holes| holes.contains(&hole)).unwrap_or(0)
    }
}
