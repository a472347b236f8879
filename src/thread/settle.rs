//! Size and pitch settle the series, or contradict it; and what a size may be.

use crate::thread::{Family, Pitch, Series, Size, SizeKind, Thread, ThreadError};

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
    let listed =
        asked.pitches(size).next().map(|pitch| Thread::bare(asked.at(size, pitch), size, pitch));
    Err(ThreadError::WrongSeries {
        thread: Box::new(Thread::bare(found, size, pitch)),
        is: found.symbol(),
        written: row.symbol,
        listed: listed.map(Box::new),
    })
}

/// Whether a metric thread of this size can have this pitch, both in
/// micrometres. The steepest standard threads have a pitch of 0.27 of the
/// diameter (BSW 1/16), the finest pitch in use is 0.19 mm (16 BA).
pub(crate) fn is_plausible(size: u32, pitch: u32) -> bool {
    (100..=size * 3 / 10).contains(&pitch)
}

/// Whether a thread of this size can have this pitch.
fn can_be(size: Size, pitch: Pitch) -> bool {
    if pitch.is_per_inch() {
        // Millionths of an inch from one thread to the next.
        is_plausible(size.value(), 1_000_000_000 / pitch.value())
    } else {
        is_plausible(size.value(), pitch.value())
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
        (SizeKind::Pipe, Some(series)) => return of_size(&[series], size),
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
    groups
        .iter()
        .map(|group| of_size(group, size))
        .find(|found| !found.is_empty())
        .unwrap_or_default()
}

fn of_size(series: &[Series], size: Size) -> Vec<Thread> {
    series
        .iter()
        .flat_map(|series| {
            series.pitches(size).map(move |pitch| Thread::bare(series.at(size, pitch), size, pitch))
        })
        .collect()
}
