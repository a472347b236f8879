//! How far a long command is, from its first second on, on a terminal.

use std::io::{self, IsTerminal};
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::thread;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use crate::cli::globals::Globals;

/// What is over sooner is not shown.
const PATIENCE: Duration = Duration::from_secs(1);
const TICK: Duration = Duration::from_millis(100);
const WHOLE: f64 = 1000.0;

/// A bar on stderr; it goes when it is dropped.
pub(super) struct Progress {
    bar: ProgressBar,
    /// Dropped with the bar: whoever waits to show it need not.
    _ended: Sender<()>,
}

impl Progress {
    /// A command that is `doing` something whose length is not known.
    pub(super) fn of(doing: &'static str, globals: &Globals) -> Self {
        Self::begin(ProgressBar::new_spinner(), "{spinner} {msg} {elapsed}", doing, globals)
    }

    /// The same, where it is known how far it is.
    pub(super) fn measured(doing: &'static str, globals: &Globals) -> Self {
        let look = "{msg} [{bar:40}] {percent} % {elapsed}";
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
                    bar.set_draw_target(ProgressDrawTarget::stderr());
                    bar.enable_steady_tick(TICK);
                }
            });
        }
        Self { bar, _ended: ended }
    }

    /// This share is done, 0 to 1.
    pub(super) fn share(&self, share: f64) {
        self.bar.set_position((share.clamp(0.0, 1.0) * WHOLE) as u64);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
