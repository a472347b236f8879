//! What the cells of a column look like, counted.

use crate::intake::cells::{
    counted, says_ditto, says_nothing, strength_named, take_unit_spelled, unit_spelled,
};
use crate::intake::header::is_thread;
use crate::intake::names::Names;
use crate::intake::row_parts::without_thousands;
use crate::intake::words::{plain_words, says_steps};
use crate::quantity::Dimension;
use crate::text::Plain;

/// Cells of one column, counted by what they look like.
#[derive(Debug, Clone, Default)]
pub(crate) struct Content {
    pub(crate) filled: usize,
    threads: usize,
    /// Words for the series of a thread: `UNC`, `fine`.
    series: usize,
    units: usize,
    figures: usize,
    strengths: usize,
    lubes: usize,
    words: usize,
    /// Threads that begin with an M, and cells that end in a thread.
    metric: usize,
    ends: usize,
    /// Figures of torque with their unit.
    torques: usize,
    /// Steps of a tightening: `25 / 50 / 70`, `3 equal steps`.
    steps: usize,
    ticks: usize,
    /// A cell of it stands for the one above.
    pub(crate) dittos: bool,
    /// Whole numbers, and how many of them rise as the first two do.
    whole: usize,
    counting: usize,
    last: Option<u32>,
    step: u32,
    /// Cells such as `62,5` and `62.5`.
    pub(crate) commas: usize,
    pub(crate) points: usize,
    /// Cells such as `4.200`, which may be of thousands.
    pub(crate) parted: usize,
    /// Dates such as `25/12/2019` and `12/25/2019`.
    pub(crate) days_first: usize,
    pub(crate) months_first: usize,
    pub(crate) examples: Vec<String>,
}

/// Cells shown of a column.
const EXAMPLES: usize = 3;

impl Content {
    pub(crate) fn see(&mut self, cell: &str, names: &Names) {
        let is_ditto = says_ditto(cell);
        self.dittos |= is_ditto;
        if says_nothing(cell) || is_ditto || cell.len() > 200 {
            return;
        }
        self.filled += 1;
        if self.examples.len() < EXAMPLES && !self.examples.iter().any(|known| known == cell) {
            self.examples.push(cell.to_owned());
        }
        let plain = Plain::new(cell);
        let text = plain.as_str().trim();
        let is_thread = starts_with_thread(text);
        self.threads += usize::from(is_thread);
        self.metric += usize::from(is_thread && text.starts_with(['M', 'm']));
        self.ends += usize::from(is_thread || ends_in_thread(text));
        self.torques += usize::from(says_torque(text));
        self.series += usize::from(SERIES_WORDS.contains(&plain_words(text).as_str()));
        self.steps += usize::from(is_steps(text));
        self.ticks += usize::from(is_tick(text));
        let unit = unit_spelled(text).map(|(unit, _)| unit.dimension);
        self.units += usize::from(unit == Some(Dimension::Torque));
        self.figures += usize::from(is_figure(text));
        self.strengths += usize::from(strength_named(text, names).is_some() || is_grade(text));
        self.lubes += usize::from(names.lube_said(text).is_some());
        self.words += usize::from(text.chars().filter(|c| c.is_alphabetic()).count() > 2);
        let number = text.parse::<u32>().ok();
        self.whole += usize::from(number.is_some());
        if let (Some(last), Some(number)) = (self.last, number) {
            let step = number.saturating_sub(last);
            // 1, 2, 3; 101, 102; 10, 20, 30: not 4, 6, 8.
            let counts = step == 1 || step % 5 == 0 && step == last;
            self.step = if self.counting == 0 && counts { step } else { self.step };
            self.counting += usize::from(step == self.step && step > 0);
        }
        self.last = number;
        self.commas += usize::from(has_decimals(text, ','));
        self.points += usize::from(has_decimals(text, '.'));
        self.parted += usize::from(without_thousands(text, '.').is_some());
        let numbers = text.split(['/', '-']).map(|number| number.parse::<u16>().unwrap_or(0));
        if let [first, second, 1000..=9999] = numbers.collect::<Vec<_>>()[..] {
            self.days_first += usize::from(first > 12);
            self.months_first += usize::from(second > 12);
        }
    }

    fn share(&self, count: usize) -> f64 {
        if self.filled == 0 { 0.0 } else { count as f64 / self.filled as f64 }
    }

    pub(crate) fn are_threads(&self) -> bool {
        self.share(self.threads) >= 0.6
    }

    pub(crate) fn are_no_threads(&self) -> bool {
        self.filled > 0 && self.share(self.threads) < 0.3
    }

    pub(crate) fn end_in_threads(&self) -> bool {
        self.share(self.ends) >= 0.6
    }

    /// All threads of it are metric; all are of inches.
    pub(crate) fn are_metric(&self) -> bool {
        self.threads > 0 && self.metric == self.threads
    }

    pub(crate) fn are_of_inches(&self) -> bool {
        self.threads > 0 && self.metric == 0
    }

    pub(crate) fn are_series(&self) -> bool {
        self.share(self.series) >= 0.8
    }

    pub(crate) fn are_torques(&self) -> bool {
        self.share(self.torques) >= 0.6
    }

    pub(crate) fn are_steps(&self) -> bool {
        self.share(self.steps) >= 0.5
    }

    pub(crate) fn are_ticks(&self) -> bool {
        self.filled > 0 && self.ticks == self.filled
    }

    pub(crate) fn are_units(&self) -> bool {
        self.share(self.units) >= 0.6
    }

    pub(crate) fn are_figures(&self) -> bool {
        self.share(self.figures) >= 0.6
    }

    /// Hardly a figure among them.
    pub(crate) fn are_no_figures(&self) -> bool {
        self.filled > 0 && self.share(self.figures) < 0.2
    }

    pub(crate) fn are_strengths(&self) -> bool {
        self.share(self.strengths) >= 0.5
    }

    /// Grades by their names; a bare 8 or 10 may be anything.
    pub(crate) fn are_named_strengths(&self) -> bool {
        self.are_strengths() && self.share(self.whole) < 0.5
    }

    pub(crate) fn are_no_strengths(&self) -> bool {
        self.filled > 0 && self.share(self.strengths) < 0.2
    }

    pub(crate) fn are_lubes(&self) -> bool {
        self.share(self.lubes) >= 0.5
    }

    pub(crate) fn are_no_lubes(&self) -> bool {
        self.filled > 0 && self.lubes == 0
    }

    pub(crate) fn are_whole(&self) -> bool {
        self.filled > 0 && self.whole == self.filled
    }

    pub(crate) fn are_words(&self) -> bool {
        self.share(self.words) >= 0.6
    }

    pub(crate) fn count_rows(&self) -> bool {
        self.filled >= 2 && self.counting + 1 == self.filled
    }
}

/// Words for a series that complete a size in the column beside them.
const SERIES_WORDS: &[&str] = &[
    "unc", "unf", "unef", "uns", "bsw", "bsf", "bspp", "bspt", "bsp", "npt", "nptf", "ba",
    "coarse", "fine", "metric", "m", "mf",
];

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

/// A thread, perhaps with a word, a class or a length after it.
pub(crate) fn starts_with_thread(text: &str) -> bool {
    if is_thread(text) || counted(text).is_some() {
        return true;
    }
    let first = text.split([' ', ',']).next().unwrap_or_default();
    let unified = first.contains('/') || first.contains('-') || first.starts_with(['M', 'm', '#']);
    // `20-100 Nm` is a range.
    if unit_spelled(text[first.len()..].trim())
        .is_some_and(|(unit, _)| unit.dimension == Dimension::Torque)
    {
        return false;
    }
    (unified && first.len() >= 2 && is_thread(first))
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
