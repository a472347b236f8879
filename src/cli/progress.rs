//! How far a long command is, from its first second on, on a terminal.

use std::io::{self, IsTerminal, Write};
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::sync::{Mutex, PoisonError};
use std::thread;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use crate::cli::globals::Globals;
use crate::cli::interrupt;

/// What is over sooner is not shown.
const PATIENCE: Duration = Duration::from_secs(1);
const TICK: Duration = Duration::from_millis(100);
const WHOLE: f64 = 1000.0;

/// The bar that is on the screen.
static SHOWN: Mutex<Option<ProgressBar>> = Mutex::new(None);

/// Takes the bar from the screen, its line with it.
pub(super) fn clear() {
    if let Some(bar) = SHOWN.lock().unwrap_or_else(PoisonError::into_inner).take() {
        bar.finish_and_clear();
        // Behind it stands what the terminal itself shows of Ctrl-C.
        let _ = io::stderr().write_all(b"\r\x1b[2K");
    }
}

/// A bar on stderr; it goes when it is dropped.
pub(super) struct Progress {
    bar: ProgressBar,
    /// Dropped with the bar: whoever waits to show it need not.
    _ended: Sender<()>,
}

impl Progress {
    /// A command that is `doing` something whose length is not known.
    pub(super) fn spinner(doing: &'static str, globals: &Globals) -> Self {
        Self::begin(ProgressBar::new_spinner(), "{spinner} {msg} {elapsed}", doing, globals)
    }

    /// The same, where it is known how far it is.
    pub(super) fn measured(doing: &'static str, globals: &Globals) -> Self {
        let look = "{msg} [{bar:30}] {percent} %, {prefix}, {elapsed}";
        Self::begin(ProgressBar::new(WHOLE as u64), look, doing, globals)
    }

    fn begin(bar: ProgressBar, look: &str, doing: &'static str, globals: &Globals) -> Self {
        bar.set_draw_target(ProgressDrawTarget::hidden());
        let style = ProgressStyle::with_template(look).expect("the templates above are whole");
        bar.set_style(style.progress_chars("=> "));
        bar.set_message(doing);
        let (ended, end) = channel::<()>();
        if !globals.quiet && io::stderr().is_terminal() {
            let bar = bar.clone();
            thread::spawn(move || {
                if end.recv_timeout(PATIENCE) == Err(RecvTimeoutError::Timeout) {
                    interrupt::watch();
                    *SHOWN.lock().unwrap_or_else(PoisonError::into_inner) = Some(bar.clone());
                    bar.set_draw_target(ProgressDrawTarget::stderr());
                    bar.enable_steady_tick(TICK);
                }
            });
        }
        Self { bar, _ended: ended }
    }

    /// This share is done, 0 to 1, which are so many fasteners.
    pub(super) fn share(&self, share: f64, fasteners: usize) {
        self.bar.set_prefix(format!("{fasteners} fasteners"));
        self.bar.set_position((share.clamp(0.0, 1.0) * WHOLE) as u64);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
