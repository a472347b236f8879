//! The tables of a book, and the fields that can be asked for, as lists.

use crate::quantity::{Kind, Length, Stress};
use crate::record::{
    FIELDS, Field, FieldKind, LUBES, Lube, NOT_STATED, STRENGTHS, StrengthClass, StrengthRow,
    Tables,
};
use crate::report::cells::DOES_NOT_APPLY;
use crate::report::figures::{factor, factor_range, short};
use crate::report::lay::{clean, or_not_stated, tied};
use crate::report::page::{Head, Page, Table};
use crate::report::record_keys::record_keys;

/// `K .12 (.09–.16)`, `μ .12 (.10–.14), face .12`.
fn friction(lube: &Lube) -> String {
    let k = lube.k.map(|k| format!("K {}", factor_range(k)));
    let thread = lube.mu_thread.map(|thread| format!("μ {}", factor_range(thread)));
    let face = lube.mu_bearing.map(|face| format!("face {}", factor(face.nominal)));
    let parts: Vec<String> = [k, thread, face].into_iter().flatten().collect();
    if parts.is_empty() { DOES_NOT_APPLY.to_owned() } else { tied(&parts.join(", ")) }
}

/// The lubes of the book, one a line; with where their factors come from if `why`,
/// and only those that `is_meant` picks.
pub fn lube_list<'a>(tables: &'a Tables, why: bool, is_meant: &dyn Fn(&Lube) -> bool) -> Page<'a> {
    let convertible = |lube: &&Lube| if lube.convertible { "yes" } else { "never" };
    let lubes: Vec<&Lube> = tables.lubes.iter().filter(|lube| is_meant(lube)).collect();
    let mut table = Table::new(lubes.clone())
        .column(Head::words("lube", 10), |lube| clean(&lube.name))
        .column(Head::solid("is"), |lube| lube.class.word())
        .column(Head::solid("friction"), |lube| friction(lube))
        .column(Head::solid("restated"), convertible);
    if why {
        table = table.column(Head::words("source", 20), |lube| or_not_stated(lube.source.as_ref()));
    }
    let mut page = Page::of_table("lubes", record_keys(table, &LUBES, &[], |lube| *lube));
    page.prose(where_from(why, lubes.len()));
    page
}

fn where_from(why: bool, count: usize) -> String {
    let sources = if why { "" } else { " Where the figures come from: --why, or a name." };
    format!("{count} listed.{sources}")
}

/// The strengths of the book, one a line, from the least to the most of its sizes in
/// the unit of the standard; if `why` one line for each range of sizes, with their
/// source. Only those that `is_meant` picks.
pub fn strength_list(
    tables: &Tables,
    why: bool,
    is_meant: &dyn Fn(&StrengthClass) -> bool,
) -> Page<'static> {
    let classes: Vec<StrengthClass> =
        tables.strengths.iter().filter(|class| is_meant(class)).cloned().collect();
    let count = classes.len();
    let lines: Vec<StrengthClass> = classes.iter().flat_map(StrengthClass::lines).collect();
    let mut shown = Table::new(if why { lines.clone() } else { classes })
        .column(Head::words("strength", 8), |class: &StrengthClass| clean(&class.name))
        .column(Head::solid("sizes"), all_sizes)
        .column(Head::solid("proof"), |class| stresses(class, |row| row.proof))
        .column(Head::solid("yield"), |class| stresses(class, |row| row.yield_))
        .column(Head::solid("tensile"), |class| stresses(class, |row| row.tensile));
    if why {
        shown = shown.column(Head::words("source", 20), |class| clean(&class.source));
    }
    let size = |class: &StrengthClass| class.rows.first().copied();
    let mm = |size: Option<Length>| size.map(Length::mm);
    let data = record_keys(Table::new(lines), &STRENGTHS, &["from", "to"], |class| class)
        .key("from_mm", move |class| mm(size(class).map(|row| row.from)))
        .key("from_is_outside", move |class| size(class).map(|row| row.above))
        .key("to_mm", move |class| mm(size(class).map(|row| row.to)));
    let mut page = Page::new();
    page.shown_table(shown);
    page.rows("strengths", data);
    page.prose(where_from(why, count));
    page
}

/// From the first to the last of its sizes.
fn all_sizes(class: &StrengthClass) -> String {
    let (Some(first), Some(last)) = (class.rows.first(), class.rows.last()) else {
        return NOT_STATED.to_owned();
    };
    sizes(StrengthRow { to: last.to, ..*first })
}

/// The least and the most of a stress: `580–600 MPa`.
fn stresses(class: &StrengthClass, stress: fn(&StrengthRow) -> Option<Stress>) -> String {
    let all =
        || class.rows.iter().filter_map(stress).map(|stress| stress.base() / class.unit.factor);
    let (least, most) = (all().fold(f64::MAX, f64::min), all().fold(f64::MIN, f64::max));
    match (least, most) {
        (least, most) if least > most => NOT_STATED.to_owned(),
        (least, most) if most / least < 1.0005 => {
            tied(&format!("{} {}", short(most, 4), class.unit.symbol))
        }
        _ => tied(&format!("{}–{} {}", short(least, 4), short(most, 4), class.unit.symbol)),
    }
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
    let is_stored = |field: &&Field| field.is_stored();
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
    Page::of_table("fields", table)
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
