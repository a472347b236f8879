//! The saved questions of a book, as a list.

use crate::report::grid::Head;
use crate::report::json::Json;
use crate::report::lay::clean;
use crate::report::pages::lists::drawn;

/// A question that the book keeps under a name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SavedQuestion {
    /// What it is called.
    pub name: String,
    /// The question.
    pub question: String,
}

/// The saved questions, one a line.
pub fn question_list(saved: &[SavedQuestion], width: usize) -> String {
    let heads = vec![Head::words("name", 10), Head::words("question", 20)];
    let row = |saved: &SavedQuestion| vec![clean(&saved.name), clean(&saved.question)];
    drawn(heads, saved.iter().map(row).collect(), width)
}

/// The saved questions as JSON.
pub fn question_list_json(saved: &[SavedQuestion]) -> String {
    let question = |saved: &SavedQuestion| {
        Json::object(vec![("name", (&saved.name).into()), ("question", (&saved.question).into())])
    };
    let questions = Json::List(saved.iter().map(question).collect());
    Json::object(vec![("questions", questions)]).lines()
}
