//! Random sheets made from a known list of records: headings in any language and
//! spelling, columns in any order, units in heading, cell, second row or a column
//! of their own, sections, titles, totals, blank lines, separators, encodings and
//! decimal marks. Each is read back as those records; hardly one asks, and none
//! asks for what its text states.
//!
//! Ten seconds of them in the normal run. The soak, 20,000 sheets:
//! `CLAMPBOOK_LAYOUTS=20000 cargo test --release --test intake layouts -- --nocapture`.
//! `CLAMPBOOK_LAYOUT=7` shows the sheet of that number.

use std::fmt::Write as _;
use std::sync::LazyLock;
use std::time::{Duration, Instant};

use clampbook::intake::{EmptyBook, Options, Report, read_any, take};
use clampbook::record::Fastener;

use crate::support::{Random, tables_of_the_book};

/// What stands behind a sheet.
#[derive(Debug, Clone, PartialEq)]
struct Record {
    machine: &'static str,
    joint: &'static str,
    thread: &'static str,
    strength: &'static str,
    lube: &'static str,
    /// In tenths of the unit of the sheet.
    torque: u32,
    count: u32,
    note: &'static str,
}

const MACHINES: [&str; 4] = ["Grelby 12", "Vostrup 75", "Ombrey press 2", "Tarvik 310"];
const JOINTS: [&str; 10] = [
    "Cylinder cover",
    "Main bearing",
    "Rod cap",
    "Oil sump",
    "Water pump",
    "Flywheel",
    "Gear housing",
    "Motor foot",
    "Valve chest",
    "Carrier",
];
/// As a question prints it, and how sheets write it.
const METRIC: [(&str, [&str; 4]); 5] = [
    ("M8x1.25", ["M8", "M8x1.25", "M8 x 1.25", "M8×1.25"]),
    ("M10x1.5", ["M10", "M10x1.5", "M10 x 1.5", "M10X1.5"]),
    ("M12x1.25", ["M12x1.25", "M12 x 1.25", "M12×1.25", "m12x1.25"]),
    ("M16x2", ["M16", "M16x2", "M16 x 2", "M16x2.0"]),
    ("M6x1", ["M6", "M6x1", "M6 x 1", "M6×1.0"]),
];
const INCH: [(&str, [&str; 4]); 4] = [
    ("3/8-16", ["3/8-16", "3/8-16 UNC", "3/8 UNC", ".375-16"]),
    ("1/2-20", ["1/2-20", "1/2-20 UNF", "1/2 UNF", "1/2\"-20"]),
    ("7/16-14", ["7/16-14", "7/16 coarse", "7/16-14 UNC", "7/16 - 14"]),
    ("5/8-18", ["5/8-18", "5/8 UNF", "5/8-18 UNF-2A", "5/8 fine"]),
];
const LUBES: [(&str, [&str; 6]); 5] = [
    ("oil", ["oil", "oiled", "geölt", "huilé", "aceite", "olio"]),
    ("dry", ["dry", "clean & dry", "trocken", "à sec", "seco", "a secco"]),
    (
        "moly",
        [
            "moly",
            "moly paste",
            "Molypaste",
            "pâte au molybdène",
            "pasta de molibdeno",
            "pasta al molibdeno",
        ],
    ),
    (
        "threadlocker",
        [
            "threadlocker",
            "thread lock",
            "Schraubensicherung",
            "frein filet",
            "fijador de roscas",
            "frenafiletti",
        ],
    ),
    (
        "copper anti-seize",
        [
            "copper paste",
            "copper grease",
            "Kupferpaste",
            "pâte au cuivre",
            "pasta de cobre",
            "pasta al rame",
        ],
    ),
];
const NOTES: [&str; 5] = ["", "", "crosswise", "see drawing", "with washer"];

/// Headings of a column in five languages, three spellings each.
struct Words {
    machine: [&'static str; 3],
    joint: [&'static str; 3],
    thread: [&'static str; 3],
    strength: [&'static str; 3],
    lube: [&'static str; 3],
    torque: [&'static str; 3],
    count: [&'static str; 3],
    note: [&'static str; 3],
    unit: [&'static str; 3],
    total: &'static str,
}
const WORDS: [Words; 5] = [
    Words {
        machine: ["Machine", "Engine", "Equipment"],
        joint: ["Joint", "Location", "Where"],
        thread: ["Thread", "Size", "Bolt size"],
        strength: ["Grade", "Class", "Property class"],
        lube: ["Lube", "Lubricant", "Compound"],
        torque: ["Torque", "Tightening torque", "Final torque"],
        count: ["Qty", "Count", "Pcs"],
        note: ["Notes", "Remarks", "Comment"],
        unit: ["Unit", "Units", "Torque unit"],
        total: "Total",
    },
    Words {
        machine: ["Maschine", "Anlage", "Fahrzeug"],
        joint: ["Baugruppe", "Stelle", "Verbindung"],
        thread: ["Gewinde", "Größe", "Abmessung"],
        strength: ["Festigkeit", "Güte", "Festigkeitsklasse"],
        lube: ["Schmierung", "Schmierstoff", "Gewindezustand"],
        torque: ["Anzugsmoment", "Drehmoment", "Anziehdrehmoment"],
        count: ["Anzahl", "Stück", "Menge"],
        note: ["Bemerkung", "Hinweis", "Anmerkung"],
        unit: ["Einheit", "Einheit", "Einheit"],
        total: "Summe",
    },
    Words {
        machine: ["Machine", "Véhicule", "Engin"],
        joint: ["Organe", "Emplacement", "Assemblage"],
        thread: ["Filetage", "Taille", "Diamètre"],
        strength: ["Classe", "Qualité", "Classe de qualité"],
        lube: ["Graissage", "Lubrification", "Lubrifiant"],
        torque: ["Couple", "Couple de serrage", "Serrage"],
        count: ["Nombre", "Quantité", "Qté"],
        note: ["Remarque", "Observations", "Commentaire"],
        unit: ["Unité", "Unité", "Unité"],
        total: "Total",
    },
    Words {
        machine: ["Máquina", "Vehículo", "Equipo"],
        joint: ["Unión", "Ubicación", "Conjunto"],
        thread: ["Rosca", "Medida", "Tamaño"],
        strength: ["Clase", "Calidad", "Grado"],
        lube: ["Lubricación", "Lubricante", "Engrase"],
        torque: ["Par", "Par de apriete", "Apriete"],
        count: ["Cantidad", "Cant.", "Uds"],
        note: ["Observaciones", "Nota", "Comentario"],
        unit: ["Unidad", "Unidad", "Unidad"],
        total: "Suma",
    },
    Words {
        machine: ["Macchina", "Veicolo", "Impianto"],
        joint: ["Giunto", "Gruppo", "Applicazione"],
        thread: ["Filettatura", "Misura", "Filetto"],
        strength: ["Classe", "Classe di resistenza", "Qualità"],
        lube: ["Lubrificazione", "Lubrificante", "Ingrassaggio"],
        torque: ["Coppia", "Coppia di serraggio", "Serraggio"],
        count: ["Quantità", "Q.tà", "Pezzi"],
        note: ["Note", "Osservazioni", "Annotazioni"],
        unit: ["Unità", "Unità", "U.M."],
        total: "Totale",
    },
];

/// The tables of words that the import itself reads by, as they are written.
const HEADING_WORDS: &str = include_str!("../../src/intake/heading_words.rs");
const LUBE_WORDS: &str = include_str!("../../src/intake/lube_words.rs");

/// The quoted words of a piece of a table.
fn quoted(piece: &'static str) -> impl Iterator<Item = &'static str> {
    piece.split('"').skip(1).step_by(2)
}

/// Every spelling of the headings of these columns that has one meaning alone.
static SPELLINGS: LazyLock<Vec<(&str, Vec<&str>)>> = LazyLock::new(|| {
    let starts = [
        ("assembly", "(&[\"assembly\"], &["),
        ("joint", "(&[\"joint\"], &["),
        ("thread", "(&[\"thread\"], &["),
        ("strength", "(&[\"strength\"], &["),
        ("lube", "(&[\"lube\"], &["),
        ("torque", "(&[\"torque\"], &["),
        ("count", "(&[\"count\", \"row-number\"], &["),
        ("notes", "(&[\"notes\"], &["),
    ];
    let all: Vec<&str> = quoted(HEADING_WORDS).collect();
    let is_plain = |word: &&str| all.iter().filter(|other| *other == word).count() == 1;
    let of = |start: &str| -> Vec<&str> {
        let block = HEADING_WORDS.split_once(start).unwrap().1.split_once("]),").unwrap().0;
        quoted(block).filter(is_plain).collect()
    };
    starts.iter().map(|(meaning, start)| (*meaning, of(start))).collect()
});

/// Every word for a lube of [`LUBES`] that no other lube of the book is called by.
static LUBE_SPELLINGS: LazyLock<Vec<(&str, Vec<&str>)>> = LazyLock::new(|| {
    let of = |lube: &'static str| {
        let start = format!("(\"{lube}\", &[");
        let block = LUBE_WORDS.split_once(&start).unwrap().1.split_once("]),").unwrap().0;
        let is_other = |word: &&str| {
            let others = tables_of_the_book().lubes.iter().filter(|other| other.name != lube);
            others.into_iter().any(|other| other.aliases.iter().any(|alias| alias == word))
        };
        quoted(block).filter(|word| !is_other(word)).collect()
    };
    LUBES.iter().map(|(lube, _)| (*lube, of(lube))).collect()
});

fn one_of(random: &mut Random, table: &[(&str, Vec<&'static str>)], of: &str) -> &'static str {
    let (_, words) = table.iter().find(|(name, _)| *name == of).unwrap();
    random.pick(words)
}

/// How a sheet writes a unit of torque, and how it is printed.
const METRIC_UNITS: [(&str, [&str; 4]); 1] = [("N·m", ["Nm", "N·m", "N.m", "N-m"])];
const INCH_UNITS: [(&str, [&str; 4]); 2] = [
    ("lb-ft", ["ft-lb", "lb-ft", "ft lbs", "lbf·ft"]),
    ("lb-in", ["in-lb", "lb-in", "in lbs", "lbf·in"]),
];

/// Where the unit stands.
#[derive(Debug, Clone, Copy, PartialEq)]
enum UnitIn {
    Heading,
    Cell,
    SecondRow,
    Column,
    Title,
}

/// Where the machine stands.
#[derive(Debug, Clone, Copy, PartialEq)]
enum MachineIn {
    Column,
    Title,
    FileName,
}

/// One sheet and what it says.
struct Sheet {
    name: String,
    bytes: Vec<u8>,
    text: String,
    records: Vec<Record>,
    unit: &'static str,
}

fn figure(tenths: u32, comma: bool) -> String {
    let text = if tenths.is_multiple_of(10) {
        (tenths / 10).to_string()
    } else {
        format!("{}.{}", tenths / 10, tenths % 10)
    };
    if comma { text.replace('.', ",") } else { text }
}

fn records(random: &mut Random, metric: bool, machines: usize) -> Vec<Record> {
    let mut all = Vec::new();
    let first = random.below(MACHINES.len());
    for machine in 0..machines {
        let start = random.below(JOINTS.len());
        for row in 0..2 + random.below(6) {
            let thread = if metric { random.pick(&METRIC).0 } else { random.pick(&INCH).0 };
            let strength = if metric {
                random.pick(&["8.8", "10.9", "12.9"])
            } else {
                random.pick(&["SAE 5", "SAE 8"])
            };
            all.push(Record {
                machine: MACHINES[(first + machine) % MACHINES.len()],
                joint: JOINTS[(start + row) % JOINTS.len()],
                thread,
                strength,
                lube: random.pick(&LUBES).0,
                torque: 80 + u32::try_from(random.below(2000)).unwrap(),
                count: 2 + u32::try_from(random.below(20)).unwrap(),
                note: random.pick(&NOTES),
            });
        }
    }
    all
}

/// One column of the sheet.
#[derive(Clone, Copy, PartialEq)]
enum Col {
    Machine,
    Joint,
    Thread,
    Strength,
    Lube,
    Torque,
    Unit,
    Count,
    Note,
}

#[allow(clippy::too_many_lines)] // one sheet, laid out from top to bottom
fn sheet(seed: u64) -> Sheet {
    let mut random = Random(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
    for _ in 0..4 {
        random.below(7);
    }
    let metric = !random.one_in(3);
    let language = random.below(5);
    let words = &WORDS[language];
    let machine_in =
        random.pick(&[MachineIn::Column, MachineIn::Column, MachineIn::Title, MachineIn::FileName]);
    let machines = if machine_in == MachineIn::Column { 1 + random.below(3) } else { 1 };
    let sections = machine_in != MachineIn::Column && random.one_in(3);
    let mut records = records(&mut random, metric, machines);
    let units: &[(&str, [&str; 4])] = if metric { &METRIC_UNITS } else { &INCH_UNITS };
    let (unit, spellings) = random.pick(units);
    let spelled = random.pick(&spellings);
    let unit_in = random.pick(&[
        UnitIn::Heading,
        UnitIn::Heading,
        UnitIn::Cell,
        UnitIn::SecondRow,
        UnitIn::Column,
        UnitIn::Title,
    ]);
    let delimiter = random.pick(&[",", ";", "\t", "|"]);
    let comma = delimiter != "," && random.one_in(2);
    let mut columns = vec![Col::Thread, Col::Torque];
    if machine_in == MachineIn::Column {
        columns.push(Col::Machine);
    }
    if !sections {
        columns.push(Col::Joint);
    }
    for (column, times) in [(Col::Strength, 4), (Col::Lube, 4), (Col::Count, 3), (Col::Note, 2)] {
        if random.below(times) > 0 {
            columns.push(column);
        }
    }
    if unit_in == UnitIn::Column {
        columns.push(Col::Unit);
    }
    for at in (1..columns.len()).rev() {
        columns.swap(at, random.below(at + 1));
    }
    let has = |column: Col| columns.contains(&column);
    for record in &mut records {
        if !has(Col::Strength) {
            record.strength = "";
        }
        if !has(Col::Lube) {
            record.lube = "";
        }
        if !has(Col::Count) {
            record.count = 0;
        }
        if !has(Col::Note) {
            record.note = "";
        }
    }
    // Rows of one joint, thread and grade would be one fastener with two figures.
    let mut seen: Vec<(String, String)> = Vec::new();
    records.retain(|one| {
        let key = (
            format!("{}{}", one.machine, one.joint),
            format!("{}{}{}", one.thread, one.strength, one.lube),
        );
        let fresh = !seen.contains(&key);
        seen.push(key);
        fresh
    });
    let variant = random.below(4);
    let spelling = random.below(3);
    // Half of the sheets are headed by any words of the tables.
    let is_wide = random.one_in(2);
    let mut word = |usual: &'static str, meaning: &str| match is_wide {
        true => one_of(&mut random, &SPELLINGS, meaning),
        false => usual,
    };
    let usual = [
        (Col::Machine, word(words.machine[spelling], "assembly")),
        (Col::Joint, word(words.joint[spelling], "joint")),
        (Col::Thread, word(words.thread[spelling], "thread")),
        (Col::Strength, word(words.strength[spelling], "strength")),
        (Col::Lube, word(words.lube[spelling], "lube")),
        (Col::Count, word(words.count[spelling], "count")),
        (Col::Note, word(words.note[spelling], "notes")),
    ];
    let torque = word(words.torque[spelling], "torque");
    let is_any_lube = random.one_in(2);
    let heading = |column: Col| match column {
        Col::Machine
        | Col::Joint
        | Col::Thread
        | Col::Strength
        | Col::Lube
        | Col::Count
        | Col::Note => usual.iter().find(|(known, _)| *known == column).unwrap().1.to_owned(),
        Col::Unit => words.unit[spelling].to_owned(),
        Col::Torque => match unit_in {
            UnitIn::Heading if variant == 0 => format!("{torque} [{spelled}]"),
            UnitIn::Heading if variant == 1 => format!("{torque} {spelled}"),
            UnitIn::Heading if variant == 2 => spelled.to_owned(),
            UnitIn::Heading => format!("{torque} ({spelled})"),
            _ => torque.to_owned(),
        },
    };
    let mut lines: Vec<Vec<String>> = Vec::new();
    let machine = records[0].machine;
    if machine_in == MachineIn::Title {
        let of_torques = [
            "Torque list - ",
            "Anzugsmomente ",
            "Liste des couples - ",
            "Pares de apriete - ",
            "Coppie di serraggio ",
        ];
        let title = match random.below(4) {
            0 => machine.to_owned(),
            3 => format!("{}{machine}", of_torques[language]),
            1 => format!("{machine} - bolt list"),
            _ => format!("{}: {machine}", words.machine[0]),
        };
        lines.push(vec![title]);
    }
    if unit_in == UnitIn::Title {
        lines.push(vec![match random.below(3) {
            0 => format!("All torques in {spelled}"),
            1 => format!("{} ({spelled})", words.torque[0]),
            _ => format!("{}: {spelled}", words.torque[0]),
        }]);
    }
    if !lines.is_empty() && random.one_in(2) {
        lines.push(Vec::new());
    }
    let upper = random.one_in(6);
    let headings = columns.iter().map(|column| heading(*column));
    let headings: Vec<String> = headings
        .map(|text| if upper && unit_in != UnitIn::Heading { text.to_uppercase() } else { text })
        .collect();
    lines.push(headings);
    if unit_in == UnitIn::SecondRow {
        lines.push(
            columns
                .iter()
                .map(|column| match column {
                    Col::Torque if variant < 2 => format!("[{spelled}]"),
                    Col::Torque => spelled.to_owned(),
                    Col::Count if random.one_in(2) => "pcs".to_owned(),
                    _ => String::new(),
                })
                .collect(),
        );
    }
    let blanks = random.one_in(3);
    let merged = random.one_in(4);
    let mut last: Option<&Record> = None;
    let mut total = 0;
    // Joints in turn: a section each.
    let mut order: Vec<usize> = (0..records.len()).collect();
    if sections {
        order.sort_by_key(|at| JOINTS.iter().position(|joint| *joint == records[*at].joint));
    }
    let records: Vec<Record> = order.into_iter().map(|at| records[at].clone()).collect();
    for record in &records {
        let is_new = last.is_none_or(|last| last.joint != record.joint);
        if sections && is_new {
            if blanks {
                lines.push(Vec::new());
            }
            lines.push(vec![if upper {
                record.joint.to_uppercase()
            } else {
                record.joint.to_owned()
            }]);
        } else if blanks && random.one_in(5) {
            lines.push(Vec::new());
        }
        total += record.count;
        let same = last.is_some_and(|last| last.machine == record.machine);
        let threads: &[(&str, [&str; 4])] = if metric { &METRIC } else { &INCH };
        let row = columns.iter().map(|column| match column {
            Col::Machine if merged && same => String::new(),
            Col::Machine => record.machine.to_owned(),
            Col::Joint => record.joint.to_owned(),
            Col::Thread => {
                let written =
                    threads.iter().find(|(thread, _)| *thread == record.thread).unwrap().1;
                let text = random.pick(&written);
                if comma && metric { text.replace('.', ",") } else { text.to_owned() }
            }
            Col::Strength => match record.strength {
                "SAE 5" => random.pick(&["Gr 5", "grade 5", "SAE 5", "5"]).to_owned(),
                "SAE 8" => random.pick(&["Gr 8", "Grade 8", "SAE 8", "8"]).to_owned(),
                class => class.to_owned(),
            },
            Col::Lube => {
                let written = LUBES.iter().find(|(lube, _)| *lube == record.lube).unwrap().1;
                if is_any_lube {
                    one_of(&mut random, &LUBE_SPELLINGS, record.lube).to_owned()
                } else if language == 0 {
                    random.pick(&written[..2]).to_owned()
                } else {
                    written[language + 1].to_owned()
                }
            }
            Col::Torque if unit_in == UnitIn::Cell => {
                format!("{} {spelled}", figure(record.torque, comma))
            }
            Col::Torque => figure(record.torque, comma),
            Col::Unit => spelled.to_owned(),
            Col::Count => record.count.to_string(),
            Col::Note => record.note.to_owned(),
        });
        lines.push(row.collect());
        last = Some(record);
    }
    if has(Col::Count) && random.one_in(3) {
        let count = columns.iter().position(|column| *column == Col::Count).unwrap();
        let mut row = vec![String::new(); columns.len()];
        row[usize::from(count == 0)] = words.total.to_owned();
        row[count] = total.to_string();
        lines.push(row);
    }
    if random.one_in(4) {
        lines.push(Vec::new());
        lines.push(vec!["Check again after 50 h running".to_owned()]);
    }
    let quote = |cell: &String| {
        if cell.contains(delimiter) || cell.contains('"') {
            format!("\"{}\"", cell.replace('"', "\"\""))
        } else {
            cell.clone()
        }
    };
    let end = random.pick(&["\n", "\r\n"]);
    let mut text = String::new();
    for line in &lines {
        let cells: Vec<String> = line.iter().map(quote).collect();
        write!(text, "{}{end}", cells.join(delimiter)).unwrap();
    }
    let is_western = text.chars().all(|c| u32::from(c) < 256);
    let bytes = match random.below(4) {
        0 if is_western => text.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect(),
        1 => {
            [0xff, 0xfe].into_iter().chain(text.encode_utf16().flat_map(u16::to_le_bytes)).collect()
        }
        2 => [b"\xef\xbb\xbf", text.as_bytes()].concat(),
        _ => text.clone().into_bytes(),
    };
    let name = match machine_in {
        MachineIn::FileName => format!("{}.csv", machine.replace(' ', "_")),
        _ => "list.csv".to_owned(),
    };
    let records = records.into_iter().map(|mut record| {
        if sections && upper {
            record.joint = Box::leak(record.joint.to_uppercase().into_boxed_str());
        }
        record
    });
    Sheet { name, bytes, text, records: records.collect(), unit }
}

/// What a sheet came out as, in the words of a record.
fn came_out(fastener: &Fastener) -> Vec<String> {
    let each = fastener.settings.iter().map(|setting| {
        let torque = setting.torque.map(|torque| torque.to_string()).unwrap_or_default();
        let note = fastener.notes.clone().unwrap_or_default();
        let note =
            NOTES.iter().find(|known| !known.is_empty() && note.contains(*known)).unwrap_or(&"");
        format!(
            "{}|{}|{}|{}|{}|{torque}|{}|{note}",
            fastener.joint.assembly,
            fastener.joint.name,
            fastener.thread.as_ref().map(ToString::to_string).unwrap_or_default(),
            fastener.strength.name.clone().unwrap_or_default(),
            setting.lube.clone().unwrap_or_default(),
            fastener.count.unwrap_or(0),
        )
    });
    each.collect()
}

fn wanted(sheet: &Sheet) -> Vec<String> {
    let mut all: Vec<String> = sheet
        .records
        .iter()
        .map(|one| {
            let torque = format!("{} {}", figure(one.torque, false), sheet.unit);
            format!(
                "{}|{}|{}|{}|{}|{torque}|{}|{}",
                one.machine, one.joint, one.thread, one.strength, one.lube, one.count, one.note
            )
        })
        .collect();
    all.sort();
    all
}

fn read(sheet: &Sheet) -> Result<Report, String> {
    let options = Options::default();
    let read = read_any(&sheet.bytes, &sheet.name, &options).map_err(|error| error.to_string())?;
    take(&read, tables_of_the_book(), &options, &EmptyBook).map_err(|error| error.to_string())
}

/// None: read back as it was. Else whether it asks, and what is wrong.
fn judge(sheet: &Sheet) -> Option<(bool, String)> {
    let report = match read(sheet) {
        Ok(report) => report,
        Err(error) => return Some((true, error)),
    };
    if !report.is_sound() {
        let asked: Vec<String> = report
            .bad_cells()
            .map(|cell| format!("{} {}: {}", cell.place.address(), cell.place.header, cell.reason))
            .collect();
        return Some((true, asked.join("\n")));
    }
    let mut all: Vec<String> = report.fasteners.iter().flat_map(came_out).collect();
    all.sort();
    // The thread may be printed with its class.
    let plain = |text: &String| text.replace(" UNF-2A", "").replace(" UNC-2A", "");
    let all: Vec<String> = all.iter().map(plain).collect();
    let wanted = wanted(sheet);
    if all == wanted {
        return None;
    }
    let lost: Vec<&String> = wanted.iter().filter(|one| !all.contains(one)).collect();
    let made: Vec<&String> = all.iter().filter(|one| !wanted.contains(one)).collect();
    Some((false, format!("lost {lost:#?}\nmade {made:#?}")))
}

#[test]
fn sheets_of_any_layout_are_read_back_as_their_records() {
    if let Some(one) = std::env::var("CLAMPBOOK_LAYOUT").ok().and_then(|seed| seed.parse().ok()) {
        let sheet = sheet(one);
        println!("{}:\n{}\n{:?}", sheet.name, sheet.text, judge(&sheet));
        return;
    }
    let most: u64 =
        std::env::var("CLAMPBOOK_LAYOUTS").ok().and_then(|most| most.parse().ok()).unwrap_or(0);
    let until = Instant::now() + Duration::from_secs(10);
    let (mut seen, mut asked, mut wrong) = (0u64, 0u64, Vec::new());
    while if most > 0 { seen < most } else { Instant::now() < until } {
        seen += 1;
        let sheet = sheet(seen);
        match judge(&sheet) {
            None => {}
            Some((true, why)) => {
                asked += 1;
                if asked <= 5 {
                    println!(
                        "sheet {seen} asks: {}",
                        why.lines().take(3).collect::<Vec<_>>().join(" / ")
                    );
                }
            }
            Some((false, why)) if std::env::var_os("CLAMPBOOK_LAYOUTS").is_some() => {
                println!("sheet {seen} is read wrong: {}", why.replace('\n', " "));
                wrong.push(why);
            }
            Some((false, why)) => wrong.push(format!("sheet {seen}:\n{}\n{why}", sheet.text)),
        }
    }
    println!("{seen} sheets, {asked} ask, {} read wrong", wrong.len());
    assert!(
        wrong.is_empty(),
        "{} of {seen} read wrong in silence; the first:\n{}",
        wrong.len(),
        wrong[0]
    );
    assert!(asked * 10 <= seen, "{asked} of {seen} ask for what they state");
}
