//! One setting on one line: its lube, its figures with their units, its basis;
//! and the lines of an answer below each other.

use crate::quantity::{Extent, Torque, Unit};
use crate::query::run::UnitsWanted;
use crate::record::{Basis, Method, Row};
use crate::report::cells;
use crate::report::lay::{clean, pad, tied, width, wrap};
use crate::report::pull::{Pull, extent_words};
use crate::report::style::{Style, Tone};

/// Blanks between two columns: as many as there is room for.
const GAPS: [usize; 2] = [3, 2];
/// Least columns of the text that ends a line.
const LEAST_END: usize = 12;
/// Blanks before the lines of a setting.
pub(super) const INDENT: usize = 2;

/// A line before it is laid out.
pub(crate) struct Line {
    cells: Vec<Cell>,
    /// What ends the line; wrapped where it is long.
    end: String,
    tone: Tone,
}

struct Cell {
    text: String,
    right: bool,
    /// May be left out where there is no room: the second unit.
    spare: bool,
}

fn left(text: String) -> Cell {
    Cell { text, right: false, spare: false }
}

impl Line {
    /// A row with a figure: lube, torque in both units, clamp, share, basis.
    pub(crate) fn of(row: &Row, units: &UnitsWanted, more: Vec<String>) -> Self {
        let [first, second] = both(&Pull::new(&row.setting, units));
        let unit = cells::clamp_unit(units);
        let mut cells = vec![
            left(tied(&cells::lube(&row.setting))),
            Cell { text: tied(&first), right: true, spare: false },
            Cell { text: tied(&second), right: true, spare: true },
        ];
        let [clamp, share] = effect(row, unit);
        cells.extend([left(tied(&clamp)), left(tied(&share))]);
        cells.extend(more.into_iter().map(|text| left(tied(&text))));
        Self { cells, end: basis(row, units), tone: cells::tone(row) }
    }

    /// Lubes for which there is no figure, and why: one in its column, several in
    /// the text.
    pub(crate) fn refused(lubes: &[String], why: &str) -> Self {
        let (first, end) = match lubes {
            [lube] => (tied(lube), format!("NO: {}", clean(why))),
            several => ("NO".to_owned(), format!("{}: {}", several.join(", "), clean(why))),
        };
        Self { cells: vec![left(first)], end, tone: Tone::Danger }
    }

    /// With more columns in front.
    pub(crate) fn after(mut self, lead: [String; 2]) -> Self {
        self.cells.splice(0..0, lead.map(|text| left(tied(&text))));
        self
    }
}

/// A torque in the unit to read first and in the other.
fn both(pull: &Pull) -> [String; 2] {
    match pull {
        // That it is a stretch stands where its clamp would.
        Pull::Torque(figures, _) | Pull::Stretch(figures) => {
            let rest = figures.parts.get(1).map(|(number, unit)| {
                format!("{}{}", figures.before, crate::report::figures::joined(number, unit))
            });
            [figures.first().with_units(), rest.unwrap_or_default()]
        }
        Pull::Words(words) => [words.clone(), String::new()],
    }
}

/// The clamp with its band and the share of strength; of a torque then angle the
/// turns, and that the clamp comes from them.
pub(super) fn effect(row: &Row, unit: Option<&'static Unit>) -> [String; 2] {
    let turns: Vec<String> = row.setting.angles.iter().map(|angle| format!("+{angle}")).collect();
    match row.setting.method {
        Method::TorqueAngle if !turns.is_empty() => [turns.join(" "), "clamp by angle".to_owned()],
        Method::TorqueAngle | Method::Angle => ["clamp by angle".to_owned(), String::new()],
        Method::Stretch => ["clamp by stretch".to_owned(), String::new()],
        Method::Torque => match (row.derived.clamp, unit) {
            (Some(clamp), Some(unit)) => [cells::clamp_words(clamp, unit), cells::strain(row)],
            _ => ["clamp not known".to_owned(), String::new()],
        },
    }
}

/// `LISTED`, `COMPUTED from oil 82 lb-ft`, `LISTED, SUPERSEDED`.
pub(super) fn basis(row: &Row, units: &UnitsWanted) -> String {
    let mut text = cells::basis(&row.setting);
    if let Some(restated) = &row.restated {
        let from = match Extent::<Torque>::parse(&restated.from) {
            Ok(torque) => tied(&extent_words(torque, units)),
            Err(_) => tied(&clean(&restated.from)),
        };
        text += &format!(" from {} {from}", clean(&restated.from_lube));
    } else if row.setting.basis == Basis::Computed {
        text += " by clampbook";
    }
    if row.setting.superseded {
        text += ", SUPERSEDED";
    }
    text
}

/// The lines of each of `lines`, columns below columns; None where they do not
/// fit beside each other in `limit`. The second unit goes first, if it may.
pub(crate) fn aligned(
    lines: &[&Line],
    limit: usize,
    may_drop: bool,
    style: Style,
) -> Option<Vec<Vec<String>>> {
    let tries = [(GAPS[0], true), (GAPS[1], true), (GAPS[1], false)];
    let tries = tries.into_iter().filter(|(_, spare)| *spare || may_drop);
    let found = tries.into_iter().find_map(|(gap, spare)| {
        let widths = widths(lines, spare);
        let layout = Layout { widths, gap, spare, limit };
        lines.iter().all(|line| layout.fits(line)).then_some(layout)
    });
    found.map(|layout| lines.iter().map(|line| layout.draw(line, style)).collect())
}

fn widths(lines: &[&Line], spare: bool) -> Vec<usize> {
    let most = lines.iter().map(|line| line.cells.len()).max().unwrap_or(0);
    let widest = |at: usize| {
        let cells = lines.iter().filter_map(|line| line.cells.get(at));
        cells.filter(|cell| spare || !cell.spare).map(|cell| width(&cell.text)).max().unwrap_or(0)
    };
    (0..most).map(widest).collect()
}

struct Layout {
    widths: Vec<usize>,
    gap: usize,
    spare: bool,
    limit: usize,
}

impl Layout {
    /// Where column `at` starts.
    fn offset(&self, at: usize) -> usize {
        let before = self.widths.iter().take(at).filter(|width| **width > 0);
        INDENT + before.map(|width| width + self.gap).sum::<usize>()
    }

    fn fits(&self, line: &Line) -> bool {
        let word = line.end.split(' ').map(width).max().unwrap_or(0);
        self.offset(line.cells.len()) + word.max(LEAST_END.min(width(&line.end))) <= self.limit
    }

    fn draw(&self, line: &Line, style: Style) -> Vec<String> {
        let mut text = " ".repeat(INDENT);
        for (cell, width_of) in line.cells.iter().zip(&self.widths) {
            if *width_of == 0 || (cell.spare && !self.spare) {
                continue;
            }
            let blanks = " ".repeat(width_of.saturating_sub(width(&cell.text)) + self.gap);
            text += &match cell.right {
                true => {
                    let (before, after) = blanks.split_at(blanks.len() - self.gap);
                    format!("{before}{}{after}", cell.text)
                }
                false => format!("{}{blanks}", cell.text),
            };
        }
        let start = self.offset(line.cells.len());
        let pieces = wrap(&line.end, self.limit.saturating_sub(start).max(1));
        let mut drawn = vec![pad(&text, start) + &pieces[0]];
        drawn.extend(pieces[1..].iter().map(|piece| " ".repeat(start) + piece));
        drawn.iter().map(|line_text| style.paint(line.tone, line_text.trim_end())).collect()
    }
}
