//! `calc`: sums of one joint, without the book's fasteners.
//!
//! Each form reads its options, asks `mechanics` and hands a sum to `report`,
//! which draws it with the working.

mod adapter;
pub(super) mod args;
mod bolt;
mod engage;
mod heat;
mod misplaced;
mod prevailing;
mod read;
mod strength;
mod stretch;
mod sum;
mod turn;

use crate::cli::args::{Args, Format};
use crate::cli::exit::{Code, Failure};
use crate::cli::find;
use crate::cli::out::Out;
use crate::report::calc::Page;
use args::{Calc, Form};
pub(super) use misplaced::hinted;

/// Runs the command.
pub(super) fn run(args: &Args, calc: &Calc, out: &mut Out) -> Result<Code, Failure> {
    if let (Some(_), Some(option)) = (&calc.form, calc.of_the_sum()) {
        let message = "stands before the form: write it after the form's name";
        return Err(read::wrong(option, message));
    }
    let page = match &calc.form {
        None => sum::page(args, calc)?,
        Some(Form::Stretch(stretch)) => stretch::page(args, stretch)?,
        Some(Form::Turn(turn)) => turn::page(args, turn)?,
        Some(Form::Engage(engage)) => engage::page(args, engage)?,
        Some(Form::Heat(heat)) => heat::page(heat)?,
        Some(Form::Adapter(adapter)) => adapter::page(adapter)?,
        Some(Form::Prevailing(prevailing)) => prevailing::page(prevailing)?,
    };
    draw(args, &page, calc.why, out)?;
    Ok(if page.is_refused() { Code::Nothing } else { Code::Answered })
}

fn draw(args: &Args, page: &Page, why: bool, out: &mut Out) -> Result<(), Failure> {
    let units = find::units(args)?;
    match out.format {
        Format::Json => out.answer(&page.json(why).to_string()),
        Format::Csv => {
            out.answer(&page.csv());
            if why {
                // Beside the data, not in it: a column has no room for it.
                out.say(&page.why(out.width, out.style));
            }
        }
        Format::Table => {
            out.answer(&page.table(&units, out.width, out.style));
            if why {
                out.answer(&format!("\n{}", page.why(out.width, out.style)));
            }
        }
    }
    Ok(())
}
