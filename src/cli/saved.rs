//! Saved questions: kept in the book under a name, among the notes on one topic.

use crate::cli::exit::{Failure, argument};
use crate::cli::named::meant;
use crate::store::{Book, Change, Note, Writer};
use crate::text::{fold_name, nearest};

/// Where they stand in the book.
const TOPIC: &str = "questions";

/// The saved questions in the order first saved: key is the name, text the question.
pub(super) fn questions(book: &Book) -> Result<Vec<Note>, Failure> {
    Ok(book.notes(TOPIC)?)
}

pub(super) fn find(book: &Book, name: &str) -> Result<Option<Note>, Failure> {
    Ok(questions(book)?.into_iter().find(|note| fold_name(&note.key) == fold_name(name)))
}

/// Saves `question` as `name`; returns the question that it replaces.
pub(super) fn save(
    writer: &mut Writer,
    name: &str,
    question: &str,
) -> Result<Option<String>, Failure> {
    let name = name.trim();
    if name.is_empty() {
        return argument("--save needs a name: find --save heads head, oil");
    }
    let old = find(writer.book(), name)?;
    let key = old.as_ref().map_or(name, |note| &note.key);
    writer.apply(vec![Change::note(TOPIC, key, Some(question.trim()))])?;
    Ok(old.map(|note| note.text))
}

pub(super) fn remove(writer: &mut Writer, name: &str) -> Result<Option<Note>, Failure> {
    let found = find(writer.book(), name)?;
    if let Some(note) = &found {
        writer.apply(vec![Change::note(TOPIC, &note.key, None)])?;
    }
    Ok(found)
}

/// What to say where no question of that name is in the book.
pub(super) fn unknown(book: &Book, name: &str) -> Result<String, Failure> {
    let saved = questions(book)?;
    let near = nearest(name.trim(), saved.iter().map(|note| note.key.as_str()));
    let otherwise = match saved.as_slice() {
        [] => "none is saved yet: find --save NAME QUESTION",
        _ => "`list questions` shows those it has",
    };
    let way_out = meant(near, otherwise);
    Ok(format!("the book has no saved question `{}`; {way_out}", name.trim()))
}
