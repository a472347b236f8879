//! The nearest known word to one that is not known.

/// The candidate most like `word`, if one is near enough to be a slip of the
/// finger: at most one edit in three characters, a swap counting as one.
///
/// A candidate that starts with the typed word (three characters or more) is
/// near too. Ties go to the first candidate.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = word.to_lowercase();
    let length = word.chars().count();
    let allowed = (length / 3).max(1);
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates {
        let folded = candidate.to_lowercase();
        let mut distance = strsim::damerau_levenshtein(&word, &folded);
        if length >= 3 && folded.starts_with(&word) {
            distance = distance.min(1);
        }
        if distance <= allowed && best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_words_are_found_and_far_ones_not() {
        let words = ["torque", "thread", "lube"];
        assert_eq!(nearest("torqe", words), Some("torque"));
        assert_eq!(nearest("tread", words), Some("thread"));
        assert_eq!(nearest("thr", words), Some("thread"));
        assert_eq!(nearest("stretch", words), None);
    }
}
