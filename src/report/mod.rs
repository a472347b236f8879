//! All drawing: tables, JSON, CSV, carets under a text. Nothing here prints,
//! or knows the store: everything returns text, and the caller says whether it
//! may be coloured.

mod audit;
pub mod calc;
mod cells;
mod csv;
mod diagnostic;
mod duties;
mod exported;
mod figures;
mod find;
mod grid;
mod history;
mod import;
mod json;
mod lay;
mod log;
mod lubes;
mod map;
mod order;
mod page;
mod pages;
mod passes;
mod pull;
mod record_keys;
mod render;
mod rounding;
mod sheet;
mod sql;
mod steps;
mod style;
mod tally;
mod units;
mod values;
#[cfg(feature = "spreadsheet")]
mod workbook;
mod working;

pub use audit::{audit_page, settled_page};
pub use csv::export_csv;
pub use diagnostic::draw;
pub use duties::{SAFETY, discard_words};
pub use exported::Fasteners;
pub use find::{asked_page, find_page};
pub use history::{
    HistoryEntry, changed_page, entered_page, history_page, note_of_changes, noted_changes,
    removed_page,
};
pub use import::{Imported, import_page};
pub use json::{export_json, export_json_lines};
pub use lay::folded;
pub use log::{
    BoltRow, LogLine, OffTarget, bolt_list, job_page, log_export, log_line_page, log_list,
    off_target_list, recall_page, retorque_list, tin_list,
};
pub use lubes::{LubesWish, lubes_chart_svg, lubes_page};
pub use order::{OrderOfJoint, joint_orders_page, order_page};
pub use page::Page;
pub use pages::{
    Keys, Undone, book_page, fields_page, layout_list, lube_list, question_list, scale_and_range,
    strength_list, thread_page, undo_page, verify_page, wrench_list, wrench_with_adapter,
};
pub use passes::{RowPasses, WithWrench, pass_texts, passes_page, torque_passes_page};
pub use render::{Canvas, Format, beside, render, rendered};
pub use sheet::{
    BenchJoint, Paper, SheetFacts, bench_sheet, pocket_card, sheet_note, written_page,
};
pub use sql::export_sql;
pub use style::Style;
#[cfg(feature = "spreadsheet")]
pub use workbook::export_workbook;
pub use working::why;

/// Columns of the terminal that this process writes to; None in a pipe.
pub fn terminal_width() -> Option<usize> {
    terminal_size::terminal_size().map(|(width, _)| usize::from(width.0))
}

/// Lines of the terminal that this process writes to; None in a pipe.
pub fn terminal_rows() -> Option<usize> {
    terminal_size::terminal_size().map(|(_, rows)| usize::from(rows.0))
}
