//! `book`: the book itself.

use crate::cli::args::{Args, Book, BookCommand, Format};
use crate::cli::exit::{Code, Failure};
use crate::cli::open;
use crate::cli::out::Out;
use crate::report::{self, BookFacts};

/// Runs the command.
pub(super) fn run(args: &Args, book: &Book, out: &mut Out) -> Result<Code, Failure> {
    match book.what {
        BookCommand::Info => info(args, out),
    }
}

fn info(args: &Args, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(args)?;
    let info = opened.book.info();
    let facts = BookFacts {
        folder: info.path.display().to_string(),
        generation: info.generation,
        format: info.format,
        fasteners: info.fasteners,
        settings: info.settings,
        joints: info.joints,
        lubes: info.lubes,
        strengths: info.strengths,
        bytes: info.bytes,
    };
    let json = out.format == Format::Json;
    out.answer(&if json { report::book_json(&facts) } else { report::book_page(&facts) });
    Ok(Code::Answered)
}
