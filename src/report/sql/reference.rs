//! The lubes and strengths of a book as tables, by walking the tables of their fields.

use std::any::Any;
use std::io;

use crate::record::{Field, FieldKind, LUBES, RecordTable, STRENGTHS, Tables, Value};
use crate::report::sql::script::{Script, SqlColumn, flag, integer, number, text};

pub(super) fn lubes(tables: &Tables, script: &mut Script<'_>) -> io::Result<()> {
    records("lube", &LUBES, &tables.lubes, script)?;
    let names = tables.lubes.iter().map(|lube| (lube.name.as_str(), lube.aliases.as_slice()));
    aliases("lube", names, script)
}

pub(super) fn strengths(tables: &Tables, script: &mut Script<'_>) -> io::Result<()> {
    records("strength", &STRENGTHS, &tables.strengths, script)?;
    let names = tables.strengths.iter().map(|one| (one.name.as_str(), one.aliases.as_slice()));
    aliases("strength", names, script)?;
    sizes(tables, script)
}

/// A table of records with a column for each field: lists and what a strength has by
/// size have tables of their own.
fn records<R: Any>(
    name: &str,
    of: &'static RecordTable,
    records: &[R],
    script: &mut Script<'_>,
) -> io::Result<()> {
    let is_column = |field: &&Field| {
        field.kind != FieldKind::List && !is_figure(field) && !["from", "to"].contains(&field.name)
    };
    let fields: Vec<&Field> = of.fields.iter().filter(is_column).collect();
    let column = |field: &&Field| {
        let kind = match (field.kind, of.needed.contains(&field.name)) {
            _ if field.name == "name" => "text primary key",
            (FieldKind::Number, _) => "double precision",
            (_, true) => "text not null",
            (_, false) => "text",
        };
        SqlColumn::new(&field.name.replace('-', "_"), kind)
    };
    let table = script.table(name, &fields.iter().map(column).collect::<Vec<_>>())?;
    let row = |record: &R| fields.iter().map(|field| literal(field, record)).collect();
    script.rows(table, records.iter().map(row))
}

fn is_figure(field: &Field) -> bool {
    matches!(field.kind, FieldKind::Quantity(_))
}

fn literal(field: &Field, record: &dyn Any) -> String {
    match field.value(record) {
        Value::NotStated => number(None),
        Value::Number(value) => number(Some(value)),
        Value::Measure(measure) => number(measure.low),
        value => text(&value.cell().unwrap_or_default()),
    }
}

fn sizes(tables: &Tables, script: &mut Script<'_>) -> io::Result<()> {
    let figures: Vec<&Field> = STRENGTHS.fields.iter().filter(|field| is_figure(field)).collect();
    let mut columns = vec![
        SqlColumn::new("strength_name", "text not null references \"strength\" (\"name\")"),
        SqlColumn::new("number", "integer not null"),
        SqlColumn::new("from_mm", "double precision not null"),
        SqlColumn::new("from_itself_outside", "text not null"),
        SqlColumn::new("to_mm", "double precision not null"),
    ];
    columns.extend(figures.iter().map(|field| SqlColumn::new(field.json, "double precision")));
    let table = script.table("strength_size", &columns)?;
    for class in &tables.strengths {
        for (at, line) in class.lines().enumerate() {
            let size = line.rows[0];
            let mut row = vec![text(&line.name), integer(at + 1), number(Some(size.from.mm()))];
            row.extend([flag(size.above), number(Some(size.to.mm()))]);
            row.extend(figures.iter().map(|field| literal(field, &line)));
            script.row(table, &row)?;
        }
    }
    Ok(())
}

fn aliases<'a>(
    of: &str,
    names: impl Iterator<Item = (&'a str, &'a [String])>,
    script: &mut Script<'_>,
) -> io::Result<()> {
    let columns = [
        SqlColumn::new(&format!("{of}_name"), "text not null"),
        SqlColumn::new("alias", "text not null"),
    ];
    let table = script.table(&format!("{of}_alias"), &columns)?;
    let rows = names
        .flat_map(|(name, aliases)| aliases.iter().map(move |alias| vec![text(name), text(alias)]));
    script.rows(table, rows)
}
