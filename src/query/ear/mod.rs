//! What people type, read as the language writes it: `torque above 60 N.m` is
//! `torque over 60 N.m`. A stage before [`crate::query::syntax`], from text to
//! text; the table is `grammar/ears.txt`, and names of the book come first.

mod comparisons;
mod field_names;
mod figures;
mod refuse;
mod table;
mod tools;
mod words;

pub(super) use table::has_word;

use std::borrow::Cow;

use crate::query::syntax::{Class, Keyword, RELATION_WORDS, reserved};
use crate::record::{Vocabulary, find_field};
use crate::text::{Diagnostic, Span};
use table::{Rule, rules};
use words::{QuestionWords, Typed};

/// A question as it is read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Heard<'a> {
    /// The question in the language.
    pub text: Cow<'a, str>,
    /// For pieces of that text what was typed for them; empty if nothing else was.
    places: Vec<Typed>,
    typed: &'a str,
}

impl Heard<'_> {
    /// Whether something else was typed.
    pub fn is_changed(&self) -> bool {
        !self.places.is_empty()
    }

    /// The place in the text that was typed, whole characters of it: a sign that is read as
    /// a shorter one, `“`, has more bytes.
    fn typed(&self, span: Span) -> Span {
        let span = words::typed(&self.places, span);
        let start = self.typed.floor_char_boundary(span.start);
        Span::new(start, self.typed.ceil_char_boundary(span.end).max(start))
    }

    /// `found` about the text that was typed, in its words.
    pub fn of_typed(&self, mut found: Diagnostic) -> Diagnostic {
        if self.is_changed() {
            let read = found.span.slice(&self.text);
            found.span = self.typed(found.span);
            let typed = found.span.slice(self.typed);
            found.message = found.message.replace(&format!("`{read}`"), &format!("`{typed}`"));
            found.also = found.also.map(|(span, label)| (self.typed(span), label));
        }
        found
    }
}

/// More passes than a question of people has words of the ear; of a text longer
/// than any of them less is heard, so that each is read in milliseconds.
const MOST_PASSES: usize = 32;
const MOST_PASSES_LONG: usize = 2;
const LONG: usize = 400;

/// Reads `typed` with the names of the book; an error where it could be read in
/// two ways, or in none that it looks like.
pub fn hear<'a>(typed: &'a str, names: &Vocabulary) -> Result<Heard<'a>, Diagnostic> {
    let mut heard = Heard { text: Cow::Borrowed(typed), places: Vec::new(), typed };
    if typed.len() > crate::query::syntax::LONGEST || !may_be_heard(typed) {
        return Ok(heard);
    }
    let passes = if typed.len() > LONG { MOST_PASSES_LONG } else { MOST_PASSES };
    for _ in 0..passes {
        let words = QuestionWords::of_text(&heard.text);
        refuse::check(&words, names).map_err(|found| heard.of_typed(found))?;
        let Some(next) = pass(words, names) else { break };
        let (text, places) = next.written();
        let places = if heard.is_changed() {
            let typed =
                |place: Typed| Typed { typed: words::typed(&heard.places, place.typed), ..place };
            places.into_iter().map(typed).collect()
        } else {
            places
        };
        heard = Heard { text: Cow::Owned(text), places, typed };
    }
    if heard.text.trim().is_empty() && !typed.trim().is_empty() {
        return Err(refuse::everything(typed));
    }
    Ok(heard)
}

/// Whether the ear has to look closer: at a word of its table, a comparison or a
/// sign that the language does not have.
fn may_be_heard(typed: &str) -> bool {
    if !typed.is_ascii() || typed.contains(['<', '>', '=', ':', '"']) {
        return true;
    }
    let is_break = |c: char| matches!(c, ' ' | '(' | ')' | '\t');
    let words = typed.split(is_break).filter(|word| !word.is_empty());
    let mut last = "";
    for word in words {
        let lower = word.trim_end_matches(',').to_ascii_lowercase();
        let is_heard = || table::has_word(&lower);
        let is_listed = || word.ends_with(',') && lower.starts_with(|c: char| c.is_ascii_digit());
        // `20-50`, `10,9`, `M10x1.5x40`; a comparison after a field is the language's.
        let compares = RELATION_WORDS.iter().any(|row| row.0 == lower);
        let is_odd = || refuse::may_be(&lower) || figures::may_be(&lower);
        let is_joined = || field_names::is_field_with_blank(last, &lower);
        // `ft-lbs`, `inch pounds`; the `N.m` of `60 N.m` is of its figure.
        let is_unit = || {
            !last.starts_with(|c: char| c.is_ascii_digit())
                && ["lb", "nm", "n.m", "pound"].iter().any(|part| lower.contains(part))
        };
        let is_idle = last.ends_with(',') && reserved(&lower).is_some_and(Keyword::starts_clause);
        if is_heard()
            || is_odd()
            || is_listed()
            || is_idle
            || (word.ends_with(',') || words::is_count(last)) && words::is_kind(&lower)
            || compares && find_field(last).is_none()
            || is_joined()
            || is_unit()
            || words::is_plural_field(&lower)
        {
            return true;
        }
        last = word;
    }
    last.ends_with(',') || crate::quantity::find_unit(last).is_some()
}

/// One change, or none.
fn pass<'a>(mut words: QuestionWords<'a>, names: &Vocabulary) -> Option<QuestionWords<'a>> {
    if words.is_mended
        || all_but(&mut words)
        || comparisons::mend(&mut words)
        || tools::name_unit(&mut words, names)
        || comparisons::choice_of_lubes(&mut words, names)
        || comparisons::figure_of_name(&mut words, names)
        || comparisons::without_comma(&mut words, names)
        || field_names::singular_columns(&mut words)
        || field_names::join_fields(&mut words, names)
        || field_names::name_fields(&mut words, names)
    {
        return Some(words);
    }
    // From left to right, at each place from top to bottom of the table.
    let mut candidates: Vec<(usize, usize)> = Vec::new();
    for at in 0..words.len() {
        let found = table::rules_with(&words.lower(at)).iter();
        candidates
            .extend(found.filter_map(|(rule, before)| Some((at.checked_sub(*before)?, *rule))));
    }
    candidates.sort_unstable();
    for (at, rule) in candidates {
        let rule = &rules()[rule];
        if let Some(heard) = matched(rule, &words, at, names) {
            apply(rule, &mut words, at, &heard);
            return Some(words);
        }
    }
    (comparisons::add_fields(&mut words, names)
        || comparisons::count_pieces(&mut words, names)
        || comparisons::unit_alone(&mut words, names)
        || field_names::has_value(&mut words, names)
        || field_names::singular(&mut words, names))
    .then_some(words)
}

/// `all bolts but studs`: after a word for all of them, `but` is `except`.
fn all_but(words: &mut QuestionWords<'_>) -> bool {
    let is = |at: &usize, known: &[&str]| known.contains(&&*words.lower(*at));
    let all = (0..words.len()).find(|at| is(at, &["all", "every", "everything", "anything"]));
    let but = all.and_then(|all| (all..words.len()).find(|at| is(at, &["but"])));
    but.map(|at| words.set(at, "except".to_owned())).is_some()
}

/// The most words that a [`Piece::Run`](table::Piece::Run) takes.
const LONGEST_RUN: usize = 6;

/// `basis chart`: whether what the row would write stands there.
fn changes_nothing(rule: &Rule, words: &QuestionWords<'_>, at: usize) -> bool {
    let before = at.checked_sub(1).map(|before| words.lower(before));
    match rule.written.as_slice() {
        [table::Piece::Word(first), rest @ ..] => {
            before.as_deref() == Some(*first) && rest == rule.heard && rule.clause.is_empty()
        }
        _ => false,
    }
}

/// For each word from `at` that the row takes what it is there, if the row fits.
fn matched(
    rule: &Rule,
    words: &QuestionWords<'_>,
    at: usize,
    names: &Vocabulary,
) -> Option<Vec<table::Piece>> {
    use table::Piece;
    if rule.at_start && at > 0
        || changes_nothing(rule, words, at)
        || rule.is_idle && (words.is_kept(at) || names.has_words(&words.lower(at)))
    {
        return None;
    }
    let (mut literal, mut is_sized) = (Vec::new(), false);
    let mut heard: Vec<Piece> = Vec::with_capacity(rule.heard.len());
    for (offset, piece) in rule.heard.iter().enumerate() {
        let here = at + heard.len();
        if !words.fits(here, *piece, names) {
            return None;
        }
        match piece {
            Piece::Run => {
                let ends = |end: usize| match rule.heard.get(offset + 1) {
                    Some(next) => words.fits(end, *next, names),
                    None => ends_test(words.class(end)),
                };
                let end = (here + 1..=here + LONGEST_RUN).find(|end| ends(*end))?;
                if !(here + 1..end).all(|at| words.fits(at, Piece::Run, names)) {
                    return None;
                }
                heard.extend(std::iter::repeat_n(Piece::Run, end - here));
                continue;
            }
            Piece::Word(_) => literal.push(here),
            // `Marlow 6 highest torque`: the figure is of the name.
            Piece::Count | Piece::Number if words.is_of_name(here, names) => return None,
            // `1/2 in drive` is more than a joint called drive.
            Piece::Size => is_sized = true,
            _ => {}
        }
        heard.push(*piece);
    }
    let end = at + heard.len();
    let ends = !rule.at_end || ends_test(words.class(end));
    // A clause that has begun keeps its own words: `target 75% proof`.
    let is_free = words.clause(at) != Some(Keyword::Target);
    // `hex heads` is heard where a joint is called `head`; side by side they are more.
    let own = match (literal.first(), literal.last()) {
        (Some(first), Some(last)) if last - first < literal.len() => *first..last + 1,
        _ => 0..0,
    };
    let own = if is_sized { at..end } else { own };
    let is_name = || literal.iter().any(|word| words.is_in_longer_name(*word, &own, names));
    (ends && is_free && !is_name()).then_some(heard)
}

fn apply(rule: &Rule, words: &mut QuestionWords<'_>, at: usize, heard: &[table::Piece]) {
    let span = words.span(at, at + heard.len());
    let taken = words.take(at, heard.len());
    let write = |pieces: &[table::Piece]| -> Vec<words::Word<'_>> {
        let mut written: Vec<words::Word<'_>> = Vec::with_capacity(pieces.len());
        for (place, piece) in pieces.iter().enumerate() {
            let own = heard.iter().zip(&taken).filter(|(heard, _)| *heard == piece);
            let own: Vec<&words::Word<'_>> = own.map(|(_, word)| word).collect();
            if *piece == table::Piece::Run {
                written.extend(own.into_iter().cloned());
                continue;
            }
            // Of several the first is written first; more than are heard begin again.
            let before = pieces[..place].iter().filter(|other| *other == piece).count();
            written.push(match own.is_empty() || !piece.is_kept() {
                true => words::Word::written(piece.spelling(), span),
                false => own[before % own.len()].clone().in_the_language(*piece),
            });
        }
        written
    };
    let (mut written, clause) = (write(&rule.written), write(&rule.clause));
    // A field that stands there is not written again: `head-size 8 mm hex`.
    let is_again = |first: &words::Word<'_>| {
        let before = at.checked_sub(1).map(|before| words.lower(before));
        find_field(&first.text).is_some() && before.as_deref() == Some(&first.text)
    };
    if written.first().is_some_and(is_again) {
        written.remove(0);
    }
    words.insert(at, written);
    words.append(clause);
}

impl table::Piece {
    /// Whether what was typed for it stays.
    fn is_kept(self) -> bool {
        !matches!(self, Self::Word(_) | Self::Dots | Self::Comma)
    }

    fn spelling(self) -> &'static str {
        match self {
            Self::Word(word) => word,
            Self::Dots => "..",
            Self::Comma => ",",
            // A row writes only those that it hears; a test reads each.
            _ => "",
        }
    }
}

/// Whether a test ends before a token of this class.
fn ends_test(class: Option<&Class>) -> bool {
    match class {
        None | Some(Class::Comma | Class::Close) => true,
        Some(Class::Keyword(word)) => {
            word.starts_clause() || matches!(word, Keyword::And | Keyword::Or)
        }
        _ => false,
    }
}
