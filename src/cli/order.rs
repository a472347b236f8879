//! `order`: in which order bolts are pulled.

use std::path::{Path, PathBuf};

use crate::cli::complete;
use crate::cli::exit::{Code, Failure, argument};
use crate::cli::globals::Globals;
use crate::cli::joint::{joints, layout, layouts, order_of};
use crate::cli::out::Out;
use crate::cli::{open, question};
use crate::procedure::{self, Order as HoleOrder, ProcedureError, Walk, circle, grid};
use crate::record::{Layout, Pattern, find_by_name};
use crate::report::{self, OrderOfJoint};
use crate::store::Book;

// `order`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook order circle 12
  clampbook order grid 2x5
  clampbook order row 9
  clampbook order layout cover.csv
  clampbook order layout \"Dunlin 2 gear case\"
  clampbook order gear case --layout \"gear case.csv\"

A layout is a table of coordinates: columns hole, x mm, y mm and, if there are
any, group; x to the right and y away, looking at the heads.

A joint's listed order goes first. A made-up one is labelled GENERATED, with its
rule. The map shows each hole by its number, and its turn: 1st, 2nd.")]
pub(super) struct Order {
    /// `circle N`, `row N`, `grid ROWSxCOLUMNS`, `layout NAME`, `layout FILE`, or
    /// a question
    #[arg(required = true, value_name = "SHAPE|QUESTION", add = complete::question())]
    pub what: Vec<String>,
    /// In rings of a grid or row: the nearest hole next, not the farthest
    #[arg(long)]
    pub spiral: bool,
    /// A table of coordinates, named like the layout that joints name
    #[arg(long, value_name = "FILE")]
    pub layout: Vec<PathBuf>,
}

enum Shape {
    Pattern(Pattern),
    Layout(Layout),
}

/// The patterns that are asked for by name: what is missing where no size is given, and how
/// it is written.
const PATTERNS: [(&str, &str, &str); 3] = [
    ("circle", "how many bolts?", "order circle 12"),
    ("row", "how many bolts?", "order row 9"),
    ("grid", "how many rows and columns?", "order grid 2x5, rows first"),
];

pub(super) fn run(globals: &Globals, asked: &Order, out: &mut Out) -> Result<Code, Failure> {
    let typed = asked.what.join(" ");
    if let Some(shape) = shape(&typed)? {
        return of_shape(shape, asked.spiral, out);
    }
    let layouts = layouts(&asked.layout)?;
    let opened = open::reader(globals)?;
    if let Some(layout) = stored(&typed, &opened.book)? {
        return of_shape(Shape::Layout(layout), asked.spiral, out);
    }
    let answer = question::ask(globals, &asked.what, &opened.book)?;
    let joints = joints(&answer.rows);
    if joints.is_empty() {
        question::draw(&answer, out);
        if typed.split(' ').next().is_some_and(|word| word.eq_ignore_ascii_case("layout")) {
            out.say(
                "the book has no such layout either; `clampbook list layouts` names those it has",
            );
        }
        return Ok(Code::Nothing);
    }
    let orders: Vec<OrderOfJoint> = joints
        .iter()
        .map(|joint| order_of(joint, &opened.book, &layouts))
        .collect::<Result<_, _>>()?;
    out.page(&report::joint_orders_page(&orders));
    Ok(if orders.iter().any(is_known) { Code::Answered } else { Code::Nothing })
}

fn is_known(one: &OrderOfJoint) -> bool {
    one.order.as_ref().is_ok_and(|known| known.order.is_some() || known.words.is_some())
}

/// The layout of the book that `layout NAME` names; none if it has no such one,
/// for a question may ask for a layout too.
fn stored(typed: &str, book: &Book) -> Result<Option<Layout>, Failure> {
    let Some((word, name)) = typed.trim().split_once(' ') else { return Ok(None) };
    if !word.eq_ignore_ascii_case("layout") {
        return Ok(None);
    }
    Ok(find_by_name(book.layouts()?, name).cloned())
}

/// The shape that the words name; none if they are a question. A pattern's name
/// with something else after it is an error only if that is a number.
fn shape(typed: &str) -> Result<Option<Shape>, Failure> {
    if let Some(pattern) = Pattern::parse(typed) {
        return Ok(Some(Shape::Pattern(pattern)));
    }
    let typed = typed.trim();
    let (name, size) = typed.split_once(' ').unwrap_or((typed, ""));
    // A file that is there, or is meant to be: anything else is a question.
    let file = Path::new(size.trim());
    if name.eq_ignore_ascii_case("layout") && (file.is_file() || file.extension().is_some()) {
        return Ok(Some(Shape::Layout(layout(file)?)));
    }
    let size = size.trim().trim_start_matches("of ");
    let known = PATTERNS.iter().find(|(pattern, ..)| name.eq_ignore_ascii_case(pattern));
    let Some((_, missing, written)) = known else { return Ok(None) };
    let lead = match size.chars().next() {
        None => missing,
        Some(first) if first.is_ascii_digit() => "",
        Some(_) => return Ok(None),
    };
    let expected = [lead, "write", written].join(" ");
    argument(format!("order {typed}: {}", expected.trim_start()))
}

fn of_shape(shape: Shape, spiral: bool, out: &mut Out) -> Result<Code, Failure> {
    let walk = if spiral { Walk::Spiral } else { Walk::Cross };
    let (order, points) = match shape {
        Shape::Pattern(pattern) => {
            let order = match pattern {
                Pattern::Circle(count) => circle(count),
                Pattern::Grid(rows, columns) => grid(rows, columns, walk),
            };
            (order, pattern.points())
        }
        Shape::Layout(layout) => (over(&layout, walk), Some(layout.points)),
    };
    let order = order.map_err(|error| Failure::Argument(error.to_string()))?;
    out.page(&report::order_page(&order, points.as_deref()));
    Ok(Code::Answered)
}

/// The order over a layout, its groups one after the other.
fn over(layout: &Layout, walk: Walk) -> Result<HoleOrder, ProcedureError> {
    let groups: Vec<Vec<usize>> = layout.groups.iter().map(|(_, holes)| holes.clone()).collect();
    match groups.len() {
        0 => procedure::layout(&layout.points, walk),
        _ => procedure::grouped(&layout.points, &groups, walk),
    }
}
