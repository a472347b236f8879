//! The arguments of `log`.

use std::path::PathBuf;

// `log`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook log start 24-017
  clampbook log add head moly --done
  clampbook log show
  clampbook log wrench W2")]
pub(in crate::cli) struct Log {
    /// What to do with the log
    #[command(subcommand)]
    pub what: What,
}

// What `log` does.
#[derive(Debug, clap::Subcommand)]
pub(in crate::cli) enum What {
    /// Begin a job: the lines that follow are its own
    #[command(after_long_help = "\
Example:
  clampbook log start 24-017")]
    Start(Start),
    /// Record a joint as tightened, a line for each of its fasteners
    Add(Add),
    /// Add a line in place of another, which stays as it was
    Correct(Correct),
    /// The lines that hold; one in full by its number
    #[command(after_long_help = "\
Examples:
  clampbook log show
  clampbook log show 12
  clampbook log show head --wrench W2 --since 2026-05-01
  clampbook log show --job 24-017 --all")]
    Show(Which),
    /// The lines from a day on
    #[command(after_long_help = "\
Example:
  clampbook log since 2026-05-04")]
    Since(Since),
    /// What a wrench tightened since its last good calibration
    #[command(after_long_help = "\
Example:
  clampbook log wrench W2")]
    Wrench(Found),
    /// Readings away from their target, as left
    #[command(after_long_help = "\
Example:
  clampbook log off-target")]
    OffTarget(OffTarget),
    /// What waits to be tightened again
    #[command(after_long_help = "\
Example:
  clampbook log retorque")]
    Retorque(Which),
    /// The tins and lots of lube in use
    #[command(after_long_help = "\
Example:
  clampbook log tins")]
    Tins(Which),
    /// The bolts of bolt sets: tightenings, growth, keep or scrap
    #[command(after_long_help = "\
Example:
  clampbook log bolts --cycles 5")]
    Bolts(Which),
    /// All lines as plain text, to be read without clampbook
    #[command(after_long_help = "\
Example:
  clampbook log export > log.txt")]
    Export(Export),
}

/// `log start`
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Start {
    /// The job: 24-017
    #[arg(required = true, value_name = "JOB")]
    pub job: Vec<String>,
    /// Who begins it; else the user of the system
    #[arg(long, env = "CLAMPBOOK_WHO")]
    pub who: Option<String>,
}

/// `log add`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook log start 24-017
  clampbook log add head moly --done
  clampbook log add head moly wrench=W2 lot=\"tin 7\" passes=\"25 lb-ft done; 70 lb-ft open\"
  clampbook log add rod stretch set=R12 \\
      reached=\"1: stretch 0.0057 in, before 1.9986 in; 2: stretch 0.0058 in\"
  clampbook log add main did=\"trial assembly\" --done

What is not given comes from the setting (lube, order) and from the last entry
(job, who, wrench, lot, bolt set); field=- leaves it blank. What was reached and
what was ticked is never filled in. On a terminal clampbook asks for what is
missing; Enter leaves it blank.
Fields: job, who, did, wrench, lube, lot, order, passes, reached, set, remarks.")]
pub(in crate::cli) struct Add {
    /// The question that picks the settings of one joint, then FIELD=VALUE
    #[arg(required = true, value_name = "QUESTION FIELD=VALUE")]
    pub words: Vec<String>,
    /// Every pass was done
    #[arg(long)]
    pub done: bool,
    /// The one setting of this key, where the question finds several
    #[arg(long, value_name = "KEY")]
    pub setting: Option<String>,
    /// When, if not now: 2026-05-04T10:20
    #[arg(long, value_name = "TIME")]
    pub at: Option<String>,
    /// Ask nothing
    #[arg(long)]
    pub yes: bool,
    /// Who did it; else who did the last one of the job, or the user of the system
    #[arg(long, env = "CLAMPBOOK_WHO")]
    pub who: Option<String>,
}

/// `log correct`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Example:
  clampbook log correct 12 wrench=W3 remarks=\"W3 was used, not W2\"

The line keeps its number and words; the new line points at it.")]
pub(in crate::cli) struct Correct {
    /// The number of the line
    #[arg(value_name = "LINE")]
    pub line: u64,
    /// What was not so
    #[arg(required = true, value_name = "FIELD=VALUE")]
    pub words: Vec<String>,
    /// Who corrects it; else the user of the system
    #[arg(long, env = "CLAMPBOOK_WHO")]
    pub who: Option<String>,
}

/// Which lines.
#[derive(Debug, Clone, Default, clap::Args)]
pub(in crate::cli) struct Which {
    /// A line's number, or a question that picks fasteners
    #[arg(value_name = "LINE|QUESTION")]
    pub words: Vec<String>,
    /// Of this job
    #[arg(long)]
    pub job: Option<String>,
    /// By this person
    #[arg(long)]
    pub who: Option<String>,
    /// With this wrench
    #[arg(long)]
    pub wrench: Option<String>,
    /// With this lube
    #[arg(long)]
    pub lube: Option<String>,
    /// What was done: tightened, trial assembly, retorqued, checked, loosened
    #[arg(long, value_name = "WORD")]
    pub did: Option<String>,
    /// Of this bolt set
    #[arg(long)]
    pub set: Option<String>,
    /// From this day on
    #[arg(long, value_name = "DAY")]
    pub since: Option<String>,
    /// Only where another lube was put on than the setting names
    #[arg(long)]
    pub other_lube: bool,
    /// Corrected lines too
    #[arg(long)]
    pub all: bool,
    /// Bolts with at least so many tightenings
    #[arg(long, value_name = "N")]
    pub cycles: Option<u32>,
}

/// `log since`
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Since {
    /// The day: 2026-05-04
    pub day: String,
    /// Which of them
    #[command(flatten)]
    pub which: Which,
}

/// `log wrench`
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Found {
    /// The wrench that was found out
    pub wrench: String,
    /// The day of its last good calibration; else what the log says of it
    #[arg(long, value_name = "DAY")]
    pub since: Option<String>,
}

/// `log off-target`
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct OffTarget {
    /// How far away
    #[arg(default_value = "10%")]
    pub by: String,
    /// Which lines
    #[command(flatten)]
    pub which: Which,
}

/// `log export`
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Export {
    /// The file to write; - or none is standard output
    pub file: Option<PathBuf>,
}
