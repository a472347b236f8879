//! Lubes and strengths that only this shop has go along with an export: a fresh book
//! that imports it answers as the old one.

use std::path::Path;

use crate::program::run;

fn done(home: &Path, arguments: &[&str]) -> String {
    let (out, err, code) = run(home, arguments);
    assert_eq!(code, Some(0), "{arguments:?}\n{out}{err}");
    out
}

/// A shop with a lube and a strength of its own, and a factor of its own for a known
/// lube. The figures are made up.
fn shop() -> tempfile::TempDir {
    let home = tempfile::tempdir().unwrap();
    let at = home.path();
    lube(at);
    done(
        at,
        &[
            "add",
            "strength",
            "Quell 7",
            "from=M5",
            "to=M20",
            "unit=MPa",
            "proof=500",
            "yield=560",
            "source=Bar sheet 9",
            "aliases=Q7; quell seven",
        ],
    );
    done(at, &["edit", "lube", "moly", "k=0.11", "k-low=0.1", "k-high=0.12", "source=Trial 5"]);
    done(
        at,
        &[
            "add",
            "assembly=Vostrup 3",
            "joint=cover",
            "part=stud",
            "thread=M10x1.5",
            "strength=Quell 7",
            "lube=slip, brown",
            "torque=44 N·m",
            "source=Sheet V p. 2",
        ],
    );
    done(
        at,
        &[
            "add",
            "assembly=Vostrup 3",
            "joint=foot",
            "part=bolt",
            "thread=M12x1.75",
            "strength=8.8",
            "lube=oil",
            "torque=80 N·m",
            "source=Sheet V p. 3",
        ],
    );
    home
}

fn lube(home: &Path) {
    done(
        home,
        &[
            "add",
            "lube",
            "slip, brown",
            "class=wet",
            "k=0.13",
            "k-low=0.12",
            "k-high=0.15",
            "convertible=yes",
            "source=Trial 4",
            "aliases=brown; the brown one",
            "what=ours, \"thick\"",
        ],
    );
}

/// What the questions answer that turn on the records.
fn answers(home: &Path) -> String {
    let ask = |question: &[&str]| {
        let out = run(home, &[&["--format", "csv", "find"], question].concat()).0;
        out.lines().map(|line| line.to_owned() + "\n").collect::<String>()
    };
    let shown = ["show", "key,torque,strength,proof,of-proof,lube,k"];
    let with = |lube: &'static str| {
        ask(&[&["assembly", "\"Vostrup 3\"", "with", lube][..], &shown[..]].concat())
    };
    let plain = ask(&[&["assembly", "\"Vostrup 3\""][..], &shown[..]].concat());
    [plain, with("brown"), with("moly"), with("dry")].join("\n")
}

#[test]
fn records_of_the_shop_go_along_into_a_fresh_book() {
    let old = shop();
    let wanted = answers(old.path());
    assert!(wanted.contains("slip, brown") && wanted.contains("Quell 7"), "{wanted}");
    let forms: &[&str] =
        if cfg!(feature = "spreadsheet") { &["json", "jsonl", "xlsx"] } else { &["json", "jsonl"] };
    for form in forms {
        let file = old.path().join(format!("shop.{form}"));
        let file = file.to_str().unwrap();
        done(old.path(), &["export", "--file", file]);
        let fresh = tempfile::tempdir().unwrap();
        let out = done(fresh.path(), &["import", file]);
        for words in ["brings lube slip, brown", "its own lube moly", "brings strength Quell 7"] {
            assert!(out.contains(words), "{form}: {words}\n{out}");
        }
        assert_eq!(answers(fresh.path()), wanted, "{form}");
        if form != forms.last().unwrap() {
            continue;
        }
        // The same again changes nothing, and what the shop itself says holds.
        let out = done(fresh.path(), &["import", file]);
        assert!(!out.contains("brings"), "{form}\n{out}");
        done(fresh.path(), &["edit", "lube", "moly", "k=0.115", "source=Trial 6"]);
        let out = done(fresh.path(), &["import", file]);
        assert!(out.contains("lube moly of the file differs"), "{form}\n{out}");
        let past = done(fresh.path(), &["edit", "lube", "slip, brown", "--history"]);
        assert!(past.contains("Trial 4"), "{form}\n{past}");
    }
}

#[test]
fn only_records_that_are_named_go_with_a_part() {
    let old = shop();
    let out = done(old.path(), &["export", "--as", "json", "joint", "foot"]);
    assert!(!out.contains("Quell") && !out.contains("brown"), "{out}");
}

#[test]
fn a_csv_says_what_the_other_book_needs() {
    let old = shop();
    let file = old.path().join("shop.csv");
    let (_, err, _) = run(old.path(), &["export", "--file", file.to_str().unwrap()]);
    assert!(err.contains("lube slip, brown") && err.contains("strength Quell 7"), "{err}");
    let fresh = tempfile::tempdir().unwrap();
    let (out, _, code) = run(fresh.path(), &["import", file.to_str().unwrap()]);
    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(code, Some(3), "{out}");
    assert!(flat.contains("add lube \"slip, brown\""), "{out}");
    assert_eq!(flat.matches("refused: ").count(), 1, "once: {out}");
    lube(fresh.path());
    done(fresh.path(), &["import", file.to_str().unwrap()]);
}
