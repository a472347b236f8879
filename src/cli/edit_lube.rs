//! `edit lube NAME k=0.13 source="…"`: the shop's own factors.

use crate::cli::args::{Args, Edit, Format};
use crate::cli::edit::writer;
use crate::cli::exit::{Code, Failure};
use crate::cli::out::Out;
use crate::intake::{self, reference::LUBE_COLUMNS};
use crate::record::{Lube, Tables};
use crate::report;
use crate::store::Change;
use crate::text::{fold_name, nearest};

/// Changes the lube called `name`.
pub(super) fn run(
    args: &Args,
    edit: &Edit,
    name: &str,
    pairs: &[(&str, &str)],
    out: &mut Out,
) -> Result<Code, Failure> {
    if edit.remove || edit.history || pairs.is_empty() {
        let message = format!("what of the lube `{name}`? Write k=0.13 source=\"…\" or the like");
        return Err(Failure::Argument(message));
    }
    let cells = cells(pairs)?;
    let mut writer = writer(args, edit.who.as_deref())?;
    let tables = writer.book().tables();
    let Some(old) = tables.lube(name).cloned() else {
        let near = nearest(name, tables.lubes.iter().map(|lube| lube.name.as_str()));
        let hint = near.map_or_else(
            || "`clampbook list lubes` names them".to_owned(),
            |near| format!("did you mean `{near}`?"),
        );
        out.complain(&format!("error: the book has no lube `{name}`; {hint}"));
        return Ok(Code::Nothing);
    };
    let refused = |why: String| Failure::Input(format!("{why}\nnothing was changed"));
    let new = intake::edited_lube(&old, &cells).map_err(|error| refused(error.to_string()))?;
    sound(&old, &new, &cells, tables).map_err(refused)?;
    let is_same = new == old;
    let revision = if is_same {
        writer.book().generation()
    } else {
        writer.apply(vec![Change::PutLube(new.clone())])?
    };
    out.answer(&match out.format {
        Format::Json => report::lube_changed_json(&old, &new, revision),
        Format::Table | Format::Csv => report::lube_changed_page(&old, &new),
    });
    Ok(Code::Answered)
}

/// The columns that are meant.
fn cells(pairs: &[(&str, &str)]) -> Result<Vec<(&'static str, String)>, Failure> {
    let mut cells: Vec<(&'static str, String)> = Vec::new();
    for (field, text) in pairs {
        let folded = fold_name(&field.replace(['-', '_'], " "));
        let Some(column) = LUBE_COLUMNS.iter().copied().find(|column| *column == folded) else {
            let near = nearest(&folded, LUBE_COLUMNS.iter().copied());
            let hint = near.map_or_else(
                || format!("a lube has {}", LUBE_COLUMNS.join(", ")).replace("mu ", "mu-"),
                |near| format!("did you mean `{}`?", near.replace(' ', "-")),
            );
            return Err(Failure::Argument(format!("`{field}` is no field of a lube; {hint}")));
        };
        if column == "name" {
            let message = "settings know their lube by its name: give it a further one as alias";
            return Err(Failure::Argument(message.to_owned()));
        }
        if cells.iter().any(|(known, _)| *known == column) {
            return Err(Failure::Argument(format!("{field} is given twice")));
        }
        cells.push((column, (*text).to_owned()));
    }
    Ok(cells)
}

/// A factor keeps to its source, and an alias to one lube.
fn sound(
    old: &Lube,
    new: &Lube,
    cells: &[(&'static str, String)],
    tables: &Tables,
) -> Result<(), String> {
    let factors = |lube: &Lube| (lube.k, lube.mu_thread, lube.mu_bearing);
    if factors(old) != factors(new) && cells.iter().all(|(column, _)| *column != "source") {
        let source = old.source.as_deref().unwrap_or(crate::record::NOT_STATED);
        return Err(format!(
            "a factor changes, and its source is still `{source}`; say where the new one comes \
             from: source=\"…\""
        ));
    }
    for alias in &new.aliases {
        if let Some(other) = tables.lube(alias).filter(|other| other.name != old.name) {
            return Err(format!("aliases: `{alias}` already means {}", other.name));
        }
    }
    Ok(())
}
