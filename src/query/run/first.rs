//! The first few rows of the whole book in an order that it keeps: by torque its
//! index tells which they are, by a derived figure its column. Only those are
//! formed.

use crate::correction::SCREEN_HAIR;
use crate::query::plan::First;
use crate::query::resolve::Question;
use crate::query::run::columns::sort_number;
use crate::query::run::judge::{Judge, Sides};
use crate::store::{Book, StoreError, Swept, Wanted, Which};

/// What the columns tell of a part of the book.
#[derive(Debug, Default)]
struct Told {
    /// Ordinals of general charts.
    charts: Vec<u32>,
    /// Settings of them, and of the others.
    settings: [usize; 2],
    /// Values of the figure, with the ordinal of the fastener.
    values: Vec<(f64, u32)>,
}

/// Judges the first rows of `book`, and counts the settings read. None where
/// the book has no columns, or where rows without the value would be among
/// them.
pub(super) fn judged(
    question: &Question,
    asked: First,
    book: &Book,
) -> Result<Option<(Sides, usize)>, StoreError> {
    let mut wanted = Wanted::default();
    if let Some(figure) = asked.figure {
        wanted.figures[figure as usize] = true;
    }
    let told = book.sweep(wanted, |told: &mut Told, swept: &Swept<'_>| {
        told.settings[usize::from(!swept.is_chart)] += swept.settings.len();
        if swept.is_chart {
            return told.charts.push(swept.ordinal);
        }
        if let Some(figure) = asked.figure {
            let values = swept.settings.iter().map(|s| f64::from(s.figures[figure as usize]));
            let known = values.filter(|value| !value.is_nan());
            told.values.extend(known.map(|value| (value, swept.ordinal)));
        }
    })?;
    let Some(mut told) = told.map(joined) else { return Ok(None) };
    if asked.figure.is_none() {
        let (charts, values) = (&told.charts, &mut told.values);
        book.each_torque(|torque, ordinal| {
            if charts.binary_search(&ordinal).is_err() {
                values.push((torque, ordinal));
            }
        })?;
    }
    let Some((least, ordinals)) = candidates(told.values, asked) else { return Ok(None) };
    let judge = Judge::new(question, book.tables(), false);
    let (parts, read) = book.share(Which::Ordinals(ordinals), |state: &mut Sides, fastener| {
        judge.take(state, &fastener);
    })?;
    let mut sides = Sides::joined(parts);
    let rows = sides.joints.rows.iter();
    let sure =
        rows.filter(|row| sort_number(question, row).is_some_and(|n| is_sure(asked, n, least)));
    if sure.count() < asked.count {
        return Ok(None);
    }
    // All others match too.
    sides.charts.matched += told.settings[0];
    sides.joints.matched = told.settings[1].max(sides.joints.matched);
    Ok(Some((sides, read)))
}

fn joined(parts: Vec<Told>) -> Told {
    let mut all = Told::default();
    for mut part in parts {
        all.charts.append(&mut part.charts);
        all.values.append(&mut part.values);
        all.settings = [0, 1].map(|at| all.settings[at] + part.settings[at]);
    }
    all
}

/// The value that as many as are asked for reach, and the ordinals of all that
/// do, with a hair for a value kept as f32; none if there are not so many.
fn candidates(mut values: Vec<(f64, u32)>, asked: First) -> Option<(f64, Vec<u32>)> {
    let last = asked.count.checked_sub(1).filter(|last| *last < values.len())?;
    let order = |a: &(f64, u32), b: &(f64, u32)| {
        if asked.down { b.0.total_cmp(&a.0) } else { a.0.total_cmp(&b.0) }
    };
    let (_, (least, _), _) = values.select_nth_unstable_by(last, order);
    let least = *least;
    let reaches = |value: f64| {
        if asked.down {
            value >= least * (1.0 - SCREEN_HAIR)
        } else {
            value <= least * (1.0 + SCREEN_HAIR)
        }
    };
    let mut ordinals: Vec<u32> =
        values.into_iter().filter(|(value, _)| reaches(*value)).map(|(_, at)| at).collect();
    ordinals.sort_unstable();
    ordinals.dedup();
    Some((least, ordinals))
}

/// Whether every row that is sorted before a row of `value` is a candidate.
fn is_sure(asked: First, value: f64, least: f64) -> bool {
    const HALF: f64 = SCREEN_HAIR / 2.0;
    if asked.down { value >= least * (1.0 - HALF) } else { value <= least * (1.0 + HALF) }
}
