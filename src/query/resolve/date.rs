//! Dates: a day, a month or a year, as sources print them.

use crate::query::resolve::{ResolveError, Test};
use crate::query::syntax::{Leaf, Relation};
use crate::record::Field;

/// Whether `field` holds dates.
pub(crate) fn is_date(field: &Field) -> bool {
    matches!(field.name, "source-date" | "entered-on")
}

pub(super) fn test(
    field: &'static Field,
    relation: Relation,
    value: &Leaf,
) -> Result<Test, ResolveError> {
    Ok(Test::Date { field, relation, date: date(field, value)? })
}

pub(super) fn range(field: &'static Field, low: &Leaf, high: &Leaf) -> Result<Test, ResolveError> {
    let (from, to) = (date(field, low)?, date(field, high)?);
    let length = from.len().min(to.len());
    if from[..length] > to[..length] {
        let turned = format!("{to}..{from}");
        return Err(ResolveError::Reversed { turned, span: low.place.0.to(high.place.0) });
    }
    Ok(Test::DateWithin { field, low: from, high: to })
}

/// `2020`, `2020-05` or `2020-05-12`.
fn date(field: &'static Field, value: &Leaf) -> Result<String, ResolveError> {
    let text = value.text.trim();
    let groups: Vec<&str> = text.split('-').collect();
    let is_figures = |group: &str, length: usize, most: u32| {
        group.len() == length
            && group.bytes().all(|byte| byte.is_ascii_digit())
            && group.parse().is_ok_and(|figure: u32| (1..=most).contains(&figure))
    };
    let fits = match groups.as_slice() {
        [year] => is_figures(year, 4, 9999),
        [year, month] => is_figures(year, 4, 9999) && is_figures(month, 2, 12),
        [year, month, day] => {
            is_figures(year, 4, 9999) && is_figures(month, 2, 12) && is_figures(day, 2, 31)
        }
        _ => false,
    };
    if fits {
        return Ok(text.to_owned());
    }
    Err(ResolveError::BadValue {
        found: value.text.clone(),
        field: field.name,
        expected: "a year, a month or a day: 2020, 2020-05 or 2020-05-12".to_owned(),
        nearest: None,
        span: value.place.0,
    })
}
