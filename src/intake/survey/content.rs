//! What the cells of a column look like, counted.

use std::collections::HashMap;

use crate::intake::cells::{
    counted, says_ditto, says_nothing, strength_named, take_unit_spelled, turn_at, unit_spelled,
};
use crate::intake::header::is_thread;
use crate::intake::names::Names;
use crate::intake::row_parts::without_thousands;
use crate::intake::words::{SERIES, THEN, plain_words, says_steps};
use crate::quantity::Dimension;
use crate::text::Plain;

/// What the text of a cell may look like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Look {
    Thread,
    /// A thread that begins with an M.
    Metric,
    /// It is a thread, or ends in one.
    EndsInThread,
    /// A word for the series of a thread: `UNC`, `fine`.
    Series,
    /// A unit of torque alone.
    Unit,
    Figure,
    /// A figure of torque with its unit.
    Torque,
    /// A turn that goes on after a torque: `+90°`, `1/4 turn`; any figure in degrees.
    Turn,
    Degrees,
    /// Steps of a tightening: `25 / 50 / 70`, `3 equal steps`.
    Steps,
    /// Steps that can be nothing else: `1/3, 2/3, full`, `20-40-65`.
    Passes,
    /// A number and nothing else.
    Bare,
    /// A grade of inch bolts by its number alone.
    InchGrade,
    Strength,
    Lube,
    Words,
    Tick,
    /// `62,5`
    Comma,
    /// `62.5`
    Point,
    /// `4.200` and `4,200`, which may be of thousands.
    ByPoint,
    ByComma,
    /// A date such as `25/12/2019`.
    DayFirst,
    /// A date such as `12/25/2019`.
    MonthFirst,
}

/// How many looks there are.
const LOOKS: usize = Look::MonthFirst as usize + 1;

/// What one text looks like.
#[derive(Debug, Default)]
struct Looks {
    /// It stands for the cell above.
    is_ditto: bool,
    is_filled: bool,
    each: Vec<Look>,
    /// The whole number that it is.
    number: Option<u32>,
    /// The number that it is.
    figure: Option<f64>,
}

/// The texts of a sheet that were looked at, each once.
pub(crate) struct Seen<'a> {
    names: &'a Names<'a>,
    texts: HashMap<&'a str, Looks>,
}

impl<'a> Seen<'a> {
    pub(crate) fn new(names: &'a Names<'a>) -> Self {
        Self { names, texts: HashMap::new() }
    }
}

impl Looks {
    fn new(cell: &str, names: &Names) -> Self {
        let is_ditto = says_ditto(cell);
        if says_nothing(cell) || is_ditto || cell.len() > 200 {
            return Self { is_ditto, ..Self::default() };
        }
        let plain = Plain::new(cell);
        let text = plain.as_str().trim();
        let is_thread = starts_with_thread(text);
        let unit = unit_spelled(text).map(|(unit, _)| unit.dimension);
        let [day_first, month_first] = order_of_date(text);
        let looks = [
            (Look::Thread, is_thread),
            (Look::Metric, is_thread && text.starts_with(['M', 'm'])),
            (Look::EndsInThread, is_thread || ends_in_thread(text)),
            (Look::Series, is_series(&plain_words(text))),
            (Look::Unit, unit == Some(Dimension::Torque)),
            (Look::Figure, is_figure(text)),
            (Look::Torque, says_torque(text)),
            (Look::Turn, is_turn(text)),
            (Look::Degrees, text.contains('°') && turn_of(text).is_some()),
            (Look::Steps, is_steps(text) || are_passes(text)),
            (Look::Passes, !is_thread && are_passes(text)),
            (Look::Bare, bare_number(text).is_some()),
            (Look::InchGrade, matches!(text, "2" | "5" | "8")),
            (Look::Strength, strength_named(text, names).is_some() || is_grade(text)),
            (Look::Lube, names.lube_said(text).is_some()),
            (Look::Words, text.chars().filter(|c| c.is_alphabetic()).count() > 2),
            (Look::Tick, is_tick(text)),
            (Look::Comma, has_decimals(text, ',')),
            (Look::Point, has_decimals(text, '.')),
            (Look::ByPoint, without_thousands(text, '.').is_some()),
            (Look::ByComma, without_thousands(text, ',').is_some()),
            (Look::DayFirst, day_first),
            (Look::MonthFirst, month_first),
        ];
        let looks = looks.into_iter().filter(|(_, has_it)| *has_it).map(|(look, _)| look);
        let (number, figure) = (text.parse().ok(), bare_number(text));
        Self { is_ditto, is_filled: true, each: looks.collect(), number, figure }
    }
}

/// Cells of one column, counted by what they look like.
#[derive(Debug, Clone, Default)]
pub(crate) struct Content {
    pub(crate) filled: usize,
    counts: [usize; LOOKS],
    /// A cell of it stands for the one above.
    pub(crate) has_dittos: bool,
    /// Whole numbers, and how many of them rise as the first two do.
    whole: usize,
    counting: usize,
    last: Option<u32>,
    step: u32,
    /// The smallest and the largest of its numbers.
    pub(crate) ends: Option<(f64, f64)>,
    pub(crate) examples: Vec<String>,
}

/// Cells shown of a column.
const EXAMPLES: usize = 3;

impl Content {
    pub(crate) fn see<'a>(&mut self, cell: &'a str, seen: &mut Seen<'a>) {
        let text = seen.texts.entry(cell).or_insert_with(|| Looks::new(cell, seen.names));
        self.has_dittos |= text.is_ditto;
        if !text.is_filled {
            return;
        }
        self.filled += 1;
        if self.examples.len() < EXAMPLES && !self.examples.iter().any(|known| known == cell) {
            self.examples.push(cell.to_owned());
        }
        for look in &text.each {
            self.counts[*look as usize] += 1;
        }
        self.whole += usize::from(text.number.is_some());
        if let Some(figure) = text.figure {
            let (least, most) = self.ends.unwrap_or((figure, figure));
            self.ends = Some((least.min(figure), most.max(figure)));
        }
        if let (Some(last), Some(number)) = (self.last, text.number) {
            let step = number.saturating_sub(last);
            // 1, 2, 3; 101, 102; 10, 20, 30: not 4, 6, 8.
            let counts = step == 1 || step % 5 == 0 && step == last;
            self.step = if self.counting == 0 && counts { step } else { self.step };
            self.counting += usize::from(step == self.step && step > 0);
        }
        self.last = text.number;
    }

    /// How many cells look so.
    pub(crate) fn count(&self, look: Look) -> usize {
        self.counts[look as usize]
    }

    /// The part of the filled cells that looks so.
    fn share(&self, look: Look) -> f64 {
        self.part(self.count(look))
    }

    fn part(&self, count: usize) -> f64 {
        if self.filled == 0 { 0.0 } else { count as f64 / self.filled as f64 }
    }

    pub(crate) fn are_threads(&self) -> bool {
        self.share(Look::Thread) >= 0.6
    }

    pub(crate) fn are_no_threads(&self) -> bool {
        self.filled > 0 && self.share(Look::Thread) < 0.3
    }

    pub(crate) fn end_in_threads(&self) -> bool {
        self.share(Look::EndsInThread) >= 0.6
    }

    /// All threads of it are metric; all are of inches.
    pub(crate) fn are_metric(&self) -> bool {
        self.count(Look::Thread) > 0 && self.count(Look::Metric) == self.count(Look::Thread)
    }

    pub(crate) fn are_of_inches(&self) -> bool {
        self.count(Look::Thread) > 0 && self.count(Look::Metric) == 0
    }

    pub(crate) fn are_series(&self) -> bool {
        self.share(Look::Series) >= 0.8
    }

    pub(crate) fn are_torques(&self) -> bool {
        self.share(Look::Torque) >= 0.6
    }

    pub(crate) fn have_turns(&self) -> bool {
        self.count(Look::Turn) > 0
    }

    /// Figures in degrees, or turns.
    pub(crate) fn are_angles(&self) -> bool {
        self.part(self.count(Look::Turn) + self.count(Look::Degrees)) >= 0.6
    }

    pub(crate) fn are_steps(&self) -> bool {
        self.share(Look::Steps) >= 0.5
    }

    /// Hardly anything but steps of a tightening, half of which can be nothing else.
    pub(crate) fn are_passes(&self) -> bool {
        self.share(Look::Passes) >= 0.5 && self.share(Look::Steps) >= 0.8
    }

    /// Numbers with neither unit nor word.
    pub(crate) fn are_bare(&self) -> bool {
        self.share(Look::Bare) >= 0.8
    }

    /// Nothing but 2, 5 and 8, which are grades of inch bolts.
    pub(crate) fn are_inch_grades(&self) -> bool {
        self.filled > 0 && self.count(Look::InchGrade) == self.filled
    }

    pub(crate) fn are_ticks(&self) -> bool {
        self.filled > 0 && self.count(Look::Tick) == self.filled
    }

    pub(crate) fn are_units(&self) -> bool {
        self.share(Look::Unit) >= 0.6
    }

    pub(crate) fn are_figures(&self) -> bool {
        self.share(Look::Figure) >= 0.6
    }

    /// Hardly a figure among them.
    pub(crate) fn are_no_figures(&self) -> bool {
        self.filled > 0 && self.share(Look::Figure) < 0.2
    }

    pub(crate) fn are_strengths(&self) -> bool {
        self.share(Look::Strength) >= 0.5
    }

    /// Grades by their names; a bare 8 or 10 may be anything.
    pub(crate) fn are_named_strengths(&self) -> bool {
        self.are_strengths() && self.part(self.whole) < 0.5
    }

    pub(crate) fn are_no_strengths(&self) -> bool {
        self.filled > 0 && self.share(Look::Strength) < 0.2
    }

    pub(crate) fn are_lubes(&self) -> bool {
        self.share(Look::Lube) >= 0.5
    }

    pub(crate) fn are_no_lubes(&self) -> bool {
        self.filled > 0 && self.count(Look::Lube) == 0
    }

    pub(crate) fn are_whole(&self) -> bool {
        self.filled > 0 && self.whole == self.filled
    }

    pub(crate) fn are_words(&self) -> bool {
        self.share(Look::Words) >= 0.6
    }

    pub(crate) fn count_rows(&self) -> bool {
        self.filled >= 2 && self.counting + 1 == self.filled
    }
}

/// Whether a word completes a size in the column beside it.
fn is_series(word: &str) -> bool {
    SERIES.contains(&word) || ["coarse", "fine", "metric", "m", "mf"].contains(&word)
}

/// Whether the day of a date, or its month, is seen to stand first.
fn order_of_date(text: &str) -> [bool; 2] {
    let numbers = text.split(['/', '-']).map(|number| number.parse::<u16>().unwrap_or(0));
    match numbers.collect::<Vec<_>>()[..] {
        [first, second, 1000..=9999] => [first > 12, second > 12],
        _ => [false; 2],
    }
}

/// A number with at most a unit, a range, a sign or a mark around it.
fn is_figure(text: &str) -> bool {
    let starts = text.trim_start_matches(['<', '≤', '~', '=', '+', ' ']);
    let bare = ["max", "min", "not over", "ca.", "ca", "approx", "about", "up to"]
        .iter()
        .find_map(|word| starts.to_lowercase().strip_prefix(word).map(str::len))
        .map_or(starts, |rest| &starts[starts.len() - rest..]);
    let bare = bare.trim_start_matches(['.', ' ']);
    bare.starts_with(|c: char| c.is_ascii_digit()) && !is_thread(text)
}

fn is_grade(text: &str) -> bool {
    matches!(text, "5" | "8" | "10" | "2" | "12" | "4" | "6")
}

fn is_tick(text: &str) -> bool {
    matches!(
        plain_words(text).as_str(),
        "x" | "xx" | "yes" | "y" | "ja" | "j" | "oui" | "si" | "o" | "ok"
    ) || matches!(text, "✓" | "✔" | "☑" | "☒" | "•" | "*")
}

/// Whether the last word of a text is a thread: `Pulley 7/16-14`.
fn ends_in_thread(text: &str) -> bool {
    // `Hex screw M12x1.75x40 10.9`: behind words, and before others.
    let is_size = |word: &str| word.starts_with('M') || word.contains(['/', '-']);
    let mut words = text.split(' ').skip_while(|word| word.chars().all(char::is_alphabetic));
    if words.next().is_some_and(|word| word.len() > 2 && is_size(word) && starts_with_thread(word))
        && !text.starts_with(|c: char| c.is_ascii_digit())
    {
        return true;
    }
    text.rsplit_once(' ').is_some_and(|(words, last)| {
        words.chars().any(char::is_alphabetic) && last.len() > 2 && is_thread(last)
    })
}

/// What a text says beside `+` and `then` where it is one turn: its own words.
fn turn_of(text: &str) -> Option<&str> {
    let lower = text.trim_start_matches(['+', ' ']);
    let bare = THEN.iter().find_map(|then| lower.strip_prefix(then)).unwrap_or(lower).trim();
    let (_, length) = turn_at(bare)?;
    bare[length..].trim().is_empty().then_some(bare)
}

/// Whether a text is a turn after a torque by its words; `90°` may be that of a head.
fn is_turn(text: &str) -> bool {
    let says = |bare: &str| {
        let is_degrees = bare.starts_with(|c: char| c.is_ascii_digit()) && !bare.contains('t');
        !is_degrees || text.starts_with('+')
    };
    let several = text.contains('+') && text.split('+').all(|one| turn_of(one).is_some());
    several || turn_of(text).is_some_and(says)
}

/// Whether a figure with a unit of torque stands in a text.
fn says_torque(text: &str) -> bool {
    let ends = text.char_indices().filter(|(_, c)| c.is_ascii_digit()).map(|(at, _)| at + 1);
    ends.filter_map(|end| take_unit_spelled(&text[end..]))
        .any(|(unit, ..)| unit.dimension == Dimension::Torque)
}

/// Whether a text names steps of a tightening; an order of bolts begins anywhere
/// and names each number once.
fn is_steps(text: &str) -> bool {
    let folded = plain_words(text);
    if folded.split(' ').any(says_steps) {
        return true;
    }
    let figures: Vec<u32> = text
        .split(|c: char| !c.is_ascii_digit())
        .filter_map(|figure| figure.parse().ok())
        .collect();
    let rises = figures.windows(2).all(|pair| pair[0] < pair[1]);
    text.contains('%') || figures.len() >= 2 && rises && figures[0] > 1
}

/// A number and nothing else, be its decimals behind a point or a comma.
fn bare_number(text: &str) -> Option<f64> {
    let is_so = text.bytes().all(|c| c.is_ascii_digit() || matches!(c, b'.' | b','));
    text.replace(',', ".").parse().ok().filter(|_| is_so)
}

/// Whether a text is steps whatever stands above it: shares that end in the whole, three or
/// more figures that rise, a number of passes in words.
fn are_passes(text: &str) -> bool {
    let folded = plain_words(text);
    let words: Vec<&str> = folded.split([' ', ',', ';', '>', '→', '–', '-', '+']).collect();
    let words: Vec<&str> = words.into_iter().filter(|word| !word.is_empty()).collect();
    if let [number, rest @ ..] = &words[..]
        && number.parse::<u32>().is_ok()
        && rest.iter().any(|word| says_steps(word))
    {
        return true;
    }
    let is_share = |word: &&str| {
        let fraction = word.split_once('/').map(|(one, whole)| [one, whole].map(str::parse::<u32>));
        match fraction {
            Some([Ok(one), Ok(whole)]) => one <= whole && whole <= 10,
            Some(_) => false,
            None => word.strip_suffix('%').is_some_and(|n| n.parse::<f64>().is_ok()),
        }
    };
    let is_whole = |word: &&str| WHOLE.contains(word) || *word == "100%";
    let is_between = |word: &&str| THEN.contains(word) || *word == "and";
    if let [front @ .., last] = &words[..]
        && is_whole(last)
        && front.iter().any(is_share)
    {
        return front.iter().all(|word| is_share(word) || is_between(word));
    }
    let figures = text.split(['-', '–', '/', ',', ';', '>', '→']).map(str::trim);
    let figures: Option<Vec<f64>> = figures.map(|figure| figure.parse().ok()).collect();
    // `10-11-24` may be a day.
    let is_day = |all: &[f64]| all.len() == 3 && all[0] <= 31.0 && all[1] <= 31.0;
    figures.is_some_and(|all| {
        all.len() > 2
            && all[0] > 1.0
            && !is_day(&all)
            && all.windows(2).all(|pair| pair[0] < pair[1])
    })
}

/// Words for the whole torque behind its shares.
const WHOLE: &[&str] =
    &["full", "final", "whole", "voll", "ganz", "plein", "complet", "total", "completo", "pieno"];

/// A thread, perhaps with a word, a class or a length after it.
pub(crate) fn starts_with_thread(text: &str) -> bool {
    if is_thread(text) || counted(text).is_some() {
        return true;
    }
    let first = text.split([' ', ',']).next().unwrap_or_default();
    let is_size = first.len() >= 2
        && (first.contains(['/', '-']) || first.starts_with(['M', 'm', '#']))
        && is_thread(first);
    // `20-100 Nm` is a range.
    if !is_size && !text.starts_with('M')
        || unit_spelled(text[first.len()..].trim())
            .is_some_and(|(unit, _)| unit.dimension == Dimension::Torque)
    {
        return false;
    }
    is_size
        || text.starts_with('M') && {
            let joined: String = text.chars().filter(|c| *c != ' ').take(12).collect();
            let end = joined.find(|c: char| !(c.is_ascii_digit() || "MmxX×.,".contains(c)));
            let size = joined[..end.unwrap_or(joined.len())].trim_end_matches(['x', 'X', '.', ',']);
            // `M12x40`, `M12x1,5x45`: with the length behind.
            is_thread(size)
                || size.rsplit_once(['x', 'X', '×']).is_some_and(|(size, length)| {
                    length.len() > 1
                        && length.bytes().all(|c| c.is_ascii_digit())
                        && is_thread(size)
                })
        }
}

/// Digits, `mark`, one or two digits: 62,5. Three may part thousands.
fn has_decimals(text: &str, mark: char) -> bool {
    let mut rest = text;
    while let Some(at) = rest.find(mark) {
        let before = rest[..at].ends_with(|c: char| c.is_ascii_digit());
        let after = &rest[at + mark.len_utf8()..];
        let digits = after.bytes().take_while(u8::is_ascii_digit).count();
        if before && (1..=2).contains(&digits) {
            return true;
        }
        rest = after;
    }
    false
}
