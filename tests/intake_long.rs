//! Long files read piece by piece give what the same file gives in memory.

#![allow(clippy::unwrap_used, clippy::expect_used)] // a test may end where it stands

mod intake_support;

use std::fmt::Write as _;
use std::io::Write as _;

use clampbook::intake::{
    EmptyBook, IntakeError, Options, Report, open_csv, read_csv, take, take_each,
};
use clampbook::record::Fastener;
use intake_support::tables;

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
        let torque = if row % 397 == 5 { "tight".to_owned() } else { (20 + row / 100).to_string() };
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
        let report = take_each(&sheet, &tables(), &Options::default(), &EmptyBook, &mut |one| {
            fasteners.push(one);
        });
        fasteners.sort_by(|one, two| one.key.cmp(&two.key));
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
        assert_eq!(whole_report.verdicts, pieces_report.verdicts);
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
        open_csv(file.path(), "x.csv").map(|sheet| sheet.headings.len())
    };
    assert!(matches!(open(b"Assembly,Joint\nA\0"), Err(IntakeError::Nul { line: 2, .. })));
    assert!(matches!(open(b"  \n"), Err(IntakeError::Empty { .. })));
    assert!(matches!(open(b"\xff\xfeA\x00\x00\xd8"), Err(IntakeError::BrokenUtf16 { .. })));
    assert_eq!(open(b"Assembly,Joint,Part\n").unwrap(), 3);
    let missing = open_csv(std::path::Path::new("/no/such/file.csv"), "file.csv");
    assert!(matches!(missing, Err(IntakeError::Read { .. })));
}
