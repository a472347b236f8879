//! Completion, hints and colour while a question is typed.

use std::borrow::Cow;
use std::rc::Rc;

use rustyline::completion::{Completer, Pair};
use rustyline::highlight::{CmdKind, Highlighter};
use rustyline::hint::Hinter;
use rustyline::validate::Validator;
use rustyline::{Context, Helper};

use crate::cli::complete;
use crate::cli::prompt::line::parted;
use crate::cli::words::{Completions, MOST, Offer};
use crate::query::syntax::{Class, tokens};
use crate::record::field_words;

/// What helps at the prompt.
pub(super) struct Assistant {
    pub(super) words: Rc<Completions>,
    program: fn() -> clap::Command,
    colour: bool,
}

impl Assistant {
    pub(super) fn new(
        words: Rc<Completions>,
        program: fn() -> clap::Command,
        colour: bool,
    ) -> Self {
        Self { words, program, colour }
    }

    /// Where the words under the cursor start, and what they may become.
    fn candidates(&self, line: &str) -> (usize, Vec<Offer>) {
        let words = parted(line);
        let Some((last, before)) = words.split_last() else { return (0, Vec::new()) };
        let program = (self.program)();
        let is_command =
            |name: &String| program.get_subcommands().any(|one| one.get_name() == name);
        if !before.first().is_some_and(|first| is_command(&first.text)) {
            return self.words.candidates(line);
        }
        let typed: Vec<String> = words.iter().map(|word| word.text.clone()).collect();
        let found = complete::candidates(program, &typed, &self.words);
        let offer = |text: String| {
            let needs_quotes = text.contains(' ') || last.open.is_some();
            let quoted = if needs_quotes { format!("\"{text}\"") } else { text.clone() };
            Offer { shown: text, text: quoted }
        };
        (last.start, found.into_iter().map(offer).collect())
    }
}

impl Helper for Assistant {}
impl Validator for Assistant {}

impl Completer for Assistant {
    type Candidate = Pair;

    fn complete(
        &self,
        line: &str,
        at: usize,
        _: &Context<'_>,
    ) -> rustyline::Result<(usize, Vec<Pair>)> {
        let (start, mut offers) = self.candidates(&line[..at]);
        let more = offers.len().saturating_sub(MOST);
        offers.truncate(MOST);
        if more > 0 {
            // Put in place of what is typed it changes nothing.
            let typed = line[start..at].to_owned();
            offers.push(Offer { shown: format!("… {more} more: type on"), text: typed });
        }
        let pair = |offer: Offer| Pair { display: offer.shown, replacement: offer.text };
        Ok((start, offers.into_iter().map(pair).collect()))
    }
}

impl Hinter for Assistant {
    type Hint = String;

    /// The rest of the only candidate.
    fn hint(&self, line: &str, at: usize, _: &Context<'_>) -> Option<String> {
        if at < line.len() || line.is_empty() || line.ends_with(' ') {
            return None;
        }
        let (start, candidates) = self.candidates(line);
        let [only] = candidates.as_slice() else { return None };
        only.text
            .get(line.len() - start..)
            .filter(|_| only.shown == only.text)
            .filter(|rest| !rest.is_empty())
            .map(str::to_owned)
    }
}

impl Highlighter for Assistant {
    fn highlight<'l>(&self, line: &'l str, _: usize) -> Cow<'l, str> {
        if !self.colour {
            return Cow::Borrowed(line);
        }
        let (tokens, _) = tokens(line, field_words());
        let mut out = String::with_capacity(line.len() + 64);
        let mut done = 0;
        for token in tokens {
            let (Some(gap), Some(text)) =
                (line.get(done..token.span.start), line.get(token.span.start..token.span.end))
            else {
                return Cow::Borrowed(line);
            };
            out.push_str(gap);
            match colour(&token.class) {
                Some(code) => out.extend(["\u{1b}[", code, "m", text, "\u{1b}[0m"]),
                None => out.push_str(text),
            }
            done = token.span.end;
        }
        out.push_str(line.get(done..).unwrap_or_default());
        Cow::Owned(out)
    }

    fn highlight_hint<'h>(&self, hint: &'h str) -> Cow<'h, str> {
        if self.colour {
            Cow::Owned(format!("\u{1b}[2m{hint}\u{1b}[0m"))
        } else {
            Cow::Borrowed(hint)
        }
    }

    fn highlight_char(&self, _: &str, _: usize, _: CmdKind) -> bool {
        self.colour
    }
}

/// Bold for the words of the language, underlined fields, magenta figures: all
/// of it is legible on black and on white.
fn colour(class: &Class) -> Option<&'static str> {
    match class {
        Class::Keyword(_) | Class::Relation(_) | Class::Operator(_) | Class::Share(_) => Some("1"),
        Class::Field => Some("4"),
        Class::Quantity(_) | Class::Number(_) | Class::Thread(_) | Class::Unit(_) => Some("35"),
        Class::Quoted(_) => Some("3"),
        _ => None,
    }
}
