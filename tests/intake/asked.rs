//! The questions of an import, asked on a terminal.

#![cfg(target_os = "linux")]

use std::path::{Path, PathBuf};

use crate::program::clampbook;
use crate::terminal::{CTRL_C, Terminal};

const FILE: &str = "\
Assembly,Joint,Part,Thread,Lube,Torque,Source
Quill,head,bolt A,M10 fine,oil,50 Nm,Sheet 1 p. 2
Quill,head,bolt B,M10 fine,oil,50 Nm,Sheet 1 p. 2
Quill,head,bolt C,3/8,oil,30 lb-ft,Sheet 1 p. 2
Quill,main,bolt D,M12x1.75,oil,70,Sheet 1 p. 2
";

/// An import at a terminal, on the book of `shop`.
fn at_terminal(shop: &Shop, arguments: &str) -> Terminal {
    let book = shop.book();
    let set = [("CLAMPBOOK_DIR", book.to_str().unwrap()), ("COLUMNS", "80"), ("NO_COLOR", "1")];
    Terminal::open(shop.folder.path(), arguments, &set)
}

struct Shop {
    folder: tempfile::TempDir,
}

impl Shop {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("quill.csv"), FILE).unwrap();
        Self { folder }
    }

    fn book(&self) -> PathBuf {
        self.folder.path().join("book")
    }

    fn file(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn files(&self) -> Vec<String> {
        let names = std::fs::read_dir(self.folder.path()).unwrap();
        let mut names: Vec<String> =
            names.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    fn threads(&self) -> String {
        let output = clampbook(self.folder.path())
            .args([
                "--format", "csv", "find", "assembly", "Quill", "show", "part,", "thread,",
                "torque",
            ])
            .env("CLAMPBOOK_DIR", self.book())
            .output()
            .unwrap();
        String::from_utf8(output.stdout).unwrap()
    }
}

fn read(file: &Path) -> String {
    std::fs::read_to_string(file).unwrap()
}

#[test]
fn questions_are_asked_with_their_readings_and_answers_are_kept() {
    let shop = Shop::new();
    let mut terminal = at_terminal(&shop, "import quill.csv");
    terminal.wait("D2 Thread `M10 fine` and 1 more");
    terminal.wait("1  M10x1.25");
    terminal.wait("2  M10x1");
    terminal.wait("ask no more): ");
    terminal.keys("7\n");
    terminal.wait("`7` is none of 1 to 2");
    terminal.wait("ask no more): ");
    terminal.keys("1\n");
    terminal.wait("D4 Thread `3/8`");
    terminal.wait("ask no more): ");
    // What cannot be read in its place is asked again, and not kept.
    terminal.keys("three eighths\n");
    terminal.wait("`three eighths`: ");
    terminal.wait("ask no more): ");
    terminal.keys("3/8-24\n");
    terminal.wait("F5 Torque `70`");
    terminal.wait("1  lb-ft");
    terminal.wait("2  N·m");
    terminal.wait("ask no more): ");
    terminal.keys("2\n");
    terminal.wait("Keep the answers for the next import in quill.map.toml");
    terminal.keys("\n");
    terminal.wait("Answers kept in quill.map.toml");
    let (code, seen) = terminal.end();
    assert_eq!(code, Some(0), "{seen}");
    let map = read(&shop.file("quill.map.toml"));
    assert!(map.contains("\"M10 fine\" = \"M10x1.25\""), "{map}");
    assert!(map.contains("\"Torque\" = \"torque (N·m)\""), "{map}");
    assert!(!map.contains("three"), "{map}");

    // With the mapping nothing is asked any more.
    std::fs::remove_dir_all(shop.book()).unwrap();
    let terminal = at_terminal(&shop, "import quill.csv --map quill.map.toml");
    let (code, seen) = terminal.end();
    assert_eq!(code, Some(0), "{seen}");
    assert!(!seen.contains("ask no more"), "{seen}");
    let threads = shop.threads();
    for part in ["M10x1.25", "3/8-24", "70 N·m"] {
        assert!(threads.contains(part), "{part} in {threads}");
    }
}

#[test]
fn answers_go_into_the_mapping_that_was_given() {
    let shop = Shop::new();
    let own = "# our own book\n[file]\nlube = \"oil\"\n\n[answers.\"Thread\"]\n\"M10 fine\" = \"M10x1\"\n";
    std::fs::write(shop.file("own.toml"), own).unwrap();
    let mut terminal = at_terminal(&shop, "import quill.csv --map own.toml");
    terminal.wait("D4 Thread `3/8`");
    terminal.wait("ask no more): ");
    terminal.keys("1\n");
    terminal.wait("F5 Torque `70`");
    terminal.wait("ask no more): ");
    terminal.keys("1\n");
    terminal.wait("Answers kept in own.toml");
    let (code, seen) = terminal.end();
    assert_eq!(code, Some(0), "{seen}");
    let map = read(&shop.file("own.toml"));
    assert!(map.starts_with("# our own book\n[file]\nlube = \"oil\"\n"), "{map}");
    for line in
        ["\"M10 fine\" = \"M10x1\"", "\"3/8\" = \"3/8-16\"", "\"Torque\" = \"torque (lb-ft)\""]
    {
        assert!(map.contains(line), "{line} in {map}");
    }
}

/// Figures under a heading that no table knows are asked about once, with what they may be.
#[test]
fn figures_without_a_known_heading_are_asked_about_once() {
    const SHEET: &str = "\
Machine,Joint,Thread,Torque Nm,Zorp,Shelf
Quill 4,keel,M20x2.5,360,12,3
Quill 4,rudder,M16x2,200,6,7
";
    let shop = Shop::new();
    std::fs::write(shop.file("zorp.csv"), SHEET).unwrap();
    let mut terminal = at_terminal(&shop, "import zorp.csv");
    terminal.wait("E2 Zorp `12`");
    terminal.wait("1  count");
    terminal.wait("notes");
    terminal.wait("ask no more): ");
    terminal.keys("1\n");
    terminal.wait("Keep the answers");
    terminal.keys("\n");
    let (code, seen) = terminal.end();
    assert_eq!(code, Some(0), "{seen}");
    assert!(!seen.contains("Shelf `"), "{seen}");
    let map = read(&shop.file("zorp.map.toml"));
    assert!(map.contains("\"Zorp\" = \"count\""), "{map}");
    let count = clampbook(shop.folder.path())
        .args(["--format", "csv", "find", "joint", "keel", "show", "count"])
        .env("CLAMPBOOK_DIR", shop.book())
        .output()
        .unwrap();
    let count = String::from_utf8(count.stdout).unwrap();
    assert!(count.contains("12"), "{count}");
}

#[test]
fn ctrl_c_leaves_everything_as_it_was() {
    let shop = Shop::new();
    let mut terminal = at_terminal(&shop, "import quill.csv");
    terminal.wait("ask no more): ");
    terminal.keys("1\n");
    terminal.wait("D4 Thread `3/8`");
    terminal.wait("ask no more): ");
    terminal.keys(CTRL_C);
    let (code, seen) = terminal.end();
    assert_eq!(code, Some(130), "{seen}");
    assert_eq!(shop.files(), ["quill.csv"], "no book, no mapping: {seen}");
}

#[test]
fn enter_leaves_a_question_open_and_q_ends_the_asking() {
    let shop = Shop::new();
    let mut terminal = at_terminal(&shop, "import quill.csv --dry-run");
    terminal.wait("D2 Thread `M10 fine`");
    terminal.wait("ask no more): ");
    terminal.keys("\n");
    terminal.wait("D4 Thread `3/8`");
    terminal.wait("ask no more): ");
    terminal.keys("q\n");
    let (code, seen) = terminal.end();
    assert_eq!(code, Some(3), "{seen}");
    assert!(!seen.contains("F5 Torque `70`:") && !seen.contains("Keep the answers"), "{seen}");
    assert_eq!(shop.files(), ["quill.csv"], "a dry run creates nothing");
}

/// A dry run on a book that is not there ends as the report says and creates
/// nothing.
#[test]
fn a_dry_run_needs_no_book() {
    let shop = Shop::new();
    let run = |file: &str| {
        let output = clampbook(shop.folder.path())
            .args(["import", "--dry-run"])
            .arg(shop.file(file))
            .env("CLAMPBOOK_DIR", shop.book())
            .output()
            .unwrap();
        (output.status.code(), String::from_utf8(output.stdout).unwrap())
    };
    let (code, out) = run("quill.csv");
    assert_eq!(code, Some(3), "{out}");
    assert!(out.contains("which pitch"), "{out}");
    let sound =
        FILE.replace("M10 fine,", "M10x1.5,").replace("3/8,", "3/8-16,").replace(",70,", ",70 Nm,");
    std::fs::write(shop.file("sound.csv"), sound).unwrap();
    let (code, out) = run("sound.csv");
    assert_eq!(code, Some(0), "{out}");
    assert!(out.contains("settings: 4 new"), "{out}");
    assert!(!shop.book().exists());
}
