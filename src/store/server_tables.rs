//! The tables of a book on a server, as statements for whoever owns the database.

/// The statements that make the tables of a book, for the program's role `role`.
pub fn tables_for(role: &str) -> String {
    let quoted = format!("\"{}\"", role.replace('"', "\"\""));
    let made =
        include_str!("server/tables.sql").lines().map(|line| match line.strip_prefix("--") {
            Some(_) => format!("{}\n", line.replace("ROLE", role)),
            None => format!("{}\n", line.replace("ROLE", &quoted)),
        });
    made.collect()
}
