//! The columns of one file: each heading read, no field twice, and enough of
//! them to tell one fastener from another.

use crate::intake::header::{Column, Heading, fold_header, nearly_lube, read_heading};
use crate::intake::leftovers::WHY;
use crate::intake::names::Names;
use crate::intake::reshape::Reshape;
use crate::intake::{IntakeError, Options, Sheet};
use crate::record::{Field, find_field};

/// Fields that may have several columns: their cells are joined.
const JOINED: &[&str] = &["notes", "tags", "caution"];

/// The headings of `sheet`, each read by itself.
pub(crate) fn headings_of(sheet: &Sheet, names: &Names, options: &Options) -> Vec<Heading> {
    let mut headings: Vec<Heading> =
        sheet.headings.iter().map(|text| mapped_heading(text, names, options)).collect();
    settle_unit(&mut headings);
    headings
}

/// Reads the headings of `sheet` and checks them together; with how its rows
/// are reshaped.
pub(crate) fn read_columns(
    sheet: &Sheet,
    names: &Names,
    options: &Options,
) -> Result<(Vec<Heading>, Reshape), IntakeError> {
    let mut headings = headings_of(sheet, names, options);
    let fault = |problem: String, advice: &str| IntakeError::Columns {
        file: sheet.name.clone(),
        line: sheet.header_line,
        problem,
        advice: advice.to_owned(),
    };
    let reshape = Reshape::of(&mut headings, names, options, |problem| {
        fault(problem, "correct the mapping, or the heading")
    })?;
    if let Some((first, second, what)) = twice(&headings) {
        let (one, two) = (&headings[first].text, &headings[second].text);
        let number = |at: usize| headings[at].origin.unwrap_or(at) + 1;
        let (first, second) = (number(first), number(second));
        return Err(fault(
            format!("columns {first} (`{one}`) and {second} (`{two}`) both mean {what}"),
            "rename one of them or leave it out",
        ));
    }
    for heading in &headings {
        if let Column::Unknown { .. } = heading.column
            && let Some(near) = nearly_lube(&heading.text, names)
        {
            return Err(fault(
                format!(
                    "the heading `{}` names a torque for a lube that is not known",
                    heading.text
                ),
                &format!("did you mean `{near}`? Else add the lube to the book first"),
            ));
        }
        if let Some(problem) = wrong_unit(heading) {
            return Err(fault(problem, "correct the unit in the heading"));
        }
    }
    identified(&headings, options).map_err(|missing| fault(missing, NAME_IT))?;
    Ok((headings, reshape))
}

/// What to do where no column names a fastener.
const NAME_IT: &str = "add the column, or say in a mapping which heading means it, or the one assembly and joint of the whole file: --suggest-map FILE writes one to edit, --map FILE imports with it";

/// A heading, or what the mapping says in its place.
fn mapped_heading(text: &str, names: &Names, options: &Options) -> Heading {
    match options.columns.meanings.get(&fold_header(text)).map(String::as_str) {
        _ if text == WHY => Heading { column: Column::LeftOut, ..read_heading(text, names) },
        Some("") => Heading { column: Column::LeftOut, ..read_heading(text, names) },
        Some(meaning) => Heading { text: text.trim().to_owned(), ..read_heading(meaning, names) },
        None => read_heading(text, names),
    }
}

/// A heading "Unit" is the assembly only where nothing else is.
fn settle_unit(headings: &mut [Heading]) {
    let is_assembly = |heading: &Heading| matches!(heading.column, Column::Field(field) if field.name == "assembly");
    if headings.iter().filter(|heading| is_assembly(heading)).count() < 2 {
        return;
    }
    for heading in headings.iter_mut() {
        if heading.text.trim().eq_ignore_ascii_case("unit") {
            heading.column = Column::TorqueUnit;
        }
    }
}

/// Two columns for one thing: their indices and what it is.
fn twice(headings: &[Heading]) -> Option<(usize, usize, String)> {
    for (second, heading) in headings.iter().enumerate() {
        let what = match &heading.column {
            Column::Unknown { .. } | Column::Blank | Column::LeftOut | Column::Derived(_) => {
                continue;
            }
            Column::Field(field) if JOINED.contains(&field.name) => continue,
            Column::Field(field) => field.name.to_owned(),
            Column::TorqueFor(lube) => format!("the torque with {lube}"),
            Column::Low(field) => format!("the low end of {}", field.name),
            Column::High(field) => format!("the high end of {}", field.name),
            Column::Pass(number) => format!("pass {number}"),
            Column::TorqueUnit => "the unit of torque".to_owned(),
            Column::Pitch => "the pitch".to_owned(),
            Column::Tpi => "the threads per inch".to_owned(),
            Column::Threadlocker => "the threadlocker".to_owned(),
        };
        let first = headings[..second].iter().position(|other| other.column == heading.column);
        if let Some(first) = first {
            return Some((first, second, what));
        }
    }
    None
}

/// A unit in the heading that measures something else than its field.
fn wrong_unit(heading: &Heading) -> Option<String> {
    use crate::quantity::Dimension;
    use crate::record::FieldKind;
    let wanted = match &heading.column {
        Column::Field(field) => match (field.name, field.kind) {
            ("passes", _) => Dimension::Torque,
            (_, FieldKind::Quantity(dimension)) => dimension,
            _ => return None,
        },
        Column::TorqueFor(_) | Column::Pass(_) => Dimension::Torque,
        Column::Low(field) | Column::High(field) => match field.kind {
            FieldKind::Quantity(dimension) => dimension,
            _ => return None,
        },
        _ => return None,
    };
    let wrong = heading.units.iter().find(|unit| unit.dimension != wanted)?;
    // Pounds and kilograms over a torque: each cell is asked for its lever.
    if wanted == Dimension::Torque && matches!(wrong.symbol, "lbf" | "kgf") {
        return None;
    }
    let (symbol, is) = (wrong.symbol, wrong.dimension.name());
    Some(format!("`{}`: {symbol} is a {is}, the column holds a {}", heading.text, wanted.name()))
}

/// A row must say which fastener it is: by a key, or by assembly, joint and
/// part.
fn identified(headings: &[Heading], options: &Options) -> Result<(), String> {
    let has = |name: &str| {
        let field: Option<&'static Field> = find_field(name);
        headings
            .iter()
            .any(|heading| matches!(heading.column, Column::Field(other) if Some(other) == field))
    };
    if has("key") {
        return Ok(());
    }
    let mut missing = Vec::new();
    if !has("assembly") && options.assembly.is_none() {
        missing.push("assembly");
    }
    if !has("joint") && options.joint.is_none() {
        missing.push("joint");
    }
    if !has("part") && !has("kind") {
        missing.push("part");
    }
    if missing.is_empty() {
        return Ok(());
    }
    let unknown: Vec<String> = headings
        .iter()
        .filter_map(|heading| match &heading.column {
            Column::Unknown { nearest: Some(near) } => {
                Some(format!("`{}` (did you mean `{near}`?)", heading.text))
            }
            _ => None,
        })
        .collect();
    let hint = if unknown.is_empty() {
        String::new()
    } else {
        format!(", and these headings are not known: {}", unknown.join(", "))
    };
    Err(format!("no column names the {}{hint}", missing.join(", the ")))
}
