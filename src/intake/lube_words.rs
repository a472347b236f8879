//! Lubes and thread conditions in the words of shops, in English, German,
//! French, Spanish and Italian; as [`plain_words`]
//! leaves them.

use std::collections::HashMap;
use std::sync::LazyLock;

use crate::intake::words::plain_words;

/// Lubes and thread conditions: the name in the book, and what is written.
#[rustfmt::skip] // one row a lube
static LUBES: &[(&str, &[&str])] = &[
    ("dry", &["droog", "torr", "torrt", "sucho", "na sucho", "a seco", "clean and dry", "clean & dry", "dry and clean", "clean/dry", "clean", "bone dry", "no lube", "unlubricated", "not lubricated", "without lube", "dry threads", "trocken", "sauber und trocken", "ungeschmiert", "unbehandelt trocken", "ohne schmierung", "sec", "a sec", "seche", "sans graissage", "non graisse", "propre et sec", "non lubrifie", "seco", "en seco", "limpio y seco", "sin lubricar", "sin lubricante", "sin engrasar", "secco", "a secco", "asciutto", "pulito e asciutto", "non lubrificato", "senza lubrificante"]),
    ("oil", &["olie", "geolied", "gesmeerd", "ingesmeerd", "olja", "oljad", "oljat", "olej", "naoliwione", "oleo", "oleado", "oiled", "lightly oiled", "light oil", "engine oil", "motor oil", "machine oil", "lube oil", "clean engine oil", "clean oil", "oil film", "oil on threads", "oily", "lubed", "lubricated", "lube", "lubricate", "wet", "geolt", "leicht geolt", "ol", "motorol", "maschinenol", "eingeolt", "geschmiert", "mit ol", "oel", "geoelt", "motoroel", "huile", "huilee", "legerement huile", "huile moteur", "lubrifie", "lubrifiee", "aceite", "aceitado", "aceite motor", "aceite de motor", "ligeramente aceitado", "lubricado", "olio", "oliato", "olio motore", "leggermente oliato", "lubrificato", "oliata", "oliati", "oliate", "oleato"]),
    ("moly", &["mos2 pate", "pate mos2", "pasta mos2", "mos2 grease", "grasa mos2", "grasso mos2", "molybdeenpasta", "molypasta", "molybdeenvet", "moly lube", "moly paste", "moly grease", "molybdenum", "molybdenum paste", "molybdenum grease", "molybdenum disulphide", "molybdenum disulfide", "moly disulphide", "mos2", "mos2 paste", "molybdanpaste", "molypaste", "molybdanfett", "mos2 fett", "pate au molybdene", "graisse au molybdene", "bisulfure de molybdene", "molybdene", "pasta de molibdeno", "grasa de molibdeno", "molibdeno", "bisulfuro de molibdeno", "pasta al molibdeno", "grasso al molibdeno", "bisolfuro di molibdeno"]),
    ("copper anti-seize", &["cu paste", "cu grease", "cu fett", "cu pate", "pate cu", "graisse cu", "pasta cu", "grasa cu", "grasso cu", "koperpasta", "kopervet", "kopparpasta", "pasta miedziana", "copper paste", "copper grease", "kupferpaste", "kupferfett", "pate au cuivre", "graisse cuivree", "graisse au cuivre", "pate cuivree", "graisse cuivre", "pate cuivre", "kupfermontagepaste", "kupferhaltige paste", "pasta de cobre", "grasa de cobre", "pasta cobre", "antigripante de cobre", "antigripante cobre", "antigrippant cuivre", "antigrippant au cuivre", "antigrippante al rame", "antigrippante rame", "grasa cobre", "grasa al cobre", "pasta rame", "grasso rame", "grasso di rame", "pasta al rame", "grasso al rame", "pasta di rame"]),
    ("anti-seize", &["ni paste", "nickel grease", "nickelpaste", "al paste", "alu paste", "aluminium paste", "aluminiumpaste", "keramikpaste", "ceramic paste", "pate aluminium", "pate nickel", "pate ceramique", "anti seize", "antiseize", "a/seize", "anti seize compound", "anti seize paste", "anti-seize paste", "nickel paste", "montagepaste anti seize", "antigrippant", "anti grippage", "pate antigrippante", "graisse antigrippante", "antigripante", "pasta antigripante", "antigrippaggio", "pasta antigrippaggio", "antigrippante", "antifestfresspaste"]),
    ("grease", &["vet", "gevet", "ingevet", "fettad", "graxa", "engraxado", "greased", "marine grease", "food grease", "food grade grease", "lebensmittelfett", "graisse alimentaire", "grasa alimentaria", "grasso alimentare", "lithium grease", "general grease", "chassis grease", "bearing grease", "gefettet", "fett", "eingefettet", "mehrzweckfett", "lagerfett", "graisse", "graissee", "engrasado", "grasa", "ingrassato", "ingrassata", "ingrassati", "ingrassate", "grasso"]),
    ("threadlocker", &["mittelfest geklebt", "hochfest geklebt", "niedrigfest geklebt", "geklebt", "verklebt", "eingeklebt", "schraubensicherung hochfest", "kleber", "gewindekleber", "colle", "encolle", "pegado", "incollato", "glued", "borgmiddel", "lasvatska", "lasning", "trava rosca", "trava roscas", "klej do gwintow", "thread locker", "thread lock", "threadlock", "stud lock", "studlock", "screw lock", "nut lock", "locking compound", "medium threadlocker", "blue threadlocker", "red threadlocker", "green threadlocker", "thread locking compound", "locking fluid", "thread adhesive", "medium strength threadlocker", "schraubensicherung", "schraubensicherung mittelfest", "gewindesicherung", "schraubenkleber", "sicherungslack", "frein filet", "frein filets", "freinfilet", "colle frein filet", "freno filetti", "frenafiletti", "frena filetti", "fijador de roscas", "fijatornillos", "fijarroscas", "fija roscas", "frenante", "traba roscas", "sellarrosca fijador"]),
    ("sealant", &["thread sealant", "thread sealer", "sealer", "pipe dope", "pipe sealant", "ptfe tape", "thread tape", "jointing compound", "dichtmittel", "gewindedichtung", "dichtmasse", "gewindedichtmittel", "pate a joint", "produit d'etancheite", "pate d'etancheite", "pate etancheite", "joint liquide", "mastic", "dichtpaste", "dichtungsmasse", "gewindedichtpaste", "flussigdichtung", "dichtband", "pasta selladora", "sellante", "sellante de roscas", "pasta sigillante", "sigillante per filetti", "mastice", "pasta per guarnizioni", "etancheite filet", "sellador", "sellador de roscas", "sellarroscas", "sigillante", "sigillafiletti"]),
    ("wax coating", &["wax", "waxed", "gewachst", "cire", "cera"]),
];

/// Words for no lube that do not say `dry`.
#[rustfmt::skip] // words of five languages, side by side
const NO_LUBE: &[&str] = &[
    "none", "no", "nothing", "nil", "no lube", "no lubricant", "without lube", "keine", "keins", "kein", "nichts", "ohne", "ohne schmierung",
    "aucun", "aucune", "rien", "neant", "sans", "sans graissage", "ninguno", "ninguna", "nada", "sin", "sin lubricante",
    "nessuno", "nessuna", "niente", "senza", "senza lubrificante",
];

/// Threads as they come: what is on them only the shop knows.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const RECEIVED: &[&str] = &[
    "as received", "as delivered", "as supplied", "wie geliefert", "lieferzustand", "im lieferzustand",
    "tel que livré", "tel que livre", "etat de livraison", "état de livraison", "como viene", "tal como viene", "come fornito", "come ricevuto",
];

/// Conditions that a title may state for all below it.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const CONDITIONS: &[&str] = &[
    "dry", "clean and dry", "oiled", "lightly oiled", "lubed", "lubricated", "greased", "trocken", "geolt", "geoelt",
    "geschmiert", "gefettet", "a sec", "sec", "huile", "lubrifie", "graisse", "en seco", "seco", "aceitado",
    "lubricado", "engrasado", "a secco", "secco", "oliato", "lubrificato", "ingrassato",
];

/// What a lube is put on, and how far it holds.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const LUBED: &[&str] = &[
    "on", "all", "threads", "thread", "everywhere", "throughout", "use", "with", "the", "bolts", "studs", "screws", "here", "only", "get", "gets",
    "gewinde", "alle", "auf", "uberall", "mit", "filets", "filetages", "tous", "partout", "sur", "avec", "les",
    "roscas", "todas", "todos", "con", "las", "los", "filetti", "tutti", "tutte", "su", "i", "le",
];

/// Words around the name of a lube that do not make it another one; they are
/// kept in the notes.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const LUBE_WORDS: &[&str] = &[
    "light", "lightly", "fresh", "clean", "new", "thin", "film", "smear", "drop", "drops", "of", "on", "the", "a",
    "threads", "thread", "and", "under", "head", "washer", "face", "faces", "both", "blue", "red", "green", "purple",
    "medium", "high", "strength", "med", "grade", "only", "with", "engine", "motor", "machine", "weight", "wt", "sae",
    "well", "mittelfest", "hochfest", "blau", "rot", "leicht", "auf", "gewinde", "bleu", "rouge", "moyen", "fort",
    "azul", "rojo", "medio", "blu", "rosso", "medium-strength", "high-strength", "applied", "coat", "bit", "some",
    "little", "paste", "lube", "compound", "based", "spray", "tape", "locking", "pate", "pasta", "mit", "au", "al", "de", "di", "du",
    "avec", "con", "legerement", "ligeramente", "leggermente", "peu", "poco", "dunn", "wenig", "filets", "filetto", "rosca",
];

/// The name in the book of a lube in the words of [`LUBES`], as `plain_words`
/// leaves them.
pub(crate) fn lube_in_words(folded: &str) -> Option<&'static str> {
    static NAMES: LazyLock<HashMap<&str, &str>> = LazyLock::new(|| {
        let each =
            |(name, words): &'static (&str, &[&str])| words.iter().map(|word| (*word, *name));
        LUBES.iter().flat_map(each).collect()
    });
    NAMES.get(folded).copied().or_else(|| filled_anti_seize(folded))
}

/// `nickel antiseize`: the metal in an anti-seize makes it no other, but for copper.
fn filled_anti_seize(folded: &str) -> Option<&'static str> {
    const COPPER: &[&str] = &["copper", "cu", "kupfer"];
    const METALS: &[&str] =
        &["nickel", "ni", "aluminium", "aluminum", "alu", "al", "moly", "zinc", "silver"];
    const COMPOUND: &[&str] = &["antiseize", "anti seize", "a/seize"];
    let (metal, rest) = folded.split_once(' ')?;
    let bare = rest.strip_suffix(" compound").or_else(|| rest.strip_suffix(" paste"));
    match COMPOUND.contains(&bare.unwrap_or(rest)) {
        true if COPPER.contains(&metal) => Some("copper anti-seize"),
        true if METALS.contains(&metal) => Some("anti-seize"),
        _ => None,
    }
}

/// Whether a cell says that there is no lube: dry, or as well that none is stated.
pub(crate) fn says_no_lube(cell: &str) -> bool {
    NO_LUBE.contains(&plain_words(cell).as_str())
}
