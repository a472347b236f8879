//! `tour`: the demo shop in seven steps, each a command that is shown and run.

use crate::cli::exit::{Code, Failure};
use crate::cli::out::Out;
use crate::cli::{dialog, open, seed};

const STEPS: [(&str, &[&str]); 7] = [
    (
        "A figure: words of the joint, in any order. LISTED is what the maker's sheet says.",
        &["find", "suction", "flange"],
    ),
    (
        "The lube in hand is another one: restated where that is allowed, refused where not.",
        &["find", "coupling", "half", "with", "anti-seize,", "dry"],
    ),
    (
        "What a wrong lube does to the bolt if the figure is pulled as it stands.",
        &["lubes", "bolster"],
    ),
    (
        "The steps for a wrench of the shop, in what it can show.",
        &["passes", "coupling", "half", "moly", "--wrench", "W4"],
    ),
    (
        "The order in which the bolts are pulled, with their places: these are not evenly spaced.",
        &["order", "gear", "case"],
    ),
    (
        "A wrench was found out of tolerance: what it is said to have tightened till then.",
        &["log", "wrench", "W4"],
    ),
    ("What is wrong or doubtful in the book, each with a mark.", &["check", "Tern", "40", "pump"]),
];

const NEXT: &str = "\
Now with your own: `clampbook import FILE --dry-run` reads a table and changes nothing, \
`clampbook sheet QUESTION -o page.html` prints a page for the bench, `clampbook log start JOB` \
begins the log. The shop of the tour is invented: none of it is advice.";

/// Shows each step and has `run` carry its command out, on one throw-away demo book.
/// On a terminal each waits for Enter; q leaves.
pub(super) fn run(
    out: &mut Out,
    mut run: impl FnMut(&[&str], &mut Out) -> Result<Code, Failure>,
) -> Result<Code, Failure> {
    let folder = open::throw_away(seed::create_demo)?;
    let book = folder.place.folder().to_string_lossy();
    for (number, (words, command)) in STEPS.iter().enumerate() {
        out.answer(&format!("{} of {}. {words}", number + 1, STEPS.len()));
        out.answer(&format!("$ clampbook --demo {}\n", command.join(" ")));
        run(&[&["--book", &*book], *command].concat(), out)?;
        out.answer("");
        out.show();
        let asks = number + 1 < STEPS.len() && dialog::is_possible();
        if asks && dialog::line("Enter goes on, q leaves: ", out)?.is_none_or(|line| line == "q") {
            return Ok(Code::Answered);
        }
    }
    out.answer(NEXT);
    Ok(Code::Answered)
}
