//! Standard output: straight to a pipe or a file; on a terminal an answer that is
//! longer than the screen goes through a pager.

use std::io::{self, BufWriter, IsTerminal, Write};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::rc::Rc;

use crate::cli::globals::Used;
use crate::cli::settings;
use crate::report;
use crate::store::Book;

/// Quits where all fits, keeps colour, leaves the answer on the screen.
const PAGER: &str = "less -FRX";

/// Standard output, through a pager where the answer is longer than the screen.
pub(super) struct Screen {
    stdout: BufWriter<io::Stdout>,
    /// Lines of the screen; none where nothing is paged.
    rows: Option<usize>,
    /// What waits until it is known whether it fits.
    held: Vec<u8>,
    lines: usize,
    /// It does not fit, and there is no pager.
    is_plain: bool,
    pager: Option<Pager>,
    used: Used,
}

struct Pager {
    child: Child,
    to: BufWriter<ChildStdin>,
}

impl Screen {
    /// Standard output, paged on a terminal if that `may_page`.
    pub(super) fn new(may_page: bool, used: &Used) -> Self {
        let rows = report::terminal_rows().filter(|_| may_page && io::stdout().is_terminal());
        let stdout = BufWriter::new(io::stdout());
        Self {
            stdout,
            rows,
            held: Vec::new(),
            lines: 0,
            is_plain: false,
            pager: None,
            used: Rc::clone(used),
        }
    }

    /// Whether a message has to go the same way: it would stand in the middle of
    /// what the pager shows, or before what still waits.
    pub(super) fn takes_messages(&self) -> bool {
        (self.pager.is_some() || !self.held.is_empty()) && io::stderr().is_terminal()
    }

    /// Shows what was written, and waits until the person has read it.
    pub(super) fn close(&mut self) -> io::Result<()> {
        let held = std::mem::take(&mut self.held);
        (self.lines, self.is_plain) = (0, false);
        let shown = self.stdout.write_all(&held).and_then(|()| self.stdout.flush());
        let Some(Pager { mut child, to }) = self.pager.take() else { return shown };
        // A reader who has seen enough closes the pipe.
        let sent = to.into_inner().map_err(io::IntoInnerError::into_error).map(drop);
        child.wait()?;
        sent
    }

    /// Begins to page; where there is no pager, nothing is.
    fn begin_paging(&mut self) {
        self.is_plain = true;
        if let Some(mut child) = chosen(&self.book_setting()).and_then(start)
            && let Some(stdin) = child.stdin.take()
        {
            self.pager = Some(Pager { child, to: BufWriter::new(stdin) });
        }
    }

    fn book_setting(&self) -> Option<String> {
        let book = Book::open(self.used.get()?).ok()?;
        settings::read(&book, settings::PAGER).map(str::to_owned)
    }
}

impl Write for Screen {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if let Some(pager) = &mut self.pager {
            return pager.to.write(bytes);
        }
        let Some(rows) = self.rows.filter(|_| !self.is_plain) else {
            return self.stdout.write(bytes);
        };
        self.held.extend_from_slice(bytes);
        self.lines += bytes.split(|byte| *byte == b'\n').count() - 1;
        // The prompt of the shell takes a line too.
        if self.lines >= rows {
            let held = std::mem::take(&mut self.held);
            self.begin_paging();
            self.write_all(&held)?;
        }
        Ok(bytes.len())
    }

    /// What waits for the pager still waits.
    fn flush(&mut self) -> io::Result<()> {
        match &mut self.pager {
            Some(pager) => pager.to.flush(),
            None => self.stdout.flush(),
        }
    }
}

fn start(command: String) -> Option<Child> {
    let mut words = command.split_whitespace();
    let mut pager = Command::new(words.next()?);
    pager.args(words).stdin(Stdio::piped());
    // Ctrl-C ends the program, and so the pager; degrees and dots are UTF-8.
    for (name, value) in [("LESS", "K"), ("LESSCHARSET", "utf-8")] {
        if std::env::var_os(name).is_none() {
            pager.env(name, value);
        }
    }
    pager.spawn().ok()
}

/// The pager that the environment or the book names, else the usual one; none if
/// it is an empty word or `cat`.
fn chosen(of_book: &Option<String>) -> Option<String> {
    let of_environment = |name: &str| std::env::var(name).ok();
    let chosen = of_environment("CLAMPBOOK_PAGER")
        .or_else(|| of_environment("PAGER"))
        .or_else(|| of_book.clone())
        .unwrap_or_else(|| PAGER.to_owned());
    Some(chosen).filter(|pager| !matches!(pager.trim(), "" | "cat"))
}
