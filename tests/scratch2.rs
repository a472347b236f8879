//! scratch
use bnf::Grammar;
#[test]
fn speed() {
    for f in ["tokens", "query"] {
        let t = std::fs::read_to_string(format!("grammar/{f}.bnf")).unwrap();
        let g = Grammar::parse_from::<bnf::BNF>(&t).unwrap();
        println!("{f} {:?} rules {}", g.validate(), g.productions_iter().count());
        let p = g.build_parser().unwrap();
        let ss: &[&str] = if f == "tokens" {
            &["7/16-20 unf", "60..80 lb-ft", "head-bolt", "\"oil pan\"", "M10 x 1.5-6g"]
        } else {
            &["WORD,WORDorFIELDRELQUANTITYwithWORD,WORD"]
        };
        for s in ss {
            let s = &s.to_lowercase();
            let s = if f == "query" { ss[0] } else { s };
            let t = std::time::Instant::now();
            let n = p.parse_input(s).take(2).count();
            println!("{s} {n} {:?}", t.elapsed());
        }
    }
}
