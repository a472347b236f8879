//! What can be read in two ways, or in none although it looks like a question:
//! asked back, with the forms that there are.

use crate::quantity::{Dimension, find_unit};
use crate::query::ear::comparisons::{field_before, lacks_field};
use crate::query::ear::table::Piece;
use crate::query::ear::tools;
use crate::query::ear::words::{QuestionWords, is_measure, is_name};
use crate::query::syntax::{Class, Keyword};
use crate::record::{NameOf, Vocabulary};
use crate::text::{Diagnostic, Span};

/// Whether `word`, in lower case, may be refused here.
pub(super) fn may_be(word: &str) -> bool {
    let starts_figure = word.starts_with(|c: char| c.is_ascii_digit());
    matches!(
        word,
        "near" | "close" | "average" | "high" | "wrench" | "checked" | "checked-by" | "width"
    ) || starts_figure && (word.contains('e') || word.ends_with('.'))
        || word.contains(',') && word.contains(|c: char| c.is_ascii_digit())
}

/// The first of them in `words`.
pub(super) fn check(words: &QuestionWords<'_>, names: &Vocabulary) -> Result<(), Diagnostic> {
    for at in 0..words.len() {
        let refusals = [
            comma_in_figure(words, at),
            odd_figure(words, at),
            two_words(words, at, names),
            checked(words, names, at),
            tools::which_unit(words, at, names),
            wrench(words, at, names),
            which_field(words, at, names),
            per_what(words, at, names),
            shell(words, at, names),
        ];
        if let Some(found) = refusals.into_iter().flatten().next() {
            return Err(found);
        }
    }
    Ok(())
}

/// `60,5 N.m` and `1,000 Nm`.
fn comma_in_figure(words: &QuestionWords<'_>, at: usize) -> Option<Diagnostic> {
    let (first, comma, second) = (words.get(at)?, words.get(at + 1)?, words.get(at + 2)?);
    let is_tight = comma.class == Class::Comma
        && first.span.end == comma.span.start
        && comma.span.end == second.span.start;
    let is_whole =
        matches!(first.class, Class::Number(_)) && first.text.bytes().all(|b| b.is_ascii_digit());
    if is_tight && let (Class::Thread(_), Class::Number(_)) = (&first.class, &second.class) {
        let (span, text) = (first.span.to(second.span), format!("{},{}", first.text, second.text));
        let refused = Diagnostic::new(
            "comma-in-figure",
            span,
            format!("`{text}` has a comma"),
            "expected a point",
        );
        return Some(refused.offer([format!("{}.{}", first.text, second.text)]));
    }
    let of_measure = at > 0 && (words.field_is(at - 1, is_measure) || words.relates(at - 1));
    let fits = match second.class {
        Class::Quantity(_) => true,
        Class::Number(_) => of_measure,
        _ => false,
    };
    if !is_tight || !is_whole || !fits || second.text.contains('.') && !second.text.contains("N.m")
    {
        return None;
    }
    let unit_at = second.text.find(|c: char| !c.is_ascii_digit()).unwrap_or(second.text.len());
    let (decimals, unit) = second.text.split_at(unit_at);
    let span = first.span.to(second.span);
    let message = format!("`{},{}` can be read in two ways", first.text, second.text);
    let thousands = if decimals.len() == 3 {
        format!("{}{decimals}{unit}", first.text)
    } else {
        format!("{}{unit}, {decimals}{unit}", first.text)
    };
    let instead = [format!("{}.{decimals}{unit}", first.text), thousands];
    Some(
        Diagnostic::new("comma-in-figure", span, message, "expected a point, or no comma")
            .offer(instead),
    )
}

/// `1e2`, `2½`, `5.`
fn odd_figure(words: &QuestionWords<'_>, at: usize) -> Option<Diagnostic> {
    let word = words.get(at)?;
    let text = word.text.split_whitespace().next()?;
    let length = text.bytes().take_while(u8::is_ascii_digit).count();
    let rest = &text[length..];
    let is_half = rest.starts_with(['½', '¼', '¾']);
    let is_power = rest.strip_prefix(['e', 'E']).is_some_and(|power| {
        let power = power.trim_start_matches(['+', '-']);
        !power.is_empty() && power.bytes().all(|byte| byte.is_ascii_digit())
    });
    if length == 0 || !(is_half || is_power || rest == ".") {
        return None;
    }
    let whole = &text[..length];
    let instead = match rest.chars().next() {
        Some('½') => vec![format!("{whole}.5"), format!("{whole}-1/2")],
        Some('¼') => vec![format!("{whole}.25"), format!("{whole}-1/4")],
        Some('¾') => vec![format!("{whole}.75"), format!("{whole}-3/4")],
        Some('.') => vec![whole.to_owned()],
        _ => text.parse().map(|value: f64| value.to_string()).into_iter().collect(),
    };
    let span = Span::new(word.span.start, word.span.start + text.len());
    let message = format!("`{text}` is no figure of this language");
    Some(
        Diagnostic::new("odd-figure", span, message, "expected digits, with a point or as n/d")
            .offer(instead),
    )
}

/// Two words that need a figure, or that no field answers: what is asked back, and the
/// forms that there are.
const ASKED_BACK: [(&[&str], &str, &str, &str, &[&str]); 6] = [
    (
        &["near", "yield"],
        "how-near",
        "how near?",
        "expected a share",
        &["of-yield over 90%", "of-yield over 80%"],
    ),
    (
        &["close", "to", "yield"],
        "how-near",
        "how near?",
        "expected a share",
        &["of-yield over 90%", "of-yield over 80%"],
    ),
    (
        &["near", "proof"],
        "how-near",
        "how near?",
        "expected a share",
        &["of-proof over 90%", "of-proof over 80%"],
    ),
    (
        &["high", "tensile"],
        "how-near",
        "how high?",
        "expected a class or a stress",
        &["class 10.9", "class 12.9", "tensile over 1000 MPa"],
    ),
    (&["width", "of"], "no-width", "the width of a range is no field", "expected a field", &[]),
    (&["average"], "no-average", "figures are not averaged", "expected a field", &[]),
];

fn two_words(words: &QuestionWords<'_>, at: usize, names: &Vocabulary) -> Option<Diagnostic> {
    let is_typed =
        |row: &&[&str]| row.iter().enumerate().all(|(i, word)| words.lower(at + i) == *word);
    let (typed, code, message, label, offers) =
        ASKED_BACK.into_iter().find(|row| is_typed(&row.0))?;
    let found = Diagnostic::new(code, words.span(at, at + typed.len()), message, label);
    match offers {
        [] if words.is_in_name(at, names) => None,
        [] if typed.len() == 1 => Some(found.help("`sort torque` puts them in order")),
        [] => Some(found.help(
            "the torque has both ends; the ends of the band of a clamp are clamp-low and clamp-high",
        )),
        offers => Some(found.offer(offers.iter().map(|offer| (*offer).to_owned()))),
    }
}

/// A check has a person, and no day: none that follows is one of a sheet, unless a field
/// or a comma says so.
fn checked(words: &QuestionWords<'_>, names: &Vocabulary, at: usize) -> Option<Diagnostic> {
    if !matches!(words.lower(at).as_str(), "checked" | "checked-by") {
        return None;
    }
    let is_free = |at: &usize| {
        words.class(*at) != Some(&Class::Comma) && !words.fits(*at, Piece::DateField, names)
    };
    let day = (at + 1..words.len()).take_while(is_free).find(|day| {
        matches!(words.lower(*day).as_str(), "before" | "after" | "since")
            && (*day == at + 1 || words.fits(day + 1, Piece::Date, names))
    });
    let is_day = day.is_some() || words.relates(at + 1);
    is_day.then(|| {
        Diagnostic::new(
            "no-day",
            words.span(at, at + 1),
            "the day of a check is not kept: checked-by is a name",
            "expected a field of dates",
        )
        .offer(["entered-on", "source-date"])
    })
}

fn wrench(words: &QuestionWords<'_>, at: usize, names: &Vocabulary) -> Option<Diagnostic> {
    let is_wrench = words.lower(at) == "wrench" && !words.is_in_name(at, names);
    // `on wrench W2`, `19 mm wrench` and `wrench size`, and `a 20..100 N.m wrench`.
    let is_tool = matches!(words.lower(at + 1).as_str(), "size" | "fits" | "for" | "do");
    let is_led = is_tool
        || at > 0
            && (matches!(
                words.lower(at - 1).as_str(),
                "on" | "size" | "biggest" | "largest" | "smallest"
            )
                || words.fits(at - 1, Piece::Size, names)
                || at > 1 && words.class(at - 2) == Some(&Class::Range))
        // `wrench 18`
        || matches!(words.class(at + 1), Some(Class::Number(_)))
        || words.fits(at + 1, Piece::Size, names)
        // `my wrench does 10 to 60 ft lb`.
        || (at + 1..at + 5).any(|near| words.class(near) == Some(&Class::Range));
    if !is_wrench || is_led || words.fits(at + 1, Piece::Wrench, names) {
        return None;
    }
    let found = Diagnostic::new(
        "which-wrench",
        words.span(at, at + 1),
        "a wrench is asked for by its name",
        "expected `on` and the name of a wrench",
    );
    let known = names.names(NameOf::Wrench);
    Some(match known.first() {
        Some(name) => {
            let named = format!("on {name}");
            found.offer([named]).help("`on` and its name: what it is set to for each row")
        }
        None => found.help("the book has none yet: `clampbook add wrench`"),
    })
}

/// A comparison without a field, of what several fields measure.
fn which_field(words: &QuestionWords<'_>, at: usize, names: &Vocabulary) -> Option<Diagnostic> {
    let Class::Quantity(quantity) = words.class(at + 1)? else { return None };
    if !words.relates(at) || !lacks_field(words, at, names) {
        return None;
    }
    let fields: &[&str] = match quantity.dimension() {
        Dimension::Length => &["length", "size", "grip", "engagement", "hole-depth", "stretch"],
        Dimension::Stress => &["stress", "proof", "yield", "tensile"],
        Dimension::Ratio => &["of-yield", "of-proof", "combined"],
        _ => return None,
    };
    let figure = words.get(at + 1)?;
    // The word after it names it: `over 80% yield`, `over 60 mm long`.
    let is_named = matches!(
        words.lower(at + 2).as_str(),
        "yield"
            | "proof"
            | "of"
            | "long"
            | "deep"
            | "engagement"
            | "grip"
            | "spanner"
            | "socket"
            | "wrench"
            | "hex"
            | "key"
    );
    let compared = format!("{} {}", words.lower(at), figure.text);
    let has_field = field_before(words, at, quantity.dimension()).is_some();
    (!is_named && !has_field).then(|| {
        Diagnostic::new(
            "which-field",
            words.span(at, at + 2),
            format!("{} of what?", figure.text),
            "expected a field before it",
        )
        .offer(fields.iter().map(|field| format!("{field} {compared}")))
    })
}

/// `how many bolts per cylinder`: rows are counted by a field.
fn per_what(words: &QuestionWords<'_>, at: usize, names: &Vocabulary) -> Option<Diagnostic> {
    let is_tally = |at: &usize| words.class(*at) == Some(&Class::Keyword(Keyword::Tally));
    let is_per = words.lower(at) == "per" && words.class(at) == Some(&Class::Word);
    let tally = (at + 2..words.len()).find(is_tally).filter(|_| is_per)?;
    let said = words.get(at + 1).filter(|_| !words.is_in_name(at, names))?;
    let message = format!("`{}` is no field to count by", said.text);
    // The offers are whole questions, in place of all of it.
    let span = words.span(0, words.len());
    let label = "expected a field after `per`";
    let found = Diagnostic::new("per-what", span, message, label);
    let rest: Vec<String> = (0..at).chain(at + 2..tally).map(|at| words.lower(at)).collect();
    let rest = rest.join(" ");
    Some(found.offer(["joint", "part"].map(|by| format!("{rest} tally {by} total qty"))))
}

/// `all`: nothing is left to look for.
pub(super) fn everything(typed: &str) -> Diagnostic {
    let span = Span::new(0, typed.len());
    Diagnostic::new(
        "everything",
        span,
        "that is the whole book: `clampbook export` writes it",
        "expected something to look for",
    )
    .offer(["tally joint", "tally assembly"])
}

/// `find torque > 100 Nm` without quotes: the shell keeps `> 100` to itself.
fn shell(words: &QuestionWords<'_>, at: usize, names: &Vocabulary) -> Option<Diagnostic> {
    if at == 0 || at + 1 != words.len() {
        return None;
    }
    let word = words.get(at)?;
    let is_unit =
        word.class == Class::Word && word.text.len() > 1 && find_unit(&word.text).is_some();
    let is_free = !matches!(words.lower(at - 1).as_str(), "in" | "to" | "units")
        && words.field_is(at - 1, is_measure);
    (is_unit && is_free && !is_name(&word.text, names)).then(|| {
        Diagnostic::new(
            "unit-alone",
            word.span,
            format!("`{}` has no figure", word.text),
            "expected a figure before it",
        )
        .help("a shell takes `>` and `<` for itself: over and under say the same, or quote the question")
    })
}
