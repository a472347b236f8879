//! What can be read in two ways, or in none although it looks like a question:
//! asked back, with the forms that there are.

use crate::quantity::{Dimension, find_unit};
use crate::query::ear::field_names::is_field_with_blank;
use crate::query::ear::figures::lacks_field;
use crate::query::ear::table::Piece;
use crate::query::ear::words::{Words, is_name};
use crate::query::syntax::Class;
use crate::record::{FieldKind, NameOf, Vocabulary};
use crate::text::{Diagnostic, Span};

/// Whether `word`, in lower case, may be refused here.
pub(super) fn may_be(word: &str) -> bool {
    let starts_figure = word.starts_with(|c: char| c.is_ascii_digit());
    matches!(
        word,
        "near"
            | "high"
            | "wrench"
            | "checked"
            | "checked-by"
            | "width"
            | "before"
            | "after"
            | "since"
    ) || starts_figure && (word.contains('e') || word.ends_with('.'))
        || starts_figure && word.contains(',')
}

/// The first of them in `words`.
pub(super) fn check(words: &Words<'_>, names: &Vocabulary) -> Result<(), Diagnostic> {
    for at in 0..words.len() {
        let refusals = [
            comma_in_figure(words, at),
            odd_figure(words, at),
            near(words, at),
            checked(words, at, names),
            wrench(words, at, names),
            width(words, at, names),
            which_field(words, at, names),
            shell(words, at, names),
        ];
        if let Some(found) = refusals.into_iter().flatten().next() {
            return Err(found);
        }
    }
    Ok(())
}

fn refused(
    code: &'static str,
    span: Span,
    message: impl Into<String>,
    label: &'static str,
) -> Diagnostic {
    Diagnostic::new(code, span, message, label)
}

/// `60,5 N.m` and `1,000 Nm`.
fn comma_in_figure(words: &Words<'_>, at: usize) -> Option<Diagnostic> {
    let (first, comma, second) = (words.get(at)?, words.get(at + 1)?, words.get(at + 2)?);
    let is_tight = comma.class == Class::Comma
        && first.span.end == comma.span.start
        && comma.span.end == second.span.start;
    let is_whole =
        matches!(first.class, Class::Number(_)) && first.text.bytes().all(|b| b.is_ascii_digit());
    let is_measure =
        |kind| matches!(kind, FieldKind::Quantity(_) | FieldKind::Share | FieldKind::Number);
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
    let help = format!("write {}.{decimals}{unit}, or {thousands}", first.text);
    Some(refused("comma-in-figure", span, message, "expected a point, or no comma").help(help))
}

/// `1e2`, `2½`, `5.`
fn odd_figure(words: &Words<'_>, at: usize) -> Option<Diagnostic> {
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
    let help = match rest.chars().next() {
        Some('½') => format!("write {whole}.5 or {whole}-1/2"),
        Some('¼') => format!("write {whole}.25 or {whole}-1/4"),
        Some('¾') => format!("write {whole}.75 or {whole}-3/4"),
        Some('.') => format!("write {whole}"),
        _ => "write all its digits: 100".to_owned(),
    };
    let span = Span::new(word.span.start, word.span.start + text.len());
    let message = format!("`{text}` is no figure of this language");
    Some(refused("odd-figure", span, message, "expected digits, with a point or as n/d").help(help))
}

fn near(words: &Words<'_>, at: usize) -> Option<Diagnostic> {
    let share = match (words.lower(at).as_str(), words.lower(at + 1).as_str()) {
        ("near", "yield") => "of-yield",
        ("near", "proof") => "of-proof",
        ("high", "tensile") => {
            let asked = refused(
                "how-near",
                words.span(at, at + 2),
                "how high?",
                "expected a class or a stress",
            );
            return Some(asked.help("write class 10.9, or tensile over 1000 MPa"));
        }
        _ => return None,
    };
    let span = words.span(at, at + 2);
    Some(
        refused("how-near", span, "how near?", "expected a share")
            .help(format!("write {share} over 90%")),
    )
}

/// A person, not a day; and a day of which it is not said of what.
fn checked(words: &Words<'_>, at: usize, names: &Vocabulary) -> Option<Diagnostic> {
    let is_relation = matches!(words.lower(at).as_str(), "before" | "after" | "since")
        || at > 0 && words.lower(at - 1) == "date" && words.relates(at);
    // `source date` is the field with a blank in it.
    let is_blank = at > 1 && is_field_with_blank(&words.lower(at - 2), &words.lower(at - 1));
    let is_year = words.class(at + 1) == Some(&Class::Date)
        || matches!(words.lower(at + 1).as_bytes(), [b'1' | b'2', rest @ ..] if rest.len() == 3)
            && matches!(words.class(at + 1), Some(Class::Number(_)));
    let is_known = at > 0
        && (words.fits(at - 1, Piece::DateField, names)
            || matches!(words.lower(at - 1).as_str(), "dated" | "checked" | "checked-by"));
    if is_relation && is_year && !is_known && !is_blank {
        let help = format!(
            "write source-date {0} {1}, or entered-on {0} {1}",
            words.lower(at),
            words.lower(at + 1)
        );
        let asked = refused(
            "no-day",
            words.span(at, at + 2),
            "the day of what?",
            "expected a field of dates",
        );
        return Some(asked.help(help));
    }
    let is_checked = matches!(words.lower(at).as_str(), "checked" | "checked-by");
    let is_day =
        matches!(words.lower(at + 1).as_str(), "before" | "after" | "since" | "over" | "under")
            || matches!(words.class(at + 1), Some(Class::Relation(_)))
                && matches!(words.class(at + 2), Some(Class::Number(_) | Class::Date));
    (is_checked && is_day).then(|| {
        refused(
            "no-day",
            words.span(at, at + 2),
            "the day of a check is not kept: checked-by is a name",
            "expected a field of dates",
        )
        .help("write entered-on before 2019, or source-date before 2019")
    })
}

fn wrench(words: &Words<'_>, at: usize, names: &Vocabulary) -> Option<Diagnostic> {
    let is_wrench = words.lower(at) == "wrench" && !words.is_in_name(at, names);
    // `on wrench W2`, and `19 mm wrench`, which is a size.
    let is_led = at > 0
        && (matches!(words.lower(at - 1).as_str(), "on" | "size")
            || words.fits(at - 1, Piece::Size, names));
    if !is_wrench || is_led || words.fits_wrench(at + 1, names) {
        return None;
    }
    let found = refused(
        "which-wrench",
        words.span(at, at + 1),
        "a wrench is asked for by its name",
        "expected `on` and the name of a wrench",
    );
    let known = names.names(NameOf::Wrench);
    Some(match known.first() {
        Some(name) => found.help(format!(
            "write on {name}: what it is set to, and which rows are out of its range"
        )),
        None => found.help("the book has none yet: `clampbook add wrench`"),
    })
}

fn width(words: &Words<'_>, at: usize, names: &Vocabulary) -> Option<Diagnostic> {
    let fits = words.lower(at) == "width" && words.lower(at + 1) == "of";
    (fits && !words.is_in_name(at, names)).then(|| {
        refused(
            "no-width",
            words.span(at, at + 2),
            "the width of a range is no field",
            "expected a field",
        )
        .help("write show torque, which has both ends; for the band of a clamp clamp-high - clamp-low")
    })
}

/// A comparison without a field, of what several fields measure.
fn which_field(words: &Words<'_>, at: usize, names: &Vocabulary) -> Option<Diagnostic> {
    let Class::Quantity(quantity) = words.class(at + 1)? else { return None };
    if !words.relates(at) || !lacks_field(words, at, names) {
        return None;
    }
    let fields = match quantity.dimension() {
        Dimension::Length => "length, size, grip, engagement, hole-depth or stretch",
        Dimension::Stress => "stress, proof, yield or tensile",
        Dimension::Ratio => "of-yield, of-proof or combined",
        Dimension::Angle => "angle",
        _ => return None,
    };
    let figure = words.get(at + 1)?;
    // The word after it names it: `over 80% yield`, `over 60 mm long`.
    let is_named =
        matches!(words.lower(at + 2).as_str(), "yield" | "proof" | "of" | "long" | "deep");
    (!is_named).then(|| {
        refused(
            "which-field",
            words.span(at, at + 2),
            format!("{} of what?", figure.text),
            "expected a field before it",
        )
        .help(format!("write {fields} before it"))
    })
}

/// `all`: nothing is left to look for.
pub(super) fn everything(typed: &str) -> Diagnostic {
    let span = Span::new(0, typed.len());
    refused("everything", span, "that is the whole book", "expected something to look for")
        .help("name a joint or a thread; `tally joint` counts what there is")
}

/// `find torque > 100 Nm` without quotes: the shell keeps `> 100` to itself.
fn shell(words: &Words<'_>, at: usize, names: &Vocabulary) -> Option<Diagnostic> {
    if at == 0 || at + 1 != words.len() {
        return None;
    }
    let word = words.get(at)?;
    let is_unit =
        word.class == Class::Word && word.text.len() > 1 && find_unit(&word.text).is_some();
    let is_free = !matches!(words.lower(at - 1).as_str(), "in" | "units")
        && matches!(words.class(at - 1), Some(Class::Field));
    (is_unit && is_free && !is_name(&word.text, names)).then(|| {
        refused(
            "unit-alone",
            word.span,
            format!("`{}` has no figure", word.text),
            "expected a figure before it",
        )
        .help("a shell takes `>` and `<` for itself: write over or under, or quote the question")
    })
}
