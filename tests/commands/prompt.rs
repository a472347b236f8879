//! The prompt at a pseudo-terminal, which `script` (util-linux) gives: what is
//! typed is sent byte by byte, as a person's keys would be.

#![cfg(target_os = "linux")]
use std::io::{Read, Write};
use std::path::Path;
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::thread;
use std::time::{Duration, Instant};

const PROMPT: &str = "clampbook> ";
const CTRL_C: &str = "\u{3}";
const CTRL_D: &str = "\u{4}";
const UP: &str = "\u{1b}[A";

/// Longest wait for what a busy machine answers.
const PATIENCE: Duration = Duration::from_secs(30);

/// clampbook at a terminal.
struct Terminal {
    child: Child,
    keys: Option<ChildStdin>,
    shown: Receiver<Vec<u8>>,
    /// What was shown and not yet waited for.
    text: String,
}

impl Terminal {
    fn open(home: &Path, arguments: &str) -> Self {
        let program = format!("{} {arguments}", env!("CARGO_BIN_EXE_clampbook"));
        let mut child = Command::new("script")
            .args(["-qefc", &program, "/dev/null"])
            .env("HOME", home)
            .env("XDG_DATA_HOME", home.join("data"))
            .env("XDG_STATE_HOME", home.join("state"))
            .env("TERM", "xterm")
            .env("COLUMNS", "100")
            .env_remove("CLAMPBOOK_DIR")
            .env_remove("NO_COLOR")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("script, of util-linux");
        let mut output = child.stdout.take().expect("its output");
        let (send, shown) = channel();
        thread::spawn(move || {
            let mut buffer = [0; 4096];
            while let Ok(length @ 1..) = output.read(&mut buffer) {
                if send.send(buffer[..length].to_vec()).is_err() {
                    break;
                }
            }
        });
        let keys = child.stdin.take();
        Self { child, keys, shown, text: String::new() }
    }

    fn keys(&mut self, keys: &str) {
        let stdin = self.keys.as_mut().expect("a terminal");
        stdin.write_all(keys.as_bytes()).expect("keys");
        stdin.flush().expect("keys");
    }

    /// Waits until `wanted` is shown; what was shown up to its end.
    fn wait(&mut self, wanted: &str) -> String {
        let began = Instant::now();
        loop {
            if let Some(at) = self.text.find(wanted) {
                let rest = self.text.split_off(at + wanted.len());
                return std::mem::replace(&mut self.text, rest);
            }
            assert!(began.elapsed() < PATIENCE, "no {wanted:?} in {:?}", self.text);
            if let Ok(bytes) = self.shown.recv_timeout(Duration::from_millis(200)) {
                self.text += &String::from_utf8_lossy(&bytes);
            }
        }
    }

    /// Types a line and waits for its answer and the next prompt.
    fn line(&mut self, line: &str, wanted: &str) -> String {
        self.keys(line);
        self.keys("\r");
        let answer = self.wait(wanted);
        self.wait(PROMPT);
        answer
    }

    /// Ctrl-D at the prompt; the exit code.
    fn leave(mut self) -> Option<i32> {
        self.keys(CTRL_D);
        let began = Instant::now();
        while began.elapsed() < PATIENCE {
            if let Some(status) = self.child.try_wait().expect("a child") {
                return status.code();
            }
            thread::sleep(Duration::from_millis(20));
        }
        None
    }
}

impl Drop for Terminal {
    /// Nothing is left running behind a test that failed.
    fn drop(&mut self) {
        self.keys = None;
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn is_installed() -> bool {
    let found = Command::new("script").arg("--version").output().is_ok();
    if !found {
        // Written past the capture of the harness: a skip is never silent.
        let said = b"SKIPPED: script (util-linux) is not installed\n";
        let _ = std::io::Write::write_all(&mut std::io::stderr(), said);
    }
    found
}

#[test]
fn questions_are_answered_and_wrong_ones_point_at_their_place() {
    if !is_installed() {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    let mut terminal = Terminal::open(home.path(), "--demo --color never");
    let greeting = terminal.wait(PROMPT);
    assert!(greeting.contains("Ctrl-D leaves"), "{greeting}");
    terminal.line("joint head show part, torque", "Maker's current sheet governs");
    let wrong = terminal.line("torque over 60 kN", "a force is asked of `clamp`");
    assert!(wrong.contains("^^^^^ expected a torque"), "{wrong}");
    assert_eq!(terminal.leave(), Some(0));
}

#[test]
fn ctrl_c_clears_the_line_and_ctrl_d_leaves() {
    if !is_installed() {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    let mut terminal = Terminal::open(home.path(), "--demo --color never");
    terminal.wait(PROMPT);
    terminal.keys("nonsense that is not sent");
    terminal.wait("not sent");
    terminal.keys(CTRL_C);
    terminal.wait(PROMPT);
    let next = terminal.line("R12 has stretch show part", " left out");
    assert!(!next.contains("nonsense"), "{next}");
    assert_eq!(terminal.leave(), Some(0));
}

#[test]
fn tab_completes_fields_units_and_names() {
    if !is_installed() {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    let mut terminal = Terminal::open(home.path(), "--demo --color never");
    terminal.wait(PROMPT);
    // Each of these begins one name of the demo shop or one field.
    terminal.keys("assembly marl\t torq\t over 60 N.m with mol\t show part\r");
    let echoed = terminal.wait(" left out");
    assert!(echoed.contains("assembly Marlow 6 torque over 60 N.m with moly"), "{echoed:?}");
    terminal.wait(PROMPT);
    assert_eq!(terminal.leave(), Some(0));
}

#[test]
fn lines_are_kept_for_the_next_time_in_the_state_folder() {
    if !is_installed() {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    let mut terminal = Terminal::open(home.path(), "--demo --color never");
    terminal.wait(PROMPT);
    terminal.line("R12 has stretch show part", " left out");
    assert_eq!(terminal.leave(), Some(0));
    let kept = home.path().join("state/clampbook/history");
    assert!(std::fs::read_to_string(&kept).expect("the history").contains("R12 has stretch"));
    let mut again = Terminal::open(home.path(), "--demo --color never");
    again.wait(PROMPT);
    again.keys(UP);
    again.wait("R12 has stretch show part");
    again.keys("\r");
    again.wait(" left out");
    again.wait(PROMPT);
    assert_eq!(again.leave(), Some(0));
}

#[test]
fn words_are_coloured_as_they_are_typed() {
    if !is_installed() {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    let mut terminal = Terminal::open(home.path(), "--demo --color always");
    terminal.wait(PROMPT);
    terminal.keys("torque over 60 N.m");
    terminal.wait("\u{1b}[36mtorque\u{1b}[0m");
    terminal.wait("\u{1b}[32m60 N.m\u{1b}[0m");
    terminal.keys("\r");
    terminal.wait(" left out");
    terminal.wait(PROMPT);
    assert_eq!(terminal.leave(), Some(0));
}
