//! One cell read by what its column holds.

use crate::intake::cells::{
    Context, Split, asks_for_again, asks_for_new, is_no_order, read_again, read_new,
    read_threadlocker,
};
use crate::intake::draft::Patch;
use crate::intake::fields::{is_short, lube_patch, read_field, torque_for, words};
use crate::intake::header::{Column, Heading, Weight};
use crate::intake::questions::WHICH_COLUMN;
use crate::intake::row_parts::{end_of, one_pass, part_instead, which_lube};
use crate::intake::verdict::{Problem, Reading, Taken};
use crate::record::FieldKind;

/// Reads `text` as what stands under `heading` means. `split` says which parts of a source
/// have no column of their own.
pub(crate) fn read_cell(
    heading: &Heading,
    text: &str,
    split: Split,
    context: Context,
) -> Reading<Patch> {
    is_short(&heading.column, text)?;
    match &heading.column {
        // `Date` is none of the sheet's figures: one that is not understood is kept.
        Column::Field(field) if field.kind == FieldKind::Day && heading.weight < Weight::Named => {
            read_field(field, text, split, context).map_err(Problem::soft)
        }
        Column::Field(field) if field.name == "reuse" && asks_for_new(&heading.text) => {
            let notes = vec![format!("{}: {text}", heading.text)];
            let reuse = read_new(text, context)?;
            Ok(reuse.map(|reuse| Patch { notes, ..words(field, &reuse.to_string()) }))
        }
        Column::Field(field) if field.name == "reuse" && asks_for_again(&heading.text) => {
            Ok(read_again(text, context)?.map(|reuse| words(field, &reuse.to_string())))
        }
        // `Sequence / comment` over words of any kind; `Order` is written by an export.
        Column::Field(field)
            if field.name == "order" && heading.weight < Weight::Named && is_no_order(text) =>
        {
            let notes = vec![format!("{}: {}", heading.text, text.trim())];
            let taken = Taken::plain(Patch { notes, ..Patch::nothing(text.trim()) });
            Ok(taken.echo("note", "it says no order: kept in the notes"))
        }
        Column::Field(field) => {
            let read = read_field(field, text, split, context);
            read.or_else(|problem| part_instead(heading, text, problem))
        }
        Column::TorqueFor(lube) if context.names.lube(lube).is_none() => {
            Err(which_lube(text, lube, context.names))
        }
        Column::TorqueFor(lube) => torque_for(text, Some(lube), context),
        Column::Low(field) => end_of(field, true, text, context),
        Column::High(field) => end_of(field, false, text, context),
        Column::Pass(number) => one_pass(text, *number, context),
        Column::Asked { reason, readings } => {
            Err(Problem::question(WHICH_COLUMN, reason.as_str(), readings.clone()))
        }
        Column::Threadlocker => Ok(read_threadlocker(text, context)?
            .map(|found| found.map_or_else(|| Patch::nothing("no"), lube_patch))),
        _ => Ok(Taken::plain(Patch::nothing(text))),
    }
}
