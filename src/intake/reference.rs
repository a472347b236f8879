//! The reference tables as files: lubes and strengths.
//!
//! Lubes: name, aliases (parted by `;`), class, k low, k, k high, mu thread
//! low, mu thread, mu thread high, mu bearing low, mu bearing, mu bearing
//! high, convertible, what, source. Strengths: name, aliases, from, to
//! ("over M16" leaves M16 out), proof, yield, tensile, unit, source; lines of
//! one name belong together.

use crate::intake::cells::{read_choice, read_flag};
use crate::intake::header::fold_header;
use crate::intake::split::RawRow;
use crate::intake::table::read_table;
use crate::intake::verdict::Problem;
use crate::intake::{CellVerdict, IntakeError, Place, Verdict};
use crate::quantity::{DecimalMark, Dimension, Length, Number, Stress, Unit, find_unit};
use crate::record::{Band, Lube, LubeClass, StrengthClass, StrengthRow};
use crate::text::{fold_name, nearest};

/// What a reference file holds: its records and the cells that were refused.
#[derive(Debug, Clone, PartialEq)]
pub struct ReferenceReport<T> {
    /// The records of the sound rows, in the order of the file.
    pub records: Vec<T>,
    /// Cells that were not taken; empty for a sound file.
    pub verdicts: Vec<CellVerdict>,
}

/// Reads a file of lubes. `name` is what messages call it.
pub fn read_lubes(bytes: &[u8], name: &str) -> Result<ReferenceReport<Lube>, IntakeError> {
    let table = Table::of(bytes, name, LUBE_COLUMNS, &["name", "class", "convertible"])?;
    let mut report = ReferenceReport { records: Vec::<Lube>::new(), verdicts: Vec::new() };
    for row in &table.rows {
        let mut cells = Cells { table: &table, row, wrong: Vec::new() };
        let lube = read_lube_row(&mut cells, &report.records);
        report.verdicts.append(&mut cells.wrong);
        report.records.extend(lube);
    }
    Ok(report)
}

/// Reads a file of strengths. `name` is what messages call it.
pub fn read_strengths(
    bytes: &[u8],
    name: &str,
) -> Result<ReferenceReport<StrengthClass>, IntakeError> {
    let table =
        Table::of(bytes, name, STRENGTH_COLUMNS, &["name", "from", "to", "unit", "source"])?;
    let mut report = ReferenceReport { records: Vec::<StrengthClass>::new(), verdicts: Vec::new() };
    for row in &table.rows {
        let mut cells = Cells { table: &table, row, wrong: Vec::new() };
        read_strength_row(&mut cells, &mut report.records);
        report.verdicts.append(&mut cells.wrong);
    }
    Ok(report)
}

/// The columns of a file of lubes.
pub const LUBE_COLUMNS: &[&str] = &[
    "name",
    "aliases",
    "class",
    "k low",
    "k",
    "k high",
    "mu thread low",
    "mu thread",
    "mu thread high",
    "mu bearing low",
    "mu bearing",
    "mu bearing high",
    "convertible",
    "what",
    "source",
];
/// A lube as the cells of its line, under [`LUBE_COLUMNS`].
pub(crate) fn lube_cells(lube: &Lube) -> Vec<(&'static str, String)> {
    let band = |band: Option<Band>| {
        let texts = band.map(|band| [band.low, band.nominal, band.high].map(|f| f.to_string()));
        texts.unwrap_or_default()
    };
    let [k, thread, bearing] = [lube.k, lube.mu_thread, lube.mu_bearing].map(band);
    let convertible = if lube.convertible { "yes" } else { "no" };
    let head = [lube.name.clone(), lube.aliases.join("; "), lube.class.to_string()];
    let tail = [
        convertible.to_owned(),
        lube.what.clone().unwrap_or_default(),
        lube.source.clone().unwrap_or_default(),
    ];
    let cells = head.into_iter().chain(k).chain(thread).chain(bearing).chain(tail);
    LUBE_COLUMNS.iter().copied().zip(cells).collect()
}

/// The columns of a file of strengths.
pub const STRENGTH_COLUMNS: &[&str] =
    &["name", "aliases", "from", "to", "proof", "yield", "tensile", "unit", "source"];

/// A file under known headings.
struct Table {
    headings: Vec<String>,
    rows: Vec<RawRow>,
}

impl Table {
    fn of(bytes: &[u8], name: &str, known: &[&str], needed: &[&str]) -> Result<Self, IntakeError> {
        let crate::intake::Table { headings, rows, .. } = read_table(bytes, name)?;
        let headings: Vec<String> = headings.iter().map(|text| fold_header(text)).collect();
        let fault = |problem: String, advice: String| IntakeError::Columns {
            file: name.to_owned(),
            line: 1,
            problem,
            advice,
        };
        for (at, heading) in headings.iter().enumerate() {
            if !known.contains(&heading.as_str()) {
                let near = nearest(heading, known.iter().copied());
                let hint =
                    near.map_or_else(|| known.join(", "), |near| format!("did you mean `{near}`?"));
                return Err(fault(format!("`{heading}` is not a column of this table"), hint));
            }
            if headings[..at].contains(heading) {
                return Err(fault(format!("two columns `{heading}`"), "leave one out".to_owned()));
            }
        }
        if let Some(missing) = needed.iter().find(|need| !headings.iter().any(|h| h == **need)) {
            return Err(fault(format!("the column `{missing}` is missing"), "add it".to_owned()));
        }
        Ok(Self { headings, rows })
    }
}

/// The cells of one row by their heading.
struct Cells<'a> {
    table: &'a Table,
    row: &'a RawRow,
    wrong: Vec<CellVerdict>,
}

impl Cells<'_> {
    fn at(&self, heading: &str) -> Option<usize> {
        self.table.headings.iter().position(|known| known == heading)
    }

    fn text(&self, heading: &str) -> &str {
        self.at(heading).map_or("", |at| self.row.cell(at))
    }

    fn words(&self, heading: &str) -> Option<String> {
        Some(self.text(heading).to_owned()).filter(|text| !text.is_empty())
    }

    fn list(&self, heading: &str) -> Vec<String> {
        let words = self.text(heading).split(';').map(str::trim);
        words.filter(|word| !word.is_empty()).map(str::to_owned).collect()
    }

    fn refuse(&mut self, heading: &str, problem: Problem) {
        let at = self.at(heading);
        let column = at.map_or(0, |at| u16::try_from(at + 1).unwrap_or(u16::MAX));
        let line = at.map_or(self.row.line, |at| self.row.line_of(at));
        let place = Place { line, column, header: heading.to_owned() };
        let raw = self.text(heading).to_owned();
        let Problem { code, reason, advice, .. } = problem;
        let verdict = Verdict::Refused;
        self.wrong.push(CellVerdict { place, raw, verdict, read_as: None, code, reason, advice });
    }

    fn number(&mut self, heading: &str) -> Option<f64> {
        let text = self.text(heading);
        if text.is_empty() {
            return None;
        }
        match Number::parse(text, DecimalMark::Point) {
            Ok(number) => Some(number.value()),
            Err(error) => {
                let problem = Problem::refused("not-a-number", error.to_string(), "write a number");
                self.refuse(heading, problem);
                None
            }
        }
    }

    /// Low, nominal and high of a factor: all three, or the nominal alone, or
    /// none.
    fn band(&mut self, heading: &str) -> Option<Band> {
        let (low_name, high_name) = (format!("{heading} low"), format!("{heading} high"));
        let low = self.number(&low_name);
        let nominal = self.number(heading);
        let high = self.number(&high_name);
        let (low, nominal, high) = match (low, nominal, high) {
            (None, None, None) => return None,
            (low, Some(nominal), high) => {
                (low.unwrap_or(nominal), nominal, high.unwrap_or(nominal))
            }
            _ => {
                let advice = "give the nominal value";
                self.refuse(
                    heading,
                    Problem::refused("band", "a range without its nominal value", advice),
                );
                return None;
            }
        };
        let band = Band::new(low, nominal, high);
        if band.is_none() {
            let reason = format!("{low}, {nominal}, {high} do not rise from above 0 to below 1.5");
            self.refuse(heading, Problem::refused("band", reason, "check the three values"));
        }
        band
    }
}

fn read_lube_row(cells: &mut Cells, before: &[Lube]) -> Option<Lube> {
    let name = cells.text("name").to_owned();
    let aliases = cells.list("aliases");
    if name.is_empty() {
        cells.refuse("name", Problem::refused("no-name", "the row has no name", "name the lube"));
    }
    for (heading, spelling) in
        [("name", &name)].into_iter().chain(aliases.iter().map(|alias| ("aliases", alias)))
    {
        let folded = fold_name(spelling);
        let taken = before.iter().find(|lube| {
            std::iter::once(&lube.name).chain(&lube.aliases).any(|known| fold_name(known) == folded)
        });
        if let Some(other) = taken {
            let reason = format!("`{spelling}` already means {}", other.name);
            cells.refuse(heading, Problem::refused("name-taken", reason, "use another name"));
        }
    }
    let class = read_class(cells);
    let (k, mu_thread, mu_bearing) =
        (cells.band("k"), cells.band("mu thread"), cells.band("mu bearing"));
    let convertible = match read_flag(cells.text("convertible")) {
        Ok(taken) => taken.value,
        Err(problem) => {
            cells.refuse("convertible", problem);
            false
        }
    };
    let class = class?;
    if !cells.wrong.is_empty() {
        return None;
    }
    let (what, source) = (cells.words("what"), cells.words("source"));
    Some(Lube { name, aliases, class, k, mu_thread, mu_bearing, convertible, what, source })
}

fn read_class(cells: &mut Cells) -> Option<LubeClass> {
    match read_choice(cells.text("class"), LubeClass::NAMES, LubeClass::find) {
        Ok(taken) => Some(taken.value),
        Err(problem) => {
            cells.refuse("class", problem);
            None
        }
    }
}

fn read_strength_row(cells: &mut Cells, classes: &mut Vec<StrengthClass>) {
    let name = cells.text("name").to_owned();
    if name.is_empty() {
        cells.refuse(
            "name",
            Problem::refused("no-name", "the row has no name", "name the strength"),
        );
    }
    let (from, to) = (bound(cells, "from"), bound(cells, "to"));
    let unit = stress_unit(cells);
    let proof = stress(cells, "proof", unit);
    let yield_ = stress(cells, "yield", unit);
    let tensile = stress(cells, "tensile", unit);
    if cells.text("source").is_empty() {
        let advice = "say where the figures were read";
        cells.refuse("source", Problem::refused("no-source", "no source is named", advice));
    }
    let (Some((from, above)), Some((to, false)), Some(unit)) = (from, to, unit) else {
        if let Some((_, true)) = to {
            let advice = "write the largest size that is inside";
            cells.refuse("to", Problem::refused("size", "`over` has no place here", advice));
        }
        return;
    };
    if from > to {
        cells
            .refuse("to", Problem::refused("size", "smaller than the size before it", "swap them"));
    }
    if !cells.wrong.is_empty() {
        return;
    }
    let row = StrengthRow { from, above, to, proof, yield_, tensile };
    let (aliases, source) = (cells.list("aliases"), cells.text("source").to_owned());
    match classes.iter_mut().find(|class| fold_name(&class.name) == fold_name(&name)) {
        Some(class) => {
            class.rows.push(row);
            for alias in aliases {
                if !class.aliases.contains(&alias) {
                    class.aliases.push(alias);
                }
            }
            if !class.source.contains(&source) {
                class.source = format!("{}; {source}", class.source);
            }
        }
        None => classes.push(StrengthClass { name, aliases, rows: vec![row], unit, source }),
    }
}

fn stress_unit(cells: &mut Cells) -> Option<&'static Unit> {
    let text = cells.text("unit");
    let unit = find_unit(text).filter(|unit| unit.dimension == Dimension::Stress);
    if unit.is_none() {
        let reason = format!("`{text}` is not a unit of stress");
        cells.refuse("unit", Problem::refused("unit", reason, "write MPa, ksi or psi"));
    }
    unit
}

fn stress(cells: &mut Cells, heading: &str, unit: Option<&'static Unit>) -> Option<Stress> {
    let number = cells.number(heading)?;
    unit.map(|unit| Stress::from_mpa(number * unit.factor))
}

/// A nominal size, `M16`, `1/4`, `1-1/2`, `#10`, and whether `over` stands
/// before it.
fn bound(cells: &mut Cells, heading: &str) -> Option<(Length, bool)> {
    let text = cells.text(heading).to_owned();
    let (bare, above) = match text.strip_prefix("over ") {
        Some(rest) => (rest.trim(), true),
        None => (text.trim(), false),
    };
    let size = nominal_size(bare);
    if size.is_none() {
        let reason = format!("`{text}` is not a nominal size");
        cells.refuse(heading, Problem::refused("size", reason, "write M16, 1/4, 1-1/2 or #10"));
    }
    size.map(|size| (size, above))
}

fn nominal_size(text: &str) -> Option<Length> {
    if let Some(number) = text.strip_prefix(['M', 'm']) {
        let number = Number::parse(number, DecimalMark::Point).ok()?;
        return (number.value() > 0.0).then(|| Length::from_mm(number.value()));
    }
    if let Some(number) = text.strip_prefix('#') {
        // ASME B1.1: number size n is 0.060 in + 0.013 in for each number.
        let number: u32 = number.trim().parse().ok().filter(|number| *number <= 14)?;
        return Some(Length::from_mm((0.060 + 0.013 * f64::from(number)) * 25.4));
    }
    let bare = text.trim_end_matches(['"', ' ']).trim_end_matches("in").trim();
    let number = Number::parse(bare, DecimalMark::Point).ok()?;
    (number.value() > 0.0).then(|| Length::from_mm(number.value() * 25.4))
}
