//! Threads: one, both ends of a stud, or a thread with the length after it.

use super::numbers::turned_into_date;
use super::{Context, read_quantity, strength_named};
use crate::intake::verdict::{Problem, Reading, Taken};
use crate::intake::words::{SERIES, plain_words};
use crate::quantity::{Length, Stated, find_unit};
use crate::text::{Plain, with_fractions};
use crate::thread::{Thread, ThreadError};

const REWRITTEN: &str = "another way to write it";

/// What a thread cell says.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ThreadCell {
    /// The thread that turns: a stud's nut end.
    pub(crate) thread: Thread,
    /// A stud's hole end.
    pub(crate) hole: Option<Thread>,
    /// The length written after the thread.
    pub(crate) length: Option<Stated<Length>>,
    /// The grade written after the thread, by its name in the book.
    pub(crate) strength: Option<String>,
    /// The pitch was not written.
    pub(crate) is_assumed: bool,
    /// How many there are, written before the thread.
    pub(crate) count: Option<u32>,
}

impl ThreadCell {
    fn single(thread: Thread) -> Self {
        Self { thread, hole: None, length: None, strength: None, is_assumed: false, count: None }
    }
}

pub(crate) fn read_thread(cell: &str, context: Context) -> Reading<ThreadCell> {
    let taken = read_plain(&with_fractions(cell), context)?;
    // `M10 Feingew.`: the coarse pitch is not what is meant.
    if taken.value.is_assumed && taken.words.iter().any(|words| says_fine(words)) {
        let size = taken.value.thread.to_string();
        let size = size.split('x').next().unwrap_or_default();
        return match Thread::parse(&format!("{size} fine")) {
            Ok(thread) => Ok(taken.map(|cell| ThreadCell { thread, ..cell })),
            Err(error) => Err(problem(size, &error)),
        };
    }
    Ok(taken)
}

/// Whether words behind a size say that its pitch is a fine one.
fn says_fine(words: &str) -> bool {
    const FINE: &[&str] = &["fine", "fein", "fijn", "fin", "fino", "fina", "fini", "fg", "mf", "f"];
    let folded = plain_words(words);
    folded
        .split(' ')
        .any(|word| FINE.contains(&word) || word.starts_with("feing") || word.starts_with("fijn"))
}

fn read_plain(cell: &str, context: Context) -> Reading<ThreadCell> {
    let plain = Plain::new(cell);
    let text = plain.as_str().trim();
    let error = match Thread::parse(text) {
        Ok(thread) => {
            let taken = Taken::plain(ThreadCell::single(thread.clone()));
            let said = thread.to_string();
            // 1-14 is 1-14 UNS, and M10x1.0 is M10x1: no need to say so.
            // So is 7/16-20 UNF, as an export writes it for spreadsheets.
            let in_full = format!("{said} {}", thread.series().symbol());
            if thread.class().is_some() && thread.tpi().is_none() && !context.names.is_typed {
                let taken = if said == text { taken } else { taken.echo("thread", REWRITTEN) };
                return Ok(class_apart(taken));
            }
            let plainly = bare(&said).starts_with(&bare(text)) || bare(&in_full) == bare(text);
            return Ok(if plainly { taken } else { taken.echo("thread", REWRITTEN) });
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
    let readers: [fn(&str, Context) -> Option<Reading<ThreadCell>>; 6] =
        [with_count, two_parts, compact, with_words, with_length, after_words];
    if let Some(reading) = readers.into_iter().find_map(|read| read(text, context)) {
        return reading;
    }
    if let Some(problem) = cross_for_dash(text) {
        return Err(problem);
    }
    if let Some(again) = nearly(text)
        && let Ok(thread) = Thread::parse(&again)
    {
        let reason = format!("`{text}` is nearly a thread");
        return Err(Problem::question("thread", reason, vec![thread.to_string()]));
    }
    // One inch: the numbered size of that name is a watchmaker's.
    let inch =
        matches!(error, ThreadError::NumberOrInches(1)).then(|| text.replacen('1', "1\"", 1));
    if let Some(again) = inch.or_else(|| rewritten(text)) {
        return match Thread::parse(&again) {
            Ok(thread) => {
                Ok(Taken::plain(ThreadCell::single(thread.clone())).echo("thread", REWRITTEN))
            }
            Err(error) => Err(problem(text, &error)),
        };
    }
    let length = length_without_pitch(text).map(Err);
    if let Some(reading) = length.or_else(|| with_unknown(text, context)) {
        return reading;
    }
    let is_metric = text.starts_with(['M', 'm']);
    assumed(&error).filter(|_| is_metric).unwrap_or_else(|| Err(problem(text, &error)))
}

/// `4x M16`: the thread, and how many.
fn with_count(text: &str, context: Context) -> Option<Reading<ThreadCell>> {
    let (count, rest) = counted(text).or_else(|| counted_behind(text))?;
    Some(read_thread(rest, context).map(|mut taken| {
        taken.value.count = Some(count);
        taken.echo("thread-count", "a number beside the thread says how many")
    }))
}

/// `M16x2 (12 off)`.
fn counted_behind(text: &str) -> Option<(u32, &str)> {
    let (rest, inside) = text.strip_suffix(')')?.rsplit_once('(')?;
    let digits = inside.bytes().take_while(u8::is_ascii_digit).count();
    let count: u32 = inside[..digits].parse().ok().filter(|count| (1..=999).contains(count))?;
    let word = inside[digits..].trim().trim_end_matches('.').to_lowercase();
    COUNTING[3..].contains(&word.as_str()).then(|| (count, rest.trim()))
}

/// Words behind a number that says how many; the first three are signs.
const COUNTING: &[&str] = &[
    "x", "×", "*", "off", "pcs", "pc", "ea", "no", "nr", "stk", "stück", "st", "pz", "uds", "szt",
];

/// `4x M16`, `10 off M11 x 1.5 x 145`: how many, and what stands behind.
pub(crate) fn counted(text: &str) -> Option<(u32, &str)> {
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    let count: u32 = text[..digits].parse().ok().filter(|count| (1..=999).contains(count))?;
    let after = text[digits..].trim_start();
    let rest = COUNTING.iter().find_map(|word| {
        let is_it = after.get(..word.len()).is_some_and(|start| start.eq_ignore_ascii_case(word));
        is_it.then(|| after[word.len()..].trim_start_matches(['.', ' ']))
    })?;
    let is_metric = rest.starts_with(['M', 'm'])
        && rest[1..].starts_with(|c: char| c.is_ascii_digit() || c == ' ');
    let is_inch = || rest.split(' ').next().is_some_and(|first| Thread::parse(first).is_ok());
    (is_metric || is_inch()).then_some((count, rest))
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

/// Words that belong to a thread, beside those for its series.
const GRAMMAR: &[&str] = &[
    "coarse", "fine", "lh", "rh", "left", "right", "hand", "extra", "x", "in", "inch", "mm", "tpi",
    "thread",
];

fn is_of_thread(word: &str) -> bool {
    [SERIES, GRAMMAR].iter().any(|list| list.contains(&word))
}

/// `1/2-20 nut`, `M12 bolt`, `M8x1.25 hex head`: a thread with words that hold
/// no figure; they name the part where no column does.
fn with_words(text: &str, context: Context) -> Option<Reading<ThreadCell>> {
    let mut ends: Vec<usize> = text.match_indices([' ', ',', '(']).map(|(at, _)| at).collect();
    ends.reverse();
    for at in ends {
        let (head, tail) =
            (text[..at].trim(), text[at..].trim_matches([' ', ',', '(', ')', ':', '-']));
        let words: Vec<String> = tail.split([' ', ',']).map(str::to_lowercase).collect();
        let sound = !tail.is_empty()
            && !tail.contains(|c: char| c.is_ascii_digit())
            && words.iter().all(|word| !is_of_thread(word.trim_matches(['(', ')', '.'])));
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

/// `M30 cap screw geom321`: a thread, and words with figures that say no pitch and no length.
fn with_unknown(text: &str, context: Context) -> Option<Reading<ThreadCell>> {
    const PITCH: &[&str] = &["pitch", "p", "steigung", "pas", "paso", "passo", "spoed"];
    let (head, tail) = text.split_once([' ', ','])?;
    let mut words = tail.split([' ', ',']).filter(|word| !word.is_empty());
    let first = words.clone().next()?;
    let is_word = first.chars().take_while(|c| c.is_alphabetic()).count() > 1;
    let is_pitch = |word: &str| {
        let is_figure = word.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | '/'));
        PITCH.contains(&&*word.to_lowercase())
            || is_of_thread(&word.to_lowercase())
            || is_figure && word.contains(['.', '/'])
    };
    let taken = read_bare(head).ok()?;
    if !is_word || words.any(is_pitch) || context.has_keys {
        return None;
    }
    let reason = format!("`{tail}` is not understood after the thread: kept in the notes");
    Some(Ok(taken.saying(format!("{head} {tail}")).warn(
        "thread-words",
        reason,
        "look whether it matters",
    )))
}

/// `7/16x20`: a cross where a dash parts the threads per inch.
fn cross_for_dash(text: &str) -> Option<Problem> {
    let (size, tpi) = text.split_once(['x', 'X'])?;
    tpi.trim().parse::<u32>().ok()?;
    let thread = Thread::parse(&format!("{}-{}", size.trim(), tpi.trim())).ok()?;
    thread.tpi()?;
    let reason = format!("`{text}`: is {} the threads per inch", tpi.trim());
    Some(Problem::question("cross-for-dash", reason, vec![thread.to_string()]))
}

/// No pitch is larger, in mm: what stands after a larger size is a length.
const LARGEST_PITCH: f64 = 6.0;

/// `M8x30`, `M12 x 45 8.8`, `M12x1.75 12.9`, `1/4-20 x 1 screw`: a thread with what
/// is ordered with it.
fn with_length(text: &str, context: Context) -> Option<Reading<ThreadCell>> {
    let marks = text.char_indices().filter(|(_, c)| matches!(c, 'x' | 'X' | '*' | ' ' | '-'));
    for (at, mark) in marks {
        let (head, rest) = (text[..at].trim(), text[at + 1..].trim());
        // `M30x3.5-10.9`: behind a dash stands a grade, or what belongs to the thread.
        let mark = if mark == '-' { ' ' } else { mark };
        let Ok(mut taken) = read_bare(head) else { continue };
        let is_metric = taken.value.thread.tpi().is_none();
        if text[at..].starts_with('-') && !is_metric {
            continue;
        }
        let tail = if mark == ' ' {
            rest
        } else {
            let Some((figure, tail)) = leading_length(rest) else { continue };
            let unit = find_unit(if is_metric { "mm" } else { "in" });
            let context = Context { unit, ..context };
            let Ok(length) = read_quantity::<Length>(figure, context) else { continue };
            let length = length.value;
            if taken.value.is_assumed && length.value().mm() <= LARGEST_PITCH {
                continue;
            }
            taken.value.length = Some(length);
            taken = taken.echo("thread-length", "thread and length in one cell");
            tail
        };
        if let Some(words) = ordered(tail, context, &mut taken.value) {
            let has_grade = taken.value.strength.is_some();
            if mark != ' ' || has_grade || is_class(&words) {
                return Some(Ok(if words.is_empty() { taken } else { taken.saying(words) }));
            }
        }
    }
    None
}

/// `3/8x1 grade 5`: the pitch is asked for, the rest stays.
fn length_without_pitch(text: &str) -> Option<Problem> {
    let (size, rest) = text.split_once(['x', 'X'])?;
    leading_length(rest.trim())?;
    let Err(problem) = read_bare(size.trim()) else { return None };
    let readings = problem.readings?.iter().map(|one| format!("{one} x {}", rest.trim())).collect();
    Some(Problem::question(problem.code, problem.reason, readings))
}

/// A thread alone, or a metric size whose pitch is the coarse one.
fn read_bare(text: &str) -> Reading<ThreadCell> {
    match Thread::parse(text) {
        Ok(thread) => Ok(Taken::plain(ThreadCell::single(thread))),
        Err(error) if text.starts_with(['M', 'm']) => {
            assumed(&error).unwrap_or_else(|| Err(problem(text, &error)))
        }
        Err(error) => Err(problem(text, &error)),
    }
}

/// The length at the start of `text` with its unit, and what follows.
fn leading_length(text: &str) -> Option<(&str, &str)> {
    let figures = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | '-' | ' ');
    let end = text.find(|c| !figures(c)).unwrap_or(text.len());
    // `45 8.8`: a blank ends a length, but `1 1/2` is one.
    let words: Vec<&str> = text[..end].split(' ').filter(|word| !word.is_empty()).collect();
    let is_mixed = words.get(1).is_some_and(|second| second.contains('/'));
    let count = if is_mixed { 2 } else { 1 };
    let last = words.get(count - 1)?;
    let length = last.as_ptr() as usize + last.len() - text.as_ptr() as usize;
    let unit = ["mm", "\"", "inch", "in"].iter().find(|unit| {
        text[length..]
            .trim_start()
            .strip_prefix(**unit)
            .is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
    });
    let after = text[length..].trim_start();
    let whole = unit.map_or(length, |unit| text.len() - after.len() + unit.len());
    Some((&text[..whole], text[whole..].trim_start_matches([' ', ',', '-', '('])))
}

/// What stands behind a thread: a grade goes into `cell`, words without a figure are
/// given back; none if there is anything else.
fn ordered(tail: &str, context: Context, cell: &mut ThreadCell) -> Option<String> {
    let words: Vec<&str> = tail.split([' ', ',']).filter(|word| !word.is_empty()).collect();
    let grade = |words: &[&str]| strength_named(&words.join(" "), context.names);
    let at = (0..words.len()).find_map(|from| {
        let end = (from + 1..=words.len()).rev().find(|end| grade(&words[from..*end]).is_some())?;
        Some((from, end))
    });
    let (from, end) = at.unwrap_or((words.len(), words.len()));
    cell.strength = grade(&words[from..end]);
    let rest = [&words[..from], &words[end..]].concat().join(" ");
    let is_plain = is_class(&rest) || !rest.contains(|c: char| c.is_ascii_digit());
    is_plain.then(|| rest.trim_matches([' ', ')', '(', '-']).to_owned())
}

/// `class 10`, which is one of nuts.
fn is_class(words: &str) -> bool {
    let folded = words.to_lowercase();
    ["class ", "cl ", "cl.", "kl.", "klasse ", "classe "]
        .iter()
        .any(|word| folded.starts_with(word))
}

/// `Pulley 7/16-14`: words without a figure, then a thread.
fn after_words(text: &str, context: Context) -> Option<Reading<ThreadCell>> {
    let at = text.find(|c: char| c.is_ascii_digit())?;
    let start = text[..at].rfind(' ')? + 1;
    let (words, rest) = (text[..start].trim(), &text[start..]);
    let is_words = words.chars().filter(|c| c.is_alphabetic()).count() >= 2;
    let folded = words.to_ascii_lowercase();
    if !is_words || SERIES.contains(&folded.as_str()) || folded == "tr" {
        return None;
    }
    let words = words.trim_end_matches([',', ':', '-', ' ']);
    match read_thread(rest, context) {
        Ok(taken) => Some(Ok(taken.saying(words))),
        // What must be asked for is.
        Err(problem) if problem.readings.is_some() => Some(Err(problem)),
        Err(_) => None,
    }
}

/// The coarse thread of a metric size without a pitch; the assumption is said.
fn assumed(error: &ThreadError) -> Option<Reading<ThreadCell>> {
    let coarse = error.assumed()?;
    let cell = ThreadCell { is_assumed: true, ..ThreadCell::single(coarse.clone()) };
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
            let cell = ThreadCell { length: Some(length.value), ..ThreadCell::single(first) };
            return Some(Ok(
                Taken::plain(cell).echo("thread-length", "thread and length in one cell")
            ));
        }
    }
    None
}

fn both_ends(hole: Thread, nut: Thread) -> Taken<ThreadCell> {
    let said = format!("a stud: {hole} in the hole, {nut} takes the nut and the torque");
    let cell = ThreadCell { hole: Some(hole), ..ThreadCell::single(nut) };
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
    if let Some((series, rest)) = upper.split_once([' ', '-'])
        && SERIES.contains(&series.to_ascii_lowercase().as_str())
    {
        return Some(format!("{} {series}", rest.trim_matches([' ', '-'])));
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
