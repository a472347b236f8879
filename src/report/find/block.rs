//! One block a fastener: what it is, a line a setting, and directly below what
//! must be done with it. `find` and `lubes` are made of these.

use std::sync::Arc;

use crate::query::run::UnitsWanted;
use crate::record::{Basis, Fastener, Refusal, Row, Setting, Turned};
use crate::report::cells;
use crate::report::duties::{
    About, Duty, Harm, discard_words, duties, is_pulled, joint_duties, sources,
};
use crate::report::find::WIDEST;
use crate::report::find::line::{INDENT, SettingLine};
use crate::report::lay::{clean, flow, tied, width, wrap};
use crate::report::pull::{Pull, stated_words};
use crate::report::style::{Style, Tone};

/// What the wrench turns, its holes and threads: `stud, long   14 × 7/16-20   NUT turns`.
pub(crate) fn heading(row: &Row, wanted: &UnitsWanted, limit: usize, style: Style) -> Vec<String> {
    let strength = cells::strength_beside(&row.fastener, wanted);
    let strength = strength.map(|words| tied(&format!(", {words}"))).unwrap_or_default();
    let first = vec![clean(&row.fastener.part), threaded(row) + &strength];
    let items = [first, besides(row, wanted)].concat();
    let plain = flow_wide(&items, limit);
    let mut lines: Vec<String> =
        plain.iter().map(|line| style.paint(Tone::Heading, line)).collect();
    if row.fastener.is_single_use() {
        let discard = discard_words(&row.fastener);
        let taken = plain.last().map_or(limit, |last| width(last));
        match lines.last_mut().filter(|_| taken + 3 + width(&discard) <= limit) {
            Some(last) => *last += &format!("   {}", style.paint(Tone::Danger, &discard)),
            None => lines.extend(indented(&discard, Tone::Danger, limit, style)),
        }
    }
    lines
}

/// `14 × 7/16-20`.
pub(super) fn threaded(row: &Row) -> String {
    let count = row.fastener.count.map(|count| format!("{count} × ")).unwrap_or_default();
    tied(&format!("{count}{}", cells::turned(row)))
}

/// What turns, the hole end, the length, what the socket goes on.
pub(super) fn besides(row: &Row, wanted: &UnitsWanted) -> Vec<String> {
    let fastener = &row.fastener;
    let turning = |turned: Turned| tied(&format!("{} turns", turned.word().to_uppercase()));
    let length = fastener.length.map(|length| format!("{} long", stated_words(length, wanted)));
    let drive = || Some(format!("drive {}", clean(fastener.drive.as_ref()?)));
    let tool = fastener.head.as_ref().map(|head| clean(head)).or_else(drive);
    let items = [fastener.turned.map(turning), cells::hole_end(fastener), length];
    items.into_iter().flatten().chain(tool).map(|text| tied(&text)).collect()
}

/// `text` under a fastener.
fn indented(text: &str, tone: Tone, limit: usize, style: Style) -> Vec<String> {
    let lines = wrap(text, limit.saturating_sub(INDENT)).into_iter();
    lines.map(|line| format!("{:INDENT$}{}", "", style.paint(tone, &line))).collect()
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

/// How the rows of a block are shown.
pub(crate) struct Shown<'a> {
    pub(crate) units: &'a UnitsWanted,
    /// Further figures of a row.
    pub(crate) more: &'a dyn Fn(&Row) -> Vec<String>,
}

/// The rows of one fastener as lines; a figure that was replaced comes last, in words,
/// and lubes that are refused for one reason stand together.
pub(crate) fn lines(rows: &[&Row], shown: &Shown<'_>, seen: &mut RefusalsSeen) -> Vec<SettingLine> {
    let pulled: Vec<&Row> = rows.iter().copied().filter(|row| is_pulled(row)).collect();
    let with_lube = |row: &Row, of: &[&Row]| -> Vec<Setting> {
        let same =
            of.iter().filter(|other| cells::lube(&other.setting) == cells::lube(&row.setting));
        same.map(|other| other.setting.clone()).collect()
    };
    let line = |(at, row): (usize, &&Row)| {
        let twins = with_lube(row, &pulled);
        let is_twin = twins.iter().filter(|one| one.method == row.setting.method).count() > 1;
        let line = SettingLine::new(row, shown.units, (shown.more)(row));
        let is_named = row.setting.lube.is_some();
        let is_other_way = is_named && !is_twin && !with_lube(row, &pulled[..at]).is_empty();
        if is_other_way { line.or() } else { line }
    };
    let mut lines: Vec<SettingLine> = pulled.iter().enumerate().map(line).collect();
    let old = rows.iter().filter(|row| row.refused.is_none() && row.setting.superseded);
    lines.extend(old.map(|row| superseded(row, shown.units)));
    let listed = instead(rows);
    for (reason, lubes) in refusals(rows) {
        let why = clean(&seen.or_as_for(&lubes.join(", "), &reason, &rows[0].fastener));
        let (first, end) = match &lubes[..] {
            [lube] => (lube.clone(), format!("NO: {why}{listed}")),
            several => ("NO".to_owned(), format!("{}: {why}{listed}", several.join(", "))),
        };
        lines.push(SettingLine::without(first, end, Tone::Danger));
    }
    lines
}

/// A figure that a newer one replaces is no figure: it stands in words, with what
/// holds in its place.
fn superseded(row: &Row, units: &UnitsWanted) -> SettingLine {
    let mut settings = row.fastener.settings.iter().filter(|one| !one.superseded);
    let by_name = |one: &&Setting| one.supersedes.as_deref() == Some(row.key.as_str());
    let by_lube = |one: &&Setting| one.lube == row.setting.lube && one.method == row.setting.method;
    let newer = settings.clone().find(by_name).or_else(|| settings.find(by_lube));
    let newer = newer.map(|one| format!(" by {}", tied(&Pull::new(one, units).first())));
    let old = tied(&Pull::new(&row.setting, units).with_units());
    let end = format!(
        "SUPERSEDED{}, not to be used: {old} ({})",
        newer.unwrap_or_default(),
        cells::source(row)
    );
    SettingLine::without(cells::lube(&row.setting), end, Tone::Faint)
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
        let pull = Pull::new(one, &UnitsWanted::AsWritten).first();
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
pub(crate) struct RefusalsSeen(Vec<(String, String, Arc<Fastener>)>);

impl RefusalsSeen {
    /// The reason, or for which part it was given.
    fn or_as_for(&mut self, lubes: &str, reason: &str, fastener: &Arc<Fastener>) -> String {
        let known = self.0.iter().find(|(l, r, _)| l == lubes && r == reason);
        if let Some((_, _, known)) = known {
            let part = clean(&known.part);
            return match known.joint.is_same(&fastener.joint) {
                true => format!("as for {part}"),
                false => format!("as for {}, {part}", cells::place(known)),
            };
        }
        self.0.push((lubes.to_owned(), reason.to_owned(), Arc::clone(fastener)));
        reason.to_owned()
    }
}

/// What must be done and known, below the lines, the worst first and each on a line of
/// its own; what is only good to know together.
pub(crate) fn below(rows: &[&Row], units: &UnitsWanted, limit: usize, style: Style) -> Vec<String> {
    let elsewhere = |about| matches!(about, About::Heading | About::Discard | About::WholeJoint);
    let mut lines = Vec::new();
    // What holds for the same lubes stands together.
    let mut facts: Vec<Duty> = Vec::new();
    let mut last = Vec::new();
    for duty in duties(rows, units).into_iter().filter(|duty| !elsewhere(duty.about)) {
        let tone = if duty.is_caution() { Tone::Danger } else { Tone::Plain };
        match duty.about {
            About::Note if !duty.is_caution() => {
                last.extend(indented(&duty.words(), tone, limit, style));
            }
            _ if duty.harm == Harm::Fact => {
                match facts.iter_mut().find(|known| known.of == duty.of) {
                    Some(known) => known.text += &format!("; {}", duty.text),
                    None => facts.push(duty),
                }
            }
            _ => lines.extend(indented(&duty.words(), tone, limit, style)),
        }
    }
    lines.extend(facts.iter().flat_map(|f| indented(&f.words(), Tone::Plain, limit, style)));
    lines.extend(last);
    lines
}

/// Where the figures of `rows` stand, where the screen has room for that.
pub(super) fn cited(rows: &[&Row], units: &UnitsWanted, limit: usize) -> Vec<String> {
    let all = sources(rows, units).into_iter().filter(|_| limit >= WIDEST);
    all.flat_map(|duty| wrap(&duty.words(), limit - 2 * INDENT))
        .map(|line| format!("{:INDENT$}{line}", ""))
        .collect()
}

/// What is said once for a joint: gasket, machining, order.
pub(crate) fn whole_joint(rows: &[&Row], units: &UnitsWanted, limit: usize) -> Vec<String> {
    let all = joint_duties(rows, units).into_iter();
    all.flat_map(|duty| wrap(&duty.words(), limit)).collect()
}
