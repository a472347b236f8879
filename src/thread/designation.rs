//! A complete thread and how it is printed.

use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};

use crate::quantity::Length;
use crate::thread::{Family, Pattern, Pitch, Series, Size, ThreadError, settle};

/// A complete thread: series, size, pitch, hand and, as text, its class.
///
/// Two threads are equal if series, size, pitch and hand are; the class is a
/// matter of tolerance and is not compared. The series always is the one that
/// size and pitch belong to, so 7/16-20 and 7/16-20 UNF are one thread.
#[derive(Debug, Clone)]
pub struct Thread {
    series: Series,
    size: Size,
    pitch: Pitch,
    left_hand: bool,
    class: Option<Box<str>>,
}

impl Thread {
    /// Invariant of the caller: the parts belong together.
    pub(crate) const fn bare(series: Series, size: Size, pitch: Pitch) -> Self {
        Self { series, size, pitch, left_hand: false, class: None }
    }

    /// A thread from the parts that the accessors gave.
    ///
    /// Errors if the parts do not belong together, such as UNC with the pitch
    /// of UNF, or a class that the series does not have.
    pub fn from_parts(
        series: Series,
        size: Size,
        pitch: Pitch,
        left_hand: bool,
        class: Option<&str>,
    ) -> Result<Self, ThreadError> {
        let mut thread = settle::settled(Some(series), size, pitch)?;
        thread.left_hand = left_hand;
        match class {
            Some(class) => thread.with_class(class),
            None => Ok(thread),
        }
    }

    /// Reads one complete thread, the whole of `text`; case, odd blanks and
    /// dashes do not matter. Prints of [`Thread`] read back as they were.
    pub fn parse(text: &str) -> Result<Self, ThreadError> {
        settle::thread(text)
    }

    /// The one that size and pitch belong to.
    pub fn series(&self) -> Series {
        self.series
    }

    /// The nominal size, a cheap key.
    pub fn size(&self) -> Size {
        self.size
    }

    /// The pitch, a cheap key.
    pub fn pitch(&self) -> Pitch {
        self.pitch
    }

    /// Whether it is left-hand.
    pub fn is_left_hand(&self) -> bool {
        self.left_hand
    }

    /// The tolerance class as written, such as `6g` or `2A`.
    pub fn class(&self) -> Option<&str> {
        self.class.as_deref()
    }

    /// The nominal major diameter; of a taper thread the one in the gauge
    /// plane (ISO 7-1) or the outside of the pipe (ASME B1.20.1).
    pub fn nominal(&self) -> Length {
        match self.series.major_um(self.size) {
            Some(micrometres) => Length::from_mm(f64::from(micrometres) / 1000.0),
            None => self.size.length(),
        }
    }

    /// Threads per inch, of a thread that is named so.
    pub fn tpi(&self) -> Option<f64> {
        self.pitch.tpi()
    }

    /// The same thread with the other hand.
    #[must_use]
    pub fn with_hand(mut self, left_hand: bool) -> Self {
        self.left_hand = left_hand;
        self
    }

    /// The same thread with a class. Errors if the series has no such class.
    pub fn with_class(mut self, class: &str) -> Result<Self, ThreadError> {
        if !is_class(self.series, class) {
            return Err(ThreadError::BadClass { class: class.to_owned(), series: self.series });
        }
        // The case of a metric class tells the bolt (6g) from the hole (6H).
        self.class = Some(if self.series.row().is_inch() {
            class.to_ascii_uppercase().into()
        } else {
            class.into()
        });
        Ok(self)
    }

    /// `coarse`, `fine` or `extra fine`, where the series table says so.
    pub(crate) fn grade(&self) -> Option<&'static str> {
        match self.series {
            Series::Unc | Series::Unjc => Some("coarse"),
            Series::Unf | Series::Unjf => Some("fine"),
            Series::Unef | Series::Unjef => Some("extra fine"),
            Series::M | Series::Mj => {
                (Series::metric_coarse(self.size) == Some(self.pitch)).then_some("coarse")
            }
            _ => None,
        }
    }

    /// Whether it is a fine thread: of metric ones any that is finer than the coarse one.
    pub fn is_fine(&self) -> bool {
        match self.series.family() {
            Family::Metric | Family::MetricRadius => {
                Series::metric_coarse(self.size).is_some_and(|coarse| self.pitch < coarse)
            }
            _ => self.grade() == Some("fine"),
        }
    }

    /// Whether it is the coarse thread of its size.
    pub fn is_coarse(&self) -> bool {
        self.grade() == Some("coarse")
    }

    fn identity(&self) -> (Size, Pitch, Series, bool) {
        (self.size, self.pitch, self.series, self.left_hand)
    }

    fn fmt_inch(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let family = self.series.family();
        write!(f, "{}-{}", inch_size(self.size, self.pitch, family), self.pitch)?;
        let plain = family == Family::Unified && self.series != Series::Uns;
        if !plain || self.class.is_some() {
            write!(f, " {}", self.series.symbol())?;
        }
        Ok(())
    }
}

/// An inch size as it stands before its threads per inch, so that the rule for
/// whole numbers (number size from 24 per inch up, inches up to 20) reads back.
pub(crate) fn inch_size(size: Size, pitch: Pitch, family: Family) -> String {
    let numbered = matches!(family, Family::Unified | Family::UnifiedRadius);
    let number = size.as_number().filter(|_| numbered);
    match (number, size.as_fraction()) {
        (Some(number), _) if pitch.value() >= 24_000 => number.to_string(),
        (Some(number), _) => format!("#{number}"),
        (None, Some(whole))
            if size.is_whole_inches() && (pitch.value() > 20_000 || size.value() > 6_000_000) =>
        {
            format!("{whole}\"")
        }
        (None, Some(fraction)) => fraction,
        (None, None) => size.to_string(),
    }
}

/// Whether `text` is a tolerance class of `series`: digits 1 to 9 and a letter,
/// once or twice, for metric (ISO 965-1), bolt and hole also joined by a
/// stroke; 1A to 5B for unified (ASME B1.1); A or B for G (ISO 228-1).
pub(crate) fn is_class(series: Series, text: &str) -> bool {
    match series.family() {
        Family::Metric | Family::MetricRadius => {
            text.split('/').count() <= 2 && text.split('/').all(is_metric_class)
        }
        Family::Unified | Family::UnifiedRadius => {
            matches!(text.as_bytes(), [b'1'..=b'5', b'A' | b'B' | b'a' | b'b'])
        }
        Family::Pipe => series == Series::G && matches!(text, "A" | "B" | "a" | "b"),
        Family::British | Family::BritishAssociation => false,
    }
}

fn is_metric_class(text: &str) -> bool {
    let grade = |pair: &[u8]| matches!(pair, [b'3'..=b'9', b'a'..=b'h' | b'G' | b'H']);
    matches!(text.len(), 2 | 4) && text.as_bytes().chunks(2).all(grade)
}

impl fmt::Display for Thread {
    /// `7/16-20`, `10-32`, `M10x1.5-6g LH`, `7/16-14 UNC-2A`, `1/4-20 BSW`,
    /// `1-14 UNS`, `2 BA`, `1/8-27 NPT`, `G 1/4`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let symbol = self.series.symbol();
        match self.series {
            Series::M => write!(f, "{}x{}", self.size, self.pitch)?,
            Series::Mj => {
                let size = self.size.to_string();
                write!(f, "{symbol}{}x{}", size.trim_start_matches('M'), self.pitch)?;
            }
            Series::Ba => write!(f, "{}", self.size)?,
            Series::G | Series::R | Series::Rp | Series::Rc => write!(f, "{symbol} {}", self.size)?,
            _ => self.fmt_inch(f)?,
        }
        if let Some(class) = &self.class {
            let joint = if self.series == Series::G { ' ' } else { '-' };
            write!(f, "{joint}{class}")?;
        }
        if self.left_hand { f.write_str(" LH") } else { Ok(()) }
    }
}

impl From<&Thread> for Pattern {
    /// The pattern that matches just this thread, whatever its class.
    fn from(thread: &Thread) -> Self {
        Self::exactly(thread)
    }
}

impl PartialEq for Thread {
    fn eq(&self, other: &Self) -> bool {
        self.identity() == other.identity()
    }
}

impl Eq for Thread {}

impl Hash for Thread {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.identity().hash(state);
    }
}

impl Ord for Thread {
    fn cmp(&self, other: &Self) -> Ordering {
        self.identity().cmp(&other.identity())
    }
}

impl PartialOrd for Thread {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
