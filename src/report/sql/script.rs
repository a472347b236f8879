//! The text of SQL statements: quoting, and inserts of many rows.

/// Rows of one INSERT: few enough for any parser, many enough to be quick.
const ROWS_AT_ONCE: usize = 100;

/// A column of a table.
pub(super) struct Column {
    name: String,
    kind: &'static str,
}

impl Column {
    /// A column of that name, with its type and constraints.
    pub(super) fn new(name: &str, kind: &'static str) -> Self {
        Self { name: name.to_owned(), kind }
    }
}

/// A script, one transaction.
pub(super) struct Script(String);

impl Script {
    pub(super) fn beginning_with(head: &str) -> Self {
        Self(format!("{head}begin;\n"))
    }

    pub(super) fn raw(&mut self, text: &str) {
        self.0.push_str(text);
    }

    pub(super) fn table(&mut self, name: &str, columns: &[Column]) {
        let columns: Vec<String> =
            columns.iter().map(|one| format!("  \"{}\" {}", one.name, one.kind)).collect();
        self.0.extend(["create table \"", name, "\" (\n", &columns.join(",\n"), "\n);\n"]);
    }

    /// Fills a table; the cells are literals, as many as there are columns.
    pub(super) fn rows(
        &mut self,
        table: &str,
        columns: &[Column],
        rows: impl Iterator<Item = Vec<String>>,
    ) {
        let names: Vec<String> = columns.iter().map(|one| format!("\"{}\"", one.name)).collect();
        let head = format!("insert into \"{table}\" ({}) values\n", names.join(", "));
        let mut at = 0;
        for row in rows {
            self.0.push_str(if at % ROWS_AT_ONCE == 0 { &head } else { ",\n" });
            self.0.extend(["(", &row.join(", "), ")"]);
            at += 1;
            if at % ROWS_AT_ONCE == 0 {
                self.0.push_str(";\n");
            }
        }
        if at % ROWS_AT_ONCE != 0 {
            self.0.push_str(";\n");
        }
    }

    pub(super) fn end(mut self) -> String {
        self.0.push_str("commit;\n");
        self.0
    }
}

/// A text as the SQL standard writes it: a quote is doubled, nothing else means
/// anything. A zero character, which PostgreSQL cannot hold, is left out.
pub(super) fn text(text: &str) -> String {
    format!("'{}'", text.replace('\0', "").replace('\'', "''"))
}

/// A text, or null.
pub(super) fn stated(value: Option<&String>) -> String {
    value.map_or_else(null, |value| text(value))
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
