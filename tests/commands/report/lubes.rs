//! Every lube for one fastener, and the wrong one on the bolt.

use std::sync::Arc;

use crate::answers::{assert_fits, stud, tables};
use clampbook::correction::{Comparisons, stored_rows};
use clampbook::query::run::UnitsWanted;
use clampbook::record::{Fastener, Lube, LubeClass, Row, Tables};
use clampbook::report::{Format, LubesWish, lubes_chart_svg, lubes_page, rendered};

/// Every setting of `fasteners`.
fn rows(fasteners: &[Arc<Fastener>], tables: &Tables) -> Vec<Row> {
    let each = |fastener: &Arc<Fastener>| {
        let all: Vec<usize> = (0..fastener.settings.len()).collect();
        stored_rows(fastener, &all, tables)
    };
    fasteners.iter().flat_map(each).collect()
}

fn drawn(fastener: Arc<Fastener>, width: usize) -> String {
    let tables = tables();
    let rows = rows(&[fastener], &tables);
    let page =
        lubes_page(Comparisons::new(&rows, &tables), &UnitsWanted::AsWritten, LubesWish::Plain);
    let text = rendered(&page, Format::Table, width);
    assert_fits(&text, width);
    text
}

/// Checked by hand: 82 lb-ft with moly is 82 · 12 / (0.12 · 0.4375) = 18 743 lbf
/// = 83.4 kN, over 180 ksi · 0.1187 in² 87.7 %, over the 0.1063 in² of the hole
/// end 98.0 %. Anti-seize at K 0.14 from oil at 0.15: 82 · 14/15 = 76.5 lb-ft.
#[test]
fn a_stud_with_every_lube() {
    for width in [40, 60, 80, 140] {
        insta::assert_snapshot!(format!("stud_{width}"), drawn(stud(), width));
    }
}

#[test]
fn lubes_refused_alike_stand_on_one_line() {
    let mut tables = tables();
    for name in ["wax", "zinc", "zinc flake"] {
        let coat =
            Lube { name: name.to_owned(), class: LubeClass::Coating, ..tables.lubes[0].clone() };
        tables.lubes.push(coat);
    }
    let rows = rows(&[stud()], &tables);
    let page =
        lubes_page(Comparisons::new(&rows, &tables), &UnitsWanted::AsWritten, LubesWish::Reasons);
    let text = rendered(&page, Format::Table, 80);
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("NO wax, zinc, zinc flake: a plated"), "{text}");
    assert_eq!(flat.matches("plated or coated").count(), 1, "{text}");
}

/// Lubes without a figure take one line, those of a kind under its name; where all have
/// one reason it is said. Lubes of another material and bare classes of friction are not
/// offered.
#[test]
fn lubes_without_a_figure_are_one_line() {
    let mut tables = tables();
    for (name, class) in [
        ("wax", LubeClass::Coating),
        ("zinc flake", LubeClass::Coating),
        ("stainless paste", LubeClass::Wet),
        ("VDI-B", LubeClass::Wet),
    ] {
        tables.lubes.push(Lube { name: name.to_owned(), class, ..tables.lubes[0].clone() });
    }
    let own = rows(&[stud()], &tables);
    let page =
        lubes_page(Comparisons::new(&own, &tables), &UnitsWanted::AsWritten, LubesWish::Plain);
    let text = rendered(&page, Format::Table, 80);
    let no: Vec<&str> = text.lines().filter(|line| line.contains("NO")).collect();
    assert_eq!(no.len(), 1, "{text}");
    assert!(no[0].contains("dry, ") && no[0].contains("plated or coated"), "{text}");
    assert!(!text.contains("stainless") && !text.contains("VDI"), "{text}");
    let mut pressure = Fastener::clone(&stud());
    pressure.joint.duty = Some(clampbook::record::Duty::Pressure);
    let text = drawn(Arc::new(pressure), 80);
    assert!(text.contains("NO: pressure joint"), "{text}");
}

#[test]
fn a_setting_with_two_lubes_is_not_lost() {
    let mut bolt = Fastener::clone(&stud());
    bolt.settings[0].face_lube = Some("oil".to_owned());
    let text = drawn(Arc::new(bolt), 80);
    let line = text.lines().find(|line| line.contains("moly; face oil")).unwrap();
    assert!(line.contains("66 lb-ft") && line.contains("LISTED"), "{line}");
}

#[test]
fn the_safety_line_stands_once_for_several_fasteners() {
    let tables = tables();
    let rows = rows(&[stud(), crate::answers::short_bolt()], &tables);
    let page =
        lubes_page(Comparisons::new(&rows, &tables), &UnitsWanted::AsWritten, LubesWish::Plain);
    let text = rendered(&page, Format::Table, 80);
    assert_fits(&text, 80);
    assert_eq!(text.matches("Maker's current sheet governs").count(), 1);
    assert!(text.contains("stud, long") && text.contains("bolt, short"), "{text}");
}

/// The nominal clamp lies inside its band and left of yield where it is below it: the
/// stud's 66 lb-ft with moly is at 79 % of the yield of its hole end.
#[test]
fn a_chart_draws_each_band_against_the_limits() {
    let tables = tables();
    let rows = rows(&[stud()], &tables);
    let all = Comparisons::new(&rows, &tables);
    let page = lubes_page(all, &UnitsWanted::AsWritten, LubesWish::Chart);
    for width in [40, 60, 80, 140] {
        let text = rendered(&page, Format::Table, width);
        assert_fits(&text, width);
        assert!(text.contains("67 kN"), "{text}");
    }
    let text = rendered(&page, Format::Table, 80);
    let line = text.lines().find(|line| line.starts_with("moly")).unwrap();
    let bar = &line[line.find('|').unwrap()..];
    let (o, y, end) = (bar.find('o').unwrap(), bar.find('Y').unwrap(), bar.rfind('|').unwrap());
    assert!(o < y && o < end, "{line}");
    let svg = lubes_chart_svg(all, &UnitsWanted::AsWritten);
    assert!(svg.starts_with("<svg ") && svg.matches("<circle").count() == 3, "{svg}");
    assert!(svg.contains("moly 66 lb-ft") && svg.contains(">Y<"), "{svg}");
}
