//! Letters with marks, read as they are typed without them.

/// Letters and what stands for each: the bare letter, and after it, where a
/// language writes more than one, the longer form.
const MARKED: &[(&str, &str, &str)] = &[
    ("ä", "a", "ae"),
    ("ö", "o", "oe"),
    ("ü", "u", "ue"),
    ("ß", "ss", "ss"),
    ("æ", "ae", "ae"),
    ("ø", "o", "oe"),
    ("å", "a", "aa"),
    ("œ", "oe", "oe"),
    ("þ", "th", "th"),
    ("àáâãāăą", "a", "a"),
    ("çćčĉċ", "c", "c"),
    ("ďđð", "d", "d"),
    ("èéêëēĕėęě", "e", "e"),
    ("ĝğġģ", "g", "g"),
    ("ĥħ", "h", "h"),
    ("ìíîïĩīĭįı", "i", "i"),
    ("ĵ", "j", "j"),
    ("ķ", "k", "k"),
    ("ĺļľŀł", "l", "l"),
    ("ñńņňŋ", "n", "n"),
    ("òóôõōŏő", "o", "o"),
    ("ŕŗř", "r", "r"),
    ("śŝşšș", "s", "s"),
    ("ţťŧț", "t", "t"),
    ("ùúûũūŭůűų", "u", "u"),
    ("ŵ", "w", "w"),
    ("ýÿŷ", "y", "y"),
    ("źżž", "z", "z"),
];

fn replaced(
    text: &str,
    form: impl Fn(&(&'static str, &'static str, &'static str)) -> &'static str,
) -> String {
    if text.is_ascii() {
        return text.to_owned();
    }
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match MARKED.iter().find(|row| !letter.is_ascii() && row.0.contains(letter)) {
            Some(row) => out.push_str(form(row)),
            None => out.push(letter),
        }
    }
    out
}

/// A folded word in every way that it may be typed: `müller`, `muller`,
/// `mueller`; a word without marked letters in one.
pub fn without_accents(word: &str) -> Vec<String> {
    let mut ways = vec![word.to_owned()];
    if !word.is_ascii() {
        ways.extend([replaced(word, |row| row.1), replaced(word, |row| row.2)]);
        ways.dedup();
    }
    ways
}

/// `text` in lower case, its letters without their marks: `Grüne Mühle` is `grune muhle`.
pub fn unmarked(text: &str) -> String {
    replaced(&text.to_lowercase(), |row| row.1)
}

/// `text` in ASCII letters where there is a usual way: `Grüne Mühle` is
/// `gruene muehle`. Lower case.
pub fn transliterated(text: &str) -> String {
    replaced(&text.to_lowercase(), |row| row.2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marked_letters_are_read_both_ways() {
        assert_eq!(without_accents("müller"), ["müller", "muller", "mueller"]);
        assert_eq!(without_accents("über"), ["über", "uber", "ueber"]);
        assert_eq!(without_accents("vérin"), ["vérin", "verin"]);
        assert_eq!(without_accents("head"), ["head"]);
        assert_eq!(transliterated("Grüne Mühle, Straße"), "gruene muehle, strasse");
    }
}
