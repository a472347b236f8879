//! Words of `calc` in a place that is not theirs: which option a bare word was meant
//! for, and options of one form before the name of another.

use std::ffi::OsString;

use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::parser::ValueSource;
use clap::{Arg, ArgMatches, Args, Command};

use crate::cli::calc::sum::SumArgs;
use crate::cli::exit::{Failure, wrong};
use crate::quantity::{DecimalMark, Dimension, Number, Quantity, find_unit};
use crate::thread::Pattern;

/// `error` with what to do about it, if `calc` met a word that no option took.
pub(in crate::cli) fn hinted(mut error: clap::Error, arguments: &[OsString]) -> clap::Error {
    let is_calc = arguments.iter().any(|argument| argument == "calc");
    if !is_calc || error.kind() != ErrorKind::UnknownArgument {
        return error;
    }
    let Some(ContextValue::String(word)) = error.get(ContextKind::InvalidArg) else { return error };
    if word.starts_with('-') {
        return error;
    }
    let tip = vec![meant(word).into()];
    error.insert(ContextKind::Suggested, ContextValue::StyledStrs(tip));
    error
}

/// What is wrong with an argument of the sum of torque and clamp before another form's
/// name. (The conflict is not left to clap, which would then take a form after
/// `--format json` for a thread.)
pub(in crate::cli) fn before_form(typed: &ArgMatches) -> Option<Failure> {
    let calc = typed.subcommand_matches("calc").filter(|calc| calc.subcommand_name().is_some())?;
    let sum = SumArgs::augment_args(Command::new("calc"));
    let is_typed =
        |arg: &&Arg| calc.value_source(arg.get_id().as_str()) == Some(ValueSource::CommandLine);
    let long = sum.get_arguments().find(is_typed)?.get_long();
    let option = long.map_or_else(|| "THREAD".to_owned(), |long| format!("--{long}"));
    Some(wrong(&option, "stands before the form: write it after the form's name"))
}

fn meant(word: &str) -> String {
    if find_unit(word).is_some() {
        return format!("number and unit are one argument: --torque 70{word}, or \"70 {word}\"");
    }
    if ["proof", "yield", "combined"].contains(&word) {
        return format!("a target is one argument: --target \"75% {word}\"");
    }
    if Number::parse(word, DecimalMark::Point).is_ok() {
        let strength = if word.contains('.') {
            format!("; a strength is --strength {word}")
        } else {
            String::new()
        };
        return format!(
            "{word} what? A torque stands after --torque with its unit: --torque {word}lb-ft or \
             --torque {word}Nm{strength}"
        );
    }
    match Quantity::parse(word).map(Quantity::dimension) {
        Ok(Dimension::Torque) => format!("a torque stands after --torque: --torque {word}"),
        Ok(Dimension::Force) => format!("a clamp stands after --target: --target {word}"),
        Ok(Dimension::Ratio) => format!("a target says of what: --target \"{word} yield\""),
        Ok(Dimension::Stress) => format!("--yield {word}, or --proof or --tensile"),
        Ok(_) => "--help says which option a size stands after".to_owned(),
        Err(_) if Pattern::parse(word).is_ok() => {
            format!("one thread; the other end of a stud is --hole-thread {word}")
        }
        Err(_) => format!("a lube is --lube {word}, a strength --strength {word}"),
    }
}
