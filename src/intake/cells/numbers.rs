//! Numbers of a cell: decimal comma, thousands, the letter O, and dates that
//! were once fractions.

use std::borrow::Cow;

use crate::intake::verdict::Problem;
use crate::quantity::{DecimalMark, Number, NumberError};

/// `1 010` with a blank that holds it together, or with groups that no figure begins
/// with: the blank parts thousands.
pub(crate) fn joined_thousands(cell: &str) -> Cow<'_, str> {
    let is_blank = |c: char| matches!(c, ' ' | '\u{a0}' | '\u{202f}' | '\u{2009}');
    let parts = |(at, blank): &(usize, &str)| {
        let (before, after) = (&cell[..*at], &cell[at + blank.len()..]);
        let digits = after.bytes().take_while(u8::is_ascii_digit).count();
        let holds = *blank != " " || after.starts_with('0');
        digits == 3 && holds && before.ends_with(|c: char| c.is_ascii_digit())
    };
    let mut joined = Cow::Borrowed(cell);
    for (at, blank) in
        cell.match_indices(is_blank).filter(parts).collect::<Vec<_>>().into_iter().rev()
    {
        joined.to_mut().replace_range(at..at + blank.len(), "");
    }
    joined
}

/// Takes the number at the start of `rest`, which is the end of `cell` that is
/// not read yet. A comma that may be a decimal mark is a question unless
/// `in_list`, where commas part the members.
pub(crate) fn take_number(
    cell: &str,
    rest: &str,
    mark: DecimalMark,
    in_list: bool,
) -> Result<(Number, usize), Problem> {
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    let after = &rest[digits..];
    let other = if mark == DecimalMark::Point { ',' } else { '.' };
    if let Some(whole) = parted_thousands(rest, mark) {
        return whole.map_err(|error| bad_number(&error));
    }
    // `1.234,5` where decimals follow a point: its two marks say what is meant.
    if mark == DecimalMark::Point
        && !in_list
        && let Some(Ok((_, length))) = parted_thousands(rest, DecimalMark::Comma)
    {
        let written = &rest[..length];
        let meant = written.replace('.', "").replace(',', ".");
        let reason = format!("`{written}`: decimals follow a point, and nothing parts thousands");
        let reading = cell.replacen(written, &meant, 1);
        return Err(Problem::question("decimal-mark", reason, vec![reading]));
    }
    if let Some(tail) = after.strip_prefix(other) {
        let places = tail.bytes().take_while(u8::is_ascii_digit).count();
        let next = tail[places..].chars().next();
        let many = next == Some(other) && mark == DecimalMark::Point;
        let is_range = other == '.' && tail.starts_with('.');
        if digits > 0 && places > 0 && !many && !is_range && !(in_list && other == ',') {
            return Err(comma(cell, &rest[..=digits + places], &after[1..=places], mark));
        }
    }
    let taken = if mark == DecimalMark::Comma && digits == 0 {
        // A leading point is a decimal point in any file: .0055
        Number::take(rest, DecimalMark::Point).or_else(|_| Number::take(rest, mark))
    } else {
        plain_decimal(rest, mark)
    };
    let (number, length) = taken.map_err(|error| bad_number(&error))?;
    letter_inside(rest, length)?;
    Ok((number, length))
}

/// `1.020,5` where decimals follow a comma, `1,020.5` where they follow a point: both
/// marks say which is which.
fn parted_thousands(rest: &str, mark: DecimalMark) -> Option<Result<(Number, usize), NumberError>> {
    let (parts, own) = if mark == DecimalMark::Comma { ('.', ',') } else { (',', '.') };
    let end = rest.find(own)?;
    let (whole, after) = (&rest[..end], &rest[end + 1..]);
    let mut groups = whole.split(parts);
    let first = groups.next().filter(|group| (1..=3).contains(&group.len()))?;
    let rest_of: Vec<&str> = groups.collect();
    let is_digits = |group: &str| group.bytes().all(|byte| byte.is_ascii_digit());
    let decimals = after.bytes().take_while(u8::is_ascii_digit).count();
    if rest_of.is_empty()
        || decimals == 0
        || !is_digits(first)
        || !rest_of.iter().all(|group| group.len() == 3 && is_digits(group))
    {
        return None;
    }
    let joined = format!("{}.{}", whole.replace(parts, ""), &after[..decimals]);
    let taken = Number::take(&joined, DecimalMark::Point);
    Some(taken.map(|(number, _)| (number, end + 1 + decimals)))
}

/// Decimal digits only: a stroke or dash after them is the caller's.
fn plain_decimal(rest: &str, mark: DecimalMark) -> Result<(Number, usize), NumberError> {
    let point = if mark == DecimalMark::Comma { ',' } else { '.' };
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    let tail = rest[digits..].strip_prefix(point).unwrap_or("");
    let places = tail.bytes().take_while(u8::is_ascii_digit).count();
    let length = if places > 0 { digits + 1 + places } else { digits };
    Number::take(&rest[..length], mark)
}

fn comma(cell: &str, written: &str, places: &str, mark: DecimalMark) -> Problem {
    let (other, wanted) = if mark == DecimalMark::Point { (',', ".") } else { ('.', ",") };
    let decimal = written.replace(other, wanted);
    let mut readings = vec![cell.replacen(written, &decimal, 1)];
    if places.len() == 3 {
        // The last nought of `1.450` says nothing where it may part thousands.
        let decimal = decimal.trim_end_matches('0').trim_end_matches(wanted);
        let whole = written.replace(other, "");
        readings = [whole.as_str(), decimal].map(|one| cell.replacen(written, one, 1)).to_vec();
    }
    let advice = match readings.as_slice() {
        [whole, decimal] => {
            Some(format!("write `{decimal}` for a decimal, `{whole}` for thousands"))
        }
        _ => None,
    };
    let reason = if places.len() == 3 {
        format!("`{written}`: is the `{other}` a decimal mark or does it part thousands")
    } else {
        format!("`{written}`: a `{other}` stands where decimals follow a `{wanted}`")
    };
    let problem = Problem::question("decimal-mark", reason, readings);
    advice.map_or(problem.clone(), |advice| problem.advise(advice))
}

/// The letters O, o, l and I among the digits.
fn letter_inside(rest: &str, length: usize) -> Result<(), Problem> {
    let tail = &rest[length..];
    let is_odd = |c: char| matches!(c, 'O' | 'o' | 'l' | 'I');
    let run: String =
        tail.chars().take_while(|c| is_odd(*c) || c.is_ascii_digit() || *c == '.').collect();
    let next = tail[run.len()..].chars().next();
    let zero = tail.starts_with(['O', 'o']) && !run.chars().skip(1).any(|c| matches!(c, 'o' | 'O'));
    let starts_unit = ["oz", "of", "oil", "or"]
        .iter()
        .any(|unit| tail.get(..unit.len()).is_some_and(|start| start.eq_ignore_ascii_case(unit)));
    let alone = !run.is_empty() && is_odd(run.chars().next().unwrap_or(' ')) && {
        next.is_none_or(|c| !c.is_alphabetic())
    };
    if (zero && !starts_unit) || alone {
        let letters: String = tail.chars().take_while(|c| matches!(c, 'O' | 'o')).collect();
        let part = if alone { run } else { letters };
        return Err(letter(&format!("{}{part}", &rest[..length])));
    }
    Ok(())
}

/// Refuses a number with a letter in it and says what it may mean.
pub(crate) fn letter(found: &str) -> Problem {
    let meant = found.replace(['O', 'o'], "0").replace(['l', 'I'], "1");
    let letter = found.chars().find(|c| c.is_alphabetic()).unwrap_or('O');
    Problem::refused(
        "letter-in-number",
        format!("the letter {letter} in the number `{found}`"),
        format!("if {meant} is meant, write it with a digit"),
    )
}

/// Whether a word is digits with letters that look like digits: `O7`.
pub(crate) fn is_letter_number(word: &str) -> bool {
    let looks = |c: char| c.is_ascii_digit() || matches!(c, 'O' | 'o' | 'l' | 'I');
    word.chars().all(looks) && word.chars().any(|c| c.is_ascii_digit())
}

/// A number that cannot be kept.
pub(crate) fn bad_number(error: &NumberError) -> Problem {
    match error {
        NumberError::Letter(found, _) => letter(found),
        other => Problem::refused("not-a-number", other.to_string(), "write a plain number"),
    }
}

const MONTHS: [&str; 12] =
    ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

/// Day and month of a text that a spreadsheet made from a fraction or a range:
/// `12-May`, `Jul-16`, `2024-07-16`, `7/16/2024`.
pub(crate) fn date_made_of(text: &str) -> Option<(u32, u32)> {
    let text = text.trim();
    let text = text.strip_suffix("00:00:00").unwrap_or(text).trim_end_matches([' ', 'T']);
    let pieces: Vec<&str> =
        text.split(['-', '/', ' ', '.']).filter(|piece| !piece.is_empty()).collect();
    let number = |piece: &str| piece.parse::<u32>().ok().filter(|_| piece.len() <= 2);
    let month = |piece: &str| {
        let short = piece.get(..3)?.to_ascii_lowercase();
        let whole = piece.chars().all(char::is_alphabetic) && piece.len() <= 9;
        MONTHS.iter().position(|name| *name == short).filter(|_| whole).map(|at| at as u32 + 1)
    };
    let is_year = |piece: &str| {
        piece.len() == 4 && piece.parse::<u32>().is_ok_and(|year| (1900..2100).contains(&year))
    };
    match pieces.as_slice() {
        [one, two] | [one, two, _] if month(one).is_some() || month(two).is_some() => {
            let (name, day) = if month(one).is_some() { (one, two) } else { (two, one) };
            Some((number(day)?, month(name)?))
        }
        [year, month, day] if is_year(year) => Some((number(day)?, number(month)?)),
        [first, second, year] if is_year(year) && text.contains('/') => {
            Some((number(second)?, number(first)?))
        }
        _ => None,
    }
}

/// Refuses a cell that a spreadsheet has turned into a date, and names what it
/// may have been.
pub(crate) fn turned_into_date(text: &str, joint: &str) -> Option<Problem> {
    let (day, month) = date_made_of(text)?;
    let one = format!("{month}{joint}{day}");
    let may = if day == month { one } else { format!("{one} or {day}{joint}{month}") };
    let reason = format!(
        "`{text}` is a date: a spreadsheet has changed what was typed; it may have been {may}"
    );
    let advice = "type it again with the column set to text";
    Some(Problem::refused("turned-into-date", reason, advice))
}
