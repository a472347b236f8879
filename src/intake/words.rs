//! The words that shops write at the top of their columns and around their
//! tables, in English, German, French, Spanish and Italian.
//!
//! The names of FIELDS come first; what stands here is read beside them. Words
//! are lower case and without accents, as [`plain_words`] leaves them.

use crate::record::Kind;
use crate::text::Plain;

/// Words that say torque, beside the headings of one word.
pub(crate) const TORQUE: &[&str] = &[
    "torques",
    "value",
    "figure",
    "couples",
    "pares",
    "anzugsmomente",
    "drehmomente",
    "coppie",
    "dokrecania",
    "anziehen",
    "endwert",
];

/// Words of a torque heading that add nothing.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const FILLER: &[&str] = &[
    "with", "w/", "using", "for", "value", "values", "the", "bolts", "bolt", "threads", "thread", "in", "of", "at",
    "to", "when", "if", "spec", "setting", "mit", "bei", "in", "im", "gewinde", "avec", "de", "a", "le", "la", "en",
    "con", "di", "da", "filets", "filet", "roscas", "rosca", "and", "schrauben", "vis", "viti", "tornillos", "-", "–",
    "/", "&", "=", "steel", "condition", "lubrication", "do", "not", "nominal", "nom", "nominell", "nominale", "target",
];

/// Words for the low and the high end of a range.
pub(crate) const LOW: &[&str] = &[
    "min",
    "minimum",
    "lo",
    "low",
    "lower",
    "lowest",
    "from",
    "von",
    "mini",
    "minimal",
    "de",
    "desde",
    "minimo",
    "da",
    "untere",
    "mindest",
    "inf",
    "mindestwert",
];
pub(crate) const HIGH: &[&str] = &[
    "max",
    "maximum",
    "hi",
    "high",
    "upper",
    "highest",
    "up to",
    "to",
    "bis",
    "maxi",
    "maximal",
    "hasta",
    "maximo",
    "massimo",
    "a",
    "obere",
    "sup",
    "höchst",
    "hochst",
    "hochstwert",
];
/// The same where nothing says that it is the low one: `Limit`, `not to exceed`.
pub(crate) const LIMIT: &[&str] =
    &["limit", "ceiling", "exceed", "grenz", "grenzwert", "limite", "superior", "superiore"];

/// Words that call a torque the one to aim at, beside its ends.
pub(crate) const NOMINAL: &[&str] = &[
    "nominal", "nom", "nominell", "nennwert", "nenn", "nominale", "target", "aim", "soll", "ziel",
];

/// Words for one step of several, and for the steps together.
#[rustfmt::skip] // words of five languages, side by side
const STEPS: &[(&str, &str)] = &[
    ("pass", "passes"), ("step", "steps"), ("stage", "stages"), ("round", "rounds"), ("phase", "phases"),
    ("stufe", "stufen"), ("schritt", "schritte"), ("schritt", "schritten"), ("durchgang", "durchgange"), ("durchgang", "durchgangen"), ("zug", "zugen"),
    ("etape", "etapes"), ("étape", "étapes"), ("palier", "paliers"), ("passe", "passes"),
    ("paso", "pasos"), ("etapa", "etapas"), ("fase", "fases"), ("pasada", "pasadas"),
    ("passo", "passi"), ("passaggio", "passaggi"), ("passata", "passate"), ("fase", "fasi"), ("stap", "stappen"), ("trap", "trappen"),
];

/// The words for one step, each once or more.
pub(crate) fn step_words() -> impl Iterator<Item = &'static str> {
    STEPS.iter().map(|(one, _)| *one)
}

/// Whether `word` says one step, or several.
pub(crate) fn says_steps(word: &str) -> bool {
    STEPS.iter().any(|(one, several)| *one == word || *several == word)
}

/// Which step of several a word says: `2nd`, `zweite`, `3ª`.
pub(crate) fn ordinal(word: &str) -> Option<u32> {
    const SPELLED: &[(u32, &[&str])] = &[
        (1, &["first", "erste", "primera", "prima", "premiere"]),
        (2, &["second", "zweite", "segunda", "seconda", "deuxieme"]),
        (3, &["third", "dritte", "tercera", "terza", "troisieme"]),
        (4, &["fourth", "vierte", "cuarta", "quarta", "quatrieme"]),
    ];
    let digits = word.trim_end_matches(|c: char| !c.is_ascii_digit());
    if matches!(
        &word[digits.len()..],
        "st" | "nd" | "rd" | "th" | "ere" | "er" | "re" | "e" | "eme" | "a" | "°" | "ª" | "º"
    ) {
        return digits.parse().ok().filter(|number| (1..10).contains(number));
    }
    SPELLED.iter().find(|(_, words)| words.contains(&word)).map(|(number, _)| *number)
}

/// Which step of several a letter or a word behind `Stage` says: `B`, `II`, `two`.
pub(crate) fn running_letter(word: &str) -> Option<u32> {
    const RUNNING: &[&[&str]] = &[
        &["a", "i", "one", "eins", "un", "une", "uno", "una"],
        &["b", "ii", "two", "zwei", "deux", "dos", "due"],
        &["c", "iii", "three", "drei", "trois", "tres", "tre"],
        &["d", "iv", "four", "vier", "quatre", "cuatro", "quattro"],
        &["e", "v", "five", "funf", "cinq", "cinco", "cinque"],
        &["f", "vi", "six", "sechs", "seis", "sei"],
    ];
    let at = RUNNING.iter().position(|words| words.contains(&word))?;
    u32::try_from(at + 1).ok()
}

/// Words for the series of a thread.
pub(crate) const SERIES: &[&str] = &[
    "unc", "unf", "unef", "un", "uns", "unj", "unjf", "bsw", "bsf", "bspp", "bspt", "bsp", "nptf",
    "npt", "ba",
];

/// Words of a title that holds for some of the rows alone: it is kept, and settles nothing.
pub(crate) const EXCEPT: &[&str] =
    &["unless", "except", "sauf", "ausser", "sofern", "salvo", "tranne"];

/// Words for a column that no longer holds.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const OLD: &[&str] = &[
    "old", "previous", "former", "prev", "prior", "year", "vorjahr", "was", "obsolete", "superseded", "alt", "alte",
    "altes", "alter", "bisher", "bisheriges", "fruher", "ancien", "ancienne", "precedent", "viejo", "vieja",
    "anterior", "antiguo", "vecchio", "vecchia", "precedente",
];

/// First words of a line that adds up those above.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const TOTAL: &[&str] = &[
    "total", "totals", "grand total", "sub total", "subtotal", "sum", "summe", "gesamt", "gesamtsumme",
    "zwischensumme", "insgesamt", "totaux", "somme", "sous total", "total general", "suma", "totale", "totali",
    "somma", "count", "anzahl gesamt", "totaal", "summa", "razem", "ogolem", "lacznie", "totalt", "samlet", "sammanlagt", "all together", "all told", "sum total",
];

/// Words that are the whole of its first cell.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const TOTAL_ALONE: &[&str] = &[
    "in all", "altogether", "makes", "everything", "alles zusammen", "zusammen", "macht", "en tout", "au total", "en total", "en todo", "in totale", "in tutto", "samen", "bij elkaar",
];

/// Last words of such a line.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const TOTAL_ENDS: &[&str] = &[
    " in all", " altogether", " total", " in total", " gesamt", " insgesamt", " zusammen", " en tout", " au total", " en total", " in tutto", " totale", " totali",
    " all told", " all together", " in the lot", " alles in allem", " insgesamt", " tout compris", " en todo", " in totale", " sammen",
];

/// First words of a line that is a note.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const NOTE: &[&str] = &[
    "note", "notes", "nb", "n.b", "remark", "remarks", "caution", "warning", "important", "see", "hinweis",
    "hinweise", "achtung", "anmerkung", "anmerkungen", "bemerkung", "bemerkungen", "fussnoten", "remarque",
    "remarques", "attention", "nota", "notas", "atencion", "attenzione", "avvertenza", "legend", "legende", "key",
    "footnotes", "footnote", "leyenda", "legenda", "note e avvertenze", "printed", "checked by", "issued", "page",
    "stand", "gedruckt",
];

/// Words before the revision of a sheet.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const REVISION: &[&str] = &[
    "rev", "revision", "issue", "edition", "version", "stand", "ausgabe", "indice", "edicion", "revisione", "edizione", "uitgave", "wydanie",
];

/// Words of a title that do not name the machine.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const TITLE: &[&str] = &[
    "build sheet", "bolt list", "bolt torque chart", "bolt torque list", "bolt torque", "torque card", "torque list",
    "tableau", "tabelle", "tabla", "tabella", "register", "registre", "registro", "couple de serrage",
    "par de apriete", "coppia di serraggio", "torque register", "torque log", "torque sheet", "torque chart",
    "torque table", "torque specs", "torque spec", "torque figures", "torque values", "torque settings", "shop sheet",
    "work sheet", "worksheet", "spec sheet", "torques", "torque", "specs", "sheet", "list", "tightening torques",
    "bolt torques", "bolts", "export", "service", "maintenance", "fastener list", "fasteners", "bolt chart", "fastener schedule", "bolt schedule", "bolting schedule",
    "torque schedule", "bolting", "notebook", "tightening schedule", "service sheet", "wall table",
    "settings", "anzugsmomente", "drehmomente", "anzugsmoment", "drehmomenttabelle", "drehmomentliste",
    "schraubenliste", "liste", "anziehdrehmomente", "schrauben", "couples de serrage", "couples", "feuille",
    "serrage", "atelier", "pares de apriete", "pares", "lista", "apriete", "hoja", "coppie di serraggio", "coppie",
    "tightening card", "tightening record", "fiche de serrage", "fiche technique",
    "scheda", "serraggio", "manutenzione", "mantenimiento", "instandsetzung", "wartung", "entretien", "onderhoud", "riparazione", "reparacion", "reparatur",
];

/// Words for a shop or a department: first in a title, `taller de bombas`, or last,
/// `Pump shop`; it names no machine.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const SHOP_FIRST: &[&str] = &[
    "department", "dept", "werkstatt", "abteilung", "instandhaltung", "atelier", "ateliers", "departement", "taller", "talleres", "departamento",
    "officina", "officine", "reparto",
];
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const SHOP_LAST: &[&str] = &["shop", "workshop", "works", "department", "dept", "werkstatt", "abteilung", "instandhaltung"];
/// Words for a place of machines, that may be one too: `Plant 2`, but `Batching plant 2`.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const SITE: &[&str] = &[
    "plant", "line", "hall", "bay", "shed", "werk", "betrieb", "halle", "linie", "usine", "ligne", "planta", "fabrica", "linea", "stabilimento", "fabbrica",
];

/// Words between the others of a title.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const ARTICLES: &[&str] = &[
    "for", "of", "the", "all", "our", "on", "from", "my", "fur", "der", "die", "das", "des", "den", "dem", "alle", "am", "zur", "zum", "und", "vom", "von",
    "pour", "de", "du", "la", "le", "les", "aux", "au", "et", "sur", "para", "del", "los", "las", "el", "y", "per", "di", "della", "delle", "dei", "degli", "il", "lo", "gli", "e",
    "dal", "dalla", "van", "voor", "het", "da", "do", "dos", "das",
];

/// What stands before a value above a table and names no machine.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const LABELS: &[&str] = &[
    "date", "by", "shop", "customer", "job", "prepared by", "drawing", "mechanic", "fitter", "department", "order no", "work order",
    "datum", "kunde", "auftrag", "erstellt", "bearbeiter", "monteur", "zeichnung", "abteilung",
    "client", "commande", "etabli par", "plan", "fecha", "cliente", "pedido", "elaborado por", "data", "ordine", "redatto da", "reparto",
];

/// Sheet names that a program gives.
pub(crate) const SHEET: &[&str] = &[
    "sheet", "tabelle", "feuille", "feuil", "hoja", "foglio", "blatt", "table", "sheet1", "data",
    "arkusz",
];

/// Words between two steps.
pub(crate) const THEN: &[&str] =
    &["then", "dann", "danach", "puis", "ensuite", "luego", "después", "despues", "poi"];
/// Words before a turn that is added to a torque, beside those, and behind it.
#[rustfmt::skip] // words of five languages, side by side
const THEN_TURN: &[&str] = &[
    "plus", "+", "another", "further", "additional", "turn", "rotate", "weitere", "weiterdrehen", "tourner", "encore",
    "girar", "otros", "ruotare", "ulteriori", "dan", "daarna",
];
#[rustfmt::skip] // words of five languages, side by side
const MORE_TURN: &[&str] = &[
    "more", "further", "weiter", "weiterdrehen", "nachziehen", "drehen", "supplementaires", "mas", "adicionales", "piu", "past", "after", "from", "extra",
];
/// Words that release a fastener between passes, longest first.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const RELEASE: &[&str] = &[
    "slacken off", "back off", "back-off", "backoff", "slacken", "loosen", "release", "ganz lösen", "lösen", "losen", "loesen", "desserrer", "relâcher", "relacher",
    "aflojar", "soltar", "allentare", "losdraaien",
];
/// Words that make it a turn back, or no turn.
const TURN_BACK: &[&str] =
    &["back", "off", "zuruck", "zuruckdrehen", "bend", "elbow", "c", "f", "celsius", "apart"];

/// Whether the words around an angle say that it is turned after the torque.
pub(crate) fn leads_to_turn(before: &str, after: &str) -> bool {
    const SMALL: &[&str] = &["by", "of", "a", "an", "um", "de", "di", "the"];
    const NAMES: &[&str] = &["angle", "winkel", "drehwinkel", "angulo", "angolo"];
    let leads =
        |word: &str| THEN.contains(&word) || THEN_TURN.contains(&word) || word.ends_with('+');
    let is_back = |word: &str| TURN_BACK.contains(&word);
    let is_small = |word: &&str| SMALL.contains(word);
    let last = before.split_whitespace().rev().find(|word| !is_small(word));
    let mut behind = after.split_whitespace();
    let first = behind.clone().next();
    let next = behind.find(|word| !is_small(word));
    // The angle alone under its name: `angle 45°`.
    let is_named = after.is_empty() && NAMES.contains(&before.trim().trim_end_matches([':', '=']));
    !before.split_whitespace().any(is_back)
        && !RELEASE.iter().any(|word| before.contains(word))
        && !first.is_some_and(is_back)
        && (is_named
            || last.is_some_and(leads)
            || next.is_some_and(|word| MORE_TURN.contains(&word)))
}

/// Texts that say a figure no longer holds.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const SUPERSEDED: &[&str] = &[
    "superseded by", "obsolete", "no longer valid", "out of date", "withdrawn", "ersetzt durch rev", "ungultig", "nicht mehr gultig",
    "remplace par rev", "perime", "n'est plus valable", "obsoleto", "obsoleta", "ya no es valido", "sostituito da rev", "non piu valido", "vervallen",
];

/// The same where it is all that a note, or the cell of a state, says.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const OLD_STATE: &[&str] =
    &["obsolete", "withdrawn", "superseded", "ersetzt", "remplace", "sustituido", "sostituito",
    "old", "old value", "old figure", "old torque", "alt", "alter wert", "ancienne valeur", "valor antiguo", "valor anterior", "valore vecchio"];

/// Texts that say a thread is left-hand.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const LEFT_HAND: &[&str] = &[
    "left hand thread", "left-hand thread", "left handed thread", "lh thread", "reverse thread", "linksgewinde", "gewinde links",
    "pas a gauche", "filetage a gauche", "filet a gauche", "rosca a izquierda", "rosca izquierda", "filettatura sinistra", "filetto sinistro", "filettatura sinistrorsa",
];

/// Words of a part that say what it is; of several the last in English and German, the
/// first in French, Spanish and Italian. `Schraube`, `vis`, `tornillo` and `vite` are
/// bolts as well as screws and say neither.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const KINDS: &[(Kind, &[&str], &[&str])] = &[
    (Kind::Bolt, &["bolt", "bolts"], &["boulon", "boulons", "bullone", "bulloni"]),
    (Kind::Stud, &["stud", "studs", "stehbolzen", "stiftschraube"], &["goujon", "goujons", "esparrago", "esparragos", "prigioniero", "prigionieri"]),
    (Kind::Nut, &["nut", "nuts", "mutter", "muttern"], &["ecrou", "ecrous", "tuerca", "tuercas", "dado", "dadi"]),
    (Kind::Screw, &["screw", "screws", "capscrew", "setscrew"], &[]),
    (Kind::Plug, &["plug", "plugs", "stopfen", "verschlussschraube", "ablassschraube"], &["bouchon", "bouchons", "tapon", "tapones", "tappo", "tappi"]),
];

/// What a part is, as far as its words say one thing.
pub(crate) fn kind_in(part: &str) -> Option<Kind> {
    let folded = plain_words(part);
    let words: Vec<&str> = folded.split([' ', '/', '+', '(', ')']).collect();
    let is_one = |word: &str, one: &str| word == one || one.len() > 5 && word.ends_with(one);
    let kind = |word: &&str, romance: bool| {
        let row = KINDS.iter().find(|(_, plain, other)| {
            let known = if romance { other } else { plain };
            known.iter().any(|one| is_one(word, one))
        });
        row.map(|(kind, ..)| *kind)
    };
    let last = words.iter().rev().find_map(|word| kind(word, false));
    let first = words.iter().find_map(|word| kind(word, true));
    // `Bolt and nut` is two things.
    let is_several = ["and", "&", "with", "und", "mit", "et", "avec", "y", "con", "e"]
        .iter()
        .any(|joint| words.contains(joint))
        || part.contains(['/', '+']);
    first.or(last).filter(|_| !is_several)
}

/// Cells that say the figure is left to the hand: kept as words, no torque.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const BY_HAND: &[&str] = &[
    "hand tight", "hand-tight", "handtight", "finger tight", "finger-tight", "snug", "snug tight", "by hand",
    "by feel", "tight", "handfest", "fingerfest", "von hand", "a la main", "serrer a la main", "a mano",
    "apretar a mano", "stringere a mano", "gut", "gt", "good and tight", "nip up",
];

/// `text` in lower case without accents, its words parted by one blank.
pub(crate) fn plain_words(text: &str) -> String {
    let plain = Plain::new(text).as_str().to_lowercase();
    let plain = if plain.is_ascii() { plain } else { without_accents(&plain) };
    let is_gap =
        |c: char| c.is_whitespace() || matches!(c, '-' | '_' | '.' | ':' | '*' | ',' | '?' | '¿');
    let mut out = String::with_capacity(plain.len());
    for word in plain.split(is_gap).filter(|word| !word.is_empty()) {
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(word);
    }
    out
}

/// `text` with its accented letters made plain.
pub(crate) fn without_accents(text: &str) -> String {
    if text.is_ascii() {
        return text.to_owned();
    }
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' => out.push('a'),
            'ç' => out.push('c'),
            'è' | 'é' | 'ê' | 'ë' => out.push('e'),
            'ì' | 'í' | 'î' | 'ï' => out.push('i'),
            'ñ' => out.push('n'),
            'ą' | 'ă' => out.push('a'),
            'ć' | 'č' => out.push('c'),
            'ę' | 'ě' => out.push('e'),
            'ł' => out.push('l'),
            'ń' | 'ň' => out.push('n'),
            'ø' | 'ő' => out.push('o'),
            'ś' | 'š' => out.push('s'),
            'ź' | 'ż' | 'ž' => out.push('z'),
            'æ' => out.push_str("ae"),
            'ò' | 'ó' | 'ô' | 'õ' | 'ö' => out.push('o'),
            'ù' | 'ú' | 'û' | 'ü' => out.push('u'),
            'ß' => out.push_str("ss"),
            other => out.push(other),
        }
    }
    out
}
