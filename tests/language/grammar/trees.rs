//! The shapes of trees, their places, what they print, and the messages.

use clampbook::query::syntax::{
    Atom, Bare, ClauseKind, Item, Join, Leaf, Question, Read, Relation, Share, Test, Units, What,
    parse,
};
use clampbook::record::field_words;

fn read(text: &str) -> Question {
    parse(text, field_words()).unwrap_or_else(|error| panic!("{text:?}: {error}"))
}

/// The items of the first alternative of the first part.
fn items(question: &Question) -> &[Item] {
    &question.filter.as_ref().unwrap().parts[0].alternatives[0].items
}

fn only_test(question: &Question) -> &Test {
    match &items(question)[0].what {
        What::Test(test) => test,
        other => panic!("{other:?}"),
    }
}

fn word(leaf: &Leaf) -> &str {
    assert_eq!(leaf.read, Read::Word);
    &leaf.text
}

#[test]
fn neighbours_stay_apart_and_show_how_they_are_joined() {
    let question = read("oil pan and not M10, moly or dry");
    let filter = question.filter.as_ref().unwrap();
    assert_eq!(filter.parts.len(), 2);
    assert_eq!(filter.parts[1].alternatives.len(), 2);
    let items = items(&question);
    let joins: Vec<Join> = items.iter().map(|item| item.join).collect();
    assert_eq!(joins, [Join::First, Join::Beside, Join::And]);
    assert!(items[2].not.is_some() && items[1].not.is_none());
    assert!(matches!(&items[2].what,
        What::Bare(Bare::Value(leaf)) if matches!(leaf.read, Read::Thread(_))));
}

#[test]
fn a_field_takes_the_value_beside_it() {
    match only_test(&read("assembly Marlow 6")) {
        Test::Is { field, value } => {
            assert_eq!((&*field.text, word(value)), ("assembly", "Marlow"));
        }
        other => panic!("{other:?}"),
    }
    let sealant = read("lube sealant");
    assert!(matches!(only_test(&sealant), Test::Is { value, .. } if value.read == Read::Field));
    // A field that is compared, or has a range, is a test of its own.
    for text in
        ["stretch torque over 60 N.m", "stretch torque 60..70 N.m", "stretch (torque) > 1 m"]
    {
        let question = read(text);
        let items = items(&question);
        assert_eq!(items.len(), 2, "{text}");
        assert!(
            matches!(&items[0].what, What::Bare(Bare::Value(leaf)) if leaf.read == Read::Field)
        );
    }
}

#[test]
fn comparisons_are_easy_to_match() {
    let question = read("torque over 60 N.m");
    let Test::Compare { left, relation, right } = only_test(&question) else { panic!() };
    assert_eq!(relation.relation, Relation::Over);
    assert_eq!(left.single().unwrap().text, "torque");
    assert!(
        matches!(right.single().unwrap().read, Read::Quantity(quantity) if quantity.base() == 60.0)
    );
    let question = read("(clamp - 5 kN) per proof-load at-least 0.75");
    let Test::Compare { left, .. } = only_test(&question) else { panic!() };
    assert!(left.single().is_none());
    assert!(matches!(&left.first.first, Atom::Group(sum) if sum.rest.len() == 1));
    assert_eq!(left.first.rest.len(), 1);
    let question = read("weight over 5 kN");
    assert!(matches!(only_test(&question), Test::Unknown { word, .. } if word.text == "weight"));
}

#[test]
fn ranges_and_lengths() {
    for text in ["torque 60..80 lb-ft", "torque 60 to 80 lb-ft", "torque 60 .. 80 lb-ft"] {
        let question = read(text);
        let Test::Range { field, low, high } = only_test(&question) else { panic!("{text}") };
        assert_eq!((&*field.text, &*low.text, &*high.text), ("torque", "60", "80 lb-ft"));
    }
    let question = read("7/16-14 x 3.5 in stud");
    assert!(matches!(&items(&question)[0].what, What::Bare(Bare::ThreadAndLength { length, .. })
        if length.text == "3.5 in"));
}

#[test]
fn clauses() {
    let question = read(
        "with thread sealant, \"oil, thin\" target 75% proof keep head show part, clamp per torque \
         sort torque down, part first 10 tally lube units kN, ft lbs on W2",
    );
    assert_eq!(question.clauses.len(), 9);
    let phrases: Vec<(&str, bool)> = match &question.clauses[0].what {
        ClauseKind::With(lubes) => lubes.iter().map(|one| (&*one.text, one.quoted)).collect(),
        other => panic!("{other:?}"),
    };
    assert_eq!(phrases, [("thread sealant", false), ("oil, thin", true)]);
    assert!(matches!(&question.clauses[1].what,
        ClauseKind::Target(target) if target.share == Some(Share::Proof)));
    let downs: Vec<bool> = match &question.clauses[4].what {
        ClauseKind::Sort(columns) => columns.iter().map(|column| column.down).collect(),
        other => panic!("{other:?}"),
    };
    assert_eq!(downs, [true, false]);
    assert_eq!(question.clauses[5].what, ClauseKind::First(10));
    let symbols: Vec<&str> = match &question.clauses[7].what {
        ClauseKind::Units(Units::Each(units)) => units.iter().map(|unit| unit.0.symbol).collect(),
        other => panic!("{other:?}"),
    };
    assert_eq!(symbols, ["kN", "lb-ft"]);
}

/// Places are those of the text that was typed, odd signs and all.
#[test]
fn places() {
    let text = "M10×1.5\u{a0}torque \u{a0}60–80 lb-ft";
    let error = parse(text, field_words()).unwrap_err();
    assert_eq!(error.span.slice(text), "60–80 lb-ft");
    let text = "M10×1.5\u{a0}not torque over “60 N·m”";
    let question = read(text);
    let items = items(&question);
    assert_eq!(items[0].place.0.slice(text), "M10×1.5");
    assert_eq!(items[1].place.0.slice(text), "not torque over “60 N·m”");
    let What::Test(Test::Compare { right, .. }) = &items[1].what else { panic!() };
    assert_eq!(right.single().unwrap().place.0.slice(text), "“60 N·m”");
}

#[test]
fn what_is_typed_is_what_is_printed() {
    let cases = [
        ("part-number 00120", "part-number 00120"),
        ("torque ≥ 60   N·m", "torque at-least 60 N·m"),
        ("needs  sealant,no page", "has sealant, no page"),
        ("clamp/2 kN", ""),
        ("clamp / proof-load > .5", "clamp per proof-load over .5"),
        ("part “3.5\"\" long”", "part \"3.5\"\" long\""),
        ("FIRST 3 Sort torque DOWN", "first 3 sort torque down"),
    ];
    for (typed, printed) in cases {
        let found = parse(typed, field_words()).map_or(String::new(), |tree| tree.to_string());
        assert_eq!(found, printed, "{typed:?}");
    }
}

#[test]
fn readings_say_both_ways() {
    let cases: &[(&str, &[&str])] = &[
        ("M10 moly or oil", &["read as (M10 and moly) or oil; for the other: M10, moly or oil"]),
        (
            "head, M10 long and moly or oil dry",
            &[
                "read as (M10 and long and moly) or (oil and dry); for the other: M10, long, moly or oil, dry",
            ],
        ),
        (
            "(M10 moly or oil) keep rod x or y",
            &[
                "read as (M10 and moly) or oil; for the other: M10, moly or oil",
                "read as (rod and x) or y; for the other: rod, x or y",
            ],
        ),
        (
            "M10 and moly or oil",
            &["read as (M10 and moly) or oil; for the other: M10, moly or oil"],
        ),
        ("M10, moly or oil", &[]),
        ("lube moly or oil", &[]),
    ];
    for (text, readings) in cases {
        assert_eq!(read(text).readings(&|_| false), *readings, "{text}");
        for line in read(text).readings(&|_| false) {
            let (one, other) = line.split_once("; for the other: ").unwrap();
            read(one.strip_prefix("read as ").unwrap());
            read(other);
        }
    }
    let pan =
        |item: &Item| matches!(&item.what, What::Bare(Bare::Value(leaf)) if leaf.text == "pan");
    assert_eq!(read("oil pan or head").readings(&pan), [""; 0]);
    assert_eq!(
        read("oil pan M10 or head").readings(&pan),
        ["read as (oil pan and M10) or head; for the other: oil pan, M10 or head"]
    );
}

/// What is said, what stands under the caret, and the advice.
#[test]
fn messages() {
    let cases = [
        (
            "torque 60-80 lb-ft",
            "`60-80 lb-ft` is not a range",
            "`60..80 lb-ft` is a range; after a thread or a name put a comma",
        ),
        ("torque 60 - 80 lb-ft", "the question ends too early", "a range is 60..80 lb-ft"),
        ("show prt", "`prt` is not a field", "did you mean `part`?"),
        (
            "head with moly kep of-proof over 90%",
            "`over` cannot stand here",
            "did you mean `keep`?",
        ),
        (
            "target 75%",
            "the question ends too early",
            "say what it is a share of: target 75% proof",
        ),
        (
            "units furlong",
            "`furlong` is not a unit",
            "for example: units N.m, kN, or units metric, or units inch",
        ),
        (
            "no wet-sump",
            "`wet-sump` is not a field",
            "`no` takes a field; `not wet-sump` leaves rows out",
        ),
        ("torque > 60lbft2", "`60lbft2` cannot stand here", "`lbft2` is not a unit"),
        (
            "lube:moly",
            "`:` has no meaning in a question",
            "a field and its value stand side by side: lube moly",
        ),
        (
            "7/16-20 UNC",
            "7/16-20 is UNF, not UNC; UNC is 7/16-14",
            "leave out what contradicts the rest; `clampbook thread M10` names the pitches of a size",
        ),
    ];
    for (text, message, advice) in cases {
        let diagnostic = parse(text, field_words()).unwrap_err().diagnostic();
        assert_eq!(diagnostic.message, message, "{text}");
        assert_eq!(diagnostic.help.first().map_or("", String::as_str), advice, "{text}");
    }
}

#[test]
fn a_clause_that_stands_twice_shows_both_places() {
    let text = "head with oil show part with moly";
    let error = parse(text, field_words()).unwrap_err();
    assert_eq!(error.span.start, text.rfind("with").unwrap());
    let (first, label) = error.diagnostic().also.unwrap();
    assert_eq!((first.start, &*label), (text.find("with").unwrap(), "the first `with`"));
}
