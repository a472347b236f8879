//! Whole numbers in as few bytes as they need: seven bits to a byte, the
//! lowest first, the high bit set on all but the last.

pub(crate) fn put(mut value: u64, out: &mut Vec<u8>) {
    while value >= 0x80 {
        out.push(value as u8 | 0x80);
        value >>= 7;
    }
    out.push(value as u8);
}

/// Takes a number off the front of `bytes`; `None` if it is cut off or too long.
pub(crate) fn take(bytes: &mut &[u8]) -> Option<u64> {
    let mut value = 0u64;
    for shift in (0..64).step_by(7) {
        let (&byte, rest) = bytes.split_first()?;
        *bytes = rest;
        value |= u64::from(byte & 0x7f) << shift;
        if byte < 0x80 {
            return Some(value);
        }
    }
    None
}

/// The same for a number that must fit 32 bits.
pub(crate) fn take_u32(bytes: &mut &[u8]) -> Option<u32> {
    take(bytes).and_then(|value| u32::try_from(value).ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_come_back() {
        for value in [0, 1, 127, 128, 300, u64::from(u32::MAX), u64::MAX] {
            let mut bytes = Vec::new();
            put(value, &mut bytes);
            let mut rest = bytes.as_slice();
            assert_eq!(take(&mut rest), Some(value));
            assert!(rest.is_empty());
            assert_eq!(take(&mut &bytes[..bytes.len() - 1]), None);
        }
        assert_eq!(take(&mut [0xff; 12].as_slice()), None);
    }
}
