//! Threads: one, both ends of a stud, or a thread with the length after it.

use super::numbers::turned_into_date;
use super::{Context, read_quantity};
use crate::intake::verdict::{Problem, Reading, Taken};
use crate::quantity::{Length, Stated, find_unit};
use crate::text::Plain;
use crate::thread::{Thread, ThreadError};

/// What a thread cell says.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ThreadCell {
    /// The thread that turns: a stud's nut end.
    pub(crate) thread: Thread,
    /// A stud's hole end.
    pub(crate) hole: Option<Thread>,
    /// The length written after the thread.
    pub(crate) length: Option<Stated<Length>>,
    /// The pitch was not written.
    pub(crate) is_assumed: bool,
}

impl ThreadCell {
    fn one(thread: Thread) -> Self {
        Self { thread, hole: None, length: None, is_assumed: false }
    }
}

pub(crate) fn read_thread(cell: &str, context: Context) -> Reading<ThreadCell> {
    let plain = Plain::new(cell);
    let text = plain.as_str().trim();
    let error = match Thread::parse(text) {
        Ok(thread) => {
            let taken = Taken::plain(ThreadCell::one(thread.clone()));
            let said = thread.to_string();
            // 1-14 is 1-14 UNS, and M10x1.0 is M10x1: no need to say so.
            // So is 7/16-20 UNF, as an export writes it for spreadsheets.
            let in_full = format!("{said} {}", thread.series().symbol());
            let plainly = bare(&said).starts_with(&bare(text)) || bare(&in_full) == bare(text);
            return Ok(if plainly {
                taken
            } else {
                taken.echo("thread", "another way to write it")
            });
        }
        Err(error) => error,
    };
    if let Some(date) = turned_into_date(text, "/") {
        return Err(date);
    }
    if text.len() == 5 && text.bytes().all(|byte| byte.is_ascii_digit()) {
        let reason = format!("`{text}` looks like the serial number of a date");
        return Err(Problem::refused("turned-into-date", reason, "type the thread again as text"));
    }
    if let Some(reading) = two_parts(text, context) {
        return reading;
    }
    if let Some(reading) = compact(text, context) {
        return reading;
    }
    if let Some(reading) = with_words(text, context) {
        return reading;
    }
    if let Some((size, tpi)) = text.split_once(['x', 'X'])
        && tpi.trim().parse::<u32>().is_ok()
        && let Ok(thread) = Thread::parse(&format!("{}-{}", size.trim(), tpi.trim()))
        && thread.tpi().is_some()
    {
        let reason = format!("`{text}`: is {} the threads per inch", tpi.trim());
        return Err(Problem::question("cross-for-dash", reason, vec![thread.to_string()]));
    }
    if let Some(again) = nearly(text)
        && let Ok(thread) = Thread::parse(&again)
    {
        let reason = format!("`{text}` is nearly a thread");
        return Err(Problem::question("thread", reason, vec![thread.to_string()]));
    }
    if let Some(again) = rewritten(text) {
        return match Thread::parse(&again) {
            Ok(thread) => Ok(Taken::plain(ThreadCell::one(thread.clone()))
                .echo("thread", "another way to write it")),
            Err(error) => Err(problem(text, &error)),
        };
    }
    let is_metric = text.starts_with(['M', 'm']);
    assumed(&error).filter(|_| is_metric).unwrap_or_else(|| Err(problem(text, &error)))
}

/// A thread without what only looks different: blanks, dashes, trailing zeros.
fn bare(text: &str) -> String {
    let text = text.to_ascii_lowercase().replace([' ', '-', '#'], "");
    let text = text.trim_end_matches("lh");
    match text.split_once('.') {
        Some(_) => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        None => text.to_owned(),
    }
}

/// `M8 x 1.25 - 6g`: blanks around signs taken out.
fn compact(text: &str, context: Context) -> Option<Reading<ThreadCell>> {
    let mut joined = text.to_owned();
    for sign in ["x", "X", "-", "/"] {
        joined = joined.replace(&format!(" {sign} "), sign).replace(&format!(" {sign}"), sign);
        joined = joined.replace(&format!("{sign} "), sign);
    }
    if let Some(rest) = joined.strip_prefix("M ") {
        joined = format!("M{rest}");
    }
    let may_be_thread = |first: char| first.is_ascii_digit() || "Mm#.".contains(first);
    (joined != text && joined.starts_with(may_be_thread))
        .then(|| Thread::parse(&joined).is_ok())
        .filter(|is_thread| *is_thread)
        .map(|_| read_thread(&joined, context))
        .map(|reading| reading.map(class_apart))
}

/// A tolerance class written apart from its thread is kept apart, in the notes.
fn class_apart(mut taken: Taken<ThreadCell>) -> Taken<ThreadCell> {
    let class = taken.value.thread.class().map(str::to_owned);
    if let Some(class) = class
        && let Ok(bare) = Thread::from_parts(
            taken.value.thread.series(),
            taken.value.thread.size(),
            taken.value.thread.pitch(),
            taken.value.thread.is_left_hand(),
            None,
        )
    {
        taken.value.thread = bare;
        return taken.saying(format!("class {class}"));
    }
    taken
}

/// `1/2-20 nut`, `M12 bolt`, `M8x1.25 hex head`: a thread with words that hold
/// no figure; they name the part where no column does.
fn with_words(text: &str, context: Context) -> Option<Reading<ThreadCell>> {
    const GRAMMAR: &[&str] = &[
        "coarse", "fine", "unc", "unf", "unef", "un", "uns", "lh", "rh", "left", "right", "hand",
        "npt", "bsw", "bsf", "ba", "bsp", "extra", "x", "in", "inch", "mm", "tpi", "thread", "unj",
        "unjf",
    ];
    let mut ends: Vec<usize> = text.match_indices([' ', ',', '(']).map(|(at, _)| at).collect();
    ends.reverse();
    for at in ends {
        let (head, tail) =
            (text[..at].trim(), text[at..].trim_matches([' ', ',', '(', ')', ':', '-']));
        let words: Vec<String> = tail.split([' ', ',']).map(str::to_lowercase).collect();
        let sound = !tail.is_empty()
            && !tail.contains(|c: char| c.is_ascii_digit())
            && words.iter().all(|word| !GRAMMAR.contains(&word.trim_matches(['(', ')', '.'])));
        if !sound {
            continue;
        }
        let is_thread = matches!(Thread::parse(head), Ok(_) | Err(ThreadError::PitchNeeded { .. }));
        if is_thread {
            return Some(read_thread(head, context).map(|taken| taken.saying(tail)));
        }
    }
    None
}

/// The coarse thread of a metric size without a pitch; the assumption is said.
fn assumed(error: &ThreadError) -> Option<Reading<ThreadCell>> {
    let coarse = error.assumed()?;
    let cell = ThreadCell { is_assumed: true, ..ThreadCell::one(coarse.clone()) };
    let reason = format!("the pitch is not written: the coarse {coarse} is assumed");
    Some(Ok(Taken::plain(cell).echo("pitch-assumed", reason)))
}

fn problem(text: &str, error: &ThreadError) -> Problem {
    match error {
        ThreadError::PitchNeeded { choices, .. } | ThreadError::ManyFine { choices, .. }
            if !choices.is_empty() =>
        {
            let readings = choices.iter().map(ToString::to_string).collect();
            Problem::question("pitch", format!("`{text}`: which pitch"), readings)
        }
        ThreadError::Trailing { thread, rest } if Thread::parse(thread).is_ok() => {
            let reason = format!("`{rest}` is not understood after the thread");
            Problem::question("thread", reason, vec![thread.clone()])
        }
        ThreadError::NumberOrInches(number) => {
            let readings = vec![format!("#{number}"), format!("{number}\"")];
            Problem::question("number-or-inches", error.to_string(), readings)
        }
        ThreadError::ParallelOrTaper(size) => {
            let readings = vec![format!("G {size}"), format!("R {size}")];
            Problem::question("parallel-or-taper", error.to_string(), readings)
        }
        _ => Problem::refused(
            "thread",
            error.to_string(),
            "write it as on the sheet, with its pitch",
        ),
    }
}

/// `7/16-14 x 7/16-20`, `M10x1.5 x 80`, `3/8-16 x 1-1/2`.
fn two_parts(text: &str, context: Context) -> Option<Reading<ThreadCell>> {
    let parts = text.match_indices(['x', 'X', '/', ',', '&', ';', '*']);
    for (at, mark) in parts {
        let Ok(first) = Thread::parse(text[..at].trim()) else { continue };
        let rest = text[at + mark.len()..].trim();
        match Thread::parse(rest) {
            Ok(second) => return Some(Ok(both_ends(first, second))),
            Err(error @ ThreadError::PitchNeeded { .. }) if !mark.eq_ignore_ascii_case("x") => {
                return Some(Err(problem(rest, &error)));
            }
            Err(_) => {}
        }
        if mark.eq_ignore_ascii_case("x") || mark == "*" || mark == "," {
            let metric = first.tpi().is_none();
            let unit = find_unit(if metric { "mm" } else { "in" });
            let context = Context { unit, ..context };
            let Ok(length) = read_quantity::<Length>(rest, context) else { continue };
            let cell = ThreadCell { length: Some(length.value), ..ThreadCell::one(first) };
            return Some(Ok(
                Taken::plain(cell).echo("thread-length", "thread and length in one cell")
            ));
        }
    }
    None
}

fn both_ends(hole: Thread, nut: Thread) -> Taken<ThreadCell> {
    let said = format!("a stud: {hole} in the hole, {nut} takes the nut and the torque");
    let cell = ThreadCell { hole: Some(hole), ..ThreadCell::one(nut) };
    Taken::plain(cell).echo("stud-ends", said)
}

/// `14 x 1.25`, `M10 1.5`, `M10/1.5`: a metric thread with a sign missing.
fn nearly(text: &str) -> Option<String> {
    let bare = text.strip_prefix(['M', 'm']).unwrap_or(text).trim();
    let digits = bare.bytes().take_while(u8::is_ascii_digit).count();
    let rest = bare[digits..].trim_start();
    let pitch = rest.trim_start_matches(['x', 'X', '/', '-', '*', ' ']);
    let sound = (1..=3).contains(&digits)
        && pitch.len() <= 4
        && pitch.starts_with(|c: char| c.is_ascii_digit())
        && pitch.contains(['.', ',']);
    sound.then(|| format!("M{}x{pitch}", &bare[..digits]))
}

/// `UNF 3/8` with the series first, `14mm`, `7/16 in-20`.
fn rewritten(text: &str) -> Option<String> {
    let upper = text.to_ascii_uppercase();
    for series in ["UNEF", "UNF", "UNC", "UN", "UNS", "BSW", "BSF", "NPT"] {
        if let Some(rest) = upper.strip_prefix(series).filter(|rest| rest.starts_with([' ', '-'])) {
            return Some(format!("{} {series}", rest.trim_matches([' ', '-'])));
        }
    }
    // A hand or a pitch in brackets: `M10x1.5 (LH)`.
    if let Some((body, note)) = text.split_once('(') {
        let note = note.trim_end_matches([')', ' ']).to_ascii_lowercase();
        let words = ["lh", "left hand", "left-hand", "rh", "fine", "coarse", "unf", "unc"];
        return words.contains(&note.as_str()).then(|| format!("{} {note}", body.trim()));
    }
    if let Some((size, pitch)) = upper.split_once("MM X") {
        return Some(format!("M{}x{}", size.trim(), pitch.trim()));
    }
    if let Some(size) = upper.strip_suffix("MM").map(str::trim) {
        return size.parse::<u32>().is_ok().then(|| format!("M{size}"));
    }
    text.contains(" in-").then(|| text.replacen(" in-", "-", 1))
}
