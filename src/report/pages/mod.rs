//! Single pages: a thread, the book, and the lists of its tables.

mod bench;
mod book;
mod lists;
mod questions;
mod thread;

pub use bench::{
    KeptChange, kept_json, kept_page, layout_list, layout_list_json, wrench_list, wrench_list_csv,
    wrench_list_json, wrench_with_adapter,
};
pub use book::{BookFacts, book_json, book_page};
pub(crate) use lists::drawn;
pub use lists::{
    fields_json, fields_page, lube_list, lube_list_json, strength_list, strength_list_json,
};
pub use questions::{SavedQuestion, question_list, question_list_json};
pub use thread::{thread_json, thread_page};

use crate::report::lay::{pad, untied, width, wrap};

/// Names at the left, values beside them, wrapped.
fn facts(lines: &[(&str, String)], limit: usize) -> String {
    let names = lines.iter().map(|(name, _)| width(name)).max().unwrap_or(0) + 2;
    let mut out = String::new();
    for (name, value) in lines {
        for (index, piece) in wrap(value, limit.saturating_sub(names).max(8)).iter().enumerate() {
            let name = if index == 0 { name } else { "" };
            out.push_str(untied(&format!("{}{piece}", pad(name, names))).trim_end());
            out.push('\n');
        }
    }
    out
}
