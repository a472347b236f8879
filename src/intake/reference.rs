//! Files of records that are kept by name: lubes, strengths, wrenches, bolt sets. The
//! columns are the fields of their tables in [`crate::record`]; lines of a strength
//! that have one name belong together.

use std::any::Any;

use crate::intake::cells::{read_choice, read_flag};
use crate::intake::split::RawRow;
use crate::intake::table::{Table, read_comma_table};
use crate::intake::verdict::Problem;
use crate::intake::words::plain_words;
use crate::intake::{CellPlace, CellVerdict, IntakeError, Sheet, Verdict};
use crate::record::{
    Field, FieldKind, LUBES, Lube, LubeClass, RecordTable, STRENGTHS, StrengthClass, Value,
};
use crate::text::{fold_name, nearest};

/// What such a file holds: its records and the cells that were refused.
#[derive(Debug, Clone, PartialEq)]
pub struct ReferenceReport<T> {
    /// The records of the sound rows, in the order of the file.
    pub records: Vec<T>,
    /// Cells that were not taken; empty for a sound file.
    pub verdicts: Vec<CellVerdict>,
}

/// Reads a file of lubes. `name` is what messages call it.
pub fn read_lubes(bytes: &[u8], name: &str) -> Result<ReferenceReport<Lube>, IntakeError> {
    lubes(&read_comma_table(bytes, name)?, name)
}

fn lubes(file: &Table, name: &str) -> Result<ReferenceReport<Lube>, IntakeError> {
    read(file, name, &LUBES, |cells, before: &mut Vec<Lube>| {
        let mut lube = Lube::named("", LubeClass::Wet);
        cells.fill(&mut lube);
        if let Err((field, why)) = lube.check() {
            cells.refuse(field, Problem::refused("range", why, "check the three values"));
        }
        for (field, spelling) in [("name", &lube.name)]
            .into_iter()
            .chain(lube.aliases.iter().map(|alias| ("aliases", alias)))
        {
            let is_taken = |known: &&Lube| {
                let mut names = std::iter::once(&known.name).chain(&known.aliases);
                names.any(|known| fold_name(known) == fold_name(spelling))
            };
            if let Some(other) = before.iter().find(is_taken) {
                let reason = format!("`{spelling}` already means {}", other.name);
                cells.refuse(field, Problem::refused("name-taken", reason, "use another name"));
            }
        }
        if cells.wrong.is_empty() {
            before.push(lube);
        }
    })
}

/// Reads a file of strengths. `name` is what messages call it.
pub fn read_strengths(
    bytes: &[u8],
    name: &str,
) -> Result<ReferenceReport<StrengthClass>, IntakeError> {
    strengths(&read_comma_table(bytes, name)?, name)
}

fn strengths(file: &Table, name: &str) -> Result<ReferenceReport<StrengthClass>, IntakeError> {
    read(file, name, &STRENGTHS, |cells, before: &mut Vec<StrengthClass>| {
        let mut line = StrengthClass::line(String::new());
        cells.fill(&mut line);
        if cells.wrong.is_empty()
            && let Err(why) = line.check_line()
        {
            cells.refuse("to", Problem::refused("sizes", why, "check the line"));
        }
        if !cells.wrong.is_empty() {
            return;
        }
        let known = before.iter_mut().find(|one| fold_name(&one.name) == fold_name(&line.name));
        match known {
            Some(class) => class.join(line),
            None => before.push(line),
        }
    })
}

/// Reads a file of records of `table` that no rule holds together: wrenches, bolt
/// sets. `name` is what messages call it.
pub fn read_plain<T: Default + Any>(
    bytes: &[u8],
    name: &str,
    table: &'static RecordTable,
) -> Result<ReferenceReport<T>, IntakeError> {
    read(&read_comma_table(bytes, name)?, name, table, |cells, before: &mut Vec<T>| {
        let mut record = T::default();
        cells.fill(&mut record);
        if cells.wrong.is_empty() {
            before.push(record);
        }
    })
}

/// Takes the lubes and strengths out of `sheet` that an export has on pages of their
/// own, called and headed as their tables are.
pub(crate) fn with_own(mut sheet: Sheet) -> Result<Sheet, IntakeError> {
    let name = sheet.name.clone();
    if let Some(file) = take(&mut sheet, &LUBES) {
        sheet.own.lubes = sound(lubes(&file, &name)?, &name)?;
    }
    if let Some(file) = take(&mut sheet, &STRENGTHS) {
        sheet.own.strengths = sound(strengths(&file, &name)?, &name)?;
    }
    if let ([page], false) = (sheet.pages.as_mut_slice(), sheet.own.is_empty())
        && page.headings.is_some()
    {
        page.name.clear();
    }
    Ok(sheet)
}

fn take(sheet: &mut Sheet, table: &'static RecordTable) -> Option<Table> {
    let is_own = |name: &str, headings: &[String]| {
        let has = |needed: &&str| headings.iter().any(|one| plain_words(one) == **needed);
        name == table.listed && table.needed.iter().all(has)
    };
    let (headings, rows) = sheet.take_page(is_own)?;
    Some(Table { delimiter: ',', headings, rows })
}

/// The records of a page, every cell of which is taken.
fn sound<T>(report: ReferenceReport<T>, name: &str) -> Result<Vec<T>, IntakeError> {
    let Some(cell) = report.verdicts.into_iter().next() else { return Ok(report.records) };
    let place = format!(", line {}", cell.place.line);
    let problem = format!("{} `{}`: {}", cell.place.header, cell.raw, cell.reason);
    Err(IntakeError::notation(name, place, problem, cell.advice))
}

/// Reads the rows of a file one by one with `row`, which adds to the records
/// before.
fn read<T>(
    file: &Table,
    name: &str,
    table: &'static RecordTable,
    mut row: impl FnMut(&mut Cells<'_>, &mut Vec<T>),
) -> Result<ReferenceReport<T>, IntakeError> {
    let columns = columns(&file.headings, name, table)?;
    let mut report = ReferenceReport { records: Vec::new(), verdicts: Vec::new() };
    for raw in &file.rows {
        let mut cells = Cells { columns: &columns, table, row: raw, wrong: Vec::new() };
        row(&mut cells, &mut report.records);
        report.verdicts.append(&mut cells.wrong);
    }
    Ok(report)
}

/// The field of each column; none twice, none missing that is needed.
fn columns(
    headings: &[String],
    name: &str,
    table: &'static RecordTable,
) -> Result<Vec<&'static Field>, IntakeError> {
    let fault = |problem: String, advice: String| IntakeError::Columns {
        file: name.to_owned(),
        line: 1,
        problem,
        advice,
    };
    let mut columns: Vec<&'static Field> = Vec::with_capacity(headings.len());
    for heading in headings {
        let names = || table.fields.iter().map(|field| field.name);
        let Ok(field) = table.field(&plain_words(heading)) else {
            let near = nearest(heading, names()).map(|near| format!("did you mean `{near}`?"));
            let hint = near.unwrap_or_else(|| names().collect::<Vec<_>>().join(", "));
            return Err(fault(format!("`{heading}` is not a column of this table"), hint));
        };
        if columns.contains(&field) {
            return Err(fault(format!("two columns `{heading}`"), "leave one out".to_owned()));
        }
        columns.push(field);
    }
    let has = |needed: &str| columns.iter().any(|field| field.name == needed);
    match table.needed.iter().find(|needed| !has(needed)) {
        Some(missing) => {
            Err(fault(format!("the column `{missing}` is missing"), "add it".to_owned()))
        }
        None => Ok(columns),
    }
}

/// The cells of one row by their field.
struct Cells<'a> {
    columns: &'a [&'static Field],
    table: &'static RecordTable,
    row: &'a RawRow,
    wrong: Vec<CellVerdict>,
}

impl Cells<'_> {
    fn at(&self, field: &str) -> Option<usize> {
        self.columns.iter().position(|known| known.name == field)
    }

    /// States in `record` what the cells say, in the order of the table.
    fn fill(&mut self, record: &mut dyn Any) {
        for field in self.table.fields {
            let text = self.at(field.name).map_or("", |at| self.row.cell(at));
            if text.is_empty() {
                if self.table.needed.contains(&field.name) {
                    let reason = format!("{} is not stated", field.name);
                    self.refuse(field.name, Problem::refused("needed", reason, "fill it in"));
                }
                continue;
            }
            let put = value(field, text).and_then(|value| {
                let wrong = |why: String| Problem::refused("value", why, "correct the cell");
                field.put(record, value).map_err(wrong)
            });
            if let Err(problem) = put {
                self.refuse(field.name, problem);
            }
        }
    }

    fn refuse(&mut self, field: &str, problem: Problem) {
        let at = self.at(field);
        let column = at.map_or(0, |at| u16::try_from(at + 1).unwrap_or(u16::MAX));
        let line = at.map_or(self.row.line, |at| self.row.line_of(at));
        let place = CellPlace { sheet: String::new(), line, column, header: field.to_owned() };
        let raw = at.map_or("", |at| self.row.cell(at)).to_owned();
        let Problem { code, reason, advice, .. } = problem;
        let verdict = Verdict::Refused;
        self.wrong.push(CellVerdict { place, raw, verdict, read_as: None, code, reason, advice });
    }
}

/// What a cell of `field` says: words and yes or no as people fill them in, the
/// rest in clean notation.
fn value(field: &'static Field, text: &str) -> Result<Value<'static>, Problem> {
    match field.kind {
        FieldKind::Choice(words) => {
            Ok(read_choice(text, words, |word| field.read(word).ok())?.value)
        }
        FieldKind::Flag => Ok(Value::Flag(read_flag(text)?.value)),
        _ => field.read(text).map_err(|why| Problem::refused("value", why, "correct the cell")),
    }
}
