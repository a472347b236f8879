//! A question about one figure of all settings, settled by the columns of the
//! book: what is surely not in the answer is never formed, what the question
//! leaves out is counted, and the rest is judged as ever.

use crate::correction::{Outcome, SCREEN_HAIR, Screen, Screened, Stands, passes_limits};
use crate::query::plan;
use crate::query::resolve::Question;
use crate::query::run::judge::{Judge, Judged, Sides};
use crate::record::Fastener;
use crate::store::{Book, Figure, StoreError, Swept, SweptSetting, Wanted, Which};

/// What the columns tell of one side of the book.
#[derive(Debug, Default)]
struct Told {
    /// Fasteners to be judged, by ordinal.
    form: Vec<u32>,
    /// Settings of the others.
    settings: usize,
    /// Rows of the others that are left out.
    unknown: usize,
}

#[derive(Debug, Default)]
struct ToldSides {
    joints: Told,
    charts: Told,
}

/// What a fastener of which nothing is formed adds.
enum Verdict {
    /// So many rows are left out, none is answered.
    LeftOut(usize),
    /// Only its rows tell.
    Form,
}

/// Judges all of `book` for `question` by one figure, and counts the settings
/// read. None where the book has no columns that hold.
pub(super) fn judged(
    question: &Question,
    asked: plan::Swept,
    book: &Book,
) -> Result<Option<(Sides, usize)>, StoreError> {
    let told = if asked.restated { restated(question, asked, book)? } else { stored(asked, book)? };
    let Some(parts) = told else { return Ok(None) };
    let mut form: Vec<u32> = Vec::new();
    let mut sides = Sides::default();
    for part in parts {
        let first = form.len();
        form.extend(part.joints.form.iter().chain(&part.charts.form));
        form[first..].sort_unstable();
        for (told, side) in [(part.joints, &mut sides.joints), (part.charts, &mut sides.charts)] {
            add(told, asked.restated, side);
        }
    }
    let judge = Judge::new(question, book.tables(), false);
    let (parts, read) = book
        .share(Which::Ordinals(form), |state: &mut Sides, fastener| judge.take(state, &fastener))?;
    let formed = Sides::joined(parts);
    Ok(Some((Sides::joined(vec![sides, formed]), read)))
}

fn add(told: Told, restated: bool, side: &mut Judged) {
    if restated {
        // No filter: every setting matches.
        side.matched += told.settings;
        side.keep_left_out += told.unknown;
    } else {
        side.left_out += told.unknown;
    }
}

fn note(state: &mut ToldSides, swept: &Swept<'_>, verdict: Verdict) {
    let side = if swept.is_chart { &mut state.charts } else { &mut state.joints };
    match verdict {
        Verdict::Form => side.form.push(swept.ordinal),
        Verdict::LeftOut(rows) => {
            side.settings += swept.settings.len();
            side.unknown += rows;
        }
    }
}

/// Whether a figure that is kept as f32 can be from `low` to `high`.
fn can_be(asked: plan::Swept, value: f64) -> bool {
    value * (1.0 + SCREEN_HAIR) >= asked.low && value * (1.0 - SCREEN_HAIR) <= asked.high
}

/// Settings of which the figures hold as they are stored.
fn as_stored<'a>(asked: plan::Swept, settings: impl Iterator<Item = &'a SweptSetting>) -> Verdict {
    let mut unknown = 0;
    for setting in settings {
        let value = f64::from(setting.figures[asked.figure as usize]);
        if value.is_nan() {
            unknown += 1;
        } else if can_be(asked, value) {
            return Verdict::Form;
        }
    }
    Verdict::LeftOut(unknown)
}

fn stored(asked: plan::Swept, book: &Book) -> Result<Option<Vec<ToldSides>>, StoreError> {
    let mut wanted = Wanted::default();
    wanted.figures[asked.figure as usize] = true;
    book.sweep(wanted, |state: &mut ToldSides, swept: &Swept<'_>| {
        note(state, swept, as_stored(asked, swept.settings.iter()));
    })
}

fn restated(
    question: &Question,
    asked: plan::Swept,
    book: &Book,
) -> Result<Option<Vec<ToldSides>>, StoreError> {
    let Some(shapes) = book.shapes()? else { return Ok(None) };
    let tables = book.tables();
    let lubes = question.with.iter().filter_map(|name| tables.lube(name));
    let screens = lubes.map(|lube| Screen::new(lube, tables)).collect::<Option<Vec<_>>>();
    let Some(screens) = screens else { return Ok(None) };
    let screened = screen_all(shapes, &screens);
    let mut wanted = Wanted { reach: true, ..Wanted::default() };
    for figure in [asked.figure, Figure::Clamp, Figure::OfProof, Figure::OfYield, Figure::Combined]
    {
        wanted.figures[figure as usize] = true;
    }
    book.sweep(wanted, |state: &mut ToldSides, swept: &Swept<'_>| {
        let mut unknown = 0;
        for screened in &screened {
            match of_lube(asked, swept.settings, screened) {
                Verdict::Form => return note(state, swept, Verdict::Form),
                Verdict::LeftOut(rows) => unknown += rows,
            }
        }
        note(state, swept, Verdict::LeftOut(unknown));
    })
}

/// Every shape for each lube, on two cores.
fn screen_all(shapes: Vec<Fastener>, screens: &[Screen<'_>]) -> Vec<Vec<Screened>> {
    let each = |shapes: Vec<Fastener>| -> Vec<Vec<Screened>> {
        let Some((last, others)) = screens.split_last() else { return Vec::new() };
        let of =
            |screen: &Screen<'_>| shapes.iter().map(|shape| screen.of(shape.clone())).collect();
        let mut all: Vec<Vec<Screened>> = others.iter().map(of).collect();
        all.push(shapes.into_iter().map(|shape| last.of(shape)).collect());
        all
    };
    let mut one = shapes;
    let other = one.split_off(one.len() / 2);
    std::thread::scope(|scope| {
        let each = &each;
        let other = scope.spawn(move || each(other));
        let mut all = each(one);
        let other = other.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic));
        all.iter_mut().zip(other).for_each(|(all, other)| all.extend(other));
        all
    })
}

/// What [`crate::correction::with_lubes`] makes of the settings of a fastener
/// for one lube, as far as the answer is concerned: the listed ones, else what
/// can be computed, else what was computed before, else a refusal.
fn of_lube(asked: plan::Swept, settings: &[SweptSetting], screened: &[Screened]) -> Verdict {
    let of = |setting: &SweptSetting| {
        setting.shape.and_then(|shape| screened.get(shape as usize)).copied()
    };
    if settings.iter().any(|setting| of(setting).is_none()) {
        return Verdict::Form;
    }
    let standing =
        |how: Stands| settings.iter().filter(move |s| of(s).is_some_and(|s| s.stands == Some(how)));
    if standing(Stands::Listed).next().is_some() {
        return as_stored(asked, standing(Stands::Listed));
    }
    let (mut computed, mut unknown) = (0, 0);
    for setting in settings {
        let outcome = of(setting).map_or(Outcome::Unsure, |screened| screened.outcome);
        match of_setting(asked, setting, outcome) {
            Restated::Refused => {}
            Restated::Outside => computed += 1,
            Restated::Unknown => (computed, unknown) = (computed + 1, unknown + 1),
            Restated::Unsure => return Verdict::Form,
        }
    }
    match (computed, unknown) {
        (0, _) if standing(Stands::Computed).next().is_some() => {
            as_stored(asked, standing(Stands::Computed))
        }
        // One row says why there is no figure.
        (0, _) => Verdict::LeftOut(1),
        (_, 0) | (1, _) => Verdict::LeftOut(unknown),
        // How many stand depends on how near they are to each other.
        _ => Verdict::Form,
    }
}

/// What one setting becomes.
enum Restated {
    Refused,
    /// A row of which the figure is not wanted.
    Outside,
    /// A row without that figure.
    Unknown,
    Unsure,
}

/// Clamps, N, between which no rounding and no limit of arithmetic is met.
const PLAIN_CLAMPS: std::ops::Range<f64> = 1.0..1e9;

fn of_setting(asked: plan::Swept, setting: &SweptSetting, outcome: Outcome) -> Restated {
    let (clamp, combined) = match outcome {
        Outcome::Refused => return Restated::Refused,
        Outcome::Unsure => return Restated::Unsure,
        Outcome::Computed { clamp, combined } => (clamp, combined),
    };
    let figure = |figure: Figure| {
        let factor = if figure == Figure::Combined { combined } else { clamp };
        f64::from(setting.figures[figure as usize]) * factor
    };
    let reach = f64::from(setting.reach);
    if !PLAIN_CLAMPS.contains(&figure(Figure::Clamp)) || reach.is_nan() || reach < 1.0 {
        return Restated::Unsure;
    }
    let at_high_end = |share: Figure| figure(share) * reach;
    let passes = passes_limits(
        at_high_end(Figure::OfProof),
        at_high_end(Figure::OfYield),
        at_high_end(Figure::Combined),
    );
    match passes {
        None => return Restated::Unsure,
        Some(true) => return Restated::Refused,
        Some(false) => {}
    }
    match figure(asked.figure) {
        value if value.is_nan() => Restated::Unknown,
        value if can_be(asked, value) => Restated::Unsure,
        _ => Restated::Outside,
    }
}
