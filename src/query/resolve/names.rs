//! Adjacent words joined into the longest name that the book knows.

use crate::query::resolve::Names;
use crate::query::syntax::{Bare, Item, Join, Leaf, Read, What};
use crate::record::{Field, FieldKind, Kind, NameOf, find_field};

/// A name found in a run of words, and how many items it took.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Joined<T> {
    /// What was found.
    pub found: T,
    /// Items used.
    pub items: usize,
}

/// A name without a field.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum BareName {
    /// Of the book.
    Book(NameOf, String),
    /// A kind of fastener.
    Kind(&'static str),
}

/// Most words that a name may have; longer runs are not tried.
const LONGEST_NAME: usize = 8;

/// The bare words that stand side by side from the start of `items`, joined
/// by blanks: the longest first.
fn runs(items: &[Item]) -> Vec<(String, usize)> {
    let mut words: Vec<&str> = Vec::new();
    let mut runs = Vec::new();
    for (at, item) in items.iter().take(LONGEST_NAME).enumerate() {
        let joined = at == 0 || (item.join == Join::Beside && item.not.is_none());
        let What::Bare(Bare::Value(leaf)) = &item.what else { break };
        if !joined || !is_wordlike(leaf) {
            break;
        }
        words.push(&leaf.text);
        runs.push((words.join(" "), at + 1));
    }
    runs.reverse();
    runs
}

/// What may be a word of a name: `oil`, the `6` of a name, the `thread` of
/// "thread sealant".
fn is_wordlike(leaf: &Leaf) -> bool {
    matches!(leaf.read, Read::Word | Read::Number(_) | Read::Field)
}

/// The longest bare name at the start of `items`: an assembly, joint or part,
/// else a lube, strength or kind.
pub(super) fn bare(items: &[Item], names: Names<'_>) -> Option<Joined<BareName>> {
    const ORDER: [NameOf; 5] =
        [NameOf::Assembly, NameOf::Joint, NameOf::Part, NameOf::Lube, NameOf::Strength];
    runs(items).into_iter().find_map(|(text, items)| {
        let named = ORDER.iter().find_map(|what| {
            let name = names.vocabulary.find(*what, &text)?;
            Some(BareName::Book(*what, name.to_owned()))
        });
        let kind = || Some(BareName::Kind(kind(&text)?));
        named.or_else(kind).map(|found| Joined { found, items })
    })
}

/// The kind of fastener that `text` says, also in the plural.
fn kind(text: &str) -> Option<&'static str> {
    let singular = text.strip_suffix(['s', 'S']).unwrap_or(text);
    Kind::find(text).or_else(|| Kind::find(singular)).map(Kind::word)
}

/// The longest name of `field`'s kind that starts with `value` and goes on
/// through the bare words of `after`; `items` counts those of `after`.
pub(super) fn for_field(
    field: &'static Field,
    value: &Leaf,
    after: &[Item],
    names: Names<'_>,
) -> Option<Joined<(NameOf, String)>> {
    let what = name_of(field)?;
    let find = |text: &str| {
        // "grade 8": the word of the field may be part of the name.
        let with_word = || names.vocabulary.find(what, &format!("{} {text}", field.name));
        names.vocabulary.find(what, text).or_else(with_word).map(str::to_owned)
    };
    let following =
        after.first().is_some_and(|item| item.join == Join::Beside && item.not.is_none());
    let longer = if following && value.read != Read::Quoted { runs(after) } else { Vec::new() };
    longer
        .into_iter()
        .map(|(rest, items)| (format!("{} {rest}", value.text), items))
        .chain([(value.text.clone(), 0)])
        .find_map(|(text, items)| find(&text).map(|name| Joined { found: (what, name), items }))
}

/// Which names of the book a field holds.
pub(super) fn name_of(field: &'static Field) -> Option<NameOf> {
    match (field.kind, field.name) {
        (FieldKind::Lube, _) => Some(NameOf::Lube),
        (FieldKind::Strength, _) => Some(NameOf::Strength),
        (_, "assembly") => Some(NameOf::Assembly),
        (_, "joint") => Some(NameOf::Joint),
        (_, "part") => Some(NameOf::Part),
        _ => None,
    }
}

/// The field in which a name of `what` stands.
pub(super) fn field_of(what: NameOf) -> Option<&'static Field> {
    find_field(match what {
        NameOf::Assembly => "assembly",
        NameOf::Joint => "joint",
        NameOf::Part => "part",
        NameOf::Lube => "lube",
        NameOf::Strength => "strength",
    })
}
