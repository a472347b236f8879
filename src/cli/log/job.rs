//! The job that lines belong to: the one in hand is a note of the book.

use crate::cli::exit::{Code, Failure, argument};
use crate::cli::globals::Globals;
use crate::cli::open;
use crate::cli::out::Out;
use crate::cli::sign::Signer;
use crate::report;
use crate::store::{Book, Change, StoreError};

/// `log start`
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Start {
    /// The job: 24-017
    #[arg(required = true, value_name = "JOB")]
    pub job: Vec<String>,
    #[command(flatten)]
    pub signer: Signer,
}

/// Where the job in hand stands.
const TOPIC: &str = "job";
const KEY: &str = "in hand";

pub(super) fn start(globals: &Globals, start: &Start, out: &mut Out) -> Result<Code, Failure> {
    let job = start.job.join(" ").trim().to_owned();
    if job.is_empty() {
        return argument("a job needs a name: log start 24-017");
    }
    let mut writer = open::changing(globals, start.signer.who.as_deref())?;
    writer.apply(vec![Change::note(TOPIC, KEY, Some(&job))])?;
    let lines = writer.book().log()?.current().filter(|line| line.job == job).count();
    out.page(&report::job_page(&job, lines));
    Ok(Code::Answered)
}

/// The job begun last.
pub(super) fn in_hand(book: &Book) -> Result<Option<String>, StoreError> {
    Ok(book.notes(TOPIC)?.into_iter().find(|note| note.key == KEY).map(|note| note.text))
}
