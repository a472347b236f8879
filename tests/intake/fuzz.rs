//! Random cells and files: no panic, and whatever is not taken says why.
//!
//! The random numbers come from a fixed start, so that a failure repeats. A
//! round is 400 filled cells or more and 500 files; each test prints what it covered
//! and asserts it. CLAMPBOOK_FUZZ_ROUNDS says how many rounds: 200 is 100,000 files,
//! 5000 is 2 million cells and more. The lines to type are in DEVELOPERS.md, "Soaks".

use std::fmt::Write as _;

use crate::support::{Random, quoted, tables};
use clampbook::intake::{EmptyBook, Options, Verdict, read_csv, take};
use clampbook::record::stored_fields;

/// Pieces of cells, sound and broken, and characters that have no business
/// there.
const PIECES: &[&str] = &[
    "70",
    "0",
    "7O",
    ".4375",
    "1-1/2",
    "7/16",
    "-",
    "–",
    "..",
    "to",
    "/",
    ",",
    ";",
    "+",
    "±",
    "x",
    "×",
    "*",
    "#",
    "\"",
    "'",
    "(",
    ")",
    "[",
    "lb-ft",
    "ft lbs",
    "Nm",
    "N·m",
    "mkg",
    "kg",
    "lbs",
    "in",
    "mm",
    "thou",
    "°",
    "deg",
    "turn",
    "%",
    "ksi",
    "MPa",
    "½",
    "¼",
    "1st",
    "2nd",
    "pass 1",
    "then",
    "snug",
    "max",
    "min",
    "about",
    "TTY",
    "replace",
    "stretch",
    "moly",
    "oil",
    "dry",
    "lubed",
    "red",
    "coarse",
    "fine",
    "UNF",
    "LH",
    "M10",
    "M10x1.5",
    "7/16-20",
    "x 80",
    "12-May",
    "2024-05-12",
    "31.12.2024",
    "45489",
    "same",
    "?",
    "n/a",
    "yes",
    "no",
    "blind",
    "wet",
    "1,200",
    "70,5",
    "1e9",
    "99999999999999999999",
    "\u{202e}",
    "\u{0}",
    "\u{fffd}",
    "é",
    "漢",
    "🔩",
    "\t",
    "\n",
    "=",
    "@",
    "10.9",
    "grade 8",
    "p. 12",
    "rev C",
    "1,2,3",
    "up to 5",
    "free length",
    " ",
];

/// How many rounds to go: more for a long run, by CLAMPBOOK_FUZZ_ROUNDS.
fn rounds(usual: usize) -> usize {
    let said = std::env::var("CLAMPBOOK_FUZZ_ROUNDS").ok();
    said.and_then(|rounds| rounds.parse().ok()).unwrap_or(usual)
}

fn random_cell(random: &mut Random) -> String {
    let mut cell = String::new();
    for _ in 0..random.below(7) {
        cell.push_str(random.pick(PIECES));
        if random.below(2) == 0 {
            cell.push(' ');
        }
    }
    cell
}

#[test]
fn no_cell_makes_it_panic() {
    let tables = tables();
    let mut random = Random(0x5eed);
    let headings: Vec<String> = stored_fields()
        .map(clampbook::record::Field::heading)
        .chain(
            ["Torque oil (lb-ft)", "Pass 1", "Torque max", "TPI", "Units", "Threadlocker", "Odd"]
                .map(str::to_owned),
        )
        .collect();
    let mut seen = [0usize; 4];
    let (rounds, mut filled) = (rounds(6), 0usize);
    for _ in 0..rounds {
        let mut text = headings.join(",");
        for _ in 0..20 {
            text.push('\n');
            let cells: Vec<String> = headings
                .iter()
                .map(|_| {
                    if random.below(3) == 0 {
                        let cell = random_cell(&mut random).replace('\0', "");
                        filled += usize::from(!cell.trim().is_empty());
                        quoted(&cell)
                    } else {
                        String::new()
                    }
                })
                .collect();
            text.push_str(&cells.join(","));
        }
        let sheet = read_csv(text.as_bytes(), "random.csv").expect("a header");
        let report =
            take(&sheet, &tables, &Options::default(), &EmptyBook).expect("usable columns");
        seen[0] += report.counts.taken;
        seen[1] += report.counts.warned;
        seen[2] += report.counts.asked;
        seen[3] += report.counts.refused;
        for cell in &report.verdicts {
            assert!(cell.verdict == Verdict::Taken || !cell.reason.is_empty(), "{cell:?}");
            assert!(!cell.verdict.is_bad() || !cell.advice.is_empty(), "{cell:?}");
        }
    }
    println!("{filled} filled cells in {rounds} rounds; taken, warned, asked, refused: {seen:?}");
    assert!(filled >= 400 * rounds, "{filled} cells in {rounds} rounds");
    assert!(seen.iter().all(|count| *count > 20), "every verdict is met: {seen:?}");
}

#[test]
fn no_file_makes_it_panic() {
    let tables = tables();
    let mut random = Random(0xf11e);
    let (files, mut read) = (500 * rounds(2), 0);
    for _ in 0..files {
        let mut text = String::from("Assembly,Joint,Part,Torque,Thread\n");
        for _ in 0..random.below(20) {
            let part = random
                .pick(&[",", "\n", "\r\n", "\"", "\"\"", ";", "\t", "a", "70 lb-ft", "é", ""]);
            write!(text, "{part}").unwrap();
        }
        let mut bytes = text.into_bytes();
        for _ in 0..random.below(3) {
            let at = random.below(bytes.len());
            bytes[at] = u8::try_from(random.below(256)).unwrap();
        }
        let Ok(sheet) = read_csv(&bytes, "random.csv") else { continue };
        if take(&sheet, &tables, &Options::default(), &EmptyBook).is_ok() {
            read += 1;
        }
    }
    println!("{files} files, {read} of them taken apart into rows");
    assert!(read * 10 > files * 3, "most random files have a header: {read} of {files}");
}
