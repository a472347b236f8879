//! The text of SQL statements: quoting, and inserts of many rows.

use std::io::{self, Write};

/// Rows of one INSERT: few enough for any parser, many enough to be quick.
const ROWS_AT_ONCE: usize = 100;

/// A column of a table.
pub(super) struct SqlColumn {
    name: String,
    kind: &'static str,
}

impl SqlColumn {
    pub(super) fn new(name: &str, kind: &'static str) -> Self {
        Self { name: name.to_owned(), kind }
    }
}

/// A script, one transaction, written while its rows come by.
pub(super) struct Script<'a> {
    to: &'a mut dyn Write,
    tables: Vec<Filling>,
}

/// A table whose last rows wait to be written together.
struct Filling {
    head: String,
    rows: String,
    count: usize,
}

/// A table of a script, by its place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Table(usize);

impl<'a> Script<'a> {
    pub(super) fn begin(head: &str, to: &'a mut dyn Write) -> io::Result<Self> {
        writeln!(to, "{head}begin;")?;
        Ok(Self { to, tables: Vec::new() })
    }

    pub(super) fn raw(&mut self, text: &str) -> io::Result<()> {
        self.write_rows()?;
        self.to.write_all(text.as_bytes())
    }

    /// Makes a table; those that it refers to are made before.
    pub(super) fn table(&mut self, name: &str, columns: &[SqlColumn]) -> io::Result<Table> {
        let each: Vec<String> =
            columns.iter().map(|one| format!("  \"{}\" {}", one.name, one.kind)).collect();
        let names: Vec<String> = columns.iter().map(|one| format!("\"{}\"", one.name)).collect();
        let head = format!("insert into \"{name}\" ({}) values\n", names.join(", "));
        self.tables.push(Filling { head, rows: String::new(), count: 0 });
        writeln!(self.to, "create table \"{name}\" (\n{}\n);", each.join(",\n"))?;
        Ok(Table(self.tables.len() - 1))
    }

    /// Adds a row; the cells are literals, as many as there are columns.
    pub(super) fn row(&mut self, table: Table, cells: &[String]) -> io::Result<()> {
        let filling = &mut self.tables[table.0];
        let before = if filling.count == 0 { filling.head.as_str() } else { ",\n" };
        filling.rows.extend([before, "(", &cells.join(", "), ")"]);
        filling.count += 1;
        if filling.count == ROWS_AT_ONCE { self.write_rows() } else { Ok(()) }
    }

    pub(super) fn rows(
        &mut self,
        table: Table,
        mut rows: impl Iterator<Item = Vec<String>>,
    ) -> io::Result<()> {
        rows.try_for_each(|row| self.row(table, &row))
    }

    /// Writes what waits, in the order of the tables: a row comes after those that
    /// it refers to.
    fn write_rows(&mut self) -> io::Result<()> {
        for filling in self.tables.iter_mut().filter(|filling| filling.count > 0) {
            filling.rows.push_str(";\n");
            self.to.write_all(filling.rows.as_bytes())?;
            filling.rows.clear();
            filling.count = 0;
        }
        Ok(())
    }

    pub(super) fn end(mut self) -> io::Result<()> {
        self.raw("commit;\n")
    }
}

/// A text as the SQL standard writes it: a quote is doubled, nothing else means
/// anything. A zero character, which PostgreSQL cannot hold, is left out.
pub(super) fn text(text: &str) -> String {
    format!("'{}'", text.replace('\0', "").replace('\'', "''"))
}

/// A number, or null; never one that SQL cannot write.
pub(super) fn number(value: Option<f64>) -> String {
    value.filter(|value| value.is_finite()).map_or_else(null, |value| value.to_string())
}

pub(super) fn integer(value: usize) -> String {
    value.to_string()
}

/// Yes or no, as the CSV export writes it.
pub(super) fn flag(value: bool) -> String {
    text(if value { "yes" } else { "no" })
}

fn null() -> String {
    "null".to_owned()
}
