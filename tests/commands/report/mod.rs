//! What report draws, from answers that are made here.

mod csv;
mod json;
mod lubes;
mod pages;
mod table;
