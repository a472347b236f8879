//! What `log add` and `log correct` share: the fields that are typed, and what
//! is to be said of a line once it is made.

use jiff::tz::TimeZone;

use crate::audit::is_other_lube;
use crate::cli::exit::{Code, Failure, argument, wrong};
use crate::cli::named;
use crate::cli::out::Out;
use crate::procedure::Usable;
use crate::quantity::{Extent, Torque};
use crate::record::{
    Aids, Calibration, LOG_LINES, PassDone, PassWish, Pull, Row, WrenchWish, plan_passes,
};
use crate::report::{self, LogLine};
use crate::store::{Book, Change, StoreError, Writer};
use crate::text::fold_name;

/// The words of a question, and the pairs `field=value` among them.
pub(super) fn parted(words: &[String]) -> (Vec<String>, Vec<(&str, &str)>) {
    let mut question = Vec::new();
    let mut pairs = Vec::new();
    for word in words {
        match word.split_once('=') {
            Some((field, text)) if is_field(field) => pairs.push((field, text)),
            _ => question.push(word.clone()),
        }
    }
    (question, pairs)
}

/// Whether it could be a field's name: a comparison such as `torque>=70` is not.
fn is_field(text: &str) -> bool {
    !text.is_empty() && text.chars().all(|c| c.is_alphanumeric() || c == '-' || c == '_')
}

/// Sets the fields that were typed; a wrench and a bolt set must be in the book.
pub(super) fn set_all(pull: &mut Pull, pairs: &[(&str, &str)], book: &Book) -> Result<(), Failure> {
    for (at, (field, text)) in pairs.iter().enumerate() {
        if pairs[..at].iter().any(|(other, _)| fold_name(other) == fold_name(field)) {
            return argument(format!("{field} is given twice"));
        }
        let text = with_position(field, text);
        LOG_LINES.set(pull, field, &text).map_err(|error| Failure::Argument(error.to_string()))?;
    }
    settle(pull, book)
}

/// `reached=65 lb-ft` is that of all.
fn with_position(field: &str, text: &str) -> String {
    let is_bare = ["reached", "final", "values"].contains(&fold_name(field).as_str())
        && !text.contains(':')
        && !matches!(text.trim(), "" | "-");
    if is_bare { format!("all: {text}") } else { text.to_owned() }
}

/// The wrench as it stood on the line's day, with its calibration; a name that the
/// book does not know is refused. So is a bolt that is none of its set.
pub(super) fn settle(pull: &mut Pull, book: &Book) -> Result<(), Failure> {
    if let Some(used) = &pull.wrench {
        let day = pull.at.to_zoned_datetime(TimeZone::system()).date();
        pull.wrench = Some(named::wrench(book, &used.name)?.used_on(day));
    }
    pull.set = set_of(pull, book)?;
    Ok(())
}

/// The bolt set of a line as the book calls it: it must be of the line's
/// fastener and have the bolts that were read.
pub(super) fn set_of(pull: &Pull, book: &Book) -> Result<Option<String>, Failure> {
    let Some(name) = &pull.set else { return Ok(None) };
    let set = named::bolt_set(book, name)?;
    let own = pull.spec.key.split('/').next().unwrap_or_default();
    if set.fastener != own {
        return argument(format!("set {} is of {}, not of {own}", set.name, set.fastener));
    }
    let is_bolt = |position: &str| {
        fold_name(position) == "all"
            || set.bolts.iter().any(|bolt| fold_name(&bolt.position) == fold_name(position))
    };
    if let Some(other) = pull.reached.iter().find(|reached| !is_bolt(&reached.position)) {
        let names: Vec<&str> = set.bolts.iter().map(|bolt| bolt.position.as_str()).collect();
        let names = names.join(", ");
        return argument(format!(
            "set {} has no bolt `{}`; it has {names}",
            set.name, other.position
        ));
    }
    Ok(Some(set.name))
}

/// What is doubtful in a line; it is written all the same, for it happened.
pub(super) fn warn(line: &LogLine<'_>, out: &mut Out) {
    let (pull, other_lube) = (line.pull, line.other_lube);
    let line = line.numbered();
    if other_lube {
        let (put, named) = (pull.lube.as_deref(), pull.spec.setting.lube.as_deref());
        out.say(&format!(
            "warning: line {line}: {} was put on, the setting is for {}: each torque is for its \
             own lube only",
            put.unwrap_or_default(),
            named.unwrap_or(crate::record::NOT_STATED)
        ));
    }
    if let (true, Some(wrench)) = (pull.is_wrench_overdue(), &pull.wrench) {
        let due = wrench.due.map(|due| due.to_string()).unwrap_or_default();
        out.say(&format!("warning: line {line}: wrench {} was due on {due}", wrench.name));
    }
}

/// Readings that the wrench cannot show, or that are not what the setting asks for.
fn doubts(pull: &Pull, book: &Book) -> Vec<String> {
    let known = pull.wrench.as_ref().and_then(|used| named::wrench(book, &used.name).ok());
    let usable = known.as_ref().and_then(|wrench| wrench.scale().ok()?.usable().ok());
    let setting = &pull.spec.setting;
    let mut doubts = Vec::new();
    let day = pull.at.to_zoned_datetime(TimeZone::system()).date();
    if let Some(wrench) = &known
        && let found_out @ Some(out) = wrench.found_out()
        && out <= day
        && let Some(warning) = (Calibration { found_out, ..Calibration::default() }).warning()
    {
        doubts.push(format!("wrench {}: {warning}", wrench.name));
    }
    if let (Some(wrench), Some(torque), true) = (&known, pull.wanted(), pull.tightenings() > 0)
        && let Ok(shown) = wrench.setting(torque, &Aids::default())
        && !shown.is_usable()
    {
        doubts.push(format!("{torque}: wrench {} {}", wrench.name, shown));
    }
    let is_shown = |torque: Torque| {
        let of = |usable: Usable| usable.low.nm() - 1e-9..=usable.high.nm() + 1e-9;
        usable.is_none_or(|usable| of(usable).contains(&torque.nm()))
    };
    // With an adapter the passes are torques at the nut.
    let ticked = pull.passes.iter().filter(|pass| pass.done && pull.set_to.is_none());
    let to = |pass: &&PassDone| Extent::<Torque>::parse(&pass.to).ok().and_then(Extent::target);
    let unfit = ticked.filter(|pass| to(pass).is_some_and(|torque| !is_shown(torque)));
    let unfit: Vec<&str> = unfit.map(|pass| pass.to.as_str()).collect();
    if !unfit.is_empty() {
        let unfit = unfit.join(", ");
        doubts.push(format!("pass {unfit}: outside what this wrench can show"));
    }
    for reached in &pull.reached {
        let at = &reached.position;
        if let Some(read) = reached.torque.filter(|read| !is_shown(read.value())) {
            doubts.push(format!("{at}: {read} is outside what this wrench can show"));
        }
        if let Some(tolerance) = setting.tolerance
            && reached.is_off(pull, tolerance.value().value())
        {
            doubts.push(format!("{at}: outside the setting's tolerance of {tolerance}"));
        }
        if let (true, Some(read), Some(window)) =
            (reached.is_off_stretch(setting), reached.stretch, setting.stretch)
        {
            doubts.push(format!("{at}: stretch {read} is outside {window}"));
        }
    }
    doubts
}

pub(super) fn dressed<'a>(
    book: &'a Book,
    lines: impl IntoIterator<Item = &'a Pull>,
) -> Result<Vec<LogLine<'a>>, StoreError> {
    let (log, written) = (book.log()?, book.log_written()?);
    let dress = |pull: &'a Pull| {
        let at = usize::try_from(pull.number).ok().and_then(|number| number.checked_sub(1));
        let written = at.and_then(|at| written.get(at));
        LogLine {
            pull,
            is_unsent: log.is_unsent(pull.number),
            other_lube: is_other_lube(pull, book.tables()),
            corrected_by: log.corrected_by(pull.number),
            instead: log.holds_for(pull.number),
            found_out: None,
            written_by: written.map_or("", |by| by.who.as_str()),
            written_at: written.map_or("", |by| by.when.as_str()),
        }
    };
    Ok(lines.into_iter().map(dress).collect())
}

/// Says that the log has no such line.
pub(super) fn no_line(number: u64, book: &Book, out: &mut Out) -> Result<Code, Failure> {
    let lines = book.log()?.lines().len();
    Ok(out.not_there(&format!("the log has no line {number}; it has {lines}")))
}

/// The passes of the setting, each ticked.
pub(super) fn passes(book: &Book, row: &Row, pull: &Pull) -> Result<Vec<PassDone>, Failure> {
    let named = pull.wrench.as_ref().map(|used| named::wrench(book, &used.name));
    let scale = named.transpose()?.and_then(|wrench| wrench.scale().ok());
    let wrench = scale.map_or(WrenchWish::Unknown, WrenchWish::Whole);
    let wish = PassWish { wrench, ..PassWish::default() };
    let plan = plan_passes(&row.fastener, &row.setting, book.tables(), &wish)
        .map_err(|error| wrong(&row.key, error))?;
    let done = |to: String| PassDone { to, done: true, value: None };
    Ok(report::pass_texts(&plan, row).into_iter().map(done).collect())
}

pub(super) fn write(writer: &mut Writer, pulls: Vec<Pull>, out: &mut Out) -> Result<Code, Failure> {
    let before = writer.book().log()?.lines().len();
    writer.apply(vec![Change::AppendPulls(pulls)]).map_err(|error| match error {
        // Not the book is at fault, but the line.
        crate::store::StoreError::Log(why) => Failure::Argument(why.to_string()),
        other => other.into(),
    })?;
    let book = writer.book();
    let new = dressed(book, &book.log()?.lines()[before..])?;
    out.page(&report::log_list(&new));
    for line in &new {
        warn(line, out);
        for text in doubts(line.pull, book) {
            out.say(&format!("warning: line {}: {text}", line.numbered()));
        }
    }
    Ok(Code::Answered)
}
