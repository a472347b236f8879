//! Why a text is not one thread, and what to write instead.

use crate::thread::{Series, Size, Thread};

/// Why a text is not one thread.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ThreadError {
    #[error("`{0}` is not a thread; write it as 7/16-20, 10-32, M10x1.5 or 1/4 BSW")]
    NotAThread(String),
    #[error("`{rest}` follows the thread {thread}")]
    Trailing { thread: String, rest: String },
    #[error("{size}: which pitch? {}", choices_text(choices))]
    PitchNeeded {
        size: Size,
        /// The threads of this size that fasteners are made in, coarse first.
        choices: Vec<Thread>,
    },
    #[error("{size} fine: which pitch? {}", choices_text(choices))]
    ManyFine { size: Size, choices: Vec<Thread> },
    #[error("{thread} is {is}, not {written}{}", listed.as_ref().map(|t| format!("; {written} is {t}")).unwrap_or_default())]
    WrongSeries {
        /// What size and pitch say.
        thread: Box<Thread>,
        is: &'static str,
        written: &'static str,
        /// The thread of this size in the written series.
        listed: Option<Box<Thread>>,
    },
    #[error("there is no {size} {series}; name a size of that series, or write the pitch")]
    NotListed {
        size: String,
        /// The series, or coarse or fine.
        series: &'static str,
    },
    #[error("`{pitch}` is no pitch for {size}{}", example.as_deref().map(bad_pitch_help).unwrap_or_default())]
    BadPitch { size: Size, pitch: String, example: Option<Box<Thread>> },
    #[error("`{text}` is no thread size{}", nearest.map(|size| format!("; did you mean {size}?")).unwrap_or_default())]
    BadSize { text: String, nearest: Option<Size> },
    #[error("`{0}` may be a number size or inches; write #{0} or {0}\"")]
    NumberOrInches(u32),
    #[error("BSP is parallel or taper; write G {0} or R {0}")]
    ParallelOrTaper(String),
    #[error("{_0} is a pipe thread: {}, and no clamp is computed from it", _0.series().seal())]
    NoClamp(Box<Thread>),
    #[error("`{class}` is not a class of {} threads, such as {}", series.symbol(), class_example(*series))]
    BadClass { class: String, series: Series },
}

impl ThreadError {
    /// The coarse thread, where a pitch is missing and the size has one: what
    /// an importer may offer, never take silently.
    pub fn coarse(&self) -> Option<&Thread> {
        match self {
            Self::PitchNeeded { choices, .. } => choices.iter().find(|thread| thread.is_coarse()),
            _ => None,
        }
    }

    /// The thread that a metric size without a pitch means: ISO 965-1 lets the coarse
    /// pitch be left out. None for a size of the third choice, such as M9 and M11, which
    /// is met in other pitches, nor for an inch size, which has no such rule. It is to
    /// be said that it was assumed.
    pub fn assumed(&self) -> Option<&Thread> {
        let third_choice = ["M9", "M11", "M15", "M17", "M25", "M26", "M28"];
        self.coarse().filter(|coarse| {
            let size = coarse.size().to_string();
            size.starts_with('M') && !third_choice.contains(&size.as_str())
        })
    }
}

fn choices_text(choices: &[Thread]) -> String {
    if choices.is_empty() {
        return "None is standard: write it, as in M10x1.5 or 7/16-20".to_owned();
    }
    let named: Vec<String> = choices
        .iter()
        .map(|thread| match thread.grade() {
            Some(grade) => format!("{thread} ({grade})"),
            None => thread.to_string(),
        })
        .collect();
    named.join(", ")
}

fn bad_pitch_help(example: &Thread) -> String {
    if example.series().row().is_inch() {
        return format!("; write it as in {example}");
    }
    format!("; if it is the length, write the pitch first: {example} x 50 mm")
}

fn class_example(series: Series) -> &'static str {
    if series.row().is_inch() { "2A or 3B" } else { "6g or 6H" }
}
