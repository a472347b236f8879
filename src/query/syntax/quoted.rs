//! Quoted text read in the notation that is wanted in its place.
//!
//! From a shell `torque over "60 N.m"` arrives with the quantity in quotes. The
//! tree keeps it as quoted text, because `assembly "60 N.m"` is a name; where a
//! quantity, a range or a thread is wanted the text is read here.

use super::lexer;
use super::source::SourceText;
use super::token::Class;
use crate::quantity::{Number, Quantity};
use crate::thread::Pattern;

/// What quoted text says where a value is wanted.
#[derive(Debug, Clone, PartialEq)]
pub enum QuotedValue {
    Number(Number),
    Quantity(Quantity),
    Thread(Pattern),
    /// From a number or quantity to a quantity, or from number to number.
    Range(Box<Self>, Box<Self>),
}

/// `text` read as a number, quantity, thread or range; None if it is none of
/// them from end to end.
pub fn read_quoted(text: &str) -> Option<QuotedValue> {
    let (tokens, error) = lexer::scan(&SourceText::new(text), &[]);
    let values: Vec<&Class> = tokens.iter().map(|token| &token.class).collect();
    match values.as_slice() {
        _ if error.is_some() => None,
        [value] => single(value),
        [low, Class::Range, high] => {
            let (low, high) = (single(low)?, single(high)?);
            let unit_first = matches!(low, QuotedValue::Quantity(_));
            let fits = matches!(high, QuotedValue::Quantity(_)) || !unit_first;
            fits.then(|| QuotedValue::Range(Box::new(low), Box::new(high)))
        }
        _ => None,
    }
}

fn single(class: &Class) -> Option<QuotedValue> {
    match class {
        Class::Number(number) => Some(QuotedValue::Number(*number)),
        Class::Quantity(quantity) => Some(QuotedValue::Quantity(*quantity)),
        Class::Thread(pattern) => Some(QuotedValue::Thread(pattern.clone())),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quoted_text_is_read_where_a_value_is_wanted() {
        assert!(matches!(read_quoted("60 ft lbs"), Some(QuotedValue::Quantity(_))));
        assert!(matches!(read_quoted("60"), Some(QuotedValue::Number(_))));
        assert!(matches!(read_quoted("M10 x 1.5"), Some(QuotedValue::Thread(_))));
        assert!(matches!(read_quoted("60..80 lb-ft"), Some(QuotedValue::Range(_, _))));
        assert_eq!(read_quoted("60 N.m..80"), None);
        assert_eq!(read_quoted("oil pan"), None);
        assert_eq!(read_quoted("60 N.m \""), None);
    }
}
