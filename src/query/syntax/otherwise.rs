//! Words of plain English that this language says otherwise, for hints.

/// Words, and what to write in their place.
const OTHERWISE: &[(&[&str], &str)] = &[
    (
        &["against", "versus", "vs", "compare", "compared"],
        "to set lubes side by side, write `with oil, moly`",
    ),
    (
        &["highest", "largest", "biggest", "greatest", "most", "top"],
        "for the highest, write `sort torque down first 1`; the top of a band is clamp-high",
    ),
    (&["lowest", "smallest", "least"], "for the lowest, write `sort torque first 1`"),
    (
        &["without", "missing", "unknown", "unstated"],
        "for what is not stated, write `lacks lube`; to leave rows out, `not moly`",
    ),
    (&["single"], "`single-use` is one word"),
    (&["above", "more", "greater", "higher", "exceeding"], "write `over`: torque over 60 N.m"),
    (&["below", "less", "lower", "fewer"], "write `under`: torque under 60 N.m"),
    (&["between", "from", "through"], "a range has two dots: torque 60..80 N.m"),
    (&["around", "roughly", "approximately", "approx"], "write `about`: torque about 60 N.m"),
    (&["sorted", "ordered", "by"], "to put rows in order, write `sort torque down`"),
    (&["count", "how", "many", "number"], "to count rows, write `tally lube`"),
    (&["in", "convert", "converted"], "for other units, write `units N.m, kN`"),
    (&["confused", "mistaken", "similar"], "write `confused-with M12x1.25`"),
    (
        &["scatter", "band", "worst", "maximum", "minimum"],
        "the ends of a band are clamp-low and clamp-high: clamp-high over yield-load",
    ),
    (
        &[
            "conflict",
            "differ",
            "differing",
            "disagree",
            "disagreeing",
            "disagrees",
            "doubtful",
            "mistake",
            "mistakes",
            "ratio",
            "suspect",
            "wrong",
        ],
        "`clampbook check` lists what is wrong, doubtful or disagrees",
    ),
    (
        &["lubes", "lubricants", "several", "multiple"],
        "for the lubes of each part, write `tally part, lube`",
    ),
    (
        &["hex", "socket", "sockets", "spanner", "spanners"],
        "what the tool must fit stands in head-size: show joint, head-size",
    ),
    (
        &["exact", "literal", "original", "quoted", "wording"],
        "the sheet's own words stand in verbatim: show joint, verbatim",
    ),
    (
        &[
            "a", "all", "an", "are", "every", "find", "for", "give", "have", "is", "list", "me",
            "of", "than", "that", "the", "what", "where", "which", "who", "does", "do", "using",
        ],
        "leave it out: a question needs no small words",
    ),
];

/// What to write in place of `word`; none for a word that may be meant as such.
pub(crate) fn otherwise(word: &str) -> Option<&'static str> {
    let word = word.to_lowercase();
    OTHERWISE.iter().find(|(words, _)| words.contains(&word.as_str())).map(|(_, hint)| *hint)
}
