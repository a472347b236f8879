//! The words that shops write at the top of their columns and around their
//! tables, in English, German, French, Spanish and Italian.
//!
//! The names of FIELDS come first; what stands here is read beside them. Words
//! are lower case and without accents, as [`plain_words`] leaves them.

use crate::text::Plain;

/// Headings: what they may mean, the likeliest first, and the words. A meaning
/// is the name of a field, or one of `torque-unit`, `pitch`, `tpi`,
/// `row-number`.
#[rustfmt::skip] // one row a meaning, read as a table
pub(crate) static HEADINGS: &[(&[&str], &[&str])] = &[
    (&["assembly"], &[
        "assembly", "engine", "machine", "vehicle", "model", "implement", "equipment", "tractor", "truck", "asset", "machine name", "machine no", "machine id",
        "plant", "rig", "car", "bike", "engine model", "engine type", "make/model", "appliance", "apparatus", "gearbox", "pump", "press", "machine/unit", "trailer",
        "maschine", "motor", "fahrzeug", "anlage", "gerat", "modell", "aggregat", "fahrzeugtyp", "maschinentyp", "motortyp", "schlepper", "traktor", "maschine/gerat",
        "vehicule", "moteur", "engin", "equipement", "appareil", "modele", "materiel", "tracteur", "camion", "type machine",
        "maquina", "vehiculo", "equipo", "modelo", "tractores", "camiones", "aparato",
        "macchina", "veicolo", "motore", "impianto", "modello", "mezzo", "trattore", "attrezzatura", "apparecchio",
    ]),
    (&["joint"], &[
        "joint", "location", "application", "component", "station", "flange", "section", "area", "system", "sub assembly", "subassembly", "zone", "where used",
        "used on", "used for", "connection", "place on machine", "group", "module", "bolted joint", "joint name", "flange/joint", "point", "spot", "place", "where fitted",
        "baugruppe", "verbindung", "stelle", "ort", "einbauort", "bauteil", "verschraubung", "bereich", "anwendung", "verwendung", "einbaustelle", "schraubstelle", "schraubverbindung", "komponente",
        "organe", "assemblage", "emplacement", "liaison", "ensemble", "utilisation", "sous ensemble", "composant", "endroit", "application", "raccord", "partie",
        "union", "junta", "ubicacion", "lugar", "conjunto", "componente", "aplicacion", "zona", "uso", "subconjunto",
        "giunto", "gruppo", "punto", "applicazione", "utilizzo", "complessivo", "accoppiamento", "sede", "organo",
    ]),
    (&["joint", "positions"], &["where", "position", "pos", "posizione", "posicion"]),
    (&["part", "joint"], &[
        "part", "fastener", "item", "description", "bolt", "screw", "nut", "stud", "fixing", "fastening", "hardware", "name", "part name", "fastener name", "bolts", "bolt name", "bolt/nut", "fasteners", "what", "part/bolt",
        "teil", "bezeichnung", "schraube", "mutter", "benennung", "schrauben", "befestigung", "stehbolzen", "bolzen", "artikel", "schraubenart", "beschreibung", "gegenstand",
        "piece", "designation", "vis", "boulon", "ecrou", "fixation", "goujon", "element", "boulonnerie", "visserie", "libelle", "intitule",
        "pieza", "tornillo", "perno", "tuerca", "descripcion", "denominacion", "elemento", "esparrago", "fijacion", "tornilleria", "articulo",
        "particolare", "vite", "bullone", "dado", "descrizione", "denominazione", "prigioniero", "viteria", "fissaggio", "pezzo", "voce",
    ]),
    (&["thread"], &[
        "thread", "size", "thread size", "bolt size", "screw size", "stud size", "nut size", "bolt thread", "thd", "dia", "diameter", "diam", "ø", "bolt dia", "fastener size", "thread/size", "size/thread", "size x pitch", "dia x pitch", "thread dia", "bolt dia x pitch", "thread form",
        "thread spec", "size/pitch", "size and thread", "nominal size", "dimension", "dimensions",
        "gewinde", "grosse", "groesse", "gewindegrosse", "abmessung", "nennmass", "gewindemass", "schraubengrosse", "durchmesser", "gewinde ø", "mass", "dimension", "nenndurchmesser", "gew",
        "filetage", "taille", "diametre", "ø filetage", "cote", "filet", "pas et diametre",
        "rosca", "medida", "tamano", "metrica", "diametro", "medidas", "rosca/medida", "dimensiones",
        "filettatura", "misura", "filetto", "dimensione", "misure", "diametro filetto", "fil",
    ]),
    (&["strength"], &[
        "strength", "grade", "class", "property class", "bolt grade", "material", "strength class", "bolt class", "quality", "head marking", "marking", "head mark", "mat'l", "matl", "gr", "cl", "bolt material", "grade/class", "strength grade",
        "festigkeit", "festigkeitsklasse", "gute", "klasse", "qualitat", "fk", "werkstoff", "festigk", "fkl", "schraubengute", "gueteklasse", "guteklasse",
        "classe", "qualite", "classe de qualite", "nuance", "classe de resistance", "matiere", "grade", "cl resistance",
        "clase", "calidad", "grado", "resistencia", "clase de resistencia", "clase de calidad", "marcado",
        "classe di resistenza", "qualita", "resistenza", "materiale", "classe vite", "cl resistenza",
    ]),
    (&["lube"], &[
        "lube", "lubricant", "compound", "lubrication", "thread condition", "thread treatment", "treatment", "dressing", "thread prep", "prep", "on threads", "paste", "lube/compound", "thread compound", "lubed with", "assembly lube", "condition", "surface", "thread dressing", "lubricated", "oil/dry", "dry/oiled", "lubricant used", "thread lube", "applied to thread",
        "schmierung", "schmierstoff", "schmiermittel", "zustand", "gewindezustand", "schmierzustand", "gewindebehandlung", "oberflache", "behandlung", "fett", "montagezustand", "geschmiert mit",
        "graissage", "lubrification", "lubrifiant", "etat", "enduit", "produit", "graisse", "etat filet", "traitement", "lubrifie",
        "lubricacion", "lubricante", "engrase", "estado", "producto", "tratamiento", "lubricado",
        "lubrificazione", "lubrificante", "stato", "trattamento", "prodotto", "grasso", "ingrassaggio",
    ]),
    (&["count", "row-number"], &[
        "qty", "quantity", "count", "pcs", "no off", "number off", "how many", "off", "each", "ea", "no of bolts", "number of bolts", "bolt count", "qty/joint", "number", "quant", "nos", "no required", "req'd", "reqd", "number req",
        "anzahl", "stuck", "stk", "menge", "anz", "stueck", "stuckzahl", "stck",
        "nombre", "quantite", "qte", "nb", "nbre", "quantites",
        "cantidad", "cant", "uds", "unidades", "n uds",
        "quantita", "q ta", "qta", "pz", "pezzi", "nr pezzi", "n pezzi",
    ]),
    (&["row-number", "count"], &["no", "nr", "n°", "nº", "#", "line", "row", "lfd nr", "item no", "pos nr", "num", "numero", "n", "line no", "ref no", "rang", "id no"]),
    (&["torque"], &[
        "torque", "tightening torque", "torque value", "final torque", "final", "torque spec", "torque setting", "tq", "tighten to", "target torque", "torque to", "spec torque", "set torque", "setting", "trq", "full torque", "torque figure", "new torque", "tightening value",
        "anzugsmoment", "drehmoment", "anziehdrehmoment", "anziehmoment", "moment", "anzugsdrehmoment", "anzug", "ma", "m a", "sollmoment", "endmoment", "enddrehmoment", "anziehdrehm", "anzugsm", "sollwert", "drehm",
        "couple", "couple de serrage", "serrage", "couple serrage", "couple final", "cple", "valeur de couple", "couple nominal",
        "par", "par de apriete", "apriete", "par apriete", "par final", "torque de apriete", "momento de apriete",
        "coppia", "coppia di serraggio", "serraggio", "coppia serraggio", "coppia finale", "momento", "momento di serraggio", "coppia nominale",
    ]),
    (&["angle"], &[
        "angle", "angles", "degrees", "deg", "turn angle", "then angle", "torque angle", "angle of turn", "plus angle", "then turn", "final angle",
        "winkel", "drehwinkel", "anziehwinkel", "anzugswinkel", "grad", "weiterdrehwinkel", "nachziehwinkel",
        "angle de serrage", "serrage angulaire", "angulo", "angulo de apriete", "giro", "angolo", "angolo di serraggio",
    ]),
    (&["passes"], &[
        "passes", "steps", "stages", "in steps", "no of passes", "number of passes", "pull in", "pass", "sequence of passes", "torque steps", "torque in",
        "stufen", "schritte", "durchgange", "anziehstufen", "in stufen", "anzugsstufen", "stufenweise",
        "etapes", "paliers", "passe", "nombre de passes", "phases", "par etapes",
        "pasos", "etapas", "fases", "pasadas",
        "passaggi", "fasi", "passate", "passi",
    ]),
    (&["notes"], &[
        "notes", "note", "remarks", "remark", "comment", "comments", "info", "instructions", "instruction", "see note", "memo", "other", "notes/remarks", "fitter's notes", "additional", "detail", "details",
        "bemerkung", "bemerkungen", "hinweis", "hinweise", "anmerkung", "anmerkungen", "kommentar", "notiz", "bem", "zusatz", "sonstiges",
        "remarque", "remarques", "observation", "observations", "commentaire", "commentaires", "notes", "obs", "rem",
        "nota", "notas", "observaciones", "observacion", "comentario", "comentarios", "indicaciones",
        "osservazioni", "annotazioni", "commenti", "avvertenze", "osservazione", "annotazione", "commento",
    ]),
    (&["reuse"], &[
        "reuse", "re use", "reusable", "single use", "reuse?", "use again", "renew", "replace",
        "wiederverwendung", "wiederverwendbar", "einmalschraube", "wiederverw",
        "reutilisation", "reemploi", "reutilisable", "usage", "reutilizar", "reutilizable", "reutilizacion", "riutilizzo", "riutilizzabile", "riutilizzare",
    ]),
    (&["order"], &[
        "order", "sequence", "pattern", "tightening pattern", "tightening order",
        "reihenfolge", "anziehreihenfolge", "anzugsreihenfolge", "ordre", "ordre de serrage", "orden", "secuencia", "orden de apriete", "ordine", "sequenza", "ordine di serraggio",
    ]),
    (&["length"], &["length", "bolt length", "lange", "laenge", "longueur", "longitud", "largo", "lunghezza", "lg"]),
    (&["kind", "notes"], &["type", "fastener type", "kind", "art", "typ", "type de vis", "tipo", "style"]),
    (&["part-number"], &[
        "part no", "part number", "part #", "p/n", "pn", "stock no", "stock code", "teilenummer", "artikelnummer", "artikel nr", "sachnummer", "teile nr", "reference", "ref piece", "referencia", "codigo", "codice", "cod", "numero de pieza",
    ]),
    (&["source"], &["source", "quelle", "fuente", "fonte", "manual", "handbuch", "manuel", "manuale", "from"]),
    (&["page"], &["page", "seite", "pagina"]),
    (&["revision"], &["rev", "revision", "stand", "ausgabe", "indice"]),
    (&["torque-unit", "assembly"], &["unit", "units", "uom", "torque unit", "torque units", "unit of torque", "einheit", "einh", "unite", "unites", "unidad", "unita", "u m", "um", "me"]),
    (&["pitch"], &["thread pitch", "pitch", "steigung", "pas", "paso", "passo"]),
    (&["tpi"], &["threads per inch", "tpi", "t p i", "gange/zoll", "threads/inch"]),
    (&["gasket"], &["gasket", "dichtung", "guarnizione", "joint plat"]),
    (&["washer"], &["washer", "washers", "scheibe", "unterlegscheibe", "rondelle", "arandela", "rondella"]),
    (&["sealant"], &["sealant", "dichtmittel", "sellador", "sigillante"]),
    (&["head-size"], &["head", "hex", "af", "a/f", "spanner", "wrench size", "key size", "schlusselweite", "sw", "cle", "llave", "chiave", "socket size"]),
];

/// Words that say torque.
pub(crate) const TORQUE: &[&str] = &[
    "torque", "torques", "tightening", "tq", "anzugsmoment", "drehmoment", "anziehdrehmoment", "anziehmoment", "anzugsdrehmoment", "moment", "ma", "couple", "serrage", "couples", "par", "apriete",
    "coppia", "serraggio", "final", "value", "figure", "anzugsmomente", "drehmomente", "anzug", "coppie", "pares",
];

/// Words of a torque heading that add nothing.
pub(crate) const FILLER: &[&str] = &[
    "with", "w/", "using", "for", "value", "values", "the", "bolts", "bolt", "threads", "thread", "in", "of", "at", "to", "when", "if", "spec", "setting", "mit", "bei", "in", "im", "gewinde", "avec", "de", "a", "le", "la", "en", "con", "di", "da", "filets", "filet", "roscas", "rosca", "and",
    "schrauben", "vis", "viti", "tornillos", "-", "–", "/", "&", "=", "steel", "condition", "lubrication",
];

/// Words for the low and the high end of a range.
pub(crate) const LOW: &[&str] =
    &["min", "minimum", "low", "lower", "lowest", "from", "von", "mini", "minimal", "de", "desde", "minimo", "da", "untere", "mindest", "inf"];
pub(crate) const HIGH: &[&str] =
    &["max", "maximum", "high", "upper", "highest", "up to", "to", "bis", "maxi", "maximal", "hasta", "maximo", "massimo", "a", "obere", "sup", "höchst", "hochst"];

/// Words for one step of several.
pub(crate) const STEP: &[&str] = &[
    "pass", "step", "stage", "stufe", "schritt", "durchgang", "etape", "palier", "passe", "phase", "paso", "etapa", "fase", "pasada", "passo", "passaggio", "passata", "round", "pull",
];

/// Ordinals of a step.
pub(crate) const ORDINALS: &[(&str, u32)] = &[
    ("1st", 1), ("2nd", 2), ("3rd", 3), ("4th", 4), ("5th", 5), ("6th", 6), ("first", 1), ("second", 2), ("third", 3), ("fourth", 4), ("erste", 1), ("zweite", 2), ("dritte", 3), ("vierte", 4),
    ("1ere", 1), ("1er", 1), ("2e", 2), ("2eme", 2), ("3e", 3), ("3eme", 3), ("4e", 4), ("1a", 1), ("2a", 2), ("3a", 3), ("4a", 4), ("1°", 1), ("2°", 2), ("3°", 3), ("4°", 4), ("1ª", 1), ("2ª", 2), ("3ª", 3), ("1º", 1), ("2º", 2), ("3º", 3),
    ("primera", 1), ("segunda", 2), ("tercera", 3), ("prima", 1), ("seconda", 2), ("terza", 3), ("premiere", 1), ("deuxieme", 2), ("troisieme", 3),
];

/// Words for a column that no longer holds.
pub(crate) const OLD: &[&str] = &[
    "old", "previous", "former", "was", "obsolete", "superseded", "alt", "alte", "altes", "alter", "bisher", "bisheriges", "fruher", "ancien", "ancienne", "precedent", "viejo", "vieja", "anterior", "antiguo", "vecchio", "vecchia", "precedente",
];

/// First words of a line that adds up those above.
pub(crate) const TOTAL: &[&str] = &[
    "total", "totals", "grand total", "sub total", "subtotal", "sum", "summe", "gesamt", "gesamtsumme", "zwischensumme", "insgesamt", "totaux", "somme", "sous total", "total general", "suma", "totale", "totali", "somma", "count", "anzahl gesamt",
];

/// First words of a line that is a note.
pub(crate) const NOTE: &[&str] = &[
    "note", "notes", "nb", "n.b", "remark", "remarks", "caution", "warning", "important", "see", "hinweis", "hinweise", "achtung", "anmerkung", "anmerkungen", "bemerkung", "bemerkungen", "fussnoten", "remarque", "remarques", "attention", "nota", "notas", "atencion", "attenzione", "avvertenza", "legend", "legende", "key", "footnotes", "footnote", "leyenda", "legenda", "note e avvertenze", "printed", "checked by", "issued", "page", "stand", "gedruckt",
];

/// Words of a title that do not name the machine.
pub(crate) const TITLE: &[&str] = &[
    "build sheet", "bolt list", "torque list", "torque sheet", "torque chart", "torque table", "torque specs", "torque spec", "torque figures", "torque values", "torque settings", "shop sheet", "work sheet", "worksheet", "spec sheet", "torques", "torque", "specs", "sheet", "list", "chart", "tightening torques", "bolt torques", "bolts", "data", "export", "final", "copy", "new", "table", "service", "maintenance", "fastener list", "fasteners", "bolt chart", "settings",
    "anzugsmomente", "drehmomente", "anzugsmoment", "drehmomenttabelle", "drehmomentliste", "schraubenliste", "tabelle", "liste", "anziehdrehmomente", "schrauben", "couples de serrage", "couples", "tableau", "feuille", "serrage", "atelier", "pares de apriete", "pares", "lista", "tabla", "apriete", "hoja", "coppie di serraggio", "coppie", "tabella", "scheda", "serraggio",
];

/// Sheet names that a program gives.
pub(crate) const SHEET: &[&str] = &["sheet", "tabelle", "feuille", "feuil", "hoja", "foglio", "blatt", "table", "sheet1", "data", "arkusz"];

/// Lubes and thread conditions: the name in the book, and what is written.
#[rustfmt::skip] // one row a lube
pub(crate) static LUBES: &[(&str, &[&str])] = &[
    ("dry", &["clean and dry", "clean & dry", "dry and clean", "clean/dry", "clean", "bone dry", "no lube", "unlubricated", "not lubricated", "without lube", "dry threads", "trocken", "sauber und trocken", "ungeschmiert", "unbehandelt trocken", "ohne schmierung", "sec", "a sec", "seche", "sans graissage", "non graisse", "propre et sec", "non lubrifie", "seco", "en seco", "limpio y seco", "sin lubricar", "sin lubricante", "sin engrasar", "secco", "a secco", "asciutto", "pulito e asciutto", "non lubrificato", "senza lubrificante"]),
    ("oil", &["oiled", "lightly oiled", "light oil", "engine oil", "motor oil", "machine oil", "lube oil", "clean engine oil", "clean oil", "oil film", "oil on threads", "oily", "lubed", "lubricated", "lube", "lubricate", "wet", "geolt", "leicht geolt", "ol", "motorol", "maschinenol", "eingeolt", "geschmiert", "mit ol", "oel", "geoelt", "motoroel", "huile", "huilee", "legerement huile", "huile moteur", "lubrifie", "lubrifiee", "aceite", "aceitado", "aceite motor", "aceite de motor", "ligeramente aceitado", "lubricado", "olio", "oliato", "olio motore", "leggermente oliato", "lubrificato", "oliata", "oleato"]),
    ("moly", &["moly lube", "moly paste", "moly grease", "molybdenum", "molybdenum paste", "molybdenum grease", "molybdenum disulphide", "molybdenum disulfide", "moly disulphide", "mos2", "mos2 paste", "molybdanpaste", "molypaste", "molybdanfett", "mos2 fett", "pate au molybdene", "graisse au molybdene", "bisulfure de molybdene", "molybdene", "pasta de molibdeno", "grasa de molibdeno", "molibdeno", "bisulfuro de molibdeno", "pasta al molibdeno", "grasso al molibdeno", "bisolfuro di molibdeno"]),
    ("copper anti-seize", &["copper paste", "copper grease", "copper anti seize", "copper antiseize", "copper slip", "kupferpaste", "kupferfett", "pate au cuivre", "graisse cuivree", "graisse au cuivre", "pate cuivree", "pasta de cobre", "grasa de cobre", "pasta al rame", "grasso al rame", "pasta di rame"]),
    ("anti-seize", &["anti seize", "antiseize", "never seize", "nickel anti seize", "anti seize compound", "anti seize paste", "anti-seize paste", "nickel paste", "montagepaste anti seize", "antigrippant", "anti grippage", "pate antigrippante", "graisse antigrippante", "antigripante", "pasta antigripante", "antigrippaggio", "pasta antigrippaggio", "antigrippante", "antifestfresspaste"]),
    ("grease", &["greased", "lithium grease", "general grease", "chassis grease", "bearing grease", "gefettet", "fett", "eingefettet", "mehrzweckfett", "lagerfett", "graisse", "graissee", "engrasado", "grasa", "ingrassato", "grasso"]),
    ("threadlocker", &["thread locker", "thread lock", "threadlock", "locking compound", "medium threadlocker", "blue threadlocker", "red threadlocker", "green threadlocker", "thread locking compound", "locking fluid", "thread adhesive", "medium strength threadlocker", "schraubensicherung", "schraubensicherung mittelfest", "gewindesicherung", "schraubenkleber", "sicherungslack", "frein filet", "frein filets", "freinfilet", "colle frein filet", "freno filetti", "frenafiletti", "frena filetti", "fijador de roscas", "fijatornillos", "fijarroscas", "fija roscas", "frenante", "traba roscas", "sellarrosca fijador"]),
    ("sealant", &["thread sealant", "thread sealer", "sealer", "pipe dope", "pipe sealant", "ptfe tape", "thread tape", "jointing compound", "dichtmittel", "gewindedichtung", "dichtmasse", "gewindedichtmittel", "pate a joint", "produit d'etancheite", "etancheite filet", "sellador", "sellador de roscas", "sellarroscas", "sigillante", "sigillafiletti", "teflon"]),
    ("wax coating", &["wax", "waxed", "gewachst", "cire", "cera"]),
];

/// Words around the name of a lube that do not make it another one; they are
/// kept in the notes.
pub(crate) const LUBE_WORDS: &[&str] = &[
    "light", "lightly", "fresh", "clean", "new", "thin", "film", "smear", "drop", "drops", "of", "on", "the", "a", "threads", "thread", "and", "under", "head", "washer", "face", "faces", "both", "blue", "red", "green", "purple", "medium", "high", "strength", "med", "grade", "only", "with", "engine", "motor", "machine", "weight", "wt", "sae", "well", "mittelfest", "hochfest", "blau", "rot", "leicht", "auf", "gewinde", "bleu", "rouge", "moyen", "fort", "azul", "rojo", "medio", "blu", "rosso", "medium-strength", "high-strength", "applied", "coat", "bit", "some", "little", "paste", "lube", "compound", "based", "spray", "tape", "locking",
];

/// Texts that say a fastener is thrown away after use.
pub(crate) const ONCE: &[&str] = &[
    "single use", "single-use", "use once", "one time use", "do not reuse", "do not re-use", "never reuse", "not reusable", "new bolts", "new bolt each", "new screws", "new nuts", "new studs", "renew bolts", "replace bolts", "replace bolt", "discard after", "throw away after",
    "neue schrauben", "schrauben erneuern", "schrauben ersetzen", "nicht wiederverwenden", "einmalschraube", "nur einmal", "vis neuves", "ne pas reutiliser", "remplacer les vis", "usage unique", "tornillos nuevos", "no reutilizar", "un solo uso", "viti nuove", "non riutilizzare", "monouso",
];

/// Cells that say the figure is left to the hand: kept as words, no torque.
pub(crate) const BY_HAND: &[&str] = &[
    "hand tight", "hand-tight", "handtight", "finger tight", "finger-tight", "snug", "snug tight", "by hand", "by feel", "tight", "handfest", "fingerfest", "von hand", "a la main", "serrer a la main", "a mano", "apretar a mano", "stringere a mano", "gut", "gt", "good and tight", "nip up",
];

/// `text` in lower case without accents, its words parted by one blank.
pub(crate) fn plain_words(text: &str) -> String {
    let plain = Plain::new(text).as_str().to_lowercase();
    let parted = |c: char| c.is_whitespace() || matches!(c, '-' | '_' | '.' | ':' | '*' | ',');
    let words: Vec<String> =
        plain.split(parted).filter(|word| !word.is_empty()).map(without_accents).collect();
    words.join(" ")
}

/// `text` with its accented letters made plain.
pub(crate) fn without_accents(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' => out.push('a'),
            'ç' => out.push('c'),
            'è' | 'é' | 'ê' | 'ë' => out.push('e'),
            'ì' | 'í' | 'î' | 'ï' => out.push('i'),
            'ñ' => out.push('n'),
            'ò' | 'ó' | 'ô' | 'õ' | 'ö' => out.push('o'),
            'ù' | 'ú' | 'û' | 'ü' => out.push('u'),
            'ß' => out.push_str("ss"),
            other => out.push(other),
        }
    }
    out
}
