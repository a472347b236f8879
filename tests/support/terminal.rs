//! The program at a pseudo-terminal, which `script` (util-linux) gives: what is typed
//! is sent byte by byte, as a person's keys would be.
//!
//! The program is started with SIGINT as it is by default (`env` of coreutils): where
//! tests run in the background of a shell it is ignored, and Ctrl-C would do nothing.

#![allow(dead_code)] // each group uses its part

use std::io::{Read, Write};
use std::path::Path;
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::thread;
use std::time::{Duration, Instant};

/// The prompt of the program.
pub(crate) const PROMPT: &str = "clampbook> ";
pub(crate) const CTRL_C: &str = "\u{3}";
pub(crate) const CTRL_D: &str = "\u{4}";
pub(crate) const UP: &str = "\u{1b}[A";

/// Longest wait for what a busy machine answers; after it a test fails and says what
/// it waited for.
const PATIENCE: Duration = Duration::from_mins(1);

/// clampbook at a terminal.
pub(crate) struct Terminal {
    child: Child,
    keys: Option<ChildStdin>,
    shown: Receiver<Vec<u8>>,
    /// All that was shown.
    text: String,
    /// How much of it was waited for.
    seen: usize,
}

impl Terminal {
    /// The program in `home` with `arguments`, and `set` in its environment.
    pub(crate) fn open(home: &Path, arguments: &str, set: &[(&str, &str)]) -> Self {
        Self::run(home, &format!("{} {arguments}", env!("CARGO_BIN_EXE_clampbook")), set)
    }

    /// Any program, with clampbook in its path, at a terminal of 100 columns and no
    /// height.
    pub(crate) fn run(home: &Path, program: &str, set: &[(&str, &str)]) -> Self {
        let line = format!("exec env --default-signal=INT {program}");
        let folder = Path::new(env!("CARGO_BIN_EXE_clampbook")).parent().expect("its folder");
        let path = std::env::var("PATH").unwrap_or_default();
        let mut child = Command::new("script")
            .args(["-qefc", &line, "/dev/null"])
            .current_dir(home)
            .env("HOME", home)
            .env("XDG_DATA_HOME", home.join("data"))
            .env("XDG_STATE_HOME", home.join("state"))
            .env("TERM", "xterm")
            .env("COLUMNS", "100")
            .env("PATH", format!("{}:{path}", folder.display()))
            .env_remove("PAGER")
            .env_remove("CLAMPBOOK_PAGER")
            .env_remove("CLAMPBOOK_DIR")
            .env_remove("NO_COLOR")
            .envs(set.iter().copied())
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
        Self { child, keys, shown, text: String::new(), seen: 0 }
    }

    pub(crate) fn keys(&mut self, keys: &str) {
        let stdin = self.keys.as_mut().expect("a terminal");
        stdin.write_all(keys.as_bytes()).expect("keys");
        stdin.flush().expect("keys");
    }

    /// Waits until `wanted` is shown; what was shown up to its end and not waited for
    /// before.
    pub(crate) fn wait(&mut self, wanted: &str) -> String {
        let began = Instant::now();
        loop {
            if let Some(at) = self.text[self.seen..].find(wanted) {
                let from = self.seen;
                self.seen += at + wanted.len();
                return self.text[from..self.seen].to_owned();
            }
            assert!(began.elapsed() < PATIENCE, "no {wanted:?} in {:?}", self.text);
            if let Ok(bytes) = self.shown.recv_timeout(Duration::from_millis(200)) {
                self.text += &String::from_utf8_lossy(&bytes);
            }
        }
    }

    /// Waits until one of `wanted` is shown; which one was first.
    pub(crate) fn first<'w>(&mut self, wanted: &[&'w str]) -> &'w str {
        let began = Instant::now();
        loop {
            let shown = &self.text[self.seen..];
            let found = wanted.iter().filter_map(|one| shown.find(one).map(|at| (at, *one)));
            if let Some((_, one)) = found.min() {
                return one;
            }
            assert!(began.elapsed() < PATIENCE, "none of {wanted:?} in {:?}", self.text);
            if let Ok(bytes) = self.shown.recv_timeout(Duration::from_millis(200)) {
                self.text += &String::from_utf8_lossy(&bytes);
            }
        }
    }

    /// Types a line and waits for its answer and the next prompt.
    pub(crate) fn line(&mut self, line: &str, wanted: &str) -> String {
        self.keys(line);
        self.keys("\r");
        let answer = self.wait(wanted);
        self.wait(PROMPT);
        answer
    }

    /// Ctrl-D at the prompt; the exit code.
    pub(crate) fn leave(mut self) -> Option<i32> {
        self.keys(CTRL_D);
        self.end().0
    }

    /// Waits for the end: the exit code, and all that was shown.
    pub(crate) fn end(mut self) -> (Option<i32>, String) {
        let began = Instant::now();
        while let Ok(bytes) = self.shown.recv_timeout(PATIENCE) {
            self.text += &String::from_utf8_lossy(&bytes);
        }
        loop {
            if let Some(status) = self.child.try_wait().expect("a child") {
                return (status.code(), std::mem::take(&mut self.text));
            }
            assert!(began.elapsed() < PATIENCE, "it does not end: {:?}", self.text);
            thread::sleep(Duration::from_millis(20));
        }
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

/// Whether there is a terminal to be had; says so if not.
pub(crate) fn is_installed() -> bool {
    has("script")
}

/// Whether this machine has `program`; says so if not, and fails where the gate has
/// installed it.
pub(crate) fn has(program: &str) -> bool {
    let found = Command::new(program).arg("--version").output().is_ok();
    if !found {
        // Written past the capture of the harness: a skip is never silent.
        let skipped = format!("SKIPPED: {program} is not installed\n");
        let _ = std::io::Write::write_all(&mut std::io::stderr(), skipped.as_bytes());
        assert!(std::env::var_os("CLAMPBOOK_SHELLS").is_none(), "{skipped}");
    }
    found
}
