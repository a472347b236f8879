//! Questions typed as the arguments of a command.

/// The question that the arguments of a command make.
///
/// One argument is the whole question. With several, an argument that holds a
/// blank was quoted in the shell and is QUOTED here too; a comma that the shell
/// left on it (`"engine oil", dry`) stands after it.
pub fn join_arguments<S: AsRef<str>>(arguments: &[S]) -> String {
    match arguments {
        [whole] => whole.as_ref().to_owned(),
        several => several
            .iter()
            .map(|argument| one_of_several(argument.as_ref()))
            .collect::<Vec<_>>()
            .join(" "),
    }
}

fn one_of_several(argument: &str) -> String {
    let text = argument.trim_end_matches(',');
    let commas = &argument[text.len()..];
    let whole = !text.is_empty() && !text.contains(char::is_whitespace);
    if whole || text.is_empty() && !commas.is_empty() || is_quoted(text) {
        return argument.to_owned();
    }
    format!("{}{commas}", quote(text))
}

/// Whether `text` already stands in quotes, from end to end.
fn is_quoted(text: &str) -> bool {
    let inner = text.strip_prefix('"').and_then(|text| text.strip_suffix('"'));
    inner.is_some_and(|inner| !inner.is_empty() && !inner.replace("\"\"", "").contains('"'))
}

/// `text` in quotes, a quote inside it doubled.
pub(crate) fn quote(text: &str) -> String {
    format!("\"{}\"", text.replace('"', "\"\""))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_argument_is_the_whole_question() {
        assert_eq!(join_arguments(&["head with engine oil, dry"]), "head with engine oil, dry");
        assert_eq!(join_arguments::<&str>(&[]), "");
    }

    #[test]
    fn an_argument_with_a_blank_is_quoted() {
        let cases: &[(&[&str], &str)] = &[
            (&["assembly", "Marlow 6"], "assembly \"Marlow 6\""),
            (&["head", "with", "engine oil,", "dry"], "head with \"engine oil\", dry"),
            (&["M10,", "head"], "M10, head"),
            (&["part", "3.5\" long"], "part \"3.5\"\" long\""),
            (&["part", "\"oil pan\""], "part \"oil pan\""),
            (&["part", "\"oil\" pan \"b\""], "part \"\"\"oil\"\" pan \"\"b\"\"\""),
            (&["part", ""], "part \"\""),
            (&["head", ",", "oil"], "head , oil"),
            (&["part", "oil\u{a0}pan"], "part \"oil\u{a0}pan\""),
        ];
        for (arguments, question) in cases {
            assert_eq!(join_arguments(arguments), *question);
        }
    }
}
