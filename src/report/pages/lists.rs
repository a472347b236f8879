//! The tables of a book, and the fields that can be asked for, as lists.

use crate::quantity::{Kind, Length, Stress, Unit};
use crate::record::{
    Band, FIELDS, Field, FieldKind, Lube, NOT_STATED, Origin, StrengthClass, StrengthRow, Tables,
};
use crate::report::cells::DOES_NOT_APPLY;
use crate::report::figures::{factor, short};
use crate::report::grid::{Cell, Grid, GridRow, Head};
use crate::report::json::Json;
use crate::report::lay::{clean, flow, tied, untied, wrap};
use crate::report::style::Style;

/// A grid, or where it does not fit each row as its own lines, every value
/// after its heading.
pub(crate) fn drawn(heads: Vec<Head>, rows: Vec<Vec<String>>, width: usize) -> String {
    let headings: Vec<String> = heads.iter().map(|head| head.text.clone()).collect();
    let grid_rows =
        rows.iter().map(|row| GridRow::of(row.iter().cloned().map(Cell::from).collect()));
    let grid = Grid { heads, rows: grid_rows.collect() };
    let lines: Vec<String> = match grid.draw(width, Style::plain()) {
        Some(drawn) => {
            std::iter::once(drawn.head).chain(drawn.rows.into_iter().flatten()).collect()
        }
        None => rows.iter().flat_map(|row| record(&headings, row, width)).collect(),
    };
    lines.iter().map(|line| untied(line) + "\n").collect()
}

/// The first value alone, the others below it.
fn record(headings: &[String], row: &[String], width: usize) -> Vec<String> {
    let Some((title, values)) = row.split_first() else { return Vec::new() };
    let named = headings[1..]
        .iter()
        .zip(values)
        .filter(|(_, value)| !value.is_empty() && *value != DOES_NOT_APPLY);
    let facts: Vec<String> = named.map(|(head, value)| format!("{head} {value}")).collect();
    let facts = flow(&facts, width.saturating_sub(2));
    wrap(title, width)
        .into_iter()
        .chain(facts.into_iter().map(|fact| format!("  {fact}")))
        .collect()
}

fn band(band: Option<Band>) -> String {
    band.map_or_else(
        || DOES_NOT_APPLY.to_owned(),
        |band| {
            tied(&format!("{} ({}–{})", factor(band.nominal), factor(band.low), factor(band.high)))
        },
    )
}

fn said(text: Option<&String>) -> String {
    text.map_or_else(|| NOT_STATED.to_owned(), |text| clean(text))
}

/// The lubes of the book: what they are, their factors, where those come from.
pub fn lube_list(tables: &Tables, width: usize) -> String {
    let heads = vec![
        Head::words("lube", 10),
        Head::solid("is"),
        Head::solid("K (range)"),
        Head::solid("μ thread"),
        Head::solid("μ face"),
        Head::solid("restated"),
        Head::words("source", 20),
    ];
    let row = |lube: &Lube| {
        vec![
            clean(&lube.name),
            lube.class.word().to_owned(),
            band(lube.k),
            band(lube.mu_thread),
            band(lube.mu_bearing),
            (if lube.convertible { "yes" } else { "never" }).to_owned(),
            said(lube.source.as_ref()),
        ]
    };
    drawn(heads, tables.lubes.iter().map(row).collect(), width)
}

/// The lubes as JSON.
pub fn lube_list_json(tables: &Tables) -> String {
    let lube = |lube: &Lube| {
        let mut json = Json::object(vec![
            ("name", (&lube.name).into()),
            ("aliases", lube.aliases.clone().into()),
            ("is", lube.class.word().into()),
        ]);
        let bands = [
            (["k_low", "k", "k_high"], lube.k),
            (["mu_thread_low", "mu_thread", "mu_thread_high"], lube.mu_thread),
            (["mu_bearing_low", "mu_bearing", "mu_bearing_high"], lube.mu_bearing),
        ];
        for ([low, nominal, high], band) in bands {
            json.add(low, band.map(|band| band.low).into());
            json.add(nominal, band.map(|band| band.nominal).into());
            json.add(high, band.map(|band| band.high).into());
        }
        json.add("convertible", lube.convertible.into());
        json.add("what", lube.what.as_ref().into());
        json.add("source", lube.source.as_ref().into());
        json
    };
    let lubes = Json::List(tables.lubes.iter().map(lube).collect());
    Json::object(vec![("lubes", lubes)]).lines()
}

/// The strengths of the book, one line for each range of sizes, in the unit of
/// the standard.
pub fn strength_list(tables: &Tables, width: usize) -> String {
    let heads = vec![
        Head::words("strength", 8),
        Head::solid("sizes"),
        Head::solid("proof"),
        Head::solid("yield"),
        Head::solid("tensile"),
        Head::words("source", 20),
    ];
    let class = |class: &StrengthClass| {
        let row = |row: &StrengthRow| {
            let stress = |stress: Option<Stress>| stress_text(stress, class.unit);
            vec![
                clean(&class.name),
                sizes(row),
                stress(row.proof),
                stress(row.yield_),
                stress(row.tensile),
                clean(&class.source),
            ]
        };
        class.rows.iter().map(row).collect::<Vec<_>>()
    };
    drawn(heads, tables.strengths.iter().flat_map(class).collect(), width)
}

fn stress_text(stress: Option<Stress>, unit: &Unit) -> String {
    stress.map_or_else(
        || NOT_STATED.to_owned(),
        |stress| tied(&format!("{} {}", short(stress.base() / unit.factor, 4), unit.symbol)),
    )
}

/// `over 16 to 39 mm`; a range that starts at nothing is `to 16 mm`.
fn sizes(row: &StrengthRow) -> String {
    let mm = |length: Length| short(length.mm(), 4);
    let from = match (row.above, row.from.mm() > 0.0) {
        (_, false) => String::new(),
        (true, true) => format!("over {} ", mm(row.from)),
        (false, true) => format!("{} ", mm(row.from)),
    };
    tied(&format!("{from}to {} mm", mm(row.to)))
}

/// The strengths as JSON, stresses in MPa, sizes in mm.
pub fn strength_list_json(tables: &Tables) -> String {
    let row = |row: &StrengthRow| {
        Json::object(vec![
            ("from_mm", row.from.mm().into()),
            ("from_is_outside", row.above.into()),
            ("to_mm", row.to.mm().into()),
            ("proof_mpa", row.proof.map(Stress::mpa).into()),
            ("yield_mpa", row.yield_.map(Stress::mpa).into()),
            ("tensile_mpa", row.tensile.map(Stress::mpa).into()),
        ])
    };
    let class = |class: &StrengthClass| {
        Json::object(vec![
            ("name", (&class.name).into()),
            ("aliases", class.aliases.clone().into()),
            ("sizes", Json::List(class.rows.iter().map(row).collect())),
            ("source", (&class.source).into()),
        ])
    };
    let classes = Json::List(tables.strengths.iter().map(class).collect());
    Json::object(vec![("strengths", classes)]).lines()
}

/// Every field that can be asked for, with its other names and its help.
pub fn fields_page(width: usize) -> String {
    let heads = vec![
        Head::solid("field"),
        Head::words("also", 8),
        Head::words("holds", 8),
        Head::solid("kept"),
        Head::words("help", 20),
    ];
    let row = |field: &Field| {
        let kept = match field.origin {
            Origin::Stored => "stored",
            Origin::Derived => "derived",
        };
        vec![
            field.name.to_owned(),
            field.aliases.join(", "),
            holds(field),
            kept.to_owned(),
            field.help.to_owned(),
        ]
    };
    drawn(heads, FIELDS.iter().map(row).collect(), width)
}

/// What a field holds, in a word or two.
fn holds(field: &Field) -> String {
    match field.kind {
        FieldKind::Text => "words".to_owned(),
        FieldKind::Choice(words) => words.join(", "),
        FieldKind::Number => "number".to_owned(),
        FieldKind::Quantity(dimension) => dimension.name().to_owned(),
        FieldKind::Share => "per cent".to_owned(),
        FieldKind::Thread => "thread".to_owned(),
        FieldKind::Lube => "lube".to_owned(),
        FieldKind::Strength => "strength".to_owned(),
        FieldKind::Flag => "yes or no".to_owned(),
        FieldKind::Day => "day".to_owned(),
        FieldKind::List => "words, several".to_owned(),
    }
}

/// The fields as JSON.
pub fn fields_json() -> String {
    let field = |field: &Field| {
        Json::object(vec![
            ("name", field.name.into()),
            ("aliases", field.aliases.to_vec().into()),
            ("holds", holds(field).into()),
            ("stored", (field.origin == Origin::Stored).into()),
            ("json", field.json.into()),
            ("help", field.help.into()),
        ])
    };
    Json::object(vec![("fields", Json::List(FIELDS.iter().map(field).collect()))]).lines()
}
