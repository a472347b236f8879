//! Cells that set more than one field, or read the same in several columns.

use crate::intake::cells::{
    Context, LubeCell, Split, Tightening, Wanted, in_words, read_date, read_lube, read_source,
    read_tightening,
};
use crate::intake::draft::Draft;
use crate::intake::slots::Patch;
use crate::intake::verdict::{Problem, Reading, Taken};

/// A single lube, by its name in the book.
pub(crate) fn lube_name(cell: &str, context: Context) -> Reading<String> {
    let taken = read_lube(cell, context)?;
    if taken.value.face.is_some() {
        let reason = format!("`{}` names two lubes", cell.trim());
        return Err(Problem::refused("two-lubes", reason, "name one lube in this column"));
    }
    Ok(taken.map(|found| found.thread))
}

pub(crate) fn lube(cell: &str, context: Context) -> Reading<Patch> {
    Ok(read_lube(cell, context)?.map(lube_patch))
}

/// Sets the lube of the row.
pub(crate) fn lube_patch(found: LubeCell) -> Patch {
    let read_as = match &found.face {
        Some(face) => format!("{} threads, {face} under head", found.thread),
        None => found.thread.clone(),
    };
    Patch::new(read_as, move |draft| {
        draft.put("lube", |d| &mut d.setting.lube, &found.thread, String::clone);
        if let Some(face) = &found.face {
            draft.put("face-lube", |d| &mut d.setting.face_lube, face, String::clone);
        }
        draft.notes.extend(found.note.iter().map(|note| format!("lube: {note}")));
    })
}

pub(crate) fn torque(cell: &str, context: Context) -> Reading<Patch> {
    torque_for(cell, None, context)
}

/// A torque cell; `lube` from its heading.
pub(crate) fn torque_for(cell: &str, lube: Option<&str>, context: Context) -> Reading<Patch> {
    let mut taken = read_tightening(cell, Wanted::Torque, context)?;
    if let Some(lube) = lube {
        for tightening in &mut taken.value {
            let named = tightening.lube.get_or_insert_with(|| lube.to_owned());
            if named != lube {
                let reason = format!("the cell says {named}, the heading {lube}");
                return Err(Problem::refused(
                    "lube-differs",
                    reason,
                    "move the figure to its column",
                ));
            }
        }
    }
    let read_as = in_words(&taken.value);
    Ok(taken.map(|found| {
        Patch::new(read_as, move |draft| {
            for tightening in &found {
                draft.notes.extend(tightening.notes.iter().map(|note| format!("torque: {note}")));
                draft.torques.push(tightening.clone());
            }
        })
    }))
}

/// A cell that says one way of tightening.
pub(crate) fn cell_of(
    cell: &str,
    wanted: Wanted,
    context: Context,
    get: fn(&mut Draft) -> &mut Option<Tightening>,
) -> Reading<Patch> {
    let taken = read_tightening(cell, wanted, context)?;
    let several = taken.value.len() > 1 || taken.value.iter().any(|one| one.lube.is_some());
    if several {
        let reason = format!("`{}` names a lube", cell.trim());
        return Err(Problem::refused("lube-here", reason, "put the lube into the lube column"));
    }
    let read_as = in_words(&taken.value);
    Ok(taken.map(|mut found| {
        let one = found.pop().unwrap_or_default();
        Patch::new(read_as, move |draft| {
            draft.notes.extend(one.notes.iter().cloned());
            *get(draft) = Some(one.clone());
        })
    }))
}

/// A source cell; what has a column of its own is not split off.
pub(crate) fn source(cell: &str, split: Split) -> Taken<Patch> {
    read_source(cell, split).map(|found| {
        let parts = [
            found.title.clone(),
            found.revision.clone().map(|r| format!("rev. {r}")),
            found.page.clone().map(|page| format!("p. {page}")),
        ];
        let read_as: Vec<String> = parts.into_iter().flatten().collect();
        Patch::new(read_as.join(", "), move |draft| {
            if let Some(title) = &found.title {
                draft.put("source", |d| &mut d.setting.source.title, title, String::clone);
            }
            if let Some(page) = &found.page {
                draft.put("page", |d| &mut d.setting.source.page, page, String::clone);
            }
            if let Some(revision) = &found.revision {
                draft.put("revision", |d| &mut d.setting.source.revision, revision, String::clone);
            }
            if let Some(kind) = &found.kind {
                draft.put("source-kind", |d| &mut d.setting.source.kind, kind, ToString::to_string);
            }
        })
    })
}

/// A date; one without its day goes into the notes.
pub(crate) fn date(
    cell: &str,
    field: &'static str,
    get: fn(&mut Draft) -> &mut Option<jiff::civil::Date>,
) -> Reading<Patch> {
    let raw = cell.trim().to_owned();
    Ok(read_date(cell)?.map(|found| match found {
        Some(date) => Patch::new(date.to_string(), move |draft| {
            draft.put(field, get, &date, ToString::to_string);
        }),
        None => Patch::new(raw.clone(), move |draft| {
            draft.notes.push(format!("{}: {raw}", field.replace('-', " ")));
        }),
    }))
}

/// A list parted by any of `marks`.
pub(crate) fn list(
    cell: &str,
    marks: &[char],
    get: fn(&mut Draft) -> &mut Vec<String>,
) -> Taken<Patch> {
    let words: Vec<String> = cell
        .split(marks)
        .map(str::trim)
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect();
    Taken::plain(Patch::new(words.join(", "), move |draft| {
        for word in &words {
            if !get(draft).contains(word) {
                get(draft).push(word.clone());
            }
        }
    }))
}

pub(crate) fn kept(cell: &str, get: fn(&mut Draft) -> &mut Vec<String>) -> Taken<Patch> {
    let text = cell.trim().to_owned();
    Taken::plain(Patch::new(text.clone(), move |draft| get(draft).push(text.clone())))
}
