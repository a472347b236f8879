//! One row judged by itself: headings, the headings once more, a note below the
//! table.

use crate::intake::header::{Heading, Weight};
use crate::intake::row_parts::points_below;
use crate::intake::split::RawRow;
use crate::intake::survey::content::starts_with_thread;
use crate::intake::words::plain_words;

/// The filled cells of a row with their columns.
pub(super) fn filled(row: &RawRow) -> impl Iterator<Item = (usize, &str)> {
    row.cells().enumerate().filter(|(_, text)| !text.is_empty())
}

/// The headings once more, as at the top of each printed page.
pub(super) fn is_again(row: &RawRow, headings: &[String]) -> bool {
    !headings.is_empty()
        && headings.iter().enumerate().all(|(at, text)| row.cell(at).eq_ignore_ascii_case(text))
}

/// How much a row is a heading row, and whether it surely is; none if it is not.
pub(crate) fn score(row: &RawRow, headings: &[Heading]) -> Option<(usize, bool)> {
    let (mut strong, mut weak, mut total, mut figures) = (0, 0, 0, 0);
    let (mut threads, mut grades) = (0, 0);
    for (at, text) in filled(row) {
        total += 1;
        let Some(heading) = headings.get(at) else { continue };
        match heading.weight {
            Weight::Strong | Weight::Named => strong += 1,
            Weight::Weak => {
                weak += 1;
                let given = heading.given.as_ref().map(|(field, _)| *field);
                threads += usize::from(given == Some("thread"));
                grades += usize::from(given == Some("strength"));
            }
            Weight::None => {
                let digits = text.bytes().filter(u8::is_ascii_digit).count();
                figures += usize::from(digits > 0 && digits * 2 >= text.len());
            }
        }
    }
    let known = strong + weak;
    // A row of data may hold words that are headings too, but also a size and a
    // grade, or plain figures.
    let is_data = (threads > 0 && grades > 0) || (threads == 1 && strong < 3);
    let is_matrix = threads.max(grades) >= 2 && strong >= 1;
    let is_pair = total == 2 && strong == 1 && weak == 1 && grades + threads == 0;
    let is_header = (strong >= 2 || (strong >= 1 && weak >= 2) || is_matrix || is_pair) && !is_data;
    let is_clean = figures == 0 || strong >= 4 || is_matrix;
    (is_header && is_clean).then_some((strong * 2 + weak, known * 2 >= total && strong >= 1))
}

/// Grades or conditions over figures, and nothing over the sizes before them.
pub(super) fn is_corner(rows: &[RawRow], at: usize, headings: &[Heading]) -> bool {
    let row = &rows[at];
    let is_over = |(at, _): (usize, &str)| {
        headings[at].column.is_torque()
            && (headings[at].given.is_some() || !headings[at].column.is("torque"))
    };
    let next = rows[at + 1..].iter().find(|row| !row.is_blank());
    row.cell(0).is_empty()
        && filled(row).count() >= 2
        && filled(row).all(is_over)
        && next.is_some_and(|next| starts_with_thread(next.cell(0)))
}

/// The points of a row of words, few of them known, over entries: one says thread, and one
/// stands below it.
pub(super) fn over_threads(
    rows: &[RawRow],
    at: usize,
    headings: &[Heading],
) -> Option<(usize, bool)> {
    let row = &rows[at];
    let known = headings.iter().filter(|one| one.weight >= Weight::Weak).count();
    let has_digit = |text: &str| text.contains(|c: char| c.is_ascii_digit());
    let next = rows[at + 1..].iter().find(|row| !row.is_blank())?;
    let is_over = |(at, one): (usize, &Heading)| {
        one.column.is("thread") && one.weight >= Weight::Strong && starts_with_thread(next.cell(at))
    };
    let is_so = known >= 2
        && filled(row).count() > 2
        && !filled(row).any(|(_, text)| has_digit(text))
        && headings.iter().enumerate().any(is_over);
    is_so.then_some((known, true))
}

/// Whether the one number of a row is the sum of those above it in a column of counts, and
/// the row names neither thread nor torque: a total, whatever its words.
pub(super) fn adds_up<'a>(
    cells: &[(usize, &str)],
    headings: &[Heading],
    above: impl Iterator<Item = &'a RawRow>,
) -> bool {
    let number = |text: &str| text.parse::<u32>().ok();
    let numbers: Vec<(usize, u32)> =
        cells.iter().filter_map(|(at, text)| Some((*at, number(text)?))).collect();
    let ([(at, sum)], 2..=3) = (&numbers[..], cells.len()) else { return false };
    if !headings.get(*at).is_some_and(|one| one.column.is("count")) {
        return false;
    }
    let counts: Vec<u32> = above.filter_map(|row| number(row.cell(*at))).collect();
    counts.len() > 1 && counts.iter().try_fold(0u32, |sum, one| sum.checked_add(*one)) == Some(*sum)
}

/// A note below the table with the mark that points at it: `1 = retorque`,
/// `* new bolts`, `(2) see manual`, `Note 3: …`.
/// `is_noted`: it stands below others, or below their title; then `a go round again` is one too.
/// `pointed`: its letter as a cell above it has it.
pub(super) fn footnote(
    cells: &[(usize, &str)],
    is_noted: bool,
    pointed: Option<&str>,
) -> Option<(String, String)> {
    let text = cells.iter().map(|(_, text)| *text).collect::<Vec<_>>().join(", ");
    let mut rest = text.as_str();
    let folded = plain_words(cells[0].1);
    for word in ["note", "hinweis", "anmerkung", "remarque", "nota", "fussnote", "rem", "anm"] {
        if folded
            .strip_prefix(word)
            .is_some_and(|rest| rest.trim_start().starts_with(|c: char| c.is_ascii_digit()))
        {
            rest = rest.get(word.len()..)?.trim_start_matches(['.', ' ']);
            break;
        }
    }
    let rest = rest.trim_start_matches(['(', '[']);
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    let stars = rest
        .chars()
        .take_while(|c| matches!(c, '*' | '†' | '‡' | '¹' | '²' | '³'))
        .map(char::len_utf8)
        .sum();
    let length = match (digits, stars) {
        (1..=2, _) => digits,
        (0, 1..) => stars,
        (0, 0) => {
            // `a = again after 10 h`, `a - again after 10 h`
            let after = rest.strip_prefix(|c: char| c.is_ascii_alphabetic())?;
            let is_small = rest.starts_with(|c: char| c.is_ascii_lowercase());
            let is_letter = is_noted
                && (after.starts_with([' ', ',']) && is_small || after.starts_with(". "))
                || is_small && [" - ", " – "].iter().any(|dash| after.starts_with(dash));
            let is_letter = is_letter || pointed.is_some();
            if !is_letter && !after.trim_start().starts_with([')', '=', ':']) {
                return None;
            }
            1
        }
        _ => return None,
    };
    let (mark, after) = rest.split_at(length);
    let text = after.trim_start_matches([')', ']', '.', ':', '=', '-', '–', ',', ' ']);
    let parted = after.starts_with([')', ']', '.', ':', '=', '-', ' ', ',']) || stars > 0;
    let is_words = text.chars().filter(|c| c.is_alphabetic()).count() >= 4 && text.contains(' ');
    (parted && is_words && text.starts_with(|c: char| c.is_alphabetic()))
        .then(|| (pointed.unwrap_or(mark).to_owned(), text.to_owned()))
}

/// The letter alone with which a line begins, where a cell above it is this letter and nothing
/// else, below a heading of notes: as that cell writes it.
pub(super) fn pointed_at<'r>(
    above: &'r [RawRow],
    headings: &[Heading],
    line: &str,
) -> Option<&'r str> {
    let letter = line.get(..1).filter(|it| it.starts_with(|c: char| c.is_ascii_alphabetic()))?;
    if line[1..].starts_with(char::is_alphanumeric) {
        return None;
    }
    let columns = (0..headings.len()).filter(|at| points_below(&headings[*at]));
    let mut cells = columns.flat_map(|at| above.iter().map(move |row| row.cell(at)));
    cells.find(|cell| cell.eq_ignore_ascii_case(letter))
}
