//! The questions of an import, asked on a terminal: through a pseudo-terminal
//! made by `script` (util-linux), as a person would answer them.

#![cfg(target_os = "linux")]

use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

const FILE: &str = "\
Assembly,Joint,Part,Thread,Lube,Torque,Source
Quill,head,bolt A,M10 fine,oil,50 Nm,Sheet 1 p. 2
Quill,head,bolt B,M10 fine,oil,50 Nm,Sheet 1 p. 2
Quill,head,bolt C,3/8,oil,30 lb-ft,Sheet 1 p. 2
Quill,main,bolt D,M12x1.75,oil,70,Sheet 1 p. 2
";

/// A program on a terminal of its own.
struct Terminal {
    child: Child,
    seen: Arc<Mutex<String>>,
    read_to: usize,
}

impl Terminal {
    fn start(shop: &Shop, arguments: &str) -> Self {
        let command = format!("{} {arguments}", env!("CARGO_BIN_EXE_clampbook"));
        let mut child = Command::new("script")
            .args(["--quiet", "--return", "--command", &command, "/dev/null"])
            .current_dir(shop.folder.path())
            .env("HOME", shop.folder.path())
            .env("CLAMPBOOK_DIR", shop.book())
            .env("COLUMNS", "80")
            .env("NO_COLOR", "1")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("script of util-linux");
        let seen = Arc::new(Mutex::new(String::new()));
        let (mut out, shared) = (child.stdout.take().unwrap(), Arc::clone(&seen));
        std::thread::spawn(move || {
            let mut bytes = [0; 1024];
            while let Ok(count @ 1..) = out.read(&mut bytes) {
                shared.lock().unwrap().push_str(&String::from_utf8_lossy(&bytes[..count]));
            }
        });
        Self { child, seen, read_to: 0 }
    }

    /// Waits until `text` stands on the terminal after what was seen before.
    fn expect(&mut self, text: &str) {
        let until = Instant::now() + Duration::from_mins(1);
        loop {
            let seen = self.seen.lock().unwrap().clone();
            if let Some(at) = seen[self.read_to..].find(text) {
                self.read_to += at + text.len();
                return;
            }
            assert!(Instant::now() < until, "`{text}` never came:\n{seen}");
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    fn send(&mut self, keys: &str) {
        let stdin = self.child.stdin.as_mut().unwrap();
        stdin.write_all(keys.as_bytes()).unwrap();
        stdin.flush().unwrap();
    }

    /// Waits for the end: its code, and all that stood on the terminal.
    fn end(mut self) -> (i32, String) {
        let code = self.child.wait().unwrap().code().unwrap_or(-1);
        let seen = self.seen.lock().unwrap().clone();
        (code, seen)
    }
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
        let output = Command::new(env!("CARGO_BIN_EXE_clampbook"))
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
    let mut terminal = Terminal::start(&shop, "import quill.csv");
    terminal.expect("D2 Thread `M10 fine` and 1 more");
    terminal.expect("1  M10x1.25");
    terminal.expect("2  M10x1");
    terminal.expect("ask no more): ");
    terminal.send("7\n");
    terminal.expect("`7` is none of 1 to 2");
    terminal.expect("ask no more): ");
    terminal.send("1\n");
    terminal.expect("D4 Thread `3/8`");
    terminal.expect("ask no more): ");
    // What cannot be read in its place is asked again, and not kept.
    terminal.send("three eighths\n");
    terminal.expect("`three eighths`: ");
    terminal.expect("ask no more): ");
    terminal.send("3/8-24\n");
    terminal.expect("F5 Torque `70`");
    terminal.expect("1  lb-ft");
    terminal.expect("2  N·m");
    terminal.expect("ask no more): ");
    terminal.send("2\n");
    terminal.expect("Keep the answers for the next import in quill.map.toml");
    terminal.send("\n");
    terminal.expect("Answers kept in quill.map.toml");
    let (code, seen) = terminal.end();
    assert_eq!(code, 0, "{seen}");
    let map = read(&shop.file("quill.map.toml"));
    assert!(map.contains("\"M10 fine\" = \"M10x1.25\""), "{map}");
    assert!(map.contains("\"Torque\" = \"torque (N·m)\""), "{map}");
    assert!(!map.contains("three"), "{map}");

    // With the mapping nothing is asked any more.
    std::fs::remove_dir_all(shop.book()).unwrap();
    let terminal = Terminal::start(&shop, "import quill.csv --map quill.map.toml");
    let (code, seen) = terminal.end();
    assert_eq!(code, 0, "{seen}");
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
    let mut terminal = Terminal::start(&shop, "import quill.csv --map own.toml");
    terminal.expect("D4 Thread `3/8`");
    terminal.expect("ask no more): ");
    terminal.send("1\n");
    terminal.expect("F5 Torque `70`");
    terminal.expect("ask no more): ");
    terminal.send("1\n");
    terminal.expect("Answers kept in own.toml");
    let (code, seen) = terminal.end();
    assert_eq!(code, 0, "{seen}");
    let map = read(&shop.file("own.toml"));
    assert!(map.starts_with("# our own book\n[file]\nlube = \"oil\"\n"), "{map}");
    for line in
        ["\"M10 fine\" = \"M10x1\"", "\"3/8\" = \"3/8-16\"", "\"Torque\" = \"torque (lb-ft)\""]
    {
        assert!(map.contains(line), "{line} in {map}");
    }
}

#[test]
fn ctrl_c_leaves_everything_as_it_was() {
    let shop = Shop::new();
    let mut terminal = Terminal::start(&shop, "import quill.csv");
    terminal.expect("ask no more): ");
    terminal.send("1\n");
    terminal.expect("D4 Thread `3/8`");
    terminal.expect("ask no more): ");
    terminal.send("\u{3}");
    let (code, seen) = terminal.end();
    assert_eq!(code, 130, "{seen}");
    assert_eq!(shop.files(), ["quill.csv"], "no book, no mapping: {seen}");
}

#[test]
fn enter_leaves_a_question_open_and_q_ends_the_asking() {
    let shop = Shop::new();
    let mut terminal = Terminal::start(&shop, "import quill.csv --dry-run");
    terminal.expect("D2 Thread `M10 fine`");
    terminal.expect("ask no more): ");
    terminal.send("\n");
    terminal.expect("D4 Thread `3/8`");
    terminal.expect("ask no more): ");
    terminal.send("q\n");
    let (code, seen) = terminal.end();
    assert_eq!(code, 3, "{seen}");
    assert!(!seen.contains("F5 Torque `70`:") && !seen.contains("Keep the answers"), "{seen}");
    assert_eq!(shop.files(), ["quill.csv"], "a dry run creates nothing");
}

/// A dry run on a book that is not there ends as the report says and creates
/// nothing.
#[test]
fn a_dry_run_needs_no_book() {
    let shop = Shop::new();
    let run = |file: &str| {
        let output = Command::new(env!("CARGO_BIN_EXE_clampbook"))
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
