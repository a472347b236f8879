//! The tables of a book, and the fields that can be asked for, as lists.

use crate::quantity::{Kind, Length, Stress, Unit};
use crate::record::{
    Band, FIELDS, Field, FieldKind, LUBES, Lube, NOT_STATED, Origin, STRENGTHS, StrengthClass,
    StrengthRow, Tables,
};
use crate::report::cells::DOES_NOT_APPLY;
use crate::report::figures::{factor, short};
use crate::report::lay::{clean, tied};
use crate::report::page::{Head, Page, Table};
use crate::report::record_keys::record_keys;

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
pub fn lube_list(tables: &Tables) -> Page<'_> {
    let convertible = |lube: &&Lube| if lube.convertible { "yes" } else { "never" };
    let table = Table::new(&tables.lubes)
        .column(Head::words("lube", 10), |lube| clean(&lube.name))
        .column(Head::solid("is"), |lube| lube.class.word())
        .column(Head::solid("K (range)"), |lube| band(lube.k))
        .column(Head::solid("μ thread"), |lube| band(lube.mu_thread))
        .column(Head::solid("μ face"), |lube| band(lube.mu_bearing))
        .column(Head::solid("restated"), convertible)
        .column(Head::words("source", 20), |lube| said(lube.source.as_ref()));
    let mut page = Page::new();
    page.table("lubes", record_keys(table, &LUBES, &[], |lube| *lube));
    page
}

/// The strengths of the book, one line for each range of sizes, in the unit of
/// the standard.
pub fn strength_list(tables: &Tables) -> Page<'static> {
    let size = |class: &StrengthClass| class.rows.first().copied();
    let column = |head, stress: fn(StrengthRow) -> Option<Stress>| {
        let cell =
            move |class: &StrengthClass| stress_text(size(class).and_then(stress), class.unit);
        (Head::solid(head), cell)
    };
    let [proof, yields, tensile] = [
        column("proof", |row| row.proof),
        column("yield", |row| row.yield_),
        column("tensile", |row| row.tensile),
    ];
    let mm = |size: Option<Length>| size.map(Length::mm);
    let table = Table::new(tables.strengths.iter().flat_map(StrengthClass::lines))
        .column(Head::words("strength", 8), |class: &StrengthClass| clean(&class.name))
        .column(Head::solid("sizes"), move |class| size(class).map_or(String::new(), sizes))
        .column(proof.0, proof.1)
        .column(yields.0, yields.1)
        .column(tensile.0, tensile.1)
        .column(Head::words("source", 20), |class| clean(&class.source));
    let table = record_keys(table, &STRENGTHS, &["from", "to"], |class| class)
        .key("from_mm", move |class| mm(size(class).map(|row| row.from)))
        .key("from_is_outside", move |class| size(class).map(|row| row.above))
        .key("to_mm", move |class| mm(size(class).map(|row| row.to)));
    let mut page = Page::new();
    page.table("strengths", table);
    page
}

fn stress_text(stress: Option<Stress>, unit: &Unit) -> String {
    stress.map_or_else(
        || NOT_STATED.to_owned(),
        |stress| tied(&format!("{} {}", short(stress.base() / unit.factor, 4), unit.symbol)),
    )
}

/// `over 16 to 39 mm`; a range that starts at nothing is `to 16 mm`.
fn sizes(row: StrengthRow) -> String {
    let mm = |length: Length| short(length.mm(), 4);
    let from = match (row.above, row.from.mm() > 0.0) {
        (_, false) => String::new(),
        (true, true) => format!("over {} ", mm(row.from)),
        (false, true) => format!("{} ", mm(row.from)),
    };
    tied(&format!("{from}to {} mm", mm(row.to)))
}

/// Every field that can be asked for, with its other names and its help.
pub fn fields_page() -> Page<'static> {
    let is_stored = |field: &&Field| field.origin == Origin::Stored;
    let table = Table::new(FIELDS)
        .column(Head::solid("field"), |field| field.name)
        .column(Head::words("also", 8), |field| field.aliases.join(", "))
        .column(Head::words("holds", 8), |field| holds(field))
        .column(
            Head::solid("kept"),
            move |field| {
                if is_stored(field) { "stored" } else { "derived" }
            },
        )
        .column(Head::words("help", 20), |field| field.help)
        .key("name", |field| field.name)
        .key("aliases", |field| field.aliases.to_vec())
        .key("holds", |field| holds(field))
        .key("stored", is_stored)
        .key("json", |field| field.json)
        .key("help", |field| field.help);
    let mut page = Page::new();
    page.table("fields", table);
    page
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
