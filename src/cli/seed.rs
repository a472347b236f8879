//! The reference tables and the demo shop, compiled into the program.

use std::fmt::Display;
use std::path::Path;

use crate::cli::clock::WAIT;
use crate::cli::exit::Failure;
use crate::intake::{self, EmptyBook, Options};
use crate::record::{Fastener, Tables, read_layout};
use crate::store::{Change, Contents, StoreError, Writer};

const LUBES: &str = include_str!("../../seed-data/lubes.csv");
const STRENGTHS: &str = include_str!("../../seed-data/strengths.csv");
const CHARTS: &str = include_str!("../../seed-data/charts.csv");
const DEMO: &str = include_str!("../../seed-data/demo.csv");
const WRENCHES: &str = include_str!("../../seed-data/wrenches.csv");
/// The layout that the demo's head names, and where its holes lie.
const HEAD: (&str, &str) = ("Marlow 6 head", include_str!("../../seed-data/Marlow 6 head.csv"));

/// The reference lubes and strengths.
pub(super) fn reference() -> Result<Tables, Failure> {
    let lubes = intake::reference::read_lubes(LUBES.as_bytes(), "lubes.csv");
    let strengths = intake::reference::read_strengths(STRENGTHS.as_bytes(), "strengths.csv");
    let lubes = lubes.map_err(|error| broken("lubes.csv", error))?;
    let strengths = strengths.map_err(|error| broken("strengths.csv", error))?;
    for (name, verdicts) in [("lubes.csv", &lubes.verdicts), ("strengths.csv", &strengths.verdicts)]
    {
        if let Some(cell) = verdicts.first() {
            return Err(broken(name, format!("{}: {}", cell.place.address(), cell.reason)));
        }
    }
    Ok(Tables { lubes: lubes.records, strengths: strengths.records })
}

/// Creates a book with the reference tables and the general charts.
pub(super) fn create(dir: &Path) -> Result<(), Failure> {
    let tables = reference()?;
    let charts = fasteners(CHARTS, "charts.csv", &tables)?;
    fill(dir, tables, charts, Vec::new())
}

/// Creates a book with the demo shop too, its wrenches and its layout.
pub(super) fn create_demo(dir: &Path) -> Result<(), Failure> {
    let tables = reference()?;
    let mut all = fasteners(DEMO, "demo.csv", &tables)?;
    all.extend(fasteners(CHARTS, "charts.csv", &tables)?);
    fill(dir, tables, all, bench()?)
}

/// The wrenches of the demo shop and the layout of its head.
fn bench() -> Result<Vec<Change>, Failure> {
    let file = "wrenches.csv";
    let wrenches = intake::reference::read_wrenches(WRENCHES.as_bytes(), file)
        .map_err(|error| broken(file, error))?;
    if let Some(cell) = wrenches.verdicts.first() {
        return Err(broken(file, format!("{}: {}", cell.place.address(), cell.reason)));
    }
    let (name, table) = HEAD;
    let table = intake::read_table(table.as_bytes(), name).map_err(|error| broken(name, error))?;
    let layout = read_layout(name, &table.headings, table.delimiter, table.rows())
        .map_err(|error| broken(name, error))?;
    let wrenches = wrenches.records.into_iter().map(Change::PutWrench);
    Ok(wrenches.chain([Change::PutLayout(layout)]).collect())
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
    let sheet = intake::read_csv(text.as_bytes(), name).map_err(|error| broken(name, error))?;
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
