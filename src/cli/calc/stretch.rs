//! `calc stretch`: stretch of a clamp, clamp of a stretch, permanent set.

use crate::cli::calc::bolt::{Bolt, BoltArgs, bolt};
use crate::cli::calc::read::{of_sum, thread};
use crate::cli::calc::strength::{StrengthArgs, known, near};
use crate::cli::exit::{Failure, argument, wrong};
use crate::cli::globals::Globals;
use crate::cli::typed::{quantity, stated};
use crate::mechanics::{CUSTOMARY_SET, clamp_at_stretch, permanent_set, stretch_at};
use crate::quantity::{Force, Length, Stated};
use crate::report::calc::{FreeLength, Nearness, Page, StretchAim, StretchSum};

/// `calc stretch`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook calc stretch M10x1.5 --strength 10.9 --shank 10mm,60mm \\
      --free-thread 20mm --clamp 40kN
  clampbook calc stretch 7/16-20 --yield 180ksi --waist 0.370in,1.6in \\
      --ends hex,hole --hole-material steel --stretch 0.0058in
  clampbook calc stretch --free-length-new 3.2500in --free-length-now 3.2512in
  clampbook calc stretch 3/4-16 --shank 3/4in,2.5in --ends none \\
      --material 30000ksi --clamp 25kip --why

Elastic: a clamp past yield is said to be. The lube does not enter. Permanent set
is free length now less free length when new; without the length when new the
answer is \"cannot judge\".")]
pub(super) struct Stretch {
    /// The thread, with its pitch
    pub thread: Option<String>,
    #[command(flatten)]
    pub bolt: BoltArgs,
    #[command(flatten)]
    pub strength: StrengthArgs,
    /// Clamp, to find the stretch
    #[arg(long, group = "stretched", value_name = "FORCE")]
    pub clamp: Option<String>,
    /// Stretch as measured, to find the clamp
    #[arg(long = "stretch", group = "stretched", value_name = "LENGTH")]
    pub measured: Option<String>,
    /// Free length of the bolt when it was new
    #[arg(long, value_name = "LENGTH", requires = "free_length_now")]
    pub free_length_new: Option<String>,
    /// Free length of the bolt now
    #[arg(long, value_name = "LENGTH")]
    pub free_length_now: Option<String>,
    /// Growth at which the sheet gives the bolt up; 0.001 in by common practice
    #[arg(long, value_name = "LENGTH", requires = "free_length_now")]
    pub set_limit: Option<String>,
}

pub(super) fn page(globals: &Globals, given: &Stretch) -> Result<Page, Failure> {
    let turned = given.thread.as_ref().map(|text| thread("THREAD", text)).transpose()?;
    let bolt = bolt(&given.bolt, turned.as_ref())?;
    let aim = aim(given, &bolt)?;
    let free = free_length(given)?;
    if aim.is_none() && free.is_none() {
        return argument(
            "give --clamp to find the stretch, --stretch to find the clamp, or \
                       --free-length-now to judge a used bolt",
        );
    }
    let near = match aim {
        Some((_, clamp, _)) => {
            near(&known(globals, turned.clone(), &given.strength, bolt.waist)?, clamp)
        }
        None => Nearness::default(),
    };
    let (segments, assumed) = (bolt.segments, bolt.assumed);
    Ok(StretchSum { thread: turned, segments, aim, near, free, assumed }.page())
}

fn aim(given: &Stretch, bolt: &Bolt) -> Result<Option<(StretchAim, Force, Length)>, Failure> {
    let clamp: Option<Stated<Force>> = stated("--clamp", given.clamp.as_ref())?;
    let stretch: Option<Stated<Length>> = stated("--stretch", given.measured.as_ref())?;
    if (clamp.is_some() || stretch.is_some()) && bolt.segments.is_empty() {
        let message = "give the lengths between the faces with --shank, --waist, --free-thread";
        return Err(wrong("--shank", message));
    }
    Ok(match (clamp, stretch) {
        (Some(clamp), _) => {
            let stretch = stretch_at(clamp.value(), &bolt.segments).map_err(of_sum)?;
            Some((StretchAim::Clamp(clamp), clamp.value(), stretch))
        }
        (None, Some(stretch)) => {
            let clamp = clamp_at_stretch(stretch.value(), &bolt.segments).map_err(of_sum)?;
            Some((StretchAim::Stretch(stretch), clamp, stretch.value()))
        }
        (None, None) => None,
    })
}

fn free_length(given: &Stretch) -> Result<Option<FreeLength>, Failure> {
    let Some(now) = &given.free_length_now else { return Ok(None) };
    let now: Stated<Length> = quantity("--free-length-now", now)?;
    let new: Option<Stated<Length>> = stated("--free-length-new", given.free_length_new.as_ref())?;
    let limit: Option<Stated<Length>> = stated("--set-limit", given.set_limit.as_ref())?;
    let is_customary = limit.is_none();
    let limit = limit.map_or(CUSTOMARY_SET, Stated::value);
    let verdict = permanent_set(now.value(), new.map(Stated::value), limit).map_err(of_sum)?;
    Ok(Some(FreeLength { now, new, limit, is_customary, verdict }))
}
