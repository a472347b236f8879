//! Names of lubes and strengths looked up by folded spelling, once per import.

use std::collections::HashMap;

use crate::intake::lube_words::{LUBED, lube_in_words};
use crate::intake::words::plain_words;
use crate::record::{Lube, LubeClass, StrengthClass, Tables};
use crate::text::{fold_name, nearest};

/// The names in a book's tables; a name wins over an alias of another entry.
#[derive(Debug)]
pub(crate) struct Names<'a> {
    lubes: HashMap<String, &'a Lube>,
    strengths: HashMap<String, &'a StrengthClass>,
    /// Words in the longest lube name.
    longest_lube: usize,
    /// What is read was typed just now: who typed it can name a lube of the book.
    pub(crate) is_typed: bool,
}

impl<'a> Names<'a> {
    /// The names in `tables`.
    pub(crate) fn new(tables: &'a Tables) -> Self {
        let mut lubes = HashMap::new();
        for lube in &tables.lubes {
            lubes.insert(fold_name(&lube.name), lube);
        }
        for lube in &tables.lubes {
            for alias in &lube.aliases {
                lubes.entry(fold_name(alias)).or_insert(lube);
            }
        }
        let mut strengths = HashMap::new();
        for class in &tables.strengths {
            strengths.insert(fold_name(&class.name), class);
        }
        for class in &tables.strengths {
            for alias in &class.aliases {
                strengths.entry(fold_name(alias)).or_insert(class);
            }
        }
        let words = |name: &String| name.split(' ').count();
        let longest_lube = lubes.keys().map(words).max().unwrap_or(0).max(4);
        Self { lubes, strengths, longest_lube, is_typed: false }
    }

    /// The same for what was typed just now.
    pub(crate) fn of_typed(tables: &'a Tables) -> Self {
        Self { is_typed: true, ..Self::new(tables) }
    }

    /// The lube that `text` names, hyphens read as blanks.
    pub(crate) fn lube(&self, text: &str) -> Option<&'a Lube> {
        let folded = fold_name(text);
        let found = self.lubes.get(&folded).or_else(|| {
            let blank = folded.replace('-', " ");
            self.lubes.get(&blank).or_else(|| self.lubes.get(&blank.replace(' ', "-")))
        });
        found.copied()
    }

    /// The lube that `text` names, in the words of the book or of a shop.
    pub(crate) fn lube_said(&self, text: &str) -> Option<&'a Lube> {
        if let Some(lube) = self.lube(text) {
            return Some(lube);
        }
        self.lube(lube_in_words(&plain_words(text))?)
    }

    /// The lube that the whole of `text` says, with words such as `threads` and `on all`
    /// around it.
    pub(crate) fn lube_alone(&self, text: &str) -> Option<&'a Lube> {
        let folded = plain_words(text);
        let is_around = |word: &&str| LUBED.contains(word);
        let words: Vec<&str> = folded.split(' ').filter(|word| !is_around(word)).collect();
        self.lube_said(&words.join(" "))
    }

    /// The longest lube name at the start of `text` and its length in bytes.
    pub(crate) fn take_lube(&self, text: &str) -> Option<(&'a Lube, usize)> {
        let mut ends: Vec<usize> = Vec::new();
        let is_inside = |c: char| c.is_alphanumeric() || c == '-' || c == '\'';
        for (at, character) in text.char_indices() {
            if !is_inside(character) && at > 0 {
                if text[..at].ends_with(is_inside) {
                    ends.push(at);
                }
                if character != ' ' || ends.len() >= self.longest_lube {
                    break;
                }
            }
        }
        if text.ends_with(is_inside) && ends.len() < self.longest_lube {
            ends.push(text.len());
        }
        ends.into_iter().rev().find_map(|end| self.lube_said(&text[..end]).map(|lube| (lube, end)))
    }

    /// The strength that `text` names.
    pub(crate) fn strength(&self, text: &str) -> Option<&'a StrengthClass> {
        self.strengths.get(&fold_name(text)).copied()
    }

    /// The known lube name nearest to `text`.
    pub(crate) fn nearest_lube(&self, text: &str) -> Option<&'a str> {
        let found = nearest(text, self.lubes.keys().map(String::as_str))?;
        self.lubes.get(found).map(|lube| lube.name.as_str())
    }

    /// The known strength name nearest to `text`.
    pub(crate) fn nearest_strength(&self, text: &str) -> Option<&'a str> {
        let found = nearest(text, self.strengths.keys().map(String::as_str))?;
        self.strengths.get(found).map(|class| class.name.as_str())
    }

    /// The names of the lubes of `class`, sorted.
    pub(crate) fn lubes_of(&self, class: LubeClass) -> Vec<&'a str> {
        let mut names: Vec<&str> = self
            .lubes
            .values()
            .filter(|lube| lube.class == class)
            .map(|lube| lube.name.as_str())
            .collect();
        names.sort_unstable();
        names.dedup();
        names
    }
}
