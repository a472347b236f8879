//! What may be meant by a question that cannot be read: only what the book answers.

use crate::query::asked;
use crate::store::Book;
use crate::text::Diagnostic;

/// What is said where nothing that may be meant can be read.
const ELSE: &str = "`clampbook list fields` says what each field holds";

/// Writes the offers of `found` as whole questions: those that find rows, else those
/// that can be read.
pub(super) fn check(mut found: Box<Diagnostic>, text: &str, book: &Book) -> Box<Diagnostic> {
    let (Some(before), Some(after)) = (text.get(..found.span.start), text.get(found.span.end..))
    else {
        return found;
    };
    let tried = |offer: String| {
        let before = if offer.starts_with(',') { before.trim_end() } else { before };
        // What is no lube is a word like any other: `with washers` is no clause then.
        let before = match found.code {
            "unknown-name" => before.trim_end().strip_suffix("with").unwrap_or(before),
            _ => before,
        };
        let whole = format!("{before}{offer}{after}").trim().to_owned();
        let asked = asked(&whole, book, usize::MAX).ok()?;
        Some((whole, !asked.answer.is_empty()))
    };
    // A field that has no such number is not offered; its units are.
    let is_field = |offer: &str| match found.code {
        "bare-number" => offer.starts_with(char::is_alphabetic),
        code => matches!(code, "bad-value" | "unknown-name"),
    };
    let offers = std::mem::take(&mut found.offers).into_iter().filter_map(|offer| {
        let needs_rows = is_field(&offer);
        tried(offer).filter(|(_, finds)| *finds || !needs_rows)
    });
    let mut each: Vec<(String, bool)> = offers.collect();
    if each.is_empty() && found.help.is_empty() && !denies(before, found.span.slice(text)) {
        // At last the question without what cannot be read.
        each.extend(tried(String::new()).filter(|(_, finds)| *finds));
    }
    if each.iter().any(|(_, finds)| *finds) {
        each.retain(|(_, finds)| *finds);
    }
    let each: Vec<String> = each.into_iter().map(|(whole, _)| format!("`{whole}`")).collect();
    if !each.is_empty() {
        found.help = vec![written(&each)];
    } else if found.help.is_empty() {
        *found = found.help(ELSE);
    }
    found
}

/// Whether what would be left out says no, or is what was said no to: without it the
/// question would be turned round.
fn denies(before: &str, out: &str) -> bool {
    const DENY: [&str; 8] = ["no", "not", "without", "never", "lacks", "none", "nor", "except"];
    let is_denial = |word: &str| DENY.contains(&&*word.to_lowercase());
    out.split_whitespace().chain(before.split_whitespace().next_back()).any(is_denial)
}

/// "write `a`, `b` or `c`".
fn written(each: &[String]) -> String {
    match each {
        [most @ .., last] if !most.is_empty() => format!("write {} or {last}", most.join(", ")),
        each => format!("write {}", each.join("")),
    }
}
