//! Dates: ISO, or written so that only one reading is left.

use jiff::civil::Date;

use super::numbers::date_made_of;
use crate::intake::verdict::{Problem, Reading, Taken};
use crate::text::Plain;

/// Reads a date. None with a warning for a year or a month alone, which cannot
/// be kept as a day.
///
/// Points part day, month and year in that order, as where they are written so (common
/// practice, no source); of two numbers parted otherwise `day_first` says it, as far as
/// it is known.
pub(crate) fn read_date(cell: &str, day_first: Option<bool>) -> Reading<Option<Date>> {
    let plain = Plain::new(cell);
    let text = plain.as_str().trim();
    if let Ok(date) = text.parse::<Date>() {
        return Ok(Taken::plain(Some(date)));
    }
    let pieces: Vec<&str> = text
        .split(['-', '/', ' ', '.', ','])
        .filter(|piece| !piece.is_empty())
        .map(without_ordinal)
        .collect();
    let numbers: Option<Vec<i16>> = pieces.iter().map(|piece| piece.parse().ok()).collect();
    match numbers.as_deref() {
        Some([year @ 1000..=9999, month, day, ..]) => {
            return calendar_day(text, *year, *month, *day);
        }
        Some([first, second, year @ 1000..=9999]) => {
            let day_first = if text.contains('.') { Some(true) } else { day_first };
            return two_ways(text, [*first, *second, *year], day_first);
        }
        Some([1000..=9999] | [1000..=9999, _] | [_, 1000..=9999]) => return Ok(incomplete()),
        _ => {}
    }
    let year = pieces.iter().find_map(|piece| piece.parse::<i16>().ok().filter(|y| *y >= 1000));
    let without_year: Vec<&str> = pieces
        .iter()
        .filter(|piece| piece.len() != 4 || !piece.starts_with(['1', '2']))
        .copied()
        .collect();
    match (year, date_made_of(&without_year.join(" "))) {
        (Some(year), Some((day, month))) => calendar_day(
            text,
            year,
            i16::try_from(month).unwrap_or(0),
            i16::try_from(day).unwrap_or(0),
        ),
        (Some(_), None) if matches!(without_year.as_slice(), [name] if is_month(name)) => {
            Ok(incomplete())
        }
        _ => Err(no_date(text)),
    }
}

fn incomplete() -> Taken<Option<Date>> {
    let reason = "a date without its day cannot be kept as a date";
    Taken::plain(None).warn("date-incomplete", reason, "it stands in the notes")
}

/// `3rd` without its ending.
fn without_ordinal(piece: &str) -> &str {
    let bare = ["st", "nd", "rd", "th"].iter().find_map(|end| piece.strip_suffix(end));
    bare.filter(|bare| bare.bytes().all(|byte| byte.is_ascii_digit())).unwrap_or(piece)
}

/// Whether the word is a month: the day before it would make a date.
fn is_month(word: &str) -> bool {
    date_made_of(&format!("1 {word}")).is_some()
}

fn calendar_day(text: &str, year: i16, month: i16, day: i16) -> Reading<Option<Date>> {
    let date = i8::try_from(month)
        .ok()
        .zip(i8::try_from(day).ok())
        .and_then(|(month, day)| Date::new(year, month, day).ok())
        .ok_or_else(|| no_date(text))?;
    Ok(Taken::plain(Some(date)).echo("date", "another way to write it"))
}

/// `5/12/2024`: day or month first.
fn two_ways(text: &str, numbers: [i16; 3], day_first: Option<bool>) -> Reading<Option<Date>> {
    let [first, second, year] = numbers;
    let with_day_first = calendar_day(text, year, second, first);
    let with_month_first = calendar_day(text, year, first, second);
    match (with_day_first, with_month_first) {
        (Ok(taken), Ok(_)) if day_first == Some(true) => Ok(taken),
        (Ok(_), Ok(taken)) if day_first == Some(false) => Ok(taken),
        (Ok(one), Ok(two)) if one.value != two.value => {
            let readings = [two, one].into_iter().filter_map(|taken| taken.value);
            let readings = readings.map(|date| date.to_string()).collect();
            let reason = format!("`{text}`: day or month first");
            Err(Problem::question("day-or-month", reason, readings))
        }
        (Ok(taken), _) | (_, Ok(taken)) => Ok(taken),
        (Err(problem), _) => Err(problem),
    }
}

fn no_date(text: &str) -> Problem {
    Problem::refused("not-a-date", format!("`{text}` is not a date"), "write it as 2024-05-12")
}
