//! What a spreadsheet that opens a CSV file makes of a text.

/// Whether a spreadsheet would change `text` instead of showing it: run it as a
/// formula (a sign first), make a date of it (7/16, 5-12, 1-3-2; where days are
/// written with dots, 10.9 too), or a number that looks otherwise (007, 12E5,
/// more than 15 digits).
///
/// Whole dates with their year in front are dates in truth, and left. Common
/// practice of spreadsheet programs, no source.
pub fn is_changed_by_a_spreadsheet(text: &str) -> bool {
    text.starts_with(['=', '+', '-', '@', '\t', '\r'])
        || is_made_date(text)
        || is_dotted_date(text)
        || is_made_number(text)
}

/// Two or three groups of one or two digits, parted by `-` or `/`.
fn is_made_date(text: &str) -> bool {
    let groups: Vec<&str> = text.split(['-', '/']).map(str::trim).collect();
    let is_small =
        |group: &&str| matches!(group.len(), 1..=2) && group.bytes().all(|b| b.is_ascii_digit());
    // The last may be a year.
    let is_year = |group: &&str| group.len() == 4 && group.bytes().all(|b| b.is_ascii_digit());
    match groups.as_slice() {
        [first, last] => is_small(first) && (is_small(last) || is_year(last)),
        [first, middle, last] => {
            is_small(first) && is_small(middle) && (is_small(last) || is_year(last))
        }
        _ => false,
    }
}

/// Day and month, or day, month and year, parted by dots, as much of Europe
/// writes a date: the property class 10.9 would become the 10th of September.
/// The first must be able to be a day and no group is nought: 70.5 and 0.5 stay.
fn is_dotted_date(text: &str) -> bool {
    let groups: Vec<&str> = text.trim_end_matches('.').split('.').collect();
    let figure = |group: &str| {
        let is_short =
            matches!(group.len(), 1 | 2 | 4) && group.bytes().all(|b| b.is_ascii_digit());
        group.parse::<u32>().ok().filter(|figure| is_short && *figure > 0)
    };
    let figures: Option<Vec<u32>> = groups.iter().map(|group| figure(group)).collect();
    figures.is_some_and(|all| matches!(all.len(), 2 | 3) && all[0] <= 31)
}

fn is_made_number(text: &str) -> bool {
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    if digits(text) {
        return text.len() > 15 || (text.len() > 1 && text.starts_with('0'));
    }
    text.split_once(['e', 'E']).is_some_and(|(number, power)| {
        digits(&number.replacen('.', "", 1)) && digits(power.trim_start_matches(['+', '-']))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_would_be_changed_is_known() {
        let spoilt = ["=1+1", "+90°", "-", "@x", "7/16", "5-12", "1-3-2", "7/16-20", "10-24"];
        let more = [
            "3-12",
            "1/2/2024",
            "12 / 5",
            "007",
            "12E5",
            "1.5e10",
            "1234567890123456",
            "10.9",
            "8.8",
            "12.9",
            "10.9.",
            "3.12.2024",
        ];
        for text in spoilt.into_iter().chain(more) {
            assert!(is_changed_by_a_spreadsheet(text), "{text}");
        }
        let sound = ["7/16-20 UNF", "M10x1.5", "1-4-2-5-3-6", "65 lb-ft", "2024-05-12", "70.5"];
        let more = [
            "70",
            "0",
            "0.5",
            "10.0",
            "10.9 T",
            "10.955",
            "1.2.3.4",
            "p. 3-12",
            "1/2 in",
            "1-1/8-7 UNC",
            "24-017",
            "",
            "E5",
            "x",
        ];
        for text in sound.into_iter().chain(more) {
            assert!(!is_changed_by_a_spreadsheet(text), "{text}");
        }
    }
}
