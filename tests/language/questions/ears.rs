//! The ear: each row of `grammar/ears.txt` by its own example, both ways, and
//! names of the book before all rows.

use clampbook::query::ear::hear;
use clampbook::query::syntax::parse;
use clampbook::record::{NameOf, Vocabulary, field_words};

fn names() -> Vocabulary {
    let mut names = Vocabulary::default();
    for (what, name) in [
        (NameOf::Wrench, "W2"),
        (NameOf::Assembly, "Max 300"),
        (NameOf::Part, "top cover"),
        (NameOf::Part, "wheel nut"),
        (NameOf::Lube, "oil"),
        (NameOf::Lube, "thread sealant"),
    ] {
        names.add(what, name, name);
    }
    names
}

fn heard(typed: &str) -> String {
    match hear(typed, &names()) {
        Ok(heard) => heard.text.into_owned(),
        Err(found) => {
            format!("{}: {}", found.message, [found.help, found.offers].concat().join("; "))
        }
    }
}

#[test]
fn each_row_is_heard_and_its_form_prints_back_as_itself() {
    let mut wrong = Vec::new();
    let rows = super::ear_rows();
    for (typed, read) in &rows {
        let found = heard(typed);
        if found != *read {
            wrong.push(format!("{typed}: {found}, not {read}"));
            continue;
        }
        match parse(read, field_words()) {
            Ok(tree) if tree.to_string() == *read => {}
            Ok(tree) => wrong.push(format!("{read} prints as {tree}")),
            Err(error) => wrong.push(format!("{read}: {error}")),
        }
        if heard(read) != *read {
            wrong.push(format!("{read} is heard as {}", heard(read)));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(rows.len() > 300, "the table is read");
}

#[test]
fn figures_are_heard_as_people_type_them() {
    for (typed, read) in [
        ("over 100 lb-ft", "torque over 100 lb-ft"),
        ("under 15 Nm", "torque under 15 Nm"),
        ("over 30 kN", "clamp over 30 kN"),
        ("M8 over 20 Nm", "M8 torque over 20 Nm"),
        ("studs over 60 N.m", "studs torque over 60 N.m"),
        ("torque 20-50 Nm", "torque 20..50 Nm"),
        ("20 – 50 Nm", "torque 20..50 Nm"),
        ("10-24 Nm", "torque 10..24 Nm"),
        ("10-24 screws", "10-24 screws"),
        ("10-24 in", "10-24 in"),
        ("length 20-50 mm", "length 20..50 mm"),
        ("lube: oil", "lube oil"),
        ("lube:oil", "lube oil"),
        ("lube = oil", "lube oil"),
        ("M10x1.5x40", "M10x1.5 x 40 mm"),
        ("M8 x 25", "M8 x 25 mm"),
        ("M8x25 bolts", "M8 x 25 mm bolts"),
        // 1 mm is a pitch of M8 (ISO 261), 25 mm is none.
        ("M8x1", "M8x1"),
        ("5/16-18 x 2-1/2", "5/16-18 x 2-1/2 in"),
        ("3/8 x 2 in", "3/8 x 2 in"),
        ("1/4 inch bolts", "1/4 bolts"),
        ("length 1/4 inch", "length 1/4 inch"),
        ("bolts over M10", "bolts size over M10"),
        ("part number R12", "part-number R12"),
        ("source date over 2020", "source-date over 2020"),
        ("show joints, parts", "show joint, part"),
        ("which bolts need sealant?", "bolts has sealant"),
        ("M8, sort torque", "M8 sort torque"),
        ("bolts 50-65 mm long", "bolts length 50..65 mm"),
        ("bolts 50-65 mm", "bolts length 50..65 mm"),
        ("before 2019", "source-date under 2019"),
        ("joints with 4 passes", "pass-count 4"),
        ("M8 with hardened washers", "M8 washer hardened"),
        ("count \"14\"", "qty \"14\""),
        ("7/16\" bolts", "7/16 bolts"),
        ("length 7/16\"", "length 7/16\""),
        ("torque over 20 N.m and under 50 N.m", "torque over 20 N.m and torque under 50 N.m"),
        ("wrench 20-100 Nm", "torque 20..100 Nm"),
        ("my wrench does 10 to 60 ft lb", "torque 10..60 ft lb"),
        ("joints with at least 10 bolts", "qty at-least 10 bolts"),
        ("over 6 bolts", "qty over 6 bolts"),
        ("four bolts", "qty 4 bolts"),
        ("M8 12 bolts", "M8 qty 12 bolts"),
        ("page 12 bolts", "page 12 bolts"),
        ("first 5 bolts", "first 5 bolts"),
        ("Max 300 bolts", "Max 300 bolts"),
        ("grip, over 80 mm", "grip, grip over 80 mm"),
        ("angle, more than 45 degrees", "angle, angle over 45 degrees"),
        ("torque, over 60 Nm", "torque, torque over 60 Nm"),
        ("deeper than half an inch", "hole-depth over 1/2 in"),
        ("M8 lacks washer and length over 30 mm", "M8 lacks washer and length over 30 mm"),
        ("bolts tightened 1-3-2-4", "bolts order \"1-3-2-4\""),
        ("part-number 1-3-2", "part-number \"1-3-2\""),
        ("source-date 2020-05-12", "source-date 2020-05-12"),
        ("passes 30%, 60%, 100%", "passes \"30%, 60%, 100%\""),
        ("passes 30%", "passes 30%"),
        ("above 80% yield", "of-yield over 80%"),
        ("yield > 80%", "of-yield > 80%"),
        ("target 75% proof", "target 75% proof"),
        ("with oil target 75% yield", "with oil target 75% yield"),
        ("text \"more than 5\"", "text \"more than 5\""),
        ("class 8.8,10.9", "class 8.8,10.9"),
        ("strength 8,10", "strength 8,10"),
    ] {
        assert_eq!(heard(typed), read, "{typed}");
    }
}

#[test]
fn names_of_the_book_come_first() {
    for typed in ["Max 300", "max 300 torque over 5 N.m", "top cover", "wheel nut", "cover top"] {
        assert_eq!(heard(typed), typed);
    }
    let mut names = names();
    for part in ["things", "which way", "metric bolts", "part number", "from here"] {
        names.add(NameOf::Part, part, part);
        let found = hear(part, &names).expect("a name");
        assert_eq!(found.text, part, "a part of that name is that part");
    }
    assert_eq!(heard("limit 6"), "first 6");
}

#[test]
fn what_could_be_read_in_two_ways_is_asked_back() {
    for (typed, asked) in [
        ("torque over 60,5 N.m", "`60,5 N.m` can be read in two ways: 60.5 N.m; 60 N.m, 5 N.m"),
        ("torque 1,000 Nm", "`1,000 Nm` can be read in two ways: 1.000 Nm; 1000 Nm"),
        ("near yield", "how near?: of-yield over 90%; of-yield over 80%"),
        (
            "checked before 2019",
            "the day of a check is not kept: checked-by is a name: entered-on; source-date",
        ),
        (
            "all",
            "that is the whole book: `clampbook export` writes it: tally joint; tally assembly",
        ),
        (
            "over 800 MPa",
            "800 MPa of what?: stress over 800 MPa; proof over 800 MPa; yield over 800 MPa; tensile over 800 MPa",
        ),
        ("bolts over 90%", "90% of what?: of-yield over 90%; of-proof over 90%; combined over 90%"),
        (
            "torque Nm",
            "`Nm` has no figure: a shell takes `>` and `<` for itself: over and under say the same, or quote the question",
        ),
        ("torque over 1e2 N.m", "`1e2` is no figure of this language: 100"),
        ("length 2½ in", "`2½` is no figure of this language: 2.5; 2-1/2"),
        ("torque 5. N.m", "`5.` is no figure of this language: 5"),
        (
            "bolts wrench",
            "a wrench is asked for by its name: `on` and its name: what it is set to for each row; on W2",
        ),
    ] {
        assert_eq!(heard(typed), asked, "{typed}");
    }
}
