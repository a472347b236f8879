//! Cells as shops write them, each with the verdict that is expected.
//!
//! "T4 #n" is row n of a list of messy cells collected for this program, all
//! of it common practice without a published source; the other cells are of
//! the same kind and from the same practice.

use crate::support::held::Accepted as _;
use crate::support::{field, one_cell, tightening, verdict_of};
use clampbook::intake::{Options, Verdict};
use clampbook::quantity::{DecimalMark, find_unit};

/// What is expected of a cell.
enum Want {
    /// Taken, and read as this.
    Ok(&'static str),
    /// Taken with a warning of this code, and read as this.
    Warn(&'static str, &'static str),
    /// A question of this code with these readings.
    Ask(&'static str, &'static [&'static str]),
    /// Refused with this code.
    No(&'static str),
}
use Want::{Ask, No, Ok, Warn};

/// A cell, and what is wanted of it.
type Case = (&'static str, Want);

fn check(
    heading: &str,
    options: &Options,
    read: impl Fn(&clampbook::record::Fastener) -> String,
    cases: &[Case],
) {
    let mut wrong = Vec::new();
    for (cell, want) in cases {
        let report = one_cell(heading, cell, options);
        let verdict = verdict_of(&report);
        let code = verdict.map_or("", |verdict| verdict.code);
        let word = verdict.map_or("taken", |verdict| verdict.verdict.word());
        let as_read = report.accepted().and_then(|all| all.first()).map(&read).unwrap_or_default();
        let readings = match verdict.map(|verdict| &verdict.verdict) {
            Some(Verdict::Question { readings }) => readings.clone(),
            _ => Vec::new(),
        };
        let fits = match want {
            Ok(text) => word == "taken" && as_read == *text,
            Warn(wanted, text) => word == "warning" && code == *wanted && as_read == *text,
            Ask(wanted, texts) => word == "question" && code == *wanted && readings == *texts,
            No(wanted) => word == "refused" && code == *wanted,
        };
        let reason = verdict.map_or("", |verdict| verdict.reason.as_str());
        if !fits {
            wrong.push(format!("{cell:?}: {word} {code} `{as_read}` {readings:?} ({reason})"));
        }
        if word == "refused" || word == "question" {
            assert!(report.accepted().is_none(), "{cell}");
            assert!(verdict.is_some_and(|verdict| !verdict.advice.is_empty()), "{cell}: no advice");
        }
        // Every reading must itself be read without a question.
        for reading in &readings {
            let mut options = options.clone();
            options.answers.say(heading, cell, reading);
            let again = one_cell(heading, cell, &options);
            if let Some(bad) = again.bad_cells().next() {
                wrong.push(format!("{cell:?} answered {reading:?}: {}", bad.reason));
            }
        }
    }
    assert!(wrong.is_empty(), "{heading}:\n{}", wrong.join("\n"));
}

fn plain() -> Options {
    Options::default()
}

#[test]
fn torque_cells_that_carry_their_unit() {
    check(
        "Torque",
        &plain(),
        tightening,
        &[
            ("70 ft lbs", Ok("torque | torque 70 lb-ft")), // T4 #2
            ("70 ft-lbs.", Ok("torque | torque 70 lb-ft")),
            ("70lbf·ft", Ok("torque | torque 70 lb-ft")),
            ("70 lb ft", Ok("torque | torque 70 lb-ft")),
            ("70 foot lbs", Ok("torque | torque 70 lb-ft")),
            ("70 #ft", Ok("torque | torque 70 lb-ft")),
            ("70 ft/lbs", Warn("unit-slip", "torque | torque 70 lb-ft")),
            ("70-lb-ft", Ok("torque | torque 70 lb-ft")),
            ("95Nm", Ok("torque | torque 95 N·m")),
            ("95 N.m", Ok("torque | torque 95 N·m")),
            ("95\u{a0}N·m", Ok("torque | torque 95 N·m")),
            ("8.5 mkg", Ok("torque | torque 8.5 kgf·m")), // T4 #4
            ("18\"lbs", Ok("torque | torque 18 lb-in")),  // T4 #16
            ("18 in. lbs.", Ok("torque | torque 18 lb-in")),
            ("70 lb-ft ea.", Ok("torque | torque 70 lb-ft")),
            ("torque to 70 lb-ft", Ok("torque | torque 70 lb-ft")),
            ("max 9 N·m", Ok("torque | torque max 9 N·m")),
            ("9 Nm max.", Ok("torque | torque max 9 N·m")),
            ("≤ 9 Nm", Ok("torque | torque max 9 N·m")),
            ("not over 20 lb-in", Ok("torque | torque max 20 lb-in")),
            ("65-70 lb-ft", Ok("torque | torque 65..70 lb-ft")), // T4 #14
            ("65–70 lb-ft", Ok("torque | torque 65..70 lb-ft")),
            ("65 to 70 lb-ft", Ok("torque | torque 65..70 lb-ft")),
            ("65..70 lb-ft", Ok("torque | torque 65..70 lb-ft")),
            ("between 65 and 70 lb-ft", Ok("torque | torque 65..70 lb-ft")),
            ("from 65 to 70 lb-ft", Ok("torque | torque 65..70 lb-ft")),
            ("88 à 92 Nm", Ok("torque | torque 88..92 N·m")),
            ("de 88 Nm à 92 Nm", Ok("torque | torque 88..92 N·m")),
            ("entre 88 et 92 Nm", Ok("torque | torque 88..92 N·m")),
            ("von 80 bis 90 Nm", Ok("torque | torque 80..90 N·m")),
            ("zwischen 80 und 90 Nm", Ok("torque | torque 80..90 N·m")),
            ("entre 20 y 25 Nm", Ok("torque | torque 20..25 N·m")),
            ("da 20 a 25 Nm", Ok("torque | torque 20..25 N·m")),
            ("tra 80 e 90 Nm", Ok("torque | torque 80..90 N·m")),
            ("60Nm-70Nm", Ok("torque | torque 60..70 N·m")),
            ("70-65 lb-ft", Warn("swapped", "torque | torque 65..70 lb-ft")), // T4 #14
            ("70 ±5 lb-ft", Ok("torque | torque 65..75 lb-ft")),
            ("70±5 Nm", Ok("torque | torque 65..75 N·m")),
            ("70 +/- 3.5 Nm", Ok("torque | torque 66.5..73.5 N·m")),
            ("70 lb-ft ±5%", Ok("torque | torque 70 lb-ft | tolerance 5%")),
            ("70 lb-ft (95 N·m)", Ok("torque | torque 70 lb-ft")),
            ("52 lb-ft / 70 N·m", Ok("torque | torque 52 lb-ft")),
            ("70 lb-ft (85 N·m)", No("units-disagree")),
            ("70 ftlb (old sheet said 75)", Ok("torque | torque 70 lb-ft")), // T4 #34
            ("70 lb-ft*", Warn("footnote", "torque | torque 70 lb-ft")),     // T4 #24
            ("70 lb-ft (2)", Warn("footnote", "torque | torque 70 lb-ft")),
            ("about 70 lb-ft", Warn("about", "torque | torque 70 lb-ft")),
            ("~70 lb-ft", Warn("about", "torque | torque 70 lb-ft")),
            ("240 in", Warn("missing-pound", "torque | torque 240 lb-in")), // T4 #15
            ("20 ft", Warn("missing-pound", "torque | torque 20 lb-ft")),
        ],
    );
}

#[test]
fn torque_cells_with_steps_angles_and_stretch() {
    check(
        "Torque",
        &plain(),
        tightening,
        &[
            ("95 Nm +90°", Warn("reuse-unknown", "torque then angle | snug 95 N·m | angle +90°")), // T4 #5
            (
                "22 lb-ft +90° +90° replace",
                Ok("torque then angle | snug 22 lb-ft | angle +90° +90° // single-use"),
            ),
            (
                "40 Nm then 90 degrees",
                Warn("reuse-unknown", "torque then angle | snug 40 N·m | angle +90°"),
            ),
            (
                "40Nm + 2 x 90°",
                Warn("reuse-unknown", "torque then angle | snug 40 N·m | angle +90° +90°"),
            ),
            (
                "40Nm + 90° x 2",
                Warn("reuse-unknown", "torque then angle | snug 40 N·m | angle +90° +90°"),
            ),
            (
                "40 Nm + 1/4 turn",
                Warn("reuse-unknown", "torque then angle | snug 40 N·m | angle +1/4 turn"),
            ),
            (
                "60 lb-ft 1/2 turn",
                Warn("reuse-unknown", "torque then angle | snug 60 lb-ft | angle +1/2 turn"),
            ),
            (
                "20 Nm + 2 flats",
                Warn("reuse-unknown", "torque then angle | snug 20 N·m | angle +120°"),
            ),
            ("snug + 1/4 turn", Warn("no-snug", "angle | angle +1/4 turn")), // T4 #12
            ("snug, then half a turn", Warn("no-snug", "angle | angle +1/2 turn")),
            ("90°", Warn("no-snug", "angle | angle +90°")),
            (
                "30 Nm, 60 Nm, +90deg",
                Warn(
                    "reuse-unknown",
                    "torque then angle | snug 60 N·m | angle +90° | passes 30 N·m, 60 N·m, +90°",
                ),
            ),
            (
                "24-48-72 lb-ft",
                Ok("torque | torque 72 lb-ft | passes 24 lb-ft, 48 lb-ft, 72 lb-ft"),
            ), // T4 #8
            (
                "24, 48, 72 lb-ft",
                Ok("torque | torque 72 lb-ft | passes 24 lb-ft, 48 lb-ft, 72 lb-ft"),
            ),
            ("40 lb-ft then 70 lb-ft", Ok("torque | torque 70 lb-ft | passes 40 lb-ft, 70 lb-ft")),
            ("step 1: 20 Nm step 2: 40 Nm", Ok("torque | torque 40 N·m | passes 20 N·m, 40 N·m")),
            ("24-72-48 lb-ft", No("passes-not-rising")),
            (".0055-.0060 in stretch", Ok("stretch | stretch 0.0055..0.0060 in")), // T4 #27
            ("TTY – replace", Warn("incomplete", "torque then angle // single-use")), // T4 #13
            ("TTY", Warn("incomplete", "torque then angle")),
            ("40 Nm TTY", Warn("incomplete", "torque then angle | snug 40 N·m")),
            ("40-50 Nm + 90°", No("unclear")),
            ("40 Nm + 85-95°", No("unclear")),
            ("60 Nm + 90", Ask("added-figure", &["60 N·m +90°"])),
        ],
    );
}

#[test]
fn torque_cells_without_a_unit_are_asked() {
    check(
        "Torque",
        &plain(),
        tightening,
        &[
            ("70", Ask("no-unit", &["70 lb-ft", "70 N·m"])), // T4 #1
            ("65-70", Ask("no-unit", &["65..70 lb-ft", "65..70 N·m"])),
            (
                "24-48-72",
                Ask(
                    "no-unit",
                    &["24 lb-ft then 48 lb-ft then 72 lb-ft", "24 N·m then 48 N·m then 72 N·m"],
                ),
            ),
            ("max 9", Ask("no-unit", &["max 9 lb-ft", "max 9 N·m"])),
            ("70±5", Ask("no-unit", &["65..75 lb-ft", "65..75 N·m"])),
            (
                "1st 30 2nd 60 3rd +90deg",
                Ask(
                    "no-unit",
                    &["30 lb-ft then 60 lb-ft then +90°", "30 N·m then 60 N·m then +90°"],
                ),
            ),
            (
                "70 dry 52 moly",
                Ask("no-unit", &["dry 70 lb-ft, moly 52 lb-ft", "dry 70 N·m, moly 52 N·m"]),
            ),
            ("70#", Ask("pounds", &["70 lb-ft", "70 lb-in"])), // T4 #3
            ("70 lbs", Ask("pounds", &["70 lb-ft", "70 lb-in"])),
            (
                "70# dry, 52# moly",
                Ask("pounds", &["dry 70 lb-ft, moly 52 lb-ft", "dry 70 lb-in, moly 52 lb-in"]),
            ),
            (
                "65/70 lb-ft moly",
                Ask("several-figures", &["moly 65..70 lb-ft", "moly 65 lb-ft then 70 lb-ft"]),
            ),
            ("65/70 lb-ft moly, 80/90 lb-ft oil", No("several-figures")),
            ("9 kg", Ask("kilograms", &["9 kgf·m", "9 kgf·cm"])),
        ],
    );
}

#[test]
fn torque_cells_under_a_heading_with_a_unit() {
    check(
        "Torque (lb-ft)",
        &plain(),
        tightening,
        &[
            ("70", Ok("torque | torque 70 lb-ft")),
            ("70#", Warn("no-lever", "torque | torque 70 lb-ft")), // T4 #3
            ("24-48-72", Ok("torque | torque 72 lb-ft | passes 24 lb-ft, 48 lb-ft, 72 lb-ft")),
            (
                "1st 30 2nd 60 3rd +90deg",
                Warn(
                    "reuse-unknown", // T4 #9
                    "torque then angle | snug 60 lb-ft | angle +90° | passes 30 lb-ft, 60 lb-ft, +90°",
                ),
            ),
            ("65-70", Ok("torque | torque 65..70 lb-ft")),
            ("70-65", Warn("swapped", "torque | torque 65..70 lb-ft")),
            ("65/70", Ask("several-figures", &["65..70 lb-ft", "65 lb-ft then 70 lb-ft"])), // T4 #10
            ("65 70", Ask("several-figures", &["65..70 lb-ft", "65 lb-ft then 70 lb-ft"])),
            ("20/50/70", Ok("torque | torque 70 lb-ft | passes 20 lb-ft, 50 lb-ft, 70 lb-ft")),
            ("40, 70", Ask("several-figures", &["40..70 lb-ft", "40 lb-ft then 70 lb-ft"])),
            ("70*", Warn("footnote", "torque | torque 70 lb-ft")),
            ("70 [Nm]", Warn("other-unit", "torque | torque 70 N·m")),
            ("70 (lb-ft)", Ok("torque | torque 70 lb-ft")),
            ("70 (± 5)", Ok("torque | torque 65..75 lb-ft")),
            ("70 / 70", No("several-figures")),
            ("5-1/2", Ask("fraction", &["5.5 lb-ft"])),
            ("850 kg-cm", Warn("other-unit", "torque | torque 850 kgf·cm")),
            ("12..15 in-lb", Warn("other-unit", "torque | torque 12..15 lb-in")),
            ("hand tight + 1/2 turn", Warn("no-snug", "angle | angle +1/2 turn")),
            ("finger tight", Warn("not-a-figure", "torque")),
            ("1) 30 2) 60", Ok("torque | torque 60 lb-ft | passes 30 lb-ft, 60 lb-ft")),
            (
                "tighten to 40, then turn 90 degrees",
                Warn("reuse-unknown", "torque then angle | snug 40 lb-ft | angle +90°"),
            ),
            ("70 lb-ft → loosen → 70 lb-ft", No("unknown-words")),
            ("75% of yield", No("unknown-words")),
            ("95 Nm", Warn("other-unit", "torque | torque 95 N·m")),
            (
                "70 dry 52 moly",
                Ok("torque | lube dry | torque 70 lb-ft // torque | lube moly | torque 52 lb-ft"),
            ),
            (
                "dry 70, moly 52",
                Ok("torque | lube dry | torque 70 lb-ft // torque | lube moly | torque 52 lb-ft"),
            ),
            (
                "70 (dry) / 52 (moly)",
                Ok("torque | lube dry | torque 70 lb-ft // torque | lube moly | torque 52 lb-ft"),
            ),
            ("70 oiled", Ok("torque | lube oil | torque 70 lb-ft")),
            (
                "70 dry 52 lubed", // T4 #22: lubed is read as oil
                Ok("torque | lube dry | torque 70 lb-ft // torque | lube oil | torque 52 lb-ft"),
            ),
            ("moly or oil 70", No("lubes-and-figures")),
            ("70 with moly", Ok("torque | lube moly | torque 70 lb-ft")),
            ("7O lb-ft", No("letter-in-number")), // T4 #25
            ("7O", No("letter-in-number")),
            ("l8", No("letter-in-number")),
            ("70,5", Ask("decimal-mark", &["70.5 lb-ft"])), // T4 #26
            ("1,200", Ask("decimal-mark", &["1200 lb-ft", "1.2 lb-ft"])), // T4 #26
            ("-70", No("negative")),
            ("0", No("zero")),
            ("±5%", No("unclear")),
            ("min 70", No("minimum-only")),
            ("GT", Warn("not-a-figure", "torque")), // T4 #33: no figure, the words kept
            ("tight", Warn("not-a-figure", "torque")),
            ("til it squeaks", Warn("not-a-figure", "torque")),
            ("see note 3", Warn("not-a-figure", "torque")),
            ("snug", Warn("not-a-figure", "torque")),
            ("12-May", No("turned-into-date")),
            ("2024-05-12", No("turned-into-date")),
            ("same as last", No("ditto")), // T4 #23, no row above
            ("\"", No("ditto")),           // T4 #23
            ("70 kN", No("wrong-kind")),
            ("50%", No("wrong-kind")),
            ("0.0055 in", Ask("length-as-torque", &["stretch 0.0055 in"])),
            ("60 + 30", Ask("added-figure", &["60 lb-ft +30°"])),
            ("?", Warn("not-known", "torque")),
            ("n/a", Ok("torque")),
            ("—", Ok("torque")),
            ("70 lb-ft front bolts", Ask("unknown-words", &["70 lb-ft (front bolts)"])),
            ("1e3", Ask("unknown-words", &["1 lb-ft (e3)"])),
        ],
    );
}

#[test]
fn torque_under_two_units() {
    check(
        "Torque lb-ft (N·m)",
        &plain(),
        tightening,
        &[
            ("70 (95)", Ok("torque | torque 70 lb-ft")),
            ("70/95", Ok("torque | torque 70 lb-ft")),
            ("70 / 85", No("units-disagree")),
            ("70", Ok("torque | torque 70 lb-ft")),
        ],
    );
}

#[test]
fn torque_with_a_decimal_comma() {
    let options =
        Options { decimal: DecimalMark::Comma, torque_unit: find_unit("N·m"), ..plain() };
    check(
        "Torque",
        &options,
        tightening,
        &[
            ("70,5 Nm", Ok("torque | torque 70.5 N·m")), // T4 #26
            ("70,5", Ok("torque | torque 70.5 N·m")),
            ("1.200", Ask("decimal-mark", &["1200 N·m", "1.2 N·m"])),
            ("20, 40, 60", Ok("torque | torque 60 N·m | passes 20 N·m, 40 N·m, 60 N·m")),
            ("65,5..70,5", Ok("torque | torque 65.5..70.5 N·m")),
        ],
    );
}

#[test]
fn passes() {
    let read = |fastener: &clampbook::record::Fastener| field(fastener, 0, "passes");
    check(
        "Passes (lb-ft)",
        &plain(),
        read,
        &[
            ("24-48-72", Ok("24 lb-ft, 48 lb-ft, 72 lb-ft")), // T4 #8
            ("24/48/72", Ok("24 lb-ft, 48 lb-ft, 72 lb-ft")),
            ("24,48,72", Ok("24 lb-ft, 48 lb-ft, 72 lb-ft")),
            ("24 48 72", Ok("24 lb-ft, 48 lb-ft, 72 lb-ft")),
            ("40-70", Ok("40 lb-ft, 70 lb-ft")),
            ("24 lb-ft, 48 lb-ft, 72 lb-ft", Ok("24 lb-ft, 48 lb-ft, 72 lb-ft")),
            ("50%, 75%, 100%", Ok("50%, 75%, 100%")),
            ("50, 75, 100%", Ok("50%, 75%, 100%")),
            ("5 lb-ft, 10 lb-ft, 100%", Ok("5 lb-ft, 10 lb-ft, 100%")),
            ("snug, +90°, +90°", Ok("snug, +90°, +90°")),
            ("25, 45, +90°", Ok("25 lb-ft, 45 lb-ft, +90°")),
            ("60, 30, 60", Warn("passes-not-rising", "60 lb-ft, 30 lb-ft, 60 lb-ft")),
            ("3", Ask("how-many-passes", &["3 passes", "3 lb-ft"])),
            ("3 equal steps", Warn("passes-not-made", "")),
            ("1/3, 2/3, 3/3", Ok("33.3%, 66.7%, 100%")),
            ("5-12", Ok("5 lb-ft, 12 lb-ft")),
            ("12-May", No("turned-into-date")), // T4 #29
        ],
    );
}

#[test]
fn angles_and_stretches() {
    let angle = |fastener: &clampbook::record::Fastener| field(fastener, 0, "angle");
    check(
        "Angle",
        &plain(),
        angle,
        &[
            ("+90° +90°", Warn("no-snug", "+90° +90°")),
            ("90", Warn("no-snug", "+90°")),
            ("90+90", Warn("no-snug", "+90° +90°")),
            ("2x90°", Warn("no-snug", "+90° +90°")),
            ("90°, 90°", Warn("no-snug", "+90° +90°")),
            ("1/4 turn", Warn("no-snug", "+1/4 turn")),
            ("0.25", Ask("no-unit", &["snug +0.25°", "snug +0.25 turn"])),
            ("85..95°", No("unclear")),
            ("20 Nm +90°", Warn("reuse-unknown", "+90°")),
        ],
    );
    let stretch = |fastener: &clampbook::record::Fastener| field(fastener, 0, "stretch");
    check(
        "Stretch",
        &plain(),
        stretch,
        &[
            (".0055-.0060", Warn("inch-by-form", "0.0055..0.0060 in")), // T4 #27
            ("0.0055..0.0060 in", Ok("0.0055..0.0060 in")),
            ("0.14-0.15 mm", Ok("0.14..0.15 mm")),
            ("5.5-6.0 thou", Ok("5.5..6.0 thou")),
            (
                "5.5–6.0",
                Ask(
                    "no-unit",
                    &["stretch 5.5..6.0 in", "stretch 5.5..6.0 thou", "stretch 5.5..6.0 mm"],
                ),
            ), // T4 #28
            ("max .006 in", Ok("max 0.006 in")),
            ("0.006\"", Ok("0.006 in")),
            ("70 lb-ft", No("wrong-kind")),
        ],
    );
}

#[test]
fn threads() {
    let read = |fastener: &clampbook::record::Fastener| {
        let ends = ["hole-thread", "thread", "length"].map(|name| field(fastener, 0, name));
        ends.into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join(" + ")
    };
    check(
        "Thread",
        &plain(),
        read,
        &[
            ("7/16-20", Ok("7/16-20")),
            ("7/16 - 20", Ok("7/16-20")),
            ("7/16\"-20", Ok("7/16-20")),
            ("7/16 in-20", Ok("7/16-20")),
            ("7/16-20 UNF-2A", Ok("7/16-20 UNF-2A")),
            ("7/16 coarse", Ok("7/16-14")), // T4 #6
            (".4375-20", Ok("7/16-20")),    // T4 #21
            ("UNF 3/8", Ok("3/8-24")),
            ("M10×1.5", Ok("M10x1.5")),
            ("m10 x 1,5", Ok("M10x1.5")),
            ("M10-1.5", Ok("M10x1.5")),
            ("#10-32", Ok("10-32")),
            ("1/4 BSW", Ok("1/4-20 BSW")),
            ("M8", Ok("M8x1.25")), // T4 #17, said as a conclusion
            ("M6", Ok("M6x1")),
            ("M10 fine", Ask("pitch", &["M10x1.25", "M10x1"])), // T4 #7
            ("M11", Ask("pitch", &["M11x1.5", "M11x2", "M11x1.25", "M11x1"])), // T4 #18
            ("M10", Ok("M10x1.5")),
            ("14mm", Ask("pitch", &["M14x2", "M14x1.5", "M14x1.25", "M14x1"])),
            ("3/8", Ask("pitch", &["3/8-16", "3/8-24", "3/8-32"])), // T4 #19
            ("0.4375", Ask("pitch", &["7/16-14", "7/16-20", "7/16-28"])),
            ("7/16-14 x 7/16-20", Ok("7/16-14 + 7/16-20")), // T4 #20
            ("7/16-14 / 7/16-20", Ok("7/16-14 + 7/16-20")),
            ("M10x1.5 x M10x1.25", Ok("M10x1.5 + M10x1.25")),
            ("M10x1.5x80", Ok("M10x1.5 + 80 mm")),
            ("3/8-16 x 1-1/2", Ok("3/8-16 + 1-1/2 in")),
            ("7/16-14 x 3.5 in", Ok("7/16-14 + 3.5 in")),
            ("7/16x20", Ask("cross-for-dash", &["7/16-20"])),
            // As bolts are ordered (ISO 4014: M10 x 80): no pitch is so large.
            ("M10x80", Ok("M10x1.5 + 80 mm")),
            ("M12 x 45 8.8", Ok("M12x1.75 + 45 mm")),
            ("3/8-16 UNF", No("thread")),
            ("16-Jul", No("turned-into-date")), // T4 #29, was 7/16
            ("2-Jan", No("turned-into-date")),  // was 1/2
            ("Mar-08", No("turned-into-date")), // was 3/8
            ("2024-07-16", No("turned-into-date")),
            ("45489", No("turned-into-date")),
            ("bolt", No("thread")),
            ("9999.5-20", No("thread")),
            ("M10x1.5 (LH)", Ok("M10x1.5 LH")),
            ("10mm x 1.5", Ok("M10x1.5")),
            ("14 x 1.25", Ask("thread", &["M14x1.25"])),
            ("M10/1.5", Ask("thread", &["M10x1.5"])),
            ("M14x1.25 spark plug", Ok("M14x1.25")),
            ("M12x1.75 (fine)", No("thread")),
        ],
    );
}

#[test]
fn lubes() {
    let read = |fastener: &clampbook::record::Fastener| {
        let faces = ["lube", "face-lube"].map(|name| field(fastener, 0, name));
        faces.into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join(" + ")
    };
    check(
        "Lube",
        &plain(),
        read,
        &[
            ("moly", Ok("moly")),
            ("Moly Paste", Ok("moly")),
            ("ENGINE OIL", Ok("oil")),
            ("anti seize", Ok("anti-seize")),
            ("oil (SAE 30)", Ok("oil")),
            ("moly on threads, oil under head", Ok("moly + oil")),
            ("oil threads and under head", Ok("oil")),
            ("moly/oil", Ask("two-lubes", &["moly", "oil", "moly threads, oil under head"])), // T4 #11
            ("oil or moly", Ask("two-lubes", &["oil", "moly", "oil threads, moly under head"])),
            ("molly", Ask("unknown-lube", &["moly"])),
            ("30W", Warn("unknown-lube", "")),
            ("assembly lube", Warn("unknown-lube", "")),
            ("mittelfest geklebt", Ok("threadlocker")),
            ("Ni anti-seize", Ok("anti-seize")),
            ("lubed", Warn("unnamed-lube", "oil")),
            ("wet", Warn("unnamed-lube", "oil")),
            ("red", Ask("colour", &["threadlocker"])), // T4 #32
            ("blue threadlocker", Ok("threadlocker")),
            ("none", Ask("lube-none", &["dry", "-"])),
            ("-", Ok("")),
        ],
    );
    check(
        "Threadlocker",
        &plain(),
        read,
        &[
            ("red", Ask("colour", &["threadlocker"])), // T4 #32
            ("yes", Ask("unnamed-lube", &["threadlocker"])),
            ("no", Ok("")),
            ("sealant", Ok("sealant")),
        ],
    );
}

#[test]
fn strengths_and_stresses() {
    let read = |fastener: &clampbook::record::Fastener| {
        let parts = ["strength", "proof", "yield", "tensile"].map(|name| field(fastener, 0, name));
        parts.into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join(" + ")
    };
    check(
        "Strength",
        &plain(),
        read,
        &[
            ("10.9", Ok("10.9")),
            ("class 10.9", Ok("10.9")),
            ("Grade 8", Ok("SAE 8")),
            ("Gr. 8", Ok("SAE 8")),
            ("gr8", Ok("SAE 8")),
            ("G5", Ok("SAE 5")),
            ("8", Warn("unknown-strength", "8")), // no thread beside it
            ("10,9", Ask("decimal-mark", &["10.9"])),
            ("10-Sep", No("turned-into-date")), // was 10.9
            ("10.8", No("unknown-strength")),
            ("mystery alloy", Warn("unknown-strength", "mystery alloy")),
            ("yield 180 ksi", Ok("180 ksi")),
            ("grade 8 (yellow zinc)", Ok("SAE 8")),
            ("Rm 1040 MPa", Ok("1040 MPa")),
            (
                "170,000 psi",
                Ask(
                    "decimal-mark",
                    &["yield 170000 psi", "tensile 170000 psi", "yield 170 psi", "tensile 170 psi"],
                ),
            ),
            ("180 ksi yield, 190 ksi tensile", Ok("180 ksi + 190 ksi")),
            (
                "180 ksi",
                Ask("which-strength", &["yield 180 ksi", "tensile 180 ksi", "proof 180 ksi"]),
            ),
            ("180/190 ksi", Ask("which-strength", &["yield 180 ksi, tensile 190 ksi"])),
        ],
    );
    let yield_ = |fastener: &clampbook::record::Fastener| field(fastener, 0, "yield");
    check(
        "Yield",
        &plain(),
        yield_,
        &[
            ("180 ksi", Ok("180 ksi")),
            ("180", Ask("no-unit", &["180 ksi", "180 MPa", "180 psi"])), // T4 #35
            ("180000", Ask("no-unit", &["180000 ksi", "180000 MPa", "180000 psi"])), // T4 #35: not by size
            ("180,000 psi", Ask("decimal-mark", &["180000 psi", "180 psi"])),
            ("1241 N/mm²", Ok("1241 MPa")),
            ("1241 MPa (180 ksi)", Ok("1241 MPa")),
            ("70 lb-ft", No("wrong-kind")),
            ("strong", No("not-a-figure")),
        ],
    );
    check(
        "Yield, ksi",
        &plain(),
        yield_,
        &[("180", Ok("180 ksi")), ("18O", No("letter-in-number"))],
    );
}

#[test]
fn lengths() {
    let read = |fastener: &clampbook::record::Fastener| field(fastener, 0, "length");
    check(
        "Length",
        &plain(),
        read,
        &[
            ("80 mm", Ok("80 mm")),
            ("80mm", Ok("80 mm")),
            ("3.5\"", Ok("3.5 in")),
            ("3-1/2 in", Ok("3-1/2 in")),
            ("100 [mm]", Ok("100 mm")),
            ("4.5 to 4.6 in", No("unknown-words")),
            ("3 1/2 in", Ok("3-1/2 in")),
            ("3-1/2", Ok("3-1/2 in")),
            ("80", Ask("no-unit", &["80 mm", "80 in"])),
            ("long", No("not-a-figure")),
            ("2-Jan", No("turned-into-date")), // was 1/2
        ],
    );
}

#[test]
fn whether_a_fastener_is_used_again() {
    let read =
        |name: &'static str| move |fastener: &clampbook::record::Fastener| field(fastener, 0, name);
    check(
        "Reuse",
        &plain(),
        read("reuse"),
        &[
            ("single-use", Ok("single-use")),
            ("TTY - replace", Ok("single-use")),
            ("do not re-use", Ok("single-use")), // T4 #13
            ("no", Ok("single-use")),
            ("yes", Ok("reusable")),
            ("up to 5 cycles", Ok("up to 5 cycles")),
            ("5 times", Ok("up to 5 cycles")),
            ("5x", Ok("up to 5 cycles")),
            ("2x max", Ok("up to 2 cycles")),
            ("max. 2 fois", Ok("up to 2 cycles")),
            ("every time", Ok("reusable")),
            ("bei jeder Montage", Ok("reusable")),
            ("never", Ok("single-use")),
            ("jamais", Ok("single-use")),
            ("until free length 3.502 in", Ok("until free length 3.502 in")),
            ("max length 3.502\"", Ok("until free length 3.502 in")),
            ("max 88.9 mm", Ok("until free length 88.9 mm")),
            (
                "until free length 3.502",
                Ask("no-unit", &["until free length 3.502 mm", "until free length 3.502 in"]),
            ),
            ("sometimes", No("reuse")),
        ],
    );
    // Under a heading that asks for new ones the same words say the opposite.
    for heading in ["Renew?", "Ersetzen", "À remplacer"] {
        check(
            heading,
            &plain(),
            read("reuse"),
            &[
                ("every time", Ok("single-use")),
                ("each time", Ok("single-use")),
                ("always", Ok("single-use")),
                ("jedes Mal", Ok("single-use")),
                ("à chaque fois", Ok("single-use")),
                ("cada vez", Ok("single-use")),
                ("ogni volta", Ok("single-use")),
                ("never", Ok("reusable")),
                ("nie", Ok("reusable")),
                ("no", Ok("reusable")),
                ("every other time", No("reuse")),
                ("sometimes", No("reuse")),
            ],
        );
    }
}

#[test]
fn words_counts_and_flags() {
    let read =
        |name: &'static str| move |fastener: &clampbook::record::Fastener| field(fastener, 0, name);
    check(
        "Qty",
        &plain(),
        read("count"),
        &[
            ("10", Ok("10")),
            ("10 ea", Ok("10")),
            ("x10", Ok("10")),
            ("10.0", Ok("10")),
            ("10 (5 per side)", Ok("10")),
            ("10 pcs.", Ok("10")),
            ("2x5", Ask("count-product", &["10"])),
            ("1O", No("letter-in-number")),
            ("10.5", No("count")),
            ("0", No("count")),
            ("ten", No("count")),
            ("12-Oct", No("turned-into-date")),
        ],
    );
    check(
        "Kind",
        &plain(),
        read("kind"),
        &[
            ("Bolt", Ok("bolt")),
            ("studs", Ok("stud")),
            ("stud + nut", Ok("stud")),
            ("flange bolt", Ok("bolt")),
            ("cap screw", Ok("bolt")),
            ("blot", No("unknown-word")),
        ],
    );
    check(
        "Duty",
        &plain(),
        read("duty"),
        &[("wheels", Ok("wheel")), ("flying", No("unknown-word"))],
    );
    check(
        "Wire insert",
        &plain(),
        read("insert"),
        &[("yes", Ok("true")), ("N", Ok("false")), ("✓", Ok("true")), ("maybe", No("yes-or-no"))],
    );
    let hole = |fastener: &clampbook::record::Fastener| {
        format!("{} {}", field(fastener, 0, "hole"), field(fastener, 0, "wet-to"))
    };
    check(
        "Hole type",
        &plain(),
        hole,
        &[
            ("blind", Ok("blind ")),
            ("thru", Ok("through ")),
            ("blind hole, wet to coolant", Ok("blind coolant")),
            ("through to water", Ok("through coolant")),
            ("wet", Ask("wet-to-what", &["wet to coolant", "wet to oil", "wet to port"])),
            ("deep", No("unknown-word")),
        ],
    );
}

#[test]
fn orders_and_dates() {
    let read =
        |name: &'static str| move |fastener: &clampbook::record::Fastener| field(fastener, 0, name);
    check(
        "Sequence",
        &plain(),
        read("order"),
        &[
            ("center out", Ok("center out")), // T4 #30
            ("1,7,4,10,2,8,5,11,3,9,6,12", Ok("1,7,4,10,2,8,5,11,3,9,6,12")),
            ("1,7,4,10,2,8,5,11,3,4,6,12", No("order")), // T4 #31: 4 twice, 9 never
            ("1-3-2-4", Ok("1-3-2-4")),
            ("1-3-2-5", No("order")),
            ("1, 3, 2, 4", Ok("1, 3, 2, 4")),
            ("1;3;2;4", Ok("1;3;2;4")),
            ("0-1-2-3", No("order")),
            ("1,2,x,4", No("order")),
            ("centre out", Ok("centre out")),
            ("2024-05-12", No("turned-into-date")),
            ("12-May", No("turned-into-date")), // T4 #29
        ],
    );
    check(
        "Source date",
        &plain(),
        read("source-date"),
        &[
            ("2024-05-12", Ok("2024-05-12")),
            ("12 May 2024", Ok("2024-05-12")),
            ("May 12, 2024", Ok("2024-05-12")),
            ("May 3rd, 2021", Ok("2021-05-03")),
            ("May 2021", Warn("date-incomplete", "")),
            ("31.12.2024", Ok("2024-12-31")),
            ("5/12/2024", Ask("day-or-month", &["2024-05-12", "2024-12-05"])),
            ("13/5/2024", Ok("2024-05-13")),
            ("2019", Warn("date-incomplete", "")),
            ("2024-13-01", No("not-a-date")),
            ("last spring", No("not-a-date")),
        ],
    );
}

#[test]
fn sources_are_taken_apart() {
    let read = |fastener: &clampbook::record::Fastener| {
        ["source", "basis"].map(|name| field(fastener, 0, name)).join(" = ")
    };
    check(
        "Source",
        &plain(),
        read,
        &[
            ("Sheet H7 rev C p. 12", Ok("Sheet H7, p. 12, rev. C = listed")),
            ("Sheet H7, rev. C, page 12", Ok("Sheet H7, p. 12, rev. C = listed")),
            ("Sheet H7 p12 revC", Ok("Sheet H7, p. 12, rev. C = listed")),
            ("Marlow manual p7-3", Ok("Marlow manual, p. 7-3 = listed")),
            ("Marlow manual (rev 2)", Ok("Marlow manual, rev. 2 = listed")),
            ("Marlow manual 4th edition 1988", Ok("Marlow manual 4th, rev. 1988 = listed")),
            ("Marlow manual", Warn("basis", "Marlow manual = shop")),
            ("from memory", Ok("from memory = shop")),
        ],
    );
}
