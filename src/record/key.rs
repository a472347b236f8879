//! Stable keys: a short ASCII slug that survives renames.

use crate::text::transliterated;

const LONGEST: usize = 60;

/// The parts of a name as one key: lower-case ASCII letters and digits joined
/// by single dashes, at most 60 characters. A marked
/// letter is written without its mark; anything else is a dash.
pub fn slug(parts: &[&str]) -> String {
    let mut out = String::new();
    for character in transliterated(&parts.join("-")).chars() {
        if character.is_ascii_alphanumeric() {
            out.push(character.to_ascii_lowercase());
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
        if out.len() >= LONGEST {
            break;
        }
    }
    let trimmed = out.trim_end_matches('-');
    if trimmed.is_empty() { "unnamed".to_owned() } else { trimmed.to_owned() }
}

/// `key`, or `key-2`, `key-3`, … the first that is not `taken`; still at most
/// 60 characters.
pub fn unique_slug(key: &str, taken: impl Fn(&str) -> bool) -> String {
    if !taken(key) {
        return key.to_owned();
    }
    let mut number = 2u64;
    loop {
        let ending = format!("-{number}");
        let kept = key.len().min(LONGEST - ending.len());
        let candidate = format!("{}{ending}", key[..kept].trim_end_matches('-'));
        if !taken(&candidate) {
            return candidate;
        }
        number += 1;
    }
}

/// The key of each setting of `fastener`: KEY/LUBE, a second one of the same
/// lube KEY/LUBE.2.
pub fn setting_keys(fastener: &crate::record::Fastener) -> Vec<String> {
    let mut seen: Vec<String> = Vec::with_capacity(fastener.settings.len());
    let mut keys = Vec::with_capacity(fastener.settings.len());
    for setting in &fastener.settings {
        let lube = setting.lube.as_deref().map_or("no-lube".to_owned(), |lube| slug(&[lube]));
        let before = seen.iter().filter(|other| **other == lube).count();
        let ending = if before == 0 { String::new() } else { format!(".{}", before + 1) };
        keys.push(format!("{}/{lube}{ending}", fastener.key));
        seen.push(lube);
    }
    keys
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slugs_are_short_plain_and_unique() {
        assert_eq!(slug(&["Marlow 6", "Head", "stud, long"]), "marlow-6-head-stud-long");
        assert_eq!(slug(&["µ"]), "unnamed");
        assert_eq!(slug(&["Grüne Mühle"]), "gruene-muehle");
        let long = slug(&["x".repeat(90).as_str()]);
        assert_eq!(long.len(), 60);
        let second = unique_slug(&long, |key| key == long);
        assert!(second.len() <= 60 && second.ends_with("-2"));
    }
}
