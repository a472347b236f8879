//! Single pages: a thread, the book, and the lists of its tables.

mod bench;
mod book;
mod lists;
mod questions;
mod thread;

pub use bench::{Keys, layout_list, scale_and_range, wrench_list, wrench_with_adapter};
pub use book::{Undone, book_page, undo_page, verify_page};
pub use lists::{fields_page, lube_list, strength_list};
pub use questions::question_list;
pub use thread::thread_page;
