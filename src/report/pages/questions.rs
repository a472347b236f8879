//! The saved questions of a book, as a list.

use crate::report::lay::clean;
use crate::report::page::{Head, Page, Table};

/// The saved questions, name and text, one a line.
pub fn question_list(saved: &[(String, String)]) -> Page<'_> {
    let table = Table::new(saved)
        .column(Head::words("name", 10), |(name, _)| clean(name))
        .column(Head::words("question", 20), |(_, question)| clean(question))
        .key("name", |(name, _): &&(String, String)| name.clone())
        .key("question", |(_, question)| question.clone());
    Page::of_table("questions", table)
}
