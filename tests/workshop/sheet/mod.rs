//! The bench sheet: what stands on it, and that a real browser shows and
//! prints it as it should.

mod browser;
mod data;
mod picture;

use browser::Browser;
use clampbook::record::hole_numbers;
use clampbook::report::{BenchJoint, Paper};

fn one(joint: BenchJoint) -> String {
    data::sheet(&[joint], Paper::A4)
}

fn everything() -> Vec<BenchJoint> {
    vec![
        data::head(),
        data::crowded_head(),
        data::casing(),
        data::rods(),
        data::wheel(),
        data::restated(),
        data::hostile(),
        data::long_words(),
        data::many(),
        data::forty(),
        data::over_an_adapter(),
    ]
}

/// Text between two pieces of `html`, for each place they enclose one.
fn between<'a>(html: &'a str, start: &str, end: &str) -> Vec<&'a str> {
    let pieces = html.split(start).skip(1);
    pieces.filter_map(|piece| piece.split(end).next()).collect()
}

/// The number that the map shows at hole 1, 2, …
fn on_the_map(html: &str) -> Vec<usize> {
    let mut at_hole: Vec<(usize, usize)> = between(html, "<g data-hole=\"", "</g>")
        .iter()
        .map(|group| {
            let hole = group.split('"').next().unwrap().parse().unwrap();
            let number = between(group, "class=\"hole-number\"", "</text>")[0];
            assert_eq!(number.rsplit('>').next().unwrap().parse(), Ok(hole), "one numbering");
            let turn = between(group, "class=\"turn\"", "</text>")[0].rsplit('>').next().unwrap();
            (hole, turn.trim_end_matches(char::is_alphabetic).parse().unwrap())
        })
        .collect();
    at_hole.sort_unstable();
    assert!(at_hole.iter().enumerate().all(|(at, (hole, _))| at + 1 == *hole), "{at_hole:?}");
    at_hole.into_iter().map(|(_, order)| order).collect()
}

#[test]
fn everything_that_a_fitter_needs_stands_on_the_page() {
    let html = one(data::head());
    for said in [
        "Marlow 6",
        "<h1>head</h1>",
        "14 × stud, long",
        "holes 1 to 14",
        "nut end 7/16-20, yield 180 ksi · hole end 7/16-14, finger-snug, with sealant",
        "moly on the threads AND under the nut",
        "opens into coolant: thread sealant on the hole end only",
        "Retorque after the first heat cycle",
        "Bolt, front: blind hole: clean, dry, depth checked; liquid in it can crack the part.",
        "sheet: Blow the holes out and check their depth",
        "22 lb-ft is only the start: +90° +90° follow",
        "DISCARD AFTER REMOVAL.",
        "Order LISTED by the source",
        "Source: Marlow 6 head set sheet, p. 2, rev. C.",
        "Gasket: multi-layer steel",
        "Book revision 12, printed 2026-05-04 10:20.",
        "stale if the spec changed",
        "Maker's current sheet governs; COMPUTED is an estimate",
        "Calibration due",
        "Lube and lot",
    ] {
        assert!(html.contains(said), "not on the page: {said}");
    }
    // Four passes, three and once more, a start and two angles: a box for each,
    // and one for the retorque; and in the grids one for each bolt and pass.
    let grids = 14 * 4 + 4 * 4 + 2 * 3;
    assert_eq!(html.matches("class=\"tick\"").count(), 4 + 4 + 3 + 1 + grids);
    assert_eq!(html.matches("DISCARD AFTER REMOVAL.").count(), 1);
}

/// Torque, basis and lube are one block: a torque never stands alone.
#[test]
fn torque_lube_and_basis_stand_together() {
    for joint in everything() {
        let html = one(joint);
        for value in between(&html, "<div class=\"value\">", "</div>") {
            assert!(value.contains("class=\"torque\""), "{value}");
            assert!(value.contains("class=\"basis"), "{value}");
            assert!(value.contains("class=\"lube\""), "{value}");
        }
    }
}

#[test]
fn cautions_stand_once_each_where_they_apply() {
    let casing = one(data::casing());
    let wheel = one(data::wheel());
    let pressure = "Pressure: maker's procedure governs; never tighten under pressure";
    let recheck = "Wheel: maker's procedure governs; dry and clean unless the maker says \
                   otherwise; recheck after 50–100 miles";
    assert_eq!((casing.matches(pressure).count(), casing.matches(recheck).count()), (1, 0));
    assert_eq!((wheel.matches(pressure).count(), wheel.matches(recheck).count()), (0, 1));
    assert_eq!(casing.matches("Each torque is for its own lube only.").count(), 1);
    let crowded = one(data::crowded_head());
    assert_eq!(
        crowded
            .matches("One of these in the same holes, never both: stud, long or bolt, long.")
            .count(),
        1
    );
}

/// Every caution of the trade where it applies, once to a page and on no page
/// where it does not: the demo shop has each of them.
#[test]
fn no_caution_stands_twice_on_a_page_of_the_demo_shop() {
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_clampbook"))
        .env("HOME", tempfile::tempdir().unwrap().path())
        .args(["--demo", "sheet", "assembly", "Marlow 6", "or", "assembly", "Tern 40 pump"])
        .args(["-o", "-"])
        .output()
        .unwrap();
    let html = String::from_utf8(output.stdout).unwrap();
    let pages: Vec<&str> = html.split("<article class=\"page\"").skip(1).collect();
    // Words, and how many joints of the demo's sheets they are for at the least.
    for (words, least) in [
        ("liquid in it can crack the part", 5),
        ("cold only", 1),
        ("never tighten under pressure", 3),
        ("Each torque is for its own lube only", 5),
        ("studs in place of bolts", 1),
        ("INCH-pounds", 2),
        ("is only the start", 2),
    ] {
        let counts: Vec<usize> = pages.iter().map(|page| page.matches(words).count()).collect();
        let on = counts.iter().filter(|count| **count > 0).count();
        assert!(on >= least && on < pages.len(), "{words}: {counts:?}");
        assert!(counts.iter().all(|count| *count <= 1), "{words}: {counts:?}");
    }
    // Discarding is said at each part that is, and only there.
    let wheel = pages.iter().find(|page| page.contains("<h1>trolley wheel</h1>")).unwrap();
    // The sheet's own recheck stands, and no second rule beside it.
    assert!(wheel.contains("Recheck after the first 80 km"), "the wheel");
    assert!(!wheel.contains("50–100 miles") && !wheel.contains("DISCARD"), "the wheel");
}

#[test]
fn a_superseded_or_refused_value_has_no_passes() {
    let crowded = one(data::crowded_head());
    assert!(crowded.contains("SUPERSEDED: do not use"));
    assert!(!crowded.contains("<b>75 lb-ft</b>"));
    let restated = one(data::restated());
    assert!(restated.contains("refused: no listed value for this compound"));
    assert!(restated.contains("COMPUTED") && restated.contains("from 44 lb-ft dry"));
    assert!(restated.contains("Verify by stretch or ask the maker."));
}

/// The head's listed order and a circle of 12 (ASME PCC-1 legacy cross
/// pattern: 1-7-4-10, 2-8-5-11, 3-9-6-12).
#[test]
fn the_map_shows_the_order_at_each_hole() {
    let place = |order: &[usize]| {
        let mut places = vec![0; order.len()];
        order.iter().enumerate().for_each(|(at, hole)| places[hole - 1] = at + 1);
        places
    };
    let head: Vec<usize> = data::HEAD_ORDER.split('-').map(|hole| hole.parse().unwrap()).collect();
    assert_eq!(on_the_map(&one(data::head())), place(&head));
    assert_eq!(on_the_map(&one(data::casing())), place(&[1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12]));
    assert_eq!(on_the_map(&one(data::wheel())), place(&[1, 3, 5, 2, 4]));
    // The legend says which number is which, and the line below has the holes.
    let html = one(data::wheel());
    assert!(html.contains("In the ring the hole's number, beside it its turn: 1st, 2nd."));
    assert!(html.contains("Holes in turn: <b>1, 3, 5, 2, 4</b>"));
}

/// Turns of a map cover neither a ring nor each other: each letter half as wide as it is
/// high, the ring as drawn.
fn assert_nothing_overlaps(html: &str, holes: usize) {
    let number = |text: &str, name: &str| -> f64 {
        between(text, &format!(" {name}=\""), "\"")[0].parse().unwrap()
    };
    // Middle, half width, half height.
    let mut spaces: Vec<[f64; 4]> = Vec::new();
    for group in between(html, "<g data-hole=", "</g>") {
        let ring = between(group, "<circle", ">")[0];
        let r = number(ring, "r") * 0.8;
        spaces.push([number(ring, "cx"), number(ring, "cy"), r, r]);
        let turn = between(group, "class=\"turn\"", "</text>")[0];
        let (size, letters) = (number(turn, "font-size"), turn.rsplit('>').next().unwrap().len());
        let y = number(turn, "y") - 0.35 * size;
        spaces.push([number(turn, "x"), y, 0.25 * size * letters as f64, 0.36 * size]);
    }
    assert_eq!(spaces.len(), 2 * holes);
    for (at, one) in spaces.iter().enumerate() {
        for other in &spaces[..at] {
            let apart =
                |axis: usize| (one[axis] - other[axis]).abs() > one[axis + 2] + other[axis + 2];
            assert!(apart(0) || apart(1), "{one:?} covers {other:?}");
        }
    }
}

#[test]
fn an_uneven_map_and_one_of_forty_holes_overlap_nothing() {
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_clampbook"))
        .env("HOME", tempfile::tempdir().unwrap().path())
        .args(["--demo", "sheet", "gear", "case", "-o", "-"])
        .output()
        .unwrap();
    assert_nothing_overlaps(&String::from_utf8(output.stdout).unwrap(), 11);
    assert_nothing_overlaps(&one(data::forty()), 40);
    assert_nothing_overlaps(&one(data::over_an_adapter()), 10);
}

/// An order that would be a guess is left to the fitter.
#[test]
fn no_map_without_a_listed_order_or_a_layout() {
    let html = one(data::restated());
    assert!(!html.contains("data-hole"));
    assert!(html.contains("Order not stated, no layout in the book. Order used"));
    assert!(one(data::rods()).contains("Order LISTED, in words: both bolts of a cap alternate"));
}

/// A sign before the last box would be read as a torque to add.
#[test]
fn the_last_value_once_more_is_no_addition() {
    let html = one(data::restated());
    assert!(html.contains("<span class=\"n\">again</span>"), "{html}");
    assert!(!html.contains(">+</span>"), "{html}");
}

/// Each kind of fastener has its own outline on the map and at its heading.
#[test]
fn long_and_short_bolts_are_told_apart() {
    let html = one(data::head());
    let squares = hole_numbers("15 to 18").unwrap();
    for group in between(&html, "<g data-hole=\"", "</g>") {
        let hole: usize = group.split('"').next().unwrap().parse().unwrap();
        let is_ring = group.contains("<circle");
        assert_eq!(is_ring, hole <= 14, "hole {hole}, square {}", squares.contains(&hole));
    }
}

#[test]
fn the_file_needs_nothing_else() {
    for html in [data::sheet(&everything(), Paper::A4), data::card(&everything(), Paper::Letter)] {
        for outside in ["://", "<script", "<link", "<img", "url(", "@import", "onload"] {
            let said = html.replace("&lt;", "");
            assert!(!said.contains(outside), "{outside}");
        }
        assert!(html.contains("default-src 'none'"));
    }
}

#[test]
fn a_browser_shows_hostile_text_as_text() {
    let Some(browser) = Browser::find() else { return };
    let dom = browser.dom(&one(data::hostile()));
    let title = between(&dom, "<title>", "</title>")[0];
    assert!(title.ends_with("bench sheet"), "{title}");
    for element in ["<script", "<img", "<b>bold", "<i>x", "<h1>BIG"] {
        assert!(!dom.contains(element), "{element} became an element");
    }
    assert!(dom.contains("&lt;script&gt;document.title='owned'&lt;/script&gt;"));
    assert!(dom.contains("&lt;/article&gt;&lt;/style&gt;"));
    // Direction marks and escapes are shown, not obeyed.
    assert!(dom.contains("\\u{202e}evil\\u{1b}[31m"));
    assert!(!dom.contains('\u{202e}'));
}

#[test]
fn a_browser_keeps_text_and_map() {
    let Some(browser) = Browser::find() else { return };
    let html = one(data::head());
    let dom = browser.dom(&html);
    assert_eq!(on_the_map(&dom), on_the_map(&html));
    for said in ["14 × stud, long", "66 lb-ft", "89.5 N·m", "DISCARD AFTER REMOVAL."] {
        assert!(dom.contains(said), "{said}");
    }
    let picture = tempfile::tempdir().unwrap().keep().join("head.png");
    browser.screenshot(&html, &picture);
    let png = std::fs::read(&picture).unwrap();
    assert!(png.starts_with(b"\x89PNG") && png.len() > 20_000, "{} bytes", png.len());
    std::fs::remove_dir_all(picture.parent().unwrap()).unwrap();
}

/// Only the pages that are set in larger type than the smallest: for those there is
/// room to spare.
fn with_room(html: &str) -> (String, usize) {
    let (head, rest) = html.split_once("<article").unwrap();
    let pages = rest.split("<article").map(|page| page.rsplit_once("</article>").unwrap().0);
    let roomy: Vec<&str> = pages.filter(|page| !page.contains("font-size:10pt")).collect();
    let articles: Vec<String> =
        roomy.iter().map(|page| format!("<article{page}</article>")).collect();
    (format!("{head}{}</body></html>", articles.concat()), roomy.len())
}

/// The sheet hangs on no font: these two differ by a sixth in width.
fn fonts(html: &str) -> [String; 2] {
    ["Liberation Sans", "DejaVu Sans"]
        .map(|font| html.replace("sans-serif", &format!("'{font}',sans-serif")))
}

/// A4 is 595 × 842 points, Letter 612 × 792. A joint that has room is one page in
/// either font; one that has not, at the smallest type, takes no more than three.
#[test]
fn a_joint_is_one_page_where_it_has_room() {
    let Some(browser) = Browser::find() else { return };
    for (paper, size) in [(Paper::A4, (595.0, 842.0)), (Paper::Letter, (612.0, 792.0))] {
        let joints = everything();
        for html in fonts(&data::sheet(&joints, paper)) {
            let printed = browser.printed(&html);
            assert!(printed.pages <= 3 * joints.len(), "{paper:?}: {printed:?}");
            assert!((printed.size.0 - size.0).abs() < 1.0, "{printed:?}");
            assert!((printed.size.1 - size.1).abs() < 1.0, "{printed:?}");
            let (roomy, count) = with_room(&html);
            if count > 0 {
                assert_eq!(browser.printed(&roomy).pages, count, "{paper:?}");
            }
        }
    }
}

/// Stretch, hostile text and, on A4, ten holes over an adapter: a page each in either
/// font. Three kinds of fasteners with an angle and fourteen studs, and forty holes, have
/// no room on one page even in the smallest type, and take no more than they need.
#[test]
fn each_kind_of_joint_takes_the_pages_that_it_needs() {
    let Some(browser) = Browser::find() else { return };
    for (paper, adapter, head) in [(Paper::A4, 1, 2), (Paper::Letter, 2, 3)] {
        let one_each = [data::rods(), data::hostile()];
        for html in fonts(&data::sheet(&one_each, paper)) {
            assert_eq!(browser.printed(&html).pages, one_each.len(), "{paper:?}");
        }
        for (joint, most) in [(data::over_an_adapter(), adapter), (data::head(), head)] {
            for html in fonts(&data::sheet(&[joint], paper)) {
                let pages = browser.printed(&html).pages;
                assert!(pages <= most, "{paper:?}: {pages} pages");
            }
        }
        for html in fonts(&data::sheet(&[data::forty()], paper)) {
            assert_eq!(browser.printed(&html).pages, 2, "{paper:?}");
        }
    }
}

/// Cards stand beside each other, whatever the font.
#[test]
fn pocket_cards_share_their_sheets() {
    let Some(browser) = Browser::find() else { return };
    for paper in [Paper::A4, Paper::Letter] {
        let html = data::card(&everything(), paper);
        let cards = html.matches("class=\"card\"").count();
        for html in fonts(&html) {
            let pages = browser.printed(&html).pages;
            assert!(pages < cards, "{paper:?}: {cards} cards on {pages} pages");
        }
    }
}

#[test]
fn a_pocket_card_says_joint_torque_and_lube_alone() {
    let html = data::card(&[data::crowded_head()], Paper::A4);
    assert!(html.contains("head, stud, long"));
    assert!(html.contains("moly on the threads AND under the nut"));
    assert!(html.contains("DISCARD AFTER REMOVAL."));
    assert!(!html.contains("75 lb-ft"), "a superseded value must not be carried about");
    assert!(!html.contains("data-hole") && !html.contains("class=\"tick\""));
}

/// The whole demo shop on either paper.
#[test]
fn the_demo_shop_prints_its_joints() {
    let Some(browser) = Browser::find() else { return };
    let home = tempfile::tempdir().unwrap();
    let clampbook = |arguments: &[&str]| {
        std::process::Command::new(env!("CARGO_BIN_EXE_clampbook"))
            .env("HOME", home.path())
            .arg("--demo")
            .args(arguments)
            .output()
            .unwrap()
    };
    for (assembly, paper) in [
        ("Marlow 6", "a4"),
        ("Marlow 6", "letter"),
        ("Tern 40 pump", "a4"),
        ("Tern 40 pump", "letter"),
    ] {
        let output = clampbook(&["sheet", "assembly", assembly, "--paper", paper, "-o", "-"]);
        let html = String::from_utf8(output.stdout).unwrap();
        let joints = html.matches("<article class=\"page\"").count();
        assert!(joints > 10, "{joints} joints of {assembly}");
        assert!(
            assembly != "Marlow 6" || html.matches("data-hole").count() >= 20,
            "the head's map"
        );
        let pages = browser.printed(&html).pages;
        assert!((joints..=2 * joints).contains(&pages), "{assembly} on {paper}: {pages}");
        let (roomy, count) = with_room(&html);
        assert_eq!(browser.printed(&roomy).pages, count, "{assembly} on {paper}");
    }
}

/// How near the bolt comes to yield stands on paper as on the screen, at the hole end of
/// a stud too (7/16-14: 0.1063 in², ASME B1.1), and what the top of the band does.
#[test]
fn the_page_says_how_near_yield_the_figure_comes() {
    let html = one(data::head());
    for words in ["71 % yield, hole end 79 %", "the high end of the clamp band is past yield"] {
        assert!(html.contains(words), "not on the page: {words}");
    }
}

/// Nothing is set smaller than 10 points: a page is set in 10 or more, and no part of it,
/// the map included, in less than that of its page.
#[test]
fn nothing_is_set_under_ten_points() {
    for paper in [Paper::A4, Paper::Letter] {
        for html in [data::sheet(&everything(), paper), data::card(&everything(), paper)] {
            let sizes = between(&html, "font-size:", ";").into_iter();
            let sizes = sizes.map(|size| size.split(['}', '"']).next().unwrap().to_owned());
            let in_map = between(&html, "font-size=\"", "\"").into_iter();
            let all: Vec<String> = sizes.chain(in_map.map(|size| format!("{size}em"))).collect();
            assert!(all.len() > 20, "{all:?}");
            for size in all {
                let number =
                    |unit: &str| size.strip_suffix(unit).map(|n| n.parse::<f64>().unwrap());
                let is_large = number("pt").is_some_and(|points| points >= 10.0)
                    || number("em").is_some_and(|em| em >= 1.0);
                assert!(is_large, "{size} on {paper:?}");
            }
        }
    }
}
