//! Help for the intake tests: reference tables, one cell in a file of its own,
//! and what became of it.
#![allow(
    dead_code,
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "each test file uses its own part, and a test panics on what must not be"
)]

#[cfg(feature = "spreadsheet")]
pub(crate) mod workbook;

#[path = "../../support/databases.rs"]
pub(crate) mod databases;
#[path = "../../support/held.rs"]
pub(crate) mod held;

use std::sync::Arc;

use clampbook::intake::{
    CellVerdict, EmptyBook, Options, Report, Verdict, read_csv, reference, take,
};
use clampbook::record::{Derived, Fastener, Row, Tables, Value, find_field};

/// The small tables of tests/data/intake.
pub(crate) fn tables() -> Tables {
    let lubes = include_bytes!("../../data/intake/lubes.csv");
    let strengths = include_bytes!("../../data/intake/strengths.csv");
    let lubes = reference::read_lubes(lubes, "lubes.csv").expect("lubes");
    let strengths = reference::read_strengths(strengths, "strengths.csv").expect("strengths");
    assert!(lubes.verdicts.is_empty(), "{:?}", lubes.verdicts);
    assert!(strengths.verdicts.is_empty(), "{:?}", strengths.verdicts);
    Tables { lubes: lubes.records, strengths: strengths.records }
}

/// The tables that every book starts with.
pub(crate) fn tables_of_the_book() -> &'static Tables {
    static TABLES: std::sync::LazyLock<Tables> = std::sync::LazyLock::new(read_tables_of_the_book);
    &TABLES
}

fn read_tables_of_the_book() -> Tables {
    let lubes = include_bytes!("../../../seed-data/lubes.csv");
    let strengths = include_bytes!("../../../seed-data/strengths.csv");
    let lubes = reference::read_lubes(lubes, "lubes.csv").expect("lubes");
    let strengths = reference::read_strengths(strengths, "strengths.csv").expect("strengths");
    Tables { lubes: lubes.records, strengths: strengths.records }
}

/// What `export` writes of `fasteners`.
pub(crate) fn exported(
    export: impl Fn(&[Arc<Fastener>], &mut dyn std::io::Write) -> std::io::Result<()>,
    fasteners: &[Arc<Fastener>],
) -> String {
    let mut bytes = Vec::new();
    export(fasteners, &mut bytes).unwrap();
    String::from_utf8(bytes).unwrap()
}

/// Takes a file given as text into an empty book.
pub(crate) fn taken(text: &str, options: &Options) -> Report {
    taken_bytes(text.as_bytes(), options)
}

/// The same for bytes.
pub(crate) fn taken_bytes(bytes: &[u8], options: &Options) -> Report {
    let sheet = read_csv(bytes, "shop.csv").expect("a readable file");
    take(&sheet, &tables(), options, &EmptyBook).expect("usable columns")
}

/// A cell in quotes.
pub(crate) fn quoted(cell: &str) -> String {
    format!("\"{}\"", cell.replace('"', "\"\""))
}

/// The report on one cell under `heading`, in a row that is sound otherwise.
pub(crate) fn one_cell(heading: &str, cell: &str, options: &Options) -> Report {
    let (heading, cell) = (quoted(heading), quoted(cell));
    let text = format!("Assembly,Joint,Part,{heading},Source page\nMarlow 6,head,bolt A,{cell},\n");
    taken(&text, options)
}

/// The last verdict on the fourth column: what became of the cell of
/// [`one_cell`].
pub(crate) fn verdict_of(report: &Report) -> Option<&CellVerdict> {
    let of_cell = || report.verdicts.iter().filter(|verdict| verdict.place.column == 4);
    of_cell()
        .find(|verdict| verdict.verdict.is_bad())
        .or_else(|| of_cell().find(|verdict| verdict.verdict == Verdict::TakenWithWarning))
        .or_else(|| of_cell().next())
}

/// A field of the first setting of a fastener, as text.
pub(crate) fn field(fastener: &Fastener, at: usize, name: &str) -> String {
    let row = Row {
        fastener: Arc::new(fastener.clone()),
        setting: fastener.settings[at].clone(),
        key: String::new(),
        derived: Derived::default(),
        restated: None,
        refused: None,
        warnings: Vec::new(),
    };
    match find_field(name).expect("a field").get(&row) {
        Value::NotStated => String::new(),
        Value::Text(text) => text.into_owned(),
        Value::Number(number) => number.to_string(),
        Value::Measure(measure) => measure.text().unwrap_or_else(|| measure.high.to_string()),
        Value::Thread(thread) => thread.to_string(),
        Value::Flag(flag) => flag.to_string(),
    }
}

/// Everything that says how the fastener is tightened: one line for each
/// setting, only what is stated.
pub(crate) fn tightening(fastener: &Fastener) -> String {
    let fields = ["lube", "torque", "snug", "angle", "stretch", "passes", "tolerance"];
    let settings = (0..fastener.settings.len()).map(|at| {
        let method = field(fastener, at, "method");
        let stated = fields
            .iter()
            .map(|name| (name, field(fastener, at, name)))
            .filter(|(_, text)| !text.is_empty())
            .map(|(name, text)| format!("{name} {text}"));
        std::iter::once(method).chain(stated).collect::<Vec<_>>().join(" | ")
    });
    let reuse = field(fastener, 0, "reuse");
    let mut lines: Vec<String> = settings.collect();
    if !reuse.is_empty() {
        lines.push(reuse);
    }
    lines.join(" // ")
}

/// A small generator of random numbers (Marsaglia, Xorshift RNGs, 2003).
pub(crate) struct Random(pub(crate) u64);

impl Random {
    pub(crate) fn below(&mut self, bound: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % u64::try_from(bound).unwrap()).unwrap()
    }

    pub(crate) fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())]
    }

    /// One time in `times`.
    pub(crate) fn one_in(&mut self, times: usize) -> bool {
        self.below(times) == 0
    }
}
