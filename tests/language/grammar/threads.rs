//! What the comments of `tokens.bnf` say about threads and a rule cannot.

use super::notation::Recogniser;

/// Whether the text from `start` to `end`, which fits `<thread>`, is none after
/// all: a word stands twice, a class stands where there is none, or a number
/// after a cross between blanks is a length.
pub(crate) fn is_none(parser: &Recogniser<'_>, text: &str, start: usize, end: usize) -> bool {
    let thread = &text[start..end];
    !each_once(thread) || is_length(parser, text, start, end)
}

/// Hand, series, grade and class, each at most once, and no class after a
/// series that has none.
fn each_once(thread: &str) -> bool {
    let (mut hand, mut series, mut grade, mut class) = (0, 0, 0, 0);
    let mut classless = false;
    for (at, part) in thread.split([' ', '-']).enumerate() {
        let head = part.trim_end_matches(|sign: char| sign.is_ascii_alphabetic());
        match &part[head.len()..] {
            "lh" | "rh" | "hand" => hand += 1,
            "coarse" | "fine" => grade += 1,
            "bsw" | "bsf" | "ba" | "npt" | "nptf" | "bspt" => {
                series += 1;
                classless = true;
            }
            "un" | "unr" | "unc" | "nc" | "unrc" | "unf" | "nf" | "unrf" | "unef" | "nef"
            | "unref" | "uns" | "unrs" | "unjc" | "unjf" | "unjef" | "unj" | "unjs" | "bspp" => {
                series += 1;
            }
            "a" | "b" if at > 0 || thread.starts_with(['g', 'b']) => class += 1,
            last if last.len() == 1
                && at > 0
                && head.ends_with(|sign: char| sign.is_ascii_digit()) =>
            {
                class += 1;
            }
            _ => {}
        }
        if classless && class > 0 && matches!(&part[head.len()..], "a" | "b") {
            return false;
        }
    }
    [hand, series, grade, class].iter().all(|count| *count < 2)
}

/// `m10 x 60`, `m10 x 2 in`: a blank at the cross, and no pitch after it.
fn is_length(parser: &Recogniser<'_>, text: &str, start: usize, end: usize) -> bool {
    let thread = &text[start..end];
    if !thread.starts_with('m') {
        return false;
    }
    let digits = |from: &str| {
        from.find(|sign: char| !sign.is_ascii_digit() && sign != '.').unwrap_or(from.len())
    };
    let series = thread.len() - thread.trim_start_matches(['m', 'j']).len();
    let size_end = series + digits(&thread[series..]);
    let rest = &thread[size_end..];
    let number = rest.trim_start_matches([' ', 'x', '*', '-']);
    let joint = &rest[..rest.len() - number.len()];
    let width = digits(number);
    if !joint.contains(['x', '*', '-']) || width == 0 || !joint.contains(' ') {
        return false;
    }
    let size: f64 = thread[series..size_end].parse().unwrap_or(0.0);
    let pitch: f64 = number[..width].parse().unwrap_or(0.0);
    let possible = pitch >= 0.1 && (pitch * 1000.0).round() <= (size * 1000.0 * 3.0 / 10.0).floor();
    let after = start + size_end + joint.len() + width;
    let unit = text.len() - text[after..].trim_start_matches(' ').len();
    let units = parser.ends("unit", unit);
    let longest = units.ends().rev().find(|at| {
        text[*at..].is_empty() || text[*at..].starts_with([' ', ',', '(', ')', ';', '+', '/'])
    });
    let other = longest.is_some_and(|at| parser.ends("other-length", unit).reach(at));
    !possible || other
}
