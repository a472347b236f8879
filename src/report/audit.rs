//! The findings of an audit, drawn: the place, the reason, what to do.

use std::io;

use crate::audit::{Acknowledged, Findings, Judged, Severity, Standing, Tally};
use crate::report::lay::{clean, counted, wrap};
use crate::report::page::{Key, Page, Rows, Table, TakeRow};
use crate::report::style::{Style, Tone};

/// How to let a finding stand, said once.
const LET_STAND: &str =
    "One that may stand: check --acknowledge MARK --note WHY; the mark stands first in its line.";

/// The findings by assembly and joint, each with its mark, short name and
/// reason; what to do about each kind that is open once, at the end.
pub fn audit_page<'a>(findings: &'a dyn Findings, tally: &'a Tally, read: usize) -> Page<'a> {
    let mut page = Page::new();
    listed(&mut page, findings);
    if tally.open() + tally.acknowledged > 0 {
        page.blank();
        page.drawn(move |width, _| advice(tally, width));
    }
    if tally.open() > 0 {
        page.prose(LET_STAND);
    }
    page.remark(Tone::Plain, summary(tally, read));
    data(&mut page, findings, tally.open(), read);
    page
}

/// The findings of which somebody just said that they may stand, or no longer.
pub fn settled_page<'a>(judged: &'a &'a [Judged]) -> Page<'a> {
    let mut page = Page::new();
    let acknowledged = judged.iter().filter(|one| !one.is_open()).count();
    let open = judged.len() - acknowledged;
    let counts: Vec<String> = [(acknowledged, "acknowledged"), (open, "open again")]
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, what)| format!("{} {what}", counted(*count, "finding")))
        .collect();
    listed(&mut page, judged);
    page.remark(
        Tone::Plain,
        match counts.as_slice() {
            [] => "Taken back; the book no longer has that finding.".to_owned(),
            counts => format!("{}.", counts.join(", ")),
        },
    );
    data(&mut page, judged, open, judged.len());
    page
}

/// `findings`, one a row, `open` and `read`.
fn data<'a>(page: &mut Page<'a>, findings: &'a dyn Findings, open: usize, read: usize) {
    page.rows("findings", FindingRows(findings));
    page.value("open", open);
    page.value("read", read);
}

/// Findings for a program, formed one at a time.
struct FindingRows<'a>(&'a dyn Findings);

impl Rows for FindingRows<'_> {
    fn keys(&self) -> Vec<Key> {
        table(&[]).keys()
    }

    fn each(&self, take: &mut TakeRow<'_>) -> io::Result<()> {
        self.0.each(&mut |one| table(std::slice::from_ref(one)).each(take))
    }
}

fn table(judged: &[Judged]) -> Table<'_, &Judged> {
    let standing = |one: &&Judged| match one.standing {
        Standing::Open => "open",
        Standing::Acknowledged(_) => "acknowledged",
        Standing::Outdated(_) => "outdated",
    };
    let who =
        |one: &&Judged| one.acknowledged().map(|one| one.who.clone()).filter(|who| !who.is_empty());
    Table::new(judged)
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
        .key("acknowledged_on", |one| one.acknowledged().map(|one| one.when.clone()))
}

/// Each below the heading of its joint.
fn listed<'a>(page: &mut Page<'a>, findings: &'a dyn Findings) {
    page.drawn_long(move |width, style, take| {
        let mut last: Option<[String; 2]> = None;
        findings.each(&mut |one| {
            let [assembly, joint, _] = &one.finding.place;
            if last.as_ref().is_none_or(|last| last[0] != *assembly || last[1] != *joint) {
                if last.is_some() {
                    take("")?;
                }
                let heading = format!("{} / {}", clean(assembly), clean(joint));
                take(&style.paint(Tone::Heading, &heading))?;
                last = Some([assembly.clone(), joint.clone()]);
            }
            line_of(one, width, style).iter().try_for_each(|line| take(line))
        })
    });
}

/// A danger stands out without colour too.
fn danger_mark(severity: Severity) -> &'static str {
    if severity == Severity::Danger { "!" } else { "" }
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
    let name = format!("{:<2}{} {:<18}", danger_mark(row.severity), finding.mark(), row.name);
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
fn advice(tally: &Tally, width: usize) -> Vec<String> {
    let rows = tally.open.keys().map(|kind| kind.row());
    rows.flat_map(|row| wrap(&format!("{}: {}.", row.name, row.advice), width)).collect()
}

fn summary(tally: &Tally, read: usize) -> String {
    let of = |severity| {
        let counts = tally.open.iter().filter(|(kind, _)| kind.row().severity == severity);
        counts.map(|(_, count)| count).sum::<usize>()
    };
    let [danger, doubt, gap] = [Severity::Danger, Severity::Doubt, Severity::Gap]
        .map(|severity| format!("{} {}", of(severity), severity.word()));
    let counts = format!("{danger} ({}), {doubt}, {gap}", danger_mark(Severity::Danger));
    let more = match tally.acknowledged {
        0 => String::new(),
        count => format!("; {count} acknowledged"),
    };
    let read = counted(read, "fastener");
    match tally.open() {
        0 => format!("no findings in {read}{more}."),
        all => format!("{} in {read}: {}{more}.", counted(all, "finding"), counts),
    }
}
