//! The table of a log line: what a person writes of it. What is taken from the
//! spec and the clock is not among it.

use crate::record::table::{FieldKind, Leaf, Record, RecordTable, Value, at, field, given};
use crate::record::{PassDone, Pull, Reached, WrenchUsed};

const BETWEEN: char = ';';

fn entries<T>(text: &str, read: fn(&str) -> Result<T, String>) -> Result<Vec<T>, String> {
    text.split(BETWEEN).filter_map(given).map(read).collect()
}

impl Leaf for Vec<PassDone> {
    const KIND: FieldKind = FieldKind::Text;

    fn value(&self) -> Value<'_> {
        Value::joined(self, "; ")
    }

    fn read(text: &str) -> Result<Self, String> {
        entries(text, PassDone::parse)
    }
}

impl Leaf for Vec<Reached> {
    const KIND: FieldKind = FieldKind::Text;

    fn value(&self) -> Value<'_> {
        Value::joined(self, "; ")
    }

    fn read(text: &str) -> Result<Self, String> {
        entries(text, Reached::parse)
    }
}

/// By its name; the book says how it stood.
impl Leaf for WrenchUsed {
    const KIND: FieldKind = FieldKind::Text;

    fn value(&self) -> Value<'_> {
        Value::text(&self.name)
    }

    fn read(text: &str) -> Result<Self, String> {
        Ok(Self { name: text.to_owned(), calibrated: None, due: None })
    }
}

impl Record for Pull {}

/// The table of a log line, in the order of a text export.
#[rustfmt::skip] // one row a line, read as a table
pub static LOG_LINES: RecordTable = RecordTable { what: "log line", listed: "lines", needed: &["job"], fields: &[
    field!("job" | "build" | "order-no" => at!(Pull.job), "job", "the job"),
    field!("who" | "by" | "done-by" => at!(Pull.who), "who", "who did it"),
    field!("did" | "kind" | "what" => at!(Pull.kind), "did", "tightened, trial assembly, retorqued, checked or loosened"),
    field!("wrench" => at!(Pull.wrench), "wrench", "the wrench"),
    field!("set-to" | "wrench-set" => at!(Pull.set_to), "set_to_nm", "what the wrench was set to, where an adapter makes it another figure than the torque at the nut"),
    field!("lube" | "lubricant" => at!(Pull.lube), "lube", "the lube that was put on"),
    field!("lot" | "tin" | "batch" => at!(Pull.lot), "lot", "its lot or tin"),
    field!("order" | "sequence" => at!(Pull.order), "order", "the order followed"),
    field!("passes" | "pass" => at!(Pull.passes), "passes", "each pass: 45 lb-ft done; 65 lb-ft done 66 lb-ft"),
    field!("reached" | "final" | "values" => at!(Pull.reached), "reached", "what was reached: all: 65 lb-ft, or 1: stretch 0.0057 in; 2: ..."),
    field!("set" | "bolt-set" => at!(Pull.set), "set", "the bolt set, where bolts are told apart"),
    field!("remarks" | "remark" | "note" => at!(Pull.remarks), "remarks", "what was not as planned"),
] };
