//! What shops head their columns with, in five languages, beyond the names of the
//! fields themselves.

/// Headings: what they may mean, the likeliest first, and the words. A meaning
/// is the name of a field, or one of `torque-unit`, `pitch`, `tpi`,
/// `row-number`.
#[rustfmt::skip] // one row a meaning, read as a table
pub(crate) static HEADINGS: &[(&[&str], &[&str])] = &[
    (&["assembly"], &[
        "assy", "ass'y", "assembly", "rolling stock", "loco", "locomotive", "engine", "machine", "vehicle", "model", "implement", "equipment", "equip", "tractor", "truck", "asset", "machine name", "machine no", "machine id",
        "plant", "m/c", "mc", "m/c no", "machine tool", "rig", "car", "bike", "engine model", "engine type", "make/model", "appliance", "apparatus", "ride", "attraction", "gearbox", "pump", "press", "mill", "lathe", "crane", "compressor", "conveyor", "machine/unit", "trailer",
        "maschine", "motor", "fahrzeug", "anlage", "gerat", "modell", "aggregat", "fahrzeugtyp", "maschinentyp", "motortyp", "schlepper", "traktor", "maschine/gerat",
        "vehicule", "moteur", "engin", "equipement", "appareil", "modele", "materiel", "tracteur", "camion", "type machine",
        "maquina", "vehiculo", "equipo", "modelo", "tractores", "camiones", "aparato",
        "macchina", "veicolo", "motore", "impianto", "modello", "mezzo", "trattore", "attrezzatura", "apparecchio",
        "pumpe", "pompe", "bomba", "pompa", "presse", "prensa", "pressa", "crane", "kran", "grue", "grua", "gru", "ship", "vessel", "boat", "schiff", "navire", "bateau", "buque", "barco", "nave", "outboard", "compressor", "kompressor", "compresseur", "compresor", "compressore", "genset", "generator", "lathe", "winch", "conveyor", "fleet", "fleet no", "unit no", "maquinaria", "veiculo", "equipamento", "machinenr", "voertuig", "maskin", "fordon", "maszyna", "pojazd", "urzadzenie",
        "objekt", "objet", "objeto", "oggetto", "plant item", "item of plant", "tackle", "hoist", "which machine", "mach", "mach no", "eqpt", "equip no", "equip name", "machine type", "loco", "locomotive", "wagon", "lorry", "bus", "motorcycle", "motorbike", "trike", "kart", "digger", "excavator", "loader", "forklift", "combine", "harvester", "tug", "aircraft", "masch", "maschinen nr", "maschinennr", "maschinennummer", "maschinenbezeichnung", "fzg", "kfz", "welche maschine", "nom machine", "n machine", "numero machine", "nom de la machine", "quelle machine", "nombre maquina", "n maquina", "maq", "que maquina", "nome macchina", "n macchina", "quale macchina", "hebezeug", "bagger", "stapler", "lokomotive", "palan", "chariot", "montacargas", "polipasto", "carretilla", "paranco", "carrello",
    ]),
    (&["joint"], &[
        "joint", "location", "application", "component", "comp", "station", "flange", "section", "area", "system", "sub assembly", "subassembly", "zone", 
        "used for", "bolt for", "bolts for", "screw for", "connection", "place on machine", "group", "module", "bolted joint", "joint name", "flange/joint", "point", "spot", "place", "where fitted", "goes in", "goes into", "goes on", "goes to", "fits in", "fits into", "fits on", "fitted in", "holds", "used in", "where it goes", "where it fits", "goes where", "belongs to",
        "baugruppe", "verbindung", "stelle", "ort", "einbauort", "bauteil", "verschraubung", "bereich", "anwendung", "verwendung", "einbaustelle", "schraubstelle", "schraubverbindung", "komponente",
        "organe", "poste", "assemblage", "emplacement", "liaison", "ensemble", "utilisation", "sous ensemble", "composant", "endroit", "application", "raccord", "partie",
        "union", "junta", "ubicacion", "lugar", "conjunto", "componente", "aplicacion", "zona", "uso", "subconjunto",
        "giunto", "gruppo", "punto", "applicazione", "utilizzo", "complessivo", "accoppiamento", "sede", "organo",
        "parte", "onderdeel", "plaats", "verbinding", "uniao", "local", "localizacao", "forband", "plats", "zespol", "miejsce", "polaczenie", "wezel",
        "fitted at", "fits at", "sits in", "sits on", "sits at", "goes at", "what for", "for what", "what it holds", "which joint", "part of it", "part of machine", "where on machine", "location on machine", "mounting", "mounting point", "fixing point", "where it lives", "attaches", "attaches to", "mounted on", "mounted at", "mounted in", "secures", "fastens", "purpose", "sub assy", "subassy", "bolted to", "bolted item", "wo", "wofur", "wohin", "befestigungsstelle", "befestigungsort", "montageort", "einsatzort", "einsatzstelle", "sitzt an", "sitzt in", "gehort zu", "halt", "einbaulage", "verbindungsstelle", "ou", "lieu", "lieu de montage", "sert a", "monte sur", "monte a", "localisation", "point de serrage", "point de fixation", "maintient", "sur quoi", "donde", "para que", "sitio", "punto de apriete", "localizacion", "sujeta", "va en", "donde va", "montado en", "fijacion de", "dove", "per cosa", "luogo", "punto di serraggio", "punto di fissaggio", "montato su", "serve per", "ubicazione", "dove va", "va su", "posizione sulla macchina",
    ]),
    (&["joint", "assembly"], &["used on", "where used", "fitted to", "axle", "achse", "essieu", "eje", "asse", "used at"]),
    (&["joint", "positions"], &["where", "position", "pos", "posizione", "posicion"]),
    (&["part", "joint"], &[
        "part", "fastener", "fast", "item", "description", "bolt", "screw", "nut", "stud", "screws", "nuts", "studs", "clamped part", "fixing", "fastening", "hardware", "name", "part name", "fastener name", "bolts", "bolt name", "bolt/nut", "fasteners", "what", "part/bolt",
        "teil", "bauteil", "bezeichnung", "schraube", "mutter", "muttern", "benennung", "schrauben", "befestigung", "stehbolzen", "bolzen", "artikel", "schraubenart", "beschreibung", "gegenstand",
        "piece", "piece serree", "piece assemblee", "designation", "vis", "boulons", "ecrous", "goujons", "boulon", "ecrou", "fixation", "goujon", "element", "boulonnerie", "visserie", "libelle", "intitule",
        "pieza", "tornillo", "perno", "tuerca", "tornillos", "pernos", "tuercas", "descripcion", "denominacion", "elemento", "esparrago", "fijacion", "tornilleria", "articulo",
        "particolare", "vite", "bullone", "dado", "viti", "bulloni", "dadi", "prigionieri", "descrizione", "denominazione", "prigioniero", "viteria", "fissaggio", "pezzo", "voce",
        "bout", "schroef", "moer", "parafuso", "porca", "peca", "skruv", "bult", "mutter", "del", "sruba", "nakretka", "czesc", "nazwa",
        "fixings", "fastenings", "fastener used", "which bolt", "which screw", "type of bolt", "bolt description", "fastener description", "screw/bolt", "bolt/screw", "bolt or nut", "nut/bolt", "verbindungselement", "befestigungselement", "schraubenbezeichnung", "welche schraube", "normteil", "schraube/mutter", "quelle vis", "element de fixation", "vis/ecrou", "vis ou boulon", "que tornillo", "elemento de fijacion", "tornillo/tuerca", "sujetador", "quale vite", "elemento di fissaggio", "vite/dado", "minuteria",
    ]),
    (&["thread"], &[
        "thread", "size", "thread size", "bolt size", "screw size", "stud size", "nut size", "bolt thread", "thd", "dia", "diameter", "diam", "ø", "bolt dia", "fastener size", "thread/size", "size/thread", "size x pitch", "dia x pitch", "thread dia", "bolt dia x pitch", "thread form",
        "thread spec", "size/pitch", "size and thread", "nominal size", "dimension", "dimensions",
        "gewinde", "grosse", "groesse", "gewindegrosse", "abmessung", "nennmass", "gewindemass", "schraubengrosse", "durchmesser", "gewinde ø", "mass", "dimension", "nenndurchmesser", "gew",
        "filetage", "taille", "diametre", "ø filetage", "cote", "filet", "pas et diametre",
        "rosca", "medida", "tamano", "metrica", "diametro", "medidas", "rosca/medida", "dimensiones",
        "filettatura", "misura", "filetto", "dimensione", "misure", "diametro filetto", "fil",
        "draad", "maat", "schroefdraad", "gewindebezeichnung", "ø x pas", "d x p", "diametre x pas", "rosca x paso", "ganga", "storlek", "dimensao", "gwint", "rozmiar",
        "thd size", "thd spec", "thrd", "thread & pitch", "thread and pitch", "size & pitch", "size and pitch", "bolt/thread", "thread designation", "thread desig", "screw thread", "nominal thread", "nominal dia", "nominal diameter", "nom dia", "nom size", "thread x pitch", "dia and pitch", "dia & pitch", "dia/pitch", "screw dia", "stud thread", "nut thread", "stud dia", "bolt diameter", "thread diameter", "nenngrosse", "gewinde/grosse", "schraubenmass", "schraubenabmessung", "gewindedurchmesser", "nenngewinde", "schraubendurchmesser", "gewinde x steigung", "gewinde und steigung", "filetage et pas", "diametre nominal", "dimension vis", "taille vis", "taille filetage", "diametre vis", "diametre filetage", "dim vis", "rosca y paso", "medida rosca", "medida tornillo", "tamano rosca", "tamano tornillo", "diametro nominal", "diametro rosca", "medida de rosca", "diametro tornillo", "filettatura e passo", "misura vite", "misura filetto", "diametro nominale", "diametro vite", "dimensione vite", "filettatura vite",
    ]),
    (&["strength"], &[
        "strength", "grade", "class", "property class", "bolt grade", "material", "strength class", "bolt class", "quality", "head marking", "marking", "head mark", "mat'l", "matl", "gr", "cl", "bolt material", "grade/class", "strength grade", "sae grade",
        "festigkeit", "festigkeitsklasse", "gute", "klasse", "qualitat", "fk", "werkstoff", "festigk", "fkl", "schraubengute", "gueteklasse", "guteklasse",
        "classe", "qualite", "classe de qualite", "nuance", "classe de resistance", "matiere", "grade", "cl resistance",
        "clase", "calidad", "grado", "resistencia", "clase de resistencia", "clase de calidad", "marcado",
        "classe di resistenza", "qualita", "resistenza", "materiale", "classe vite", "cl resistenza",
        "sterkteklasse", "sterkte", "klass", "hallfasthetsklass", "klasa", "klasa wytrzymalosci", "wytrzymalosc", "classe de resistencia",
        "grd", "cls", "str", "qual", "fest", "mat", "steel grade", "bolt quality", "bolt strength", "screw grade", "screw class", "stud grade", "stud material", "prop class", "prop cl", "property cl", "stamp", "stamped", "head stamp", "head stamping", "head marks", "bolt mark", "bolt marking", "grade mark", "grade marking", "on the head", "tensile class", "strength cl", "bolt cl", "iso class", "grade or class", "class or grade", "class/grade", "material/class", "fest klasse", "fest kl", "festigk klasse", "schraubenklasse", "schraubenfestigkeit", "kopfpragung", "kopfzeichen", "stahlgute", "werkstoff/festigkeit", "schraubenwerkstoff", "gute/klasse", "classe vis", "classe boulon", "qualite vis", "qualite acier", "marquage", "marquage tete", "nuance acier", "acier", "clase tornillo", "grado tornillo", "marca cabeza", "marcado cabeza", "acero", "grado acero", "calidad tornillo", "classe bullone", "grado vite", "marcatura", "marcatura testa", "acciaio", "classe acciaio", "qualita vite",
    ]),
    (&["lube"], &[
        "lube", "lubricant", "compound", "lubrication", "thread condition", "thread treatment", "treatment", "dressing", "thread prep", "prep", "on threads", "paste", "lube/compound", "thread compound", "lubed with", "assembly lube", "condition", "surface", "thread dressing", "lubricated", "oil/dry", "dry/oiled", "lubricant used", "thread lube", "applied to thread",
        "schmierung", "schmierstoff", "schmiermittel", "zustand", "gewindezustand", "schmierzustand", "gewindebehandlung", "oberflache", "behandlung", "fett", "montagezustand", "geschmiert mit",
        "graissage", "lubrification", "lubrifiant", "etat", "enduit", "produit", "graisse", "etat filet", "traitement", "lubrifie",
        "lubricacion", "lubricante", "engrase", "estado", "producto", "tratamiento", "lubricado",
        "lubrificazione", "lubrificante", "stato", "trattamento", "prodotto", "grasso", "ingrassaggio",
        "smering", "smeermiddel", "smorjning", "smorjmedel", "lubrificacao", "smarowanie", "smar",
        "wet with", "wetted with", "put on it", "put on them", "put on", "goes on threads", "wet/dry", "dry/wet", "wet or dry", "dry or wet", "dry or oiled", "oiled or dry", "oiled/dry", "oil or dry", "dry or oil", "dry/oil", "smear with", "smear", "dope", "on thread", "on the threads", "on the thread", "what on threads", "threads with", "thread with", "apply", "apply to threads", "dress with", "dressed with", "put on threads", "lube type", "lube spec", "lub", "lub cond", "lube cond", "lubr", "lube/locker", "lube or locker", "lube/sealant", "lube/sealer", "locker/lube", "assemble with", "assembled with", "thread state", "state of threads", "thread surface", "lube state", "lube condition", "goop", "assembly paste", "fit dry or oiled", "schmier", "schmiermittel/sicherung", "schmierung/sicherung", "gewinde mit", "gewinde ist", "auf gewinde", "aufs gewinde", "auf dem gewinde", "gewindeschmierung", "trocken/geolt", "geolt/trocken", "fett/ol", "ol/fett", "benetzt mit", "gefettet mit", "montagepaste", "gewinde zustand", "zustand gewinde", "bestrichen mit", "enduire de", "enduit de", "produit filet", "sur filet", "sur filets", "sur les filets", "sec/huile", "huile/sec", "a sec/huile", "lubrifier avec", "graisser avec", "etat des filets", "etat du filet", "etat filets", "etat filetage", "produit de montage", "huiler/graisser", "a monter avec", "untar con", "engrasar con", "en rosca", "en la rosca", "seco/aceite", "aceite/seco", "seco/aceitado", "estado rosca", "estado de la rosca", "lubricar con", "grasa/aceite", "montar con", "ungere con", "lubrificare con", "sul filetto", "su filetto", "secco/olio", "olio/secco", "secco/oliato", "stato filetto", "montare con", "spalmare con",
    ]),
    (&["count", "row-number"], &[
        "qty", "quantity", "count", "cnt", "pcs", "no off", "number off", "how many", "off", "each", "ea", "no of bolts", "number of bolts", "bolt count", "qty/joint", "number", "quant", "nos", "no required", "req'd", "reqd", "number req", "no req", "no reqd", "no req'd", "# bolts", "# of bolts", "# req", "# reqd", "# req'd", "# required",
        "anzahl", "stuck", "stk", "menge", "anz", "stueck", "stuckzahl", "stck",
        "nombre", "quantite", "qte", "nb", "nbre", "quantites",
        "cantidad", "cant", "ud", "uds", "unidades", "n uds",
        "quantita", "q ta", "qta", "pz", "pezzi", "nr pezzi", "n pezzi",
        "aantal", "stuks", "antal", "st", "qtd", "quantidade", "qde", "ilosc", "szt", "sztuk",
        "qty off", "n off", "nr off", "num off", "nbr off", "quantity off", "q'ty", "qnty", "qnt", "bolt qty", "qty bolts", "bolts qty", "screw qty", "screws qty", "nbr", "no fitted", "number fitted", "qty fitted", "fitted qty", "quantity required", "qty req'd", "qty reqd", "qty required", "qty req", "pcs required", "count of bolts", "no of screws", "number of screws", "no of studs", "number of studs", "no of nuts", "number of nuts", "no of fasteners", "number of fasteners", "how many off", "bolts fitted", "no bolts", "stk zahl", "anz schrauben", "anzahl schrauben", "anz der schrauben", "wieviel", "wie viele", "stk/stelle", "stuck/stelle", "schraubenzahl", "schraubenanzahl", "combien", "nb vis", "nbre vis", "nombre de vis", "nb de vis", "qte vis", "nbr vis", "nombre de boulons", "nb boulons", "qt", "cuantos", "cuantas", "num tornillos", "no tornillos", "n tornillos", "numero de tornillos", "cantidad tornillos", "cant tornillos", "ctd", "cdad", "unid", "numero tornillos", "quanti", "quante", "n viti", "num viti", "numero viti", "numero di viti", "quant viti", "nr viti",
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
        "set wrench to", "tight", "tight to", "tightness to", "done up to", "pulled tight to", "wound to", "wind to", "torqued at", "tightened at", "fest auf", "fest bis", "fest mit", "angezogen auf", "angezogen bis", "bloque a", "apretado hasta", "apretado con", "tirato a", "stretto a", "bloccare a", "vast op", "vastzetten met", "wrench setting", "wrench set to", "wrench set at", "wrench at", "set the wrench to", "click at", "clicks at", "torque wrench setting", "torque at", "tighten at", "tightening to", "pulled to", "pulled up to", "pulled down to", "pinch to", "pinch up to", "final setting", "final value", "final figure", "final pull", "last pull", "poundage", "tq value", "tq val", "trq val", "torque val", "tq spec", "tightening spec", "fasten to", "torque req'd", "torque required", "required torque", "specified torque", "figure to pull to", "schlussel auf", "schlusseleinstellung", "einstellwert", "drehmomentwert", "anzugswert", "anziehwert", "anz moment", "anz mom", "drehmom", "anzugsmom", "ziehen auf", "cle reglee a", "reglage cle", "valeur de serrage", "serrage final", "serrage a", "reglee a", "ajuste llave", "valor de apriete", "apriete final", "apriete a", "tarar llave a", "taratura chiave", "valore di serraggio", "serraggio finale", "serraggio a", "tarare a",
    ]),
    (&["angle"], &[
        "angle", "angles", "degrees", "deg", "turn", "turn angle", "then angle", "torque angle", "angle of turn", "plus angle", "then turn", "final angle",
        "winkel", "drehwinkel", "anziehwinkel", "anzugswinkel", "grad", "weiterdrehwinkel", "nachziehwinkel",
        "angle de serrage", "serrage angulaire", "angulo", "angulo de apriete", "giro", "angolo", "angolo di serraggio",
        "hoek", "draaihoek", "aandraaihoek", "vinkel", "vridvinkel", "atdragningsvinkel", "kat", "kat obrotu", "kat dokrecania", "angulo de aperto", "rotation", "rotacion", "rotazione", "rotacao", "drehung", "angolo di rotazione", "angulo de giro", "angle de rotation",
        "then turn by", "turn by", "plus turn", "further turn", "extra turn", "rotate", "rotate by", "turn further", "add angle", "added angle", "angle after", "turn after", "weiterdrehen", "dann weiter", "nachdrehen", "zusatzwinkel", "winkelgrad", "puis tourner", "tourner de", "angle final", "girar", "luego girar", "angulo final", "ruotare", "poi ruotare", "angolo finale",
    ]),
    (&["passes"], &[
        "passes", "steps", "stages", "in steps", "no of passes", "number of passes", "pull in", "pass", "sequence of passes", "torque steps", "torque in",
        "stufen", "schritte", "durchgange", "anziehstufen", "in stufen", "anzugsstufen", "stufenweise",
        "etapes", "paliers", "passe", "nombre de passes", "phases", "par etapes",
        "pasos", "etapas", "fases", "pasadas",
        "passaggi", "fasi", "passate", "passi", "stappen", "trappen",
        "pulled up in", "pulled in", "pull up in", "goes", "in goes", "how many goes", "in how many goes", "in how many", "how many pulls", "tighten in", "tightened in", "in stages", "in passes", "how many passes", "how many stages", "how many steps", "rounds", "pulls", "torque stages", "torque passes", "bring up in", "brought up in", "work up in", "build up in", "anziehen in", "angezogen in", "zuge", "in zugen", "in schritten", "wie viele stufen", "serrage en", "serrer en", "en combien", "passes de serrage", "nombre de passages", "passages", "apretar en", "apretado en", "en pasos", "en etapas", "cuantos pasos", "serrare in", "serrato in", "in passi", "in fasi", "quanti passi", "passate di serraggio",
    ]),
    (&["notes"], &[
        "notes", "note", "text", "free text", "remarks", "remark", "rmks", "rmk", "comment", "comments", "info", "instructions", "instruction", "see note", "memo", "other", "notes/remarks", "fitter's notes", "additional", "detail", "details",
        "bemerkung", "bemerkungen", "hinweis", "hinweise", "anmerkung", "anmerkungen", "kommentar", "notiz", "bem", "zusatz", "sonstiges",
        "remarque", "remarques", "observation", "observations", "commentaire", "commentaires", "notes", "obs", "rem",
        "nota", "notas", "observaciones", "observacion", "comentario", "comentarios", "indicaciones",
        "osservazioni", "annotazioni", "commenti", "avvertenze", "osservazione", "annotazione", "commento",
        "nut class", "nut grade", "mutternfestigkeit", "mutterklasse", "classe ecrou", "opmerking", "opmerkingen", "observacao", "observacoes", "anmarkning", "anmarkningar", "uwagi", "uwaga", "recheck note", "see",
        "beware", "watch out", "watch for", "remember", "don't forget", "dont forget", "mind", "free text", "free txt", "freetext", "tips", "tip", "anything else", "misc", "miscellaneous", "what else", "hints", "hint", "careful", "special instructions", "extra info", "look out", "look out for", "careful of", "be careful", "points to watch", "take care", "nicht vergessen", "zu beachten", "beachten", "merke", "wichtig", "freitext", "vermerk", "vermerke", "ausserdem", "achtung", "vorsicht", "besonderes", "besonderheiten", "attention", "a noter", "ne pas oublier", "divers", "precisions", "consigne", "consignes", "rappel", "a savoir", "ojo", "atencion", "no olvidar", "recordar", "recuerda", "varios", "aviso", "avisos", "importante", "cuidado", "attenzione", "da ricordare", "ricorda", "ricordare", "non dimenticare", "varie", "avviso", "avvisi", "precisazioni", "opgelet", "let op", "att",
    ]),
    (&["reuse"], &[
        "reuse", "re use", "reuse ok", "re use ok", "ok to reuse", "ok to re use", "can be reused", "can reuse", "re usable", "reuseable", "re useable", "keep/bin", "bin/keep", "reusable", "single use", "use again", "renew", "replace", "new", "discard", "throw away",
        "wiederverwendung", "wiederverwendbar", "einmalschraube", "wiederverw", "ersetzen", "erneuern", "neu",
        "reutilisation", "reemploi", "reutilisable", "usage", "a remplacer", "remplacer", "sustituir", "reemplazar", "sostituire", "da sostituire", "reutilizar", "reutilizable", "reutilizacion", "riutilizzo", "riutilizzabile", "riutilizzare",
    ]),
    (&["order"], &[
        "order", "sequence", "pattern", "tightening pattern", "tightening order",
        "reihenfolge", "anziehreihenfolge", "anzugsreihenfolge", "ordre", "ordre de serrage", "orden", "secuencia", "orden de apriete", "ordine", "sequenza", "ordine di serraggio",
    ]),
    (&["length"], &["len", "lgth", "screw length", "shank length", "gesamtlange", "schraubenlange", "longueur vis", "longueur boulon", "longitud tornillo", "largo tornillo", "lunghezza vite", "length", "bolt length", "lange", "laenge", "longueur", "longitud", "largo", "lunghezza", "lg"]),
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
    (&["head-size"], &["wrench", "spanner size", "across flats", "hex key", "allen key", "schlussel", "nuss", "schlussel sw", "douille", "taille cle", "vaso", "boca", "bussola", "head", "hex", "af", "a/f", "spanner", "wrench size", "key size", "schlusselweite", "sw", "cle", "llave", "chiave", "socket size"]),
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

/// Words for what a store has of a fastener.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const STOCK: &[&str] = &[
    "stock", "inventory", "hand", "reorder", "bestand", "lagerbestand", "lager", "vorrat", "voorraad", "existencias",
    "inventario", "scorta", "scorte", "giacenza", "magazzino",
];

/// Words that say a count for each of something.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const PER: &[&str] = &["per", "each", "every", "je", "pro", "jeweils", "par", "chaque", "por", "cada", "ogni"];

/// Words of headings that are no fact of a joint, whatever figures stand below them.
#[rustfmt::skip] // words of five languages, side by side
pub(crate) const NO_FACT: &[&str] = &[
    "price", "cost", "costs", "shelf", "drawer", "rack", "page", "pg", "sheet", "dwg", "fig", "date", "day", "month", "year", "yr", "week", "wk", "time", "mins", "minutes", "hours", "hrs", "hr", "h", "km",
    "kms", "miles", "mileage", "rev", "issue", "version", "id", "ids", "rec", "record", "uid", "guid", "serial", "sn", "s/n", "job", "invoice", "vendor", "code", "weight", "wt", "temp", "temperature", "pressure",
    "psi", "rpm", "speed", "hp", "kw", "gap", "clearance", "backlash", "interval", "intervals", "age", "done", "last", "next", "due", "checked", "inspected", "initials", "sign", "signed", "by", "capacity", "litres",
    "priority", "risk", "seq", "bay", "hardness", "hrc", "changed", "updated", "created", "modified", "edited", "line", "row", "index", "idx", "usd", "eur", "gbp", "cat", "category", "catalogue", "barcode", "wear",
    "preis", "kosten", "fach", "regal", "seite", "blatt", "datum", "tag", "jahr", "monat", "woche", "zeit", "std", "stunden", "betriebsstunden", "bh", "ausgabe", "serie", "seriennr", "seriennummer", "auftrag",
    "bestellnr", "lieferant", "gewicht", "temperatur", "druck", "drehzahl", "spiel", "spalt", "intervall", "kst", "kostenstelle", "letzte", "letzter", "letztes", "nachste", "gepruft", "geandert", "gewechselt",
    "prix", "cout", "casier", "etagere", "feuille", "plan", "jour", "mois", "annee", "semaine", "heures", "indice", "commande", "fournisseur", "poids", "pression", "vitesse", "jeu", "intervalle", "dernier", "derniere",
    "prochain", "prochaine", "verifie", "precio", "coste", "costo", "cajon", "estante", "pagina", "hoja", "plano", "fecha", "dia", "mes", "ano", "semana", "horas", "revision", "pedido", "proveedor", "codigo", "peso",
    "temperatura", "presion", "velocidad", "holgura", "intervalo", "ultimo", "ultima", "proximo", "revisado", "prezzo", "cassetto", "scaffale", "foglio", "data", "giorno", "mese", "anno", "settimana", "ore", "revisione",
    "ordine", "fornitore", "codice", "ticket", "tickets", "docket", "permit", "batch", "requisition", "dwgs", "zeichnungsnr", "rechnung", "beleg", "facture", "bon", "factura", "albaran", "fattura", "bolla", "pressione", "velocita", "gioco", "intervallo", "prossimo", "controllato",
];
