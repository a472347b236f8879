//! The picture at the top of README.md is a map of the demo as the program
//! draws it on its bench sheet; here it is set on white, with the sheet's own style.
//!
//! `CLAMPBOOK_BLESS=1 cargo test --test workshop picture` draws it anew.

use crate::program::{file, run};

/// What stands between two marks, both included.
fn between<'a>(text: &'a str, from: &str, to: &str) -> &'a str {
    let start = text.find(from).expect("the beginning");
    let end = text[start..].find(to).expect("the end") + start + to.len();
    &text[start..end]
}

/// The map of a bench sheet as a file of its own.
fn picture(sheet: &str) -> String {
    let map = between(sheet, "<svg ", "</svg>");
    let (_, rest) = map.split_once('>').expect("an opening tag");
    let view = between(map, "viewBox=\"", "\" ").trim_end();
    let style: String = ["hole-ring", "order-number"]
        .iter()
        .flat_map(|class| sheet.lines().filter(move |line| line.starts_with(&format!(".{class}"))))
        .collect();
    let parts = rest.replace("<g ", "\n<g ").replace("</svg>", "\n</svg>\n");
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"640\" {view} role=\"img\" \
         font-family=\"Arial,Helvetica,sans-serif\"><style>{style}</style>\
         <rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>{parts}"
    )
}

#[test]
fn the_picture_of_the_readme_is_the_map_of_the_demo() {
    let home = tempfile::tempdir().expect("a folder");
    let (sheet, err, code) = run(home.path(), &["--demo", "sheet", "gear", "case", "-o", "-"]);
    assert_eq!(code, Some(0), "{err}");
    let now = picture(&sheet);
    assert_eq!(now.matches("data-hole=").count(), 11);
    let path = file("tests/workshop/sheet/cover.svg");
    if std::env::var_os("CLAMPBOOK_BLESS").is_some() {
        std::fs::write(&path, &now).expect("the picture");
    }
    assert!(std::fs::read_to_string(&path).expect("the picture") == now, "{}", path.display());
    let readme = std::fs::read_to_string(file("README.md")).expect("README.md");
    assert!(readme.contains("(tests/workshop/sheet/cover.svg)"), "README.md shows it");
}
