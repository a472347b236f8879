//! All settings of an image by their columns, fastener by fastener, on the
//! cores of the machine: what a question about all of a large book reads in place of records.

use std::ops::Range;

use crate::store::access::Figure;
use crate::store::image::columns::{Columns, OWNER, owner, values};
use crate::store::image::file::{ReadError, bad};

/// More threads than this would be waiting for memory.
const MOST_THREADS: usize = 8;

/// How many threads share the work: one for each core of the machine.
pub(crate) fn threads() -> usize {
    std::thread::available_parallelism().map_or(1, |cores| cores.get().min(MOST_THREADS))
}

/// Which columns are read besides the owners, by [`Figure`]; the others are NaN.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Wanted {
    pub(crate) figures: [bool; Figure::ALL.len()],
}

/// What the columns hold of a setting.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SweptSetting {
    /// Figures in the order of [`Figure::ALL`]; NaN is unknown or not read.
    pub(crate) figures: [f32; Figure::ALL.len()],
}

/// A fastener with what the columns hold of its settings.
#[derive(Debug)]
pub(crate) struct Swept<'a> {
    /// Its ordinal in the image.
    pub(crate) ordinal: u32,
    /// Whether it is a row of a general chart.
    pub(crate) is_chart: bool,
    /// In their order.
    pub(crate) settings: &'a [SweptSetting],
}

/// Settings read and not yet handed over.
#[derive(Default)]
struct Open {
    /// Ordinals, and whether they are a chart's.
    owners: Vec<(u32, bool)>,
    settings: Vec<SweptSetting>,
    /// The last owner handed over.
    last: Option<u32>,
}

/// Calls `visit` with every fastener that has settings, in order within each
/// of the returned parts, which follow each other.
pub(crate) fn sweep<T: Default + Send>(
    columns: Columns<'_>,
    fasteners: u64,
    wanted: Wanted,
    visit: impl Fn(&mut T, &Swept<'_>) + Sync,
) -> Result<Vec<T>, ReadError> {
    let pages = columns.pages();
    let share = pages.div_ceil(threads()).max(1);
    let parts: Vec<Range<usize>> =
        (0..pages).step_by(share).map(|from| from..pages.min(from + share)).collect();
    let part = |pages: Range<usize>| {
        let mut state = T::default();
        let mut seen = |swept: &Swept<'_>| visit(&mut state, swept);
        part(columns, fasteners, wanted, pages, &mut seen).map(|()| state)
    };
    on_cores(&parts, part)
}

/// What `work` makes of each of `parts`, each on a thread of its own; in order.
pub(crate) fn on_cores<P: Clone + Send + Sync, T: Send, E: Send>(
    parts: &[P],
    work: impl Fn(P) -> Result<T, E> + Sync,
) -> Result<Vec<T>, E> {
    std::thread::scope(|scope| {
        let work = &work;
        // The first part is this thread's own.
        let others = parts.iter().skip(1).cloned();
        let others: Vec<_> = others.map(|part| scope.spawn(move || work(part))).collect();
        let first = parts.first().cloned().map(work);
        let others = others
            .into_iter()
            .map(|other| other.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)));
        first.into_iter().chain(others).collect()
    })
}

/// The fasteners whose first setting is in `pages`.
fn part(
    columns: Columns<'_>,
    fasteners: u64,
    wanted: Wanted,
    pages: Range<usize>,
    visit: &mut dyn FnMut(&Swept<'_>),
) -> Result<(), ReadError> {
    let mut open = Open::default();
    if pages.start > 0 && !pages.is_empty() {
        let before = columns.page(OWNER, pages.start - 1)?;
        open.last = values(&before).last().map(|value| owner(*value).0);
    }
    for page in pages.clone() {
        open.read(columns, wanted, page)?;
        let ends = page + 1 == columns.pages();
        open.hand_over(fasteners, ends, visit)?;
    }
    // The last fastener may go on in the pages of the next part.
    let mut next = pages.end;
    let mut goes_on = !open.owners.is_empty();
    while goes_on && next < columns.pages() {
        open.read(columns, wanted, next)?;
        next += 1;
        let own = open.owners[0];
        let end = open.owners.iter().take_while(|other| **other == own).count();
        goes_on = end == open.owners.len();
        open.owners.truncate(end);
        open.settings.truncate(end);
    }
    open.hand_over(fasteners, true, visit)
}

impl Open {
    fn read(&mut self, columns: Columns<'_>, wanted: Wanted, page: usize) -> Result<(), ReadError> {
        let first = self.owners.len();
        let owners = columns.page(OWNER, page)?;
        self.owners.extend(values(&owners).iter().map(|value| owner(*value)));
        let unread = SweptSetting { figures: [f32::NAN; Figure::ALL.len()] };
        self.settings.resize(self.owners.len(), unread);
        let fresh = &mut self.settings[first..];
        for figure in Figure::ALL.into_iter().filter(|figure| wanted.figures[*figure as usize]) {
            let read = columns.page(1 + figure as usize, page)?;
            for (setting, value) in fresh.iter_mut().zip(values(&read)) {
                setting.figures[figure as usize] = f32::from_le_bytes(*value);
            }
        }
        Ok(())
    }

    /// Visits the fasteners read so far; the last one only at the end.
    fn hand_over(
        &mut self,
        fasteners: u64,
        ends: bool,
        visit: &mut dyn FnMut(&Swept<'_>),
    ) -> Result<(), ReadError> {
        let mut from = 0;
        for group in self.owners.chunk_by(|a, b| a == b) {
            let ((ordinal, is_chart), to) = (group[0], from + group.len());
            if to == self.owners.len() && !ends {
                break;
            }
            // What the part before has visited begins this one's first page.
            let again = from == 0 && self.last == Some(ordinal);
            if !again {
                if self.last.is_some_and(|last| last >= ordinal) || u64::from(ordinal) >= fasteners
                {
                    return Err(bad("its columns are not those of its fasteners"));
                }
                visit(&Swept { ordinal, is_chart, settings: &self.settings[from..to] });
                self.last = Some(ordinal);
            }
            from = to;
        }
        self.owners.drain(..from);
        self.settings.drain(..from);
        Ok(())
    }
}
