//! Numbers as written: the value, and how finely it was written.

use std::fmt;

/// Which character stands before the decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DecimalMark {
    /// `70.5`, everywhere unless a file says otherwise.
    #[default]
    Point,
    /// `70,5`, only where an imported file says so.
    Comma,
}

/// How a number was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum NumberForm {
    /// Decimal digits, this many of them after the mark.
    Decimal {
        /// Digits after the decimal mark.
        places: u8,
    },
    /// A fraction, `7/16` or `1-1/2`.
    Fraction { denominator: u16 },
}

/// A non-negative number with the form in which it was written; printing and
/// reading it again gives the same number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Number {
    value: f64,
    form: NumberForm,
}

/// Why a text is not a number.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NumberError {
    #[error("`{0}` is not a number")]
    NotANumber(String),
    /// The letter O or l in place of a digit.
    #[error("letter in number `{0}`: is it `{1}`?")]
    Letter(String, String),
    #[error("`{0}` has too many digits: at most 12 before and 9 after the point")]
    TooLong(String),
    #[error("`{0}` is divided by nothing")]
    NothingUnder(String),
    /// A fraction that is none: nothing over the stroke, or too much of it.
    #[error("`{0}` is not a fraction of an inch as the trade writes it")]
    BadFraction(String),
}

const MOST_WHOLE_DIGITS: usize = 12;
const MOST_PLACES: usize = 9;

impl Number {
    /// `value` as it would be written with `places` decimals; the value is
    /// rounded to them, so that print and read agree.
    pub fn decimal(value: f64, places: u8) -> Self {
        let places = places.min(9);
        let text = format!("{value:.*}", usize::from(places));
        // Invariant: Rust reads back what it formats.
        let value = text.parse().unwrap_or(value);
        Self { value, form: NumberForm::Decimal { places } }
    }

    /// `numerator / denominator`, printed as a fraction. None if the
    /// denominator is 0.
    pub fn fraction(numerator: u32, denominator: u16) -> Option<Self> {
        (denominator > 0).then(|| Self {
            value: f64::from(numerator) / f64::from(denominator),
            form: NumberForm::Fraction { denominator },
        })
    }

    /// From the parts that [`Self::value`] and [`Self::form`] gave.
    pub fn from_parts(value: f64, form: NumberForm) -> Option<Self> {
        (value.is_finite() && value >= 0.0).then_some(Self { value, form })
    }

    /// The number itself, whatever its form.
    pub fn value(self) -> f64 {
        self.value
    }

    /// How it was written.
    pub fn form(self) -> NumberForm {
        self.form
    }

    /// Half of the last digit written: 0.5 for `70`, 0.05 for `70.5`; nothing
    /// for a fraction, which is exact.
    pub fn half_step(self) -> f64 {
        match self.form {
            NumberForm::Decimal { places } => 0.5 * 10f64.powi(-i32::from(places)),
            NumberForm::Fraction { .. } => 0.0,
        }
    }

    /// The whole of `text` as a number.
    pub fn parse(text: &str, mark: DecimalMark) -> Result<Self, NumberError> {
        let text = text.trim();
        match Self::take(text, mark)? {
            (number, length) if length == text.len() => Ok(number),
            _ => Err(not_a_number(text)),
        }
    }

    /// The longest number at the start of `text`, and its length in bytes.
    ///
    /// Takes `70`, `70.5`, `.4375`, `7/16`, `1-1/2` (also with a blank for the
    /// dash); never the point of `60..80`.
    pub fn take(text: &str, mark: DecimalMark) -> Result<(Self, usize), NumberError> {
        if let Some(found) = take_fraction(text)? {
            return Ok(found);
        }
        let whole = digits(text);
        let point = match mark {
            DecimalMark::Point => '.',
            DecimalMark::Comma => ',',
        };
        let places = match text[whole..].strip_prefix(point) {
            Some(rest) => digits(rest),
            None => 0,
        };
        if whole == 0 && places == 0 {
            return Err(not_a_number(text));
        }
        let length = if places > 0 { whole + 1 + places } else { whole };
        if whole > MOST_WHOLE_DIGITS || places > MOST_PLACES {
            return Err(NumberError::TooLong(text[..length].to_owned()));
        }
        let normal = text[..length].replace(point, ".");
        let value = normal.parse().map_err(|_| not_a_number(text))?;
        Ok((Self { value, form: NumberForm::Decimal { places: places as u8 } }, length))
    }
}

fn digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

fn not_a_number(text: &str) -> NumberError {
    let short: String = text.chars().take(24).collect();
    let looks = |c: char| c.is_ascii_digit() || matches!(c, 'O' | 'o' | 'l' | 'I' | '.');
    if !short.is_empty() && short.chars().all(looks) && short.chars().any(|c| c.is_ascii_digit()) {
        let meant = short.replace(['O', 'o'], "0").replace(['l', 'I'], "1");
        if meant != short {
            return NumberError::Letter(short, meant);
        }
    }
    NumberError::NotANumber(short)
}

/// `n/d` or `n-n/d` or `n n/d` at the start of `text`.
fn take_fraction(text: &str) -> Result<Option<(Number, usize)>, NumberError> {
    let first = digits(text);
    if first == 0 {
        return Ok(None);
    }
    let after = &text[first..];
    if let Some(rest) = after.strip_prefix('/') {
        let under = digits(rest);
        if under == 0 {
            return Ok(None);
        }
        return fraction_from("0", &text[..first], &rest[..under], text, first + 1 + under)
            .map(Some);
    }
    let Some(rest) = after.strip_prefix(['-', ' ']) else { return Ok(None) };
    let over = digits(rest);
    let Some(tail) = rest[over..].strip_prefix('/') else { return Ok(None) };
    let under = digits(tail);
    if over == 0 || under == 0 {
        return Ok(None);
    }
    let length = first + 1 + over + 1 + under;
    fraction_from(&text[..first], &rest[..over], &tail[..under], text, length).map(Some)
}

fn fraction_from(
    whole: &str,
    over: &str,
    under: &str,
    text: &str,
    length: usize,
) -> Result<(Number, usize), NumberError> {
    let bad = || NumberError::BadFraction(text[..length].to_owned());
    let whole: u32 = whole.parse().map_err(|_| bad())?;
    let over: u32 = over.parse().map_err(|_| bad())?;
    let under: u16 = under.parse().map_err(|_| bad())?;
    if under == 0 {
        return Err(NumberError::NothingUnder(text[..length].to_owned()));
    }
    let reduced = over > 0 && u32::from(under) > 1 && whole < 10_000 && over < 10_000;
    if !reduced || (whole > 0 && over >= u32::from(under)) {
        return Err(bad());
    }
    let number = Number::fraction(whole * u32::from(under) + over, under).ok_or_else(bad)?;
    Ok((number, length))
}

impl fmt::Display for Number {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.form {
            NumberForm::Decimal { places } => write!(f, "{:.*}", usize::from(places), self.value),
            NumberForm::Fraction { denominator } => {
                let over = (self.value * f64::from(denominator)).round() as u64;
                let under = u64::from(denominator);
                match (over / under, over % under) {
                    (0, part) => write!(f, "{part}/{under}"),
                    (whole, 0) => write!(f, "{}/{under}", whole * under),
                    (whole, part) => write!(f, "{whole}-{part}/{under}"),
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Number {
        Number::parse(text, DecimalMark::Point).unwrap()
    }

    #[test]
    fn numbers_read_and_print_alike() {
        for text in ["70", "70.5", "0.4375", "7/16", "1-1/2", "0", "70.50", "3/2"] {
            let number = read(text);
            assert_eq!(read(&number.to_string()), number, "{text}");
        }
        assert_eq!(read("1-1/2").value(), 1.5);
        assert_eq!(read(".4375").to_string(), "0.4375");
    }

    #[test]
    fn a_range_is_not_eaten() {
        assert_eq!(Number::take("60..80", DecimalMark::Point).unwrap().1, 2);
        assert_eq!(Number::take("1-12", DecimalMark::Point).unwrap().1, 1);
    }

    #[test]
    fn bad_numbers_say_why() {
        assert!(
            matches!(Number::parse("7O", DecimalMark::Point), Err(NumberError::Letter(_, meant)) if meant == "70")
        );
        assert!(matches!(
            Number::parse("1/0", DecimalMark::Point),
            Err(NumberError::NothingUnder(_))
        ));
        assert!(matches!(
            Number::parse("1-9/8", DecimalMark::Point),
            Err(NumberError::BadFraction(_))
        ));
        assert!(Number::parse("nan", DecimalMark::Point).is_err());
        assert!(Number::parse("70,5", DecimalMark::Point).is_err());
        assert_eq!(Number::parse("70,5", DecimalMark::Comma).unwrap().value(), 70.5);
        assert!(matches!(
            Number::parse("1234567890123", DecimalMark::Point),
            Err(NumberError::TooLong(_))
        ));
    }
}
