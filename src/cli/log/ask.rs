//! Asking on a terminal for what a line lacks; Enter leaves it as it is.

use crate::cli::dialog::line;
use crate::cli::exit::Failure;
use crate::cli::log::lines::{passes, set_all};
use crate::cli::out::Out;
use crate::record::{Method, Pull, Row};
use crate::store::Book;

/// A field that is asked for once for all lines: its name, whether a line lacks
/// it, and the words of the question.
type Common = (&'static str, fn(&Pull) -> bool, &'static str);

/// Asks for what was neither typed nor is known from the last entry: the
/// wrench and the lot once for all lines, passes and readings for each.
pub(super) fn missing(
    pulls: &mut [Pull],
    rows: &[Row],
    pairs: &[(&str, &str)],
    book: &Book,
    out: &mut Out,
) -> Result<(), Failure> {
    let is_typed = |field: &str| pairs.iter().any(|(typed, _)| *typed == field);
    let common: [Common; 2] = [
        ("wrench", |pull| pull.wrench.is_none(), "wrench"),
        ("lot", |pull| pull.lot.is_none() && pull.lube.is_some(), "lot or tin of the lube"),
    ];
    for (field, lacks, words) in common {
        if !is_typed(field) && pulls.iter().any(lacks) {
            let needy: Vec<usize> = (0..pulls.len()).filter(|at| lacks(&pulls[*at])).collect();
            until_read(out, &format!("{words} (Enter leaves it)"), &mut |text| {
                for at in &needy {
                    set_all(&mut pulls[*at], &[(field, text)], book)?;
                }
                Ok(())
            })?;
        }
    }
    for (pull, row) in pulls.iter_mut().zip(rows) {
        if pull.passes.is_empty() && !is_typed("passes") {
            let ticked = passes(book, row, pull)?;
            let names: Vec<&str> = ticked.iter().map(|pass| pass.to.as_str()).collect();
            let question =
                format!("{}: {} done? (y, Enter leaves it) ", row.fastener.part, names.join(", "));
            if !ticked.is_empty()
                && matches!(line(&question, out)?.as_deref(), Some("y" | "Y" | "yes"))
            {
                pull.passes = ticked;
            }
        }
        if pull.reached.is_empty() && !is_typed("reached") {
            let example = match row.setting.method {
                Method::Stretch => "1: stretch 0.0057 in; 2: …",
                Method::Torque | Method::TorqueAngle | Method::Angle => {
                    "65 lb-ft, or 1: 65 lb-ft; 2: …"
                }
            };
            let question =
                format!("{}: reached, such as {example} (Enter leaves it)", row.fastener.part);
            until_read(out, &question, &mut |text| set_all(pull, &[("reached", text)], book))?;
        }
    }
    Ok(())
}

/// Asks until the answer can be read or is empty.
fn until_read(
    out: &mut Out,
    question: &str,
    take: &mut dyn FnMut(&str) -> Result<(), Failure>,
) -> Result<(), Failure> {
    loop {
        let Some(text) = line(&format!("{question}: "), out)?.filter(|text| !text.is_empty())
        else {
            return Ok(());
        };
        match take(&text) {
            Ok(()) => return Ok(()),
            Err(Failure::Argument(why) | Failure::Input(why)) => out.complain(&why),
            Err(other) => return Err(other),
        }
    }
}
