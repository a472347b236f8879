//! Lists of numbers: which one a book uses, and which ones this program knows.

use crate::store::row::numbers::LISTS;

/// A list of numbers that never change their meaning: the members of a record,
/// the words of a choice, the variants of an enum, units, series.
#[derive(Debug)]
pub(crate) struct List {
    /// What the list is of, one word.
    pub(crate) name: &'static str,
    /// Rising numbers with the names they have in a text.
    pub(crate) entries: &'static [(u16, &'static str)],
}

impl List {
    /// Whether the numbers rise, from 1 at least.
    pub(crate) const fn rises(&self) -> bool {
        let (mut at, mut last) = (0, 0);
        while at < self.entries.len() {
            if self.entries[at].0 <= last {
                return false;
            }
            last = self.entries[at].0;
            at += 1;
        }
        true
    }

    pub(crate) const fn highest(&self) -> u16 {
        match self.entries.last() {
            Some((number, _)) => *number,
            None => 0,
        }
    }

    pub(crate) fn number_of(&self, name: &str) -> Option<u16> {
        self.entries.iter().find(|(_, known)| *known == name).map(|(number, _)| *number)
    }

    pub(crate) fn name_of(&self, number: u16) -> Option<&'static str> {
        self.entries.iter().find(|(known, _)| *known == number).map(|(_, name)| *name)
    }
}

/// The highest number of every list, as `current`, an image and a backup say
/// it: `fastener=38 joint=8 ...`.
pub(crate) fn in_use() -> String {
    let each = LISTS.iter().map(|list| format!("{}={}", list.name, list.highest()));
    each.collect::<Vec<_>>().join(" ")
}

/// Why a program cannot use what lists say.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Unusable {
    /// It does not know these, by name and number.
    Newer(String),
    /// The text is no such list.
    NotLists,
}

/// Whether this program knows every number of the lists `in_use`.
pub(crate) fn known(in_use: &str) -> Result<(), Unusable> {
    let mut newer = Vec::new();
    for list in in_use.split_ascii_whitespace() {
        let (name, highest) = list.split_once('=').ok_or(Unusable::NotLists)?;
        let highest: u16 = highest.parse().map_err(|_| Unusable::NotLists)?;
        match LISTS.iter().find(|known| known.name == name) {
            Some(known) if known.highest() >= highest => {}
            Some(known) => {
                newer.push(format!("{name} {highest} (this one ends at {})", known.highest()));
            }
            None => newer.push(format!("the list `{name}`")),
        }
    }
    if newer.is_empty() { Ok(()) } else { Err(Unusable::Newer(newer.join(", "))) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::UNITS;

    #[test]
    fn what_this_program_uses_it_knows() {
        assert_eq!(known(&in_use()), Ok(()));
    }

    #[test]
    fn a_higher_number_or_another_list_is_named() {
        for list in LISTS {
            let newer = format!("{}={}", list.name, list.highest() + 1);
            let Err(Unusable::Newer(why)) = known(&newer) else { panic!("{newer} is known") };
            assert!(why.starts_with(&newer.replace('=', " ")), "{why}");
        }
        let chamfer = Unusable::Newer("the list `chamfer`".to_owned());
        assert_eq!(known("chamfer=2"), Err(chamfer));
        for bad in ["fastener", "fastener=", "fastener=x", "fastener=70000"] {
            assert_eq!(known(bad), Err(Unusable::NotLists), "{bad}");
        }
    }

    #[test]
    fn lists_have_names_of_their_own_and_rise() {
        for (at, list) in LISTS.iter().enumerate() {
            assert!(list.rises() && !list.entries.is_empty(), "{}", list.name);
            assert!(LISTS[..at].iter().all(|other| other.name != list.name), "{}", list.name);
            assert!(!list.name.contains(['=', ' ', '\n']), "{}", list.name);
            let names = list.entries.iter().map(|(_, name)| *name);
            let unlike = names.collect::<std::collections::BTreeSet<_>>();
            assert_eq!(unlike.len(), list.entries.len(), "{}", list.name);
        }
    }

    #[test]
    fn every_unit_has_a_number() {
        let unit = LISTS.iter().find(|list| list.name == "unit").unwrap();
        for row in UNITS {
            assert!(unit.number_of(row.symbol).is_some(), "`{}` has no number", row.symbol);
        }
        for (number, symbol) in unit.entries {
            let known = UNITS.iter().any(|row| row.symbol == *symbol);
            assert!(known, "unit {number}, `{symbol}`, is not in UNITS any more");
        }
    }
}
