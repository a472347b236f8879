//! The fields of a log line that a person writes; what is taken from the spec
//! and the clock is not among them.

use crate::record::kept::{KeptField, given, optional};
use crate::record::{PassDone, Pull, PullKind, Reached, WrenchUsed};

/// Between entries of a list.
const BETWEEN: char = ';';

fn own(text: &str) -> Option<String> {
    given(text).map(str::to_owned)
}

fn list<T>(
    target: &mut Vec<T>,
    text: &str,
    read: fn(&str) -> Result<T, String>,
) -> Result<(), String> {
    let entries = given(text).into_iter().flat_map(|text| text.split(BETWEEN));
    let entries = entries.map(str::trim).filter(|entry| !entry.is_empty());
    *target = entries.map(read).collect::<Result<_, _>>()?;
    Ok(())
}

fn listed<T: ToString>(entries: &[T]) -> Option<String> {
    let texts: Vec<String> = entries.iter().map(T::to_string).collect();
    (!texts.is_empty()).then(|| texts.join("; "))
}

fn kind(found: &str) -> Result<PullKind, String> {
    let words = || PullKind::NAMES.join(", ");
    PullKind::find(found).ok_or_else(|| format!("`{found}` is none of {}", words()))
}

type Field = KeptField<Pull>;

/// What a person writes of a line, in the order of a text export.
#[rustfmt::skip] // one row a line, read as a table
pub static PULL_FIELDS: &[Field] = &[
    Field { name: "job", aliases: &["build", "order-no"], help: "the job", get: |p| Some(p.job.clone()), set: |p, t| given(t).map(|job| job.clone_into(&mut p.job)).ok_or_else(|| "a line needs a job".to_owned()) },
    Field { name: "who", aliases: &["by", "done-by"], help: "who did it", get: |p| p.who.clone(), set: |p, t| { p.who = own(t); Ok(()) } },
    Field { name: "did", aliases: &["kind", "what"], help: "tightened, trial assembly, retorqued, checked or loosened", get: |p| Some(p.kind.to_string()), set: |p, t| optional(t, kind).map(|kind| p.kind = kind.unwrap_or(PullKind::Tightened)) },
    Field { name: "wrench", aliases: &[], help: "the wrench", get: |p| p.wrench.as_ref().map(|w| w.name.clone()), set: |p, t| { p.wrench = given(t).map(|name| WrenchUsed { name: name.to_owned(), calibrated: None, due: None }); Ok(()) } },
    Field { name: "lube", aliases: &["lubricant"], help: "the lube that was put on", get: |p| p.lube.clone(), set: |p, t| { p.lube = own(t); Ok(()) } },
    Field { name: "lot", aliases: &["tin", "batch"], help: "its lot or tin", get: |p| p.lot.clone(), set: |p, t| { p.lot = own(t); Ok(()) } },
    Field { name: "order", aliases: &["sequence"], help: "the order followed", get: |p| p.order.clone(), set: |p, t| { p.order = own(t); Ok(()) } },
    Field { name: "passes", aliases: &["pass"], help: "each pass: 45 lb-ft done; 70 lb-ft done 71 lb-ft", get: |p| listed(&p.passes), set: |p, t| list(&mut p.passes, t, PassDone::parse) },
    Field { name: "reached", aliases: &["final", "values"], help: "what was reached: all: 70 lb-ft, or 1: stretch 0.0057 in; 2: ...", get: |p| listed(&p.reached), set: |p, t| list(&mut p.reached, t, Reached::parse) },
    Field { name: "set", aliases: &["bolt-set"], help: "the bolt set, where bolts are told apart", get: |p| p.set.clone(), set: |p, t| { p.set = own(t); Ok(()) } },
    Field { name: "remarks", aliases: &["remark", "note"], help: "what was not as planned", get: |p| p.remarks.clone(), set: |p, t| { p.remarks = own(t); Ok(()) } },
];
