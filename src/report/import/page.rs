//! The report of an import as a page: how each column was read, what is asked,
//! what was concluded, the totals.

use crate::intake::{CellVerdict, Change, Column, ColumnRead, Question, Report, Verdict};
use crate::report::grid::{Grid, GridRow};
use crate::report::import::Imported;
use crate::report::import::data::data;
use crate::report::lay::{clean, counted, width as columns_of, wrap};
use crate::report::page::{Head, Page};
use crate::report::style::{Style, Tone};

/// Questions and refusals shown; the rest are counted. JSON has more.
const QUESTIONS: usize = 40;
/// Conclusions of one kind shown.
const OF_ONE: usize = 4;
/// Settings and remarks shown one by one.
const SHOWN: usize = 20;
/// The longest cell shown in full.
const CELL: usize = 24;

/// How a file was read: columns, questions, conclusions, remarks, totals.
pub fn import_page(report: &Report, done: Imported) -> Page<'_> {
    let mut page = Page::new();
    page.prose(title(report));
    page.drawn(move |width, style| columns(report, width, style));
    questions(report, &mut page);
    concluded(report, &mut page);
    remarks(report, &mut page);
    changes(report, done, &mut page);
    gone(report, done, &mut page);
    ending(report, done, &mut page);
    data(&mut page, report, done);
    page
}

/// That there is more than what was shown.
fn more(count: usize, thing: &str, tone: Tone, page: &mut Page<'_>) {
    if count > 0 {
        page.toned(tone, format!("and {} more", counted(count, thing)));
    }
}

/// `shop.csv: UTF-8, cells parted by commas, header in line 1`.
fn title(report: &Report) -> String {
    let parted = match report.delimiter {
        Some(',') => ", cells parted by commas".to_owned(),
        Some(';') => ", cells parted by semicolons".to_owned(),
        Some('\t') => ", cells parted by tabs".to_owned(),
        Some(' ') => ", cells parted by blanks".to_owned(),
        Some('.') => ", cells parted by rows of dots".to_owned(),
        Some(other) => format!(", cells parted by `{other}`"),
        None => String::new(),
    };
    let encoding = report.encoding.name();
    let tables = report.table_count;
    let several = if tables > 1 { format!(", {tables} tables") } else { String::new() };
    let header = match report.header_line {
        0 => String::new(),
        line => format!(", header in line {line}"),
    };
    format!("{}: {encoding}{parted}{header}{several}", clean(&report.file))
}

/// Every column that holds something: what it was read as, and some cells.
fn columns(report: &Report, width: usize, style: Style) -> Vec<String> {
    let is_used = |one: &&ColumnRead| !one.examples.is_empty() || !one.heading.text.is_empty();
    let used: Vec<&ColumnRead> = report.columns.iter().filter(is_used).collect();
    if used.is_empty() {
        return Vec::new();
    }
    let examples = |one: &ColumnRead| {
        one.examples.iter().map(|cell| cut(cell)).collect::<Vec<_>>().join(" | ")
    };
    let name = |one: &ColumnRead| {
        let page = if one.page.is_empty() { String::new() } else { format!("{}: ", one.page) };
        cut(&format!("{page}{}", one.heading.text))
    };
    let row = |one: &&ColumnRead| GridRow {
        cells: vec![name(one), read_as(one), examples(one)],
        ..GridRow::default()
    };
    let heads =
        vec![Head::solid("column"), Head::words("read as", 16), Head::words("examples", 16)];
    let grid = Grid { heads, rows: used.iter().map(row).collect() };
    match grid.draw(width, style) {
        Some(drawn) => drawn,
        None => {
            let words = |one: &&ColumnRead| {
                format!("{} read as {}: {}", name(one), read_as(one), examples(one))
            };
            used.iter().flat_map(|one| wrap(&words(one), width)).collect()
        }
    }
}

fn read_as(one: &ColumnRead) -> String {
    let heading = &one.heading;
    let units: Vec<&str> = heading.units.iter().map(|unit| unit.symbol).collect();
    let units = if units.is_empty() { String::new() } else { format!(", {}", units.join(" and ")) };
    match &heading.column {
        Column::Field(field) => format!("{}{units}", field.name),
        Column::TorqueFor(lube) => format!("torque with {lube}{units}"),
        Column::Low(field) => format!("{} min{units}", field.name),
        Column::High(field) => format!("{} max{units}", field.name),
        Column::Pass(number) => format!("pass {number}{units}"),
        Column::TorqueUnit => "unit of the torques".to_owned(),
        Column::Pitch => "pitch of the thread".to_owned(),
        Column::Tpi => "threads per inch".to_owned(),
        Column::Threadlocker => "threadlocker".to_owned(),
        Column::Derived(field) => format!("nothing: clampbook computes {}", field.name),
        Column::Kept(why) => format!("notes: {why}"),
        Column::Unknown { nearest: Some(near) } => format!("notes (did you mean {near}?)"),
        Column::Unknown { nearest: None } | Column::Blank => "notes".to_owned(),
        Column::RowNumber => "nothing: it counts the rows".to_owned(),
        Column::LeftOut => "put together with another, or left out".to_owned(),
        Column::Asked { .. } => "asked".to_owned(),
    }
}

/// A cell, cut where it is long: the whole stands in the file.
fn cut(raw: &str) -> String {
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

/// What stands in the way, each thing once with its count, and the line of a
/// mapping that answers it.
fn questions(report: &Report, page: &mut Page<'_>) {
    let all = report.questions();
    for question in all.iter().take(QUESTIONS) {
        page.toned(Tone::Danger, asked(question));
        page.indented(way_out(question));
    }
    more(all.len().saturating_sub(QUESTIONS), "question", Tone::Plain, page);
}

fn way_out(question: &Question) -> String {
    let advice = clean(&question.advice);
    let readings = question.readings.first().filter(|_| question.is_answerable());
    let Some(reading) = readings else { return advice };
    let mapping = clean(&question.in_mapping(reading));
    let Some(column) = &question.column else {
        return format!("{advice}: in a mapping {mapping}");
    };
    let option = if question.code == "no-unit" && column.contains("torque") {
        format!("; for the file --torque-unit {reading}")
    } else {
        String::new()
    };
    format!("{}: in a mapping {mapping}{option}", question.readings.join(" or "))
}

fn asked(question: &Question) -> String {
    let word = if question.is_open { "asked" } else { "refused" };
    let place = question.place.address();
    let times =
        if question.count > 1 { format!(", {} cells", question.count) } else { String::new() };
    let header = clean(&question.place.header);
    let reason = clean(&question.reason);
    if header.is_empty() {
        return format!("{word}: {reason} ({place}{times})");
    }
    let cells: Vec<String> = question.cells.iter().map(|cell| cut(cell)).collect();
    let cells = cells.join(" | ");
    let says_it =
        question.cells.iter().any(|cell| !cell.is_empty() && reason.contains(cell.as_str()));
    let cells =
        if says_it && question.cells.len() == 1 { String::new() } else { format!(" {cells}") };
    format!("{word}: {header}{cells}: {reason} ({place}{times})")
}

/// What was concluded of the file, and of cells that were taken, each once.
fn concluded(report: &Report, page: &mut Page<'_>) {
    for one in &report.conclusions {
        let times = if one.count > 1 { format!(" ({} times)", one.count) } else { String::new() };
        page.prose(clean(&one.text) + &times);
    }
    let mut seen: Vec<(&'static str, String, usize, &CellVerdict)> = Vec::new();
    for cell in report.verdicts.iter().filter(|cell| !cell.verdict.is_bad()) {
        let reason = clean(&cell.reason);
        match seen.iter_mut().find(|(code, text, ..)| *code == cell.code && *text == reason) {
            Some((_, _, count, _)) => *count += 1,
            None => seen.push((cell.code, reason, 1, cell)),
        }
    }
    let mut codes: Vec<&'static str> = Vec::new();
    for (code, ..) in &seen {
        if !codes.contains(code) {
            codes.push(code);
        }
    }
    for code in codes {
        let of_code: Vec<_> = seen.iter().filter(|(known, ..)| *known == code).collect();
        for (_, reason, count, cell) in of_code.iter().take(OF_ONE) {
            let tone = match cell.verdict {
                Verdict::TakenWithWarning => Tone::Estimate,
                _ => Tone::Plain,
            };
            page.toned(tone, cell_text(cell, reason, *count));
        }
        let shown: usize = of_code.iter().take(OF_ONE).map(|(_, _, count, _)| count).sum();
        let all = report.reasons.get(code).copied().unwrap_or(shown);
        if all > shown {
            page.prose(format!("{code}: {}", counted(all - shown, "more cell")));
        }
    }
}

fn cell_text(cell: &CellVerdict, reason: &str, count: usize) -> String {
    let header = clean(&cell.place.header);
    let header = if header.is_empty() { String::new() } else { format!("{header}: ") };
    let place = cell.place.address();
    let times = if count > 1 { format!(", {count} cells") } else { String::new() };
    let read =
        cell.read_as.as_ref().filter(|read| **read != cell.raw && !reason.contains(read.as_str()));
    let read = read.map(|read| format!("; read as {}", clean(read))).unwrap_or_default();
    let advice = &cell.advice;
    let advice = if advice.is_empty() { String::new() } else { format!("; {}", clean(advice)) };
    format!("{header}{reason}{read}{advice} ({place}{times})")
}

fn remarks(report: &Report, page: &mut Page<'_>) {
    for (line, text) in report.remarks.iter().take(SHOWN) {
        page.prose(format!("line {line} is no entry: {}", clean(text)));
    }
    more(report.remarks.len().saturating_sub(SHOWN), "remark", Tone::Plain, page);
}

/// Settings that replace a figure or stand beside one that disagrees.
fn changes(report: &Report, done: Imported, page: &mut Page<'_>) {
    let is_shown = |change: Change| change != Change::Added || done == Imported::DryRun;
    let shown: Vec<_> = report.settings.iter().filter(|setting| is_shown(setting.change)).collect();
    for setting in shown.iter().take(SHOWN) {
        let name = format!("{}, {}", clean(&setting.name), clean(&setting.setting));
        let (word, tone) = match setting.change {
            Change::Added => ("new", Tone::Plain),
            Change::Changed => ("changed", Tone::Estimate),
            Change::Beside => ("beside", Tone::Estimate),
        };
        let against = setting.against.as_ref().map(|against| clean(against));
        let against = match (setting.change, against) {
            (Change::Beside, Some(other)) => format!("; disagrees with {other}, which is kept"),
            (_, Some(other)) => format!("; was {other}"),
            (_, None) => String::new(),
        };
        page.toned(tone, format!("line {} {word}: {name}{against}", setting.line));
    }
    more(shown.len().saturating_sub(SHOWN), "setting", Tone::Plain, page);
}

/// Settings of the same source that the file no longer has.
fn gone(report: &Report, done: Imported, page: &mut Page<'_>) {
    if report.gone.is_empty() {
        return;
    }
    for one in report.gone.iter().take(SHOWN) {
        let [name, setting, key] = [&one.name, &one.setting, &one.key].map(|text| clean(text));
        let instead = one.instead.as_ref();
        let instead = instead.map(|(line, now)| format!("; line {line} has {}", clean(now)));
        let instead = instead.unwrap_or_default();
        page.toned(Tone::Estimate, format!("gone: {name}, {setting} ({key}){instead}"));
    }
    more(report.gone_count.saturating_sub(SHOWN), "setting", Tone::Estimate, page);
    let what = match (report.retires, done.has_taken(report)) {
        (true, true) => "now superseded.",
        (true, false) => "superseded then.",
        (false, _) => "kept as they are; --retire marks them superseded.",
    };
    let which = counted(report.gone_count, "setting");
    page.toned(Tone::Estimate, format!("{which} of this source no longer in the file: {what}"));
}

fn ending(report: &Report, done: Imported, page: &mut Page<'_>) {
    let (cells, changes) = (report.counts, report.changes);
    let counts = format!(
        "{}; cells: {} taken, {} with a warning, {} asked about, {} refused.",
        counted(report.rows, "row"),
        cells.taken,
        cells.warned,
        cells.asked,
        cells.refused
    );
    let which =
        if done == Imported::Whole && !report.is_sound() { " of the sound rows" } else { "" };
    let settings = format!(
        "settings{which}: {} new, {} changed, {} unchanged, {} beside one that disagrees.",
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
    page.remark(Tone::Plain, counts);
    page.remark(Tone::Plain, settings);
    page.remark(tone, what);
}
