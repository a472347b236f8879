//! The book as one SQL script, for a server that a shop already runs: a schema
//! and INSERTs that SQLite and PostgreSQL both accept.
//!
//! Only what the two share is used: quoted names, `text`, `integer` and `double
//! precision`, texts in which nothing but the quote is doubled (the standard's
//! own strings; a backslash is a backslash). The view `sheet` has the columns
//! of the CSV export, so that what it selects can be imported again.

mod reference;
mod script;

use std::collections::HashMap;
use std::io::{self, Write};

use crate::record::{
    Fastener, Field, FieldKind, Joint, KeyPart, Owner, Setting, SheetLine, Tables, Value,
    stored_fields,
};
use crate::report::exported::Fasteners;
use script::{Script, SqlColumn, Table, integer, number, text};

const HEAD: &str = "\
-- A book of clampbook, as SQL for SQLite and PostgreSQL.
-- sqlite3 shop.db < shop.sql
-- PGCLIENTENCODING=UTF8 psql --set ON_ERROR_STOP=1 --file shop.sql shop
-- Texts are as written in the book; columns that end in a unit hold the same in SI.
-- The view \"sheet\" has the columns of the CSV export and can be imported again.
-- Maker's current sheet governs; COMPUTED is an estimate; local codes and licensed practice come first.
";

/// Writes fasteners with their joints, settings and lists, and the reference
/// tables, as a script that makes the tables and fills them.
///
/// # Errors
/// What `to` returns, or why the book cannot be read.
pub fn export_sql(
    fasteners: &(impl Fasteners + ?Sized),
    tables: &Tables,
    to: &mut dyn Write,
) -> io::Result<()> {
    let mut script = Script::begin(HEAD, to)?;
    reference::lubes(tables, &mut script)?;
    reference::strengths(tables, &mut script)?;
    let mut book = BookTables::made(&mut script)?;
    fasteners.each(&mut |fastener| book.put(fastener, &mut script))?;
    script.raw(&view())?;
    script.end()
}

/// The tables of a book, being filled.
struct BookTables {
    joint: Table,
    fastener: Table,
    setting: Table,
    lists: [Table; LISTS.len()],
    tag: Table,
    /// Joints by assembly and name, with their numbers. Two that go by one name but
    /// say different things stay two.
    joints: HashMap<(String, String), Vec<(usize, Joint)>>,
    joint_count: usize,
    fastener_count: usize,
}

/// A list of a setting: its table, its column with the type, its values as literals.
type ListTable = (&'static str, &'static str, &'static str, fn(&Setting) -> Vec<String>);

const LISTS: [ListTable; 3] = [
    ("setting_pass", "pass", "text not null", |s| {
        s.passes.iter().map(|pass| text(&pass.to_string())).collect()
    }),
    ("setting_angle", "angle_deg", "double precision not null", |s| {
        s.angles.iter().map(|angle| number(Some(angle.value().deg()))).collect()
    }),
    ("setting_caution", "caution", "text not null", |s| {
        s.warnings.iter().map(|warning| text(warning)).collect()
    }),
];

/// A column: its name, and its type with what it refers to.
type Named = (&'static str, &'static str);

const KEY: Named = ("key", "text primary key");
const NUMBER: Named = ("number", "integer not null");
const TO_JOINT: Named = ("joint_id", "integer not null references \"joint\" (\"id\")");
const TO_FASTENER: Named = ("fastener_key", "text not null references \"fastener\" (\"key\")");
const TO_SETTING: Named = ("setting_key", "text not null references \"setting\" (\"key\")");

impl BookTables {
    fn made(script: &mut Script<'_>) -> io::Result<Self> {
        let columns = |own: &[Named], owner: Option<Owner>| -> Vec<SqlColumn> {
            let own = own.iter().map(|(name, kind)| SqlColumn::new(name, kind));
            own.chain(owner.into_iter().flat_map(columns_of)).collect()
        };
        let joint = columns(&[("id", "integer primary key")], Some(Owner::Joint));
        let fastener = columns(&[KEY, NUMBER, TO_JOINT], Some(Owner::Fastener));
        let setting = columns(&[KEY, NUMBER, TO_FASTENER], Some(Owner::Setting));
        let lists =
            LISTS.map(|(_, column, kind, _)| columns(&[TO_SETTING, NUMBER, (column, kind)], None));
        let list = |script: &mut Script<'_>, at: usize| script.table(LISTS[at].0, &lists[at]);
        let tag = columns(&[TO_FASTENER, NUMBER, ("tag", "text not null")], None);
        Ok(Self {
            joint: script.table("joint", &joint)?,
            fastener: script.table("fastener", &fastener)?,
            setting: script.table("setting", &setting)?,
            lists: [list(script, 0)?, list(script, 1)?, list(script, 2)?],
            tag: script.table("fastener_tag", &tag)?,
            joints: HashMap::new(),
            joint_count: 0,
            fastener_count: 0,
        })
    }

    fn put(&mut self, fastener: &Fastener, script: &mut Script<'_>) -> io::Result<()> {
        let (setting, key) = (fastener.settings.first(), fastener.key.clone());
        let first = SheetLine { fastener, setting, key };
        let joint = self.joint(&first, script)?;
        self.fastener_count += 1;
        let mut row = vec![text(&fastener.key), integer(self.fastener_count), integer(joint)];
        row.extend(values(Owner::Fastener, &first));
        script.row(self.fastener, &row)?;
        script.rows(self.tag, listed(&fastener.key, fastener.tags.iter().map(|tag| text(tag))))?;
        for (at, line) in SheetLine::each(fastener).iter().enumerate() {
            let Some(setting) = line.setting else { continue };
            let mut row = vec![text(&line.key), integer(at + 1), text(&fastener.key)];
            row.extend(values(Owner::Setting, line));
            script.row(self.setting, &row)?;
            for ((.., get), table) in LISTS.iter().zip(self.lists) {
                script.rows(table, listed(&line.key, get(setting).into_iter()))?;
            }
        }
        Ok(())
    }

    /// The number of the joint of a line, which gets a row where it is new.
    fn joint(&mut self, line: &SheetLine<'_>, script: &mut Script<'_>) -> io::Result<usize> {
        let joint = &line.fastener.joint;
        let known = self.joints.entry((joint.assembly.clone(), joint.name.clone())).or_default();
        if let Some((number, _)) = known.iter().find(|(_, same)| same == joint) {
            return Ok(*number);
        }
        self.joint_count += 1;
        known.push((self.joint_count, joint.clone()));
        let mut row = vec![integer(self.joint_count)];
        row.extend(values(Owner::Joint, line));
        script.row(self.joint, &row)?;
        Ok(self.joint_count)
    }
}

/// The rows of a list: the key of its owner, numbers from 1, the values.
fn listed(key: &str, values: impl Iterator<Item = String>) -> impl Iterator<Item = Vec<String>> {
    let key = text(key);
    values.enumerate().map(move |(at, value)| vec![key.clone(), integer(at + 1), value])
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
            let high = field.more_json.iter().filter(|(_, part)| *part == KeyPart::High);
            let keys = std::iter::once(field.json).chain(high.map(|(key, _)| *key));
            keys.map(str::to_owned).collect()
        }
        FieldKind::Share => vec![format!("{}_ratio", name_of(field))],
        _ => Vec::new(),
    }
}

fn columns_of(owner: Owner) -> Vec<SqlColumn> {
    let each = |field: &'static Field| {
        let kind = if field.kind == FieldKind::Number { "integer" } else { "text" };
        let si = si_names(field).into_iter().map(|name| SqlColumn::new(&name, "double precision"));
        std::iter::once(SqlColumn::new(&name_of(field), kind)).chain(si).collect::<Vec<_>>()
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
