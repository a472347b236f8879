//! The findings of an audit, drawn: the place, the reason, what to do.

use std::collections::BTreeMap;

use crate::audit::{Acknowledged, Finding, Judged, Severity, Standing};
use crate::report::lay::{clean, counted, wrap};
use crate::report::page::{Page, Table};
use crate::report::style::{Style, Tone};

/// How to let a finding stand, said once.
const LET_STAND: &str =
    "One that may stand: check --acknowledge MARK --note WHY; the mark stands first in its line.";

/// The findings by assembly and joint, each with its mark, short name and
/// reason; what to do about each kind that is open once, at the end.
pub fn audit_page(judged: &[Judged], read: usize) -> Page<'_> {
    let mut page = Page::new();
    page.drawn(move |width, style| listed(judged, width, style));
    if !judged.is_empty() {
        page.blank();
        page.drawn(move |width, _| advice(judged, width));
    }
    if judged.iter().any(Judged::is_open) {
        page.prose(LET_STAND);
    }
    page.remark(Tone::Plain, summary(judged, read));
    data(&mut page, judged, read);
    page
}

/// The findings of which somebody just said that they may stand, or no longer.
pub fn settled_page(judged: &[Judged]) -> Page<'_> {
    let mut page = Page::new();
    let stand = judged.iter().filter(|one| !one.is_open()).count();
    let counts = [(stand, "acknowledged"), (judged.len() - stand, "open again")];
    let counts: Vec<String> = counts
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, what)| format!("{} {what}", counted(*count, "finding")))
        .collect();
    page.drawn(move |width, style| listed(judged, width, style));
    page.remark(
        Tone::Plain,
        match counts.as_slice() {
            [] => "Taken back; the book no longer has that finding.".to_owned(),
            counts => format!("{}.", counts.join(", ")),
        },
    );
    data(&mut page, judged, judged.len());
    page
}

/// `findings`, one a row, `open` and `read`.
fn data<'a>(page: &mut Page<'a>, judged: &'a [Judged], read: usize) {
    let standing = |one: &&Judged| match one.standing {
        Standing::Open => "open",
        Standing::Acknowledged(_) => "acknowledged",
        Standing::Outdated(_) => "outdated",
    };
    let who =
        |one: &&Judged| one.acknowledged().map(|one| one.who.clone()).filter(|who| !who.is_empty());
    let rows = Table::new(judged)
        .key("mark", |one| one.finding.mark())
        .key("finding", |one| one.finding.kind.row().name)
        .key("severity", |one| one.finding.kind.row().severity.word())
        .key("key", |one| one.finding.key.clone())
        .key("assembly", |one| one.finding.place[0].clone())
        .key("joint", |one| one.finding.place[1].clone())
        .key("part", |one| one.finding.place[2].clone())
        .key("lube", |one| one.finding.lube.clone())
        .key("reason", |one| one.finding.reason.clone())
        .key("advice", |one| one.finding.kind.row().advice)
        .key("standing", standing)
        .key("note", |one| one.acknowledged().map(|one| one.note.clone()))
        .key("acknowledged_by", who)
        .key("acknowledged_on", |one| one.acknowledged().map(|one| one.when.clone()));
    page.rows("findings", rows);
    page.value("open", judged.iter().filter(|one| one.is_open()).count());
    page.value("read", read);
}

fn listed(judged: &[Judged], width: usize, style: Style) -> Vec<String> {
    let mut lines = Vec::new();
    let mut last: Option<(&str, &str)> = None;
    for one in judged {
        let [assembly, joint, _] = one.finding.place.each_ref().map(String::as_str);
        if last != Some((assembly, joint)) {
            if last.is_some() {
                lines.push(String::new());
            }
            let heading = format!("{} / {}", clean(assembly), clean(joint));
            lines.push(style.paint(Tone::Heading, &heading));
            last = Some((assembly, joint));
        }
        lines.extend(line_of(one, width, style));
    }
    lines
}

fn line_of(judged: &Judged, width: usize, style: Style) -> Vec<String> {
    let finding = &judged.finding;
    let row = finding.kind.row();
    let tone = match (judged.is_open(), row.severity) {
        (false, _) => Tone::Faint,
        (true, Severity::Danger) => Tone::Danger,
        (true, _) => Tone::Plain,
    };
    let lube = finding.lube.as_ref().map_or_else(String::new, |lube| format!(" ({lube})"));
    let part = &finding.place[2];
    let text = format!("{}{}: {}", clean(part), clean(&lube), clean(&finding.reason));
    let name = format!("  {} {:<18}", finding.mark(), row.name);
    let room = width.saturating_sub(name.len() + 1).max(16);
    let note = judged.acknowledged().map(|one| standing_words(&judged.standing, one));
    let pieces = wrap(&text, room).into_iter();
    let pieces = pieces.chain(note.iter().flat_map(|note| wrap(note, room)));
    let lead = |index: usize| match index {
        0 => style.paint(tone, &name),
        _ => " ".repeat(name.len()),
    };
    pieces.enumerate().map(|(index, piece)| format!("{} {piece}", lead(index))).collect()
}

fn standing_words(standing: &Standing, one: &Acknowledged) -> String {
    let day = one.when.get(..10).unwrap_or(&one.when);
    let who = if one.who.is_empty() { String::new() } else { format!(" by {}", clean(&one.who)) };
    let by_whom = format!("acknowledged {day}{who}: {}", clean(&one.note));
    match standing {
        Standing::Outdated(_) => {
            format!("was {by_whom}; the figures have changed since: {}", clean(&one.figures))
        }
        _ => by_whom,
    }
}

/// What to do, once for each kind that is open.
fn advice(judged: &[Judged], width: usize) -> Vec<String> {
    let open = judged.iter().filter(|one| one.is_open()).map(|one| &one.finding);
    let kinds: BTreeMap<_, _> = open.map(|one| (one.kind, one.kind.row())).collect();
    let mut lines = Vec::new();
    for row in kinds.values() {
        let text = format!("{}: {}.", row.name, row.advice);
        lines.extend(wrap(&text, width));
    }
    lines
}

fn summary(judged: &[Judged], read: usize) -> String {
    let open: Vec<&Finding> =
        judged.iter().filter(|one| one.is_open()).map(|one| &one.finding).collect();
    let of = |severity| open.iter().filter(|one| one.kind.row().severity == severity).count();
    let counts = [Severity::Danger, Severity::Doubt, Severity::Gap]
        .map(|severity| format!("{} {}", of(severity), severity.word()));
    let more = match judged.len() - open.len() {
        0 => String::new(),
        stand => format!("; {stand} acknowledged"),
    };
    let read = counted(read, "fastener");
    match open.len() {
        0 => format!("no findings in {read}{more}."),
        all => format!("{} in {read}: {}{more}.", counted(all, "finding"), counts.join(", ")),
    }
}
