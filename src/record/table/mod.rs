//! A record and its one table: what a person can type, ask, import, export and
//! edit of it.
//!
//! A record is a plain struct; a row of its table ([`Field`]) has names, kind,
//! JSON key, help and a lens to the member. Everything walks the rows: words of
//! a question, headings and cells of an import, columns of an export, `field=value`
//! of `add` and `edit`, differences, history, JSON, completion.

mod field;
mod figure_lenses;
mod leaf;
mod lens;
mod more_lenses;
mod record_table;
mod value;

pub use field::{Field, FieldKind, KeyPart, Owner};
pub(crate) use field::{derived, field};
pub(crate) use figure_lenses::{BY_SIZE, End, FROM_SIZE, LineFigure, TO_SIZE, factor, figure};
pub(crate) use leaf::{Leaf, NEEDED, given};
pub(crate) use lens::{At, Plain, Record, Through, at};
pub(crate) use more_lenses::{AddedWords, BY_COMMA, BY_SEMICOLON, ring};
pub use record_table::{FieldError, RecordTable};
pub use value::{Measure, Value, Written};
