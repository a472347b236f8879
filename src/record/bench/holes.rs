//! Hole numbers as people write them: "1 to 14", "19 and 20", "1, 3, 5 to 8".

use crate::record::Fastener;
use crate::text::Plain;

const MOST: usize = 400;

/// The hole numbers that `text` names, rising, each once; words after them may
/// say more ("1 to 8, front to rear"). None if it begins with a word ("caps 1
/// to 7": the numbers are not holes) or a number makes no sense.
pub fn hole_numbers(text: &str) -> Option<Vec<usize>> {
    let plain = Plain::new(text);
    let text = plain.as_str().trim();
    if !text.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let mut holes = Vec::new();
    let pieces = text.split([',', ';', '&']).flat_map(|piece| piece.split(" and "));
    for piece in pieces.map(str::trim) {
        if !piece.contains(|c: char| c.is_ascii_digit()) {
            continue;
        }
        let (from, to) = span(piece)?;
        let sound = 0 < from && from <= to && to <= MOST;
        if !sound {
            return None;
        }
        holes.extend(from..=to);
    }
    holes.sort_unstable();
    holes.dedup();
    Some(holes)
}

/// The holes that `fastener` goes into; none where its positions name no numbers.
pub fn own_holes(fastener: &Fastener) -> Option<Vec<usize>> {
    fastener.positions.as_deref().and_then(hole_numbers)
}

/// Whether an order over `holes` holes is that of `fastener`: its holes are among them,
/// or there are as many of it.
pub fn is_of_order(fastener: &Fastener, holes: usize) -> bool {
    match own_holes(fastener) {
        Some(own) => own.iter().all(|hole| *hole <= holes),
        None => {
            fastener.group.is_some() || fastener.count.is_none_or(|count| count as usize == holes)
        }
    }
}

/// `5`, `5 to 8`, `5-8` or `5..8`.
fn span(piece: &str) -> Option<(usize, usize)> {
    let ends = ["..", " to ", "-"].into_iter().find_map(|between| piece.split_once(between));
    let (from, to) = ends.unwrap_or((piece, piece));
    Some((from.trim().parse().ok()?, to.trim().parse().ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn holes_as_people_write_them() {
        let cases: &[(&str, &[usize])] = &[
            ("1 to 4", &[1, 2, 3, 4]),
            ("19 and 20", &[19, 20]),
            ("1, 3, 5–7", &[1, 3, 5, 6, 7]),
            ("1..3", &[1, 2, 3]),
            ("1 to 4, front to rear", &[1, 2, 3, 4]),
            ("2", &[2]),
            ("3, 1, 3", &[1, 3]),
        ];
        for (text, holes) in cases {
            assert_eq!(hole_numbers(text).as_deref(), Some(*holes), "{text}");
        }
    }

    #[test]
    fn numbers_of_other_things_are_not_holes() {
        for text in
            ["caps 1 to 7", "each of four wheels", "", "4 to 2", "0 to 3", "1 to 9999", "1 to x"]
        {
            assert_eq!(hole_numbers(text), None, "{text}");
        }
    }
}
