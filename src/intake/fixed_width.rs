//! A text whose columns are parted by blanks, as a person types a table: each line is cut
//! where its headings and all rows below them leave blanks in common.

use std::ops::Range;

use crate::intake::IntakeError;
use crate::intake::header::{Column, Heading, Weight, known_heading};
use crate::intake::names::Names;
use crate::intake::split::RawRow;
use crate::intake::survey::score;

/// How many lines may stand above the first headings.
const HEADER_WITHIN: usize = 40;
/// No line of a table that a person types is longer, and no such text.
const WIDEST: usize = 1_000;
const LONGEST: usize = 256 * 1024;
/// Of more rows the one at fault is not looked for.
const FAULT_WITHIN: usize = 200;
/// A tab goes on to the next multiple of it.
const TAB: usize = 8;

/// A line as characters, and where its words stand that single blanks join.
struct Line {
    letters: Vec<char>,
    pieces: Vec<Range<usize>>,
}

impl Line {
    fn new(text: &str) -> Self {
        let mut letters = Vec::new();
        for letter in text.trim_end().chars() {
            match letter {
                '\t' => letters.resize(letters.len() / TAB * TAB + TAB, ' '),
                '\u{a0}' => letters.push(' '),
                other => letters.push(other),
            }
        }
        // One blank parts what is drawn below headings, two part words.
        let least = if letters.iter().all(|letter| " -=+_".contains(*letter)) { 1 } else { 2 };
        let mut pieces: Vec<Range<usize>> = Vec::new();
        for at in (0..letters.len()).filter(|at| letters[*at] != ' ') {
            match pieces.last_mut().filter(|last| at - last.end < least) {
                Some(last) => last.end = at + 1,
                None => pieces.push(at..at + 1),
            }
        }
        Self { letters, pieces }
    }

    fn is_row(&self) -> bool {
        self.pieces.len() > 1
    }

    /// A mark and words that begin below the same heading, as a note below the table has it.
    fn is_note(&self, head: &Self) -> bool {
        let ([mark, words], [_, second, ..]) = (self.pieces.as_slice(), head.pieces.as_slice())
        else {
            return false;
        };
        mark.len() <= 3 && words.start < second.start
    }

    fn text(&self, range: &Range<usize>) -> String {
        let end = range.end.min(self.letters.len());
        self.letters.get(range.start..end).unwrap_or_default().iter().collect()
    }

    /// Its cells: those of the `columns`, its own pieces where they lie across them.
    fn cells(&self, columns: &[Range<usize>]) -> Vec<String> {
        let is_within = |piece: &Range<usize>| {
            columns.iter().any(|column| column.start <= piece.start && piece.end <= column.end)
        };
        let is_inside = |at: usize| columns.iter().any(|column| column.contains(&at));
        let is_cut = match self.pieces.as_slice() {
            [one] => is_within(one),
            _ => (0..self.letters.len()).all(|at| self.letters[at] == ' ' || is_inside(at)),
        };
        let cuts = if is_cut { columns } else { &self.pieces };
        cuts.iter().map(|range| self.text(range)).collect()
    }
}

/// `text` cut at its blanks; none where they part no more than `least` headings. Errors
/// where they do, and the lines below do not stand under them.
pub(crate) fn rows(
    text: &str,
    file: &str,
    names: &Names,
    least: usize,
) -> Result<Option<Vec<RawRow>>, IntakeError> {
    let lines: Vec<Line> = match text.len() {
        0..=LONGEST => text.lines().map(Line::new).collect(),
        _ => return Ok(None),
    };
    if lines.iter().any(|line| line.letters.len() > WIDEST) {
        return Ok(None);
    }
    let is_head = |at: &usize| headings(&lines[*at], names).is_some_and(|count| count > least);
    let heads: Vec<usize> = (0..lines.len()).filter(is_head).collect();
    if heads.first().is_none_or(|first| *first > HEADER_WITHIN) {
        return Ok(None);
    }
    let mut columns = vec![Vec::new(); lines.len()];
    for (nth, head) in heads.iter().enumerate() {
        let end = heads.get(nth + 1).copied().unwrap_or(lines.len());
        let found = columns_of(&lines[*head..end])
            .map_err(|at| unclear(file, head + at, &lines[head + at]))?;
        if *head > 0 {
            columns[head - 1] = over(&lines[head - 1], &found);
        }
        columns[*head..end].fill(found);
    }
    Ok(Some(
        lines
            .iter()
            .zip(columns)
            .enumerate()
            .map(|(at, (line, columns))| {
                let mut row = RawRow::on_line(u32::try_from(at + 1).unwrap_or(u32::MAX));
                line.cells(&columns).iter().for_each(|cell| row.push(cell));
                row
            })
            .collect(),
    ))
}

/// The columns of the line above headings, which may be a first row of them: each piece
/// goes into that over which it begins, `Torque` over `dry` and `oiled`.
fn over(line: &Line, columns: &[Range<usize>]) -> Vec<Range<usize>> {
    let first = |piece: &Range<usize>| columns.iter().position(|column| piece.start < column.end);
    let places: Vec<Option<usize>> = line.pieces.iter().map(first).collect();
    if places.contains(&None) || places.windows(2).any(|pair| pair[0] == pair[1]) {
        return Vec::new();
    }
    let piece = |at| places.iter().position(|place| *place == Some(at)).map(|at| &line.pieces[at]);
    (0..columns.len()).map(|at| piece(at).cloned().unwrap_or(0..0)).collect()
}

/// How many headings stand in a row of them.
fn headings(line: &Line, names: &Names) -> Option<usize> {
    let mut row = RawRow::default();
    line.pieces.iter().for_each(|piece| row.push(&line.text(piece)));
    let with_digits = row.cells().filter(|text| text.contains(|c: char| c.is_ascii_digit()));
    if !line.is_row() || with_digits.count() * 2 > row.len() {
        return None;
    }
    let other = |text: &str| Heading::plain(text, Column::Blank);
    let known = |text| known_heading(text, names).unwrap_or_else(|| other(text));
    let headings: Vec<Heading> = row.cells().map(known).collect();
    score(&row, &headings).filter(|(_, is_sure)| *is_sure)?;
    Some(headings.iter().filter(|heading| heading.weight > Weight::None).count())
}

/// The columns of a table from its headings on; the line that keeps them from being told.
fn columns_of(lines: &[Line]) -> Result<Vec<Range<usize>>, usize> {
    let is_row = |at: &usize| lines[*at].is_row() && !lines[*at].is_note(&lines[0]);
    let rows: Vec<usize> = (0..lines.len()).filter(is_row).collect();
    let columns = parted(lines, &rows);
    let Some(bad) = across(lines, &rows, &columns) else { return Ok(columns) };
    // Cells that stand under nothing, and each row has one for each heading.
    if rows.iter().all(|row| lines[*row].pieces.len() == lines[0].pieces.len()) {
        return Ok(Vec::new());
    }
    // The one line without which the others stand in columns is at fault.
    if rows.len() > FAULT_WITHIN {
        return Err(bad);
    }
    let is_fault = |at: &&usize| {
        let rest: Vec<usize> = rows.iter().copied().filter(|row| row != *at).collect();
        across(lines, &rest, &parted(lines, &rest)).is_none()
    };
    Err(rows.iter().skip(1).find(is_fault).copied().unwrap_or(bad))
}

/// The first row of which one column holds two pieces; words may go on at the end.
fn across(lines: &[Line], rows: &[usize], columns: &[Range<usize>]) -> Option<usize> {
    let is_two = |row: &usize| {
        columns.iter().rev().skip(1).any(|column| {
            let held = |piece: &&Range<usize>| piece.start < column.end && column.start < piece.end;
            lines[*row].pieces.iter().filter(held).count() > 1
        })
    };
    rows.iter().copied().find(is_two)
}

/// The columns between the blanks that all `rows` have in common.
fn parted(lines: &[Line], rows: &[usize]) -> Vec<Range<usize>> {
    let width = rows.iter().map(|row| lines[*row].letters.len()).max().unwrap_or(0);
    let is_blank = |at: &usize| {
        rows.iter().all(|row| lines[*row].letters.get(*at).is_none_or(|letter| *letter == ' '))
    };
    let mut columns: Vec<Range<usize>> = Vec::new();
    for at in (0..width).filter(|at| !is_blank(at)) {
        match columns.last_mut() {
            Some(last) if last.end == at => last.end = at + 1,
            _ => columns.push(at..at + 1),
        }
    }
    let mut joined: Vec<Range<usize>> = Vec::new();
    for column in columns {
        match joined.last_mut().filter(|last| are_one(lines, rows, last, &column)) {
            Some(last) => last.end = column.end,
            None => joined.push(column),
        }
    }
    joined
}

/// Whether two columns are one: wherever both have words a single blank joins these, or
/// the heading stands beside its cells and not over them.
fn are_one(lines: &[Line], rows: &[usize], one: &Range<usize>, next: &Range<usize>) -> bool {
    let has = |row: &usize, column: &Range<usize>| !lines[*row].text(column).trim().is_empty();
    let is_across = |row: &usize| {
        lines[*row].pieces.iter().any(|piece| piece.start < one.end && next.start < piece.end)
    };
    let mut both = rows.iter().filter(|row| has(row, one) && has(row, next)).peekable();
    if both.peek().is_some() {
        return both.all(is_across);
    }
    let (head, body) = rows.split_first().expect("the headings are a row");
    let in_body = |column: &Range<usize>| body.iter().any(|row| has(row, column));
    has(head, one) != in_body(one) && has(head, next) != in_body(next)
}

fn unclear(file: &str, at: usize, line: &Line) -> IntakeError {
    let text: String = line.letters.iter().collect();
    let problem = format!("`{}` does not stand in the columns of the lines around it", text.trim());
    let advice = "move its words under their headings, or part all cells by tabs or semicolons";
    IntakeError::notation(file, format!(", line {}", at + 1), problem, advice)
}
