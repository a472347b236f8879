//! What may come next in a half-typed question.

use crate::quantity::{DecimalMark, Number, UNITS};
use crate::query::syntax::{CLAUSES, RELATION_WORDS, RESERVED};
use crate::record::{FieldKind, NameOf, field_words, find_field};
use crate::store::{Book, StoreError};

/// The words of the language and the names of one book.
#[derive(Debug, Default)]
pub(super) struct Words {
    names: Vec<(NameOf, Vec<String>)>,
    threads: Vec<String>,
}

impl Words {
    /// The words of `book`.
    pub(super) fn of(book: &Book) -> Result<Self, StoreError> {
        let vocabulary = book.vocabulary()?;
        let kinds = [NameOf::Assembly, NameOf::Joint, NameOf::Part, NameOf::Lube, NameOf::Strength];
        let names = kinds.map(|what| {
            let names = vocabulary.names(what).into_iter().map(str::to_owned).collect();
            (what, names)
        });
        let threads = vocabulary.threads().map(|(thread, _)| thread.to_owned()).collect();
        Ok(Self { names: names.to_vec(), threads })
    }

    /// Where the word under the cursor starts, and what it may become.
    pub(super) fn candidates(&self, line: &str) -> (usize, Vec<String>) {
        let start = line.rfind([' ', ',', '(']).map_or(0, |at| at + 1);
        let word = line[start..].to_lowercase();
        let before = line[..start].trim_end();
        let mut found: Vec<String> = self
            .expected(before)
            .into_iter()
            .filter(|candidate| candidate.to_lowercase().starts_with(&word))
            .collect();
        found.sort_unstable();
        found.dedup();
        (start, found)
    }

    /// What may stand after `before`, most particular first.
    fn expected(&self, before: &str) -> Vec<String> {
        let last = before.rsplit([' ', ',', '(']).next().unwrap_or("").to_lowercase();
        if Number::parse(&last, DecimalMark::Point).is_ok() {
            return UNITS.iter().map(|unit| unit.symbol.replace('·', ".")).collect();
        }
        match last.as_str() {
            "with" => return self.named(NameOf::Lube),
            "units" => return units(),
            "confused-with" => return self.threads.clone(),
            _ => {}
        }
        if before.ends_with(',') && clause(before) == Some("with") {
            return self.named(NameOf::Lube);
        }
        match find_field(&last).map(|field| (field.kind, field.name)) {
            Some((FieldKind::Lube, _)) => self.named(NameOf::Lube),
            Some((FieldKind::Strength, _)) => self.named(NameOf::Strength),
            Some((FieldKind::Thread, _)) => self.threads.clone(),
            Some((FieldKind::Choice(words), _)) => words.iter().map(ToString::to_string).collect(),
            Some((_, "assembly")) => self.named(NameOf::Assembly),
            Some((_, "joint")) => self.named(NameOf::Joint),
            Some((_, "part")) => self.named(NameOf::Part),
            Some((FieldKind::Quantity(_) | FieldKind::Share | FieldKind::Number, _)) => {
                RELATION_WORDS.iter().map(|(word, _)| (*word).to_owned()).collect()
            }
            _ => self.anything(),
        }
    }

    fn named(&self, what: NameOf) -> Vec<String> {
        let names = self.names.iter().find(|(kind, _)| *kind == what);
        names.map(|(_, names)| names.clone()).unwrap_or_default()
    }

    fn anything(&self) -> Vec<String> {
        let fields = field_words().iter().map(|word| (*word).to_owned());
        let keywords = RESERVED.iter().map(|(word, _)| (*word).to_owned());
        let names = self.names.iter().flat_map(|(_, names)| names.iter().cloned());
        fields.chain(keywords).chain(names).chain(self.threads.iter().cloned()).collect()
    }
}

fn units() -> Vec<String> {
    let families = ["metric".to_owned(), "inch".to_owned()];
    UNITS.iter().map(|unit| unit.symbol.replace('·', ".")).chain(families).collect()
}

/// The last clause word of a half-typed question.
fn clause(before: &str) -> Option<&'static str> {
    let words = before.split([' ', ',', '(']).rev();
    words.into_iter().find_map(|word| {
        CLAUSES.iter().map(|clause| clause.spelling()).find(|spelling| *spelling == word)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words() -> Words {
        Words {
            names: vec![(NameOf::Lube, vec!["moly".into(), "oil".into()])],
            threads: vec!["7/16-20".into()],
        }
    }

    #[test]
    fn candidates_follow_from_what_stands_before() {
        assert_eq!(words().candidates("7/16-20 with o"), (13, vec!["oil".into()]));
        assert_eq!(words().candidates("7/16-20 with oil, m"), (18, vec!["moly".into()]));
        assert_eq!(words().candidates("7/1"), (0, vec!["7/16-20".into()]));
        assert_eq!(words().candidates("torque over 60 N.").1, ["N.cm", "N.m"]);
        assert_eq!(words().candidates("torq").1, ["torque"]);
        assert!(words().candidates("torque ").1.contains(&"over".to_owned()));
    }
}
