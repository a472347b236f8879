//! `field=value` on the command line.

use crate::cli::exit::Failure;
use crate::cli::out::Out;
use crate::cli::sign::Signer;
use crate::text::{taken_out, without_hidden};

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

/// The same of words that may sign the change: `who=` is `--who`.
pub(super) fn signed<'a>(
    words: &'a [String],
    signer: &'a Signer,
) -> Result<(String, Vec<Pair<'a>>, Option<&'a str>), Failure> {
    let (name, mut pairs) = parted(words)?;
    let who = pairs.iter().position(|(field, _)| *field == "who").map(|at| pairs.remove(at).1);
    Ok((name, pairs, who.or(signer.who.as_deref())))
}

/// `words` without characters that cannot be seen; what was taken out is said.
pub(super) fn cleaned(words: &[String], out: &mut Out) -> Vec<String> {
    let mut found = Vec::new();
    let clean = |word: &String| match without_hidden(word) {
        None => word.clone(),
        Some((clean, hidden)) => {
            found.extend(hidden);
            clean
        }
    };
    let clean = words.iter().map(clean).collect();
    if !found.is_empty() {
        out.say(&format!("warning: {}", taken_out(&found)));
    }
    clean
}
