//! One block a fastener: what it is, a line a setting, and directly below what
//! must be done with it. `find` and `lubes` are made of these.

use std::sync::Arc;

use crate::query::run::UnitsWanted;
use crate::record::{Basis, Fastener, Refusal, Row, Setting, Turned, hole_numbers};
use crate::report::cautions::{angle_starts, inch_pounds};
use crate::report::cells;
use crate::report::find::line::{INDENT, Line, basis, effect};
use crate::report::lay::{clean, fitted, flow, tied, width, wrap};
use crate::report::notes::{About, Note, notes};
use crate::report::pull::{Pull, stated_words};
use crate::report::style::{Style, Tone};

/// What the wrench turns, its holes and threads: `stud, long   14 × 7/16-20   NUT turns`.
pub(crate) fn heading(row: &Row, wanted: &UnitsWanted, limit: usize, style: Style) -> Vec<String> {
    let fastener = &row.fastener;
    let mut items = vec![clean(&fastener.part), threaded(row)];
    items.extend(fastener.turned.map(turning));
    items.extend(hole_end(row));
    items.extend(
        fastener.length.map(|length| tied(&format!("{} long", stated_words(length, wanted)))),
    );
    let plain = flow_wide(&items, limit);
    let mut lines: Vec<String> =
        plain.iter().map(|line| style.paint(Tone::Heading, line)).collect();
    if fastener.is_single_use() {
        let discard = style.paint(Tone::Danger, DISCARD);
        let taken = plain.last().map_or(limit, |last| width(last));
        match lines.last_mut().filter(|_| taken + 3 + width(DISCARD) <= limit) {
            Some(last) => *last += &format!("   {discard}"),
            None => lines.extend(
                wrap(DISCARD, limit - INDENT)
                    .iter()
                    .map(|line| format!("{:INDENT$}{}", "", style.paint(Tone::Danger, line))),
            ),
        }
    }
    lines
}

pub(crate) const DISCARD: &str = "DISCARD AFTER REMOVAL.";

/// `14 × 7/16-20`.
pub(super) fn threaded(row: &Row) -> String {
    let thread = cells::turned(row);
    match row.fastener.count {
        Some(count) => tied(&format!("{count} × {thread}")),
        None => thread,
    }
}

pub(super) fn turning(turned: Turned) -> String {
    tied(&format!("{} turns", turned.word().to_uppercase()))
}

/// `hole end 7/16-14, finger-snug, oil`.
pub(super) fn hole_end(row: &Row) -> Option<String> {
    let fastener = &row.fastener;
    let thread = fastener.hole_thread.as_ref()?;
    let mut text = tied(&format!("hole end {thread}"));
    for words in [&fastener.hole_end_fitting, &fastener.hole_end_lube].into_iter().flatten() {
        text += &format!(", {}", tied(&clean(words)));
    }
    Some(text)
}

/// Items three blanks apart, each whole where it fits; further lines are indented.
fn flow_wide(items: &[String], limit: usize) -> Vec<String> {
    let one = items.join("   ");
    if width(&one) <= limit {
        return vec![one];
    }
    let mut lines = flow(items, limit.saturating_sub(2 * INDENT));
    for line in lines.iter_mut().skip(1) {
        line.insert_str(0, &" ".repeat(2 * INDENT));
    }
    lines
}

/// The rows of one fastener as lines; a figure that was replaced comes last, and
/// lubes that are refused for one reason stand together.
pub(crate) fn lines(
    rows: &[&Row],
    units: &UnitsWanted,
    more: &dyn Fn(&Row) -> Vec<String>,
    seen: &mut Seen,
) -> Vec<Line> {
    let answered = rows.iter().filter(|row| row.refused.is_none());
    let mut ordered: Vec<&&Row> = answered.collect();
    ordered.sort_by_key(|row| row.setting.superseded);
    let mut lines: Vec<Line> =
        ordered.into_iter().map(|row| Line::of(row, units, more(row))).collect();
    let listed = instead(rows);
    for (reason, lubes) in refusals(rows) {
        let why = seen.said(&lubes.join(", "), &reason, &rows[0].fastener);
        lines.push(Line::refused(&lubes, &format!("{why}{listed}")));
    }
    lines
}

/// What to use instead, where nothing else of the fastener is shown: `; listed: oil
/// 82 lb-ft, moly 66 lb-ft`.
fn instead(rows: &[&Row]) -> String {
    if rows.iter().any(|row| row.refused.is_none()) {
        return String::new();
    }
    let settings = rows.first().map_or(&[][..], |row| &row.fastener.settings[..]);
    let is_listed =
        |one: &&Setting| one.basis == Basis::Listed && !one.superseded && one.is_complete();
    let figure = |one: &Setting| {
        let pull = Pull::of(one, &UnitsWanted::AsWritten).first();
        tied(&format!("{} {pull}", cells::lube(one)))
    };
    let listed: Vec<String> = settings.iter().filter(is_listed).map(figure).collect();
    if listed.is_empty() { String::new() } else { format!("; listed: {}", listed.join(", ")) }
}

/// The reasons for which lubes are refused, each once.
pub(crate) fn refusals(rows: &[&Row]) -> Vec<(String, Vec<String>)> {
    let mut reasons: Vec<(&Refusal, Vec<String>)> = Vec::new();
    for row in rows {
        let Some(reason) = &row.refused else { continue };
        let lube = cells::lube(&row.setting);
        match reasons.iter_mut().find(|(known, _)| *known == reason) {
            Some((_, lubes)) => lubes.push(lube),
            None => reasons.push((reason, vec![lube])),
        }
    }
    reasons.into_iter().map(|(reason, lubes)| (reason.to_string(), lubes)).collect()
}

/// Refusals of the answer so far: a reason is given once.
#[derive(Default)]
pub(crate) struct Seen(Vec<(String, String, Arc<Fastener>)>);

impl Seen {
    fn said(&mut self, lubes: &str, reason: &str, fastener: &Arc<Fastener>) -> String {
        let known = self.0.iter().find(|(l, r, _)| l == lubes && r == reason);
        if let Some((_, _, known)) = known {
            let (joint, part) = (&known.joint, clean(&known.part));
            let is_here =
                joint.name == fastener.joint.name && joint.assembly == fastener.joint.assembly;
            return match is_here {
                true => format!("as for {part}"),
                false => format!("as for {}, {part}", cells::place(known)),
            };
        }
        self.0.push((lubes.to_owned(), reason.to_owned(), Arc::clone(fastener)));
        reason.to_owned()
    }
}

/// What must be known and done, below the lines: cautions each on its own line,
/// facts together. What holds for some lubes only names them.
pub(crate) fn below(rows: &[&Row], units: &UnitsWanted, limit: usize, style: Style) -> Vec<String> {
    let answered: Vec<&Row> = rows
        .iter()
        .copied()
        .filter(|row| row.refused.is_none() && !row.setting.superseded)
        .collect();
    let pulls: Vec<Pull> = answered.iter().map(|row| Pull::of(&row.setting, units)).collect();
    let mut cautions: Vec<String> = angle_starts(&answered, units);
    cautions.extend(inch_pounds(&pulls));
    cautions.extend(two_computed(&answered));
    let (mut severe, mut facts) = (Vec::new(), positions(rows));
    for (note, of) in gathered(&answered, units) {
        let text = if of.len() == answered.len() {
            note.text
        } else {
            format!("{}: {}", of.join(", "), note.text)
        };
        match (note.is_caution, note.about) {
            (true, _) => cautions.push(text),
            (false, About::Strength) => severe.push(text),
            (false, _) => facts.push(text),
        }
    }
    let room = limit.saturating_sub(INDENT);
    let mut lines: Vec<(Tone, String)> = Vec::new();
    for text in cautions {
        lines.extend(wrap(&text, room).into_iter().map(|line| (Tone::Danger, line)));
    }
    for text in severe {
        lines.extend(wrap(&text, room).into_iter().map(|line| (Tone::Plain, line)));
    }
    if !facts.is_empty() {
        let join = |all: String, fact: String| match all.ends_with('.') {
            true => format!("{all} {fact}"),
            false => format!("{all}; {fact}"),
        };
        let text = facts.into_iter().reduce(join).unwrap_or_default();
        lines.extend(wrap(&text, room).into_iter().map(|line| (Tone::Plain, line)));
    }
    let own = rows.first().and_then(|row| row.fastener.notes.as_ref());
    let own = own.map(|notes| format!("note: {}", clean(notes)));
    lines.extend(own.iter().flat_map(|text| wrap(text, room)).map(|line| (Tone::Plain, line)));
    lines.iter().map(|(tone, line)| format!("{:INDENT$}{}", "", style.paint(*tone, line))).collect()
}

/// Where in the joint it sits, unless that is holes by number, which the map shows.
fn positions(rows: &[&Row]) -> Vec<String> {
    let named = rows.first().and_then(|row| row.fastener.positions.as_deref());
    let words = named.filter(|text| hole_numbers(text).is_none());
    words.map(|words| format!("at {}", clean(words))).into_iter().collect()
}

/// Torques computed for one lube from several figures of the sheet, which do not agree.
fn two_computed(rows: &[&Row]) -> Option<String> {
    let computed: Vec<&Row> = rows.iter().copied().filter(|row| row.restated.is_some()).collect();
    let lube = |row: &Row| row.setting.lube.clone();
    let several = computed.chunk_by(|a, b| lube(a) == lube(b)).filter(|same| same.len() > 1);
    let words: Vec<String> = several.map(|same| clean(&cells::lube(&same[0].setting))).collect();
    (!words.is_empty()).then(|| {
        format!(
            "{}: computed from each figure of the sheet, which lie further apart than the \
             factors: measure stretch or ask the maker.",
            words.join(", ")
        )
    })
}

/// Each note once, with the lubes for which it holds.
fn gathered(rows: &[&Row], units: &UnitsWanted) -> Vec<(Note, Vec<String>)> {
    let mut found: Vec<(Note, Vec<String>)> = Vec::new();
    for row in rows {
        for note in notes(row, units) {
            // The heading and the line of the setting say these.
            if note.about == About::From {
                continue;
            }
            let lube = cells::lube(&row.setting);
            match found.iter_mut().find(|(known, _)| *known == note) {
                Some((_, lubes)) => lubes.push(lube),
                None => found.push((note, vec![lube])),
            }
        }
    }
    found
}

/// The rows of one fastener where their columns do not fit beside each other:
/// lube, torque and basis on one line, what it does below.
pub(crate) fn stacked(
    rows: &[&Row],
    units: &UnitsWanted,
    limit: usize,
    style: Style,
) -> Vec<String> {
    let room = limit.saturating_sub(INDENT);
    let mut lines = Vec::new();
    let mut ordered = rows.to_vec();
    ordered.sort_by_key(|row| row.setting.superseded);
    for row in ordered.iter().filter(|row| row.refused.is_none()) {
        let tone = cells::tone(row);
        let torque = fitted(&torque_line(row, &Pull::of(&row.setting, units), units, room), room);
        lines.extend(torque.into_iter().map(|line| (tone, line)));
        let facts = effect(row, cells::clamp_unit(units)).map(|fact| tied(&fact));
        let facts: Vec<String> = facts.into_iter().filter(|fact| !fact.is_empty()).collect();
        let facts = flow(&facts, room.saturating_sub(INDENT));
        lines.extend(facts.into_iter().map(|fact| (tone, format!("{:INDENT$}{fact}", ""))));
    }
    let listed = instead(rows);
    for (reason, lubes) in refusals(rows) {
        let text = format!("{}  NO: {}{listed}", lubes.join(", "), clean(&reason));
        lines.extend(wrap(&text, room).into_iter().map(|line| (Tone::Danger, line)));
    }
    lines.iter().map(|(tone, line)| format!("{:INDENT$}{}", "", style.paint(*tone, line))).collect()
}

/// Lube, torque and basis on one line. Where even one unit of the torque does not
/// fit beside the other two, no torque is shown: a torque without its lube is half
/// a figure.
pub(crate) fn torque_line(row: &Row, pull: &Pull, wanted: &UnitsWanted, room: usize) -> String {
    let (lube, basis) = (cells::lube(&row.setting), basis(row, wanted));
    let line = |torque: &str| format!("{lube}  {torque}  {basis}");
    let short = |torque: &str| format!("{lube}  {torque}  {}", cells::basis(&row.setting));
    let lines = [line(&pull.with_units()), line(&pull.first()), short(&pull.first())];
    let needs = width(&lines[2]) + INDENT;
    let fits = |line: &&String| width(line) <= room;
    lines.iter().find(fits).cloned().unwrap_or_else(|| format!("torque: needs {needs} columns"))
}
