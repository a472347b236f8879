//! Questions about the book.

pub mod syntax;
