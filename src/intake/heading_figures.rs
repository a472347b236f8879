//! A heading of figures taken apart word by word.

use crate::intake::cells::strength_named;
use crate::intake::header::{Column, Heading, Weight, is_of_torque, is_thread, says_torque};
use crate::intake::heading_parts::{nearly_lube, units_spelled};
use crate::intake::lube_words::RECEIVED;
use crate::intake::names::Names;
use crate::intake::words::{
    FILLER, HIGH, LIMIT, LOW, OLD, ordinal, plain_words, running_letter, says_steps, step_words,
    without_accents,
};
use crate::quantity::{PER_CENT, Unit};
use crate::record::{LubeClass, find_field};
use crate::text::Plain;

/// What says, alone or beside a unit, that the figures below it are those of another day.
#[rustfmt::skip] // words of five languages, side by side
const PAST: &[&str] = &[
    "before", "as found", "last time", "last year", "last figure", "last value", "used to be", "earlier", "formerly", "until now",
    "vorher", "zuletzt", "bislang", "letztes mal", "la derniere fois", "antes", "la ultima vez", "l ultima volta", "tidigare",
];

/// A heading of figures taken apart word by word: `Torque dry Nm`, `Min Nm`,
/// `Grade 8 oiled (ft-lb)`, `Step 2`.
#[derive(Default)]
#[allow(clippy::struct_excessive_bools)] // each is one word that a heading may have
pub(crate) struct Peeled {
    units: Vec<&'static Unit>,
    lube: Option<String>,
    strength: Option<String>,
    thread: Option<String>,
    low: bool,
    high: bool,
    limit: bool,
    step: Option<u32>,
    /// The step has a letter for its number, which says little alone.
    is_lettered: bool,
    says_torque: bool,
    is_old: bool,
    /// `Before`, `as found`: old too where nothing else is said, as in `before turning`.
    is_past: bool,
    per_cent: bool,
    left: Vec<String>,
}

impl Peeled {
    pub(crate) fn peel(text: &str, names: &Names) -> Self {
        let plain = Plain::new(text);
        let bare = plain.as_str().replace(['(', ')', '[', ']', ',', ';', ':', '_', '|'], " ");
        let words: Vec<&str> = bare.split_whitespace().collect();
        let mut peeled = Self::default();
        let mut at = 0;
        while at < words.len() {
            at += peeled.take(&words, at, names);
        }
        if peeled.per_cent {
            peeled.units = vec![PER_CENT];
        }
        peeled
    }

    /// Takes what starts at word `at`; how many words it is.
    fn take(&mut self, words: &[&str], at: usize, names: &Names) -> usize {
        let most = words.len() - at;
        for length in (1..=most.min(4)).rev() {
            if self.phrase(&words[at..at + length].join(" "), names) {
                return length;
            }
        }
        if let Some(length) = self.step(&words[at..]) {
            return length;
        }
        self.word(words[at], at == 0 || at + 1 == words.len());
        1
    }

    fn phrase(&mut self, phrase: &str, names: &Names) -> bool {
        let is_degrees = |units: &[&Unit]| units.iter().all(|unit| unit.symbol == "°");
        let fits = |units: &Vec<&'static Unit>| is_of_torque(units) || is_degrees(units);
        if let Some(units) = units_spelled(phrase).filter(fits) {
            self.units.extend(units);
        } else if let Some(lube) = names.lube_said(phrase).filter(|_| self.lube.is_none()) {
            self.lube = Some(lube.name.clone());
        } else if let Some(name) = strength_named(phrase, names).filter(|_| self.strength.is_none())
        {
            self.strength = Some(name);
        } else if is_thread(phrase) && self.thread.is_none() {
            self.thread = Some(phrase.to_owned());
        } else if PAST.contains(&plain_words(phrase).as_str()) {
            self.is_past = true;
        } else {
            return false;
        }
        true
    }

    /// `Step 2`, `2. Stufe`, `1st pass`, `2nd`; `Stage B`, `Step II`.
    fn step(&mut self, words: &[&str]) -> Option<usize> {
        let plain = |at: usize| words.get(at).map(|word| plain_words(word));
        let number = |word: &str| -> Option<u32> {
            ordinal(word).or_else(|| word.parse().ok()).filter(|number| (1..=20).contains(number))
        };
        let is_step = |word: &str| GO.contains(&word) || step_words().any(|step| step == word);
        let (first, second) = (plain(0)?, plain(1));
        // `Stage-B` is two words in one.
        let (first, second, both) = match first.split_once(' ') {
            Some((first, second)) => (first, Some(second), 1),
            None => (first.as_str(), second.as_deref(), 2),
        };
        // `Paso a paso` is no step of that letter; phases are lettered in electric drives.
        let is_alone = || plain(both).is_none_or(|next| !is_step(&next));
        let lettered = |word: &str| {
            running_letter(word).filter(|_| is_step(first) && first != "phase" && is_alone())
        };
        let (found, length) = match second {
            Some(second) if is_step(first) || says_steps(first) => {
                let found = number(second).or_else(|| {
                    self.is_lettered = lettered(second).is_some();
                    lettered(second)
                });
                (found?, both)
            }
            Some(second) if is_step(second) => (number(first)?, both),
            _ if is_step(first.trim_end_matches(|c: char| c.is_ascii_digit())) => {
                (number(first.trim_start_matches(|c: char| !c.is_ascii_digit()))?, 1)
            }
            _ if first.parse::<u32>().is_err() => (number(first)?, 1),
            _ => return None,
        };
        self.step = Some(found);
        Some(length)
    }

    fn word(&mut self, word: &str, is_outer: bool) {
        let folded = without_accents(&word.to_lowercase());
        let folded = folded.trim_matches(['.', '-', '/', '=', '–']);
        let small = matches!(folded, "from" | "to" | "de" | "a" | "da" | "up to");
        if folded == "%" {
            self.per_cent = true;
        } else if OLD.contains(&folded) {
            self.is_old = true;
        } else if LOW.contains(&folded) && (is_outer || !small) {
            self.low = true;
        } else if HIGH.contains(&folded) && (is_outer || !small) {
            self.high = true;
        } else if LIMIT.contains(&folded) {
            self.limit = true;
        } else if says_torque(folded) {
            self.says_torque = true;
        } else if let Some(end) = [LOW, HIGH, LIMIT].iter().position(|one| leads(one, folded)) {
            // `Mindestmoment`, `Grenzmoment`.
            self.says_torque = true;
            (self.low, self.high) = (end == 0, end > 0);
        } else if !folded.is_empty() && !FILLER.contains(&folded) {
            self.left.push(word.to_owned());
        }
    }

    /// A torque for bolts as they come: its lube is not named.
    fn as_received(&self) -> Option<Column> {
        let left = self.left.join(" ").to_lowercase();
        let is_so = self.lube.is_none() && RECEIVED.contains(&left.as_str());
        is_so.then(|| Column::TorqueFor(format!("threads {left}")))
    }

    /// Words left over that say the step, or only that there are steps.
    fn label_of_step(&mut self) {
        // `Pass 1 30%` labels the step; its cells are in what they say.
        if self.step.is_some() {
            self.left
                .retain(|word| word.strip_suffix('%').is_none_or(|n| n.parse::<f64>().is_err()));
        }
        // `2nd go`, where `go` alone says nothing of steps.
        if self.step.is_some() {
            self.left.retain(|word| !GOES.contains(&plain_words(word).as_str()));
        }
        // `Tightening in stages, final value`.
        if self.says_torque && self.step.is_none() {
            self.left.retain(|word| !says_steps(&plain_words(word)));
        }
        // `Torque 1` is a step as `Step 1` is.
        if let [number] = self.left.as_slice()
            && self.says_torque
            && self.step.is_none()
            && let Some(step) =
                number.trim_end_matches('.').parse().ok().filter(|step| (1..10).contains(step))
        {
            (self.step, self.left) = (Some(step), Vec::new());
        }
    }

    /// The heading, if it is one of figures.
    pub(crate) fn heading(mut self, text: &str, names: &Names) -> Option<Heading> {
        self.label_of_step();
        if !is_of_torque(&self.units) {
            self.step?;
        }
        let torque = find_field("torque")?;
        let has_unit = !self.units.is_empty();
        let says = has_unit || self.says_torque;
        let class = self.lube.as_ref().and_then(|lube| names.lube(lube)).map(|lube| lube.class);
        let is_condition = matches!(class, Some(LubeClass::Dry | LubeClass::Wet));
        let named = self.strength.is_some() || self.thread.is_some();
        let is_whole = self.left.is_empty();
        if self.is_old && (says || is_whole) || self.is_past && is_whole {
            let column = Column::Kept("the heading says that it no longer holds");
            return Some(Heading { weight: Weight::Strong, ..Heading::plain(text, column) });
        }
        self.high |= self.limit && !self.low;
        let is_head = match is_whole {
            true => says || self.step.is_some() || is_condition || named || self.low || self.high,
            false => has_unit,
        };
        // `65 lb-ft` is a figure.
        let is_figure = self.left.iter().any(|word| word.starts_with(|c: char| c.is_ascii_digit()));
        if !is_head || is_figure || (!is_whole && nearly_lube(text, names).is_some()) {
            return None;
        }
        if let Some(column) = self.as_received().filter(|_| says) {
            let units = self.units;
            return Some(Heading { units, weight: Weight::Strong, ..Heading::plain(text, column) });
        }
        let column = match (self.step, &self.lube) {
            (Some(step), _) => Column::Pass(step),
            _ if self.low && !self.high => Column::Low(torque),
            _ if self.high && !self.low => Column::High(torque),
            (None, Some(lube)) => Column::TorqueFor(lube.clone()),
            (None, None) => Column::Field(torque),
        };
        let given = match (self.strength, self.thread) {
            (Some(strength), _) => Some(("strength", strength)),
            (None, Some(thread)) => Some(("thread", thread)),
            _ if !is_whole => Some(("joint", self.left.join(" "))),
            _ => None,
        };
        let is_strong =
            self.says_torque || self.step.is_some() || (has_unit && self.lube.is_some());
        let is_strong = is_strong && !self.is_lettered;
        let weight = if is_strong && is_whole { Weight::Strong } else { Weight::Weak };
        Some(Heading { units: self.units, given, weight, ..Heading::plain(text, column) })
    }
}

/// Words that say a step with a number on either side.
const GO: &[&str] = &["pull", "go", "lap", "tour"];

/// Words that say a step behind its number alone.
#[rustfmt::skip] // words of five languages, side by side
const GOES: &[&str] = &[
    "go", "time", "lap", "run", "hit", "nip", "bite", "tightening", "setting", "mal", "gang", "anzug", "tour", "fois", "serrage",
    "vuelta", "vez", "apriete", "giro", "volta", "giri", "tirata", "serraggio",
];

/// Whether one of `ends` leads a word that says torque.
fn leads(ends: &[&str], word: &str) -> bool {
    const SHORTEST: usize = 3;
    let leads = |end: &&str| word.strip_prefix(*end).is_some_and(says_torque);
    ends.iter().filter(|end| end.len() >= SHORTEST).any(leads)
}
