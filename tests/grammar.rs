//! scratch
use clampbook::query::syntax::*;
const FIELDS: &[&str] = &[
    "assembly",
    "joint",
    "part",
    "torque",
    "clamp",
    "of-proof",
    "k",
    "size",
    "thread",
    "lube",
    "source",
    "stretch",
    "proof-load",
    "text",
    "sealant",
    "length",
    "strength",
    "class",
    "grade",
    "proof",
];
#[test]
fn scratch() {
    let text = std::fs::read_to_string("/tmp/q.txt").unwrap();
    for line in text.lines() {
        match parse(line, FIELDS) {
            Ok(q) => {
                let p = q.to_string();
                println!("OK  {line}\n    {p}   {:?}", q.readings());
                assert_eq!(parse(&p, FIELDS).as_ref(), Ok(&q), "{p}");
            }
            Err(e) => {
                let d = e.diagnostic();
                println!(
                    "ERR {line}\n    {}^ [{}] {} | {} | {:?}",
                    " ".repeat(line.get(..d.span.start).map_or(0, |s| s.chars().count())),
                    d.code,
                    d.message,
                    d.label,
                    d.help
                );
            }
        }
    }
}
