//! The options that every command has.

use std::cell::OnceCell;
use std::path::PathBuf;
use std::rc::Rc;

use clap::ValueEnum;
use clap::builder::PossibleValue;

use crate::cli::complete;
pub(super) use crate::report::Format;

impl ValueEnum for Format {
    fn value_variants<'a>() -> &'a [Self] {
        &[Self::Table, Self::Json, Self::Csv]
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        let (name, help) = match self {
            Self::Table => ("table", "A table for a person"),
            Self::Json => ("json", "JSON, unrounded, null for what is not stated"),
            Self::Csv => ("csv", "Comma-separated values"),
        };
        Some(PossibleValue::new(name).help(help))
    }
}

/// Where the book is that a command has opened.
pub(super) type Used = Rc<OnceCell<PathBuf>>;

/// When to colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(super) enum Color {
    /// On a terminal, unless NO_COLOR is set.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

// What holds for every command.
#[derive(Debug, Default, clap::Args)]
#[command(next_help_heading = "Everywhere")]
#[expect(clippy::struct_excessive_bools, reason = "each is a word of the command line")]
pub(super) struct Globals {
    /// Folder of the book; else CLAMPBOOK_DIR, else the platform's data folder
    #[arg(long, global = true, value_name = "DIR")]
    pub book: Option<PathBuf>,
    /// Use a throw-away book with an invented demo shop
    #[arg(long, global = true)]
    pub demo: bool,
    /// How to write answers
    #[arg(long, global = true, value_enum, default_value_t = Format::Table)]
    pub format: Format,
    /// Units to draw in: metric, inch, or a list such as "N.m, kN"; else CLAMPBOOK_UNITS, else those
    /// that the book is set to
    #[arg(long, global = true, value_name = "UNITS", add = complete::unit())]
    pub units: Option<String>,
    /// When to colour
    #[arg(long, global = true, value_enum, value_name = "WHEN", default_value_t = Color::Auto)]
    pub color: Color,
    /// Show a long answer on a terminal without a pager
    #[arg(long, global = true)]
    pub no_pager: bool,
    /// Say nothing but answers and errors
    #[arg(short, long, global = true)]
    pub quiet: bool,
    /// Where the demo shop is that the prompt has opened
    #[arg(skip)]
    pub demo_folder: Option<PathBuf>,
    /// JSON on one line: one answer of many
    #[arg(skip)]
    pub one_line: bool,
    /// The book that is used, for the settings in it
    #[arg(skip)]
    pub used: Used,
}
