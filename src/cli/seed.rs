//! The reference tables and the demo shop, compiled into the program.

use std::any::Any;
use std::fmt::Display;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::Path;

use jiff::Timestamp;
use jiff::tz::TimeZone;

use crate::cli::clock::WAIT;
use crate::cli::exit::Failure;
use crate::intake::{self, EmptyBook, Options};
use crate::record::{
    BOLT_SETS, BoltSet, Fastener, Kept, LOG_LINES, Layout, Pull, RecordTable, Snapshot, Tables,
    WRENCHES, Wrench, read_layout, setting_keys,
};
use crate::store::{Change, Contents, StoreError, Writer};

const LUBES: &str = include_str!("../../seed-data/lubes.csv");
const STRENGTHS: &str = include_str!("../../seed-data/strengths.csv");
const CHARTS: &str = include_str!("../../seed-data/charts.csv");
const DEMO: &str = include_str!("../../seed-data/demo.csv");
const WRENCHES_FILE: &str = include_str!("../../seed-data/wrenches.csv");
const SETS: &str = include_str!("../../seed-data/sets.csv");
const LOG: &str = include_str!("../../seed-data/log.csv");
/// The layouts that joints of the demo name, and where their holes lie.
const LAYOUTS: [(&str, &str); 2] = [
    ("Dunlin 2 gear case", include_str!("../../seed-data/Dunlin 2 gear case.csv")),
    ("Marlow 6 head", include_str!("../../seed-data/Marlow 6 head.csv")),
];

pub(super) fn reference() -> Result<Tables, Failure> {
    let lubes = intake::reference::read_lubes(LUBES.as_bytes(), "lubes.csv");
    let strengths = intake::reference::read_strengths(STRENGTHS.as_bytes(), "strengths.csv");
    Ok(Tables { lubes: sound("lubes.csv", lubes)?, strengths: sound("strengths.csv", strengths)? })
}

/// The records of a built-in table, every cell of which is taken.
fn sound<T>(
    file: &str,
    read: Result<intake::reference::ReferenceReport<T>, intake::IntakeError>,
) -> Result<Vec<T>, Failure> {
    let read = read.map_err(|error| broken(file, error))?;
    match read.verdicts.first() {
        Some(cell) => Err(broken(file, format!("{}: {}", cell.place.address(), cell.reason))),
        None => Ok(read.records),
    }
}

pub(super) fn create(dir: &Path) -> Result<(), Failure> {
    let tables = reference()?;
    let charts = fasteners(CHARTS, "charts.csv", &tables)?;
    fill(dir, tables, charts, Vec::new())
}

/// Tells the demo shop of one program from that of another.
pub(super) fn mark() -> u64 {
    let mut hasher = DefaultHasher::new();
    let texts = [LUBES, STRENGTHS, CHARTS, DEMO, WRENCHES_FILE, SETS, LOG];
    (texts, LAYOUTS, env!("CARGO_PKG_VERSION")).hash(&mut hasher);
    hasher.finish()
}

/// Creates a book with the demo shop too, its bench and its log.
pub(super) fn create_demo(dir: &Path) -> Result<(), Failure> {
    let tables = reference()?;
    let mut all = fasteners(DEMO, "demo.csv", &tables)?;
    let bench = bench(&all)?;
    all.extend(fasteners(CHARTS, "charts.csv", &tables)?);
    fill(dir, tables, all, bench)
}

/// The wrenches, bolt sets and layouts of the demo shop, and its log.
fn bench(fasteners: &[Fastener]) -> Result<Vec<Change>, Failure> {
    let wrenches: Vec<Wrench> = plain(WRENCHES_FILE, "wrenches.csv", &WRENCHES)?;
    let sets: Vec<BoltSet> = plain(SETS, "sets.csv", &BOLT_SETS)?;
    let log = log(fasteners, &wrenches)?;
    let layouts = LAYOUTS.iter().map(|(name, table)| layout(name, table));
    let layouts: Vec<Layout> = layouts.collect::<Result<_, _>>()?;
    let wrenches = wrenches.into_iter().map(Kept::Wrench);
    let sets = sets.into_iter().map(Kept::BoltSet);
    let layouts = layouts.into_iter().map(Kept::Layout);
    let records = wrenches.chain(sets).chain(layouts).map(Change::from);
    Ok(records.chain([Change::AppendPulls(log)]).collect())
}

fn plain<T: Default + Any>(
    text: &str,
    file: &str,
    table: &'static RecordTable,
) -> Result<Vec<T>, Failure> {
    sound(file, intake::reference::read_plain(text.as_bytes(), file, table))
}

fn layout(name: &str, table: &str) -> Result<Layout, Failure> {
    let table =
        intake::read_comma_table(table.as_bytes(), name).map_err(|error| broken(name, error))?;
    read_layout(name, &table.headings, table.delimiter, table.rows())
        .map_err(|error| broken(name, error))
}

/// The log of the demo shop: beside what is typed of a line each row has its time,
/// the key of its setting and the line that it corrects.
fn log(fasteners: &[Fastener], wrenches: &[Wrench]) -> Result<Vec<Pull>, Failure> {
    let file = "log.csv";
    let table =
        intake::read_comma_table(LOG.as_bytes(), file).map_err(|error| broken(file, error))?;
    let line = |(line, cells): (u32, Vec<&str>)| {
        let cell = |heading: &str| {
            let at = table.headings.iter().position(|known| known == heading);
            at.and_then(|at| cells.get(at)).copied().unwrap_or_default().to_owned()
        };
        pull(&cell, fasteners, wrenches).map_err(|why| broken(file, format!("line {line}: {why}")))
    };
    table.rows().map(line).collect()
}

fn pull(
    cell: &dyn Fn(&str) -> String,
    fasteners: &[Fastener],
    wrenches: &[Wrench],
) -> Result<Pull, String> {
    let key = cell("setting");
    let setting = fasteners.iter().find_map(|fastener| {
        let at = setting_keys(fastener).iter().position(|known| *known == key)?;
        Some((fastener, &fastener.settings[at]))
    });
    let (fastener, setting) = setting.ok_or_else(|| format!("no setting has the key `{key}`"))?;
    let at: Timestamp = cell("at").parse().map_err(|error: jiff::Error| error.to_string())?;
    let (joint, spec) = (&fastener.joint, Snapshot::new(fastener, setting, &key, 1));
    let mut pull = Pull::new("", at, &joint.assembly, &joint.name, spec);
    pull.corrects = cell("corrects").parse().ok();
    for field in LOG_LINES.fields {
        field.set(&mut pull, &cell(field.name)).map_err(|error| error.to_string())?;
    }
    if let Some(used) = &pull.wrench {
        let wrench = wrenches.iter().find(|wrench| wrench.name == used.name);
        let day = at.to_zoned_datetime(TimeZone::UTC).date();
        pull.wrench =
            Some(wrench.ok_or_else(|| format!("no wrench `{}`", used.name))?.used_on(day));
    }
    Ok(pull)
}

fn fill(
    dir: &Path,
    tables: Tables,
    fasteners: Vec<Fastener>,
    bench: Vec<Change>,
) -> Result<(), Failure> {
    match Writer::create_with(dir, WAIT, Contents { tables, fasteners, bench }) {
        // Somebody else's first run was quicker.
        Ok(_) | Err(StoreError::Exists(_)) => Ok(()),
        Err(error) => Err(error.into()),
    }
}

fn fasteners(text: &str, name: &str, tables: &Tables) -> Result<Vec<Fastener>, Failure> {
    let sheet = intake::read_commas(text.as_bytes(), name).map_err(|error| broken(name, error))?;
    let report = intake::take(&sheet, tables, &Options::default(), &EmptyBook)
        .map_err(|error| broken(name, error))?;
    if let Some(cell) = report.bad_cells().next() {
        return Err(broken(name, format!("{}: {}", cell.place.address(), cell.reason)));
    }
    Ok(report.fasteners)
}

/// The compiled-in files are checked by the tests: this is not the user's doing.
fn broken(name: &str, error: impl Display) -> Failure {
    Failure::Other(anyhow::anyhow!("the built-in table {name} is broken: {error}"))
}
