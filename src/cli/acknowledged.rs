//! Findings that may stand: kept in the book on a shelf of notes, each under
//! the mark of its finding.

use crate::audit::{Acknowledged, Finding, Judged, settle};
use crate::cli::exit::Failure;
use crate::store::{Book, Change, Note, Writer};

/// Where they stand in the book.
const SHELF: &str = "acknowledged";

/// All of them, in the order first written.
pub(super) fn all(book: &Book) -> Result<Vec<Acknowledged>, Failure> {
    Ok(book.shelf(SHELF)?.into_iter().map(read).collect())
}

/// A note as written by [`text`]: kind, key and figures on a line each, then
/// why.
fn read(note: Note) -> Acknowledged {
    let mut lines = note.text.splitn(4, '\n').map(str::to_owned);
    let mut next = || lines.next().unwrap_or_default();
    let [name, key, figures, why] = [next(), next(), next(), next()];
    let (who, when) = (note.signature.who, note.signature.when);
    Acknowledged { mark: note.key, name, key, figures, note: why, who, when }
}

fn text(finding: &Finding, why: &str) -> String {
    [finding.kind.row().name, &finding.key, &finding.figures, why].join("\n")
}

/// Lets `findings` stand because of `why`, as one change. What was said of them
/// on other figures is taken away.
pub(super) fn acknowledge(
    writer: &mut Writer,
    findings: &[&Judged],
    why: &str,
) -> Result<(), Failure> {
    let put = |judged: &&Judged| Change::PutNote {
        shelf: SHELF.to_owned(),
        key: judged.finding.mark(),
        text: text(&judged.finding, why),
    };
    let old = findings.iter().filter(|one| one.is_open()).filter_map(|one| one.acknowledged());
    let mut changes: Vec<Change> = old.map(|one| off(&one.mark)).collect();
    changes.extend(findings.iter().map(put));
    writer.apply(changes)?;
    Ok(())
}

/// Takes the acknowledgements of these marks back, as one change.
pub(super) fn withdraw(writer: &mut Writer, marks: &[&str]) -> Result<(), Failure> {
    writer.apply(marks.iter().map(|mark| off(mark)).collect())?;
    Ok(())
}

fn off(mark: &str) -> Change {
    Change::RemoveNote { shelf: SHELF.to_owned(), key: mark.to_owned() }
}

/// `findings` held against what the book says may stand.
pub(super) fn judged(findings: Vec<Finding>, book: &Book) -> Result<Vec<Judged>, Failure> {
    Ok(settle(findings, &all(book)?))
}
