//! How large a page may be set and still be one page.
//!
//! Nothing here measures type, which differs from font to font: the height is
//! reckoned from the number of lines in a wide one, and a joint for which even the
//! smallest type is too large simply takes a second page.

use crate::record::{Basis, Fastener, Method, Reuse};
use crate::report::sheet::cautions::Pulled;
use crate::report::sheet::part::{MOST_COLUMNS, MOST_MEASURED, is_used, small_words};
use crate::report::sheet::pulls::{GRID_BOLTS, GRID_COLUMNS};
use crate::report::sheet::style::area;
use crate::report::sheet::{BenchJoint, Context};
use crate::report::steps::step_setting;

/// One point, mm.
const POINT_MM: f64 = 25.4 / 72.0;
/// Largest and smallest type, half points.
const LARGEST: u32 = 26;
const SMALLEST: u32 = 20;
/// Mean width of a letter, em.
const LETTER: f64 = 0.58;
/// Height of a line, em.
const LINE: f64 = 1.25;
/// For a font that is wider still, and its line breaks.
const SPARE: f64 = 1.22;
/// Between two blocks, em.
const GAP: f64 = 0.75;

/// What stands on a page, in words.
pub(crate) struct Content<'a> {
    pub(crate) joint: &'a BenchJoint,
    /// Its rows, those of one fastener together.
    pub(crate) rows: Vec<Pulled<'a>>,
    /// In the box on top.
    pub(crate) cautions: Vec<String>,
}

/// Height of the map on a page that is so many em wide, em; 0 for none.
type MapHeight<'a> = &'a dyn Fn(f64) -> f64;

impl<'a> Content<'a> {
    pub(crate) fn parts(&self) -> impl Iterator<Item = &[Pulled<'a>]> {
        self.rows.chunk_by(|a, b| a.one.row.fastener.key == b.one.row.fastener.key)
    }

    /// The largest type in which this is one page, points; the smallest that can be
    /// read at arm's length if none is.
    pub(crate) fn font_pt(&self, map: MapHeight<'_>, context: &Context<'_>) -> f64 {
        let fits =
            |half_points: &u32| self.is_one_page(f64::from(*half_points) * 0.5, map, context);
        let half_points = (SMALLEST..=LARGEST).rev().find(fits).unwrap_or(SMALLEST);
        f64::from(half_points) * 0.5
    }

    /// Whether the first part begins on the page of the map; else that has room to spare.
    pub(crate) fn begins_below(
        &self,
        size: f64,
        map: MapHeight<'_>,
        context: &Context<'_>,
    ) -> bool {
        let area = area(context.facts.paper);
        let em_mm = size * POINT_MM;
        let ruler = Ruler { width: area.width_mm / em_mm };
        let first = self.parts().next().map_or(0.0, |rows| ruler.part(rows, context) + GAP);
        let all = ruler.head(self.joint) + ruler.top(self, map) + first;
        // No spare: a larger map that pushes the part off its page costs one.
        all <= area.height_mm / em_mm
    }

    /// Whether this is one page in type of `size` points.
    pub(crate) fn is_one_page(&self, size: f64, map: MapHeight<'_>, context: &Context<'_>) -> bool {
        let area = area(context.facts.paper);
        let em_mm = size * POINT_MM;
        let ruler = Ruler { width: area.width_mm / em_mm };
        ruler.page(self, map, context) <= area.height_mm / em_mm
    }
}

/// How many em wide a page is that is set in `size` points.
pub(crate) fn width_em(size: f64, context: &Context<'_>) -> f64 {
    area(context.facts.paper).width_mm / (size * POINT_MM)
}

/// Heights in em for a page `width` em wide.
struct Ruler {
    width: f64,
}

impl Ruler {
    /// Height of `text` set in `size` em over a share of the width.
    fn text(&self, text: &str, size: f64, share: f64) -> f64 {
        let letters = text.chars().count() as f64 * LETTER * size;
        (letters / (self.width * share)).ceil().max(1.0) * LINE * size
    }

    fn page(&self, content: &Content<'_>, map: MapHeight<'_>, context: &Context<'_>) -> f64 {
        let joint = content.joint;
        let parts: f64 = content.parts().map(|rows| self.part(rows, context) + GAP).sum();
        let notes = [&joint.joint.gasket, &joint.joint.machining].into_iter().flatten();
        let notes: f64 = notes.map(|text| self.text(text, 0.85, 1.0) + GAP).sum();
        let all = self.head(joint) + self.top(content, map) + parts + notes + self.foot(context);
        all * SPARE
    }

    fn head(&self, joint: &BenchJoint) -> f64 {
        let name = self.text(&joint.joint.name, 2.7, 0.6) * 0.8;
        let assembly = self.text(&joint.joint.assembly, 1.2, 0.6);
        (name + assembly).max(4.0) + 0.7
    }

    /// Cautions and map below each other.
    fn top(&self, content: &Content<'_>, map: MapHeight<'_>) -> f64 {
        let map = map(self.width);
        let lines: f64 = content.cautions.iter().map(|text| self.text(text, 1.05, 0.93)).sum();
        let cautions = if content.cautions.is_empty() { 0.0 } else { lines + 2.4 };
        let remarks: f64 = match &content.joint.order {
            Ok(order) => {
                let words = order.words.iter().chain(&order.remarks);
                words.map(|text| self.text(text, 1.0, 1.0)).sum()
            }
            Err(why) => self.text(why, 1.0, 1.0),
        };
        let turns = if map > 0.0 { 2.0 * LINE } else { 0.0 };
        cautions + map + turns + remarks + 1.5 + 2.0 * GAP
    }

    fn part(&self, rows: &[Pulled<'_>], context: &Context<'_>) -> f64 {
        let fastener = &rows[0].one.row.fastener;
        let name = fastener.part.chars().count() as f64 * 1.4 * LETTER;
        let small = small_words(fastener, context.wanted).chars().count() as f64 * 0.95 * LETTER;
        let heading = ((name + small + 5.0) / self.width).ceil() * 1.6 + 0.6;
        let discard = if fastener.is_single_use() && !is_used(rows) { 2.0 } else { 0.0 };
        let choice = if rows.len() > 1 { 1.2 } else { 0.0 };
        let pulls: f64 = rows.iter().map(|pulled| self.pull(pulled) + 0.45).sum();
        let own = fastener.notes.as_ref().map_or(0.0, |notes| self.text(notes, 1.05, 0.95));
        heading + discard + own + choice + pulls + Self::measured(fastener, rows)
    }

    fn pull(&self, pulled: &Pulled<'_>) -> f64 {
        let row = &pulled.one.row;
        let Some(plan) = pulled.one.plan.as_ref().filter(|_| !row.setting.superseded) else {
            return 2.2;
        };
        let cautions: f64 = pulled.cautions().map(|text| self.text(&text, 1.05, 0.97)).sum();
        let boxes = plan.steps.len() + usize::from(plan.repeat);
        let in_a_line = ((self.width / 9.8).floor() as usize).max(1);
        // The note stands beside the boxes if 11 em are left there.
        let left = self.width - (boxes % in_a_line) as f64 * 9.8;
        let beside = boxes % in_a_line > 0 && left > 12.0;
        let lines = boxes.div_ceil(in_a_line) as f64;
        let has_setting = plan.steps.iter().any(|step| step_setting(step).is_some());
        let each = if has_setting { 6.4 } else { 4.2 };
        let remarks: f64 =
            plan.remarks.iter().chain(&plan.refused).map(|text| self.text(text, 0.9, 0.4)).sum();
        let count = row.fastener.count.unwrap_or(1);
        let grid = if (2..=GRID_BOLTS).contains(&count) {
            f64::from(count.div_ceil(GRID_COLUMNS)) * ((boxes + 2) as f64 * 1.95 + 0.6)
        } else {
            2.0
        };
        let note = if beside { 0.0 } else { 2.4 } + remarks;
        let after: f64 = pulled.later().map(|text| self.text(&text, 1.05, 0.9) + 0.3).sum();
        // The lube wraps under its torque where both are long.
        let words = row.setting.in_words().chars().count();
        let value = if words > 22 { 4.4 } else { 2.8 };
        let estimate = if row.setting.basis == Basis::Computed { 2.2 } else { 0.0 };
        value + cautions + lines * each + grid + note + after + estimate + 1.5
    }

    fn measured(fastener: &Fastener, rows: &[Pulled<'_>]) -> f64 {
        let by_stretch = rows.iter().any(|one| one.one.row.setting.method == Method::Stretch);
        let limited = matches!(fastener.reuse, Some(Reuse::FreeLength(_)));
        let cycles = matches!(fastener.reuse, Some(Reuse::UpTo(_)));
        let tables = fastener.count.unwrap_or(1).min(MOST_MEASURED).div_ceil(MOST_COLUMNS);
        let lines = 2 + u32::from(by_stretch);
        let table = f64::from(tables * lines) * 1.75 + f64::from(tables) * 0.6;
        let table = if by_stretch || limited { table } else { 0.0 };
        table + if limited { 1.2 } else { 0.0 } + if cycles { 2.0 } else { 0.0 }
    }

    fn foot(&self, context: &Context<'_>) -> f64 {
        let wrench = if context.facts.wrench.is_some() { 1.3 } else { 0.0 };
        // Record of two lines, and two to three lines of small print.
        3.2 + wrench + self.text(&"x".repeat(250), 0.8, 1.0) + 2.0 * GAP
    }
}
