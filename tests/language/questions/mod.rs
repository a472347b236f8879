//! Questions and the rows that answer them, on a small invented book.

mod besides;
mod book;
mod clauses;
mod counts;
mod ears;
mod evaluator;
mod figures;
mod filters;
mod mistakes;
mod needs;
mod offers;
mod people;
mod plain;
mod plans;
mod second_witness;
mod voices;
mod whole;

/// Copies the folder of a book.
fn copied(from: &std::path::Path, to: &std::path::Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copied(&entry.path(), &target);
        } else {
            std::fs::copy(entry.path(), target).unwrap();
        }
    }
}

/// The questions of each row of the ear, one for each of the words that `+` joins in it,
/// and the same as they are read.
fn ear_rows() -> Vec<(String, String)> {
    let lines = include_str!("../../../grammar/ears.txt").lines().map(str::trim);
    let rows = lines.filter(|line| !line.is_empty() && !line.starts_with(';'));
    rows.flat_map(|row| {
        let columns: Vec<&str> = row.split('|').map(str::trim).collect();
        let [heard, _, typed, read] = columns[..] else { panic!("four columns: {row}") };
        let mut each = vec![typed.split(' ').collect::<Vec<_>>()];
        for words in heard.split(' ').filter(|words| words.contains('+')) {
            let first = words.split('+').next().unwrap();
            let with = |typed: &Vec<&'static str>| {
                let at = typed.iter().position(|found| *found == first);
                words
                    .split('+')
                    .map(|word| {
                        let mut one = typed.clone();
                        if let Some(at) = at {
                            one[at] = word;
                        }
                        one
                    })
                    .collect::<Vec<_>>()
            };
            each = each.iter().flat_map(with).collect();
        }
        each.into_iter().map(|typed| (typed.join(" "), read.to_owned())).collect::<Vec<_>>()
    })
    .collect()
}
