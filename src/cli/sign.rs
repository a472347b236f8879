//! Who makes a change, and when: the history says so.

use crate::cli::clock;
use crate::store::Signature;

// Who makes a change.
#[derive(Debug, clap::Args)]
pub(super) struct Signer {
    /// Who does it; else the user of the system
    #[arg(long, env = "CLAMPBOOK_WHO")]
    pub who: Option<String>,
}

/// Who, and the time of day, UTC.
pub(super) fn signature(who: Option<&str>) -> Signature {
    let of_system = || std::env::var("USER").or_else(|_| std::env::var("USERNAME")).ok();
    let who = who.filter(|who| !who.trim().is_empty());
    let who = who.map(str::to_owned).or_else(of_system).unwrap_or_default();
    Signature { who, when: clock::now().strftime("%Y-%m-%dT%H:%M:%SZ").to_string() }
}
