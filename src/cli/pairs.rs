//! `field=value` on the command line.

use crate::cli::exit::Failure;

/// The two sides of `field=value`.
type Pair<'a> = (&'a str, &'a str);

/// The words before the first `field=value`, and those pairs.
pub(super) fn parted<'a>(words: &'a [String]) -> Result<(String, Vec<Pair<'a>>), Failure> {
    let first = words.iter().position(|word| word.contains('=')).unwrap_or(words.len());
    let name = words[..first].join(" ");
    let pair = |word: &'a String| {
        word.split_once('=').ok_or_else(|| {
            let message = format!("`{word}` is no field=value; quote a value that has blanks");
            Failure::Argument(message)
        })
    };
    let pairs: Result<Vec<_>, Failure> = words[first..].iter().map(pair).collect();
    Ok((name, pairs?))
}
