//! Who makes a change, and when: the history says so.

use crate::cli::clock;
use crate::cli::settings;
use crate::store::{Book, Signature};
use crate::text::without_hidden;

// Who makes a change.
#[derive(Debug, clap::Args)]
pub(super) struct Signer {
    /// Who does it; else who the book is set to, else the user of the system
    #[arg(long, env = "CLAMPBOOK_WHO")]
    pub who: Option<String>,
}

/// Who, and the time of day, UTC: as typed, else as the book is set, else the
/// user of the system.
pub(super) fn signature(who: Option<&str>, book: &Book) -> Signature {
    let of_system = || std::env::var("USER").or_else(|_| std::env::var("USERNAME")).ok();
    let who = who.filter(|who| !who.trim().is_empty());
    let who = match who {
        Some(who) => Some(who.to_owned()),
        None => settings::read(book, settings::WHO).map(str::to_owned).or_else(of_system),
    };
    let who = who.unwrap_or_default();
    let who = without_hidden(&who).map_or(who, |(clean, _)| clean);
    let when = clock::now().strftime("%Y-%m-%dT%H:%M:%SZ").to_string();
    Signature { who, when }
}
