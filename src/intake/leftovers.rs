//! The rows that were not taken, as a file that can be corrected and imported
//! again.

use crate::intake::cells::says_ditto;
use crate::intake::identity::{Grouper, RowNames};
use crate::intake::names::Names;
use crate::intake::position::{Position, Step};
use crate::intake::split::RawRow;
use crate::intake::survey::{Block, says_unit, survey};
use crate::intake::{Column, Heading, IntakeError, Options, Report, Sheet};
use crate::record::Tables;
use crate::text::is_changed_by_a_spreadsheet;

/// Heading of the column that says why; import leaves it out.
pub(crate) const WHY: &str = "Why not taken";

/// What stands above a row or in its title stays there: each row says it itself.
const NAMES: [(&str, &str); 2] = [("assembly", "Assembly"), ("joint", "Joint")];

/// The rows of `sheet` that `report` could not take, in the order of the file: its titles
/// and headings, its cells as written, and one more column with the reasons. The rows
/// between them are gone: what a row has from one above it or from a title (a ditto, the
/// machine, the joint) stands in its own cells. Cells are parted as in the file, by commas
/// where it has no delimiter.
pub fn leftovers(
    sheet: &Sheet,
    tables: &Tables,
    options: &Options,
    report: &Report,
) -> Result<String, IntakeError> {
    let names = if sheet.is_typed { Names::of_typed(tables) } else { Names::new(tables) };
    let plan = survey(sheet, &names, options)?;
    let mut position = Position::before(&plan);
    let mut grouper = Grouper::new(&[], options);
    // What blanks or dots part is not so by one alone.
    let delimiter = sheet.delimiter.unwrap_or(',');
    let delimiter = if matches!(delimiter, ' ' | '.') { ';' } else { delimiter };
    let mut out = Rest { out: String::new(), delimiter };
    let (mut is_written, mut section, mut block_line) = (false, None, None);
    let mut rows = sheet.rows()?;
    while let Some(row) = rows.next()? {
        if let Some(block) = position.enter(row) {
            grouper = Grouper::new(&block.headings, options);
            (is_written, section) = (false, None);
            block_line = Some((block.page, block.header));
        }
        let (block, whole) = match position.step(row) {
            Step::Entry(block, whole, _) => (block, whole),
            Step::Section(title) => {
                grouper.forget_above();
                // A title above the headings is written with them.
                let is_above = block_line == Some((row.page, row.line));
                section = (title.says_more() && !is_above).then(|| row.clone());
                continue;
            }
            Step::Remark | Step::Nothing => continue,
        };
        let mut of_row: Option<RowNames> = None;
        block.reshape.each(&whole, |row| {
            let names = grouper.group_of(row, &position.given, block.fills_down);
            of_row.get_or_insert(names);
        });
        let place = (row.page, row.line);
        let Ok(at) = report.bad_rows.binary_search_by_key(&place, |bad| (bad.page, bad.line))
        else {
            continue;
        };
        if !is_written {
            out.head(block);
            is_written = true;
        }
        if let Some(title) = section.take() {
            out.line(title.cells().filter(|cell| !cell.is_empty()));
        }
        out.row(block, &whole, of_row.as_ref(), &report.bad_rows[at].reasons);
    }
    if let Some(block) = plan.blocks.first().filter(|_| out.out.is_empty()) {
        out.head(block);
    }
    Ok(out.out)
}

/// The headings of the file itself.
fn own_headings(block: &Block) -> impl Iterator<Item = &Heading> {
    block.headings.iter().filter(|heading| heading.origin.is_none())
}

/// The names for which the table has no column.
fn nameless(block: &Block) -> impl Iterator<Item = (usize, &'static str)> {
    let has = |name: &str| {
        block.headings.iter().any(|heading| heading.column.is(name) || heading.column.is("key"))
    };
    let names = NAMES.into_iter().enumerate();
    names.filter(move |(_, (name, _))| !has(name)).map(|(at, (_, heading))| (at, heading))
}

struct Rest {
    out: String,
    delimiter: char,
}

impl Rest {
    fn head(&mut self, block: &Block) {
        if !self.out.is_empty() {
            self.out.push('\n');
        }
        for title in &block.titles {
            self.line([title.as_str()]);
        }
        // What a table above, a name of the sheet or the file says of it.
        if let Some(unit) = block.given.unit.filter(|_| !block.titles.iter().any(|t| says_unit(t)))
        {
            self.line([format!("Torques in {}", unit.symbol).as_str()]);
        }
        let added: Vec<&str> = nameless(block).map(|(_, heading)| heading).collect();
        let own = own_headings(block).filter(|heading| heading.text != WHY).map(|heading| {
            match &heading.column {
                // `Joint` that was read as the part stands beside the joint of the title.
                Column::Field(field) if added.iter().any(|one| heading.text.trim() == *one) => {
                    field.heading()
                }
                _ => heading.text.clone(),
            }
        });
        let own: Vec<String> = own.collect();
        self.line(own.iter().map(String::as_str).chain(added.iter().copied()).chain([WHY]));
    }

    fn row(&mut self, block: &Block, row: &RawRow, names: Option<&RowNames>, reasons: &[String]) {
        let name = |at: usize| {
            let name = names.and_then(|names| names.other[at].as_ref());
            name.map_or("", |(name, _)| name.as_str())
        };
        let cell = |(at, heading): (usize, &Heading)| {
            let cell = row.cell(at);
            let named = NAMES.iter().position(|(field, _)| heading.column.is(field));
            match named.filter(|_| cell.is_empty()) {
                Some(at) => name(at).to_owned(),
                // What it stands for is not known, and another row is above it now.
                None if says_ditto(cell) => format!("of which row? {cell}"),
                None => cell.to_owned(),
            }
        };
        let own = own_headings(block).enumerate().filter(|(_, heading)| heading.text != WHY);
        let mut cells: Vec<String> = own.map(cell).collect();
        cells.extend(nameless(block).map(|(at, _)| name(at).to_owned()));
        let beyond = (own_headings(block).count()..row.len()).map(|at| row.cell(at));
        let beyond: Vec<&str> = beyond.filter(|cell| !cell.is_empty()).collect();
        let mut reasons = reasons.join("; ");
        if !beyond.is_empty() {
            reasons += &format!("; beyond the last heading: {}", beyond.join(" "));
        }
        cells.push(reasons);
        self.line(cells.iter().map(String::as_str));
    }

    fn line<'a>(&mut self, cells: impl IntoIterator<Item = &'a str>) {
        let (out, delimiter) = (&mut self.out, self.delimiter);
        for (at, cell) in cells.into_iter().enumerate() {
            if at > 0 {
                out.push(delimiter);
            }
            // The person who corrects it opens it in a spreadsheet: 7/16-20 stays.
            if is_changed_by_a_spreadsheet(cell) {
                out.push('\'');
            }
            let special = |c: char| c == delimiter || matches!(c, '"' | '\n' | '\r');
            if cell.contains(special) {
                out.push('"');
                out.push_str(&cell.replace('"', "\"\""));
                out.push('"');
            } else {
                out.push_str(cell);
            }
        }
        out.push('\n');
    }
}
