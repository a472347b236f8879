//! What shops head their columns with, in five languages, beyond the names of the
//! fields themselves.

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
