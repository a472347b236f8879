//! `find`: a question and its answer.

use crate::cli::args::{Args, Find, Format};
use crate::cli::exit::{Code, Failure};
use crate::cli::out::Out;
use crate::cli::{clock, open, saved};
use crate::quantity::{System, find_unit};
use crate::query::run::{Answer, UnitsWanted};
use crate::query::{self, syntax};
use crate::record::Calibration;
use crate::report;
use crate::store::Book;

/// Runs the command.
pub(super) fn run(args: &Args, find: &Find, out: &mut Out) -> Result<Code, Failure> {
    let Some(name) = &find.save else {
        let opened = open::reader(args)?;
        let Some(text) = text(find, &opened.book, out)? else { return Ok(Code::Nothing) };
        let answer = ask(args, &text, &opened.book)?;
        return Ok(write(find, &answer, &opened.book, out));
    };
    let mut writer = open::writer(args)?;
    let text = syntax::join_arguments(&find.question);
    // Only a question that has been understood is kept.
    let answer = ask(args, &text, writer.book())?;
    match saved::save(&mut writer, name, &text)? {
        Some(old) => out.say(&format!("saved as `{}` in place of: {old}", name.trim())),
        None => out.say(&format!("saved as `{}`", name.trim())),
    }
    Ok(write(find, &answer, writer.book(), out))
}

/// The question to answer: as typed, or as saved under the name asked for;
/// none, and said so, if the book has no such name.
fn text(find: &Find, book: &Book, out: &mut Out) -> Result<Option<String>, Failure> {
    let Some(name) = &find.saved else { return Ok(Some(syntax::join_arguments(&find.question))) };
    let found = saved::find(book, name)?;
    if found.is_none() {
        out.complain(&format!("error: {}", saved::unknown(book, name)?));
    }
    Ok(found.map(|note| note.text))
}

/// Writes the answer with what else was asked for.
fn write(find: &Find, answer: &Answer, book: &Book, out: &mut Out) -> Code {
    let tables = book.tables();
    match (find.why, out.format) {
        // The working belongs to the one value that a program reads.
        (true, Format::Json) => out.answer(&report::find_json_why(answer, tables)),
        _ => draw(answer, out),
    }
    if find.plan {
        out.say(&format!("plan: {}", answer.plan));
    }
    match (find.why, out.format) {
        (true, Format::Table) => out.answer(&report::why(answer, tables)),
        // Beside the data, not in it: a column has no room for it.
        (true, Format::Csv) => out.say(&report::why(answer, tables)),
        _ => {}
    }
    code(answer)
}

/// The answer to `text`, in the units of `--units` unless the question says.
pub(super) fn ask(args: &Args, text: &str, book: &Book) -> Result<Answer, Failure> {
    let mut answer = query::answer(text, book).map_err(|e| Failure::of_question(text, e))?;
    if answer.units == UnitsWanted::AsWritten {
        answer.units = units(args)?;
    }
    if let Some(on) = &answer.on
        && let Calibration::Overdue(end) = on.wrench.calibration(clock::today())
    {
        answer.remarks.push(format!("{}: calibration overdue since {end}", on.wrench.name));
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
