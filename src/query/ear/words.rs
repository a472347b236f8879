//! The words of a question, each with the place where it was typed.

use std::borrow::Cow;
use std::ops::Range;

use super::table::{Piece, has_word};
use crate::quantity::{Dimension, find_unit};
use crate::query::syntax::{Class, Keyword, QuotedValue, RELATION_WORDS, read_quoted, tokens};
use crate::record::{FieldKind, Kind, Material, NameOf, Vocabulary, field_words, find_field};
use crate::text::Span;

/// A word with its class; what a row writes is a word until it is read again.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Word<'a> {
    pub(super) text: Cow<'a, str>,
    pub(super) class: Class,
    pub(super) span: Span,
}

impl Word<'_> {
    pub(super) fn written(text: &'static str, span: Span) -> Self {
        Self { text: Cow::Borrowed(text), class: Class::Word, span }
    }

    /// The whole number that it says, in figures or as a small one in a word.
    pub(super) fn whole(&self) -> Option<String> {
        match self.class {
            Class::Number(_) if self.text.bytes().all(|byte| byte.is_ascii_digit()) => {
                Some(self.text.to_string())
            }
            Class::Word => count(&self.text).map(|count| count.to_string()),
            _ => None,
        }
    }

    /// As the language has it: `joints` as the name of a field is `joint`, `four` is 4.
    pub(super) fn in_the_language(mut self, piece: Piece) -> Self {
        let is_field = matches!(
            piece,
            Piece::Field | Piece::OpenField | Piece::PlainField | Piece::MeasuredField
        );
        if is_field && self.class == Class::Word {
            let text = self.text.trim_end_matches(['s', 'S']).to_owned();
            self.text = Cow::Owned(text);
        }
        if let Some(count) = count(&self.text).filter(|_| piece == Piece::Count) {
            self.text = Cow::Owned(count.to_string());
        }
        self
    }
}

/// Where a piece of a text was typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Typed {
    /// In the text as it is read.
    pub(super) read: Span,
    /// In the text that was typed.
    pub(super) typed: Span,
}

/// The place in the text that was typed of `span` in the text as it is read.
pub(super) fn typed(places: &[Typed], span: Span) -> Span {
    let touches = |place: &&Typed| {
        place.read.start < span.end.max(span.start + 1) && span.start < place.read.end
    };
    let mut found = places.iter().filter(touches).map(|place| {
        // Within a word that was typed so, to the byte.
        if place.read.end - place.read.start == place.typed.end - place.typed.start {
            let start = span.start.max(place.read.start) - place.read.start;
            let end = span.end.min(place.read.end).max(place.read.start + start) - place.read.start;
            return Span::new(place.typed.start + start, place.typed.start + end);
        }
        place.typed
    });
    let first = found.next();
    match first {
        Some(first) => found.fold(first, Span::to),
        None => {
            let end = places.iter().map(|place| place.typed.end).max().unwrap_or_default();
            Span::new(end, end)
        }
    }
}

/// The words of a question.
#[derive(Debug)]
pub(super) struct QuestionWords<'a> {
    words: Vec<Word<'a>>,
    /// Whether the text had to be mended to be cut into words.
    pub(super) is_mended: bool,
}

impl<'a> QuestionWords<'a> {
    /// Cuts `text`, mending what the language would refuse on sight.
    pub(super) fn of_text(text: &'a str) -> Self {
        let (mended, is_mended) = super::figures::mended(text);
        let (found, error) = tokens(&mended.text, field_words());
        let end = found.last().map_or(0, |token| token.span.end);
        let mut words: Vec<Word<'a>> = found
            .into_iter()
            .map(|token| Word {
                text: Cow::Owned(token.span.slice(&mended.text).to_owned()),
                class: token.class,
                span: mended.typed(token.span),
            })
            .collect();
        if error.is_some() {
            // What cannot be cut is left to the parser, which says why.
            let rest = mended.text[end..].trim_start();
            let span = mended.typed(Span::new(mended.text.len() - rest.len(), mended.text.len()));
            let text = Cow::Owned(rest.to_owned());
            words.push(Word { text, class: Class::Quoted(String::new()), span });
        }
        Self { words, is_mended }
    }

    pub(super) fn len(&self) -> usize {
        self.words.len()
    }

    pub(super) fn get(&self, at: usize) -> Option<&Word<'a>> {
        self.words.get(at)
    }

    pub(super) fn class(&self, at: usize) -> Option<&Class> {
        self.words.get(at).map(|word| &word.class)
    }

    /// The word at `at`, in lower case.
    pub(super) fn lower(&self, at: usize) -> String {
        self.words.get(at).map_or_else(String::new, |word| word.text.to_lowercase())
    }

    pub(super) fn span(&self, from: usize, to: usize) -> Span {
        self.words[from].span.to(self.words[to - 1].span)
    }

    pub(super) fn take(&mut self, at: usize, length: usize) -> Vec<Word<'a>> {
        self.words.drain(at..at + length).collect()
    }

    pub(super) fn insert(&mut self, at: usize, words: Vec<Word<'a>>) {
        self.words.splice(at..at, words);
    }

    /// Adds a clause at the end. What the question sorts, counts or is drawn in already
    /// it says once; of the two ways to sort by a field the later word counts.
    pub(super) fn append(&mut self, mut clause: Vec<Word<'a>>) {
        // `longest studs first 3`: what is typed says how many.
        let is_first = |word: &Word<'_>| word.class == Class::Keyword(Keyword::First);
        if let [.., first, one] = clause.as_slice()
            && (&*first.text, &*one.text) == ("first", "1")
            && self.words.iter().any(is_first)
        {
            clause.truncate(clause.len() - 2);
        }
        let is_same = |run: &[Word<'_>]| {
            run.iter().zip(&clause).all(|(one, other)| one.text.eq_ignore_ascii_case(&other.text))
        };
        let length = clause.len();
        let (column, is_down) = match clause.as_slice() {
            [words @ .., last] if *last.text == *"down" => (words.len(), true),
            words => (words.len(), false),
        };
        let starts = (0..self.len()).find(|at| {
            length > 0
                && is_same(&self.words[*at..(*at + column).min(self.len())])
                && at + column <= self.len()
        });
        match starts {
            None => self.words.extend(clause),
            Some(at) if is_down && self.lower(at + column) != "down" => {
                self.words.splice(at + column..at + column, clause.into_iter().next_back());
            }
            Some(_) => {}
        }
    }

    pub(super) fn set(&mut self, at: usize, text: String) {
        self.words[at].text = Cow::Owned(text);
    }

    /// The clause that the word at `at` stands in.
    pub(super) fn clause(&self, at: usize) -> Option<Keyword> {
        self.words[..at].iter().rev().find_map(|word| match word.class {
            Class::Keyword(keyword) if keyword.starts_clause() => Some(keyword),
            _ => None,
        })
    }

    /// Whether the word at `at` stands among columns, where nothing is tested.
    pub(super) fn is_in_columns(&self, at: usize) -> bool {
        let clause = self.clause(at);
        clause.is_some_and(|clause| !matches!(clause, Keyword::Keep | Keyword::On))
    }

    /// Whether the word at `at` is what `piece` stands for.
    pub(super) fn fits(&self, at: usize, piece: Piece, names: &Vocabulary) -> bool {
        let Some(word) = self.get(at) else { return false };
        let class = &word.class;
        match piece {
            Piece::Word(wanted) => {
                !matches!(class, Class::Quoted(_)) && word.text.eq_ignore_ascii_case(wanted)
            }
            Piece::Operand => {
                matches!(
                    class,
                    Class::Number(_) | Class::Quantity(_) | Class::Thread(_) | Class::Field
                )
            }
            Piece::Measure => matches!(class, Class::Quantity(_)),
            // In a shell's quotes too: `count "14"`.
            Piece::Number => match class {
                Class::Number(_) => true,
                Class::Quoted(text) => matches!(read_quoted(text), Some(QuotedValue::Number(_))),
                _ => false,
            },
            Piece::Count => count(&word.text).is_some(),
            Piece::Share => {
                matches!(class, Class::Quantity(found) if found.dimension() == Dimension::Ratio)
            }
            Piece::Field => self.is_field(at),
            Piece::OpenField => self.is_field(at) && self.is_apart(at + 1),
            Piece::Flag => self.field_is(at, |kind| kind == FieldKind::Flag),
            Piece::DateField => {
                let field = find_field(&word.text).filter(|_| *class == Class::Field);
                field.is_some_and(crate::query::resolve::is_date)
            }
            Piece::Date => *class == Class::Date || is_year(&word.text),
            Piece::Relation => self.relates(at),
            Piece::Text => matches!(class, Class::Word | Class::Quoted(_)),
            // `with oli` is a slip for a lube; `with left hand thread` is a word of a name.
            Piece::NoLube => {
                *class == Class::Word
                    && !self.fits(at, Piece::Lube, names)
                    && names.has_words(&word.text)
            }
            Piece::Wrench => names.find(NameOf::Wrench, &word.text).is_some(),
            Piece::Name => {
                let is_name = |text: &str| {
                    NAMED.iter().any(|what| names.find(*what, text).is_some())
                        || text.contains(char::is_alphabetic) && names.has_words(text)
                };
                !self.fits(at, Piece::Wrench, names) && self.begins(at, is_name)
            }
            Piece::Lube => self.begins(at, |text| names.find(NameOf::Lube, text).is_some()),
            Piece::OnlyLube => *class == Class::Word && self.fits(at, Piece::Lube, names),
            Piece::PlainField => {
                self.is_field(at)
                    && !self.field_is(at, |kind| matches!(kind, FieldKind::Lube | FieldKind::Flag))
                    && names.find(NameOf::Lube, &word.text).is_none()
            }
            Piece::MeasuredField => {
                let one = || find_field(word.text.strip_suffix(['s', 'S']).unwrap_or(&word.text));
                let field = find_field(&word.text).or_else(one).filter(|_| self.is_field(at));
                field.is_some_and(|field| is_measure(field.kind))
            }
            Piece::Kind => *class == Class::Word && is_kind(&word.text.to_lowercase()),
            Piece::Kinds => word.text.ends_with(['s', 'S']) && self.fits(at, Piece::Kind, names),
            Piece::Thread => matches!(class, Class::Thread(_)),
            Piece::Size => match class {
                Class::Quantity(found) => found.dimension() == Dimension::Length,
                Class::Thread(_) => word.text.contains('/'),
                _ => false,
            },
            Piece::Material => *class == Class::Word && Material::find(&word.text).is_some(),
            Piece::Unit => find_unit(&word.text).is_some() && !matches!(class, Class::Quoted(_)),
            Piece::Dots => *class == Class::Range,
            Piece::Comma => *class == Class::Comma,
            Piece::Run => matches!(
                class,
                Class::Word
                    | Class::Field
                    | Class::Number(_)
                    | Class::Quantity(_)
                    | Class::Thread(_)
            ),
        }
    }

    fn is_field(&self, at: usize) -> bool {
        let word = &self.words[at];
        word.class == Class::Field || word.class == Class::Word && is_plural_field(&word.text)
    }

    /// Whether the word at `at` is no value of a field before it: a sign, a keyword, or
    /// a small word of the ear.
    fn is_apart(&self, at: usize) -> bool {
        match self.class(at) {
            None | Some(Class::Comma | Class::Close | Class::Keyword(_)) => true,
            Some(Class::Word) => has_word(&self.lower(at)) && !self.relates(at),
            _ => false,
        }
    }

    /// Whether some of the words that stand side by side from `at` are a name.
    fn begins(&self, at: usize, is_name: impl Fn(&str) -> bool) -> bool {
        const LONGEST: usize = 4;
        (at + 1..=(at + LONGEST).min(self.len())).any(|end| {
            let run = &self.words[at..end];
            let is_text = |word: &Word<'_>| {
                matches!(word.class, Class::Word | Class::Field | Class::Number(_))
            };
            let text = run.iter().map(|word| &*word.text).collect::<Vec<_>>().join(" ");
            run.iter().all(is_text) && is_name(&text)
        })
    }

    /// A comparison, also where nothing that the language compares stands before.
    pub(super) fn relates(&self, at: usize) -> bool {
        let Some(word) = self.get(at) else { return false };
        let is_word = || RELATION_WORDS.iter().any(|row| row.0.eq_ignore_ascii_case(&word.text));
        let follows = matches!(
            self.class(at + 1),
            Some(Class::Number(_) | Class::Quantity(_) | Class::Thread(_))
        );
        matches!(word.class, Class::Relation(_))
            || word.class == Class::Word && is_word() && follows
    }

    pub(super) fn field_is(&self, at: usize, kind: impl Fn(FieldKind) -> bool) -> bool {
        let Some(Word { text, class: Class::Field, .. }) = self.get(at) else { return false };
        find_field(text).is_some_and(|field| kind(field.kind))
    }

    /// Whether the figure at `at` goes on with a name of the book: the `40` of `Tern 40`,
    /// where the machine is called Tern 40 pump.
    pub(super) fn is_of_name(&self, at: usize, names: &Vocabulary) -> bool {
        let before = at.checked_sub(1).and_then(|before| self.get(before));
        let goes_on = |before: &Word<'_>| {
            before.class == Class::Word
                && names.has_words(&format!("{} {}", before.text, self.words[at].text))
        };
        before.is_some_and(goes_on)
    }

    /// Whether the word at `at` stands where words are kept as they are: what is denied or
    /// stated, or said in a sentence of the book or by somebody.
    pub(super) fn is_kept(&self, at: usize) -> bool {
        const SENTENCES: [&str; 8] =
            ["text", "notes", "verbatim", "caution", "tags", "key", "entered-by", "checked-by"];
        let Some(before) = at.checked_sub(1) else { return false };
        if self.is_in_columns(at) {
            return true;
        }
        match self.class(before) {
            Some(Class::Keyword(word)) => !matches!(word, Keyword::And | Keyword::Or),
            Some(Class::Field) => {
                find_field(&self.lower(before)).is_some_and(|field| SENTENCES.contains(&field.name))
            }
            _ => matches!(&*self.lower(before), "without" | "but" | "never" | "neither" | "nor"),
        }
    }

    /// Whether the word at `at` belongs to a name of the book that stands here.
    pub(super) fn is_in_name(&self, at: usize, names: &Vocabulary) -> bool {
        self.is_in_longer_name(at, &(at..at + 1), names)
    }

    /// The same, a name that is no more than a part of the words in `own` apart.
    pub(super) fn is_in_longer_name(
        &self,
        at: usize,
        own: &Range<usize>,
        names: &Vocabulary,
    ) -> bool {
        const NEAR: usize = 4;
        for first in at.saturating_sub(NEAR)..=at {
            for end in at + 1..=(at + NEAR).min(self.len()) {
                let is_part = own.start <= first && end <= own.end && end - first < own.len();
                if is_part {
                    continue;
                }
                let run = &self.words[first..end];
                let is_text = |word: &Word<'_>| {
                    matches!(
                        word.class,
                        Class::Word
                            | Class::Field
                            | Class::Number(_)
                            | Class::Keyword(_)
                            | Class::Quantity(_)
                    )
                };
                if run.len() <= NEAR && run.iter().all(is_text) {
                    let text = run.iter().map(|word| &*word.text).collect::<Vec<_>>().join(" ");
                    if is_name(&text, names) {
                        return true;
                    }
                }
            }
        }
        false
    }

    /// The words as one text, each with the place where it was typed.
    pub(super) fn written(&self) -> (String, Vec<Typed>) {
        let mut text = String::new();
        let mut places = Vec::with_capacity(self.words.len());
        for (at, word) in self.words.iter().filter(|word| !word.text.is_empty()).enumerate() {
            let before = at.checked_sub(1).map(|_| text.ends_with('('));
            let is_tight = *word.text == *"," || *word.text == *")" || *word.text == *"..";
            if before == Some(false) && !is_tight && !text.ends_with("..") {
                text.push(' ');
            }
            let start = text.len();
            text.push_str(&word.text);
            places.push(Typed { read: Span::new(start, text.len()), typed: word.span });
        }
        (text, places)
    }
}

/// The count that `text` says in figures or in a word, if it is a small one.
fn count(text: &str) -> Option<usize> {
    const WORDS: [&str; 12] = [
        "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
        "twelve",
    ];
    let named = || WORDS.iter().position(|word| word.eq_ignore_ascii_case(text));
    let figure = text.parse().ok().filter(|count| (1..=WORDS.len()).contains(count));
    figure.or_else(|| named().map(|at| at + 1))
}

/// Whether `text` may say how many there are.
pub(super) fn is_count(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit()) || count(text).is_some()
}

/// Whether a field of this kind has figures.
pub(super) fn is_measure(kind: FieldKind) -> bool {
    matches!(kind, FieldKind::Quantity(_) | FieldKind::Share | FieldKind::Number)
}

/// `2019`, as it stands on a sheet.
pub(super) fn is_year(text: &str) -> bool {
    text.len() == 4 && text.parse().is_ok_and(|year: u32| (1900..2100).contains(&year))
}

/// A kind of fastener, also in the plural.
pub(super) fn is_kind(word: &str) -> bool {
    Kind::find(word).is_some() || Kind::find(word.strip_suffix('s').unwrap_or(word)).is_some()
}

/// What a bare word may name, before anything else.
const NAMED: [NameOf; 3] = [NameOf::Assembly, NameOf::Joint, NameOf::Part];

pub(super) fn is_plural_field(text: &str) -> bool {
    text.len() > 3 && text.strip_suffix(['s', 'S']).is_some_and(|one| find_field(one).is_some())
}

/// Whether the book has something of that name.
pub(super) fn is_name(text: &str, names: &Vocabulary) -> bool {
    const WHAT: [NameOf; 5] =
        [NameOf::Assembly, NameOf::Joint, NameOf::Part, NameOf::Lube, NameOf::Strength];
    WHAT.into_iter().any(|what| names.find(what, text).is_some())
}
