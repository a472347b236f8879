//! Adjacent words joined into the longest name that the book knows.

use crate::query::resolve::{Name, Names, Test, material};
use crate::query::syntax::{Bare, Item, Join, Leaf, Read, What};
use crate::record::{Field, FieldKind, Kind, NameOf, find_field};
use crate::text::{fold_name, nearest};

/// A name found in a run of words, and how many items it took.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Joined<T> {
    pub found: T,
    /// Items used.
    pub items: usize,
}

/// Phrases of the trade for a word of a closed list, or for a flag.
const PHRASES: &[(&[&str], &str, Option<&str>)] = &[
    (&["lug nut", "lug bolt", "wheel nut", "wheel bolt", "wheel stud"], "duty", Some("wheel")),
    (&["blind hole"], "blind", None),
    (&["through hole"], "through", None),
    (&["opens into coolant", "into coolant", "open to coolant"], "wet-to", Some("coolant")),
    (&["opens into oil", "into oil", "open to oil"], "wet-to", Some("oil")),
    (
        &["opens into port", "opens into a port", "into port", "open to port"],
        "wet-to",
        Some("port"),
    ),
    (
        &["single use", "one use", "one time use", "use once", "throw away", "discard"],
        "single-use",
        None,
    ),
    (&["out of date", "obsolete"], "superseded", None),
];

/// Fields of closed lists whose words stand for themselves.
pub(crate) const LISTS: [&str; 5] = ["duty", "method", "basis", "source-kind", "wet-to"];

/// Most words that a name may have; longer runs are not tried.
const LONGEST_NAME: usize = 8;
/// Most words of a phrase of the trade, or of a word of a closed list.
const LONGEST_PHRASE: usize = 4;
/// Most words before and after a bare number that may make a name with it.
const NEAR_WORDS: usize = 3;

/// The bare words that stand side by side from the start of `items`, joined
/// by blanks: the longest first.
fn runs(items: &[Item]) -> Vec<(String, usize)> {
    let mut words: Vec<&str> = Vec::new();
    let mut runs = Vec::new();
    for (at, item) in items.iter().take(LONGEST_NAME).enumerate() {
        let joined = at == 0 || is_beside(item);
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

fn is_beside(item: &Item) -> bool {
    item.join == Join::Beside && item.not.is_none()
}

/// What may be a word of a name: `oil`, the `6` of a name, the `thread` of
/// "thread sealant".
fn is_wordlike(leaf: &Leaf) -> bool {
    matches!(leaf.read, Read::Word | Read::Number(_) | Read::Field)
}

/// `value` with the words of `after` that may go on with it, the longest first;
/// each with the number of items of `after` that it takes.
pub(super) fn longer(value: &Leaf, after: &[Item]) -> Vec<(String, usize)> {
    let follows = value.read != Read::Quoted && after.first().is_some_and(is_beside);
    let rest = if follows { runs(after) } else { Vec::new() };
    let joined = rest.into_iter().map(|(rest, items)| (format!("{} {rest}", value.text), items));
    joined.chain([(value.text.clone(), 0)]).collect()
}

/// What a bare name may name, in the order of trial.
const BARE_ORDER: [NameOf; 5] =
    [NameOf::Assembly, NameOf::Joint, NameOf::Part, NameOf::Lube, NameOf::Strength];

/// The longest bare name at the start of `items`: an assembly, joint or part,
/// else a lube, strength or kind.
pub(super) fn bare(items: &[Item], names: Names<'_>) -> Option<Joined<Test>> {
    let runs = runs(items);
    let known = runs.iter().find_map(|(text, items)| {
        let named = BARE_ORDER.iter().find_map(|what| find(*what, text, names));
        let word = || if *items <= LONGEST_PHRASE { word(text, names) } else { None };
        // `screw clamp` is the part "screw, clamp", whatever else `clamp` may be.
        let of_field = || goes_on_in_field(text) && names.vocabulary.has_words(text);
        let by_words = || of_field().then(|| Test::Bare(by_words(text.clone())));
        let found = named.map(Test::Bare).or_else(word).or_else(by_words)?;
        Some(Joined { found, items: *items })
    });
    known.or_else(|| {
        runs.into_iter().find_map(|(text, items)| {
            // A number alone is never a name.
            let has_letters = text.contains(char::is_alphabetic);
            let is_name =
                has_letters && names.vocabulary.has_words(&text) && !is_kind_of(&text, names);
            is_name.then(|| Joined { found: Test::Bare(by_words(text)), items })
        })
    })
}

/// `pump bolts`: the bolts of whatever is called pump, not only those of a part that has
/// both words.
fn is_kind_of(text: &str, names: Names<'_>) -> bool {
    let Some((name, last)) = text.rsplit_once(' ') else { return false };
    let is_alone = find_field(name).is_none() || is_called(name, names);
    kind(last).is_some() && is_alone && names.vocabulary.has_words(name)
}

/// Whether a word of `text` behind the first is called like a field.
fn goes_on_in_field(text: &str) -> bool {
    text.split(' ').skip(1).any(|word| find_field(word).is_some())
}

/// Whether an assembly, joint or part is called so.
pub(super) fn is_called(text: &str, names: Names<'_>) -> bool {
    BARE_ORDER[..3].iter().any(|what| names.vocabulary.find(*what, text).is_some())
}

/// The assembly, joint or part that has these words in its name.
fn by_words(text: String) -> Name {
    let spellings = vec![fold_name(&text)];
    Name { what: NameOf::Part, name: text, spellings }
}

/// A kind, a phrase of the trade, or a word of a closed list that stands for
/// itself: stated, or said by the text, whatever the field.
fn word(text: &str, names: Names<'_>) -> Option<Test> {
    let either = |field, word: Option<&'static str>, text: &str| {
        let field = find_field(field)?;
        let stated = word.map_or(Test::Flag(field), |word| Test::Choice(field, word));
        Some(Test::Any(vec![stated, says(text)]))
    };
    if let Some(kind) = kind(text) {
        return either("kind", Some(kind), kind);
    }
    let folded = fold_name(text);
    let singular = folded.strip_suffix('s').unwrap_or(&folded);
    let is_phrase = |phrase: &&str| **phrase == folded || **phrase == *singular;
    if let Some((_, field, word)) = PHRASES.iter().find(|row| row.0.iter().any(is_phrase)) {
        return either(field, *word, singular);
    }
    let choice = LISTS.into_iter().find_map(|name| {
        let word = choice_word(find_field(name)?, text)?;
        // A machine that is called so comes before a duty, and any name before another word
        // for one: a flange before what is under pressure.
        let has_name = |text| word != singular && names.vocabulary.has_words(text);
        let is_name =
            name == "duty" && (names.vocabulary.names_machine(text) || has_name(singular));
        let named = || Some(Test::Bare(by_words(text.to_owned())));
        if is_name { named() } else { either(name, Some(word), singular) }
    });
    choice.or_else(|| material::of_bolt(text, names))
}

/// That the text says `words`.
pub(super) fn says(words: &str) -> Test {
    Test::Says(find_field("text").expect("there is a field of the text"), fold_name(words))
}

/// The nearest name of the book to the words around item `at`, the longest run
/// of them first.
pub(super) fn around(items: &[Item], at: usize, names: Names<'_>) -> Option<String> {
    let word = |item: &Item| match &item.what {
        What::Bare(Bare::Value(leaf)) if is_wordlike(leaf) => Some(leaf.text.clone()),
        _ => None,
    };
    let joins = |at: &usize| is_beside(&items[at + 1]) && word(&items[*at]).is_some();
    let first = (0..at).rev().take(NEAR_WORDS).take_while(joins).last().unwrap_or(at);
    let after = items[at + 1..].iter().take(NEAR_WORDS);
    let last = at + after.take_while(|item| is_beside(item) && word(item).is_some()).count();
    let words: Vec<String> = items[first..=last].iter().filter_map(word).collect();
    let mut runs = Vec::new();
    for start in 0..=at - first {
        runs.extend((at - first..words.len()).map(|end| &words[start..=end]));
    }
    runs.retain(|run| run.len() > 1);
    runs.sort_by_key(|run| std::cmp::Reverse(run.len()));
    runs.into_iter().find_map(|run| {
        let text = run.join(" ");
        BARE_ORDER.iter().find_map(|what| {
            let near = nearest(&text, names.vocabulary.spellings(*what))?;
            names.vocabulary.find(*what, near).map(str::to_owned)
        })
    })
}

/// Whether the book has something of that name, or with that word in it.
pub(super) fn is_known(text: &str, names: Names<'_>) -> bool {
    BARE_ORDER.iter().any(|what| names.vocabulary.find(*what, text).is_some())
        || names.vocabulary.has_words(text)
}

/// The kind of fastener that `text` says, also in the plural.
pub(super) fn kind(text: &str) -> Option<&'static str> {
    let singular = text.strip_suffix(['s', 'S']).unwrap_or(text);
    Kind::find(text).or_else(|| Kind::find(singular)).map(Kind::word)
}

/// The name of `what` that `text` spells, with all that spell the same.
pub(super) fn find(what: NameOf, text: &str, names: Names<'_>) -> Option<Name> {
    let name = names.vocabulary.find(what, text)?;
    let aliases: &[String] = match what {
        NameOf::Lube => names.tables.lube(name).map_or(&[], |lube| &lube.aliases),
        NameOf::Strength => names.tables.strength(name).map_or(&[], |class| &class.aliases),
        NameOf::Joint | NameOf::Part | NameOf::Assembly | NameOf::Wrench => &[],
    };
    let spellings = std::iter::once(name).chain(aliases.iter().map(String::as_str)).map(fold_name);
    Some(Name { what, name: name.to_owned(), spellings: spellings.collect() })
}

/// The name that `text` spells beside the field typed as `typed`: in `grade 8`
/// the word of the field may be part of the name.
pub(super) fn of_field(
    field: &'static Field,
    typed: &str,
    text: &str,
    names: Names<'_>,
) -> Option<Name> {
    let what = name_of(field)?;
    let with_word = || find(what, &format!("{typed} {text}"), names);
    let by_words = || {
        let is_meant = goes_on_in_field(text) && names.vocabulary.has_words(text);
        let words = fold_name(text);
        let has = |name: &&str| words.split(' ').all(|word| name.contains(word));
        let spellings = names.vocabulary.spellings(what).filter(has).map(str::to_owned);
        let spellings: Vec<String> = spellings.filter(|_| is_meant).collect();
        (!spellings.is_empty()).then(|| Name { what, name: text.to_owned(), spellings })
    };
    find(what, text, names).or_else(with_word).or_else(by_words)
}

/// The longest name of `field`'s kind that starts with `value` and goes on
/// through the bare words of `after`; `items` counts those of `after`.
pub(super) fn for_field(
    (field, typed): (&'static Field, &str),
    value: &Leaf,
    after: &[Item],
    names: Names<'_>,
) -> Option<Joined<Name>> {
    name_of(field)?;
    longer(value, after).into_iter().find_map(|(text, items)| {
        of_field(field, typed, &text, names).map(|found| Joined { found, items })
    })
}

/// The same for the words of a closed list: `duty spark plug`.
pub(super) fn for_choice(
    field: &'static Field,
    value: &Leaf,
    after: &[Item],
) -> Option<Joined<&'static str>> {
    longer(value, after)
        .into_iter()
        .find_map(|(text, items)| choice_word(field, &text).map(|found| Joined { found, items }))
}

/// The figure that goes on with the words of a text: `head-size hex 18 mm`.
pub(super) fn figure_of_text<'a>(
    field: &'static Field,
    value: &Leaf,
    after: &'a [Item],
) -> Option<&'a Leaf> {
    let next = after.first().filter(|item| is_beside(item))?;
    let What::Bare(Bare::Value(leaf)) = &next.what else { return None };
    let is_figure = matches!(leaf.read, Read::Number(_) | Read::Quantity(_) | Read::Thread(_));
    (is_sized(field) && value.read == Read::Word && is_figure).then_some(leaf)
}

/// Whether the text of `field` has a figure with its unit: `hex 18 mm`.
pub(crate) fn is_sized(field: &Field) -> bool {
    matches!(field.name, "head-size" | "drive")
}

/// What the text of `field` is searched for: `18mm` stands there with a blank.
pub(super) fn text_of(field: &Field, value: &Leaf) -> String {
    match &value.read {
        Read::Quantity(quantity) if is_sized(field) => fold_name(&quantity.to_string()),
        _ => fold_name(&value.text),
    }
}

/// Shapes of heads, each of which a figure makes a size: `hex 18 mm`.
const HEADS: [&str; 6] = ["hex", "hexagon", "socket", "12-point", "6-point", "square"];

/// `hex 18 mm` without its field.
pub(super) fn head_of_size(items: &[Item]) -> Option<Joined<(&'static Field, String)>> {
    let What::Bare(Bare::Value(shape)) = &items[0].what else { return None };
    let is_shape = HEADS.iter().any(|head| head.eq_ignore_ascii_case(&shape.text));
    let field = find_field("head-size").filter(|_| is_shape)?;
    let figure = figure_of_text(field, shape, &items[1..])?;
    let found = (field, format!("{} {}", shape.text, text_of(field, figure)));
    Some(Joined { found, items: 2 })
}

/// The word of a closed list that `text` spells, also in the plural or in
/// another of its spellings.
pub(super) fn choice_word(field: &'static Field, text: &str) -> Option<&'static str> {
    let FieldKind::Choice(words) = field.kind else { return None };
    let find = |text: &str| {
        let word = field.read(text).ok()?.cell()?;
        words.iter().copied().find(|known| **known == *word)
    };
    find(text).or_else(|| find(text.strip_suffix(['s', 'S'])?))
}

/// Which names of the book a field holds.
pub(super) fn name_of(field: &'static Field) -> Option<NameOf> {
    match (field.kind, field.name) {
        (FieldKind::Lube, _) | (_, "listed-for") => Some(NameOf::Lube),
        (FieldKind::Strength, _) => Some(NameOf::Strength),
        (_, "assembly") => Some(NameOf::Assembly),
        (_, "joint") => Some(NameOf::Joint),
        (_, "part") => Some(NameOf::Part),
        _ => None,
    }
}

/// The field in which a name of `what` stands.
pub(crate) fn field_of(what: NameOf) -> Option<&'static Field> {
    find_field(match what {
        NameOf::Assembly => "assembly",
        NameOf::Joint => "joint",
        NameOf::Part => "part",
        NameOf::Lube => "lube",
        NameOf::Strength => "strength",
        NameOf::Wrench => "wrench",
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::FIELDS;

    #[test]
    fn every_word_of_a_closed_list_is_found() {
        for field in FIELDS {
            let FieldKind::Choice(words) = field.kind else { continue };
            for word in words {
                assert_eq!(choice_word(field, word), Some(*word), "{} {word}", field.name);
            }
        }
    }
}
