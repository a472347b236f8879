//! Texts of fields, made from their rows of the table.

#![allow(dead_code, unreachable_pub)] // each group uses its part

use clampbook::quantity::Dimension;
use clampbook::record::{Field, FieldKind};

/// Texts of fields that have a notation of their own. A new field needs one only if
/// it does.
pub const OWN: &[(&str, &str)] = &[
    ("passes", "20 N·m, 40 N·m, +90°"),
    ("angle", "+90° +45°"),
    ("reuse", "up to 5 cycles"),
    ("order", "1, 3, 2, 4"),
    ("bearing-outer", "18 mm"),
    ("bearing-hole", "11 mm"),
    // A figure that is not cited is the shop's.
    ("basis", "chart"),
    ("unit", "ksi"),
    ("from", "over M6"),
    ("to", "M12"),
    // Of a log line, whose passes are done.
    ("passes", "45 lb-ft done"),
    ("reached", "1: 65 lb-ft; 2: 66 lb-ft"),
    ("calibrated", "2026-01-10"),
    ("bolts", "1: new 1.9986 in, mark A, earlier 2; 2"),
    ("k", "0.15"),
    ("mu-thread", "0.15"),
    ("mu-bearing", "0.15"),
];

/// A text of `field`, made from its row of the table.
pub fn made(field: &Field) -> String {
    if let Some((_, text)) = OWN.iter().find(|(name, _)| *name == field.name) {
        return (*text).to_owned();
    }
    match field.kind {
        FieldKind::Text => format!("some {}", field.name),
        FieldKind::List => format!("one {}", field.name),
        FieldKind::Choice(words) => (*words.last().unwrap()).to_owned(),
        FieldKind::Number => "7".to_owned(),
        FieldKind::Share => "5%".to_owned(),
        FieldKind::Thread => "M12x1.5".to_owned(),
        FieldKind::Lube => "moly".to_owned(),
        FieldKind::Strength => "8.8".to_owned(),
        FieldKind::Flag => "yes".to_owned(),
        FieldKind::Day => "2026-03-02".to_owned(),
        FieldKind::Quantity(Dimension::Torque) => "41 N·m".to_owned(),
        FieldKind::Quantity(Dimension::Length) => "12.5 mm".to_owned(),
        FieldKind::Quantity(Dimension::Stress) => "640 MPa".to_owned(),
        FieldKind::Quantity(Dimension::Force) => "20 kN".to_owned(),
        FieldKind::Quantity(Dimension::Angle) => "90°".to_owned(),
        FieldKind::Quantity(other) => panic!("say in `made` how a {} is written", other.name()),
    }
}
