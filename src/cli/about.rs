//! What is said of the program as a whole, in its help and its manual.

use crate::report::SAFETY;

/// In a line.
pub(super) const ABOUT: &str =
    "A book of fastener and torque specifications that answers questions";

/// In a paragraph.
pub(super) const LONG: &str = "\
A book of fastener and torque specifications that answers questions.

clampbook keeps what the sheets say (thread, strength, lube, torque, passes,
source), finds it by a short question, restates a torque for the lube in hand
where that is allowed, and says why where it is not.";

/// Lines to begin with.
pub(super) const EXAMPLES: &str = "\
Examples:
  clampbook --demo find coupling half with oil, anti-seize, dry
  clampbook find M10 torque over 60 N.m
  clampbook lubes suction flange
  clampbook calc M16 --strength 10.9 --lube oil --target \"75% proof\"
  clampbook import shop.csv --dry-run";

/// A question in short.
pub(super) const QUESTIONS: &[(&str, &str)] = &[
    ("M16 flange", "those with these words, in any order"),
    ("assembly \"Dunlin 2 mill\" drive", "a name of several words in quotes"),
    ("torque over 60 N.m and lube oil", "fields compared, joined by and, or, not"),
    ("M16 with moly, dry", "restated for the lube in hand, or why not"),
    ("flange with oil keep of-proof over 60%", "only rows with such a result"),
    (
        "drive show part, torque sort torque down first 10",
        "which columns, in which order, how many",
    ),
    ("bolster units metric", "in these units"),
    ("drive on W4", "with this wrench of the book"),
];

/// What the exit code says.
pub(super) const EXIT_STATUS: &[(&str, &str)] = &[
    ("0", "an answer"),
    ("1", "no rows, every figure refused, or findings that count"),
    ("2", "the question or the arguments are wrong"),
    ("3", "input refused in part or whole"),
    ("4", "the book cannot be used, or output cannot be written: nothing was stored"),
    ("5", "stored, but something failed after that"),
    ("130", "Ctrl-C"),
];

/// What is read from the environment.
pub(super) const ENVIRONMENT: &[(&str, &str)] = &[
    ("CLAMPBOOK_DIR", "folder of the book, if --book does not name it"),
    ("CLAMPBOOK_WHO", "who makes changes, if --who does not say"),
    ("CLAMPBOOK_UNITS", "units to draw in, if --units does not say"),
    ("CLAMPBOOK_PAGER, PAGER", "what shows an answer longer than the screen; else less -FRX"),
    ("CLAMPBOOK_NOW", "the time to go by instead of the clock, as 2026-05-04T10:20:00Z"),
    ("COLUMNS", "how wide tables may be"),
    ("NO_COLOR", "if it is set and not empty, nothing is coloured"),
];

/// Where things are kept.
pub(super) const FILES: &[(&str, &str)] = &[
    ("$XDG_DATA_HOME/clampbook", "the book, else ~/.local/share/clampbook"),
    ("$XDG_CACHE_HOME/clampbook", "the demo shop for completion; may be removed at any time"),
    ("$XDG_STATE_HOME/clampbook/history", "past lines of the prompt, else under ~/.local/state"),
];

pub(super) fn closing() -> String {
    let codes: Vec<String> =
        EXIT_STATUS.iter().map(|(code, said)| format!("  {code:<4} {said}")).collect();
    format!("{EXAMPLES}\n\nExit codes:\n{}\n\n{SAFETY}", codes.join("\n"))
}
