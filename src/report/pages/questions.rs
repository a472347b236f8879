//! The saved questions of a book, as a list.

use crate::report::lay::clean;
use crate::report::page::{Head, Page, Table};

/// A question that the book keeps under a name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SavedQuestion {
    pub name: String,
    pub question: String,
}

/// The saved questions, one a line.
pub fn question_list(saved: &[SavedQuestion]) -> Page<'_> {
    let table = Table::new(saved)
        .column(Head::words("name", 10), |one| clean(&one.name))
        .column(Head::words("question", 20), |one| clean(&one.question))
        .key("name", |one| one.name.clone())
        .key("question", |one| one.question.clone());
    let mut page = Page::new();
    page.table("questions", table);
    page
}
