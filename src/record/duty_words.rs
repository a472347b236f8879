//! Duty and reuse where only words speak of them: a joint named `wheel nut`
//! of which no duty is stated is still one whose maker's procedure governs.

use std::sync::LazyLock;

use crate::record::words::{Beginnings, phrase_in, words_of};
use crate::record::{Duty, Fastener};

/// What a word of the record says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Said {
    /// A duty with a procedure of its own.
    Duty(Duty),
    /// A plug of any kind.
    Plug,
    /// Used once.
    SingleUse,
}

/// Words of each duty in English, German, French, Italian and Spanish, without
/// accents; `*` stands for any ending. Common practice, no source.
#[rustfmt::skip] // one duty a row, read as a table
static DUTIES: &[(Said, &[&str])] = &[
    (Said::Duty(Duty::SparkPlug), &["spark plug*", "sparkplug*", "glow plug*", "zundkerze*", "gluhkerze*", "bougie*", "candela", "candele", "candeletta", "bujia*"]),
    (Said::Plug, &["plug", "plugs", "verschlussschraube*", "verschlussstopfen", "ablassschraube*", "olablassschraube*", "stopfen", "bouchon*", "tappo", "tappi", "tapon*"]),
    (Said::Duty(Duty::Wheel), &["wheel", "wheels", "lug", "lugs", "hub", "hubs", "rim", "rims", "rad", "rader", "radmutter*", "radbolzen", "radschraube*", "radnabe*", "nabe*", "felge*", "roue*", "moyeu*", "jante*", "ruota", "ruote", "mozzo", "mozzi", "cerchio", "cerchi", "cerchione", "rueda*", "llanta*", "buje*", "cubo"]),
    (Said::Duty(Duty::Brake), &["brake*", "caliper*", "calliper*", "brems*", "frein*", "etrier*", "freno", "freni", "frenos", "pinza freno", "pinza de freno"]),
    (Said::Duty(Duty::Steering), &["steering", "tie rod*", "track rod*", "drag link*", "ball joint*", "kingpin*", "king pin*", "pitman*", "suspension", "lenk*", "spurstange*", "kugelgelenk*", "federung", "radaufhangung", "direction", "rotule*", "sterzo", "sospensione", "testina sterzo", "direccion", "rotula*", "volante"]),
    (Said::Duty(Duty::Lifting), &["lifting", "hoist*", "crane*", "sling*", "shackle*", "eye bolt*", "eyebolt*", "eye nut*", "lifting eye*", "hebe*", "kran*", "ringschraube*", "ringmutter*", "anschlag*", "lastaufnahme*", "levage", "anneau", "grue", "elingue*", "sollevamento", "golfar*", "gru", "elevacion", "izaje", "cancamo*", "grua"]),
    (Said::Duty(Duty::Pressure), &["pressure", "boiler*", "steam", "autoclave*", "druckbehalter*", "druckkessel", "kessel*", "dampf*", "pression", "chaudiere*", "vapeur", "pressione", "caldaia", "vapore", "presion", "caldera*", "vapor"]),
];

/// Words that say that a fastener is used once.
#[rustfmt::skip] // one language a row
static ONCE: &[&str] = &[
    "new each time", "new every time", "always new", "single use", "one time", "one use", "use once", "used once", "replace", "replaced", "renew", "renewed", "discard", "discarded", "do not reuse", "do not re use", "never reuse", "not reusable", "fit new", "use new", "new bolt*", "new screw*", "new nut*", "new stud*", "torque to yield", "tty", "stretch bolt*",
    "einmal verwend*", "nur einmal", "einweg*", "ersetzen", "erneuern", "erneuert", "immer neu*", "jedesmal neu*", "neue schraube*", "neue mutter*", "nicht wiederverwend*", "dehnschraube*", "wegwerfen",
    "remplacer", "remplacement", "renouveler", "usage unique", "ne pas reutiliser", "vis neuve*", "ecrou neuf", "ecrous neufs", "jeter",
    "sostituire", "sostituzione", "monouso", "uso singolo", "non riutilizzare", "viti nuove", "vite nuova", "dado nuovo",
    "reemplazar", "sustituir", "un solo uso", "no reutilizar", "no volver a usar", "tornillo nuevo", "tornillos nuevos", "tuerca nueva", "desechar",
];

/// The first duty that the words of `fastener` tell, and the word that tells it:
/// none where a duty is stated, which settles it.
pub(crate) fn duty_word(fastener: &Fastener) -> Option<(Said, &'static str)> {
    if fastener.joint.duty.is_some() {
        return None;
    }
    find(fastener, |words| {
        DUTIES.iter().find_map(|(said, phrases)| Some((*said, phrase_in(words, phrases)?)))
    })
}

/// The words of `fastener` that say that it is used once: none where reuse is
/// stated, which settles it.
pub(crate) fn reuse_word(fastener: &Fastener) -> Option<(Said, &'static str)> {
    if fastener.reuse.is_some() {
        return None;
    }
    find(fastener, |words| phrase_in(words, ONCE).map(|phrase| (Said::SingleUse, phrase)))
}

/// How every phrase of the two tables begins.
static BEGINNINGS: LazyLock<Beginnings> = LazyLock::new(|| {
    let duties = DUTIES.iter().flat_map(|(_, phrases)| phrases.iter());
    Beginnings::of_phrases(duties.chain(ONCE).copied())
});

/// The first text of `fastener` in which `look` finds something.
fn find<T>(fastener: &Fastener, look: impl Fn(&[String]) -> Option<T>) -> Option<T> {
    let joint = &fastener.joint;
    let free = [fastener.notes.as_deref(), fastener.verbatim.as_deref()];
    let named = [Some(joint.assembly.as_str()), Some(&joint.name), Some(&fastener.part)];
    let tags = fastener.tags.iter().map(|tag| Some(tag.as_str()));
    named
        .into_iter()
        .chain(free)
        .chain(tags)
        .flatten()
        .filter(|text| BEGINNINGS.may_be_in(text))
        .find_map(|text| look(&words_of(text)))
}

/// The word as it is shown: without the mark for any ending.
pub(crate) fn shown(phrase: &str) -> &str {
    phrase.trim_end_matches('*')
}
