//! All drawing: tables, JSON, CSV, carets under a text. Nothing here prints,
//! reads a terminal or knows the store: everything returns text.

mod cautions;
mod cells;
mod columns;
mod figures;
mod grid;
mod json;
mod lay;
mod letters;
mod map;
mod notes;
mod order;
mod passes;
mod pull;
mod sheet;
mod show;
mod stacked;
mod steps;
mod style;
mod table;
mod tally;
mod units;
mod values;

pub use json::{Json, find_json};
pub use order::{OrderOfJoint, joint_orders_json, joint_orders_page, order_json, order_page};
pub use passes::{RowPasses, passes_json, passes_page, torque_passes_json, torque_passes_page};
pub use sheet::{BenchJoint, Paper, SheetFacts, bench_sheet, is_own_sheet, pocket_card};
pub use style::Style;
pub use table::find_table;
