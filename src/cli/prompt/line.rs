//! A line of the prompt taken apart, as a shell would: words between blanks, a
//! quoted one whole.

/// A word and where it starts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Word {
    pub(super) start: usize,
    pub(super) text: String,
    /// The quote that it lacks.
    pub(super) open: Option<char>,
}

/// The words of a line; a line that ends with a blank has an empty last one.
pub(super) fn parted(line: &str) -> Vec<Word> {
    let mut words = Vec::new();
    let mut word = Word { start: 0, text: String::new(), open: None };
    for (at, sign) in line.char_indices() {
        match word.open {
            Some(quote) if sign == quote => word.open = None,
            None if sign.is_whitespace() => {
                let next = Word { start: at + sign.len_utf8(), text: String::new(), open: None };
                words.push(std::mem::replace(&mut word, next));
            }
            // Inside a word it is the sign of inches or feet.
            None if matches!(sign, '"' | '\'')
                && (at == word.start || word.text.ends_with('=')) =>
            {
                word.open = Some(sign);
            }
            Some(_) | None => word.text.push(sign),
        }
    }
    words.push(word);
    let last = words.len() - 1;
    let mut at = 0;
    words.retain(|word| {
        at += 1;
        at == last + 1 || !word.text.is_empty()
    });
    words
}

pub(super) fn words(line: &str) -> Result<Vec<String>, String> {
    let words = parted(line.trim());
    if let Some(quote) = words.iter().find_map(|word| word.open) {
        return Err(format!("a quote is not closed: {quote}"));
    }
    Ok(words.into_iter().map(|word| word.text).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_parted_as_in_a_shell() {
        let read = |line: &str| words(line).map_err(|_| ());
        let of = |words: &[&str]| Ok(words.iter().map(|word| (*word).to_owned()).collect());
        assert_eq!(
            read("lubes  assembly \"Marlow 6\" rod"),
            of(&["lubes", "assembly", "Marlow 6", "rod"])
        );
        assert_eq!(
            read("add part='bolt, short' grip=2.5\""),
            of(&["add", "part=bolt, short", "grip=2.5\""])
        );
        assert_eq!(read("find \"Marlow"), Err(()));
    }

    #[test]
    fn the_last_word_is_the_one_under_the_cursor() {
        let last = |line: &str| parted(line).pop().map(|word| (word.start, word.text, word.open));
        assert_eq!(last("edit "), Some((5, String::new(), None)));
        assert_eq!(last("edit marl"), Some((5, "marl".to_owned(), None)));
        assert_eq!(last("lubes \"Mar"), Some((6, "Mar".to_owned(), Some('"'))));
    }
}
