//! Long files read piece by piece give what the same file gives in memory.

use std::fmt::Write as _;
use std::io::Write as _;
use std::ops::ControlFlow;

use crate::support::tables;
use clampbook::intake::{
    EmptyBook, IntakeError, Options, Report, Sink, open_csv, read_csv, take, take_into,
};
use clampbook::record::Fastener;

/// A file of about 700 kB: quoted cells with line ends and quotes that mean
/// inches, rows of one fastener far apart, and bad cells here and there.
fn long_text() -> String {
    let mut text = String::from(
        "Tørque book\r\nAssembly,Joint,Part,Gasket,Thread,Lube,Torque (lb-ft),Notes\r\n",
    );
    for row in 0..2400 {
        let (joint, part) = (row % 600 / 10, row % 10);
        let lube = ["oil", "moly", "dry", "anti-seize"][row / 600];
        let gasket = if row % 600 == 7 { "steel" } else { "" };
        let notes = match row % 5 {
            0 => "\"two\r\nlines, and 3/8\"\" \"",
            1 => "3/8\" drive",
            _ => {
                "plain words about this row; long enough that the whole of them fills several pieces of the \
                  file; and some more; and with a letter that is two bytes long in one encoding; é; \
                  and then some more again; so that few rows are enough for the test"
            }
        };
        let torque = if row % 397 == 5 { "7O".to_owned() } else { (20 + row / 100).to_string() };
        write!(
            text,
            "Marlow {},joint {joint},bolt {part},{gasket},7/16-20,{lube},{torque},{notes}\r\n",
            joint / 20
        )
        .unwrap();
    }
    text
}

fn both(bytes: &[u8]) -> [(Vec<Fastener>, Report); 2] {
    let mut file = tempfile::NamedTempFile::new().unwrap();
    file.write_all(bytes).unwrap();
    let whole = read_csv(bytes, "long.csv").unwrap();
    let pieces = open_csv(file.path(), "long.csv").unwrap();
    [whole, pieces].map(|sheet| {
        let mut fasteners = Vec::new();
        let report = take_into(&sheet, &tables(), &Options::default(), &EmptyBook, &mut fasteners);
        fasteners.sort_by(|one: &Fastener, two| one.key.cmp(&two.key));
        (fasteners, report.unwrap())
    })
}

#[test]
fn pieces_and_the_whole_agree() {
    let text = long_text();
    assert!(text.len() > 256 * 1024, "more than one piece");
    let utf16: Vec<u8> =
        [0xff, 0xfe].into_iter().chain(text.encode_utf16().flat_map(u16::to_le_bytes)).collect();
    let windows: Vec<u8> = text.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect();
    for bytes in [text.clone().into_bytes(), utf16, windows] {
        let [(whole, whole_report), (pieces, pieces_report)] = both(&bytes);
        assert_eq!(whole_report.encoding, pieces_report.encoding);
        assert_eq!(whole_report.rows, 2400);
        assert_eq!(whole.len(), 600);
        assert_eq!(whole, pieces);
        // Of a long file, doubts are told for each fastener only; of each reason
        // the first thousand are kept, which need not be the same.
        let words = |report: &Report| {
            let kept =
                report.verdicts.iter().filter(|cell| cell.verdict.is_bad() || cell.code == "basis");
            kept.cloned().collect::<Vec<_>>()
        };
        assert_eq!(words(&whole_report), words(&pieces_report));
        assert_eq!(whole_report.bad_rows, pieces_report.bad_rows);
        assert_eq!(whole_report.bad_rows.len(), 7);
        let first = &whole[0];
        assert_eq!(first.joint.gasket.as_deref(), Some("steel"), "said in a row of another bolt");
        assert_eq!(first.settings.len(), 4);
    }
}

#[test]
fn a_quote_left_open_does_not_take_the_whole_file() {
    let mut file = tempfile::NamedTempFile::new().unwrap();
    file.write_all(b"Assembly,Joint,Part\nA,B,\"C\n").unwrap();
    let line = format!("A,B,{}\n", "C".repeat(100));
    for _ in 0..2000 {
        file.write_all(line.as_bytes()).unwrap();
    }
    let sheet = open_csv(file.path(), "long.csv").unwrap();
    let open = take(&sheet, &tables(), &Options::default(), &EmptyBook);
    assert!(matches!(open, Err(IntakeError::OpenQuote { line: 2, column: 3, .. })), "{open:?}");
}

#[test]
fn what_is_no_text_is_found_in_a_file_too() {
    let open = |bytes: &[u8]| {
        let mut file = tempfile::NamedTempFile::new().unwrap();
        file.write_all(bytes).unwrap();
        open_csv(file.path(), "x.csv").map(|sheet| sheet.pages.len())
    };
    assert!(matches!(open(b"Assembly,Joint\nA\0"), Err(IntakeError::Nul { line: 2, .. })));
    assert!(matches!(open(b"  \n"), Err(IntakeError::Empty { .. })));
    assert!(matches!(open(b"\xff\xfeA\x00\x00\xd8"), Err(IntakeError::BrokenUtf16 { .. })));
    assert_eq!(open(b"Assembly,Joint,Part\n").unwrap(), 1);
    let missing = open_csv(std::path::Path::new("/no/such/file.csv"), "file.csv");
    assert!(matches!(missing, Err(IntakeError::Read { .. })));
}

#[test]
fn a_file_changed_while_it_is_read_is_named() {
    let mut file = tempfile::NamedTempFile::new().unwrap();
    let text = "Assembly,Joint,Part\nA,B,C\n".to_owned() + &"A,B,D\n".repeat(60_000);
    file.write_all(text.as_bytes()).unwrap();
    let sheet = open_csv(file.path(), "shop.csv").unwrap();
    // Another program saves it as Windows-1252 in the meantime.
    let mut changed = text.into_bytes();
    let at = changed.len() - 4;
    changed[at] = 0xe9;
    std::fs::write(file.path(), changed).unwrap();
    let taken = take(&sheet, &tables(), &Options::default(), &EmptyBook);
    let error = taken.unwrap_err();
    assert!(matches!(error, IntakeError::NotUtf8 { line: 60_002, .. }), "{error:?}");
    let error = error.to_string();
    assert!(error.starts_with("shop.csv, line 60002: ") && error.contains("; close it"), "{error}");
}

/// Takes fasteners and counts how often it had to forget them.
#[derive(Default)]
struct Basket {
    fasteners: Vec<Fastener>,
    over: usize,
    shares: Vec<f64>,
    most: usize,
}

impl Sink for Basket {
    fn put(&mut self, fastener: Fastener) -> ControlFlow<()> {
        self.fasteners.push(fastener);
        if self.fasteners.len() == self.most {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    }
    fn start_over(&mut self) {
        self.fasteners.clear();
        self.over += 1;
    }
    fn walked(&mut self, share: f64) {
        self.shares.push(share);
    }
}

/// 24,000 rows, two to a bolt; `change` may move or alter the cells of a row:
/// bolt, gasket and torque.
fn many_rows(change: impl Fn(usize, &mut usize, &mut &str, &mut &str)) -> String {
    let mut text = String::from("Assembly,Joint,Part,Gasket,Thread,Lube,Torque,Source,Page\n");
    for row in 0..24_000 {
        let (mut bolt, mut gasket, mut torque) = (row / 2, "", "30 lb-ft");
        change(row, &mut bolt, &mut gasket, &mut torque);
        let (joint, lube) =
            (bolt / 8, ["oil", "moly", "dry"][if bolt == row / 2 { row % 2 } else { 2 }]);
        writeln!(
            text,
            "Marlow {},joint {joint},bolt {bolt},{gasket},M10x1.5,{lube},{torque},Sheet,1",
            joint / 9
        )
        .unwrap();
    }
    text
}

/// The file read piece by piece, held against the same text held in memory.
fn walk_both_ways(text: &str) -> (Basket, Report) {
    let mut file = tempfile::NamedTempFile::new().unwrap();
    file.write_all(text.as_bytes()).unwrap();
    let sheet = open_csv(file.path(), "long.csv").unwrap();
    let (tables, options) = (tables(), Options::default());
    let held = read_csv(text.as_bytes(), "long.csv").unwrap();
    let mut whole = take(&held, &tables, &options, &EmptyBook).unwrap();
    let mut basket = Basket::default();
    let report = take_into(&sheet, &tables, &options, &EmptyBook, &mut basket).unwrap();
    whole.fasteners.sort_by(|one, two| one.key.cmp(&two.key));
    basket.fasteners.sort_by(|one, two| one.key.cmp(&two.key));
    assert!(basket.fasteners == whole.fasteners, "the same fasteners");
    assert_eq!(report.bad_rows, whole.bad_rows);
    assert_eq!(report.changes, whole.changes);
    // Of a long file, doubts are asked for each fastener by itself only.
    assert!(report.bad_cells().eq(whole.bad_cells()));
    assert_eq!(report.counts.refused, whole.counts.refused);
    assert!(basket.shares.is_sorted() || basket.over > 0);
    assert!(basket.shares.last().is_some_and(|share| *share > 0.9 && *share <= 1.0));
    (basket, report)
}

#[test]
fn a_long_file_is_walked_once_where_that_is_enough() {
    let (basket, report) = walk_both_ways(&many_rows(|_, _, _, _| {}));
    assert_eq!((basket.over, basket.fasteners.len(), report.rows), (0, 12_000, 24_000));
    let bad = many_rows(|row, _, _, torque| {
        if row % 1000 == 7 {
            *torque = "7O lb-ft";
        }
    });
    let (basket, report) = walk_both_ways(&bad);
    assert_eq!((basket.over, report.bad_rows.len()), (0, 24));
}

#[test]
fn rows_far_apart_are_brought_together_all_the_same() {
    let late_row = many_rows(|row, bolt, _, _| {
        if row == 23_000 {
            *bolt = 3;
        }
    });
    let (basket, _) = walk_both_ways(&late_row);
    assert_eq!(basket.over, 1);
    let third = basket.fasteners.iter().find(|one| one.part == "bolt 3").unwrap();
    assert_eq!(third.settings.len(), 3);
    // A row of a new bolt tells of a joint whose other bolts are long past.
    let late_gasket = format!(
        "{}Marlow 0,joint 0,stud,copper,M10x1.5,oil,30 lb-ft,Sheet,1\n",
        many_rows(|_, _, _, _| {})
    );
    let (basket, _) = walk_both_ways(&late_gasket);
    assert_eq!(basket.over, 1);
    let first = basket.fasteners.iter().find(|one| one.part == "bolt 0").unwrap();
    assert_eq!(first.joint.gasket.as_deref(), Some("copper"));
    // A row that is not taken tells nothing of its joint.
    let refused = many_rows(|row, _, gasket, torque| {
        if row == 5 {
            (*gasket, *torque) = ("copper", "7O lb-ft");
        }
    });
    let (basket, _) = walk_both_ways(&refused);
    assert_eq!(basket.over, 0);
    assert!(basket.fasteners.iter().all(|one| one.joint.gasket.is_none()));
}

#[test]
fn a_sink_that_takes_no_more_ends_the_walk() {
    let mut file = tempfile::NamedTempFile::new().unwrap();
    file.write_all(many_rows(|_, _, _, _| {}).as_bytes()).unwrap();
    let sheet = open_csv(file.path(), "long.csv").unwrap();
    let mut basket = Basket { most: 10, ..Basket::default() };
    let report =
        take_into(&sheet, &tables(), &Options::default(), &EmptyBook, &mut basket).unwrap();
    assert_eq!(basket.fasteners.len(), 10);
    assert!(report.rows < 12_000, "{} rows", report.rows);
}
