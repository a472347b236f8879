//! Questions that read well and cannot be answered: what they are told, where.

use super::book::Shop;

/// Asks; the code, the message, the help and the text at the place.
fn check(cases: &[(&str, [&str; 4])]) {
    let shop = Shop::new();
    let mut wrong = Vec::new();
    for (question, expected) in cases {
        let found = shop.wrong(question);
        if found.each_ref().map(String::as_str) != *expected {
            wrong.push(format!("{question}: {found:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_number_without_its_unit() {
    let message = "60 what? torque needs a unit: 60 lb-ft = 81 N·m, 60 N·m = 44 lb-ft";
    check(&[
        (
            "torque over 60",
            ["no-unit", message, "write `torque over 60 lb-ft` or `torque over 60 N·m`", "60"],
        ),
        ("torque 60", ["no-unit", message, "write `torque 60 lb-ft` or `torque 60 N·m`", "60"]),
        (
            "60 under torque",
            ["no-unit", message, "write `60 lb-ft under torque` or `60 N·m under torque`", "60"],
        ),
        (
            "M10 torque 60..80",
            [
                "no-unit",
                "80 what? torque needs a unit: 80 lb-ft = 108 N·m, 80 N·m = 59 lb-ft",
                "write `M10 torque 60..80 N·m`",
                "80",
            ],
        ),
        (
            "torque \"60\"",
            ["no-unit", message, "write `torque 60 lb-ft` or `torque 60 N·m`", "\"60\""],
        ),
        (
            "torque 50 N.m or 60",
            [
                "no-unit",
                message,
                "write `torque 50 N.m or 60 lb-ft` or `torque 50 N.m or 60 N·m`",
                "60",
            ],
        ),
        (
            "of-proof over 90",
            ["no-percent", "90 what? of-proof is a percentage", "write `of-proof over 90%`", "90"],
        ),
        (
            "of-proof 70..80",
            ["no-percent", "80 what? of-proof is a percentage", "write `of-proof 70..80%`", "80"],
        ),
        (
            "combined over 0.9",
            [
                "no-percent",
                "0.9 what? combined is a percentage",
                "write `combined over 90%` or `combined over 0.9%`",
                "0.9",
            ],
        ),
    ]);
}

#[test]
fn a_number_alone() {
    let help = "write `head 60 N·m`";
    check(&[
        ("head 60", ["bare-number", "60 what?", help, "60"]),
        (
            "75% head",
            [
                "bare-share",
                "75% of what?",
                "write `of-yield over 75% head` or `of-proof over 75% head`",
                "75%",
            ],
        ),
    ]);
}

#[test]
fn quantities_that_do_not_compare() {
    check(&[
        (
            "torque over 60 kN",
            [
                "dimension",
                "`60 kN` is a force, torque is compared with a torque",
                "a force is asked of `clamp`, for example: clamp over 60 kN",
                "60 kN",
            ],
        ),
        (
            "torque 60 kN",
            [
                "dimension",
                "`60 kN` is a force, torque is compared with a torque",
                "a force is asked of `clamp`, for example: clamp over 60 kN",
                "60 kN",
            ],
        ),
        (
            "clamp over torque",
            [
                "dimension",
                "`torque` is a torque, clamp is compared with a force",
                "both sides must measure the same",
                "torque",
            ],
        ),
        (
            "clamp per area over 60 N.m",
            [
                "dimension",
                "`60 N.m` is a torque, this sum is compared with a stress",
                "both sides must measure the same",
                "60 N.m",
            ],
        ),
        (
            "torque 60..80 kN",
            [
                "dimension",
                "`60..80 kN` is a force, torque is compared with a torque",
                "a force is asked of `clamp`, for example: clamp 60..80 kN",
                "60..80 kN",
            ],
        ),
        (
            "torque + 5 kN over 60 N.m",
            [
                "mixed-sum",
                "a torque and a force cannot be added",
                "`times` and `per` join different ones",
                "torque + 5 kN",
            ],
        ),
        (
            "joint over 60 N.m",
            [
                "bad-relation",
                "joint cannot be compared so",
                "for example: joint head, or joint != head",
                "over",
            ],
        ),
        (
            "joint per clamp over 1",
            [
                "not-a-number",
                "`joint` has no value to compute with",
                "`clampbook list fields` says what each field holds",
                "joint",
            ],
        ),
    ]);
}

#[test]
fn names_that_nobody_knows() {
    check(&[
        (
            "torqe over 60 N.m",
            ["unknown-field", "`torqe` is not a field", "did you mean `torque`?", "torqe"],
        ),
        (
            "lube molly",
            ["unknown-name", "the book has no lube `molly`", "did you mean `moly`?", "molly"],
        ),
        (
            "head with goose fat",
            [
                "unknown-name",
                "the book has no lube `goose fat`",
                "`clampbook list lubes` names those it has",
                "goose fat",
            ],
        ),
        (
            "grade 12.9",
            ["unknown-name", "the book has no strength `12.9`", "did you mean `10.9`?", "12.9"],
        ),
        (
            "kind blot",
            ["bad-value", "`blot` is not a value of kind", "did you mean `bolt`?", "blot"],
        ),
        (
            "head on W22",
            ["unknown-name", "the book has no wrench `W22`", "did you mean `w2`?", "W22"],
        ),
    ]);
}

#[test]
fn ranges_and_clauses_that_make_no_sense() {
    check(&[
        (
            "torque 80..60 lb-ft",
            ["reversed", "the range runs downwards", "write `torque 60..80 lb-ft`", "80..60 lb-ft"],
        ),
        (
            "torque 60.4..60.1 lb-ft",
            [
                "reversed",
                "the range runs downwards",
                "write `torque 60.1..60.4 lb-ft`",
                "60.4..60.1 lb-ft",
            ],
        ),
        (
            "head show part tally lube",
            [
                "clash",
                "`tally` counts rows and `show` lists them",
                "leave one of the two out",
                "tally",
            ],
        ),
        (
            "torque over \"60..80 lb-ft\"",
            [
                "bad-relation",
                "torque cannot be compared so",
                "for example: torque \"60..80 lb-ft\"",
                "over",
            ],
        ),
        (
            "superseded = 1",
            [
                "bad-relation",
                "superseded cannot be compared so",
                "for example: superseded, or not superseded",
                "=",
            ],
        ),
    ]);
}

#[test]
fn one_thread_is_needed_for_its_look_alikes() {
    let shop = Shop::new();
    let [code, message, _, at] = shop.wrong("confused-with M12");
    assert_eq!((code.as_str(), at.as_str()), ("bad-value", "M12"));
    assert_eq!(message, "`M12` is not a value of confused-with");
}

#[test]
fn a_mistake_in_keep_is_found_in_its_place() {
    check(&[(
        "head with oil keep torque over 60",
        [
            "no-unit",
            "60 what? torque needs a unit: 60 lb-ft = 81 N·m, 60 N·m = 44 lb-ft",
            "write `head with oil keep torque over 60 lb-ft` or `head with oil keep torque over 60 N·m`",
            "60",
        ],
    )]);
}
