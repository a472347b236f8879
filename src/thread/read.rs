//! Reads the written parts of a thread, without asking what they mean.

use crate::quantity::{Dimension, take_unit};
use crate::thread::cursor::{Cursor, Reading};
use crate::thread::designation::is_class;
use crate::thread::settle::{bad_pitch, is_plausible_metric};
use crate::thread::{Series, Size, SizeKind, ThreadError};

/// A size with the letters and signs that say how to take its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum WrittenSize {
    /// Micrometres after M or MJ.
    Metric(u32),
    /// Millionths of an inch.
    Inch(u32),
    /// A number after #.
    Number(u32),
    /// A whole number that may be a number, inches or a pipe.
    Whole(u32),
}

/// A word for the pitch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum Grade {
    Coarse,
    Fine,
    ExtraFine,
}

impl Grade {
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Coarse => "coarse",
            Self::Fine => "fine",
            Self::ExtraFine => "extra fine",
        }
    }
}

/// The parts of a thread as written.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Written<'a> {
    pub(crate) series: Option<Series>,
    pub(crate) size: WrittenSize,
    /// Micrometres after a metric size, else thousandths of a thread per inch.
    pub(crate) pitch: Option<u32>,
    pub(crate) grade: Option<Grade>,
    pub(crate) left_hand: Option<bool>,
    pub(crate) class: Option<&'a str>,
}

impl Written<'_> {
    fn is_metric(&self) -> bool {
        matches!(self.size, WrittenSize::Metric(_))
    }
}

/// The longest thread at the start of `text` (plain, see
/// [`crate::text::Plain`]) that ends where a word ends, and its length; None
/// if there is nothing like a thread.
pub(crate) fn read(
    text: &str,
    reading: Reading,
) -> Result<Option<(Written<'_>, usize)>, ThreadError> {
    let mut cursor = Cursor { text, at: 0, reading };
    let Some(mut written) = cursor.head() else { return Ok(None) };
    cursor.pitch(&mut written)?;
    let mut last = cursor.ends_word().then_some((written, cursor.at));
    while cursor.tail(&mut written) {
        if cursor.ends_word() {
            last = Some((written, cursor.at));
        }
    }
    Ok(last)
}

/// The parts of a thread, each where it may stand.
impl<'a> Cursor<'a> {
    /// Everything up to the pitch: what stands first, and the size.
    fn head(&mut self) -> Option<Written<'a>> {
        let (series, size) = match self.peek()? {
            b'#' => {
                self.at += 1;
                (None, WrittenSize::Number(self.whole()?))
            }
            b'0'..=b'9' | b'.' => (None, self.inch_size()?),
            _ => self.led_size()?,
        };
        Some(Written { series, size, pitch: None, grade: None, left_hand: None, class: None })
    }

    /// A size after the letters of its series, or after `No.`.
    fn led_size(&mut self) -> Option<(Option<Series>, WrittenSize)> {
        let letters = self.letters();
        if self.reading == Reading::Whole && letters.eq_ignore_ascii_case("no") {
            self.eat(b'.');
            self.blanks();
            return Some((None, WrittenSize::Number(self.whole()?)));
        }
        let series = Series::find(letters).filter(|series| series.row().leads)?;
        let apart = self.blanks();
        if series.row().kind == SizeKind::Metric {
            let size = self.thousandths().filter(|_| self.reading == Reading::Whole || !apart)?;
            return (1..=1_000_000)
                .contains(&size)
                .then_some((Some(series), WrittenSize::Metric(size)));
        }
        let size = self.inch_size()?;
        if let (WrittenSize::Whole(whole), Reading::Start) = (size, self.reading) {
            // R12 and G1 may be the name of a set; `G 1` is a pipe, `R 12` is not.
            let listed = || series.pitches(Size::pipe(whole.min(12) * 1_000_000)).next().is_some();
            return (apart && listed()).then_some((Some(series), size));
        }
        Some((Some(series), size))
    }

    /// `7/16`, `1-1/8`, `1 1/8`, `.4375`, `1.000`, `10`, with or without `"`.
    fn inch_size(&mut self) -> Option<WrittenSize> {
        let size = self
            .attempt(Self::decimal_inches)
            .or_else(|| self.attempt(Self::fraction).map(WrittenSize::Inch))
            .or_else(|| self.attempt(Self::mixed).map(WrittenSize::Inch))
            .or_else(|| self.whole().map(WrittenSize::Whole))?;
        if !self.eat(b'"') {
            return Some(size);
        }
        match size {
            WrittenSize::Whole(whole) => {
                (1..=12).contains(&whole).then(|| WrittenSize::Inch(whole * 1_000_000))
            }
            size => Some(size),
        }
    }

    fn decimal_inches(&mut self) -> Option<WrittenSize> {
        let whole = if self.peek() == Some(b'.') { 0 } else { self.whole()? };
        let part = self.decimals(6)?;
        // Multiplied only when it is known to be small.
        (whole <= 12).then(|| WrittenSize::Inch(whole * 1_000_000 + part))
    }

    fn mixed(&mut self) -> Option<u32> {
        // In `10 3/8-16` the 10 is a count.
        let whole = self.whole().filter(|whole| (1..=6).contains(whole))?;
        if !self.eat(b'-') && !self.eat(b' ') {
            return None;
        }
        Some(whole * 1_000_000 + self.fraction()?)
    }

    fn pitch(&mut self, written: &mut Written<'a>) -> Result<(), ThreadError> {
        if let WrittenSize::Metric(size) = written.size {
            return self.metric_pitch(size, written);
        }
        written.pitch = self.attempt(|cursor| {
            let apart = cursor.reading == Reading::Whole && cursor.blanks();
            if !cursor.eat(b'-') || (apart && !cursor.blanks()) {
                return None;
            }
            if cursor.reading == Reading::Whole {
                cursor.blanks();
            }
            cursor.per_inch()
        });
        Ok(())
    }

    /// Threads per inch, `20`, `4.5`, `11-1/2`, in thousandths.
    fn per_inch(&mut self) -> Option<u32> {
        if self.peek() == Some(b'0') {
            return None;
        }
        let whole = self.whole()? * 1000;
        let half = self.attempt(|cursor| match cursor.peek()? {
            b'.' => cursor.decimals(1).filter(|tenths| *tenths == 5).map(|_| 500_000),
            b'-' => cursor.eat(b'-').then(|| cursor.fraction())?,
            _ => None,
        });
        let pitch = whole + half.unwrap_or(0) / 1000;
        (1000..=120_000).contains(&pitch).then_some(pitch)
    }

    /// `x1.5`, ` x 1.5`, `-1.5`, each perhaps with `mm`; not the length in
    /// `M10 x 50 mm` and `M10 x 2 in`, nor the class in `M10-6g`.
    fn metric_pitch(&mut self, size: u32, written: &mut Written<'a>) -> Result<(), ThreadError> {
        let start = self.at;
        let apart = self.blanks();
        let cross = self.eat(b'x') || self.eat(b'X') || self.eat(b'*');
        if !cross && (apart || !self.eat(b'-')) {
            self.at = start;
            return Ok(());
        }
        let apart = self.blanks() || apart;
        let number = self.at;
        let pitch = self.thousandths();
        let as_written = &self.text[number..self.at];
        let follows = self.peek().is_some_and(|next| next.is_ascii_alphanumeric() || next == b'/');
        let millimetres = self.millimetres(apart);
        let Some(pitch) = pitch.filter(|_| millimetres.is_some() && (cross || !follows)) else {
            self.at = start;
            return Ok(());
        };
        if is_plausible_metric(size, pitch) {
            written.pitch = Some(pitch);
            return Ok(());
        }
        self.at = start;
        if apart && self.reading == Reading::Start {
            return Ok(());
        }
        Err(bad_pitch(Size::metric(size), as_written.to_owned(), None))
    }

    /// Takes an `mm` that may follow a pitch; None if another length unit does
    /// and blanks `apart` make it a length, unlike in `M10x1.5 in block`.
    fn millimetres(&mut self, apart: bool) -> Option<()> {
        let start = self.at;
        self.blanks();
        match take_unit(self.rest()) {
            Some((unit, length)) if unit.symbol == "mm" => self.at += length,
            Some((unit, _)) if unit.dimension == Dimension::Length && apart => return None,
            _ => self.at = start,
        }
        Some(())
    }

    /// One of the words that may follow size and pitch, each at most once.
    fn tail(&mut self, written: &mut Written<'a>) -> bool {
        let start = self.at;
        let glued = !self.blanks() && !self.eat(b'-');
        let found = (written.left_hand.is_none() && self.hand(written))
            || (written.series.is_none() && self.series(written))
            || (!glued && written.grade.is_none() && self.grade(written))
            || (written.class.is_none() && self.class(written, glued));
        if !found {
            self.at = start;
        }
        found
    }

    fn hand(&mut self, written: &mut Written<'a>) -> bool {
        let left = self.word("lh") || self.word("left hand");
        let found = left || self.word("rh") || self.word("right hand");
        if found {
            written.left_hand = Some(left);
        }
        found
    }

    fn grade(&mut self, written: &mut Written<'a>) -> bool {
        let grades = [Grade::ExtraFine, Grade::Coarse, Grade::Fine];
        written.grade = grades.into_iter().find(|grade| self.word(grade.word()));
        written.grade.is_some()
    }

    /// A series after the size: `UNF`, `BSW`, also `8UN` and `8-UN`.
    fn series(&mut self, written: &mut Written<'a>) -> bool {
        if written.is_metric() {
            return false;
        }
        let found = self.attempt(|cursor| {
            let pitch = match cursor.digits() {
                "" => None,
                digits if written.pitch.is_none() => {
                    cursor.eat(b'-');
                    Some(digits.parse::<u32>().ok().filter(|tpi| (1..=120).contains(tpi))? * 1000)
                }
                _ => return None,
            };
            let letters = cursor.letters();
            let series =
                Series::find(letters).filter(|series| !series.row().leads || letters.len() > 2)?;
            (pitch.is_none() || series == Series::Un).then_some((series, pitch))
        });
        if let Some((series, pitch)) = found {
            written.series = Some(series);
            written.pitch = written.pitch.or(pitch);
        }
        found.is_some()
    }

    fn class(&mut self, written: &mut Written<'a>, glued: bool) -> bool {
        let series = match (written.series, written.is_metric()) {
            (Some(series), _) => series,
            (None, _) => Series::Unc,
        };
        let found = self.attempt(|cursor| {
            let length = cursor
                .rest()
                .bytes()
                .take_while(|byte| byte.is_ascii_alphanumeric() || *byte == b'/')
                .count();
            let text = cursor.take(length);
            let fits = is_class(series, text);
            (fits && (!glued || series == Series::G)).then_some(text)
        });
        written.class = found;
        found.is_some()
    }
}
