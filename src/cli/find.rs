//! `find`: a question and its answer.

use crate::cli::args::{Args, Find, Format};
use crate::cli::exit::{Code, Failure};
use crate::cli::open;
use crate::cli::out::Out;
use crate::quantity::{System, find_unit};
use crate::query::run::{Answer, UnitsWanted};
use crate::query::{self, syntax};
use crate::report;
use crate::store::Book;

/// Runs the command.
pub(super) fn run(args: &Args, find: &Find, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(args)?;
    let text = syntax::join_arguments(&find.question);
    let answer = ask(args, &text, &opened.book)?;
    let tables = opened.book.tables();
    match (find.why, out.format) {
        // The working belongs to the one value that a program reads.
        (true, Format::Json) => out.answer(&report::find_json_why(&answer, tables)),
        _ => draw(&answer, out),
    }
    if find.plan {
        out.say(&format!("plan: {}", answer.plan));
    }
    match (find.why, out.format) {
        (true, Format::Table) => out.answer(&report::why(&answer, tables)),
        // Beside the data, not in it: a column has no room for it.
        (true, Format::Csv) => out.say(&report::why(&answer, tables)),
        _ => {}
    }
    Ok(code(&answer))
}

/// The answer to `text`, in the units of `--units` unless the question says.
pub(super) fn ask(args: &Args, text: &str, book: &Book) -> Result<Answer, Failure> {
    let mut answer = query::answer(text, book).map_err(|e| Failure::of_question(text, e))?;
    if answer.units == UnitsWanted::AsWritten {
        answer.units = units(args)?;
    }
    Ok(answer)
}

/// The units that `--units` asks for.
pub(super) fn units(args: &Args) -> Result<UnitsWanted, Failure> {
    let Some(text) = &args.units else { return Ok(UnitsWanted::AsWritten) };
    match text.trim() {
        "metric" => return Ok(UnitsWanted::System(System::Metric)),
        "inch" => return Ok(UnitsWanted::System(System::Inch)),
        _ => {}
    }
    let each = text.split(',').map(|name| {
        find_unit(name).ok_or_else(|| {
            let name = name.trim();
            let expected = "write metric, inch or a list such as N.m, kN";
            Failure::Argument(format!("--units: `{name}` is not a unit; {expected}"))
        })
    });
    each.collect::<Result<_, _>>().map(UnitsWanted::Units)
}

/// Writes an answer in the format asked for.
pub(super) fn draw(answer: &Answer, out: &mut Out) {
    let text = match out.format {
        Format::Table => report::find_table(answer, out.width, out.style),
        Format::Json => report::find_json(answer),
        Format::Csv => report::find_csv(answer),
    };
    out.answer(&text);
}

/// 0 if a row has an answer, else 1.
pub(super) fn code(answer: &Answer) -> Code {
    if answer.has_answer() { Code::Answered } else { Code::Nothing }
}
