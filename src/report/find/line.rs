//! One setting on one line: its lube, its figures with their units, its basis;
//! and the lines of an answer below each other.

use crate::quantity::{Extent, Torque, Unit};
use crate::query::run::UnitsWanted;
use crate::record::{Basis, Method, Row};
use crate::report::cells;
use crate::report::figures::joined;
use crate::report::lay::{clean, fitted, flow, pad, tied, untied, width, wrap};
use crate::report::pull::{Pull, extent_words};
use crate::report::style::{Style, Tone};

/// Blanks between two columns: as many as there is room for.
const GAPS: [usize; 2] = [3, 2];
/// Least columns of the text that ends a line.
const LEAST_END: usize = 12;
/// Blanks before the lines of a setting.
pub(super) const INDENT: usize = 2;

/// A line before it is laid out.
pub(crate) struct SettingLine {
    /// The part and its thread, where they stand on the line.
    lead: Vec<String>,
    lube: String,
    /// The torque with both units and what it does; none of a figure that is not given.
    figures: Option<LineFigures>,
    /// What ends the line; wrapped where it is long.
    end: String,
    /// What ends it is a word or two.
    is_brief: bool,
    tone: Tone,
}

struct LineFigures {
    pull: Pull,
    basis: String,
    /// Clamp, share of strength and what else is asked for.
    effect: Vec<String>,
}

impl SettingLine {
    /// A row with a figure: lube, torque in both units, clamp, share, basis.
    pub(crate) fn new(row: &Row, units: &UnitsWanted, more: Vec<String>) -> Self {
        let effect = effect(row, cells::clamp_unit(units)).into_iter().chain(more);
        let figures = LineFigures {
            pull: Pull::of_row(row, units),
            basis: cells::basis(row),
            effect: effect.map(|text| tied(&text)).collect(),
        };
        let mut end = basis(row, units);
        let passes = row.setting.whole_passes().len();
        if passes > 1 {
            end += &format!(", {}", tied(&format!("{passes} passes")));
        }
        let is_brief = row.restated.is_none();
        let (lube, tone) = (cells::lube(&row.setting), cells::tone(row));
        Self { lead: Vec::new(), lube, figures: Some(figures), end, is_brief, tone }
    }

    /// A lube without a figure, and why: its name in its column.
    pub(crate) fn without(lube: String, end: String, tone: Tone) -> Self {
        Self { lead: Vec::new(), lube, figures: None, end, is_brief: false, tone }
    }

    /// With more columns in front.
    pub(crate) fn lead_by(&mut self, lead: [String; 2]) {
        self.lead = lead.into();
    }

    /// That it is another way than the line above, which has the same lube.
    pub(crate) fn or(mut self) -> Self {
        self.lube = format!("or {}", self.lube);
        self
    }

    fn cells(&self) -> Vec<LineCell> {
        let mut cells: Vec<LineCell> = self.lead.iter().map(|text| LineCell::left(text)).collect();
        cells.push(LineCell::left(&self.lube));
        if let Some(figures) = &self.figures {
            let [first, second] = both(&figures.pull);
            cells.push(LineCell { text: tied(&first), right: true, spare: false });
            cells.push(LineCell { text: tied(&second), right: true, spare: true });
            cells.extend(figures.effect.iter().map(|text| LineCell::left(text)));
        }
        cells
    }

    /// The line where its columns do not fit beside each other: lube, torque and basis
    /// together, what it does below.
    pub(crate) fn stacked(&self, limit: usize, style: Style) -> Vec<String> {
        let room = limit.saturating_sub(INDENT);
        let mut lines = match &self.figures {
            Some(figures) => {
                let line =
                    torque_line(&self.lube, &figures.pull, [&self.end, &figures.basis], room);
                fitted(&line, room)
            }
            None => wrap(&format!("{}  {}", self.lube, self.end), room),
        };
        // The angles stand beside their torque already.
        let is_new = |text: &&String| {
            !(text.is_empty()
                || text.starts_with('+') && untied(&lines[0]).contains(&*untied(text)))
        };
        let effect = self.figures.iter().flat_map(|figures| &figures.effect);
        let effect: Vec<String> = effect.filter(is_new).cloned().collect();
        let effect = flow(&effect, room.saturating_sub(INDENT));
        lines.extend(effect.iter().map(|fact| format!("{:INDENT$}{fact}", "")));
        let painted = lines.iter().map(|line| style.paint(self.tone, line));
        painted.map(|line| format!("{:INDENT$}{line}", "")).collect()
    }
}

/// Lube, torque and basis on one line, the basis in full or in a word. Where even one
/// unit of the torque does not fit beside the other two, no torque is shown: a torque
/// without its lube is half a figure.
pub(crate) fn torque_line(lube: &str, pull: &Pull, basis: [&str; 2], room: usize) -> String {
    let line = |torque: String, basis: &str| format!("{lube}  {torque}  {basis}");
    let lines = [
        line(pull.with_units(), basis[0]),
        line(pull.with_units(), basis[1]),
        line(pull.first(), basis[0]),
        line(pull.first(), basis[1]),
    ];
    let needs = width(&lines[3]) + INDENT;
    let fits = |line: &&String| width(line) <= room;
    lines.iter().find(fits).cloned().unwrap_or_else(|| format!("torque: needs {needs} columns"))
}

/// A torque in the unit to read first and in the other.
fn both(pull: &Pull) -> [String; 2] {
    match pull {
        // That it is a stretch stands where its clamp would.
        Pull::Torque(figures, _) | Pull::Stretch(figures) => {
            let rest = figures.parts.get(1);
            let rest =
                rest.map(|(number, unit)| format!("{}{}", figures.before, joined(number, unit)));
            [figures.first().with_units(), rest.unwrap_or_default()]
        }
        Pull::Words(words) => [words.clone(), String::new()],
    }
}

/// The clamp with its band and the share of strength; of a torque then angle the
/// turns, and that the clamp comes from them.
fn effect(row: &Row, unit: Option<&'static Unit>) -> [String; 2] {
    let turns = row.setting.turns().trim_start().to_owned();
    match row.setting.method {
        Method::TorqueAngle if !turns.is_empty() => [turns, "clamp by angle".to_owned()],
        Method::TorqueAngle | Method::Angle => ["clamp by angle".to_owned(), String::new()],
        Method::Stretch => ["clamp by stretch".to_owned(), String::new()],
        Method::Torque => match (row.derived.clamp, unit) {
            (Some(clamp), Some(unit)) => [cells::clamp_words(clamp, unit), cells::strain(row)],
            _ => ["clamp not known".to_owned(), String::new()],
        },
    }
}

/// `LISTED`, `COMPUTED from oil 82 lb-ft`.
pub(super) fn basis(row: &Row, units: &UnitsWanted) -> String {
    let mut text = cells::basis(row);
    if let Some(restated) = &row.restated {
        let from = match Extent::<Torque>::parse(&restated.from) {
            Ok(torque) => tied(&extent_words(torque, units)),
            Err(_) => tied(&clean(&restated.from)),
        };
        text += &format!(" from {} {from}", clean(&restated.from_lube));
    } else if row.setting.basis == Basis::Computed {
        text += " by clampbook";
    }
    text
}

/// What the lines of a block become, their columns below each other.
pub(crate) struct Aligned {
    /// Those of each line.
    pub(crate) lines: Vec<Vec<String>>,
    /// There was no room for the second unit.
    pub(crate) one_unit: bool,
}

/// The lines of each of `lines`, columns below columns; None where they do not
/// fit beside each other in `limit`. The second unit goes first, if it may.
pub(crate) fn aligned(
    lines: &[&SettingLine],
    limit: usize,
    may_drop: bool,
    style: Style,
) -> Option<Aligned> {
    let cells: Vec<Vec<LineCell>> = lines.iter().map(|line| line.cells()).collect();
    let tries = [(GAPS[0], true), (GAPS[1], true), (GAPS[1], false)];
    let tries = tries.into_iter().filter(|(_, spare)| *spare || may_drop);
    let layout = tries.into_iter().find_map(|(gap, spare)| {
        let layout = LineLayout { widths: widths(&cells, spare), gap, spare, limit };
        let fits = |(line, cells): (&&SettingLine, &Vec<LineCell>)| layout.fits(line, cells);
        lines.iter().zip(&cells).all(fits).then_some(layout)
    })?;
    let has_spare = cells.iter().flatten().any(|cell| cell.spare && !cell.text.is_empty());
    let draw = |(line, cells): (&&SettingLine, &Vec<LineCell>)| layout.draw(line, cells, style);
    Some(Aligned {
        lines: lines.iter().zip(&cells).map(draw).collect(),
        one_unit: has_spare && !layout.spare,
    })
}

struct LineCell {
    text: String,
    right: bool,
    /// May be left out where there is no room: the second unit.
    spare: bool,
}

impl LineCell {
    fn left(text: &str) -> Self {
        Self { text: tied(text), right: false, spare: false }
    }
}

fn widths(lines: &[Vec<LineCell>], spare: bool) -> Vec<usize> {
    let most = lines.iter().map(Vec::len).max().unwrap_or(0);
    let widest = |at: usize| {
        let cells = lines.iter().filter_map(|line| line.get(at));
        cells.filter(|cell| spare || !cell.spare).map(|cell| width(&cell.text)).max().unwrap_or(0)
    };
    (0..most).map(widest).collect()
}

struct LineLayout {
    widths: Vec<usize>,
    gap: usize,
    spare: bool,
    limit: usize,
}

impl LineLayout {
    /// Where column `at` starts.
    fn offset(&self, at: usize) -> usize {
        let before = self.widths.iter().take(at).filter(|width| **width > 0);
        INDENT + before.map(|width| width + self.gap).sum::<usize>()
    }

    fn fits(&self, line: &SettingLine, cells: &[LineCell]) -> bool {
        let word = line.end.split(' ').map(width).max().unwrap_or(0);
        // A basis and a number of passes may stand below each other; a sentence may not.
        let least = if line.is_brief { 0 } else { LEAST_END.min(width(&line.end)) };
        self.offset(cells.len()) + word.max(least) <= self.limit
    }

    fn draw(&self, line: &SettingLine, cells: &[LineCell], style: Style) -> Vec<String> {
        let mut text = " ".repeat(INDENT);
        for (cell, width_of) in cells.iter().zip(&self.widths) {
            if *width_of == 0 || (cell.spare && !self.spare) {
                continue;
            }
            let blanks = " ".repeat(width_of.saturating_sub(width(&cell.text)));
            text += &match cell.right {
                true => format!("{blanks}{}", cell.text),
                false => format!("{}{blanks}", cell.text),
            };
            text += &" ".repeat(self.gap);
        }
        let start = self.offset(cells.len());
        let pieces = wrap(&line.end, self.limit.saturating_sub(start).max(1));
        let mut drawn = vec![pad(&text, start) + &pieces[0]];
        drawn.extend(pieces[1..].iter().map(|piece| " ".repeat(start) + piece));
        drawn.iter().map(|line_text| style.paint(line.tone, line_text.trim_end())).collect()
    }
}
