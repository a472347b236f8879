//! What a question that cannot be answered is told: the place, what was read,
//! what was expected, and one hint.

use crate::query::resolve::ResolveError;
use crate::query::syntax::otherwise;
use crate::text::{Diagnostic, Span};

impl ResolveError {
    /// The error with its place, for drawing.
    pub fn diagnostic(&self) -> Diagnostic {
        match self {
            Self::UnknownField { word, nearest, span } => {
                let message = format!("`{word}` is not a field");
                let found = Diagnostic::new("unknown-field", *span, message, "expected a field");
                let all = "`clampbook list fields` names them all";
                hint(found, nearest.as_deref(), otherwise(word).unwrap_or(all))
            }
            Self::NoUnit { number, field, readings, span } => {
                let each = readings.join(", ");
                let message = format!("{number} what? {field} needs a unit: {each}");
                let with_unit = readings.iter().filter_map(|each| each.split(" = ").next());
                Diagnostic::new("no-unit", *span, message, "expected a unit after it")
                    .offer(with_unit)
            }
            Self::NoPercent { number, field, span } => {
                let message = format!("{number} what? {field} is a percentage");
                Diagnostic::new("no-percent", *span, message, "expected a percentage")
                    .offer(per_cent(number))
            }
            Self::Dimension { found, is, with, wanted, other, span } => {
                let (is, wanted) = (a(is), a(wanted));
                let message = format!("`{found}` is {is}, {with} is compared with {wanted}");
                let diagnostic =
                    Diagnostic::new("dimension", *span, message, format!("expected {wanted}"));
                match other {
                    Some(field) => diagnostic.help(asked_of(&is, field, found)),
                    None => diagnostic.help("both sides must measure the same"),
                }
            }
            Self::Mixed { left, right, span } => {
                let message = format!("{} and {} cannot be added", a(left), a(right));
                Diagnostic::new("mixed-sum", *span, message, "expected the same on both sides")
                    .help("`times` and `per` join different ones")
            }
            Self::NotANumber { found, span } => {
                let message = format!("`{found}` has no value to compute with");
                Diagnostic::new("not-a-number", *span, message, "expected a figure, or its field")
                    .help("`clampbook list fields` says what each field holds")
            }
            Self::DividedByNothing { span } => {
                let said = ("nothing can be divided by 0", "expected another number");
                Diagnostic::new("divided-by-0", *span, said.0, said.1)
                    .help("leave the division out")
            }
            Self::BadValue { found, field, expected, nearest, span } => {
                bad_value((field, found), expected, nearest.as_deref(), *span)
            }
            Self::BadRelation { field, allowed, example, span } => {
                let message = format!("{field} cannot be compared so");
                Diagnostic::new("bad-relation", *span, message, format!("expected {allowed}"))
                    .help(format!("for example: {example}"))
            }
            Self::ByProof { name, instead, span } => by_proof(name, instead.as_deref(), *span),
            Self::BareNumber { number, name, span } => {
                let message = format!("{number} what?");
                let expected = "expected a unit after it, a field before it, or quotes";
                let found = Diagnostic::new("bare-number", *span, message, expected);
                match name {
                    Some(name) => found.suggest(name),
                    None => found.offer(instead_of_number(number)),
                }
            }
            Self::BareShare { share, span } => {
                let message = format!("{share} of what?");
                Diagnostic::new("bare-share", *span, message, "expected a field before it")
                    .offer(SHARES.map(|field| format!("{field} over {share}")))
            }
            Self::UnknownName { what, found, nearest, span } => {
                unknown_name(what, found, nearest.as_deref(), *span)
            }
            Self::Reversed { turned, span } => {
                let said = ("the range runs downwards", "expected the lower end first");
                Diagnostic::new("reversed", *span, said.0, said.1).offer([turned])
            }
            Self::Clash { message, first, span } => {
                Diagnostic::new("clash", *span, *message, "expected only one of the two")
                    .also(*first, "the other one")
                    .help("leave one of the two out")
            }
        }
    }
}

/// The field that measures what was found, and how it is asked.
fn asked_of(is: &str, field: &str, found: &str) -> String {
    let over = if found.contains("..") { "" } else { "over " };
    format!("{is} is asked of `{field}`, for example: {field} {over}{found}")
}

fn by_proof(name: &str, instead: Option<&str>, span: Span) -> Diagnostic {
    let message = format!("strength {name} is a name: it has no more and no less");
    Diagnostic::new("by-proof", span, message, "expected a stress").offer(instead)
}

/// The fields of a share of the yield or the proof.
const SHARES: [&str; 3] = ["of-yield", "of-proof", "combined"];

/// What may be meant by a number that stands alone.
fn instead_of_number(number: &str) -> Vec<String> {
    let fields = ["qty", "pass-count", "reuse", "page", "source-date", "entered-on"];
    let units = ["lb-ft", "N·m"].map(|unit| format!("{number} {unit}"));
    let tool = format!("head-size {number} mm");
    let fields = fields.map(|field| format!("{field} {number}"));
    units.into_iter().chain([tool]).chain(fields).collect()
}

/// What to write for a value that the field cannot have and nothing is near to.
fn value_instead(field: &str, typed: &str) -> &'static str {
    otherwise(typed).unwrap_or(match field {
        "confused-with" => "for example: confused-with M12x1.25",
        _ => "`clampbook list fields` says what each field holds",
    })
}

/// A value that the field cannot have; `torque sump bolts`: a word that stands for itself.
fn bad_value(
    (field, found): (&str, &str),
    expected: &str,
    nearest: Option<&str>,
    span: Span,
) -> Diagnostic {
    let message = format!("`{found}` is not a value of {field}");
    let wrong = Diagnostic::new("bad-value", span, message, format!("expected {expected}"));
    let is_word = found.starts_with(char::is_alphabetic);
    let apart = is_word.then(|| format!(", {found}"));
    hint(wrong, nearest, value_instead(field, found)).offer(apart)
}

/// What is no lube, strength or wrench is a word like any other.
fn unknown_name(what: &str, typed: &str, nearest: Option<&str>, span: Span) -> Diagnostic {
    let message = format!("the book has no {what} `{typed}`");
    let found = Diagnostic::new("unknown-name", span, message, format!("expected {}", a(what)));
    if let Some(other) = otherwise(typed) {
        return found.help(other);
    }
    let as_word = nearest.is_none().then_some(typed);
    hint(found, nearest, &names_listed(what)).offer(as_word)
}

/// Where the names of that kind are listed.
fn names_listed(what: &str) -> String {
    format!("`clampbook list {}` names those it has", plural(what))
}

/// The nearest word, else another way out.
fn hint(diagnostic: Diagnostic, nearest: Option<&str>, other: &str) -> Diagnostic {
    match nearest {
        Some(nearest) => diagnostic.suggest(nearest),
        None => diagnostic.help(other),
    }
}

/// `a torque`, `an angle`.
pub(super) fn a(noun: &str) -> String {
    let article = if noun.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
    format!("{article} {noun}")
}

fn plural(what: &str) -> String {
    if what.ends_with("ch") { format!("{what}es") } else { format!("{what}s") }
}

/// `0.9` is more likely 90 % than 0.9 %.
fn per_cent(number: &str) -> Vec<String> {
    let share = number.trim_matches('"').parse::<f64>();
    let meant = share.ok().filter(|share| (0.0..=1.5).contains(share));
    let meant = meant.map(|share| format!("{}%", (share * 1000.0).round() / 10.0));
    meant.into_iter().chain([format!("{number}%")]).collect()
}
