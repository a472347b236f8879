//! The form of a question: text to tokens to tree, and back.
//!
//! The language is defined by `grammar/tokens.bnf` (characters) and
//! `grammar/query.bnf` (classes of tokens); `tests/grammar.rs` compares both
//! with this module in both directions. Syntax knows words, quantities and
//! threads, and of the fields only their names: whether a field of that name
//! takes that value is found later, with the places kept in the tree.
//!
//! ```text
//! text → tokens (lexer, shapes, place) → tree (parse, filter, sum, clause) → print
//! ```

mod arguments;
mod clause;
mod error;
mod filter;
mod hint;
mod input;
mod lexer;
mod parse;
mod place;
mod print;
mod quoted;
mod shapes;
mod source;
mod sum;
mod token;
mod tree;
mod words;

pub use arguments::join_arguments;
pub use error::{SyntaxError, SyntaxErrorKind};
pub(crate) use hint::otherwise;
pub use input::Wanted;
pub use lexer::tokens;
pub use parse::parse;
pub use quoted::{QuotedValue, read_quoted};
pub use token::{Class, Token};
pub use tree::{
    All, Atom, Bare, Clause, ClauseKind, Compared, Filter, Item, Join, Leaf, Name, Part, Phrase,
    Place, Product, Question, Read, SortColumn, Sum, Target, Test, Units, What,
};
pub use words::{
    CLAUSES, FAMILIES, Family, Keyword, OPERATOR_SIGNS, OPERATOR_WORDS, Operator, RELATION_SIGNS,
    RELATION_WORDS, RESERVED, Relation, SHARES, Share,
};

pub(super) use arguments::quote;
pub(super) use words::reserved;

/// The most bytes that a question may have.
pub const LONGEST: usize = 8 * 1024;

/// The most parentheses that may stand inside each other.
pub const DEEPEST: usize = 32;
