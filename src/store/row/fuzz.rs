//! Rows of any bytes: an error, never a panic; what is read is written again
//! as it was read.
//!
//! `CLAMPBOOK_FUZZ_ROUNDS=2000 cargo test --release --lib row::fuzz` makes it longer.

use crate::record::{Basis, Fastener, Joint, Method, Pull, Setting, Tables};
use crate::store::codec::{decode, encode, encode_list};
use crate::store::image::NamesRow;
use crate::store::ledger::LedgerRow;
use crate::store::overlay::OverlayRow;
use crate::store::row::{FORM, Stored};
use crate::store::seal::Meta;

/// Rows that were written, of every kind of value.
fn samples() -> Vec<Vec<u8>> {
    let mut fastener = Fastener::new(Joint::named("Marlow 6", "head"), "stud, long");
    fastener.thread = crate::thread::Thread::parse("7/16-20 LH").ok();
    fastener.hole_thread = crate::thread::Thread::parse("M10x1.5-6g").ok();
    fastener.insert = Some(false);
    fastener.tags = vec!["race".to_owned(), "№ 7".to_owned()];
    fastener.reuse = Some(crate::record::Reuse::UpTo(300));
    fastener.strength.proof = crate::quantity::Stated::parse("165 ksi").ok();
    fastener.waist = crate::quantity::Stated::parse("7/16 in").ok();
    let mut setting = Setting::new(Method::TorqueAngle, Basis::Listed);
    setting.torque = crate::quantity::Extent::parse("65..70.5 lb-ft").ok();
    let passes = ["25 lb-ft", "60%", "+90°", "snug"];
    setting.passes = passes.into_iter().filter_map(crate::record::Pass::parse).collect();
    setting.entered_on = "2026-05-04".parse().ok();
    fastener.settings = vec![setting];
    let meta = Meta { form: FORM, generation: 7, next: 9, fasteners: 8, settings: 300 };
    vec![
        encode(&fastener).unwrap(),
        encode(&Tables::default()).unwrap(),
        encode(&meta).unwrap(),
        encode_list(&vec![fastener.clone(), fastener]).unwrap(),
    ]
}

/// Reads `bytes` as a row of `T`: if it is one, it is written as it was read,
/// and that reads back as the same bytes. Only a text with a character that cannot be
/// seen is not written once more.
fn comes_back<T: Stored>(bytes: &[u8]) -> bool {
    let Ok(row) = decode::<T>(bytes) else { return false };
    let again = match encode_list(&row) {
        Ok(again) => again,
        Err(why) => {
            assert!(why.0.contains("cannot be seen"), "{why:?}");
            return true;
        }
    };
    let row = decode::<T>(&again).expect("what was written is read");
    assert_eq!(encode_list(&row).unwrap(), again);
    true
}

fn as_everything(bytes: &[u8]) -> usize {
    [
        comes_back::<Fastener>(bytes),
        comes_back::<Vec<Fastener>>(bytes),
        comes_back::<Tables>(bytes),
        comes_back::<Meta>(bytes),
        comes_back::<Pull>(bytes),
        comes_back::<LedgerRow>(bytes),
        comes_back::<OverlayRow>(bytes),
        comes_back::<NamesRow>(bytes),
    ]
    .into_iter()
    .filter(|is_read| *is_read)
    .count()
}

#[test]
fn rows_of_any_bytes_are_an_error_or_sound() {
    let rounds = std::env::var("CLAMPBOOK_FUZZ_ROUNDS").ok().and_then(|n| n.parse().ok());
    let rounds: u64 = rounds.unwrap_or(20) * 200;
    let samples = samples();
    for sample in &samples {
        assert!(as_everything(sample) > 0);
    }
    let mut state = 7_u64;
    // splitmix64
    let mut roll = |below: usize| {
        state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % below.max(1) as u64) as usize
    };
    let (mut read, mut refused) = (0, 0);
    for round in 0..rounds {
        let mut bytes = samples[round as usize % samples.len()].clone();
        match roll(5) {
            0 => bytes = (0..roll(200)).map(|_| roll(256) as u8).collect(),
            1 => bytes.truncate(roll(bytes.len())),
            _ => {
                for _ in 0..=roll(3) {
                    let at = roll(bytes.len());
                    bytes[at] =
                        [roll(256) as u8, 251, 253, 255, 0, bytes[at].wrapping_add(1)][roll(6)];
                }
            }
        }
        if let Some(first) = bytes.first_mut() {
            *first = FORM;
        }
        let kinds = as_everything(&bytes);
        read += usize::from(kinds > 0);
        refused += usize::from(kinds == 0);
    }
    assert!(read > 0 && refused > 0, "{read} read, {refused} refused");
}

/// A member twice, or behind a later one, is damage.
#[test]
fn numbers_of_a_row_rise() {
    let meta = Meta { form: FORM, generation: 7, next: 9, fasteners: 8, settings: 5 };
    let row = encode(&meta).unwrap();
    assert_eq!(row, [FORM, 5, 1, FORM, 2, 7, 3, 9, 4, 8, 5, 5]);
    assert_eq!(decode::<Meta>(&row), Ok(meta));
    let spoiled = [
        vec![FORM, 6, 1, FORM, 2, 7, 2, 7, 3, 9, 4, 8, 5, 5],
        vec![FORM, 5, 2, 7, 1, FORM, 3, 9, 4, 8, 5, 5],
        vec![FORM, 4, 1, FORM, 2, 7, 3, 9, 4, 8],
        vec![FORM, 6, 1, FORM, 2, 7, 3, 9, 4, 8, 5, 5, 6, 1],
        vec![FORM, 5, 1, FORM, 2, 7, 3, 9, 4, 8, 5, 5, 0],
    ];
    for bytes in spoiled {
        assert!(decode::<Meta>(&bytes).is_err(), "{bytes:?}");
    }
}
