//! The names that a book knows, for joining words and naming near misses.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, LazyLock, OnceLock};

use crate::record::{Fastener, Tables};
use crate::text::{fold_name, without_accents};

/// What a name stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum NameOf {
    Joint,
    Part,
    Lube,
    Strength,
    Assembly,
    Wrench,
}

/// What is worked out when it is first asked for.
type Later<T> = Arc<LazyLock<T, Box<dyn FnOnce() -> T + Send + Sync>>>;

/// The names of one book: folded spelling to the name as entered.
#[derive(Clone, Default)]
pub struct Vocabulary {
    maps: Maps,
    /// What stands in the place of `maps`, if it is not empty.
    deferred: Option<Later<Maps>>,
    /// Kinds of names that have a source of their own.
    later: BTreeMap<NameOf, Later<BTreeMap<String, String>>>,
    /// Filled when first asked for, which is when all names are known.
    words: OnceLock<BTreeSet<String>>,
    machines: OnceLock<BTreeSet<String>>,
}

/// What a bare word of a question is looked for in.
const NAMED_BY_WORDS: [NameOf; 3] = [NameOf::Assembly, NameOf::Joint, NameOf::Part];

/// The name of that folded spelling, also in the singular or plural.
fn find_in(names: &BTreeMap<String, String>, mut folded: String) -> Option<&str> {
    let singular = folded.strip_suffix('s').unwrap_or(&folded);
    if let Some(name) = names.get(&folded).or_else(|| names.get(singular)) {
        return Some(name);
    }
    folded.push('s');
    names.get(&folded).map(String::as_str)
}

fn name_words(name: &str) -> impl Iterator<Item = &str> {
    name.split(|c: char| !c.is_alphanumeric() && c != '/' && c != '.').filter(|w| !w.is_empty())
}

fn singular(word: &str) -> &str {
    word.strip_suffix('s').filter(|rest| rest.len() > 2).unwrap_or(word)
}

#[derive(Debug, Clone, Default)]
struct Maps {
    names: BTreeMap<NameOf, BTreeMap<String, String>>,
    /// Threads in use, as printed, for near misses and completion.
    threads: BTreeMap<String, usize>,
}

impl std::fmt::Debug for Vocabulary {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.maps().fmt(f)
    }
}

impl Vocabulary {
    /// A vocabulary that `fill` gives when a name is first asked for: most
    /// questions name a thread or a number and need none of a large book's names.
    pub fn deferred(fill: impl FnOnce() -> Self + Send + Sync + 'static) -> Self {
        let maps: Box<dyn FnOnce() -> Maps + Send + Sync> = Box::new(|| fill().maps().clone());
        Self { deferred: Some(Arc::new(LazyLock::new(maps))), ..Self::default() }
    }

    /// The same, with the names of `what` from `fill`, which is called when one
    /// of them is first asked for: few questions name a wrench.
    #[must_use]
    pub fn and_later(
        mut self,
        what: NameOf,
        fill: impl FnOnce() -> Vec<String> + Send + Sync + 'static,
    ) -> Self {
        let names: Box<dyn FnOnce() -> _ + Send + Sync> =
            Box::new(|| fill().into_iter().map(|name| (fold_name(&name), name)).collect());
        self.later.insert(what, Arc::new(LazyLock::new(names)));
        self
    }

    /// The folded spellings of `what`, each with its name.
    fn names_of(&self, what: NameOf) -> Option<&BTreeMap<String, String>> {
        match self.later.get(&what) {
            Some(names) => Some(names),
            None => self.maps().names.get(&what),
        }
    }

    fn maps(&self) -> &Maps {
        self.deferred.as_ref().map_or(&self.maps, |deferred| deferred)
    }

    fn maps_mut(&mut self) -> &mut Maps {
        if let Some(deferred) = self.deferred.take() {
            self.maps = Maps::clone(&deferred);
        }
        &mut self.maps
    }

    /// The names in `fasteners` and `tables`.
    pub fn collect<'a>(fasteners: impl IntoIterator<Item = &'a Fastener>, tables: &Tables) -> Self {
        let mut vocabulary = Self::default();
        for lube in &tables.lubes {
            vocabulary.add(NameOf::Lube, &lube.name, &lube.name);
            lube.aliases.iter().for_each(|alias| vocabulary.add(NameOf::Lube, alias, &lube.name));
        }
        for class in &tables.strengths {
            vocabulary.add(NameOf::Strength, &class.name, &class.name);
            let aliases = class.aliases.iter();
            aliases.for_each(|alias| vocabulary.add(NameOf::Strength, alias, &class.name));
        }
        fasteners.into_iter().for_each(|fastener| vocabulary.add_fastener(fastener));
        vocabulary
    }

    /// The names of one more fastener.
    pub fn add_fastener(&mut self, fastener: &Fastener) {
        self.add(NameOf::Assembly, &fastener.joint.assembly, &fastener.joint.assembly);
        self.add(NameOf::Joint, &fastener.joint.name, &fastener.joint.name);
        self.add(NameOf::Part, &fastener.part, &fastener.part);
        for thread in fastener.thread.iter().chain(&fastener.hole_thread) {
            *self.maps_mut().threads.entry(thread.to_string()).or_default() += 1;
        }
    }

    /// A thread in use, as printed, by so many more fasteners.
    pub fn add_thread(&mut self, thread: &str, fasteners: usize) {
        *self.maps_mut().threads.entry(thread.to_owned()).or_default() += fasteners;
    }

    /// One name of `what`, spelled `spelling`.
    pub fn add(&mut self, what: NameOf, spelling: &str, name: &str) {
        let spelling = fold_name(spelling);
        if spelling.is_empty() {
            return;
        }
        let names = self.maps_mut().names.entry(what).or_default();
        for way in without_accents(&spelling) {
            names.entry(way).or_insert_with(|| name.to_owned());
        }
    }

    /// The name of `what` that `text` spells; a plural matches its singular.
    pub fn find(&self, what: NameOf, text: &str) -> Option<&str> {
        let names = self.names_of(what).filter(|names| !names.is_empty())?;
        let folded = fold_name(text);
        if folded.is_ascii() {
            return find_in(names, folded);
        }
        without_accents(&folded).iter().find_map(|folded| find_in(names, folded.clone()))
    }

    /// Whether `text` is what some assembly is called by, the last word of its name that is
    /// no figure: the `pump` of "Tern 40 pump".
    pub fn names_machine(&self, text: &str) -> bool {
        let machines = self.machines.get_or_init(|| {
            let is_word = |word: &&str| word.contains(char::is_alphabetic);
            let names = self.spellings(NameOf::Assembly);
            let last = names.filter_map(|name| name_words(name).filter(is_word).last());
            last.map(|word| singular(word).to_owned()).collect()
        });
        machines.contains(singular(&fold_name(text)))
    }

    /// Whether an assembly, joint or part has every word of `text` in its name.
    pub fn has_words(&self, text: &str) -> bool {
        let folded = fold_name(text);
        let wanted: Vec<&str> = name_words(&folded).map(singular).collect();
        let is_word = |word: &&str| self.words().contains(*word);
        if wanted.is_empty() || !wanted.iter().all(is_word) {
            return false;
        }
        wanted.len() == 1
            || NAMED_BY_WORDS.into_iter().flat_map(|what| self.spellings(what)).any(|name| {
                wanted.iter().all(|word| name_words(name).any(|found| singular(found) == *word))
            })
    }

    /// The words of assemblies, joints and parts, in the singular.
    fn words(&self) -> &BTreeSet<String> {
        self.words.get_or_init(|| {
            let names = NAMED_BY_WORDS.into_iter().flat_map(|what| self.spellings(what));
            names.flat_map(|name| name_words(name).map(|word| singular(word).to_owned())).collect()
        })
    }

    /// Every spelling of `what`, folded, sorted.
    pub fn spellings(&self, what: NameOf) -> impl Iterator<Item = &str> {
        self.names_of(what).into_iter().flat_map(|names| names.keys().map(String::as_str))
    }

    /// Every name of `what` as entered, sorted, once each.
    pub fn names(&self, what: NameOf) -> Vec<&str> {
        let mut names: Vec<&str> = self
            .names_of(what)
            .into_iter()
            .flat_map(|names| names.values().map(String::as_str))
            .collect();
        names.sort_unstable();
        names.dedup();
        names
    }

    /// The threads in use with the number of fasteners each.
    pub fn threads(&self) -> impl Iterator<Item = (&str, usize)> {
        self.maps().threads.iter().map(|(thread, count)| (thread.as_str(), *count))
    }
}
