//! What must be done and known beside a figure, by the harm that comes of missing it:
//! one table, which every shape walks (blocks, columns, passes, sheet, card, programs).

mod alike;
mod closing;
mod hole;
mod row;

use std::sync::Arc;

use crate::query::run::UnitsWanted;
use crate::record::{Fastener, Row};
use crate::report::cells;
use crate::report::lay::clean;
use crate::report::pull::Pull;

pub(crate) use alike::confused;
pub use closing::SAFETY;
pub(crate) use closing::{Kinds, closing, own_lube};

/// What goes and what takes its place, of a fastener that is used once: `DISCARD AFTER
/// REMOVAL. FIT 4 NEW.`
pub fn discard_words(fastener: &Fastener) -> String {
    let new = fastener.count.map_or_else(String::new, |count| format!("{count} "));
    format!("DISCARD AFTER REMOVAL. FIT {new}NEW.")
}

/// What comes of missing it, the worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Harm {
    /// A part breaks or somebody is hurt.
    Stop,
    /// A wrong clamp, a leak, a cracked casting: what goes on the thread and into the hole.
    Hole,
    /// The clamp may come too near yield.
    Near,
    /// How it is pulled, and what follows.
    Step,
    /// Good to know.
    Fact,
}

/// What it is about, for those who show some of it elsewhere.
///
/// Within one harm they are said in this order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum About {
    /// It is used once.
    Discard,
    /// Of the bolt, and said nowhere else.
    Bolt,
    /// What its source warns of: on top of a sheet where it holds for the whole joint.
    Warned,
    /// Of the bolt, and on top of a sheet: which way it turns.
    Top,
    /// What a heading names: what turns, the hole end.
    Heading,
    /// Where its lube goes, which a sheet says beside the lube.
    Lube,
    /// The holes and the duty of the joint: once on a sheet.
    Joint,
    /// The passes, which a sheet draws.
    Passes,
    /// What comes before the last pull or after it.
    Later,
    /// Gasket, machining, order: once for all fasteners of a joint.
    WholeJoint,
    /// Where it sits and what lies under it, which the heading of a sheet names.
    Part,
    /// What the fitter noted.
    Note,
}

/// One thing to do or to know.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Duty {
    pub(crate) text: String,
    pub(crate) harm: Harm,
    pub(crate) about: About,
    /// The parts or lubes for which it holds, where that is not all of them.
    pub(crate) of: Option<String>,
    /// The field whose words these are, so that a column of it need not be said again.
    pub(crate) field: Option<&'static str>,
}

impl Duty {
    fn new(about: About, harm: Harm, text: impl Into<String>) -> Self {
        Self { text: text.into(), harm, about, of: None, field: None }
    }

    /// What `field` says: `washer: hardened, chamfer up`.
    fn of_field(about: About, field: &'static str, words: &str) -> Self {
        let text = format!("{field}: {}", clean(words));
        Self { field: Some(field), ..Self::new(about, Harm::Step, text) }
    }

    /// With those for which it holds in front.
    pub(crate) fn words(&self) -> String {
        match &self.of {
            Some(of) => format!("{of}: {}", self.text),
            None => self.text.clone(),
        }
    }

    /// Whether somebody is hurt or a part broken who does not know it.
    pub(crate) fn is_caution(&self) -> bool {
        self.harm <= Harm::Hole && !matches!(self.about, About::Heading | About::Lube)
    }
}

/// What is to be done and known of `rows`, each text once, the worst first. What does
/// not hold for all of them names those for which it does. Refused figures have none,
/// nor replaced ones beside others.
pub(crate) fn duties(rows: &[&Row], wanted: &UnitsWanted) -> Vec<Duty> {
    let is_of_figure = |duty: &Duty| matches!(duty.about, About::Passes | About::Later);
    let used = used(rows);
    // Rows of one fastener are reused alike, which its words need not say again.
    let reuse = |row: &Row| (Arc::clone(&row.fastener), row::reuse(&row.fastener, wanted));
    let mut known: Option<(Arc<Fastener>, Option<Duty>)> = None;
    let own = used.iter().map(|row| {
        if known.as_ref().is_none_or(|(known, _)| !Arc::ptr_eq(known, &row.fastener)) {
            known = Some(reuse(row));
        }
        let reuse = known.as_ref().and_then(|(_, reuse)| reuse.clone());
        let mut own = row::duties(row, reuse, wanted);
        own.retain(|duty| is_pulled(row) || !is_of_figure(duty));
        own
    });
    gathered(&used, own, two_computed(&used), wanted)
}

/// Gasket, machining and order alone.
pub(crate) fn joint_duties(rows: &[&Row], wanted: &UnitsWanted) -> Vec<Duty> {
    let used = used(rows);
    let own = used.iter().map(|row| hole::whole_joint(&row.fastener));
    gathered(&used, own, None, wanted)
}

/// The source of each figure that is not computed here, where it is stated.
pub(crate) fn sources(rows: &[&Row], wanted: &UnitsWanted) -> Vec<Duty> {
    let used: Vec<&Row> = used(rows).into_iter().filter(|row| row.restated.is_none()).collect();
    let own = used.iter().map(|row| {
        let source = clean(&row.setting.source.to_string());
        let is_stated = (!source.is_empty()).then_some(source);
        let words = is_stated.map(|source| format!("source {source}"));
        words.map(|text| Duty::new(About::Note, Harm::Fact, text)).into_iter().collect()
    });
    gathered(&used, own, None, wanted)
}

/// The rows that are pulled. Of a figure that was replaced, asked for alone, the hole
/// and the joint are still so.
fn used<'a>(rows: &[&'a Row]) -> Vec<&'a Row> {
    let pulled: Vec<&Row> = rows.iter().copied().filter(|row| is_pulled(row)).collect();
    if !pulled.is_empty() {
        return pulled;
    }
    rows.iter().copied().filter(|row| row.refused.is_none()).collect()
}

/// The duties of each of `rows` together, each text once, with those for which it holds.
pub(crate) fn gathered<'a>(
    rows: &[&'a Row],
    own: impl IntoIterator<Item = Vec<Duty>>,
    more: Option<(Duty, Vec<&'a Row>)>,
    wanted: &UnitsWanted,
) -> Vec<Duty> {
    let mut found: Vec<(Duty, Vec<&Row>)> = Vec::new();
    for (row, own) in rows.iter().zip(own) {
        for duty in own {
            match found.iter_mut().find(|(known, _)| *known == duty) {
                Some((_, of)) => of.push(row),
                None => found.push((duty, vec![row])),
            }
        }
    }
    found.extend(more);
    found.sort_by_key(|(duty, _)| (duty.harm, duty.about));
    let named = |(duty, of): (Duty, Vec<&Row>)| Duty { of: named(&of, rows, wanted), ..duty };
    found.into_iter().map(named).collect()
}

/// Whether a row has a figure that is to be used.
pub(crate) fn is_pulled(row: &Row) -> bool {
    row.refused.is_none() && !row.setting.superseded
}

/// Torques computed for one lube from several figures of the sheet, which do not agree.
fn two_computed<'a>(rows: &[&'a Row]) -> Option<(Duty, Vec<&'a Row>)> {
    let computed: Vec<&Row> = rows.iter().copied().filter(|row| row.restated.is_some()).collect();
    let is_one =
        |a: &&Row, b: &&Row| a.fastener.key == b.fastener.key && a.setting.lube == b.setting.lube;
    let several = computed.chunk_by(is_one).filter(|same| same.len() > 1);
    let of: Vec<&Row> = several.flatten().copied().collect();
    let text = "computed from each figure of the sheet, which lie further apart than the \
                factors: measure stretch or ask the maker";
    (!of.is_empty()).then(|| (Duty::new(About::Bolt, Harm::Stop, text), of))
}

/// Parts named before a duty that is not for all of them.
const PARTS_NAMED: usize = 3;

/// Which of `all` the rows `of` are: parts where there are several, lubes where not
/// all settings of a part are meant. None where all are.
fn named(of: &[&Row], all: &[&Row], wanted: &UnitsWanted) -> Option<String> {
    if of.len() == all.len() {
        return None;
    }
    let own = |row: &Row| -> Vec<&Row> {
        all.iter().copied().filter(|other| other.fastener.key == row.fastener.key).collect()
    };
    let is_one_part = own(of[0]).len() == all.len();
    let mut parts: Vec<String> = Vec::new();
    for same in of.chunk_by(|a, b| a.fastener.key == b.fastener.key) {
        let own = own(same[0]);
        let mut lubes: Vec<String> = same
            .iter()
            .filter(|_| same.len() < own.len())
            .map(|row| setting_name(row, &own, wanted))
            .collect();
        lubes.dedup();
        parts.push(match (is_one_part, lubes.is_empty()) {
            (true, _) => lubes.join(", "),
            (false, true) => part_name(same[0], all),
            (false, false) => format!("{} with {}", part_name(same[0], all), lubes.join(", ")),
        });
    }
    parts.dedup();
    if parts.len() > PARTS_NAMED {
        let more = parts.len() - PARTS_NAMED;
        parts.truncate(PARTS_NAMED);
        parts.push(format!("{more} more"));
    }
    Some(parts.join("; "))
}

/// The part, with its joint where another joint has one of that name.
fn part_name(row: &Row, all: &[&Row]) -> String {
    let part = clean(&row.fastener.part);
    let is_twice = all.iter().any(|other| {
        other.fastener.part == row.fastener.part && other.fastener.key != row.fastener.key
    });
    if is_twice { format!("{}, {part}", clean(&row.fastener.joint.name)) } else { part }
}

/// The lube of a setting, with its figure where `own`, those of its fastener, have that
/// lube twice.
fn setting_name(row: &Row, own: &[&Row], wanted: &UnitsWanted) -> String {
    let lube = cells::lube(&row.setting);
    let is_twice = own.iter().filter(|other| cells::lube(&other.setting) == lube).count() > 1;
    match is_twice {
        true => format!("{lube} {}", Pull::of_row(row, wanted).first()),
        false => lube,
    }
}
