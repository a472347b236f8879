//! Headings over two rows, and a row of units below them.

use crate::intake::cells::{says_nothing, strength_named};
use crate::intake::header::{Column, Heading, Weight, is_thread};
use crate::intake::heading_parts::units_spelled;
use crate::intake::split::RawRow;
use crate::intake::survey::rows::{Finder, figures};
use crate::intake::survey::tell::filled;
use crate::intake::words::plain_words;
use crate::quantity::{Dimension, Unit};

impl Finder<'_> {
    /// Whether `row` stands above headings as a second row of them: it says
    /// torque, a lube or a step over several columns.
    pub(super) fn is_over(&self, row: &RawRow, headings: &[Heading]) -> bool {
        let filled: Vec<(usize, Heading)> =
            filled(row).map(|(at, text)| (at, self.heading(text))).collect();
        // `Torque` over `dry`, over `Nm`: not over `Size`.
        let under = |at: usize| {
            headings.get(at).is_some_and(|under| under.weight < Weight::Strong || figures(under))
        };
        let over = filled.iter().filter(|(at, heading)| figures(heading) && *at > 0 && under(*at));
        over.count() > 0
            && filled.iter().all(|(at, heading)| *at > 0 || heading.weight >= Weight::Strong)
    }

    /// Whether `row` goes on with the headings above it: dry, oiled, min, max,
    /// grades, under a torque.
    pub(super) fn is_second(&self, row: &RawRow, headings: &[Heading]) -> bool {
        let (mut below, mut unknown) = (0, 0);
        for (at, text) in filled(row) {
            let heading = self.heading(text);
            let over = (0..=at).rev().find_map(|at| {
                headings.get(at).filter(|over| !matches!(over.column, Column::Blank))
            });
            let fits = heading.weight >= Weight::Weak
                && over.is_some_and(|over| over.column.is_torque() || over.weight == Weight::None);
            // A heading over several columns, written in each of them.
            let is_spread = over.is_some_and(|over| {
                let same = |at: Option<usize>| {
                    at.and_then(|at| headings.get(at)).is_some_and(|one| one.text == over.text)
                };
                let is_last = headings.get(at + 1).is_some_and(|next| next.column == Column::Blank)
                    && headings.get(at).is_some_and(|here| here.text == over.text)
                    && !row.cell(at + 1).is_empty();
                !over.text.is_empty() && (is_last || same(at.checked_sub(1)) || same(Some(at + 1)))
            });
            let fits = fits || is_spread && heading.weight >= Weight::Strong;
            let is_blank = headings.get(at).is_none_or(|over| matches!(over.column, Column::Blank));
            let repeats = heading.weight >= Weight::Strong && is_blank;
            // `Stück` below `Anzahl`, `mm` below `Spanner`.
            // A heading merged over both rows stands in each.
            let is_beside = headings.get(at).is_some_and(|over| {
                let is_same = heading.column == over.column || self.is_unit_word(text);
                over.weight > Weight::None && is_same || over.text == text
            });
            if !fits && !repeats && !is_beside {
                // `Mittel` beside `Moment` and `Winkel`.
                let is_word = !text.contains(|c: char| c.is_ascii_digit());
                if !is_blank || !is_word || heading.weight > Weight::None {
                    return false;
                }
                unknown += 1;
            }
            below += usize::from(fits || repeats);
        }
        below >= 2
            && unknown * 3 <= below
            && !filled(row).any(|(_, text)| is_thread(text) && text.contains(['x', 'X', '-']))
    }

    /// Whether the first of `rows` has names alone, below a torque that stands over them all:
    /// each heads the figures below it then, `Torque` over `Ostrand` and `Pellworth`.
    pub(super) fn names_under(&self, rows: &[RawRow], headings: &mut Vec<Heading>) -> bool {
        let Some((row, below)) = rows.split_first() else { return false };
        let is_blank =
            |at: usize| headings.get(at).is_none_or(|over| matches!(over.column, Column::Blank));
        let over = |at: usize| (0..=at).rev().find(|at| !is_blank(*at));
        let cells: Vec<(usize, &str)> = filled(row).collect();
        let is_under = |(at, text): &(usize, &str)| {
            let is_torque = over(*at).is_some_and(|over| headings[over].column.is("torque"));
            let is_name = text.chars().all(|c| c.is_alphabetic() || " -./".contains(c));
            is_torque && is_name && self.heading(text).weight == Weight::None
        };
        let is_one = cells.iter().map(|(at, _)| over(*at)).all(|one| one == over(cells[0].0));
        let starts = |row: &&RawRow| {
            let is_figure = |at: usize| row.cell(at).starts_with(|c: char| c.is_ascii_digit());
            cells.iter().any(|(at, _)| is_figure(*at))
        };
        let next = below.iter().find(|row| !row.is_blank());
        if cells.len() < 2
            || !is_one
            || !cells.iter().all(is_under)
            || !next.is_some_and(|row| starts(&row))
        {
            return false;
        }
        let Some(torque) = over(cells[0].0).map(|at| headings[at].clone()) else { return false };
        let width = cells.last().map_or(0, |(at, _)| at + 1).max(headings.len());
        headings.resize(width, Heading::plain("", Column::Blank));
        for (at, text) in cells {
            let given = Some(("joint", text.to_owned()));
            let text = format!("{} {text}", torque.text);
            headings[at] = Heading { text, given, weight: Weight::Weak, ..torque.clone() };
        }
        true
    }

    /// Two rows of headings as one; a blank above repeats what stands left of it.
    pub(super) fn combined(&self, over: &RawRow, under: &RawRow) -> Vec<Heading> {
        let width = over.len().max(under.len());
        let mut left = "";
        let combined = (0..width).map(|at| {
            let (above, below) = (over.cell(at), under.cell(at));
            if !above.is_empty() {
                left = above;
            }
            let alone = self.heading(below);
            let spread = above.is_empty() && !left.is_empty();
            let text = match (above, below) {
                (above, below) if below.is_empty() || above == below => above.to_owned(),
                ("", below) if !spread || alone.weight >= Weight::Named => below.to_owned(),
                ("", below) if alone.weight == Weight::Strong && !figures(&alone) => {
                    below.to_owned()
                }
                ("", below) => format!("{left} {below}"),
                (above, below) => format!("{above} {below}"),
            };
            let heading = self.heading(&text);
            if !matches!(heading.column, Column::Unknown { .. }) {
                return heading;
            }
            let over = self.heading(above);
            match (alone.weight >= Weight::Strong, over.weight >= Weight::Strong) {
                (_, true) if self.is_unit_word(below) => over,
                (true, _) => alone,
                _ => heading,
            }
        });
        combined.collect()
    }

    /// Gives headings the units below them; a blank one right of a torque, in another unit,
    /// is the same torque once more: `Torque` over `Nm` and `ft-lb`. `No.` over `off` counts.
    pub(super) fn give_units(&self, headings: &mut [Heading], row: &RawRow, found: UnitRow) {
        for (at, text) in filled(row) {
            let says_count = self.heading(text).column.is("count");
            if let Some(over) = headings.get_mut(at).filter(|_| says_count)
                && let Some(count) = over.others.iter().position(|other| other.is("count"))
            {
                over.column = over.others.remove(count);
            }
        }
        for (at, unit) in found.units.into_iter().enumerate() {
            let Some(unit) = unit else { continue };
            let (before, rest) = headings.split_at_mut(at);
            let left = before.last().filter(|left| left.column.is_torque() && left.units != unit);
            let of_torque = |left: &&Heading| {
                left.units.first().map(|one| one.dimension) == unit.first().map(|one| one.dimension)
            };
            if let Some(left) = left.filter(of_torque)
                && rest[0].column == Column::Blank
            {
                rest[0] = Heading { units: unit, ..left.clone() };
            } else {
                rest[0].units = unit;
            }
        }
    }

    /// The units of a row below headings that holds hardly anything else. Words between them
    /// count for little where two of them are units, or the one below a torque.
    pub(super) fn unit_row(&self, row: &RawRow, headings: &[Heading]) -> Option<UnitRow> {
        let mut found = UnitRow { units: vec![None; headings.len()], has_words: false };
        let (mut torques, mut below, mut under_torque) = (0, 0, false);
        let mut words = Vec::new();
        for (at, text) in filled(row).filter(|(_, text)| !says_nothing(text)) {
            let bare = text.trim_matches(['(', ')', '[', ']', ' ']);
            let over = headings.get(at);
            let is_figures = over.is_some_and(figures);
            if let Some(units) = units_spelled(bare) {
                let of_torque =
                    |unit: &&Unit| matches!(unit.dimension, Dimension::Torque | Dimension::Angle);
                let is_torque = units.iter().copied().all(|unit| of_torque(&unit));
                torques += usize::from(is_torque);
                // Below `Unit` it is an entry's.
                below += usize::from(over.is_some_and(|over| over.column != Column::TorqueUnit));
                under_torque |= is_torque && is_figures;
                if let Some(slot) = found.units.get_mut(at) {
                    *slot = Some(units).filter(|_| headings[at].units.is_empty());
                }
            } else if self.heading(bare).column.is("count") && over.is_some_and(may_count) {
                below += 1;
            } else if !self.is_unit_word(bare) {
                if is_figures || !self.is_idle(bare) {
                    return None;
                }
                words.push(at);
            }
        }
        found.has_words = !words.is_empty();
        // `Front axle` and a unit are a title that says it.
        let is_title = words == [0] && below == 1;
        let is_so = match found.has_words {
            true => !is_title && (below >= 2 || under_torque),
            false => torques > 0,
        };
        is_so.then_some(found)
    }

    /// Whether a text below a heading says in what its column counts.
    fn is_unit_word(&self, text: &str) -> bool {
        const OTHER: &[&str] = &[
            "pc", "class", "iso", "grade", "u", "size", "mm", "no", "text", "n", "km", "miles",
            "mi", "h", "hrs", "hours", "std", "date", "rpm", "bar", "x", "y/n", "#", "nr",
            "klasse", "gewinde", "txt", "metric", "metrisch", "metrique", "metrico", "imperial",
            "inch", "zoll",
        ];
        let folded = plain_words(text);
        OTHER.contains(&folded.as_str())
            || units_spelled(text).is_some()
            || self.heading(text).column.is("count")
    }

    /// Whether a word may stand in a row of units and says nothing: it is short, and neither
    /// a size nor a lube or grade of an entry.
    fn is_idle(&self, text: &str) -> bool {
        let is_short = text.chars().count() <= 16 && text.split(' ').count() <= 2;
        is_short
            && !text.contains(|c: char| c.is_ascii_digit())
            && self.names.lube_said(text).is_none()
            && strength_named(text, self.names).is_none()
    }
}

/// A row of units below headings, one for each.
pub(super) struct UnitRow {
    units: Vec<Option<Vec<&'static Unit>>>,
    /// It has words that are no units.
    pub(super) has_words: bool,
}

/// Whether a heading may be that of a count: `Qty`, `No.`.
fn may_count(heading: &Heading) -> bool {
    heading.column.is("count") || heading.others.iter().any(|other| other.is("count"))
}
