//! The report of an import as a page.

use std::collections::HashMap;

use crate::intake::{CellVerdict, Change, Column, Report, Verdict};
use crate::report::find::LEAST;
use crate::report::grid::{Grid, GridRow};
use crate::report::import::Imported;
use crate::report::import::data::data;
use crate::report::lay::{clean, counted, width as columns_of, wrap};
use crate::report::page::{Cell, Head, Page};
use crate::report::style::{Style, Tone};

/// Cells shown of one reason; the rest are counted. JSON has more.
const SHOWN_OF_ONE: usize = 20;
/// Cells shown of one warning.
const WARNINGS: usize = 5;
/// Cells shown of one reading that needs no doubt.
const ECHOES: usize = 3;
/// Settings and remarks shown one by one.
const SHOWN: usize = 20;
/// The longest cell shown in full.
const CELL: usize = 24;

/// What was found. With a dry run also how cells were read that needed a reading.
pub fn import_page(report: &Report, done: impl Into<Imported>) -> Page<'_> {
    let done = done.into();
    let mut page = Page::new();
    page.prose(title(report));
    page.drawn(move |width, style| cells(report, done, width.max(LEAST), style));
    page.drawn(move |width, _| headings(report, width.max(LEAST)));
    page.drawn(move |width, _| remarks(report, width.max(LEAST)));
    page.drawn(move |width, style| changes(report, done, width.max(LEAST), style));
    page.drawn_beside(move |width, style| ending(report, done, width.max(LEAST), style));
    data(&mut page, report, done);
    page
}

/// `shop.csv: UTF-8, cells parted by commas, header in line 1`.
fn title(report: &Report) -> String {
    let parted = match report.delimiter {
        Some(',') => ", cells parted by commas".to_owned(),
        Some(';') => ", cells parted by semicolons".to_owned(),
        Some('\t') => ", cells parted by tabs".to_owned(),
        Some(other) => format!(", cells parted by `{other}`"),
        None => String::new(),
    };
    let encoding = report.encoding.name();
    format!("{}: {encoding}{parted}, header in line {}", clean(&report.file), report.header_line)
}

/// The cells that are worth a word.
fn cells(report: &Report, done: Imported, width: usize, style: Style) -> Vec<String> {
    let is_told = |cell: &&CellVerdict| done == Imported::DryRun || cell.verdict != Verdict::Taken;
    let mut seen: HashMap<&str, usize> = HashMap::new();
    let mut shown: Vec<&CellVerdict> = Vec::new();
    for cell in report.verdicts.iter().filter(is_told) {
        let count = seen.entry(cell.code).or_default();
        let most = match cell.verdict {
            Verdict::Taken => ECHOES,
            Verdict::TakenWithWarning => WARNINGS,
            Verdict::Question { .. } | Verdict::Refused => SHOWN_OF_ONE,
        };
        if *count < most {
            *count += 1;
            shown.push(cell);
        }
    }
    if shown.is_empty() {
        return Vec::new();
    }
    let heads = ["cell", "column", "written", "is"].map(Head::solid);
    let heads = heads.into_iter().chain([Head::words("why, and what to do", 20)]).collect();
    let grid = Grid { heads, rows: shown.iter().map(|cell| cell_row(cell)).collect() };
    let mut lines: Vec<String> = match grid.draw(width, style) {
        Some(drawn) => {
            std::iter::once(drawn.head).chain(drawn.rows.into_iter().flatten()).collect()
        }
        None => shown.iter().flat_map(|cell| wrap(&cell_words(cell), width)).collect(),
    };
    let unseen = |(code, all): (&&'static str, &usize)| {
        let more = all - seen.get(code)?;
        (more > 0).then(|| format!("{code}: {}", counted(more, "more cell")))
    };
    let mut more: Vec<String> = report.reasons.iter().filter_map(unseen).collect();
    more.sort_unstable();
    lines.extend(more.iter().flat_map(|line| wrap(line, width)));
    lines
}

fn tone(verdict: &Verdict) -> Tone {
    match verdict {
        Verdict::Refused | Verdict::Question { .. } => Tone::Danger,
        Verdict::TakenWithWarning => Tone::Estimate,
        Verdict::Taken => Tone::Faint,
    }
}

/// The cell as written, cut where it is long: the whole stands in the file.
fn written(raw: &str) -> String {
    let text = clean(raw);
    if columns_of(&text) <= CELL {
        return text;
    }
    let mut cut: String = text.chars().take(CELL - 1).collect();
    while columns_of(&cut) > CELL - 1 {
        cut.pop();
    }
    cut + "…"
}

fn cell_row(cell: &CellVerdict) -> GridRow {
    GridRow::of(vec![
        cell.place.address().into(),
        written(&cell.place.header).into(),
        written(&cell.raw).into(),
        Cell::toned(cell.verdict.word(), tone(&cell.verdict)),
        why(cell).into(),
    ])
}

fn cell_words(cell: &CellVerdict) -> String {
    let header = written(&cell.place.header);
    let raw = written(&cell.raw);
    format!("{} {header} `{raw}` {}: {}", cell.place.address(), cell.verdict.word(), why(cell))
}

/// The reason, how it was read, and what to do.
fn why(cell: &CellVerdict) -> String {
    let mut text = clean(&cell.reason);
    if let Some(read_as) = cell.read_as.as_ref().filter(|read_as| **read_as != cell.raw) {
        text = format!("{text}; read as {}", clean(read_as));
    }
    if cell.advice.is_empty() { text } else { format!("{text}; {}", clean(&cell.advice)) }
}

/// Headings that were not understood: their cells are kept in the notes.
fn headings(report: &Report, width: usize) -> Vec<String> {
    let unknown = report.headings.iter().filter_map(|heading| match &heading.column {
        Column::Unknown { nearest } => {
            let near = nearest.as_ref().map(|near| format!(" (did you mean {near}?)"));
            Some(format!("{}{}", clean(&heading.text), near.unwrap_or_default()))
        }
        Column::Derived(field) => {
            Some(format!("{} (clampbook computes {} itself)", clean(&heading.text), field.name))
        }
        _ => None,
    });
    let unknown: Vec<String> = unknown.collect();
    if unknown.is_empty() {
        return Vec::new();
    }
    wrap(&format!("columns not taken as a field, kept in the notes: {}", unknown.join(", ")), width)
}

fn remarks(report: &Report, width: usize) -> Vec<String> {
    let one =
        |(line, text): &(u32, String)| format!("line {line} is only a remark: {}", clean(text));
    let mut lines: Vec<String> = report.remarks.iter().take(SHOWN).map(one).collect();
    if report.remarks.len() > SHOWN {
        lines.push(format!("and {} more", counted(report.remarks.len() - SHOWN, "remark")));
    }
    lines.iter().flat_map(|line| wrap(line, width)).collect()
}

/// Settings that replace a figure or stand beside one that disagrees.
fn changes(report: &Report, done: Imported, width: usize, style: Style) -> Vec<String> {
    let is_told = |change: Change| match change {
        Change::Changed | Change::Beside => true,
        Change::Added => done == Imported::DryRun,
        Change::Unchanged => false,
    };
    let told: Vec<_> = report.settings.iter().filter(|setting| is_told(setting.change)).collect();
    let mut lines = Vec::new();
    for setting in told.iter().take(SHOWN) {
        let name = format!("{}, {}", clean(&setting.name), clean(&setting.setting));
        let against = setting.against.as_ref().map(|against| clean(against));
        let (word, tone) = match setting.change {
            Change::Added => ("new", Tone::Plain),
            Change::Changed => ("changed", Tone::Estimate),
            Change::Beside => ("beside", Tone::Estimate),
            Change::Unchanged => ("unchanged", Tone::Faint),
        };
        let against = match (setting.change, against) {
            (Change::Beside, Some(other)) => format!("; disagrees with {other}, which is kept"),
            (_, Some(other)) => format!("; was {other}"),
            (_, None) => String::new(),
        };
        let text = format!("line {} {word}: {name}{against}", setting.line);
        lines.extend(wrap(&text, width).iter().map(|line| style.paint(tone, line)));
    }
    if told.len() > SHOWN {
        lines.push(format!("and {} more", counted(told.len() - SHOWN, "setting")));
    }
    lines
}

/// The counts, and what was done.
fn ending(report: &Report, done: Imported, width: usize, style: Style) -> Vec<String> {
    let (cells, changes) = (report.counts, report.changes);
    let counts = format!(
        "{}; cells: {} taken, {} with a warning, {}, {} refused.",
        counted(report.rows, "row"),
        cells.taken,
        cells.warned,
        counted(cells.asked, "question"),
        cells.refused
    );
    let settings = format!(
        "settings: {} new, {} changed, {} unchanged, {} beside one that disagrees.",
        changes.added, changes.changed, changes.unchanged, changes.beside
    );
    let bad = report.bad_rows.len();
    let what = match (done, bad) {
        (Imported::DryRun, 0) => "Dry run: nothing was changed; the file is sound.".to_owned(),
        (Imported::DryRun, _) => {
            format!("Dry run: nothing was changed; {} cannot be taken.", counted(bad, "row"))
        }
        (Imported::Whole, 0) => "Imported whole.".to_owned(),
        (Imported::Whole, _) => format!(
            "Nothing was imported: {} cannot be taken. Put them right, or take the others \
             alone with --take-good FILE; the bad rows go to FILE.",
            counted(bad, "row")
        ),
        (Imported::SoundRows, _) => {
            format!("The sound rows were imported; {} left out.", counted(bad, "row"))
        }
    };
    let tone = if bad == 0 { Tone::Heading } else { Tone::Danger };
    let mut lines = wrap(&counts, width);
    lines.extend(wrap(&settings, width));
    lines.extend(wrap(&what, width).iter().map(|line| style.paint(tone, line)));
    lines
}
