//! The grammar files and the parser, held against each other in both ways.
//!
//! `grammar/tokens.bnf` and `grammar/query.bnf` define the language; the parser
//! is written by hand. Each file passes eight checks: it is sound; its words
//! are those of the tables; the shortest sentence of every alternative and
//! walks by chance are accepted; small changes are judged alike by both sides;
//! so are the hand lists; everything has one tree; and the check of changes
//! catches parsers that were loosened on purpose.

mod edits;
mod files;
mod fold;
mod fuzz;
mod judge;
mod lists;
mod notation;
mod oracle;
mod query_file;
mod samples;
mod sentences;
mod threads;
mod tokens_file;
mod trees;
mod vocabulary;
