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

    pub(crate) fn highest(&self) -> u16 {
        self.entries.last().map_or(0, |(number, _)| *number)
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

/// What of the lists `in_use` this program does not know, in words; `None` if
/// it knows all of them. The outer `None` is a text that is no such list.
pub(crate) fn not_known(in_use: &str) -> Option<Option<String>> {
    let mut newer = Vec::new();
    for list in in_use.split_ascii_whitespace() {
        let (name, highest) = list.split_once('=')?;
        let highest: u16 = highest.parse().ok()?;
        match LISTS.iter().find(|known| known.name == name) {
            Some(known) if known.highest() >= highest => {}
            Some(known) => {
                newer.push(format!("{name} {highest} (this one ends at {})", known.highest()));
            }
            None => newer.push(format!("the list `{name}`")),
        }
    }
    Some((!newer.is_empty()).then(|| newer.join(", ")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::UNITS;

    #[test]
    fn what_this_program_uses_it_knows() {
        assert_eq!(not_known(&in_use()), Some(None));
    }

    #[test]
    fn a_higher_number_or_another_list_is_named() {
        for list in LISTS {
            let newer = format!("{}={}", list.name, list.highest() + 1);
            let why = not_known(&newer).unwrap().unwrap();
            assert!(why.starts_with(&newer.replace('=', " ")), "{why}");
        }
        assert_eq!(not_known("chamfer=2"), Some(Some("the list `chamfer`".to_owned())));
        for bad in ["fastener", "fastener=", "fastener=x", "fastener=70000"] {
            assert_eq!(not_known(bad), None, "{bad}");
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
