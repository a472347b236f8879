//! The options that every command has.

use std::path::PathBuf;

use clap::ValueEnum;
use clap::builder::PossibleValue;

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

/// When to colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Color {
    /// On a terminal, unless NO_COLOR is set.
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

// What holds for every command.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Everywhere")]
pub(super) struct Globals {
    /// Folder of the book
    #[arg(long, global = true, env = "CLAMPBOOK_DIR", value_name = "DIR")]
    pub book: Option<PathBuf>,
    /// Use a throw-away book with an invented demo shop
    #[arg(long, global = true)]
    pub demo: bool,
    /// How to write answers
    #[arg(long, global = true, value_enum, default_value_t = Format::Table)]
    pub format: Format,
    /// Units to draw in: metric, inch, or a list such as "N.m, kN"
    #[arg(long, global = true, value_name = "UNITS")]
    pub units: Option<String>,
    /// When to colour
    #[arg(long, global = true, value_enum, default_value_t = Color::Auto)]
    pub color: Color,
    /// Say nothing but answers and errors
    #[arg(short, long, global = true)]
    pub quiet: bool,
}

/// What holds where the arguments could not be read.
impl Default for Globals {
    fn default() -> Self {
        let (format, color) = (Format::Table, Color::Auto);
        Self { book: None, demo: false, format, units: None, color, quiet: false }
    }
}
