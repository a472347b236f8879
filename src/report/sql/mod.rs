//! The book as one SQL script, for a server that a shop already runs: a schema
//! and INSERTs that SQLite and PostgreSQL both accept.
//!
//! Only what the two share is used: quoted names, `text`, `integer` and `double
//! precision`, texts in which nothing but the quote is doubled (the standard's
//! own strings; a backslash is a backslash). The view `sheet` has the columns
//! of the CSV export, so that what it selects can be imported again.

mod joints;
mod reference;
mod script;

use std::sync::Arc;

use crate::record::{Fastener, Field, FieldKind, Owner, Part, Setting, SheetLine, Tables, Value};
use crate::report::csv::stored_fields;
use joints::Joints;
use script::{Column, Script, integer, number, text};

const HEAD: &str = "\
-- A book of clampbook, as SQL for SQLite and PostgreSQL.
-- sqlite3 shop.db < shop.sql
-- PGCLIENTENCODING=UTF8 psql --set ON_ERROR_STOP=1 --file shop.sql shop
-- Texts are as written in the book; columns that end in a unit hold the same in SI.
-- The view \"sheet\" has the columns of the CSV export and can be imported again.
-- Maker's current sheet governs; COMPUTED is an estimate; local codes and licensed practice come first.
";

/// Fasteners with their joints, settings and lists, and the reference tables,
/// as a script that makes the tables and fills them.
pub fn export_sql(fasteners: &[Arc<Fastener>], tables: &Tables) -> String {
    let mut script = Script::beginning_with(HEAD);
    reference::lubes(tables, &mut script);
    reference::strengths(tables, &mut script);
    let joints = Joints::of(fasteners);
    joint_table(&joints, &mut script);
    fastener_table(fasteners, &joints, &mut script);
    setting_table(fasteners, &mut script);
    lists(fasteners, &mut script);
    script.raw(&view());
    script.end()
}

fn joint_table(joints: &Joints, script: &mut Script) {
    let mut columns = vec![Column::new("id", "integer primary key")];
    columns.extend(columns_of(Owner::Joint));
    script.table("joint", &columns);
    let rows = joints.firsts().iter().enumerate().map(|(id, fastener)| {
        let mut row = vec![integer(id + 1)];
        row.extend(values(Owner::Joint, &first_line(fastener)));
        row
    });
    script.rows("joint", &columns, rows);
}

fn fastener_table(fasteners: &[Arc<Fastener>], joints: &Joints, script: &mut Script) {
    let mut columns = vec![
        Column::new("key", "text primary key"),
        Column::new("number", "integer not null"),
        Column::new("joint_id", "integer not null references \"joint\" (\"id\")"),
    ];
    columns.extend(columns_of(Owner::Fastener));
    script.table("fastener", &columns);
    let rows = fasteners.iter().zip(joints.ids()).enumerate().map(|(at, (fastener, joint))| {
        let mut row = vec![text(&fastener.key), integer(at + 1), integer(joint + 1)];
        row.extend(values(Owner::Fastener, &first_line(fastener)));
        row
    });
    script.rows("fastener", &columns, rows);
}

fn setting_table(fasteners: &[Arc<Fastener>], script: &mut Script) {
    let mut columns = vec![
        Column::new("key", "text primary key"),
        Column::new("number", "integer not null"),
        Column::new("fastener_key", "text not null references \"fastener\" (\"key\")"),
    ];
    columns.extend(columns_of(Owner::Setting));
    script.table("setting", &columns);
    let rows = fasteners.iter().flat_map(|one| settings(one)).map(|(at, line)| {
        let mut cells = vec![text(&line.key), integer(at + 1), text(&line.fastener.key)];
        cells.extend(values(Owner::Setting, &line));
        cells
    });
    script.rows("setting", &columns, rows);
}

/// The lines of a fastener that have a setting, with their place in it.
fn settings(fastener: &Fastener) -> impl Iterator<Item = (usize, SheetLine<'_>)> {
    SheetLine::each(fastener).into_iter().take(fastener.settings.len()).enumerate()
}

fn first_line(fastener: &Fastener) -> SheetLine<'_> {
    SheetLine { fastener, setting: fastener.settings.first(), key: fastener.key.clone() }
}

/// A list of a setting as literals.
type Get = fn(&Setting) -> Vec<String>;

/// The lists inside the records, a line each.
fn lists(fasteners: &[Arc<Fastener>], script: &mut Script) {
    let all = || fasteners.iter().flat_map(|one| settings(one)).map(|(_, line)| line);
    let of = |key: &str, list: Vec<String>| -> Vec<Vec<String>> {
        let lines = list.into_iter().enumerate();
        lines.map(|(at, cell)| vec![text(key), integer(at + 1), cell]).collect()
    };
    let kinds: [(&str, &str, &str, Get); 3] = [
        ("setting_pass", "pass", "text not null", |s| {
            s.passes.iter().map(|p| text(&p.to_string())).collect()
        }),
        ("setting_angle", "angle_deg", "double precision not null", |s| {
            s.angles.iter().map(|angle| number(Some(angle.value().deg()))).collect()
        }),
        ("setting_caution", "caution", "text not null", |s| {
            s.warnings.iter().map(|w| text(w)).collect()
        }),
    ];
    for (table, column, kind, get) in kinds {
        let columns = [
            Column::new("setting_key", "text not null references \"setting\" (\"key\")"),
            Column::new("number", "integer not null"),
            Column::new(column, kind),
        ];
        script.table(table, &columns);
        let listed = all().flat_map(|line| of(&line.key, line.setting.map_or_else(Vec::new, get)));
        script.rows(table, &columns, listed);
    }
    let columns = [
        Column::new("fastener_key", "text not null references \"fastener\" (\"key\")"),
        Column::new("number", "integer not null"),
        Column::new("tag", "text not null"),
    ];
    script.table("fastener_tag", &columns);
    let tags = |one: &Arc<Fastener>| of(&one.key, one.tags.iter().map(|tag| text(tag)).collect());
    script.rows("fastener_tag", &columns, fasteners.iter().flat_map(tags));
}

/// The stored fields of `owner`; the key of a row is written by itself.
fn fields_of(owner: Owner) -> impl Iterator<Item = &'static Field> {
    stored_fields().filter(move |field| field.owner == owner && field.name != "key")
}

fn name_of(field: &Field) -> String {
    field.name.replace('-', "_")
}

/// The names of the columns in SI beside the text of a field: its low end, and
/// its high end where it may be a range.
fn si_names(field: &Field) -> Vec<String> {
    match field.kind {
        FieldKind::Quantity(_) => {
            let high = field.more_json.iter().filter(|(_, part)| *part == Part::High);
            let keys = std::iter::once(field.json).chain(high.map(|(key, _)| *key));
            keys.map(str::to_owned).collect()
        }
        FieldKind::Share => vec![format!("{}_ratio", name_of(field))],
        _ => Vec::new(),
    }
}

fn columns_of(owner: Owner) -> Vec<Column> {
    let each = |field: &'static Field| {
        let kind = if field.kind == FieldKind::Number { "integer" } else { "text" };
        let si = si_names(field).into_iter().map(|name| Column::new(&name, "double precision"));
        std::iter::once(Column::new(&name_of(field), kind)).chain(si).collect::<Vec<_>>()
    };
    fields_of(owner).flat_map(each).collect()
}

fn values(owner: Owner, line: &SheetLine<'_>) -> Vec<String> {
    let each = |field: &'static Field| {
        let cell = line.cell(field);
        let own = match field.kind {
            _ if cell.is_empty() => "null".to_owned(),
            FieldKind::Number => cell.into_owned(),
            _ => text(&cell),
        };
        let ends = match line.value(field) {
            Value::Measure(measure) => [measure.low, Some(measure.high)],
            _ => [None, None],
        };
        let si = si_names(field).len();
        let si = ends.into_iter().take(si).map(number);
        std::iter::once(own).chain(si).collect::<Vec<_>>()
    };
    fields_of(owner).flat_map(each).collect()
}

/// The columns of the CSV export from the three tables.
fn view() -> String {
    let from = |field: &Field| {
        let name = name_of(field);
        match (field.name, field.owner) {
            ("key", _) => "coalesce(s.\"key\", f.\"key\") as \"key\"".to_owned(),
            (_, Owner::Joint) => format!("j.\"{name}\""),
            (_, Owner::Fastener) => format!("f.\"{name}\""),
            (_, Owner::Setting | Owner::Alone) => format!("s.\"{name}\""),
        }
    };
    let columns: Vec<String> = stored_fields().map(from).collect();
    format!(
        "create view \"sheet\" as select\n  {}\nfrom \"fastener\" f\n\
         join \"joint\" j on j.\"id\" = f.\"joint_id\"\n\
         left join \"setting\" s on s.\"fastener_key\" = f.\"key\"\n\
         order by f.\"number\", s.\"number\";\n",
        columns.join(",\n  ")
    )
}
