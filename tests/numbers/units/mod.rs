//! The factors of UNITS against two libraries that know nothing of this one.

mod uom;
mod witness;
