//! A whole book to a server and back, what the program's role may do there, and what is
//! refused.

use std::fs;

use crate::kept;
use crate::program::{demo_shop, run};

#[test]
fn a_book_goes_to_a_server_and_back_as_it_is() {
    let Some(server) = kept::started("") else { return };
    let url = kept::database(&server, "shop");
    let shop = demo_shop();
    let home = shop.path();
    let say = |words: &[&str]| {
        let (out, err, code) = run(home, words);
        assert_eq!(code, Some(0), "{words:?}\n{out}{err}");
        out
    };
    say(&["log", "start", "24-017"]);
    say(&["log", "add", "suction flange", "oil", "--done", "--yes"]);
    say(&["edit", "tern-40-pump-suction-flange-bolt-flange", "notes=seen"]);
    let folder = home.join("data/clampbook");
    let folder = folder.to_str().unwrap();
    let there = say(&["book", "copy", folder, &url]);
    assert!(there.contains("fasteners") && there.contains(&url), "{there}");
    say(&["book", "copy", &url, "back"]);
    for (book, file) in [(folder, "1"), (&url, "2"), ("back", "3")] {
        say(&["--book", book, "book", "backup", file]);
    }
    let text = |file: &str| fs::read_to_string(home.join(file)).unwrap();
    assert_eq!(text("1"), text("2"));
    assert_eq!(text("1"), text("3"));
    // Nothing is written over.
    for to in [url.as_str(), "back"] {
        let (_, err, code) = run(home, &["book", "copy", folder, to]);
        assert_eq!(code, Some(4), "{err}");
        assert!(err.contains("a book already") || err.contains("is a book at"), "{err}");
    }
    let (_, err, code) = run(home, &["--book", &url, "book", "restore", "1", "--yes"]);
    assert_eq!(code, Some(4));
    assert!(err.contains("a backup never replaces it"), "{err}");
    say(&["--book", &url, "book", "restore", "--yes"]);
    say(&["--book", &url, "book", "compact"]);
    say(&["--book", &url, "book", "undo", "--yes"]);
    let (out, err, code) = run(home, &["--book", &url, "book", "verify"]);
    assert_eq!(code, Some(0), "{out}{err}");
    // The rows are plain to SQL.
    let keys = server.run(
        "shop",
        "SELECT count(*) FROM clampbook.fasteners WHERE row->'fastener'->>'key' LIKE '%suction%'",
    );
    assert_ne!(keys.trim(), "0");
}

/// Whatever the owner of the database alters behind our back, in any of the tables, `book
/// verify` finds it.
#[test]
fn a_row_that_was_altered_on_the_server_is_found() {
    let Some(server) = kept::started("") else { return };
    let url = kept::database(&server, "shop");
    let shop = demo_shop();
    let home = shop.path();
    let folder = home.join("data/clampbook");
    for words in [
        &["log", "start", "24-017"][..],
        &["log", "add", "suction flange", "oil", "--done", "--yes", "remarks=quiet"],
        &["edit", "tern-40-pump-suction-flange-bolt-flange", "notes=seen"],
        &["book", "copy", folder.to_str().unwrap(), &url],
        &["--book", &url, "book", "verify"],
    ] {
        let (out, err, code) = run(home, words);
        assert_eq!(code, Some(0), "{words:?}\n{out}{err}");
    }
    let edit = "tern-40-pump-suction-flange-bolt-flange";
    for words in [
        &["--book", &url, "edit", edit, "notes=seen again"][..],
        &["--book", &url, "log", "add", "suction flange", "oil", "--done", "--yes"],
    ] {
        let (out, err, code) = run(home, words);
        assert_eq!(code, Some(0), "{words:?}\n{out}{err}");
    }
    let verified = |what: &str| {
        let (out, err, code) = run(home, &["--book", &url, "book", "verify"]);
        match what {
            "" => assert_eq!(code, Some(0), "{out}{err}"),
            _ => assert_eq!(code, Some(4), "{what}\n{out}{err}"),
        }
        assert!(err.contains(what), "{what}\n{err}");
        let is_advised = err.contains("puts it back from its own backup");
        assert_eq!(is_advised, !what.is_empty(), "{err}");
    };
    let replaced = |table: &str, column: &str, from: &str, to: &str| {
        format!(
            "{table} SET {column} = replace({column}::text, '{from}', '{to}')::jsonb WHERE {column}::text LIKE '%{from}%'"
        )
    };
    let texts = [
        ("ledger", "row", "quiet", "loud", "histories"),
        ("ledger", "row", "\"seen\"", "\"unseen\"", "histories"),
        ("fasteners", "row", "suction flange", "suction flanges", "fasteners"),
        ("book", "reference", "engine oil", "engine oils", "tables"),
    ];
    let texts = texts.map(|(table, column, from, to, what)| {
        (replaced(table, column, from, to), replaced(table, column, to, from), what)
    });
    let last = "WHERE place = (SELECT max(place) FROM clampbook.ledger)";
    let edited = "WHERE id = (SELECT change FROM clampbook.ledger WHERE row->'ledger' ? 'past' ORDER BY place DESC LIMIT 1)";
    let of = |end: &str| format!("generation = (SELECT {end}(generation) FROM clampbook.changes)");
    let seen = format!("WHERE row->'fastener'->>'key' = '{edit}'");
    let numbers = [
        (
            "changes SET generation = generation + 9".to_owned(),
            "changes SET generation = generation - 9".to_owned(),
            "its last change is none of `changes`",
        ),
        (
            format!("changes SET generation = generation - 1 {edited}"),
            format!("changes SET generation = generation + 1 {edited}"),
            "another generation than its change",
        ),
        (
            format!("ledger SET place = place + 1 {last}"),
            format!("ledger SET place = place - 1 {last}"),
            "a place of `ledger` is left out",
        ),
        (
            "fasteners SET generation = 0 WHERE number = 3".to_owned(),
            format!("fasteners SET {} WHERE number = 3", of("min")),
            "a generation that is none of `changes`",
        ),
        (
            format!("fasteners SET {} {seen}", of("min")),
            format!("fasteners SET {} {seen}", of("max")),
            "an older generation than its history",
        ),
        (
            "book SET reference_generation = reference_generation + 9".to_owned(),
            "book SET reference_generation = reference_generation - 9".to_owned(),
            "its lubes and strengths",
        ),
        (
            "book SET settings = settings + 1".to_owned(),
            "book SET settings = settings - 1".to_owned(),
            "it counts other fasteners",
        ),
        (
            "book SET next = next - 1".to_owned(),
            "book SET next = next + 1".to_owned(),
            "it counts other fasteners",
        ),
    ];
    verified("");
    for (altered, back, what) in texts.into_iter().chain(numbers) {
        server.run("shop", &format!("UPDATE clampbook.{altered}"));
        verified(what);
        server.run("shop", &format!("UPDATE clampbook.{back}"));
        verified("");
    }
}

#[test]
fn the_role_adds_to_log_and_history_and_never_changes_them() {
    let Some(server) = kept::started("") else { return };
    let url = kept::database(&server, "shop");
    let shop = demo_shop();
    let home = shop.path();
    let (out, err, code) =
        run(home, &["--book", &url, "add", "assembly=Egret", "joint=cover", "part=bolt"]);
    assert_eq!(code, Some(0), "{out}{err}");
    assert!(err.contains("made a book at"), "the first change begins the book: {err}");
    for statement in [
        "DELETE FROM clampbook.ledger",
        "UPDATE clampbook.ledger SET row = '{}'",
        "DELETE FROM clampbook.changes",
        "TRUNCATE clampbook.ledger",
        "DELETE FROM clampbook.fasteners",
    ] {
        let statement = format!("SET ROLE {}; {statement}", kept::ROLE);
        let refused = std::panic::catch_unwind(|| server.run("shop", &statement));
        assert!(refused.is_err(), "{statement}");
    }
}

#[test]
fn a_server_without_tables_or_book_says_what_to_do() {
    let Some(server) = kept::started("") else { return };
    let home = tempfile::tempdir().unwrap();
    let bare = format!("postgres://{}@127.0.0.1:{}/postgres", kept::ROLE, server.port());
    let (_, err, code) = run(home.path(), &["--book", &bare, "find", "M10"]);
    assert_eq!(code, Some(4));
    assert!(err.contains("clampbook book tables"), "{err}");
    let empty = kept::database(&server, "empty");
    let (_, err, code) = run(home.path(), &["--book", &empty, "find", "M10"]);
    assert_eq!(code, Some(4));
    assert!(err.contains("no book on the server"), "{err}");
    let (out, _, code) = run(home.path(), &["book", "tables", "bench"]);
    assert_eq!(code, Some(0));
    assert!(out.contains("TO \"bench\""), "{out}");
}
