//! A bench without its server: look-ups go on, lines of the log wait and get there once,
//! and nothing else is changed.

use crate::kept;
use crate::program::{demo_shop, run};

#[test]
fn a_bench_goes_on_without_its_server() {
    let Some(server) = kept::started("") else { return };
    let url = kept::database(&server, "shop");
    let shop = demo_shop();
    let home = shop.path();
    let folder = home.join("data/clampbook");
    let (out, err, code) = run(home, &["book", "copy", folder.to_str().unwrap(), &url]);
    assert_eq!(code, Some(0), "{out}{err}");
    let asked = |words: &[&str]| run(home, &[&["--book", &url], words].concat());
    let (said, _, code) = asked(&["book", "info", "--format", "json"]);
    assert_eq!(code, Some(0));
    assert!(said.contains(&format!("\"server\":\"{url}\"")), "{said}");
    assert_eq!(asked(&["log", "start", "24-017"]).2, Some(0));
    let log = ["log", "add", "suction flange", "oil", "--done", "--yes"];
    let (out, err, code) = asked(&log);
    assert_eq!(code, Some(0), "{out}{err}");
    let lines = |out: &str| out.matches("suction flange").count();
    let there = || {
        server.run("shop", "SELECT count(*) FROM clampbook.ledger WHERE row ? 'ledger' AND row::text LIKE '%24-017%' AND row::text LIKE '%suction flange%'")
    };
    let question = ["find", "suction flange"];
    let online = asked(&question);
    assert_eq!((online.1.as_str(), online.2), ("", Some(0)));
    let at_first: usize = there().trim().parse().unwrap();
    assert!(at_first > 0);

    server.stop();
    let (out, err, code) = asked(&question);
    assert_eq!((out, code), (online.0.clone(), online.2), "the same answer");
    assert!(err.contains("cannot be reached") && err.contains("not refreshed since"), "{err}");
    let (_, err, code) = asked(&["edit", "tern-40-pump-suction-flange-bolt-flange", "notes=x"]);
    assert_eq!(code, Some(4), "{err}");
    assert!(err.contains("Nothing was changed"), "{err}");
    assert_eq!(asked(&["log", "start", "24-018"]).2, Some(4));
    for remark in ["remarks=first", "remarks=second"] {
        let (out, err, code) = asked(&[&log[..], &[remark]].concat());
        assert_eq!(code, Some(0), "{out}{err}");
        assert!(out.contains("not sent yet"), "{out}");
    }
    let (shown, err, _) = asked(&["log", "show", "--format", "csv"]);
    assert!(shown.contains("first") || lines(&shown) > at_first, "{shown}");
    assert!(err.contains("not sent yet"), "{err}");
    let (_, err, code) = asked(&["log", "correct", "1", "remarks=other"]);
    assert_eq!(code, Some(4), "{err}");

    server.start();
    // Any look-up sends them.
    let (out, err, code) = asked(&question);
    assert_eq!((out, err.as_str(), code), (online.0, "", online.2));
    assert_eq!(there().trim().parse::<usize>().unwrap(), at_first * 3);
    let remarks = "SELECT string_agg(substring(row::text from '\"remarks\": \"(\\w+)\"'), ' ' ORDER BY place) FROM clampbook.ledger";
    let order = server.run("shop", remarks);
    let (first, second) = (order.rfind("first").unwrap(), order.find("second").unwrap());
    assert!(first < second, "{order}");
    let (shown, err, _) = asked(&["log", "show"]);
    assert!(!shown.contains("not sent yet") && err.is_empty(), "{shown}{err}");
    assert_eq!(asked(&question).2, Some(0));
    assert_eq!(there().trim().parse::<usize>().unwrap(), at_first * 3, "sent once");
    assert_eq!(asked(&["book", "verify"]).2, Some(0));
}
