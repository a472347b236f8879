//! Benches that get into each other's way at one book, and a bench whose server, or whose
//! own copy, is no longer what it was.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use clampbook::record::Fastener;
use clampbook::store::{Change, StoreError, Writer};

use crate::databases::Postgres;
use crate::program::{demo_shop, run};
use crate::{kept, sample};

const WAIT: Duration = Duration::from_secs(5);
const FLANGE: &str = "tern-40-pump-suction-flange-bolt-flange";
const QUESTION: [&str; 2] = ["find", "suction flange"];

fn noted(n: u64, notes: &str) -> Change {
    Fastener { notes: Some(notes.to_owned()), ..sample::numbered(n) }.into()
}

/// What the demo shop has, at a server; its folder is that of the first bench.
struct Shop {
    server: Postgres,
    url: String,
    benches: Vec<tempfile::TempDir>,
}

impl Shop {
    fn opened() -> Option<Self> {
        let server = kept::started("")?;
        let url = kept::database(&server, "shop");
        let benches = vec![demo_shop(), tempfile::tempdir().unwrap()];
        let shop = Self { server, url, benches };
        let folder = shop.home(0).join("data/clampbook");
        let (out, err, code) =
            run(shop.home(0), &["book", "copy", folder.to_str().unwrap(), &shop.url]);
        assert_eq!(code, Some(0), "{out}{err}");
        assert_eq!(shop.asked(1, &QUESTION).2, Some(0));
        Some(shop)
    }

    fn home(&self, bench: usize) -> &Path {
        self.benches[bench].path()
    }

    fn asked(&self, bench: usize, words: &[&str]) -> (String, String, Option<i32>) {
        run(self.home(bench), &[&["--book", &self.url], words].concat())
    }

    /// Where what the bench has fetched lies.
    fn cache(&self, bench: usize) -> PathBuf {
        let mut caches = fs::read_dir(self.home(bench).join(".cache/clampbook")).unwrap();
        caches.next().unwrap().unwrap().path()
    }

    /// What the owner of the database does to the tables.
    fn sql(&self, statement: &str) {
        self.server.run("shop", statement);
    }
}

#[test]
fn who_changes_the_same_later_is_told_so_and_who_changes_another_is_not() {
    let Some(server) = kept::started("") else { return };
    let url = kept::database(&server, "shop");
    let folder = tempfile::tempdir().unwrap();
    let mut first = Writer::create(&folder.path().join("first")).unwrap();
    first.apply((1..4).map(|n| noted(n, "0")).collect()).unwrap();
    let dirs = ["here", "there"].map(|name| folder.path().join(name));
    kept::at(&url).copy(first.book(), &dirs[0], WAIT).unwrap();
    let [mut here, mut there] =
        dirs.each_ref().map(|dir| kept::at(&url).writer(dir, WAIT).unwrap());
    here.apply(vec![noted(1, "here")]).unwrap();
    // What was read before that is changed from what it is now.
    there.apply(vec![noted(2, "there")]).unwrap();
    here.apply(vec![noted(3, "here")]).unwrap();
    let late = there.apply(vec![noted(3, "there")]).unwrap_err();
    assert!(matches!(late, StoreError::Moved), "{late}");
    let last = there.book().last_change().unwrap();
    let late = there.undo(last).unwrap_err();
    assert!(matches!(late, StoreError::Moved | StoreError::Undo(_)), "{late}");
    drop(here);
    let book = kept::at(&url).writer(&dirs[0], WAIT).unwrap();
    for (n, notes) in [(1, "here"), (2, "there"), (3, "here")] {
        let kept = book.book().fastener(&sample::numbered(n).key).unwrap().unwrap();
        assert_eq!(kept.notes.as_deref(), Some(notes));
    }
}

/// A client of the server that holds the book until it is ended.
fn holder(shop: &Shop) -> Child {
    let [psql] = &crate::databases::found(&["psql"]).unwrap()[..] else { panic!("no psql") };
    let mut holder = Command::new(psql);
    holder.args(["--no-psqlrc", "--quiet", "-At", "-h", "127.0.0.1", "-U", "shop", "shop"]);
    holder.args(["-p", &shop.server.port().to_string()]);
    let statements = "BEGIN; SELECT 1 FROM clampbook.book FOR UPDATE; SELECT pg_sleep(600)";
    holder.args(["-c", statements]).stdin(Stdio::null()).stdout(Stdio::null()).spawn().unwrap()
}

#[test]
fn a_long_change_of_another_is_waited_for_and_then_said() {
    let Some(shop) = Shop::opened() else { return };
    assert_eq!(shop.asked(0, &["log", "start", "24-017"]).2, Some(0));
    let mut holder = holder(&shop);
    let held = "SELECT count(*) FROM pg_locks WHERE mode = 'RowShareLock' AND granted";
    while shop.server.run("shop", held).trim() == "0" {
        std::thread::sleep(Duration::from_millis(20));
    }
    let (edit, log) = (["edit", FLANGE, "notes=seen"], ["log", "add", "suction flange", "oil"]);
    let log = [&log[..], &["--done", "--yes"]].concat();
    let (edited, logged) = std::thread::scope(|scope| {
        let edited = scope.spawn(|| shop.asked(1, &edit));
        let logged = shop.asked(0, &log);
        (edited.join().unwrap(), logged)
    });
    assert!(edited.1.contains("lock timeout") && edited.2 == Some(4), "{}", edited.1);
    assert!(logged.0.contains("not sent yet") && logged.2 == Some(0), "{}{}", logged.0, logged.1);
    holder.kill().unwrap();
    holder.wait().unwrap();
    // Its session ends with it or is ended.
    shop.sql("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE query LIKE '%pg_sleep(6%' AND pid <> pg_backend_pid()");
    assert_eq!(shop.asked(1, &edit).2, Some(0));
    let (shown, err, _) = shop.asked(0, &["log", "show"]);
    assert!(!shown.contains("not sent") && err.is_empty(), "{shown}{err}");
}

#[test]
fn a_server_put_back_to_an_older_state_is_followed() {
    let Some(shop) = Shop::opened() else { return };
    // The database as it is now, for later.
    shop.server.run("postgres", "CREATE DATABASE older TEMPLATE shop");
    assert_eq!(shop.asked(0, &["edit", FLANGE, "notes=forgotten"]).2, Some(0));
    let before = shop.asked(0, &[&QUESTION[..], &["notes"]].concat());
    shop.server.run("postgres", "ALTER DATABASE shop RENAME TO newer");
    shop.server.run("postgres", "ALTER DATABASE older RENAME TO shop");
    // The same revision as the first bench has, and another book.
    assert_eq!(shop.asked(1, &["edit", FLANGE, "notes=other"]).2, Some(0));
    let of = |bench: usize| {
        let (out, err, code) = shop.asked(bench, &["export", "--format", "csv"]);
        assert_eq!((err.as_str(), code), ("", Some(0)), "{before:?}");
        out
    };
    let text = of(0);
    assert!(text.contains("other") && !text.contains("forgotten"), "{text}");
    assert_eq!(text, of(1));
    let (out, err, code) = shop.asked(0, &["book", "verify"]);
    assert_eq!(code, Some(0), "{out}{err}");
}

#[test]
fn a_server_that_is_damaged_or_newer_is_not_taken() {
    let Some(shop) = Shop::opened() else { return };
    let fresh = tempfile::tempdir().unwrap();
    for (altered, back, what) in [
        (
            "UPDATE clampbook.book SET form = 9",
            "UPDATE clampbook.book SET form = 3",
            "newer clampbook",
        ),
        (
            "UPDATE clampbook.book SET lists = replace(lists, 'joint=', 'joint=9')",
            "UPDATE clampbook.book SET lists = replace(lists, 'joint=9', 'joint=')",
            "newer clampbook",
        ),
        (
            "UPDATE clampbook.book SET form = 2",
            "UPDATE clampbook.book SET form = 3",
            "its form is none that was released",
        ),
        (
            "UPDATE clampbook.fasteners SET number = number + 10000 WHERE number = 5; \
             UPDATE clampbook.fasteners SET row = row || '{\"lube\": {}}' WHERE number = 6",
            "UPDATE clampbook.fasteners SET number = 5 WHERE number = 10005; \
             UPDATE clampbook.fasteners SET row = row - 'lube' WHERE number = 6",
            "is damaged",
        ),
        (
            "UPDATE clampbook.book SET fasteners = fasteners + 1",
            "UPDATE clampbook.book SET fasteners = fasteners - 1",
            "it lacks fasteners that it counts",
        ),
        (
            "UPDATE clampbook.book SET ledger = ledger + 1",
            "UPDATE clampbook.book SET ledger = ledger - 1",
            "its ledger lacks rows that it counts",
        ),
    ] {
        shop.sql(altered);
        let (out, err, code) = run(fresh.path(), &["--book", &shop.url, "find", "suction flange"]);
        assert_eq!((out.as_str(), code), ("", Some(4)), "{altered}\n{err}");
        assert!(err.contains(what), "{altered}\n{err}");
        shop.sql(back);
    }
    let (out, err, code) = run(fresh.path(), &["--book", &shop.url, "find", "suction flange"]);
    assert_eq!((err.as_str(), code), ("", Some(0)), "{out}");
}

#[test]
fn what_was_fetched_is_no_book_of_its_own_and_is_fetched_again_where_it_is_damaged() {
    let Some(shop) = Shop::opened() else { return };
    let folder = shop.cache(1);
    let here = folder.to_str().unwrap();
    for words in [&["edit", FLANGE, "notes=x"][..], &["book", "restore", "--yes"]] {
        let (_, err, code) = run(shop.home(1), &[&["--book", here], words].concat());
        assert!(err.contains("name that with --book") && code == Some(4), "{words:?}: {err}");
    }
    let online = shop.asked(1, &QUESTION);
    for file in fs::read_dir(&folder).unwrap().map(|file| file.unwrap().path()) {
        if file.file_name().unwrap().to_str().unwrap().starts_with("image-") {
            fs::write(file, "rot").unwrap();
        }
    }
    let (_, err, code) = shop.asked(1, &QUESTION);
    assert!(err.contains("`clampbook book restore`") && code == Some(4), "{err}");
    let (out, err, code) = shop.asked(1, &["book", "restore", "--yes"]);
    assert!(out.contains("restored from the server") && code == Some(0), "{out}{err}");
    assert_eq!(shop.asked(1, &QUESTION), online);
}

#[test]
fn a_bench_answers_while_its_server_or_its_own_folder_is_busy() {
    let Some(shop) = Shop::opened() else { return };
    let online = shop.asked(1, &QUESTION);
    shop.sql(&format!("ALTER ROLE {} CONNECTION LIMIT 0", kept::ROLE));
    let (out, err, code) = shop.asked(1, &QUESTION);
    assert_eq!((&out, code), (&online.0, online.2));
    assert!(err.contains("too many connections") && err.contains("not refreshed since"), "{err}");
    shop.sql(&format!("ALTER ROLE {} CONNECTION LIMIT -1", kept::ROLE));
    // Another program of this machine works at what was fetched, and there is news.
    let writer = kept::at(&shop.url).writer(&shop.cache(1), WAIT).unwrap();
    assert_eq!(shop.asked(0, &["edit", FLANGE, "notes=news"]).2, Some(0));
    let (out, err, code) = shop.asked(1, &QUESTION);
    assert_eq!((out, code), (online.0, online.2));
    assert!(err.contains("another clampbook on this machine is changing it"), "{err}");
    drop(writer);
    let (out, err, code) = shop.asked(1, &QUESTION);
    assert!(out.contains("news") && err.is_empty() && code == Some(0), "{out}{err}");
}

/// More than the five thousand of which a difference is worked out.
#[test]
fn a_bench_that_is_far_behind_fetches_the_whole_book() {
    let Some(shop) = Shop::opened() else { return };
    let rows = (0..5200).map(|n| format!("Heron {n},cover,bolt,M8x1.25,8.8,oil,22 N·m\n"));
    let table =
        format!("assembly,joint,part,thread,strength,lube,torque\n{}", rows.collect::<String>());
    let file = shop.home(0).join("many.csv");
    fs::write(&file, table).unwrap();
    let (out, err, code) = shop.asked(0, &["import", file.to_str().unwrap()]);
    assert_eq!(code, Some(0), "{out}{err}");
    let backups = [0, 1].map(|bench| {
        let (out, err, code) = shop.asked(bench, &["book", "backup", "-"]);
        assert_eq!(code, Some(0), "{err}");
        out
    });
    assert!(backups[0].lines().count() > 5200 && backups[0] == backups[1]);
    let (out, err, code) = shop.asked(1, &["book", "verify"]);
    assert_eq!(code, Some(0), "{out}{err}");
}
