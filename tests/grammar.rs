//! The grammar files and the parser, held against each other in both ways.
//!
//! `grammar/tokens.bnf` and `grammar/query.bnf` define the language; the parser
//! is written by hand. Each file passes eight checks: it is sound; its words
//! are those of the tables; the shortest sentence of every alternative and
//! walks by chance are accepted; small changes are judged alike by both sides;
//! so are the hand lists; everything has one tree; and the check of changes
//! catches parsers that were loosened on purpose.

#![allow(clippy::unwrap_used, clippy::expect_used)] // a test may end where it stands

#[path = "grammar/edits.rs"]
mod edits;
#[path = "grammar/files.rs"]
mod files;
#[path = "grammar/fold.rs"]
mod fold;
#[path = "grammar/fuzz.rs"]
mod fuzz;
#[path = "grammar/judge.rs"]
mod judge;
#[path = "grammar/lists.rs"]
mod lists;
#[path = "grammar/notation.rs"]
mod notation;
#[path = "grammar/oracle.rs"]
mod oracle;
#[path = "grammar/query_file.rs"]
mod query_file;
#[path = "grammar/samples.rs"]
mod samples;
#[path = "grammar/sentences.rs"]
mod sentences;
#[path = "grammar/threads.rs"]
mod threads;
#[path = "grammar/tokens_file.rs"]
mod tokens_file;
#[path = "grammar/trees.rs"]
mod trees;
#[path = "grammar/vocabulary.rs"]
mod vocabulary;
