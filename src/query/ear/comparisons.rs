//! Comparisons and counts of which the unit, a comma or a kind of fastener tells the
//! field, and figures that are a size of thread.

use crate::quantity::{Dimension, INCHES, find_unit};
use crate::query::ear::ends_test;
use crate::query::ear::words::{QuestionWords, Word, is_kind, is_name};
use crate::query::syntax::{Class, Keyword, RELATION_WORDS};
use crate::record::{FieldKind, NameOf, Vocabulary};
use crate::thread::Pattern;
use std::ops::Range;

/// `7/16" bolts`, `1/4 inch bolts`: a fraction of an inch that stands alone, or in
/// words before a kind of fastener, is a size of thread.
pub(super) fn mend(words: &mut QuestionWords<'_>) -> bool {
    for at in 0..words.len() {
        let Some(Word { text, class: Class::Quantity(size), .. }) = words.get(at) else { continue };
        if size.unit != INCHES || !text.contains('/') || !stands_alone(words, at) {
            continue;
        }
        let fraction = text.trim_end_matches(|c: char| !c.is_ascii_digit());
        let is_size = text.ends_with('"') || is_kind(&words.lower(at + 1));
        if is_size && Pattern::parse(fraction).is_ok() {
            let thread = fraction.to_owned();
            words.set(at, thread);
            return true;
        }
    }
    false
}

/// `the Marlow 6 in the block`: the figure is of the name, and its `in` is no inch.
pub(super) fn figure_of_name(words: &mut QuestionWords<'_>, names: &Vocabulary) -> bool {
    let of_name = |at: &usize| {
        let text = words.get(*at)?.text.strip_suffix(" in")?;
        let is_figure = matches!(words.class(*at), Some(Class::Quantity(_)));
        let before = words.lower(at.checked_sub(1)?);
        let is_name = names.has_words(&format!("{before} {text}"))
            && before.contains(char::is_alphabetic)
            && words.class(at - 1) == Some(&Class::Word);
        (is_figure && is_name).then(|| (*at, text.to_owned()))
    };
    let Some((at, figure)) = (0..words.len()).find_map(|at| of_name(&at)) else { return false };
    let span = words.span(at, at + 1);
    words.set(at, figure);
    words.insert(at + 1, [",", "in"].map(|text| Word::written(text, span)).to_vec());
    true
}

/// `press, sort torque`: the comma before a clause, or at an end, joins nothing.
///
/// So does that of a part as it is printed: `screw, clamp`.
pub(super) fn without_comma(words: &mut QuestionWords<'_>, names: &Vocabulary) -> bool {
    const LONGEST: usize = 3;
    let is_part = |at: usize| {
        let first = at.checked_sub(1).map(|at| words.lower(at)).filter(|first| is_kind(first));
        first.filter(|_| !words.is_in_columns(at)).is_some_and(|mut name| {
            name.push(',');
            (at + 1..words.len()).take(LONGEST).any(|at| {
                name = format!("{name} {}", words.lower(at));
                names.find(NameOf::Part, &name).is_some()
            })
        })
    };
    let is_idle = |at: &usize| {
        let starts = |class: &Class| matches!(class, Class::Keyword(word) if word.starts_clause());
        let before = at.checked_sub(1).and_then(|before| words.class(before));
        words.class(*at) == Some(&Class::Comma)
            && (before
                .is_none_or(|before| !starts(before) && words.class(at + 1).is_none_or(starts))
                || is_part(*at))
    };
    let Some(at) = (0..words.len()).find(is_idle) else { return false };
    words.take(at, 1);
    true
}

/// Whether the figure at `at` belongs to no field, comparison or sum.
fn stands_alone(words: &QuestionWords<'_>, at: usize) -> bool {
    let is_free = match at.checked_sub(1).and_then(|before| words.class(before)) {
        None => true,
        Some(before) => !matches!(
            before,
            Class::Field | Class::Relation(_) | Class::Operator(_) | Class::By | Class::Range
        ),
    };
    let joins = words.class(at + 1).is_some_and(Class::joins_sums);
    is_free && !joins && !words.relates(at + 1)
}

/// Adds the field to the first comparison or range that has none, where its unit
/// tells which.
pub(super) fn add_fields(words: &mut QuestionWords<'_>, names: &Vocabulary) -> bool {
    for at in 0..words.len() {
        let start = if words.relates(at) {
            at
        } else if words.class(at) == Some(&Class::Range) && at > 0 {
            at - 1
        } else {
            continue;
        };
        let is_of_lube = is_after_lube(words, start, names);
        if !is_of_lube && !lacks_field(words, start, names) {
            continue;
        }
        let dimension = match words.class(at + 1) {
            Some(Class::Quantity(quantity)) => quantity.dimension(),
            // `over M10` is of the size.
            Some(Class::Thread(_)) => {
                words.insert(start, vec![Word::written("size", words.span(start, start + 1))]);
                return true;
            }
            _ => continue,
        };
        let usual = match dimension {
            Dimension::Torque => Some("torque"),
            Dimension::Force => Some("clamp"),
            Dimension::Angle => Some("angle"),
            // `50-65 mm`, as a length that stands alone is.
            Dimension::Length if start < at => Some("length"),
            _ => None,
        };
        let before = field_before(words, start, dimension);
        if let Some(field) = before.or_else(|| usual.map(str::to_owned)) {
            let span = words.span(start, start + 1);
            let field = Word { text: field.into(), class: Class::Field, span };
            let keep = Some(Word::written("keep", span)).filter(|_| is_of_lube);
            words.insert(start, keep.into_iter().chain([field]).collect());
            return true;
        }
    }
    false
}

/// `with moly over 30 lb-ft`: the comparison is none of the lube, but of the rows that it
/// is restated for.
fn is_after_lube(words: &QuestionWords<'_>, at: usize, names: &Vocabulary) -> bool {
    let clause = words.clause(at).is_some_and(|clause| clause == Keyword::With);
    let mut lube = String::new();
    clause
        && (0..at).rev().take_while(|at| words.class(*at) == Some(&Class::Word)).any(|at| {
            lube = format!("{} {lube}", words.lower(at)).trim_end().to_owned();
            names.find(NameOf::Lube, &lube).is_some()
        })
}

/// Whether the word at `at` ends what is asked about: a name, a thread, a kind, a strength
/// or a flag.
fn is_what(words: &QuestionWords<'_>, at: usize, names: &Vocabulary) -> bool {
    let text = words.lower(at);
    match words.class(at) {
        Some(Class::Word) => is_kind(&text) || names.has_words(&text),
        Some(Class::Number(_)) => {
            words.is_of_name(at, names) || names.find(NameOf::Strength, &text).is_some()
        }
        Some(Class::Field) => words.field_is(at, |kind| kind == FieldKind::Flag),
        class => matches!(class, Some(Class::Thread(_))),
    }
}

/// `Marlow 6 oil or dry`: lubes behind a name are a choice for it, which a comma before them
/// says.
pub(super) fn choice_of_lubes(words: &mut QuestionWords<'_>, names: &Vocabulary) -> bool {
    const LONGEST: usize = 4;
    let is_lube = |own: Range<usize>| {
        let is_text = |at| matches!(words.class(at), Some(Class::Word | Class::Field));
        let text = own.clone().map(|at| words.lower(at)).collect::<Vec<_>>().join(" ");
        own.end <= words.len()
            && own.clone().all(is_text)
            && names.find(NameOf::Lube, &text).is_some()
    };
    let is_or = |at: &usize| words.class(*at) == Some(&Class::Keyword(Keyword::Or));
    let place = (1..words.len()).filter(is_or).find_map(|or| {
        let start = (or.saturating_sub(LONGEST)..or).find(|start| is_lube(*start..or))?;
        let end = (or + 2..=or + 1 + LONGEST).rev().find(|end| is_lube(or + 1..*end))?;
        let kind = is_kind(&words.lower(end));
        let ends = |at: usize| at >= words.len() || ends_test(words.class(at));
        let before = start.checked_sub(1)?;
        let is_free = words.clause(start).is_none()
            && is_what(words, before, names)
            && !is_lube(before..start);
        (is_free && ends(end + usize::from(kind))).then_some((start, end, kind))
    });
    let Some((start, end, kind)) = place else { return false };
    let comma = |words: &QuestionWords<'_>, at| vec![Word::written(",", words.span(at, at + 1))];
    if kind {
        let after = comma(words, end);
        words.insert(end, after);
    }
    let before = comma(words, start);
    words.insert(start, before);
    true
}

/// `crank bolt ft-lbs`, `pan bolts inch pounds`: a unit of torque that has no figure is what
/// the answer is drawn in.
pub(super) fn unit_alone(words: &mut QuestionWords<'_>, names: &Vocabulary) -> bool {
    for at in 0..words.len() {
        let unit = [2, 1].into_iter().find_map(|length| {
            let said: Vec<String> = (at..at + length).map(|at| words.lower(at)).collect();
            let is_word = |at| words.class(at) == Some(&Class::Word);
            let found = find_unit(&said.join(" ")).filter(|_| (at..at + length).all(is_word));
            Some((length, found.filter(|unit| unit.dimension == Dimension::Torque)?))
        });
        let Some((length, unit)) = unit else { continue };
        let follows_figure = at > 0
            && (words.relates(at - 1)
                || matches!(words.class(at - 1), Some(Class::Number(_) | Class::Range)));
        if !follows_figure && !words.is_in_longer_name(at, &(at..at + length), names) {
            let span = words.span(at, at + length);
            words.take(at, length);
            words.append(["units", unit.symbol].map(|text| Word::written(text, span)).to_vec());
            return true;
        }
    }
    false
}

/// Whether nothing stands before the word at `at` that a comparison is of.
pub(super) fn lacks_field(words: &QuestionWords<'_>, at: usize, names: &Vocabulary) -> bool {
    let Some(before) = at.checked_sub(1).and_then(|before| words.get(before)) else { return true };
    if words.is_in_columns(at) {
        return false;
    }
    match &before.class {
        Class::Comma | Class::Open | Class::Thread(_) => true,
        // `8.8 over 60 N.m`, `Marlow 6 over 10 bolts`
        Class::Number(_) => {
            names.find(NameOf::Strength, &before.text).is_some() || words.is_of_name(at - 1, names)
        }
        // `blind over 60 N.m`
        Class::Field => words.field_is(at - 1, |kind| kind == FieldKind::Flag),
        Class::Keyword(keyword) => {
            matches!(keyword, Keyword::And | Keyword::Or | Keyword::Not | Keyword::Keep)
        }
        // `studs over 60 N.m`; of any other word it is an unknown field.
        Class::Word => {
            let text = &before.text;
            // `hole-material cast iron over 10 lb-ft`: the end of a value.
            let mut back = (0..at).rev();
            let first = back.find(|before| words.class(*before) != Some(&Class::Word));
            first.is_some_and(|field| words.field_is(field, |kind| kind != FieldKind::Flag))
                || is_name(text, names)
                || names.has_words(text)
                || is_kind(&text.to_lowercase())
        }
        _ => false,
    }
}

/// `torque over 20 N.m and under 50 N.m`: the field of the comparison before; `grip, over
/// 80 mm`: the one before the comma.
pub(super) fn field_before(
    words: &QuestionWords<'_>,
    at: usize,
    dimension: Dimension,
) -> Option<String> {
    let joint = at.checked_sub(1)?;
    let field = match words.class(joint)? {
        Class::Keyword(Keyword::And | Keyword::Or) => {
            joint.checked_sub(3).filter(|field| words.relates(field + 1))?
        }
        Class::Comma => joint.checked_sub(1)?,
        _ => return None,
    };
    let fits = |kind| match kind {
        FieldKind::Quantity(found) => found == dimension,
        FieldKind::Share => dimension == Dimension::Ratio,
        _ => false,
    };
    let text = words.field_is(field, fits).then(|| words.get(field));
    text.flatten().map(|word| word.text.to_string())
}

/// `joints with 8 bolts`, `over 6 bolts`: a count before a kind of fastener is how many
/// there are, unless a name of the book has it.
pub(super) fn count_pieces(words: &mut QuestionWords<'_>, names: &Vocabulary) -> bool {
    for at in 0..words.len() {
        let Some(digits) = words.get(at).and_then(Word::whole) else { continue };
        let compares = |at: &usize| RELATION_WORDS.iter().any(|row| row.0 == words.lower(*at));
        let start = at.checked_sub(1).filter(compares).unwrap_or(at);
        let counts = is_kind(&words.lower(at + 1))
            && lacks_field(words, start, names)
            && !words.is_of_name(at, names)
            && !words.is_in_name(at, names);
        if counts {
            let span = words.span(start, at + 1);
            words.set(at, digits);
            words.insert(start, vec![Word { text: "qty".into(), class: Class::Field, span }]);
            return true;
        }
    }
    false
}
