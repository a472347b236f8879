//! Duty, reuse and locking where only words speak of them: a joint named `wheel nut`
//! of which no duty is stated is still one whose maker's procedure governs.

use std::sync::LazyLock;

use crate::record::words::Phrases;
use crate::record::{Duty, Fastener};

/// What a word of the record says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Meaning {
    /// A duty with a procedure of its own.
    Duty(Duty),
    /// A plug of any kind.
    Plug,
    SingleUse,
}

/// Words of each duty in English, German, French, Italian and Spanish, without
/// accents; `*` stands for any ending. Common practice, no source.
#[rustfmt::skip] // one duty a row, read as a table
static DUTIES: &[(Meaning, &[&str])] = &[
    (Meaning::Duty(Duty::SparkPlug), &["spark plug*", "sparkplug*", "glow plug*", "zundkerze*", "gluhkerze*", "bougie*", "candela", "candele", "candeletta", "bujia*"]),
    (Meaning::Plug, &["plug", "plugs", "verschlussschraube*", "verschlussstopfen", "ablassschraube*", "olablassschraube*", "stopfen", "bouchon*", "tappo", "tappi", "tapon*"]),
    (Meaning::Duty(Duty::Wheel), &["wheel", "wheels", "lug", "lugs", "hub", "hubs", "rim", "rims", "rad", "rader", "radmutter*", "radbolzen", "radschraube*", "radnabe*", "nabe*", "felge*", "roue*", "moyeu*", "jante*", "ruota", "ruote", "mozzo", "mozzi", "cerchio", "cerchi", "cerchione", "rueda*", "llanta*", "buje*", "cubo"]),
    (Meaning::Duty(Duty::Brake), &["brake*", "caliper*", "calliper*", "brems*", "frein*", "etrier*", "freno", "freni", "frenos", "pinza freno", "pinza de freno"]),
    (Meaning::Duty(Duty::Steering), &["steering", "tie rod*", "track rod*", "drag link*", "ball joint*", "kingpin*", "king pin*", "pitman*", "suspension", "lenk*", "spurstange*", "kugelgelenk*", "federung", "radaufhangung", "direction", "rotule*", "sterzo", "sospensione", "testina sterzo", "direccion", "rotula*", "volante"]),
    (Meaning::Duty(Duty::Lifting), &["lifting", "hoist*", "crane*", "sling*", "shackle*", "eye bolt*", "eyebolt*", "eye nut*", "lifting eye*", "hebe*", "kran*", "ringschraube*", "ringmutter*", "anschlag*", "lastaufnahme*", "levage", "anneau", "grue", "elingue*", "sollevamento", "golfar*", "gru", "elevacion", "izaje", "cancamo*", "grua"]),
    (Meaning::Duty(Duty::Pressure), &["pressure", "boiler*", "steam", "autoclave*", "druckbehalter*", "druckkessel", "kessel*", "dampf*", "pression", "chaudiere*", "vapeur", "pressione", "caldaia", "vapore", "presion", "caldera*", "vapor"]),
];

#[rustfmt::skip] // one language a row
static ONCE: &[&str] = &[
    "new each time", "new every time", "always new", "single use", "one time", "one use", "use once", "used once", "replace", "replaced", "renew", "renewed", "discard", "discarded", "do not reuse", "do not re use", "never reuse", "not reusable", "fit new", "use new", "new bolt*", "new screw*", "new nut*", "new stud*", "torque to yield", "tty", "stretch bolt*",
    "einmal verwend*", "nur einmal", "einweg*", "ersetzen", "erneuern", "erneuert", "immer neu*", "jedesmal neu*", "neue schraube*", "neue mutter*", "nicht wiederverwend*", "dehnschraube*", "wegwerfen",
    "remplacer", "remplacement", "renouveler", "usage unique", "ne pas reutiliser", "vis neuve*", "ecrou neuf", "ecrous neufs", "jeter",
    "sostituire", "sostituzione", "monouso", "uso singolo", "non riutilizzare", "viti nuove", "vite nuova", "dado nuovo",
    "reemplazar", "sustituir", "un solo uso", "no reutilizar", "no volver a usar", "tornillo nuevo", "tornillos nuevos", "tuerca nueva", "desechar",
];

#[rustfmt::skip] // one language a row
static LOCKING: &[&str] = &[
    "lock nut*", "locknut*", "locking nut*", "self locking", "nylon insert*", "nylon ring*", "prevailing", "deformed thread*", "all metal lock*",
    "sicherungsmutter*", "stoppmutter*", "selbstsichernd*", "selbsthemmend*", "klemmteil*",
    "autofrein*", "auto frein*", "ecrou frein*", "ecrous frein*", "indesserrable*",
    "autobloccant*", "auto bloccant*",
    "autoblocante*", "autofrenante*",
];

#[rustfmt::skip] // one language a row
static MULTIPLIERS: &[&str] = &[
    "multiplier*",
    "drehmomentvervielfaltiger*", "kraftvervielfaltiger*", "drehmomentverstarker*",
    "multiplicateur*", "demultiplicateur*", "moltiplicator*", "multiplicador*",
];

/// Whether `text` speaks of a gear between wrench and nut: the wrench is then set to
/// another figure than the torque at the nut.
pub(crate) fn names_multiplier(text: &str) -> bool {
    static PHRASES: LazyLock<Phrases> = LazyLock::new(|| Phrases::new(MULTIPLIERS.iter().copied()));
    PHRASES.first_in(text).is_some()
}

/// The words of `fastener` that say that its thread locks: none where its prevailing
/// torque, or how it counts, is stated.
pub(crate) fn locking_word(fastener: &Fastener) -> Option<&'static str> {
    static PHRASES: LazyLock<Phrases> = LazyLock::new(|| Phrases::new(LOCKING.iter().copied()));
    if fastener.prevailing.is_some() || fastener.prevailing_rule.is_some() {
        return None;
    }
    first_in(fastener, &PHRASES).map(|place| LOCKING[place])
}

/// The first duty that the words of `fastener` tell, and the word that tells it:
/// none where a duty is stated, which settles it.
pub(crate) fn duty_word(fastener: &Fastener) -> Option<(Meaning, &'static str)> {
    static PHRASES: LazyLock<Phrases> =
        LazyLock::new(|| Phrases::new(duty_phrases().map(|(_, phrase)| phrase)));
    if fastener.joint.duty.is_some() {
        return None;
    }
    first_in(fastener, &PHRASES).and_then(|place| duty_phrases().nth(place))
}

fn duty_phrases() -> impl Iterator<Item = (Meaning, &'static str)> {
    DUTIES.iter().flat_map(|(meaning, phrases)| phrases.iter().map(|phrase| (*meaning, *phrase)))
}

/// The words of `fastener` that say that it is used once: none where reuse is
/// stated, which settles it.
pub(crate) fn reuse_word(fastener: &Fastener) -> Option<(Meaning, &'static str)> {
    static PHRASES: LazyLock<Phrases> = LazyLock::new(|| Phrases::new(ONCE.iter().copied()));
    if fastener.reuse.is_some() {
        return None;
    }
    first_in(fastener, &PHRASES).map(|place| (Meaning::SingleUse, ONCE[place]))
}

/// The place of the first of `phrases` in the first text of `fastener` that has one.
fn first_in(fastener: &Fastener, phrases: &Phrases) -> Option<usize> {
    let joint = &fastener.joint;
    let free = [fastener.notes.as_deref(), fastener.verbatim.as_deref()];
    let named = [Some(joint.assembly.as_str()), Some(&joint.name), Some(&fastener.part)];
    let tags = fastener.tags.iter().map(|tag| Some(tag.as_str()));
    named.into_iter().chain(free).chain(tags).flatten().find_map(|text| phrases.first_in(text))
}

/// The word as it is shown: without the mark for any ending.
pub(crate) fn shown(phrase: &str) -> &str {
    phrase.trim_end_matches('*')
}
