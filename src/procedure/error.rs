//! Why there are no passes, no order or no setting.

use std::fmt::Write as _;

use crate::quantity::{NEWTON_METRE, Quantity, Torque, Unit};

/// Each names what was read and what to do.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ProcedureError {
    #[error("{field} is {found}: write a {expected} above 0")]
    NotPositive {
        field: &'static str,
        /// What was read, in N·m or mm.
        found: f64,
        expected: &'static str,
    },
    #[error("{field} is {found}: write {low} to {high}")]
    OutOfRange { field: &'static str, found: usize, low: usize, high: usize },
    #[error("passes must rise to 100 % of the final torque, but pass {pass} is {percent} %")]
    NotRising {
        /// Which pass, from 1.
        pass: usize,
        percent: f64,
    },
    #[error(
        "wrench reads from {low:.1} N·m to {high:.1} N·m in steps of {step:.1} N·m: \
         the low mark must be under the full scale, the step no more than it"
    )]
    BadScale { low: f64, high: f64, step: f64 },
    #[error("{}", listed_message(*holes, twice, never, unknown))]
    NotEachOnce { holes: usize, twice: Vec<usize>, never: Vec<usize>, unknown: Vec<usize> },
    #[error("holes {first} and {second} are in the same place: correct the layout")]
    SamePlace { first: usize, second: usize },
    #[error("hole {0} has no place: write both coordinates as lengths")]
    NoPlace(usize),
}

fn listed_message(holes: usize, twice: &[usize], never: &[usize], unknown: &[usize]) -> String {
    let mut text = format!("sequence of {holes} names ");
    let mut first = true;
    for (numbers, ending) in [(twice, " twice"), (never, " never"), (unknown, ", not a hole")] {
        for number in numbers {
            let comma = if std::mem::take(&mut first) { "" } else { ", " };
            // Invariant: writing to a String cannot fail.
            let _ = write!(text, "{comma}bolt {number}{ending}");
        }
    }
    text
}

/// `torque` in `unit` with one place, for messages; in N·m if `unit` measures
/// something else.
pub(crate) fn shown(torque: Torque, unit: &'static Unit) -> String {
    let written =
        Quantity::rounded(torque, unit, 1).or_else(|| Quantity::rounded(torque, NEWTON_METRE, 1));
    written.map_or_else(
        || "not a torque".to_owned(),
        |quantity| quantity.to_string().replace(".0 ", " "),
    )
}

/// `torque` in N·m if it can be a torque; `field` names it in an error.
pub(crate) fn torque_above_0(field: &'static str, torque: Torque) -> Result<f64, ProcedureError> {
    let found = torque.nm();
    if (1e-6..=1e9).contains(&found) {
        return Ok(found);
    }
    Err(ProcedureError::NotPositive { field, found, expected: "torque" })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_kind_of_error_says_what_is_wrong() {
        let cases = [
            (
                ProcedureError::NotPositive { field: "torque", found: 0.0, expected: "torque" },
                "torque is 0: write a torque above 0",
            ),
            (
                ProcedureError::OutOfRange { field: "holes", found: 2, low: 3, high: 400 },
                "holes is 2: write 3 to 400",
            ),
            (
                ProcedureError::NotRising { pass: 2, percent: 40.0 },
                "passes must rise to 100 % of the final torque, but pass 2 is 40 %",
            ),
            (
                ProcedureError::BadScale { low: 100.0, high: 20.0, step: 1.0 },
                "wrench reads from 100.0 N·m to 20.0 N·m in steps of 1.0 N·m: the low mark must \
                 be under the full scale, the step no more than it",
            ),
            (
                ProcedureError::NotEachOnce {
                    holes: 12,
                    twice: vec![4],
                    never: vec![9],
                    unknown: vec![],
                },
                "sequence of 12 names bolt 4 twice, bolt 9 never",
            ),
            (
                ProcedureError::SamePlace { first: 3, second: 7 },
                "holes 3 and 7 are in the same place: correct the layout",
            ),
            (ProcedureError::NoPlace(4), "hole 4 has no place: write both coordinates as lengths"),
        ];
        for (error, message) in cases {
            assert_eq!(error.to_string(), message);
        }
    }
}
