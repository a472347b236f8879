//! One change through a connection that is cut after n bytes, for n all along what is
//! said for it: the answer is true, wherever the cut falls.

use std::sync::atomic::Ordering;
use std::time::Duration;

use clampbook::record::Fastener;
use clampbook::store::{Change, StoreError, Writer};

use crate::proxy::Proxy;
use crate::{bench, kept, sample};

const WAIT: Duration = Duration::from_secs(5);

fn noted(nth: u64) -> Fastener {
    Fastener { notes: Some(nth.to_string()), ..sample::numbered(7) }
}

#[test]
fn wherever_a_connection_is_cut_the_answer_is_true() {
    let Some(server) = kept::started("") else { return };
    let direct = kept::database(&server, "cuts");
    let folder = tempfile::tempdir().unwrap();
    let mut first = Writer::create(&folder.path().join("first")).unwrap();
    first.apply(vec![noted(0).into()]).unwrap();
    let here = folder.path().join("here");
    kept::at(&direct).copy(first.book(), &here, WAIT).unwrap();
    // [stored, not stored], each where the connection was cut and where it was not.
    let (mut whole, mut cut) = ([0, 0], [0, 0]);
    let (mut nth, mut limit) = (0, 400);
    // Until the limit is behind all that is said for a change, three times.
    while whole[0] < 3 {
        nth += 1;
        limit += 173;
        // The first connection is cut; whoever asks after it is not.
        let most = limit;
        let proxy = Proxy::new(server.port(), move |n| if n == 0 { most } else { i64::MAX });
        let url = direct.replace(&server.port().to_string(), &proxy.port.to_string());
        let line = clampbook::record::Pull { remarks: Some(nth.to_string()), ..bench::line(1) };
        let mut writer = kept::at(&url).writer(&here, WAIT).unwrap();
        let both = vec![noted(nth).into(), Change::AppendPulls(vec![line])];
        let done = writer.apply(both);
        drop(writer);
        let counts = if proxy.cuts.load(Ordering::Relaxed) > 0 { &mut cut } else { &mut whole };
        let is_stored = match &done {
            Ok(_) | Err(StoreError::Stored(_)) => true,
            Err(StoreError::Unreachable { .. }) => false,
            Err(other) => panic!("cut after {limit} bytes: {other}"),
        };
        counts[usize::from(!is_stored)] += 1;
        // The server's own word, not what we fetched.
        let sql = format!(
            "SELECT (SELECT row->'fastener'->>'notes' = '{nth}' FROM clampbook.fasteners), (SELECT \
             count(*) FROM clampbook.ledger WHERE row->'ledger'->'bench'->'change'->'pull'->>\
             'remarks' = '{nth}')"
        );
        let there = server.run("cuts", &sql);
        let expected = if is_stored { "t|1" } else { "f|0" };
        assert_eq!(there.trim(), expected, "cut after {limit} bytes: {done:?}");
        assert!(kept::at(&direct).refresh(&here, WAIT).unwrap().is_none());
        assert!(nth < 400, "no connection stays whole");
    }
    println!("[stored, not]: whole {whole:?}, cut {cut:?}");
    // A cut behind the commit, found out by asking; one before it.
    assert!(cut[0] > 0 && cut[1] > 5 && whole[1] == 0, "whole {whole:?}, cut {cut:?}");
}
