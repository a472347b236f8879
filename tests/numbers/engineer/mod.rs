//! Numbers that an engineer would sign: one test for each way in which a figure
//! was once wrong, unsafe or given where none is known, with its source.

mod arithmetic;
mod books;
mod orders;
mod support;
mod tables;
