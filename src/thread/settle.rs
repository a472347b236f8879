//! What the written parts mean: a thread, a pattern, or what is missing. Size and
//! pitch settle the series, or contradict it.

use crate::text::{Plain, with_fractions};
use crate::thread::cursor::Reading;
use crate::thread::pattern::{Pattern, Scope};
use crate::thread::read::{self, Grade, Written, WrittenSize};
use crate::thread::series::ba_size;
use crate::thread::size::SIXTY_FOURTH;
use crate::thread::{Family, Pitch, Series, Size, SizeKind, Thread, ThreadError};

/// The whole of `text` as a thread.
pub(crate) fn thread(text: &str) -> Result<Thread, ThreadError> {
    let text = with_fractions(text);
    let plain = Plain::new(&text);
    let written = whole(plain.as_str())?;
    let left_hand = written.left_hand.unwrap_or(false);
    let thread = meant(&written, None)?.to_thread()?.with_hand(left_hand);
    match written.class {
        Some(class) => thread.with_class(class),
        None => Ok(thread),
    }
}

/// The whole of `text` as a pattern.
pub(crate) fn pattern(text: &str) -> Result<Pattern, ThreadError> {
    let text = with_fractions(text);
    let plain = Plain::new(&text);
    let written = whole(plain.as_str())?;
    meant(&written, written.left_hand)
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
    match meant(&written, written.left_hand) {
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

/// What the parts mean together; the pitch if it is written or fixed by the series.
fn meant(written: &Written<'_>, left_hand: Option<bool>) -> Result<Pattern, ThreadError> {
    let size = size(written)?;
    let mut series = written.series;
    let mut pitch = written.pitch.map(|value| match size.kind() {
        SizeKind::Metric => Pitch::metric(value),
        _ => Pitch::per_inch(value),
    });
    if let (Some(series), None) = (series, pitch) {
        pitch = only_pitch(series, size)?;
    }
    if let Some(grade) = written.grade {
        pitch = graded_pitch(grade, series, size, pitch)?;
    }
    if let Some(pitch) = pitch {
        let found = settled(series, size, pitch)?.series();
        series = series.map(|_| found);
    }
    let is_metric = size.kind() == SizeKind::Metric;
    let scope = match (series, written.grade) {
        (Some(series), _) if series != Series::M => Scope::Series(series),
        (_, Some(grade)) if !is_metric || pitch.is_none() => Scope::Grade(grade),
        _ => Scope::Any,
    };
    Ok(Pattern::new(size, pitch, scope, left_hand))
}

/// The pitch that a word for it says beside the series and pitch that are written,
/// or that they contradict it.
fn graded_pitch(
    grade: Grade,
    series: Option<Series>,
    size: Size,
    pitch: Option<Pitch>,
) -> Result<Option<Pitch>, ThreadError> {
    let not_listed = || ThreadError::NotListed { size: size.to_string(), series: grade.word() };
    if size.kind() == SizeKind::Metric {
        return metric_graded_pitch(grade, size, pitch).unwrap_or_else(|| Err(not_listed()));
    }
    let listing = graded_series(grade, series).ok_or_else(not_listed)?;
    let listed = listing.pitches(size).next().ok_or_else(not_listed)?;
    match pitch {
        Some(pitch) if pitch != listed => {
            let thread = settled(series, size, pitch)?;
            Err(ThreadError::WrongSeries {
                is: thread.grade().unwrap_or(thread.series().symbol()),
                thread: Box::new(thread),
                written: grade.word(),
                listed: Some(Box::new(Thread::bare(listing, size, listed))),
            })
        }
        _ => Ok(Some(listed)),
    }
}

/// The same for metric sizes: `M10 fine` stays a family of pitches, a written pitch
/// has to be one. None where the size has no such pitch.
fn metric_graded_pitch(
    grade: Grade,
    size: Size,
    pitch: Option<Pitch>,
) -> Option<Result<Option<Pitch>, ThreadError>> {
    let coarse = Series::metric_coarse(size).filter(|_| grade != Grade::ExtraFine)?;
    let is_coarse = grade == Grade::Coarse;
    let fits = |pitch: Pitch| if is_coarse { pitch == coarse } else { pitch < coarse };
    Some(match pitch {
        Some(pitch) if !fits(pitch) => Err(ThreadError::WrongSeries {
            thread: Box::new(Thread::bare(Series::M, size, pitch)),
            is: if pitch < coarse { "fine" } else { "coarse" },
            written: grade.word(),
            listed: is_coarse.then(|| Box::new(Thread::bare(Series::M, size, coarse))),
        }),
        _ if is_coarse => Ok(Some(coarse)),
        _ => Ok(pitch),
    })
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

/// The thread of these parts, its series settled by size and pitch. Errors if
/// `written` contradicts the pitch or the pitch cannot be.
pub(crate) fn settled(
    written: Option<Series>,
    size: Size,
    pitch: Pitch,
) -> Result<Thread, ThreadError> {
    let asked = written.unwrap_or(match size.kind() {
        SizeKind::Metric => Series::M,
        SizeKind::Inch => Series::Uns,
        SizeKind::Pipe => Series::Npt,
        SizeKind::Ba => Series::Ba,
    });
    let row = asked.row();
    if row.kind != size.kind() || row.is_inch() != pitch.is_per_inch() {
        return Err(ThreadError::NotListed { size: size.to_string(), series: row.symbol });
    }
    let found = asked.at(size, pitch);
    let possible = match row.family {
        Family::British | Family::BritishAssociation | Family::Pipe => found.lists(size, pitch),
        _ => can_be(size, pitch),
    };
    if !possible {
        return Err(bad_pitch(size, pitch.to_string(), written));
    }
    let agrees = match written {
        None | Some(Series::Unj) => true,
        Some(Series::Un) => Series::Un.lists(size, pitch),
        Some(series) => series == found,
    };
    if agrees {
        return Ok(Thread::bare(found, size, pitch));
    }
    Err(ThreadError::WrongSeries {
        thread: Box::new(Thread::bare(found, size, pitch)),
        is: found.symbol(),
        written: row.symbol,
        listed: asked.threads_of(size).next().map(Box::new),
    })
}

/// Whether a metric thread of this size can have this pitch, both in
/// micrometres. The steepest standard threads have a pitch of 0.27 of the
/// diameter (BSW 1/16), the finest pitch in use is 0.19 mm (16 BA).
pub(crate) fn is_plausible(size: u32, pitch: u32) -> bool {
    (100..=size * 3 / 10).contains(&pitch)
}

/// Whether a metric thread of this size, both in micrometres, can have this pitch: none is
/// steeper than the coarse one of ISO 261 by more than a third (M11x2 is), and above 2 mm
/// all go by quarters, so that the class in `M30-8.8` or `M42-5.6` is no pitch.
pub(crate) fn is_plausible_metric(size: u32, pitch: u32) -> bool {
    let coarse = Series::metric_coarse(Size::metric(size));
    is_plausible(size, pitch)
        && (pitch <= 2000 || pitch.is_multiple_of(250))
        && coarse.is_none_or(|coarse| 3 * pitch <= 4 * coarse.value())
}

/// Whether a thread of this size can have this pitch.
fn can_be(size: Size, pitch: Pitch) -> bool {
    if pitch.is_per_inch() {
        // Millionths of an inch from one thread to the next.
        is_plausible(size.value(), 1_000_000_000 / pitch.value())
    } else {
        is_plausible_metric(size.value(), pitch.value())
    }
}

/// The error for a pitch that cannot be, with one that can.
pub(crate) fn bad_pitch(size: Size, pitch: String, series: Option<Series>) -> ThreadError {
    let example = choices(size, series).into_iter().next();
    ThreadError::BadPitch { size, pitch, example: example.map(Box::new) }
}

/// The threads of this size that fasteners are made in, coarse first. Without
/// a series: metric, or the unified ones, or where there are none the British;
/// for a pipe size every pipe thread.
pub(crate) fn choices(size: Size, series: Option<Series>) -> Vec<Thread> {
    let groups: &[&[Series]] = match (size.kind(), series) {
        (SizeKind::Metric, Some(Series::Mj)) => &[&[Series::Mj]],
        (SizeKind::Metric, _) => &[&[Series::M]],
        (SizeKind::Ba, _) => &[&[Series::Ba]],
        (SizeKind::Pipe, Some(series)) => return series.threads_of(size).collect(),
        (SizeKind::Pipe, None) => &[&[Series::Npt, Series::G, Series::R]],
        (SizeKind::Inch, Some(Series::Un)) => &[&[Series::Un]],
        (SizeKind::Inch, Some(series)) if series.family() == Family::UnifiedRadius => {
            &[&[Series::Unjc, Series::Unjf, Series::Unjef], &[Series::Unj]]
        }
        (SizeKind::Inch, Some(series)) if series.family() == Family::British => {
            &[&[Series::Bsw, Series::Bsf]]
        }
        (SizeKind::Inch, _) => &[
            &[Series::Unc, Series::Unf, Series::Unef, Series::Uns],
            &[Series::Un],
            &[Series::Bsw, Series::Bsf],
        ],
    };
    let threads = |group: &&[Series]| -> Vec<Thread> {
        group.iter().flat_map(|series| series.threads_of(size)).collect()
    };
    groups.iter().map(threads).find(|found| !found.is_empty()).unwrap_or_default()
}
