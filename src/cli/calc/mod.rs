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

use crate::cli::args::Args;
use crate::cli::exit::{Code, Failure};
use crate::cli::find;
use crate::cli::out::Out;
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
    let code = if page.is_refused() { Code::Nothing } else { Code::Answered };
    out.page(&page.page(&find::units(args)?, calc.why));
    Ok(code)
}
