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
    let scale = ["low=20 N.m", "high=200 N.m", "graduation=1 N.m", "calibrated=2026-01-10"];
    assert_eq!(asked(&[&["add", "wrench", "W3"], &scale[..]].concat()).2, Some(0));
    let log = ["log", "add", "suction flange", "oil", "--done", "--yes", "wrench=W3"];
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
    assert!(err.contains("correct the line once the server is there"), "{err}");
    // Wherever such a line is listed.
    let far = [&log[..], &["reached=1: 190 N.m", "remarks=third"]].concat();
    assert_eq!(asked(&far).2, Some(0));
    for listing in ["off-target", "show", "export", "wrench W3", "show --since 2026-05-01"] {
        let words: Vec<&str> = std::iter::once("log").chain(listing.split(' ')).collect();
        let (out, _, code) = asked(&words);
        assert_eq!(code, Some(0), "{listing}\n{out}");
        assert!(out.contains("not sent"), "{listing}\n{out}");
    }
    // `check` has its own words for it.
    assert_eq!(asked(&[&log[..], &["lube=moly"]].concat()).2, Some(0));
    let (out, _, code) = asked(&["check", "--format", "json"]);
    assert!(out.contains("log line not sent yet: moly was put on") && code == Some(1), "{out}");
    let (info, _, _) = asked(&["book", "info", "--format", "json"]);
    assert!(info.contains("\"not_sent_yet\":4"), "{info}");

    server.start();
    // Any look-up sends them.
    let (out, err, code) = asked(&question);
    assert_eq!((out, err.as_str(), code), (online.0, "", online.2));
    assert_eq!(there().trim().parse::<usize>().unwrap(), at_first * 5);
    let remarks = "SELECT string_agg(substring(row::text from '\"remarks\": \"(\\w+)\"'), ' ' ORDER BY place) FROM clampbook.ledger";
    let order = server.run("shop", remarks);
    let (first, second) = (order.rfind("first").unwrap(), order.find("second").unwrap());
    assert!(first < second, "{order}");
    let (shown, err, _) = asked(&["log", "show"]);
    assert!(!shown.contains("not sent yet") && err.is_empty(), "{shown}{err}");
    assert_eq!(asked(&question).2, Some(0));
    assert_eq!(there().trim().parse::<usize>().unwrap(), at_first * 5, "sent once");
    assert_eq!(asked(&["book", "verify"]).2, Some(0));
}

/// Two benches log without the server; each sends its own when it is back. The server
/// says in which order they came, each bench's own stay in theirs.
#[test]
fn two_benches_send_what_waited() {
    let Some(server) = kept::started("") else { return };
    let url = kept::database(&server, "shop");
    let shops = [demo_shop(), demo_shop()];
    let folder = shops[0].path().join("data/clampbook");
    let (out, err, code) = run(shops[0].path(), &["book", "copy", folder.to_str().unwrap(), &url]);
    assert_eq!(code, Some(0), "{out}{err}");
    let asked = |bench: usize, words: &[&str]| {
        run(shops[bench].path(), &[&["--book", &url], words].concat())
    };
    assert_eq!(asked(0, &["log", "start", "24-017"]).2, Some(0));
    assert_eq!(asked(1, &["find", "suction flange"]).2, Some(0));
    server.stop();
    let log = ["log", "add", "suction flange", "oil", "--done", "--yes"];
    for nth in 0..3 {
        for bench in [0, 1] {
            // The clock of the second bench is an hour behind, as its lines then say.
            let at = format!("2026-05-04T{:02}:0{nth}:00Z", 10 - bench);
            let remarks = format!("remarks=bench-{bench}-{nth}");
            let (out, err, code) = asked(bench, &[&log[..], &["--at", &at, &remarks]].concat());
            assert_eq!(code, Some(0), "{out}{err}");
        }
    }
    server.start();
    for bench in [1, 0, 1] {
        let (out, err, code) = asked(bench, &["log", "show", "--format", "csv"]);
        assert_eq!((err.as_str(), code), ("", Some(0)), "{out}");
    }
    let shown: Vec<String> = [0, 1].map(|bench| asked(bench, &["log", "show"]).0).into();
    assert_eq!(shown[0], shown[1]);
    let (text, _, _) = asked(0, &["log", "export"]);
    let mut of_each = [Vec::new(), Vec::new()];
    for (_, word) in text.match_indices("bench-").map(|(at, _)| (at, &text[at..at + 9])) {
        of_each[usize::from(&word[6..7] == "1")].push(word[8..].to_owned());
    }
    let lines = of_each[0].len() / 3;
    assert!(lines > 0, "{text}");
    let expected: Vec<String> = (0..3).flat_map(|nth| vec![format!("{nth}"); lines]).collect();
    assert_eq!(of_each, [expected.clone(), expected], "{text}");
}

/// A server that does not take the lines, and a file of them that was damaged: look-ups go
/// on, it is said, and what is whole gets there.
#[test]
fn what_cannot_be_sent_is_said_and_stays() {
    let Some(server) = kept::started("") else { return };
    let url = kept::database(&server, "shop");
    let shop = demo_shop();
    let home = shop.path();
    let folder = home.join("data/clampbook");
    let (out, err, code) = run(home, &["book", "copy", folder.to_str().unwrap(), &url]);
    assert_eq!(code, Some(0), "{out}{err}");
    let asked = |words: &[&str]| run(home, &[&["--book", &url], words].concat());
    assert_eq!(asked(&["log", "start", "24-017"]).2, Some(0));
    server.stop();
    let log = ["log", "add", "suction flange", "oil", "--done", "--yes"];
    for remark in ["remarks=first", "remarks=second", "remarks=third"] {
        assert_eq!(asked(&[&log[..], &[remark]].concat()).2, Some(0));
    }
    server.start();
    server.run("shop", "REVOKE INSERT ON clampbook.ledger FROM bench");
    let question = ["find", "suction flange"];
    for _ in 0..2 {
        let (out, err, code) = asked(&question);
        assert_eq!(code, Some(0), "{out}{err}");
        assert!(err.contains("permission denied") && err.contains("lines of the log"), "{err}");
    }
    let (_, err, code) = asked(&log);
    assert!(code == Some(4) && err.contains("permission denied"), "{err}");
    server.run("shop", "GRANT INSERT ON clampbook.ledger TO bench");
    // A byte of the second entry rots.
    let caches = std::fs::read_dir(home.join(".cache/clampbook")).unwrap();
    let unsent = caches.flatten().next().unwrap().path().join("unsent");
    let text = std::fs::read_to_string(&unsent).unwrap();
    std::fs::write(&unsent, text.replacen("second", "sacond", 1)).unwrap();
    let (out, err, code) = asked(&question);
    assert_eq!(code, Some(0), "{out}{err}");
    assert!(err.contains("`unsent`"), "{err}");
    let (out, err, code) = asked(&["book", "restore", "--yes"]);
    assert_eq!(code, Some(0), "{out}{err}");
    assert!(out.contains("`damaged`") && err.contains("lost"), "{out}{err}");
    let kept = std::fs::read_to_string(unsent.with_file_name("damaged").join("unsent")).unwrap();
    assert!(kept.contains("sacond"), "{kept}");
    let (out, err, code) = asked(&question);
    assert_eq!((err.as_str(), code), ("", Some(0)), "{out}");
    let (text, _, _) = asked(&["log", "export"]);
    let at = |word: &str| text.find(word);
    assert!(at("first") < at("third") && at("first").is_some(), "{text}");
    assert!(at("econd").is_none(), "{text}");
}
