//! Which lines of the log are asked for.

use std::collections::BTreeSet;

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use crate::audit::is_other_lube;
use crate::cli::clock;
use crate::cli::complete;
use crate::cli::exit::{Failure, wrong};
use crate::cli::globals::Globals;
use crate::cli::question::ask;
use crate::record::{NameOf, Pull, PullKind};
use crate::store::Book;
use crate::text::fold_name;

// Which lines.
#[derive(Debug, Clone, Default, clap::Args)]
pub(in crate::cli) struct Which {
    /// A line's number, or a question that picks fasteners
    #[arg(value_name = "LINE|QUESTION", add = complete::question())]
    pub words: Vec<String>,
    /// Of this job
    #[arg(long)]
    pub job: Option<String>,
    /// By this person
    #[arg(long)]
    pub who: Option<String>,
    /// With this wrench
    #[arg(long, add = complete::named(NameOf::Wrench))]
    pub wrench: Option<String>,
    /// With this lube
    #[arg(long, add = complete::named(NameOf::Lube))]
    pub lube: Option<String>,
    /// What was done: tightened, trial assembly, retorqued, checked, loosened
    #[arg(long, value_name = "WORD")]
    pub did: Option<String>,
    /// Of this bolt set
    #[arg(long, add = complete::set())]
    pub set: Option<String>,
    /// From this day on
    #[arg(long, value_name = "DAY")]
    pub since: Option<String>,
    /// Only where another lube was put on than the setting names
    #[arg(long)]
    pub other_lube: bool,
    /// Corrected lines too
    #[arg(long)]
    pub all: bool,
    /// Bolts with at least so many tightenings
    #[arg(long, value_name = "N")]
    pub cycles: Option<u32>,
}

pub(super) fn chosen<'a>(
    globals: &Globals,
    which: &Which,
    book: &'a Book,
) -> Result<Vec<&'a Pull>, Failure> {
    let log = book.log()?;
    let from = which.since.as_deref().map(|text| day_start("--since", text)).transpose()?;
    let did = which.did.as_deref().map(kind).transpose()?;
    let answer = (!which.words.is_empty()).then(|| ask(globals, &which.words, book)).transpose()?;
    let keys: Option<BTreeSet<String>> =
        answer.map(|answer| answer.rows.iter().map(|row| row.fastener.key.clone()).collect());
    let is = |asked: &Option<String>, found: Option<&str>| {
        let same = |asked: &String| found.is_some_and(|f| fold_name(f) == fold_name(asked));
        asked.as_ref().is_none_or(same)
    };
    let fits = |pull: &Pull| {
        let key = pull.spec.key.split('/').next().unwrap_or_default();
        is(&which.job, Some(&pull.job))
            && is(&which.who, pull.who.as_deref())
            && is(&which.wrench, pull.wrench.as_ref().map(|wrench| wrench.name.as_str()))
            && is(&which.lube, pull.lube.as_deref())
            && is(&which.set, pull.set.as_deref())
            && did.is_none_or(|did| did == pull.kind)
            && from.is_none_or(|from| pull.at >= from)
            && keys.as_ref().is_none_or(|keys| keys.contains(key))
            && (!which.other_lube || is_other_lube(pull, book.tables()))
    };
    let lines = log.lines().iter();
    let holds = |pull: &&Pull| which.all || log.corrected_by(pull.number).is_none();
    Ok(lines.filter(holds).filter(|pull| fits(pull)).collect())
}

fn kind(text: &str) -> Result<PullKind, Failure> {
    PullKind::find(text).ok_or_else(|| {
        wrong("--did", format!("`{text}` is none of {}", PullKind::NAMES.join(", ")))
    })
}

/// Where a day begins on the reader's clock; today and yesterday are days too.
pub(super) fn day_start(option: &str, text: &str) -> Result<Timestamp, Failure> {
    let today = clock::now().to_zoned_datetime(TimeZone::system()).date();
    let day: Option<Date> = match fold_name(text).as_str() {
        "today" => Some(today),
        "yesterday" => today.yesterday().ok(),
        other => other.parse().ok(),
    };
    let start = day.and_then(|day| day.to_zoned_datetime(TimeZone::system()).ok());
    start.map(|zoned| zoned.timestamp()).ok_or_else(|| {
        wrong(option, format!("`{text}` is no day: write 2026-05-04, today or yesterday"))
    })
}
