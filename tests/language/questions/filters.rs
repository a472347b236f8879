//! What a filter keeps, and what it leaves out because the book does not say.

use super::book::{Shop, keys};

/// Asks each question; the rows are those keys in that order, and so many are
/// left out.
fn check(cases: &[(&str, &str, usize)]) {
    let shop = Shop::new();
    let mut wrong = Vec::new();
    for (question, expected, left_out) in cases {
        let found = shop.ask(question);
        if keys(&found).join(" ") != *expected || found.left_out != *left_out {
            wrong.push(format!(
                "{question}: {}, {} left out",
                keys(&found).join(" "),
                found.left_out
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

const STUD: &str = "stud/moly stud/oil";

#[test]
fn threads() {
    check(&[
        // A fastener without a thread is unknown: the vent.
        ("7/16-20", "stud/moly stud/oil rod/moly rod/moly.2", 1),
        // Either end of a stud.
        ("7/16-14", STUD, 1),
        ("7/16", "stud/moly stud/oil rod/moly rod/moly.2", 1),
        ("M10", "front/oil hub/oil hub/dry", 1),
        ("M10 coarse", "front/oil", 1),
        ("M10 fine", "hub/oil hub/dry", 1),
        ("M10x1.25", "hub/oil hub/dry", 1),
        ("10-24", "", 1),
        ("7/16-20 x 3.5 in", STUD, 3),
        (
            "not 7/16-20, assembly \"Tern 40 pump\", M12",
            "casing/engine-oil casing/moly foot/dry",
            1,
        ),
        // The field is one end only; all that have no hole thread are unknown.
        ("hole-thread 7/16-14", STUD, 20),
        ("thread 7/16-14", "", 1),
        ("nut confused-with M12x1.25", "gland/anti-seize", 1),
    ]);
}

#[test]
fn names_of_several_words() {
    let marlow_oil_pan = "rail/dry rail/oil";
    check(&[
        ("oil pan", marlow_oil_pan, 0),
        ("Marlow 6 oil pan", marlow_oil_pan, 0),
        ("oil pan, Marlow 6", marlow_oil_pan, 0),
        ("assembly Marlow 6 oil pan", marlow_oil_pan, 0),
        ("assembly \"Marlow 6\", joint oil pan", marlow_oil_pan, 0),
        ("Tern 40 pump M12", "casing/engine-oil casing/moly foot/dry", 1),
        ("M12 engine oil", "casing/engine-oil", 1),
        ("M12 lube 30 weight oil", "casing/engine-oil", 1),
        ("oil pan or oil pump", "rail/dry rail/oil body/oil", 0),
        // No joint is called oil: its words are looked for.
        ("joint oil", "rail/dry rail/oil body/oil filter/threadlocker", 0),
        ("part \"stud, long\"", STUD, 0),
        ("not oil pan, 1/4-20", "", 1),
    ]);
}

/// A shop calls the joint by a tag; a note that has the words is no such name.
#[test]
fn tags_are_names_too() {
    let head = "stud/moly stud/oil short/dry";
    check(&[
        ("cylinder head", head, 0),
        ("cylinder head, moly or oil", STUD, 0),
        ("cylinder", head, 0),
        ("oil drain", "", 1),
    ]);
}

/// By the material of the class (ISO 3506-1 is stainless), and of the hole in
/// whatever words the sheet states it.
#[test]
fn materials() {
    let shop = Shop::metals();
    let ask = |question: &str| (keys(&shop.ask(question)).join(" "), shop.ask(question).left_out);
    for (question, expected, left_out) in [
        ("stainless", "plate/dry", 1),
        ("stainless bolts", "", 1),
        ("stainless screws", "plate/dry", 0),
        ("not stainless", "cover/dry", 1),
        ("hole-material steel", "", 1),
        ("hole-material stainless steel", "plate/dry", 1),
        ("in cast iron", "cover/dry", 1),
        ("cast iron", "cover/dry", 1),
    ] {
        assert_eq!(ask(question), (expected.to_owned(), left_out), "{question}");
    }
}

#[test]
fn a_stud_of_both_threads_comes_first() {
    let shop = Shop::new();
    for question in ["1/2-13, 7/16-20, 7/16-14", "7/16-14 7/16-20", "7/16-20 and 7/16-14"] {
        let found = keys(&shop.ask(question)).join(" ");
        assert!(found.starts_with(STUD), "{question}: {found}");
    }
    let found = keys(&shop.ask("1/2-13, 7/16-14, 7/16-20 first 1")).join(" ");
    assert_eq!(found, "stud/moly");
    let sorted = keys(&shop.ask("1/2-13, 7/16-14, 7/16-20 sort torque first 1")).join(" ");
    assert_ne!(sorted, "stud/moly", "an order that is asked for stands");
}

/// A word after a measure is no value of it where the book knows it.
#[test]
fn a_measure_leaves_words_of_the_book_alone() {
    check(&[
        ("stretch bolts", "rod/moly", 0),
        ("stretch head", "", 4),
        ("torque casing", "casing/engine-oil casing/moly", 0),
        (
            "size over M12",
            "cap/oil cap/oil.2 cap/moly drain/no-lube filter/threadlocker gland/anti-seize",
            1,
        ),
        ("size M12", "casing/engine-oil casing/moly foot/dry", 1),
    ]);
}

#[test]
fn plurals_and_kinds() {
    check(&[
        ("studs", "stud/moly stud/oil casing/engine-oil casing/moly", 2),
        ("kind studs", "stud/moly stud/oil casing/engine-oil casing/moly", 2),
        // Cap screws have hexagon heads (ASME B18.2.1) or sockets (ASME B18.3).
        ("capscrew M10", "front/oil hub/oil hub/dry", 1),
        ("head studs", STUD, 0),
        ("heads", "stud/moly stud/oil short/dry front/oil", 0),
        ("cylinder heads", "stud/moly stud/oil short/dry", 0),
        ("text guards", "guard/dry", 0),
        ("adapters", "filter/threadlocker", 0),
    ]);
}

#[test]
fn strengths() {
    check(&[
        ("class 10.9", "front/oil hub/oil hub/dry", 9),
        ("strength 10.9", "front/oil hub/oil hub/dry", 9),
        ("grade 8 1/2-13", "cap/oil cap/oil.2 cap/moly", 1),
        // A row that was entered under the other name of the same grade.
        ("strength SAE 8 3/8-16", "short/dry body/oil", 1),
        ("grade = 8, 1/4-20", "rail/dry rail/oil", 1),
        ("grade 8 or 10.9, M10", "front/oil hub/oil hub/dry", 1),
        ("strength \"grade 8\", 1/2-13", "cap/oil cap/oil.2 cap/moly", 1),
    ]);
}

#[test]
fn lubes_and_alternatives() {
    check(&[
        ("head, lube moly or oil", "stud/moly stud/oil front/oil", 0),
        ("cylinder head, moly or oil", STUD, 0),
        ("rod moly or dry", "rod/moly rod/moly.2", 0),
        // The second word after `or` is not lost.
        ("lube moly or dry M10", "stud/moly cap/moly rod/moly rod/moly.2 casing/moly hub/dry", 1),
        ("lube moly or engine oil, head", "stud/moly stud/oil front/oil", 0),
        ("head and (moly or dry)", "stud/moly short/dry", 0),
        ("head not moly", "stud/oil short/dry front/oil", 0),
        ("hole-thread 7/16-14 or 1/2-13", STUD, 20),
        ("snug 22 lb-ft or 30 lb-ft", "front/oil", 21),
        ("torque 66 lb-ft or stud", "stud/moly stud/oil casing/engine-oil casing/moly", 4),
        // No joint row is known to be either.
        ("duty spark plug or engine", "", 22),
    ]);
}

#[test]
fn flags_and_stated_fields() {
    check(&[
        // Of which nothing is said is left out, whichever way it is asked.
        ("single-use", "front/oil", 21),
        ("not single-use M10", "", 3),
        ("blind head", "short/dry", 1),
        ("not blind head", STUD, 1),
        ("wet through", STUD, 19),
        ("wet stud", STUD, 4),
        ("superseded", "cap/oil", 0),
        ("from-memory", "guard/dry", 0),
        ("plated", "foot/dry", 0),
        ("thread-locked", "filter/threadlocker", 1),
        ("converted", "", 0),
        ("blind snug 22 lb-ft", "", 20),
        ("rod R12 stretch", "rod/moly", 0),
        ("R12, lacks stretch", "rod/moly.2", 0),
        ("Marlow 6 needs sealant", "rail/dry rail/oil", 0),
        ("lacks lube", "drain/no-lube", 0),
        ("lacks torque", "front/oil rod/moly filter/threadlocker", 0),
        ("lacks strength stud", STUD, 2),
        ("Tern 40 pump lacks source", "guard/dry", 0),
        ("has snug or has stretch", "front/oil rod/moly", 0),
        // `torque` alone is whatever a bolt is tightened by.
        ("stretch torque", "rod/moly", 0),
        ("stretch has torque", "", 19),
        ("lacks thread", "vent/oil", 0),
    ]);
}

#[test]
fn words_of_the_text() {
    check(&[
        ("cyl", "stud/moly stud/oil short/dry", 0),
        ("24-017", STUD, 0),
        ("\"oil\" drain", "drain/no-lube", 0),
        ("text oil, has sealant", "rail/dry rail/oil", 0),
        ("\"head cylinder\"", "stud/moly stud/oil short/dry", 0),
        ("zzz", "", 0),
    ]);
}

#[test]
fn quantities_and_the_last_digit() {
    check(&[
        // 66 lb-ft is 89.5 N·m; three settings state no torque.
        ("torque 89 N.m", "stud/moly", 3),
        ("torque 89.5 N.m", "stud/moly", 3),
        ("torque 89.0 N.m", "", 3),
        ("89 N.m", "stud/moly", 3),
        ("torque over 105 lb-ft", "", 3),
        ("torque over 80 lb-ft", "stud/oil cap/oil", 3),
        ("torque at-least 80 lb-ft", "stud/oil cap/oil cap/oil.2", 3),
        ("80 lb-ft under torque", "stud/oil cap/oil", 3),
        ("torque != 66 lb-ft, head", "stud/oil short/dry", 1),
        ("torque \"66 lb-ft\"", "stud/moly", 3),
        ("torque 68 lb-in", "rail/oil", 3),
        ("length 3.5 in", STUD, 20),
        ("length 3-1/2 in", STUD, 20),
        ("qty 8", "foot/dry", 19),
        ("count 4..8", "hub/oil hub/dry foot/dry", 19),
        ("tpi 13", "cap/oil cap/oil.2 cap/moly", 9),
        ("size over 13 mm", "drain/no-lube filter/threadlocker", 1),
    ]);
}

#[test]
fn ranges_and_maxima() {
    check(&[
        // hub/dry is 65..75 N·m: each of its figures counts, one is enough.
        ("coupling torque over 60 N.m", "hub/dry", 0),
        ("coupling torque over 65 N.m", "hub/dry", 0),
        ("coupling torque over 75 N.m", "", 0),
        ("coupling torque under 65 N.m", "hub/oil", 0),
        ("coupling, not torque over 70 N.m", "hub/oil", 0),
        ("coupling torque != 70 N.m", "hub/oil", 0),
        ("coupling torque at-least 65 N.m", "hub/dry", 0),
        ("coupling torque under 75 N.m", "hub/oil hub/dry", 0),
        ("coupling torque at-most 75 N.m", "hub/oil hub/dry", 0),
        // The others overlap.
        ("coupling torque 70 N.m", "hub/dry", 0),
        ("coupling torque 74..90 N.m", "hub/dry", 0),
        ("coupling torque 76..90 N.m", "", 0),
        ("coupling torque about 78 N.m", "hub/dry", 0),
        ("coupling torque about 80 N.m", "", 0),
        ("coupling torque \"74..90 N.m\"", "hub/dry", 0),
        // drain is at most 30 lb-ft: it counts as its figure, 40.7 N·m.
        ("drain plug torque over 50 N.m", "", 0),
        ("drain plug torque under 50 N.m", "drain/no-lube", 0),
        ("drain plug torque over 20 N.m", "drain/no-lube", 0),
        ("drain plug torque 60..80 lb-ft", "", 0),
    ]);
}

#[test]
fn derived_fields_and_sums() {
    check(&[
        // 44 lb-ft dry on 3/8-16: 7040 lbf of 9300.
        ("of-proof 70%..80%, 3/8-16", "short/dry", 1),
        ("clamp per proof-load over 0.75, 3/8-16", "short/dry", 1),
        ("clamp / proof-load over 75%, 3/8-16", "short/dry", 1),
        ("of-yield over 75%, stud", STUD, 2),
        ("head of-proof over 50%", "short/dry", 3),
        ("clamp over 66 kN, head", STUD, 1),
        ("k 0.12", "stud/moly cap/moly rod/moly.2 casing/moly", 5),
        ("snug times 4 over 80 lb-ft", "front/oil", 21),
        ("torque - 20 lb-ft over 60 lb-ft", "stud/oil cap/oil", 3),
    ]);
}
