//! A pseudo-terminal, which `script` (util-linux) gives: what is typed is sent
//! byte by byte, as a person's keys would be, and what is shown is waited for.

#![allow(dead_code, unreachable_pub)] // each group uses its part

use std::io::{Read, Write};
use std::path::Path;
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::thread;
use std::time::{Duration, Instant};

pub const PROMPT: &str = "clampbook> ";
pub const CTRL_C: &str = "\u{3}";
pub const CTRL_D: &str = "\u{4}";
pub const UP: &str = "\u{1b}[A";

/// Longest wait for what a busy machine answers.
const PATIENCE: Duration = Duration::from_secs(30);

/// clampbook at a terminal.
pub struct Terminal {
    child: Child,
    keys: Option<ChildStdin>,
    shown: Receiver<Vec<u8>>,
    /// What was shown and not yet waited for.
    text: String,
}

impl Terminal {
    /// clampbook at a terminal of 100 columns.
    pub fn open(home: &Path, arguments: &str) -> Self {
        Self::run(home, &format!("{} {arguments}", env!("CARGO_BIN_EXE_clampbook")), Some("100"))
    }

    /// Any program at a terminal; its columns if they are not to be asked of it.
    pub fn run(home: &Path, program: &str, columns: Option<&str>) -> Self {
        let bin = Path::new(env!("CARGO_BIN_EXE_clampbook")).parent().expect("its folder");
        let path = std::env::var("PATH").unwrap_or_default();
        let mut command = Command::new("script");
        match columns {
            Some(columns) => command.env("COLUMNS", columns),
            None => command.env_remove("COLUMNS"),
        };
        let mut child = command
            .args(["-qefc", program, "/dev/null"])
            .env("PATH", format!("{}:{path}", bin.display()))
            .env("HOME", home)
            .env("XDG_DATA_HOME", home.join("data"))
            .env("XDG_STATE_HOME", home.join("state"))
            .env("TERM", "xterm")
            .env_remove("CLAMPBOOK_DIR")
            .env_remove("NO_COLOR")
            .env_remove("PAGER")
            .env_remove("CLAMPBOOK_PAGER")
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

    pub fn keys(&mut self, keys: &str) {
        let stdin = self.keys.as_mut().expect("a terminal");
        stdin.write_all(keys.as_bytes()).expect("keys");
        stdin.flush().expect("keys");
    }

    /// Waits until `wanted` is shown; what was shown up to its end.
    pub fn wait(&mut self, wanted: &str) -> String {
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
    pub fn line(&mut self, line: &str, wanted: &str) -> String {
        self.keys(line);
        self.keys("\r");
        let answer = self.wait(wanted);
        self.wait(PROMPT);
        answer
    }

    /// Ctrl-D at the prompt; the exit code.
    pub fn leave(mut self) -> Option<i32> {
        self.keys(CTRL_D);
        self.end()
    }

    /// The exit code of a program that ends by itself.
    pub fn end(mut self) -> Option<i32> {
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

pub fn is_installed(program: &str) -> bool {
    let found = Command::new(program).arg("--version").output().is_ok();
    if !found {
        // Written past the capture of the harness: a skip is never silent.
        let said = format!("SKIPPED: {program} is not installed\n");
        let _ = std::io::stderr().write_all(said.as_bytes());
        let required = std::env::var_os("CLAMPBOOK_SHELLS").is_some();
        assert!(!required, "{said}");
    }
    found
}
