//! Columns of derived figures, one value for each setting, so that a question
//! about all of a large book need not decode it.
//!
//! The figures are those of the tables that lie in the same image. They are
//! kept as f32: near enough to find the rows, which are then derived exactly.

use std::hash::{DefaultHasher, Hash, Hasher};
use std::io;
use std::sync::Arc;

use crate::quantity::{Kind, Stress};
use crate::record::{Fastener, Method, Setting, Tables, derive};
use crate::store::access::Figure;
use crate::store::image::file::{CHECK, ChunkWriter, ImageFile, ReadError, bad};
use crate::store::image::header::COLUMNS;
use crate::text::QuickMap;

/// Values in a full page.
const PAGE: usize = 16 << 10;
/// Bytes of a value.
const VALUE: usize = 4;
/// Columns: the ordinal of the setting's fastener, then the figures.
const COUNT: usize = 1 + Figure::ALL.len();
/// The column that is no figure.
pub(crate) const OWNER: usize = 0;
/// Set in the ordinal of an owner that is a row of a general chart.
const CHART: u32 = 1 << 31;
/// Ordinals are below this.
pub(crate) const MOST: u32 = CHART;

/// The figures of a setting, in the order of [`Figure::ALL`]; NaN is unknown.
type StoredFigures = [f32; Figure::ALL.len()];

/// The columns of an image while its fasteners come by.
#[derive(Debug)]
pub(crate) struct ColumnsWriter {
    tables: Arc<Tables>,
    owners: Vec<u32>,
    figures: Vec<StoredFigures>,
    /// Figures for one N·m by everything else that they depend on.
    per_torque: QuickMap<u64, StoredFigures>,
}

impl ColumnsWriter {
    /// Empty columns of figures by `tables`.
    pub(crate) fn new(tables: Arc<Tables>) -> Self {
        Self { tables, owners: Vec::new(), figures: Vec::new(), per_torque: QuickMap::default() }
    }

    /// Adds the settings of the fastener at `ordinal`.
    pub(crate) fn add(&mut self, ordinal: u32, fastener: &Fastener) {
        let chart = if fastener.is_chart() { CHART } else { 0 };
        for setting in &fastener.settings {
            self.owners.push(chart | ordinal);
            let figures = self.figures_of(fastener, setting);
            self.figures.push(figures);
        }
    }

    /// A clamp is proportional to its torque, of a range to its top, where no part of
    /// the torque is spent on a locking thread: one derivation serves many settings.
    fn figures_of(&mut self, fastener: &Fastener, setting: &Setting) -> StoredFigures {
        // A range is judged at its top, a maximum has no clamp.
        let torque = match setting.torque {
            Some(torque) if setting.method == Method::Torque && torque.low().is_some() => {
                torque.high().base()
            }
            _ => return [f32::NAN; Figure::ALL.len()],
        };
        if torque <= 0.0 {
            return [f32::NAN; Figure::ALL.len()];
        }
        if fastener.prevailing.is_some() || fastener.prevailing_rule.is_some() {
            return figures(fastener, setting, &self.tables).map(|figure| figure as f32);
        }
        let tables = &self.tables;
        let per_torque =
            self.per_torque.entry(besides_torque(fastener, setting)).or_insert_with(|| {
                figures(fastener, setting, tables).map(|figure| (figure / torque) as f32)
            });
        per_torque.map(|figure| figure * torque as f32)
    }

    /// Writes the columns, page by page.
    pub(crate) fn write(&self, out: &mut ChunkWriter) -> io::Result<()> {
        write_column(self.owners.iter().map(|owner| owner.to_le_bytes()), out)?;
        for at in 0..Figure::ALL.len() {
            write_column(self.figures.iter().map(|figures| figures[at].to_le_bytes()), out)?;
        }
        Ok(())
    }
}

fn write_column(
    values: impl Iterator<Item = [u8; VALUE]>,
    out: &mut ChunkWriter,
) -> io::Result<()> {
    let mut page = Vec::with_capacity(PAGE * VALUE);
    for value in values {
        page.extend_from_slice(&value);
        if page.len() == PAGE * VALUE {
            out.chunk(&page)?;
            page.clear();
        }
    }
    if page.is_empty() { Ok(()) } else { out.chunk(&page).map(drop) }
}

/// Everything but the torque that the figures of a setting depend on.
fn besides_torque(f: &Fastener, setting: &Setting) -> u64 {
    let mut hasher = DefaultHasher::new();
    (&f.thread, &f.hole_thread, &f.kind, &f.head, &f.seat, &f.drive).hash(&mut hasher);
    (&f.strength.name, &f.finish, &setting.lube, &setting.face_lube, setting.basis)
        .hash(&mut hasher);
    let bases = [
        f.strength.proof.map(|stated| stated.value().base()),
        f.strength.yield_.map(|stated| stated.value().base()),
        f.strength.tensile.map(|stated| stated.value().base()),
        f.waist.map(|stated| stated.value().base()),
        f.bearing.map(|ring| ring.outer.value().base()),
        f.bearing.map(|ring| ring.hole.value().base()),
    ];
    bases.map(|base| base.map(f64::to_bits)).hash(&mut hasher);
    hasher.finish()
}

/// The figures of a setting by the one place that derives them.
pub(crate) fn figures(
    fastener: &Fastener,
    setting: &Setting,
    tables: &Tables,
) -> [f64; Figure::ALL.len()] {
    let derived = derive(fastener, setting, tables);
    Figure::ALL.map(|figure| {
        match figure {
            Figure::Clamp => derived.clamp.map(|clamp| clamp.nominal.n()),
            Figure::Stress => derived.stress.map(Stress::mpa),
            Figure::OfProof => derived.of_proof,
            Figure::OfYield => derived.of_yield,
            Figure::Combined => derived.combined,
        }
        .unwrap_or(f64::NAN)
    })
}

/// Whether a figure is from `low` to `high`, with a hair for its f32.
pub(crate) fn is_between(value: f64, low: f64, high: f64) -> bool {
    const HAIR: f64 = 1e-5;
    value * (1.0 + HAIR) >= low && value * (1.0 - HAIR) <= high
}

/// The columns of an open image.
#[derive(Clone, Copy)]
pub(crate) struct Columns<'a> {
    file: &'a ImageFile,
    settings: usize,
}

impl<'a> Columns<'a> {
    /// The columns of `file`.
    pub(crate) fn open(file: &'a ImageFile) -> Result<Self, ReadError> {
        let settings = file.header.counts.settings;
        let told = file.header.sections[COLUMNS].length;
        let pages = settings.div_ceil(PAGE as u64);
        let bytes = settings.checked_mul(VALUE as u64);
        let column = bytes.and_then(|bytes| bytes.checked_add(pages * CHECK as u64));
        if column.and_then(|column| column.checked_mul(COUNT as u64)) != Some(told) {
            return Err(bad("its columns have another length"));
        }
        Ok(Self { file, settings: settings as usize })
    }

    /// How many pages a column has.
    pub(crate) fn pages(&self) -> usize {
        self.settings.div_ceil(PAGE)
    }

    /// The bytes of a page of a column.
    pub(crate) fn page(&self, column: usize, page: usize) -> Result<Vec<u8>, ReadError> {
        let full = PAGE * VALUE + CHECK;
        let values = PAGE.min(self.settings - page * PAGE);
        let column_bytes = self.settings * VALUE + self.pages() * CHECK;
        let at = self.file.header.sections[COLUMNS].offset as usize;
        let at = at + column * column_bytes + page * full;
        self.file.chunk_once(at as u64, (values * VALUE + CHECK) as u64)
    }

    /// The ordinals of fasteners with a setting whose `figure` is wanted,
    /// rising, each once.
    pub(crate) fn owners(
        &self,
        figure: Figure,
        wants: impl Fn(f64) -> bool,
    ) -> Result<Vec<u32>, ReadError> {
        let mut ordinals: Vec<u32> = Vec::new();
        let mut hits = Vec::new();
        for page in 0..self.pages() {
            hits.clear();
            let values = self.page(1 + figure as usize, page)?;
            hits.extend(positions(&values, &wants));
            if hits.is_empty() {
                continue;
            }
            let owners = self.page(OWNER, page)?;
            for at in &hits {
                let (owner, _) = owner(value_at(&owners, *at));
                if ordinals.last() != Some(&owner) {
                    ordinals.push(owner);
                }
            }
        }
        let count = self.file.header.counts.fasteners;
        let rising = ordinals.is_sorted_by(|a, b| a < b);
        if !rising || ordinals.last().is_some_and(|last| u64::from(*last) >= count) {
            return Err(bad("its columns are not those of its fasteners"));
        }
        Ok(ordinals)
    }

    /// About how many settings have a `figure` that is wanted, by the first page.
    pub(crate) fn estimate(
        &self,
        figure: Figure,
        wants: impl Fn(f64) -> bool,
    ) -> Result<u64, ReadError> {
        if self.settings == 0 {
            return Ok(0);
        }
        let values = self.page(1 + figure as usize, 0)?;
        let hits = positions(&values, wants).count();
        let share = hits as f64 / (values.len() / VALUE) as f64;
        Ok((share * self.settings as f64).ceil() as u64)
    }
}

/// The ordinal in the column of owners, and whether it is a chart's.
pub(crate) fn owner(value: [u8; VALUE]) -> (u32, bool) {
    let value = u32::from_le_bytes(value);
    (value & !CHART, value & CHART != 0)
}

/// The values of a page.
pub(crate) fn values(page: &[u8]) -> &[[u8; VALUE]] {
    page.as_chunks::<VALUE>().0
}

fn value_at(page: &[u8], at: usize) -> [u8; VALUE] {
    values(page)[at]
}

/// Where a page has values that are wanted.
fn positions(page: &[u8], wants: impl Fn(f64) -> bool) -> impl Iterator<Item = usize> {
    let (values, _) = page.as_chunks::<VALUE>();
    let each = values.iter().map(|value| f64::from(f32::from_le_bytes(*value)));
    each.enumerate().filter(move |(_, value)| wants(*value)).map(|(at, _)| at)
}

/// Every column of one setting.
pub(crate) struct Kept {
    /// The ordinal of its fastener, and whether that is a row of a chart.
    pub(crate) owner: (u32, bool),
    pub(crate) figures: StoredFigures,
}

/// All columns, read one page of each at a time.
#[derive(Default)]
pub(crate) struct AllOf {
    page: Option<usize>,
    columns: Vec<Vec<u8>>,
}

impl AllOf {
    /// The columns of the setting at `at`; none behind the last.
    pub(crate) fn at(&mut self, of: Columns<'_>, at: usize) -> Result<Option<Kept>, ReadError> {
        if at >= of.settings {
            return Ok(None);
        }
        if self.page != Some(at / PAGE) {
            let columns = (0..COUNT).map(|column| of.page(column, at / PAGE));
            self.columns = columns.collect::<Result<_, _>>()?;
            self.page = Some(at / PAGE);
        }
        let bytes = |column: usize| value_at(&self.columns[column], at % PAGE);
        let figure = |figure: Figure| f32::from_le_bytes(bytes(1 + figure as usize));
        Ok(Some(Kept { owner: owner(bytes(OWNER)), figures: Figure::ALL.map(figure) }))
    }
}
