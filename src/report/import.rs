//! What an import took, what it asks and what it refuses, cell by cell.

use crate::intake::{CellVerdict, Change, Column, Report, SettingChange, Verdict};
use crate::report::Json;
use crate::report::lay::{clean, wrap};
use crate::report::style::{Style, Tone};

/// The report on one file: every cell worth a word by its address, what becomes
/// of the settings, and what to do next.
pub fn import_page(taken: &Report, dry_run: bool, width: usize, style: Style) -> String {
    let mut lines = vec![style.paint(Tone::Heading, &heading(taken))];
    for cell in &taken.verdicts {
        lines.extend(cell_lines(cell, width, style));
    }
    for (line, remark) in &taken.remarks {
        lines.extend(wrap(&format!("line {line}: a remark, not taken: {}", clean(remark)), width));
    }
    let beside = taken.settings.iter().filter(|setting| setting.change != Change::Added);
    for setting in beside {
        lines.extend(wrap(&setting_line(setting), width));
    }
    lines.extend(wrap(&counts(taken), width));
    lines.extend(wrap(&outcome(taken, dry_run), width));
    lines.join("\n")
}

fn heading(taken: &Report) -> String {
    let unused: Vec<String> = taken
        .headings
        .iter()
        .filter(|heading| matches!(heading.column, Column::Unknown { .. }))
        .map(|heading| clean(&heading.text))
        .collect();
    let kept = match unused.len() {
        0 => String::new(),
        _ => format!("; kept as notes: {}", unused.join(", ")),
    };
    let file = clean(&taken.file);
    format!(
        "{file}: {} rows below line {}, {}{kept}",
        taken.rows,
        taken.header_line,
        taken.encoding.name()
    )
}

/// `F7  refused  Thread "3/8"`, then the reason and what to do.
fn cell_lines(cell: &CellVerdict, width: usize, style: Style) -> Vec<String> {
    let tone = match cell.verdict {
        Verdict::Refused => Tone::Danger,
        Verdict::Question { .. } => Tone::Estimate,
        _ => Tone::Plain,
    };
    let place = &cell.place;
    let column = match place.header.as_str() {
        "" => String::new(),
        header => format!(", column {} ({})", place.letters(), clean(header)),
    };
    let verdict = style.paint(tone, cell.verdict.word());
    let mut lines = vec![format!("line {}{column}: {verdict}: `{}`", place.line, clean(&cell.raw))];
    let mut text = clean(&cell.reason);
    if let Some(read) = &cell.read_as {
        text = format!("{text}; read as {}", clean(read));
    }
    if !cell.advice.is_empty() {
        text = format!("{text}: {}", clean(&cell.advice));
    }
    let room = width.saturating_sub(4).max(16);
    lines.extend(wrap(&text, room).into_iter().map(|line| format!("    {line}")));
    lines
}

fn setting_line(setting: &SettingChange) -> String {
    let against = setting.against.as_ref().map(|other| format!(", against {}", clean(other)));
    format!(
        "line {}: {} {}: {}{}",
        setting.line,
        clean(&setting.name),
        clean(&setting.setting),
        word(setting.change),
        against.unwrap_or_default()
    )
}

fn word(change: Change) -> &'static str {
    match change {
        Change::Added => "new",
        Change::Changed => "changed",
        Change::Unchanged => "unchanged",
        Change::Beside => "kept beside one that disagrees",
    }
}

fn counts(taken: &Report) -> String {
    let counts = taken.counts;
    format!(
        "{} cells taken, {} with a warning, {} questions, {} refused",
        counts.taken + counts.warned,
        counts.warned,
        counts.asked,
        counts.refused
    )
}

fn outcome(taken: &Report, dry_run: bool) -> String {
    let changes = taken.changes;
    let settings = format!(
        "{} new, {} changed, {} unchanged, {} beside another",
        changes.added, changes.changed, changes.unchanged, changes.beside
    );
    match (taken.is_sound(), dry_run) {
        (false, _) => "Nothing was stored: mend these cells and import again.".to_owned(),
        (true, true) => format!("Nothing was stored (dry run). Settings: {settings}."),
        (true, false) => format!("Stored. Settings: {settings}."),
    }
}

/// `{"file", "rows", "stored", "counts": {…}, "settings": {…}, "cells":
/// [{line, column, header, raw, verdict, read_as, code, reason, advice,
/// readings}], "changes": […]}`.
pub fn import_json(taken: &Report, dry_run: bool) -> Json {
    let (counts, changes) = (taken.counts, taken.changes);
    let of_cells = Json::object(vec![
        ("taken", counts.taken.into()),
        ("warning", counts.warned.into()),
        ("question", counts.asked.into()),
        ("refused", counts.refused.into()),
    ]);
    let of_settings = Json::object(vec![
        ("added", changes.added.into()),
        ("changed", changes.changed.into()),
        ("unchanged", changes.unchanged.into()),
        ("beside", changes.beside.into()),
    ]);
    Json::object(vec![
        ("file", (&taken.file).into()),
        ("rows", taken.rows.into()),
        ("stored", (taken.is_sound() && !dry_run).into()),
        ("counts", of_cells),
        ("settings", of_settings),
        ("cells", Json::List(taken.verdicts.iter().map(cell_json).collect())),
        ("changes", Json::List(taken.settings.iter().map(setting_json).collect())),
    ])
}

fn cell_json(cell: &CellVerdict) -> Json {
    let readings = match &cell.verdict {
        Verdict::Question { readings } => readings.clone().into(),
        _ => Json::Null,
    };
    Json::object(vec![
        ("line", u64::from(cell.place.line).into()),
        ("column", u64::from(cell.place.column).into()),
        ("header", (&cell.place.header).into()),
        ("raw", (&cell.raw).into()),
        ("verdict", cell.verdict.word().into()),
        ("read_as", cell.read_as.as_ref().map_or(Json::Null, Json::from)),
        ("code", cell.code.into()),
        ("reason", (&cell.reason).into()),
        ("advice", (&cell.advice).into()),
        ("readings", readings),
    ])
}

fn setting_json(setting: &SettingChange) -> Json {
    Json::object(vec![
        ("line", u64::from(setting.line).into()),
        ("key", (&setting.key).into()),
        ("name", (&setting.name).into()),
        ("setting", (&setting.setting).into()),
        ("change", word(setting.change).into()),
        ("against", setting.against.as_ref().map_or(Json::Null, Json::from)),
    ])
}
