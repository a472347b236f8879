//! What shops head their columns with, in five languages, beyond the names of the
//! fields themselves.

/// Headings: what they may mean, the likeliest first, and the words. A meaning
/// is the name of a field, or one of `torque-unit`, `pitch`, `tpi`,
/// `row-number`.
#[rustfmt::skip] // one row a meaning, read as a table
pub(crate) static HEADINGS: &[(&[&str], &[&str])] = &[
    (&["assembly"], &[
        "assembly", "engine", "machine", "vehicle", "model", "implement", "equipment", "equip", "tractor", "truck", "asset", "machine name", "machine no", "machine id",
        "plant", "m/c", "mc", "m/c no", "machine tool", "rig", "car", "bike", "engine model", "engine type", "make/model", "appliance", "apparatus", "ride", "attraction", "gearbox", "pump", "press", "mill", "lathe", "crane", "compressor", "conveyor", "machine/unit", "trailer",
        "maschine", "motor", "fahrzeug", "anlage", "gerat", "modell", "aggregat", "fahrzeugtyp", "maschinentyp", "motortyp", "schlepper", "traktor", "maschine/gerat",
        "vehicule", "moteur", "engin", "equipement", "appareil", "modele", "materiel", "tracteur", "camion", "type machine",
        "maquina", "vehiculo", "equipo", "modelo", "tractores", "camiones", "aparato",
        "macchina", "veicolo", "motore", "impianto", "modello", "mezzo", "trattore", "attrezzatura", "apparecchio",
        "pumpe", "pompe", "bomba", "pompa", "presse", "prensa", "pressa", "crane", "kran", "grue", "grua", "gru", "ship", "vessel", "boat", "schiff", "navire", "bateau", "buque", "barco", "nave", "outboard", "compressor", "kompressor", "compresseur", "compresor", "compressore", "genset", "generator", "lathe", "winch", "conveyor", "fleet", "fleet no", "unit no", "maquinaria", "veiculo", "equipamento", "machinenr", "voertuig", "maskin", "fordon", "maszyna", "pojazd", "urzadzenie",
    ]),
    (&["joint"], &[
        "joint", "location", "application", "component", "comp", "station", "flange", "section", "area", "system", "sub assembly", "subassembly", "zone", 
        "used for", "bolt for", "bolts for", "screw for", "connection", "place on machine", "group", "module", "bolted joint", "joint name", "flange/joint", "point", "spot", "place", "where fitted", "goes in", "goes into", "goes on", "goes to", "fits in", "fits into", "fits on", "fitted in", "holds", "used in", "where it goes", "where it fits", "goes where", "belongs to",
        "baugruppe", "verbindung", "stelle", "ort", "einbauort", "bauteil", "verschraubung", "bereich", "anwendung", "verwendung", "einbaustelle", "schraubstelle", "schraubverbindung", "komponente",
        "organe", "poste", "assemblage", "emplacement", "liaison", "ensemble", "utilisation", "sous ensemble", "composant", "endroit", "application", "raccord", "partie",
        "union", "junta", "ubicacion", "lugar", "conjunto", "componente", "aplicacion", "zona", "uso", "subconjunto",
        "giunto", "gruppo", "punto", "applicazione", "utilizzo", "complessivo", "accoppiamento", "sede", "organo",
        "axle", "achse", "essieu", "eje", "asse", "parte", "onderdeel", "plaats", "verbinding", "uniao", "local", "localizacao", "forband", "plats", "zespol", "miejsce", "polaczenie", "wezel",
    ]),
    (&["joint", "assembly"], &["used on", "where used", "fitted to"]),
    (&["joint", "positions"], &["where", "position", "pos", "posizione", "posicion"]),
    (&["part", "joint"], &[
        "part", "fastener", "fast", "item", "description", "bolt", "screw", "nut", "stud", "screws", "nuts", "studs", "clamped part", "fixing", "fastening", "hardware", "name", "part name", "fastener name", "bolts", "bolt name", "bolt/nut", "fasteners", "what", "part/bolt",
        "teil", "bauteil", "bezeichnung", "schraube", "mutter", "muttern", "benennung", "schrauben", "befestigung", "stehbolzen", "bolzen", "artikel", "schraubenart", "beschreibung", "gegenstand",
        "piece", "piece serree", "piece assemblee", "designation", "vis", "boulons", "ecrous", "goujons", "boulon", "ecrou", "fixation", "goujon", "element", "boulonnerie", "visserie", "libelle", "intitule",
        "pieza", "tornillo", "perno", "tuerca", "tornillos", "pernos", "tuercas", "descripcion", "denominacion", "elemento", "esparrago", "fijacion", "tornilleria", "articulo",
        "particolare", "vite", "bullone", "dado", "viti", "bulloni", "dadi", "prigionieri", "descrizione", "denominazione", "prigioniero", "viteria", "fissaggio", "pezzo", "voce",
        "bout", "schroef", "moer", "parafuso", "porca", "peca", "skruv", "bult", "mutter", "del", "sruba", "nakretka", "czesc", "nazwa",
    ]),
    (&["thread"], &[
        "thread", "size", "thread size", "bolt size", "screw size", "stud size", "nut size", "bolt thread", "thd", "dia", "diameter", "diam", "ø", "bolt dia", "fastener size", "thread/size", "size/thread", "size x pitch", "dia x pitch", "thread dia", "bolt dia x pitch", "thread form",
        "thread spec", "size/pitch", "size and thread", "nominal size", "dimension", "dimensions",
        "gewinde", "grosse", "groesse", "gewindegrosse", "abmessung", "nennmass", "gewindemass", "schraubengrosse", "durchmesser", "gewinde ø", "mass", "dimension", "nenndurchmesser", "gew",
        "filetage", "taille", "diametre", "ø filetage", "cote", "filet", "pas et diametre",
        "rosca", "medida", "tamano", "metrica", "diametro", "medidas", "rosca/medida", "dimensiones",
        "filettatura", "misura", "filetto", "dimensione", "misure", "diametro filetto", "fil",
        "draad", "maat", "schroefdraad", "gewindebezeichnung", "ø x pas", "d x p", "diametre x pas", "rosca x paso", "ganga", "storlek", "dimensao", "gwint", "rozmiar",
    ]),
    (&["strength"], &[
        "strength", "grade", "class", "property class", "bolt grade", "material", "strength class", "bolt class", "quality", "head marking", "marking", "head mark", "mat'l", "matl", "gr", "cl", "bolt material", "grade/class", "strength grade", "sae grade",
        "festigkeit", "festigkeitsklasse", "gute", "klasse", "qualitat", "fk", "werkstoff", "festigk", "fkl", "schraubengute", "gueteklasse", "guteklasse",
        "classe", "qualite", "classe de qualite", "nuance", "classe de resistance", "matiere", "grade", "cl resistance",
        "clase", "calidad", "grado", "resistencia", "clase de resistencia", "clase de calidad", "marcado",
        "classe di resistenza", "qualita", "resistenza", "materiale", "classe vite", "cl resistenza",
        "sterkteklasse", "sterkte", "klass", "hallfasthetsklass", "klasa", "klasa wytrzymalosci", "wytrzymalosc", "classe de resistencia",
    ]),
    (&["lube"], &[
        "lube", "lubricant", "compound", "lubrication", "thread condition", "thread treatment", "treatment", "dressing", "thread prep", "prep", "on threads", "paste", "lube/compound", "thread compound", "lubed with", "assembly lube", "condition", "surface", "thread dressing", "lubricated", "oil/dry", "dry/oiled", "lubricant used", "thread lube", "applied to thread",
        "schmierung", "schmierstoff", "schmiermittel", "zustand", "gewindezustand", "schmierzustand", "gewindebehandlung", "oberflache", "behandlung", "fett", "montagezustand", "geschmiert mit",
        "graissage", "lubrification", "lubrifiant", "etat", "enduit", "produit", "graisse", "etat filet", "traitement", "lubrifie",
        "lubricacion", "lubricante", "engrase", "estado", "producto", "tratamiento", "lubricado",
        "lubrificazione", "lubrificante", "stato", "trattamento", "prodotto", "grasso", "ingrassaggio",
        "smering", "smeermiddel", "smorjning", "smorjmedel", "lubrificacao", "smarowanie", "smar",
    ]),
    (&["count", "row-number"], &[
        "qty", "quantity", "count", "cnt", "pcs", "no off", "number off", "how many", "off", "each", "ea", "no of bolts", "number of bolts", "bolt count", "qty/joint", "number", "quant", "nos", "no required", "req'd", "reqd", "number req", "no req", "no reqd", "no req'd", "# bolts", "# of bolts", "# req", "# reqd", "# req'd", "# required",
        "anzahl", "stuck", "stk", "menge", "anz", "stueck", "stuckzahl", "stck",
        "nombre", "quantite", "qte", "nb", "nbre", "quantites",
        "cantidad", "cant", "uds", "unidades", "n uds",
        "quantita", "q ta", "qta", "pz", "pezzi", "nr pezzi", "n pezzi",
        "aantal", "stuks", "antal", "st", "qtd", "quantidade", "qde", "ilosc", "szt", "sztuk",
    ]),
    // English, and French parts.
    (&["count", "part"], &["pieces"]),
    (&["row-number", "count"], &["no", "nr", "n°", "nº", "#", "row", "lfd nr", "item no", "pos nr", "num", "numero", "n", "line no", "ref no", "rang", "id no"]),
    // A filling line is a machine, the line of a list a number.
    (&["row-number", "assembly"], &["line", "ligne", "linie", "linea"]),
    (&["row-number"], &["rep", "repere", "item ref", "kennzeichen"]),
    (&["torque"], &[
        "torque", "tightening torque", "torque value", "final torque", "final", "torque spec", "torque setting", "tq", "tighten to", "target torque", "torque to", "spec torque", "set torque", "setting", "trq", "full torque", "torque figure", "new torque", "tightening value", "pull to", "pull up to", "pull down to", "nip to", "nip up to", "do up to", "tighten up to", "torque up to", "how tight", "how tight?",
        "tighten", "do up", "nip up", "set to", "set at", "wind up to", "torqued to", "tightened to",
        "anzugsmoment", "drehmoment", "anziehdrehmoment", "anziehmoment", "moment", "anzugsdrehmoment", "anzug", "ma", "m a", "sollmoment", "endmoment", "enddrehmoment", "anziehdrehm", "anzugsm", "sollwert", "drehm", "anziehen auf", "anziehen mit", "festziehen mit", "festziehen", "festziehen auf", "anziehen bis", "angezogen mit",
        "couple", "couple de serrage", "serrage", "couple serrage", "couple final", "cple", "valeur de couple", "couple nominal", "serrer a", "serrer", "a serrer a", "serre a", "bloquer a",
        "par", "par de apriete", "apriete", "par apriete", "par final", "torque de apriete", "momento de apriete", "apretar a", "apretar", "apretar hasta", "apretado a",
        "coppia", "coppia di serraggio", "serraggio", "coppia serraggio", "coppia finale", "momento", "momento di serraggio", "coppia nominale", "serrare a", "stringere a", "serrare", "stringere", "serrato a", "tirare a",
        "aanhaalmoment", "aanhaalkoppel", "koppel", "aanhalen", "aanhalen tot", "aandraaien", "aandraaien tot", "dra till", "dras till", "apertar", "apertar a", "atdragningsmoment", "atdragning", "vridmoment", "momento de aperto", "aperto", "moment dokrecania", "dokrecanie", "anzugsvorschrift", "anziehvorschrift", "anzugsverfahren", "anziehverfahren", "tightening procedure", "procedure", "procedure de serrage", "methode de serrage", "procedimiento", "procedura", "tightening", "tightness",
    ]),
    (&["angle"], &[
        "angle", "angles", "degrees", "deg", "turn", "turn angle", "then angle", "torque angle", "angle of turn", "plus angle", "then turn", "final angle",
        "winkel", "drehwinkel", "anziehwinkel", "anzugswinkel", "grad", "weiterdrehwinkel", "nachziehwinkel",
        "angle de serrage", "serrage angulaire", "angulo", "angulo de apriete", "giro", "angolo", "angolo di serraggio",
        "hoek", "draaihoek", "aandraaihoek", "vinkel", "vridvinkel", "atdragningsvinkel", "kat", "kat obrotu", "kat dokrecania", "angulo de aperto", "rotation", "rotacion", "rotazione", "rotacao", "drehung", "angolo di rotazione", "angulo de giro", "angle de rotation",
    ]),
    (&["passes"], &[
        "passes", "steps", "stages", "in steps", "no of passes", "number of passes", "pull in", "pass", "sequence of passes", "torque steps", "torque in",
        "stufen", "schritte", "durchgange", "anziehstufen", "in stufen", "anzugsstufen", "stufenweise",
        "etapes", "paliers", "passe", "nombre de passes", "phases", "par etapes",
        "pasos", "etapas", "fases", "pasadas",
        "passaggi", "fasi", "passate", "passi", "stappen", "trappen",
    ]),
    (&["notes"], &[
        "notes", "note", "remarks", "remark", "rmks", "rmk", "comment", "comments", "info", "instructions", "instruction", "see note", "memo", "other", "notes/remarks", "fitter's notes", "additional", "detail", "details",
        "bemerkung", "bemerkungen", "hinweis", "hinweise", "anmerkung", "anmerkungen", "kommentar", "notiz", "bem", "zusatz", "sonstiges",
        "remarque", "remarques", "observation", "observations", "commentaire", "commentaires", "notes", "obs", "rem",
        "nota", "notas", "observaciones", "observacion", "comentario", "comentarios", "indicaciones",
        "osservazioni", "annotazioni", "commenti", "avvertenze", "osservazione", "annotazione", "commento",
        "nut class", "nut grade", "mutternfestigkeit", "mutterklasse", "classe ecrou", "opmerking", "opmerkingen", "observacao", "observacoes", "anmarkning", "anmarkningar", "uwagi", "uwaga", "recheck note", "see",
    ]),
    (&["reuse"], &[
        "reuse", "re use", "keep/bin", "bin/keep", "reusable", "single use", "use again", "renew", "replace", "new", "discard", "throw away",
        "wiederverwendung", "wiederverwendbar", "einmalschraube", "wiederverw", "ersetzen", "erneuern", "neu",
        "reutilisation", "reemploi", "reutilisable", "usage", "a remplacer", "remplacer", "sustituir", "reemplazar", "sostituire", "da sostituire", "reutilizar", "reutilizable", "reutilizacion", "riutilizzo", "riutilizzabile", "riutilizzare",
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
    (&["tolerance"], &["tol", "toleranz", "tolerancia", "tolleranza", "tolerantie"]),
    (&["source"], &["source", "quelle", "fuente", "fonte", "manual", "handbuch", "manuel", "manuale", "from"]),
    (&["page"], &["page", "seite", "pagina"]),
    (&["source-date"], &["date", "dated", "datum", "fecha", "data", "date of sheet", "date du document", "ausgabedatum"]),
    (&["revision"], &["rev", "revision", "stand", "ausgabe", "indice"]),
    (&["torque-unit", "assembly"], &["unit", "units", "uom", "torque unit", "torque units", "unit of torque", "einheit", "einh", "unite", "unites", "unidad", "unita", "u m", "um", "me"]),
    (&["pitch"], &["thread pitch", "pitch", "steigung", "pas", "paso", "passo"]),
    (&["tpi"], &["threads per inch", "tpi", "t p i", "gange/zoll", "threads/inch"]),
    (&["gasket"], &["gasket", "dichtung", "guarnizione", "joint plat"]),
    (&["washer"], &["washer", "washers", "scheibe", "unterlegscheibe", "rondelle", "arandela", "rondella"]),
    (&["sealant"], &["sealant", "dichtmittel", "sellador", "sigillante"]),
    (&["head-size"], &["head", "hex", "af", "a/f", "spanner", "wrench size", "key size", "schlusselweite", "sw", "cle", "llave", "chiave", "socket size"]),
];

/// Words behind the kind of a machine that still name it.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const NAMING: &[&str] = &[
    "family", "no", "number", "id", "code", "name", "type", "model", "variant", "series", "tag", "ref", "nr", "nummer", "typ", "bezeichnung", "kennung",
    "tipo", "nom", "nombre", "nome", "numero", "serie",
];

/// Words before a place that is none on the machine.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const ASIDE: &[&str] = &[
    "storage", "store", "stock", "shelf", "bin", "tool", "drawing", "operator", "supplier", "spare", "test",
    "lager", "zeichnung", "stockage", "magasin", "almacen", "magazzino", "disegno",
];

/// Fasteners in the plural: whole numbers below them say how many.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const PLURALS: &[&str] = &[
    "bolts", "screws", "nuts", "studs", "fasteners", "schrauben", "muttern", "stehbolzen",
    "vis", "boulons", "ecrous", "goujons", "tornillos", "tuercas", "pernos", "viti", "dadi", "bulloni", "prigionieri",
];
