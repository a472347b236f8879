//! Footnotes lettered: each text once, texts that always stand together under
//! one letter.

use std::collections::HashMap;

/// The letter of each footnote with its text, and the letters of each row.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Lettered {
    /// For each row its letters, `a,b`; empty for none.
    pub(crate) marks: Vec<String>,
    /// Letter and text of each footnote.
    pub(crate) texts: Vec<(String, String)>,
}

/// Letters the notes of the rows.
pub(crate) fn letter(rows: &[Vec<String>]) -> Lettered {
    let mut texts: Vec<(&str, Vec<usize>)> = Vec::new();
    let mut known: HashMap<&str, usize> = HashMap::new();
    for (row, notes) in rows.iter().enumerate() {
        for note in notes {
            let index = *known.entry(note).or_insert_with(|| {
                texts.push((note, Vec::new()));
                texts.len() - 1
            });
            if texts[index].1.last() != Some(&row) {
                texts[index].1.push(row);
            }
        }
    }
    let mut groups: Vec<(Vec<usize>, String)> = Vec::new();
    let mut together: HashMap<Vec<usize>, usize> = HashMap::new();
    for (text, at) in texts {
        match together.get(&at) {
            Some(group) => groups[*group].1 = join(&groups[*group].1, text),
            None => {
                together.insert(at.clone(), groups.len());
                groups.push((at, text.to_owned()));
            }
        }
    }
    let mut marks = vec![String::new(); rows.len()];
    let mut lettered = Vec::with_capacity(groups.len());
    for (index, (rows, text)) in groups.into_iter().enumerate() {
        let letter = name(index);
        for row in rows {
            let comma = if marks[row].is_empty() { "" } else { "," };
            marks[row] = format!("{}{comma}{letter}", marks[row]);
        }
        lettered.push((letter, text));
    }
    Lettered { marks, texts: lettered }
}

/// Two notes in one line: one that ends with a stop needs no other sign.
pub(crate) fn join(before: &str, text: &str) -> String {
    let stop = if before.ends_with('.') { "" } else { ";" };
    format!("{before}{stop} {text}")
}

/// a to z, then aa, ab, …
fn name(index: usize) -> String {
    let letter = char::from(b'a' + (index % 26) as u8);
    if index < 26 { letter.to_string() } else { format!("{}{letter}", name(index / 26 - 1)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_text_stands_once() {
        let rows: Vec<Vec<String>> =
            [&["hole end", "coolant"][..], &["hole end", "coolant"], &[], &["blind.", "from dry"]]
                .iter()
                .map(|notes| notes.iter().map(|note| (*note).to_owned()).collect())
                .collect();
        let lettered = letter(&rows);
        assert_eq!(lettered.marks, ["a", "a", "", "b"]);
        let expected = [("a", "hole end; coolant"), ("b", "blind. from dry")];
        let expected: Vec<_> =
            expected.iter().map(|(a, b)| ((*a).to_owned(), (*b).to_owned())).collect();
        assert_eq!(lettered.texts, expected);
        assert_eq!(name(25), "z");
        assert_eq!(name(26), "aa");
    }

    #[test]
    fn a_text_of_other_rows_has_its_own_letter() {
        let rows = vec![vec!["x".to_owned(), "y".to_owned()], vec!["y".to_owned()]];
        assert_eq!(letter(&rows).marks, ["a,b", "b"]);
    }
}
