//! The cell of a field, read by what the field holds; and the few fields whose
//! cells have a grammar of their own, or fill their neighbours too.

use std::borrow::Cow;

use crate::intake::cells::{
    Context, LubeCell, Split, Tightening, Wanted, in_words, read_choice, read_count, read_date,
    read_flag, read_hole, read_lube, read_order, read_quantity, read_reuse, read_share,
    read_source, read_strength, read_thread, read_tightening,
};
use crate::intake::draft::{Figures, Patch};
use crate::intake::header::Column;
use crate::intake::verdict::{Problem, Reading, Taken};
use crate::intake::words::kind_in;
use crate::quantity::{
    Angle, Area, Dimension, Force, Kind, Length, Ratio, Stress, TemperatureDifference, Torque,
};
use crate::record::{FIELDS, Field, FieldKind, Value, place_of};

const LUBE: usize = place_of("lube");
const FACE_LUBE: usize = place_of("face-lube");
const HOLE_THREAD: usize = place_of("hole-thread");
const STRENGTH: usize = place_of("strength");
const COUNT: usize = place_of("qty");
const LENGTH: usize = place_of("length");
const PROOF: usize = place_of("proof");
const YIELD: usize = place_of("yield");
const TENSILE: usize = place_of("tensile");
const WET_TO: usize = place_of("wet-to");
const PAGE: usize = place_of("page");
const REVISION: usize = place_of("revision");
const SOURCE_KIND: usize = place_of("source-kind");

/// No figure, name or list of a table is longer; texts may be.
pub(crate) const LONGEST_VALUE: usize = 8_000;

/// Whether a cell of `column` may hold what the column is for.
pub(crate) fn is_short(column: &Column, cell: &str) -> Result<(), Problem> {
    let of_words = |field: &Field| matches!(field.kind, FieldKind::Text | FieldKind::List);
    if cell.len() <= LONGEST_VALUE || matches!(column, Column::Field(field) if of_words(field)) {
        return Ok(());
    }
    let reason = format!("a cell of {} bytes, where {LONGEST_VALUE} is the most", cell.len());
    Err(Problem::refused("too-long", reason, "put words into a column of notes"))
}

/// Reads a cell of `field`. `split` says which parts of a source have no column
/// of their own.
pub(crate) fn read_field(
    field: &'static Field,
    cell: &str,
    split: Split,
    context: Context,
) -> Reading<Patch> {
    match field.name {
        // Where a name belongs it is none.
        "assembly" | "joint" | "part" if cell.starts_with("{\"") => {
            let reason = format!("`{cell}` is an object of JSON where a name belongs");
            Err(Problem::refused("nested", reason, "give each row its own object, with its names"))
        }
        "thread" => thread(field, cell, context),
        "hole-thread" => hole_thread(field, cell, context),
        "hole" => hole(field, cell),
        "lube" => Ok(read_lube(cell, context)?.map(lube_patch)),
        "torque" => torque_for(cell, None, context),
        "angle" => figures(cell, Wanted::Angle, Figures::Angle, context),
        "stretch" => figures(cell, Wanted::Stretch, Figures::Stretch, context),
        "passes" => figures(cell, Wanted::Passes, Figures::Passes, context),
        "source" => Ok(source(field, cell, split)),
        "order" => Ok(read_order(cell)?.map(|order| words(field, &order))),
        "part" => Ok(Taken::plain(Patch { kind: kind_in(cell), ..words(field, cell) })),
        "reuse" => Ok(read_reuse(cell, context)?.map(|reuse| words(field, &reuse.to_string()))),
        "notes" => Ok(Taken::plain(Patch {
            notes: vec![cell.trim().to_owned()],
            ..Patch::nothing(cell.trim())
        })),
        "verbatim" => Ok(Taken::plain(Patch {
            verbatim: Some(cell.trim().to_owned()),
            ..Patch::nothing(cell.trim())
        })),
        _ => by_kind(field, cell, context),
    }
}

/// A field whose cells say what its kind lets them say.
fn by_kind(field: &'static Field, cell: &str, context: Context) -> Reading<Patch> {
    let value = |value| Patch::value(field, value);
    Ok(match field.kind {
        FieldKind::Text | FieldKind::Thread => Taken::plain(words(field, cell)),
        FieldKind::List => Taken::plain(words(field, &cell.replace('\n', "; "))),
        FieldKind::Choice(words) => {
            read_choice(cell, words, |word| field.read(word).ok())?.map(value)
        }
        FieldKind::Number => read_count(cell)?.map(|count| value(Value::number(Some(count)))),
        FieldKind::Flag => read_flag(cell)?.map(|flag| value(Value::Flag(flag))),
        FieldKind::Share => {
            read_share(cell, context)?.map(|share| value(Value::stated(Some(share))))
        }
        FieldKind::Quantity(dimension) => quantity(dimension, cell, context)?.map(value),
        FieldKind::Day => return day(field, cell, context),
        FieldKind::Lube => lube_name(cell, context)?.map(|lube| words(field, &lube)),
        FieldKind::Strength => return strength(field, cell, context),
    })
}

/// A field that holds these words.
pub(crate) fn words(field: &'static Field, text: &str) -> Patch {
    Patch::value(field, Value::made(text.trim().to_owned()))
}

fn quantity(dimension: Dimension, cell: &str, context: Context) -> Reading<Value<'static>> {
    fn stated<K: Kind>(cell: &str, context: Context) -> Reading<Value<'static>> {
        Ok(read_quantity::<K>(cell, context)?.map(|stated| Value::stated(Some(stated))))
    }
    match dimension {
        Dimension::Torque => stated::<Torque>(cell, context),
        Dimension::Force => stated::<Force>(cell, context),
        Dimension::Length => stated::<Length>(cell, context),
        Dimension::Stress => stated::<Stress>(cell, context),
        Dimension::Area => stated::<Area>(cell, context),
        Dimension::Angle => stated::<Angle>(cell, context),
        Dimension::TemperatureDifference => stated::<TemperatureDifference>(cell, context),
        Dimension::Ratio => stated::<Ratio>(cell, context),
    }
}

/// A date; one without its day goes into the notes.
fn day(field: &'static Field, cell: &str, context: Context) -> Reading<Patch> {
    Ok(read_date(cell, context.day_first)?.map(|found| match found {
        Some(day) => words(field, &day.to_string()),
        None => Patch {
            notes: vec![format!("{}: {}", field.name.replace('-', " "), cell.trim())],
            ..Patch::nothing(cell.trim())
        },
    }))
}

/// A single lube, by its name in the book.
fn lube_name(cell: &str, context: Context) -> Reading<String> {
    let taken = read_lube(cell, context)?;
    if taken.value.face.is_some() {
        let reason = format!("`{}` names two lubes", cell.trim());
        return Err(Problem::refused("two-lubes", reason, "name one lube in this column"));
    }
    Ok(taken.map(|found| found.thread))
}

/// Sets the lube of the row, and that under the head if it is another one.
pub(crate) fn lube_patch(found: LubeCell) -> Patch {
    let read_as = match &found.face {
        Some(face) => format!("{} threads, {face} under head", found.thread),
        None => found.thread.clone(),
    };
    let notes = found.note.iter().map(|note| format!("lube: {note}")).collect();
    let face = Value::made(found.face.unwrap_or_default());
    Patch { read_as, notes, ..words(&FIELDS[LUBE], &found.thread).and(FACE_LUBE, face) }
}

/// A torque cell; `lube` from its heading.
pub(crate) fn torque_for(cell: &str, lube: Option<&str>, context: Context) -> Reading<Patch> {
    let mut taken = read_tightening(cell, Wanted::Torque, context)?;
    for tightening in &mut taken.value {
        let Some(lube) = lube else { break };
        let named = tightening.lube.get_or_insert_with(|| lube.to_owned());
        if named != lube {
            let reason = format!("the cell says {named}, the heading {lube}");
            let advice = "move the figure to its column";
            return Err(Problem::refused("lube-differs", reason, advice));
        }
    }
    Ok(taken.map(|found| {
        let notes = found.iter().flat_map(|one| &one.notes);
        let mut notes: Vec<String> = notes.map(|note| format!("torque: {note}")).collect();
        let from_words =
            |one: &Tightening| one.torque.is_none() && one.snug.is_none() && !one.angles.is_empty();
        if found.iter().any(from_words) && cell.contains(char::is_alphabetic) {
            // From where the angle counts stands in words.
            notes.push(format!("torque: {}", cell.trim()));
        }
        Patch { notes, ..Patch::figures(in_words(&found), Figures::Torques(found)) }
    }))
}

/// A cell that says one way of tightening.
fn figures(
    cell: &str,
    wanted: Wanted,
    of: fn(Tightening) -> Figures,
    context: Context,
) -> Reading<Patch> {
    let taken = read_tightening(cell, wanted, context)?;
    let several = taken.value.len() > 1 || taken.value.iter().any(|one| one.lube.is_some());
    if several {
        let reason = format!("`{}` names a lube", cell.trim());
        return Err(Problem::refused("lube-here", reason, "put the lube into the lube column"));
    }
    let read_as = in_words(&taken.value);
    Ok(taken.map(|mut found| {
        let found = found.pop().unwrap_or_default();
        Patch { notes: found.notes.clone(), ..Patch::figures(read_as, of(found)) }
    }))
}

/// A source; what has a column of its own is not split off.
fn source(field: &'static Field, cell: &str, split: Split) -> Taken<Patch> {
    read_source(cell, split).map(|found| {
        let parts = [
            found.title.clone(),
            found.revision.as_ref().map(|revision| format!("rev. {revision}")),
            found.page.as_ref().map(|page| format!("p. {page}")),
        ];
        let read_as = parts.into_iter().flatten().collect::<Vec<_>>().join(", ");
        let text = |text: Option<String>| Value::made(text.unwrap_or_default());
        let kind = found.kind.map_or(Value::NotStated, |kind| Value::text(kind.word()));
        let title = match found.title {
            Some(title) => words(field, &title),
            None => Patch::default(),
        };
        let patch = title.and(PAGE, text(found.page)).and(REVISION, text(found.revision));
        Patch { read_as, ..patch.and(SOURCE_KIND, kind) }
    })
}

/// The thread that turns, with the other end and the length if they stand in the
/// same cell.
fn thread(field: &'static Field, cell: &str, context: Context) -> Reading<Patch> {
    Ok(read_thread(cell, context)?.map(|found| {
        let mut read_as = found.thread.to_string();
        if let Some(hole) = &found.hole {
            read_as = format!("{hole} x {read_as}");
        }
        if let Some(length) = &found.length {
            read_as = format!("{read_as} x {length}");
        }
        // Who types `thread=M10` sees what it was read as; a sheet's reader does not.
        let is_noted = found.is_assumed && !context.names.is_typed;
        let notes = is_noted.then(|| "pitch assumed".to_owned()).into_iter().collect();
        let hole = found.hole.map_or(Value::NotStated, |hole| Value::Thread(Cow::Owned(hole)));
        let patch = Patch::value(field, Value::Thread(Cow::Owned(found.thread)));
        let patch = patch.and(HOLE_THREAD, hole).and(LENGTH, Value::stated(found.length));
        let patch = patch.and(STRENGTH, Value::made(found.strength.unwrap_or_default()));
        let patch = patch.and(COUNT, Value::number(found.count));
        Patch { read_as, notes, ..patch }
    }))
}

/// The thread of a stud in the casting.
fn hole_thread(field: &'static Field, cell: &str, context: Context) -> Reading<Patch> {
    let taken = read_thread(cell, context)?;
    if taken.value.hole.is_some() {
        let reason = format!("`{}` names two threads", cell.trim());
        let advice = "put the nut end into the thread column";
        return Err(Problem::refused("two-threads", reason, advice));
    }
    Ok(taken.map(|found| Patch::value(field, Value::Thread(Cow::Owned(found.thread)))))
}

/// The name of a strength, its figures, or both.
fn strength(field: &'static Field, cell: &str, context: Context) -> Reading<Patch> {
    Ok(read_strength(cell, context)?.map(|found| {
        let figures = [("proof", found.proof), ("yield", found.yield_), ("tensile", found.tensile)];
        let named = figures.iter().filter_map(|(what, one)| one.map(|one| format!("{what} {one}")));
        let read_as = found.name.clone().into_iter().chain(named).collect::<Vec<_>>().join(", ");
        let name = match &found.name {
            Some(name) => words(field, name),
            None => Patch::default(),
        };
        let patch = name.and(PROOF, Value::stated(found.proof));
        let patch = patch.and(YIELD, Value::stated(found.yield_));
        let notes = found.note.iter().map(|note| format!("strength: {note}")).collect();
        let unknown_strength = found.unknown.then_some(found.hint);
        Patch {
            read_as,
            unknown_strength,
            notes,
            ..patch.and(TENSILE, Value::stated(found.tensile))
        }
    }))
}

/// Blind or through, and what the hole opens into.
fn hole(field: &'static Field, cell: &str) -> Reading<Patch> {
    Ok(read_hole(cell)?.map(|(bottom, wet)| {
        let parts =
            [bottom.map(|bottom| bottom.to_string()), wet.map(|wet| format!("wet to {wet}"))];
        let read_as = parts.into_iter().flatten().collect::<Vec<_>>().join(", ");
        let bottom = bottom.map_or_else(Patch::default, |bottom| words(field, bottom.word()));
        let wet = wet.map_or(Value::NotStated, |wet| Value::text(wet.word()));
        Patch { read_as, ..bottom.and(WET_TO, wet) }
    }))
}
