//! The words that throw a fastener away after use, and what a note says of it with them.

use crate::intake::words::KINDS;
use crate::record::Kind;

/// Texts that say a fastener is thrown away after use: in notes, beside a figure and in
/// a column of their own.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const ONCE: &[&str] = &[
    "single use", "single-use", "one time use", "one-time use", "use once", "once only", "throwaway", "throw away", "discard after", "replace after use",
    "do not reuse", "do not re-use", "never reuse", "not reusable", "new bolts", "new bolt each", "new screws", "new studs",
    "always new", "new each time", "new every time", "renew bolts", "renew each time", "replace bolts", "replace bolt", "always replace",
    "neue schrauben", "schrauben erneuern", "schrauben ersetzen", "nicht wiederverwenden", "nicht wiederverwendbar", "einmalschraube", "nur einmal",
    "vis neuves", "vis a remplacer", "never re-use", "ne pas reutiliser", "ne jamais reutiliser", "nie wieder verwenden", "nicht wieder verwenden", "no volver a usar", "non riusare", "remplacer les vis", "usage unique", "tornillos nuevos", "no reutilizar", "un solo uso",
    "neue schraube", "vis neuve", "boulon neuf", "boulons neufs", "tornillo nuevo", "perno nuevo", "pernos nuevos", "vite nuova", "bullone nuovo", "bulloni nuovi",
    "viti nuove", "non riutilizzare", "monouso", "1x use", "one use only", "einmalige verwendung", "einmal verwend", "une seule fois", "una sola vez", "una sola volta",
];

/// Words that throw a fastener away, and that call it new.
#[rustfmt::skip] // words of five languages, side by side
const RENEW: &[&str] = &[
    "renew", "replace", "discard", "bin", "scrap", "erneuern", "ersetzen", "wegwerfen", "austauschen", "remplacer", "jeter", "renouveler",
    "sostituire", "cambiare", "gettare", "sustituir", "reemplazar", "cambiar", "desechar", "vervangen",
];
#[rustfmt::skip] // words of five languages, side by side
const NEW: &[&str] = &[
    "new", "neu", "neue", "neuen", "neuf", "neufs", "neuve", "neuves", "nuovo", "nuova", "nuovi", "nuove", "nuevo", "nueva", "nuevos", "nuevas", "nieuw", "nieuwe",
];
#[rustfmt::skip] // words of five languages, side by side
const EACH: &[&str] = &[
    "each", "every", "always", "jeder", "jedem", "jedes", "jedesmal", "immer", "stets", "chaque", "toujours", "ogni", "sempre", "cada", "siempre", "altijd", "elke",
];
/// When that is done, and words between.
#[rustfmt::skip] // words of five languages, side by side
const OCCASION: &[&str] = &[
    "time", "ones", "build", "rebuild", "assembly", "fitting", "removal", "use", "overhaul", "strip", "after", "at", "on", "to", "be", "and", "the", "it", "them", "must",
    "bei", "nach", "mal", "montage", "demontage", "gebrauch", "verwendung", "zu", "die", "a", "au", "apres", "fois", "remontage", "usage", "les", "la", "le", "l",
    "ad", "dopo", "volta", "montaggio", "smontaggio", "uso", "i", "il", "gli", "da", "en", "vez", "montaje", "desmontaje", "despues", "de", "los", "el", "las",
];
/// Words that make it depend on something.
const WHERE_WORN: &[&str] = &["if", "wenn", "falls", "si", "se", "unless", "worn"];

/// Whether all that is said is that it is so each time: `every time`, `bei jeder Montage`.
pub(crate) fn says_each_time(plain: &str) -> bool {
    let mut words = plain.split(' ');
    words.clone().any(|word| EACH.contains(&word))
        && words.all(|word| EACH.contains(&word) || OCCASION.contains(&word))
}

/// The same of a nut: the bolt or stud in it stays.
#[rustfmt::skip] // words of five languages, side by side
const NUT_ONCE: &[&str] =
    &[
    "new nut", "new lock nut", "new locknut", "ecrou neuf", "ecrous neufs", "neue mutter", "tuerca nueva", "tuercas nuevas", "nueva tuerca", "dado nuovo", "dadi nuovi",
];

/// Words for a fastener of any kind but nut and stud.
#[rustfmt::skip] // words of five languages, side by side
const FASTENER: &[&str] = &[
    "fastener", "fasteners", "schraube", "schrauben", "vis", "tornillo", "tornillos", "perno", "pernos", "vite", "viti",
];

/// Words for what lies below a fastener or secures it: `always new washers`.
#[rustfmt::skip] // words of five languages, side by side
const BESIDE: &[&str] = &[
    "washer", "washers", "gasket", "gaskets", "seal", "seals", "ring", "rings", "pin", "pins", "tab", "tabs", "scheibe", "scheiben",
    "dichtung", "dichtungen", "splint", "splinte", "rondelle", "rondelles", "arandela", "arandelas", "rondella", "guarnizione", "junta", "juntas",
];

/// What a part of a note, in lower case, says is used once, a bolt for any fastener but nut
/// and stud: one of [`ONCE`], `fit a new bolt with each blade`, `never use these bolts again`.
pub(crate) fn says_once(part: &str) -> Option<Kind> {
    let part = part.rsplit(": ").next().unwrap_or(part);
    let words = part.split(|c: char| !c.is_alphanumeric());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    let near = |at: usize, wanted: &[&str]| {
        words[at + 1..].iter().take(4).any(|word| wanted.contains(word))
    };
    let kind = |word: &&str| {
        let row = KINDS.iter().find(|(_, one, other)| one.contains(word) || other.contains(word));
        row.map(|(kind, ..)| *kind)
    };
    let is_new = |at: usize| {
        words[at] == "new"
            && words.get(at + 1).is_some_and(|word| kind(word).is_some())
            && near(at + 1, &["each", "every", "always"])
    };
    let is_refused = |at: usize| {
        ["use", "used", "fit", "fitted"].contains(&words[at])
            && words[..at].iter().rev().take(3).any(|word| ["never", "not"].contains(word))
            && near(at, &["again", "twice"])
    };
    let is_fastener = |word: &&str| FASTENER.contains(word) || kind(word).is_some();
    // `Sostituire le viti`, `Schrauben ersetzen`: the nearest noun is what goes.
    let is_renewed = |at: usize| {
        let noun = |word: &&&str| is_fastener(word) || BESIDE.contains(*word);
        let behind = || words[at + 1..].iter().take(3).find(noun);
        let nearest = behind().or_else(|| words[..at].iter().rev().take(3).find(noun));
        RENEW.contains(&words[at]) && nearest.is_some_and(is_fastener)
    };
    let has_any = |known: &[&str]| words.iter().any(|word| known.contains(word));
    let is_all = words.iter().all(|word| {
        [RENEW, NEW, EACH, OCCASION].iter().any(|known| known.contains(word)) || is_fastener(word)
    });
    let is_bound = has_any(WHERE_WORN);
    let is_once = !is_bound
        && (ONCE.iter().any(|text| part.contains(text))
            || (0..words.len()).any(|at| is_new(at) || is_refused(at) || is_renewed(at))
            || is_all && (has_any(RENEW) || has_any(NEW) && has_any(EACH)));
    if !is_once {
        return NUT_ONCE.iter().any(|text| part.contains(text)).then_some(Kind::Nut);
    }
    let named: Vec<Kind> = words.iter().filter_map(kind).collect();
    let is_other = |kind: &Kind| !matches!(kind, Kind::Nut | Kind::Stud);
    match named.first() {
        _ if has_any(FASTENER) || named.iter().any(is_other) => Some(Kind::Bolt),
        Some(kind) => Some(*kind),
        None => (!has_any(BESIDE)).then_some(Kind::Bolt),
    }
}
