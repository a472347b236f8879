//! A thread as a question asks for it.

use std::fmt;

use crate::thread::designation::inch_size;
use crate::thread::read::Grade;
use crate::thread::{Family, Pitch, Series, Size, SizeKind, Thread, ThreadError, settle};

/// A thread as asked for: a size and, if written, pitch, series and hand.
///
/// What is not written is not asked: `7/16` matches every 7/16 thread, `M10`
/// every M10 and MJ10. Tolerance classes are read but never asked for.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Pattern {
    size: Size,
    pitch: Option<Pitch>,
    scope: Scope,
    left_hand: Option<bool>,
}

/// Which series a pattern asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum Scope {
    /// Any with such sizes.
    Any,
    Series(Series),
    /// Unified or metric, as a word for the pitch says.
    Grade(Grade),
}

impl Pattern {
    pub(crate) fn new(
        size: Size,
        pitch: Option<Pitch>,
        scope: Scope,
        left_hand: Option<bool>,
    ) -> Self {
        Self { size, pitch, scope, left_hand }
    }

    pub(crate) fn exactly(thread: &Thread) -> Self {
        let scope = match thread.series() {
            // M10x1.5 would match MJ10x1.5 too, but has no longer spelling.
            Series::M => Scope::Any,
            series => Scope::Series(series),
        };
        Self::new(thread.size(), Some(thread.pitch()), scope, Some(thread.is_left_hand()))
    }

    /// Reads the whole of `text`; case, odd blanks and dashes do not matter.
    pub fn parse(text: &str) -> Result<Self, ThreadError> {
        settle::pattern(text)
    }

    /// The longest thread at the start of `text`, and its length in bytes.
    ///
    /// `text` is plain (see [`crate::text::Plain`]). The thread ends at a
    /// blank, comma, semicolon, parenthesis or the end. A following `coarse`,
    /// `fine`, series, class or hand is taken. A bare fraction counts, a bare
    /// whole number, a decimal or `1/2"` does not. An error says why something like
    /// a thread cannot be one, such as `7/16-20 UNC` or `M10x50`.
    pub fn take(text: &str) -> Option<Result<(Self, usize), ThreadError>> {
        settle::pattern_at_start(text)
    }

    /// The nominal size, which every pattern has.
    pub fn size(&self) -> Size {
        self.size
    }

    /// The pitch, if it is written or the series or `coarse` gives it; none
    /// for `M10 fine`, which has several.
    pub fn pitch(&self) -> Option<Pitch> {
        self.pitch
    }

    /// The series, if it is written and is not plain M.
    pub fn series(&self) -> Option<Series> {
        match self.scope {
            Scope::Series(series) => Some(series),
            _ => None,
        }
    }

    /// Whether `thread` is one of those asked for.
    pub fn matches(&self, thread: &Thread) -> bool {
        self.size == thread.size()
            && self.pitch.is_none_or(|pitch| pitch == thread.pitch())
            && self.left_hand.is_none_or(|left| left == thread.is_left_hand())
            && self.scope_matches(thread)
    }

    fn scope_matches(&self, thread: &Thread) -> bool {
        let family = thread.series().family();
        match self.scope {
            Scope::Any => true,
            Scope::Series(series) => {
                series == thread.series()
                    || (series.family() == family
                        && (series == Series::Unj || series.lists(thread.size(), thread.pitch())))
            }
            Scope::Grade(_) => match family {
                Family::Unified | Family::UnifiedRadius => true,
                Family::Metric | Family::MetricRadius => thread.is_fine(),
                _ => false,
            },
        }
    }

    /// The one thread asked for. Errors with [`ThreadError::PitchNeeded`] or
    /// [`ThreadError::ManyFine`] if there may be several; without a hand it is
    /// right-hand.
    pub fn to_thread(&self) -> Result<Thread, ThreadError> {
        let left_hand = self.left_hand.unwrap_or(false);
        if let Some(pitch) = self.pitch {
            let thread = settle::settled(self.series(), self.size, pitch)?;
            return Ok(thread.with_hand(left_hand));
        }
        let choices = self.choices();
        if self.scope != Scope::Grade(Grade::Fine) {
            return Err(ThreadError::PitchNeeded { size: self.size, choices });
        }
        match choices.as_slice() {
            [only] => Ok(only.clone()),
            [] => Err(ThreadError::NotListed { size: self.size.to_string(), series: "fine" }),
            _ => Err(ThreadError::ManyFine { size: self.size, choices }),
        }
    }

    /// The threads asked for that fasteners are made in, coarse first.
    pub fn choices(&self) -> Vec<Thread> {
        let mut choices = settle::choices(self.size, self.series());
        for thread in &mut choices {
            *thread = thread.clone().with_hand(self.left_hand.unwrap_or(false));
        }
        choices.retain(|thread| self.matches(thread));
        choices
    }
}

impl fmt::Display for Pattern {
    /// Reads back as the same pattern: `M10`, `7/16 coarse`, `7/16-20 UNF`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.scope, self.pitch) {
            (Scope::Grade(grade), _) => write!(f, "{} {}", self.size, grade.word())?,
            (Scope::Series(series), Some(pitch)) => fmt_series(f, series, self.size, pitch)?,
            (Scope::Series(Series::Mj), None) => {
                write!(f, "MJ{}", self.size.to_string().trim_start_matches('M'))?;
            }
            (Scope::Series(series), None) => write!(f, "{} {}", self.size, series.symbol())?,
            (Scope::Any, None) => self.size.fmt(f)?,
            (Scope::Any, Some(pitch)) if self.size.kind() == SizeKind::Metric => {
                write!(f, "{}x{pitch}", self.size)?;
            }
            (Scope::Any, Some(pitch)) => {
                write!(f, "{}-{pitch}", inch_size(self.size, pitch, Family::Unified))?;
            }
        }
        match self.left_hand {
            Some(true) => f.write_str(" LH"),
            Some(false) => f.write_str(" RH"),
            None => Ok(()),
        }
    }
}

fn fmt_series(f: &mut fmt::Formatter<'_>, series: Series, size: Size, pitch: Pitch) -> fmt::Result {
    fmt::Display::fmt(&Thread::bare(series, size, pitch), f)?;
    // A thread leaves its plain unified series out, a pattern asks for it.
    let shown = series.family() == Family::Unified && series != Series::Uns;
    if shown { write!(f, " {}", series.symbol()) } else { Ok(()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn matches(pattern: &str, thread: &str) -> bool {
        Pattern::parse(pattern).unwrap().matches(&Thread::parse(thread).unwrap())
    }

    #[test]
    fn what_is_not_written_is_not_asked() {
        for thread in ["M10x1.5", "M10x1.25", "M10x1", "MJ10x1.5", "M10x1.5 LH"] {
            assert!(matches("M10", thread), "{thread}");
        }
        assert!(matches("7/16", "7/16-14"));
        assert!(matches("1/4-20", "1/4-20 BSW"));
        assert!(!matches("M10", "M12x1.5"));
        assert!(!matches("1/8", "1/8-27 NPT"));
    }

    #[test]
    fn words_narrow_a_pattern() {
        assert!(matches("M10 coarse", "M10x1.5"));
        assert!(!matches("M10 coarse", "M10x1.25"));
        assert!(matches("M10 fine", "M10x1.25") && matches("M10 fine", "M10x1"));
        assert!(!matches("M10 fine", "M10x1.5"));
        assert!(matches("7/16 coarse", "7/16-14 UNJC"));
        assert!(!matches("7/16 coarse", "7/16-14 BSW"));
        assert!(matches("7/16 UNJ", "7/16-20 UNJF"));
        assert!(!matches("7/16 UNF", "7/16-20 UNJF"));
        assert!(matches("M10 LH", "M10x1.5 LH") && !matches("M10 LH", "M10x1.5"));
    }

    #[test]
    fn the_longest_thread_is_taken_and_ends_at_a_word() {
        let taken = [
            ("7/16-20 stud", "7/16-20"),
            ("7/16 coarse, oil", "7/16 coarse"),
            ("M10 torque over 60", "M10"),
            ("M10 x 1.5 LH)", "M10 x 1.5 LH"),
            ("M10 x 50 mm", "M10"),
            ("M10 x 2 in", "M10"),
            ("M10x1.5 in block", "M10x1.5"),
            ("7/16-14 x 3.5 in", "7/16-14"),
            ("7/16-14UNC-2A bolt", "7/16-14UNC-2A"),
            ("M10 fine-pitch", "M10"),
            ("#10 screw", "#10"),
            ("10-24", "10-24"),
            ("2 BA nut", "2 BA"),
            ("1/8 NPT plug", "1/8 NPT"),
            ("G 1/4 plug", "G 1/4"),
            ("1 1/8-12", "1 1/8-12"),
            ("1/2\"-13", "1/2\"-13"),
            ("7/16", "7/16"),
            ("5/16 left-hand", "5/16 left-hand"),
        ];
        for (text, thread) in taken {
            let (_, length) = Pattern::take(text).unwrap().unwrap();
            assert_eq!(&text[..length], thread);
        }
    }

    #[test]
    fn plain_words_and_numbers_are_not_threads() {
        for text in [
            "10",
            "65 lb-ft",
            "24-017",
            "12-point",
            "moly",
            "M",
            "main",
            "R12",
            "r 12",
            "G1",
            "rod",
            "7/16in",
            "3-4-2-5-1",
            "20-45-65",
            "65/70",
            "0.5",
            "1/2\"",
            "10 fine",
            "m 10",
            "60..80",
            "1/3",
            "8.8",
            "10.9",
            "5.5-6.0",
            "M10abc",
            "10 3/8-16",
            "5 M10",
            "",
            "no 10",
            "1-22",
            "7-8",
        ] {
            assert!(!matches!(Pattern::take(text), Some(Ok(_))), "{text}");
        }
    }

    #[test]
    fn contradictions_say_why() {
        for text in ["7/16-20 UNC", "M10x50", "0.438-20", "9/32 UNF"] {
            assert!(matches!(Pattern::take(text), Some(Err(_))), "{text}");
        }
    }
}
