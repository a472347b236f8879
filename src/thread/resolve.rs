//! What the written parts mean: a thread, a pattern, or what is missing.

use crate::text::Plain;
use crate::thread::cursor::Reading;
use crate::thread::pattern::{Pattern, Scope};
use crate::thread::read::{self, Grade, Written, WrittenSize};
use crate::thread::series::ba_size;
use crate::thread::settle::settled;
use crate::thread::size::SIXTY_FOURTH;
use crate::thread::{Family, Pitch, Series, Size, SizeKind, Thread, ThreadError};

/// The whole of `text` as a thread.
pub(crate) fn thread(text: &str) -> Result<Thread, ThreadError> {
    let plain = Plain::new(text);
    let written = whole(plain.as_str())?;
    let left_hand = written.left_hand.unwrap_or(false);
    let thread = Parts::new(&written)?.pattern(None).to_thread()?.with_hand(left_hand);
    match written.class {
        Some(class) => thread.with_class(class),
        None => Ok(thread),
    }
}

/// The whole of `text` as a pattern.
pub(crate) fn pattern(text: &str) -> Result<Pattern, ThreadError> {
    let plain = Plain::new(text);
    let written = whole(plain.as_str())?;
    Ok(Parts::new(&written)?.pattern(written.left_hand))
}

/// The longest pattern at the start of `text`; None if there is nothing like
/// a thread, an error if there is one that contradicts itself.
pub(crate) fn pattern_at_start(text: &str) -> Option<Result<(Pattern, usize), ThreadError>> {
    let (written, length) = match read::read(text, Reading::Start).transpose()? {
        Ok(found) => found,
        Err(error) => return Some(Err(error)),
    };
    let decimal = text[..length].contains('.') && matches!(written.size, WrittenSize::Inch(_));
    let quoted = text[..length].ends_with('"');
    let bare = written.pitch.is_none() && written.series.is_none();
    if bare && (decimal || quoted || matches!(written.size, WrittenSize::Whole(_))) {
        return None;
    }
    let found = Parts::new(&written).map(|parts| parts.pattern(written.left_hand));
    match found {
        Err(ThreadError::NotAThread(_)) => None,
        found => Some(found.map(|pattern| (pattern, length))),
    }
}

fn whole(text: &str) -> Result<Written<'_>, ThreadError> {
    let text = text.trim();
    let not_a_thread = || ThreadError::NotAThread(text.chars().take(40).collect());
    let (written, length) = read::read(text, Reading::Whole)?.ok_or_else(not_a_thread)?;
    let rest = text[length..].trim();
    if rest.is_empty() {
        return Ok(written);
    }
    if matches!(written.size, WrittenSize::Whole(_)) && written.pitch.is_none() {
        return Err(not_a_thread());
    }
    if rest.eq_ignore_ascii_case("bsp") {
        return Err(ThreadError::ParallelOrTaper(text[..length].to_owned()));
    }
    Err(ThreadError::Trailing {
        thread: text[..length].to_owned(),
        rest: rest.chars().take(40).collect(),
    })
}

/// Size, pitch and series as keys; the pitch if written or fixed by the series.
struct Parts {
    series: Option<Series>,
    size: Size,
    pitch: Option<Pitch>,
    grade: Option<Grade>,
}

impl Parts {
    fn new(written: &Written<'_>) -> Result<Self, ThreadError> {
        let size = size(written)?;
        let pitch = written.pitch.map(|value| match size.kind() {
            SizeKind::Metric => Pitch::metric(value),
            _ => Pitch::per_inch(value),
        });
        let mut parts = Self { series: written.series, size, pitch, grade: written.grade };
        parts.settle()?;
        Ok(parts)
    }

    /// Adds what the series or the word for the pitch says, and checks it.
    fn settle(&mut self) -> Result<(), ThreadError> {
        if let (Some(series), None) = (self.series, self.pitch) {
            self.pitch = only_pitch(series, self.size)?;
        }
        if let Some(grade) = self.grade {
            self.settle_grade(grade)?;
        }
        if let Some(pitch) = self.pitch {
            let found = settled(self.series, self.size, pitch)?.series();
            self.series = self.series.map(|_| found);
        }
        Ok(())
    }

    fn settle_grade(&mut self, grade: Grade) -> Result<(), ThreadError> {
        let not_listed =
            || ThreadError::NotListed { size: self.size.to_string(), series: grade.word() };
        if self.size.kind() == SizeKind::Metric {
            return self.settle_metric_grade(grade, not_listed());
        }
        let series = graded_series(grade, self.series).ok_or_else(not_listed)?;
        let listed = series.pitches(self.size).next().ok_or_else(not_listed)?;
        match self.pitch {
            Some(pitch) if pitch != listed => {
                let thread = settled(self.series, self.size, pitch)?;
                Err(ThreadError::WrongSeries {
                    is: thread.grade().unwrap_or(thread.series().symbol()),
                    thread: Box::new(thread),
                    written: grade.word(),
                    listed: Some(Box::new(Thread::bare(series, self.size, listed))),
                })
            }
            _ => {
                self.pitch = Some(listed);
                Ok(())
            }
        }
    }

    /// `M10 fine` stays a family of pitches; a written pitch has to be one.
    fn settle_metric_grade(
        &mut self,
        grade: Grade,
        not_listed: ThreadError,
    ) -> Result<(), ThreadError> {
        let Some(coarse) = Series::metric_coarse(self.size).filter(|_| grade != Grade::ExtraFine)
        else {
            return Err(not_listed);
        };
        let wanted = self.pitch.is_none_or(|pitch| match grade {
            Grade::Coarse => pitch == coarse,
            _ => pitch < coarse,
        });
        if let (Some(pitch), false) = (self.pitch, wanted) {
            let right = Thread::bare(Series::M, self.size, coarse);
            return Err(ThreadError::WrongSeries {
                thread: Box::new(Thread::bare(Series::M, self.size, pitch)),
                is: if pitch < coarse { "fine" } else { "coarse" },
                written: grade.word(),
                listed: Some(Box::new(right)).filter(|_| grade == Grade::Coarse),
            });
        }
        if grade == Grade::Coarse {
            self.pitch = Some(coarse);
        }
        Ok(())
    }

    fn pattern(&self, left_hand: Option<bool>) -> Pattern {
        let metric = self.size.kind() == SizeKind::Metric;
        let scope = match (self.series, self.grade) {
            (Some(series), _) if series != Series::M => Scope::Series(series),
            (_, Some(grade)) if !metric || self.pitch.is_none() => Scope::Grade(grade),
            _ => Scope::Any,
        };
        Pattern::new(self.size, self.pitch, scope, left_hand)
    }
}

/// The series that a word for the pitch means beside the series written.
fn graded_series(grade: Grade, written: Option<Series>) -> Option<Series> {
    let british = match written.map(Series::family) {
        None | Some(Family::Unified | Family::UnifiedRadius) => false,
        Some(Family::British) => true,
        Some(_) => return None,
    };
    match grade {
        Grade::Coarse => Some(if british { Series::Bsw } else { Series::Unc }),
        Grade::Fine => Some(if british { Series::Bsf } else { Series::Unf }),
        Grade::ExtraFine => (!british).then_some(Series::Unef),
    }
}

/// The pitch that the series alone gives a size. Errors if the series has not
/// got the size; None if it has several pitches.
fn only_pitch(series: Series, size: Size) -> Result<Option<Pitch>, ThreadError> {
    match series {
        Series::M | Series::Mj | Series::Un | Series::Uns | Series::Unj => Ok(None),
        _ => match series.pitches(size).next() {
            Some(pitch) => Ok(Some(pitch)),
            None => Err(ThreadError::NotListed { size: size.to_string(), series: series.symbol() }),
        },
    }
}

/// The nominal size that is written.
fn size(written: &Written<'_>) -> Result<Size, ThreadError> {
    let family = written.series.map_or(Family::Unified, Series::family);
    let not_listed = |size: String| ThreadError::NotListed {
        size,
        series: written.series.map_or("thread", Series::symbol),
    };
    match (family, written.size) {
        (_, WrittenSize::Metric(micrometres)) => Ok(Size::metric(micrometres)),
        (Family::BritishAssociation, WrittenSize::Whole(number) | WrittenSize::Number(number)) => {
            ba_size(number).ok_or_else(|| not_listed(number.to_string()))
        }
        (Family::Unified | Family::UnifiedRadius, WrittenSize::Number(number)) => {
            Size::number(number).ok_or_else(|| bad_size(format!("#{number}"), Size::number(12)))
        }
        (Family::Unified | Family::UnifiedRadius, WrittenSize::Whole(whole)) => {
            number_or_inches(whole, written)
        }
        (Family::Pipe, WrittenSize::Inch(millionths)) => Ok(Size::pipe(millionths)),
        (Family::Pipe, WrittenSize::Whole(inches)) if inches <= 12 => {
            Ok(Size::pipe(inches * 1_000_000))
        }
        (Family::British, WrittenSize::Whole(inches)) if inches <= 12 => {
            Ok(Size::inch(inches * 1_000_000))
        }
        (Family::British | Family::Unified | Family::UnifiedRadius, WrittenSize::Inch(size)) => {
            inches(size)
        }
        (_, WrittenSize::Inch(size)) => Err(not_listed(Size::inch(size).to_string())),
        (_, WrittenSize::Number(number)) => Err(not_listed(format!("#{number}"))),
        (_, WrittenSize::Whole(number)) => Err(not_listed(number.to_string())),
    }
}

fn bad_size(text: String, nearest: Option<Size>) -> ThreadError {
    ThreadError::BadSize { text, nearest }
}

/// A diameter that has a name: a fraction in 64ths from 1/32 in up, or a
/// number size. `.438` is not taken for 7/16; the error asks.
fn inches(millionths: u32) -> Result<Size, ThreadError> {
    let size = Size::inch(millionths);
    if millionths >= 2 * SIXTY_FOURTH && Size::from_key(size.key()) == Some(size) {
        return Ok(size);
    }
    let fraction = Size::inch((millionths + SIXTY_FOURTH / 2) / SIXTY_FOURTH * SIXTY_FOURTH);
    let nearest = (0..=12)
        .filter_map(Size::number)
        .chain([fraction])
        // Rounded to three decimals, as sheets do.
        .find(|named| named.value().abs_diff(millionths) <= 600);
    Err(bad_size(format!("{}", f64::from(millionths) / 1e6), nearest))
}

/// A whole number: with threads per inch, 0 to 12 is a number size from 24 up
/// and 1 to 6 is inches up to 20; else it is no thread.
fn number_or_inches(whole: u32, written: &Written<'_>) -> Result<Size, ThreadError> {
    let number = Size::number(whole);
    let inches = (1..=6).contains(&whole).then(|| Size::inch(whole * 1_000_000));
    let found = match written.pitch {
        Some(24_000..) => number,
        Some(..=20_000) => inches,
        Some(_) => None,
        None if written.series.is_none() && written.grade.is_none() => None,
        None if inches.is_some() => return Err(ThreadError::NumberOrInches(whole)),
        None => number,
    };
    found.ok_or_else(|| {
        let pitch = written.pitch.map(|pitch| format!("-{}", Pitch::per_inch(pitch)));
        ThreadError::NotAThread(format!("{whole}{}", pitch.unwrap_or_default()))
    })
}
