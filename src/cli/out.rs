//! Where answers and messages go, and how they may be drawn.

use std::io::{self, IsTerminal, Write};

use crate::cli::exit::{Code, Failure};
use crate::cli::globals::{Color, Format, Globals};
use crate::cli::open;
use crate::cli::screen::Screen;
use crate::report::{self, Canvas, Page, Style};
use crate::store::has_stored;
use crate::text::for_people;

/// Widest table drawn, however wide the terminal.
const WIDEST_DRAWN: usize = 200;
/// Width where there is no terminal to ask.
const IN_A_PIPE: usize = 140;

/// The two streams with what is known of the terminal.
pub(super) struct Out {
    screen: Screen,
    pub format: Format,
    pub width: usize,
    /// Colour on stdout.
    pub style: Style,
    /// JSON on one line: one answer of many.
    pub one_line: bool,
    error_style: Style,
    quiet: bool,
    broken: Option<io::Error>,
}

impl Out {
    pub(super) fn new(globals: &Globals) -> Self {
        let colour = |is_terminal: bool| match globals.color {
            Color::Always => true,
            Color::Never => false,
            Color::Auto => is_terminal && allows_colour(),
        };
        Self {
            screen: Screen::new(!globals.no_pager && is_clever(), &globals.used),
            format: globals.format,
            width: width(),
            style: Style::new(colour(io::stdout().is_terminal())),
            one_line: globals.one_line,
            error_style: Style::new(colour(io::stderr().is_terminal())),
            quiet: globals.quiet,
            broken: None,
        }
    }

    pub(super) fn answer(&mut self, text: &str) {
        if self.format.is_for_people() {
            self.data(&report::folded(&for_people(text, self.style.is_coloured()), self.width));
        } else {
            self.data(text);
        }
    }

    /// Writes what a program reads, as it is, with a line end after it.
    pub(super) fn data(&mut self, text: &str) {
        if self.broken.is_none()
            && let Err(error) = writeln!(self.screen, "{}", text.trim_end_matches('\n'))
        {
            self.broken = Some(error);
        }
    }

    /// Writes a page in the format asked for; what CSV has no column for is said
    /// beside it.
    pub(super) fn page(&mut self, page: &Page<'_>) {
        if self.broken.is_none() {
            let canvas = Canvas { width: self.width, style: self.style, one_line: self.one_line };
            self.broken = report::render(page, self.format, canvas, &mut self.screen).err();
        }
        let canvas = Canvas { width: self.width, style: self.error_style, one_line: true };
        let beside = report::beside(page, self.format, canvas);
        if !beside.is_empty() {
            self.say(&beside);
        }
    }

    /// Where a long answer is written as it is formed.
    pub(super) fn stdout(&mut self) -> &mut dyn Write {
        &mut self.screen
    }

    /// Keeps a failure of stdout for the end.
    pub(super) fn keep(&mut self, written: io::Result<()>) {
        if let Err(error) = written {
            self.broken.get_or_insert(error);
        }
    }

    pub(super) fn is_broken(&self) -> bool {
        self.broken.is_some()
    }

    /// Shows what was written; a failure is kept for the end.
    pub(super) fn show(&mut self) {
        if let Err(error) = self.screen.close() {
            self.broken.get_or_insert(error);
        }
    }

    pub(super) fn measure(&mut self) {
        self.width = width();
    }

    /// Writes a message to the person, unless `--quiet`.
    pub(super) fn say(&mut self, text: &str) {
        if !self.quiet {
            self.complain(text);
        }
    }

    /// How a list of `count` ends; with nothing in it `none` is said.
    pub(super) fn ended(&mut self, count: usize, none: &str) -> Code {
        if count > 0 {
            return Code::Answered;
        }
        self.say(none);
        Code::Nothing
    }

    /// Says that what a person named is not there.
    pub(super) fn not_there(&mut self, words: &str) -> Code {
        self.complain(&format!("error: {words}"));
        Code::Nothing
    }

    /// Writes an error: never silenced. Nobody is left to tell if it fails.
    pub(super) fn complain(&mut self, text: &str) {
        self.complain_drawn(&self.folded(text));
    }

    /// The same of what is as wide as it may be.
    fn complain_drawn(&mut self, text: &str) {
        let text = for_people(text.trim_end_matches('\n'), self.error_style.is_coloured());
        if self.screen.takes_messages() {
            let _ = writeln!(self.screen, "{text}");
            return;
        }
        let _ = self.screen.flush();
        let _ = writeln!(io::stderr(), "{text}");
    }

    /// Shows what is above the line that a person ends; the beginning of that line.
    pub(super) fn begin(&mut self, text: &str) -> String {
        self.show();
        let folded = self.folded(text);
        let text = for_people(&folded, self.error_style.is_coloured());
        let (above, line) = text.rsplit_once('\n').unwrap_or(("", &text));
        if !above.is_empty() {
            let _ = writeln!(io::stderr(), "{above}");
        }
        // A blank at the end is folded away.
        format!("{} ", line.trim_end())
    }

    /// Text in lines that a terminal does not break; a pipe gets it as it is.
    fn folded(&self, text: &str) -> String {
        let width = if io::stderr().is_terminal() { self.width } else { usize::MAX };
        report::folded(text, width)
    }

    pub(super) fn failure(&mut self, failure: &Failure) -> Code {
        let text = match failure {
            Failure::Question { text, diagnostic } => {
                let text = report::draw(diagnostic, text, "question", self.width, self.error_style);
                self.complain_drawn(&text);
                return failure.code();
            }
            Failure::Declined | Failure::Interrupted => "nothing was changed".to_owned(),
            Failure::Argument(message) | Failure::Input(message) => format!("error: {message}"),
            Failure::Book(error) if error.is_stored() => error.to_string(),
            Failure::Book(error) if error.is_absent() => format!("error: {error}{}", open::NEXT),
            Failure::Book(error) => format!("error: {error}"),
            Failure::Output(error) => format!("error: output cannot be written: {error}"),
            Failure::Other(error) => format!("error: {error:#}"),
        };
        match failure.code() {
            // What failed came after the change: made again it would be there twice.
            Code::Unusable if has_stored() => {
                self.complain(&format!("stored; but {}", text.trim_start_matches("error: ")));
                Code::StoredBut
            }
            code => {
                self.complain(&text);
                code
            }
        }
    }

    /// Ends: a closed pipe quietly with the code of the work, a full device with 4,
    /// or 5 if something was stored.
    pub(super) fn finish(mut self, code: Code) -> Code {
        let shown = self.screen.close();
        match self.broken.take().or(shown.err()) {
            None => code,
            Some(error) if error.kind() == io::ErrorKind::BrokenPipe => code,
            Some(error) => self.failure(&error.into()),
        }
    }
}

/// Says something where no streams are at hand, unless `--quiet`.
pub(super) fn note(globals: &Globals, text: &str) {
    if !globals.quiet {
        let _ = writeln!(io::stderr(), "{}", for_people(text, false));
    }
}

/// What clap says of wrong arguments, in lines of the terminal.
pub(super) fn shown_error(error: &clap::Error) -> (String, bool) {
    let is_coloured = io::stderr().is_terminal() && allows_colour();
    let text = error.render();
    let text = if is_coloured { text.ansi().to_string() } else { text.to_string() };
    let width = if io::stderr().is_terminal() { width() } else { usize::MAX };
    (report::folded(&text, width), is_coloured)
}

fn width() -> usize {
    let set = std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
    set.or_else(report::terminal_width).unwrap_or(IN_A_PIPE).clamp(20, WIDEST_DRAWN)
}

/// `NO_COLOR` (any value but empty) and dumb terminals have no colour.
fn allows_colour() -> bool {
    std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty()) && is_clever()
}

fn is_clever() -> bool {
    std::env::var_os("TERM").is_none_or(|term| term != "dumb")
}
