//! How strong the fastener of a sum is: from the book, or as given.

use crate::cli::calc::read::of_sum;
use crate::cli::complete;
use crate::cli::exit::{Failure, wrong};
use crate::cli::globals::Globals;
use crate::cli::typed::stated;
use crate::cli::{named, open, seed};
use crate::mechanics::{self, Sections};
use crate::quantity::{Force, Length, Stated};
use crate::record::{
    Basis, Derived, Fastener, Joint, KeptKind, Method, NameOf, Setting, Strength, Tables, derive,
};
use crate::report::calc::Nearness;
use crate::thread::Thread;

// How strong the fastener is.
#[derive(Debug, clap::Args)]
pub(super) struct StrengthArgs {
    /// Strength by name: 10.9, "SAE 8"
    #[arg(long, add = complete::named(NameOf::Strength))]
    pub strength: Option<String>,
    /// Proof stress, in place of a named strength
    #[arg(long, value_name = "STRESS")]
    pub proof: Option<String>,
    /// Yield, in place of a named strength
    #[arg(long = "yield", value_name = "STRESS")]
    pub yield_: Option<String>,
    /// Tensile strength, in place of a named strength
    #[arg(long, value_name = "STRESS")]
    pub tensile: Option<String>,
}

/// The book's tables if a name of them is asked for; none otherwise, so that a
/// sum needs no book at all.
pub(super) fn tables(globals: &Globals, is_named: bool) -> Result<Tables, Failure> {
    if !is_named {
        return Ok(Tables::default());
    }
    if globals.demo {
        return seed::reference();
    }
    Ok(open::reader(globals)?.book.tables().clone())
}

pub(super) fn fastener(
    thread: Option<Thread>,
    given: &StrengthArgs,
    waist: Option<Stated<Length>>,
    tables: &Tables,
) -> Result<Fastener, Failure> {
    let mut fastener = Fastener::new(Joint::named("calc", "calc"), "calc");
    fastener.strength = strength(thread.as_ref(), given, tables)?;
    fastener.waist = waist;
    if let Some(geometry) = thread.as_ref().and_then(|thread| thread.geometry().ok()) {
        let waist = waist.map(Stated::value);
        let sections = Sections { waist, ..Sections::of_thread(&geometry) };
        sections.weakest().map_err(of_sum)?;
    }
    fastener.thread = thread;
    Ok(fastener)
}

fn strength(
    thread: Option<&Thread>,
    given: &StrengthArgs,
    tables: &Tables,
) -> Result<Strength, Failure> {
    let strength = Strength {
        name: given.strength.as_ref().map(|name| checked_name(name, thread, tables)).transpose()?,
        proof: stated("--proof", given.proof.as_ref())?,
        yield_: stated("--yield", given.yield_.as_ref())?,
        tensile: stated("--tensile", given.tensile.as_ref())?,
    };
    let check = mechanics::Strength {
        proof: strength.proof.map(Stated::value),
        yields: strength.yield_.map(Stated::value),
        tensile: strength.tensile.map(Stated::value),
    };
    check.check().map_err(of_sum)?;
    Ok(strength)
}

fn checked_name(name: &str, thread: Option<&Thread>, tables: &Tables) -> Result<String, Failure> {
    let known = || tables.strengths.iter().map(|class| class.name.as_str());
    let class = tables
        .strength(name)
        .ok_or_else(|| wrong("--strength", named::unknown(KeptKind::Strength, name, known())))?;
    let Some(thread) = thread else {
        let message = "a named strength depends on the size: give THREAD, or --proof and --yield";
        return Err(wrong("--strength", message));
    };
    if class.at(thread.nominal()).is_none() {
        return Err(wrong("--strength", format!("{} is not defined for {thread}", class.name)));
    }
    Ok(class.name.clone())
}

/// What is known of a bolt with the strength that was given.
pub(super) fn known(
    globals: &Globals,
    thread: Option<Thread>,
    given: &StrengthArgs,
    waist: Option<Stated<Length>>,
) -> Result<Derived, Failure> {
    let tables = tables(globals, given.strength.is_some())?;
    let fastener = fastener(thread, given, waist, &tables)?;
    Ok(derive(&fastener, &Setting::new(Method::Torque, Basis::Computed), &tables))
}

pub(super) fn near(known: &Derived, clamp: Force) -> Nearness {
    let share = |load: Option<Force>| load.map(|load| clamp / load);
    Nearness { of_proof: share(known.proof_load), of_yield: share(known.yield_load) }
}
