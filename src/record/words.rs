//! Words of a free text as they are compared with a table: small letters
//! without accents, in order.

use crate::text::{QuickMap, unmarked};

/// The words of `text`: letters and digits, lower case, accents taken off; a
/// point stays inside a number (`10.9`), everything else parts words.
pub(crate) fn words_of(text: &str) -> Vec<String> {
    let text = unmarked(text);
    let is_digit = |sign: char| sign.is_ascii_digit();
    let mut words = Vec::new();
    for piece in text.split(|sign: char| !(sign.is_alphanumeric() || sign == '.')) {
        let mut start = 0;
        for (at, _) in piece.match_indices('.') {
            if !(piece[..at].ends_with(is_digit) && piece[at + 1..].starts_with(is_digit)) {
                words.push(&piece[start..at]);
                start = at + 1;
            }
        }
        words.push(&piece[start..]);
    }
    words.into_iter().filter(|word| !word.is_empty()).map(str::to_owned).collect()
}

/// Whether `word` is one of `list`. An entry that ends in `*` means every word
/// that begins so.
pub(crate) fn is_one_of(word: &str, list: &[&str]) -> bool {
    list.iter().any(|entry| match entry.strip_suffix('*') {
        Some(beginning) => word.starts_with(beginning),
        None => word == *entry,
    })
}

/// The first of `phrases` whose words stand one after the other in `words`.
pub(crate) fn phrase_in<'p>(words: &[String], phrases: &[&'p str]) -> Option<&'p str> {
    let is_there = |phrase: &&&str| (0..words.len()).any(|at| begins(&words[at..], phrase));
    phrases.iter().find(is_there).copied()
}

/// Many phrases, found in a text by how its words begin: most texts of a large book
/// have none of them and are passed over without being taken apart.
#[derive(Debug)]
pub(crate) struct Phrases {
    /// Each phrase with its place in the list, by its first three letters.
    by_beginning: QuickMap<usize, Vec<(usize, &'static str)>>,
}

/// Letters that differ: none, and `a` to `z`.
const LETTERS: usize = 27;

impl Phrases {
    pub(crate) fn new(phrases: impl Iterator<Item = &'static str>) -> Self {
        let mut by_beginning = QuickMap::<_, Vec<_>>::default();
        for (place, phrase) in phrases.enumerate() {
            by_beginning.entry(index(phrase.bytes())).or_default().push((place, phrase));
        }
        Self { by_beginning }
    }

    /// The place in the list of the first phrase whose words follow each other in
    /// `text`.
    pub(crate) fn first_in(&self, text: &str) -> Option<usize> {
        if !self.may_be_in(text) {
            return None;
        }
        let words = words_of(text);
        let at = |start: usize| {
            let words = &words[start..];
            let phrases = self.by_beginning.get(&index(words[0].bytes()));
            let found = phrases.into_iter().flatten().filter(|(_, phrase)| begins(words, phrase));
            found.map(|(place, _)| *place).min()
        };
        (0..words.len()).filter_map(at).min()
    }

    /// Surely not where it says no.
    fn may_be_in(&self, text: &str) -> bool {
        // A letter with an accent is looked at in full.
        !text.is_ascii()
            || text.split(|c: char| !c.is_ascii_alphanumeric()).any(|word| {
                !word.is_empty() && self.by_beginning.contains_key(&index(word.bytes()))
            })
    }
}

fn begins(words: &[String], phrase: &str) -> bool {
    let mut words = words.iter();
    phrase.split(' ').all(|wanted| words.next().is_some_and(|word| is_one_of(word, &[wanted])))
}

fn index(bytes: impl Iterator<Item = u8>) -> usize {
    let letter = |byte: u8| match byte.to_ascii_lowercase() {
        small @ b'a'..=b'z' => usize::from(small - b'a') + 1,
        _ => 0,
    };
    // A short word ends before its third letter, and so does its phrase.
    let mut letters = bytes.take_while(u8::is_ascii_alphanumeric).take(3).map(letter);
    (0..3).fold(0, |index, _| index * LETTERS + letters.next().unwrap_or(0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_lose_case_accents_and_signs() {
        assert_eq!(words_of("Zündkerze, 10.9 (A2-70)."), ["zundkerze", "10.9", "a2", "70"]);
        assert_eq!(words_of("  "), Vec::<String>::new());
        let words = words_of("Fit NEW bolts each time");
        assert_eq!(phrase_in(&words, &["renew", "new bolt*"]), Some("new bolt*"));
        assert_eq!(phrase_in(&words, &["each new"]), None);
        let known = Phrases::new(["new bolt*", "un solo uso", "zundkerze*", "bolt*"].into_iter());
        let first = |text: &str| known.first_in(text);
        assert_eq!(first("Fit bolts, NEW bolts"), Some(0));
        assert_eq!([first("Un solo uso!"), first("un solo")], [Some(1), None]);
        assert_eq!([first("Zündkerze"), first("zundkerzen")], [Some(2), Some(2)]);
        assert_eq!(first("cylinder head, cover 10.9"), None);
    }
}
