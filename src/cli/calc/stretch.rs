//! `calc stretch`: stretch of a clamp, clamp of a stretch, permanent set.

use crate::cli::args::Args;
use crate::cli::calc::args::Stretch;
use crate::cli::calc::bolt::{Bolt, bolt};
use crate::cli::calc::read::{of_sum, quantity, stated, thread, wrong};
use crate::cli::calc::strength::{self, fastener, near};
use crate::cli::exit::Failure;
use crate::mechanics::{CUSTOMARY_SET, clamp_at_stretch, permanent_set, stretch_at};
use crate::quantity::{Force, Length, Stated};
use crate::report::calc::{FreeLength, Nearness, Page, StretchAim, StretchSum};

/// The sum as a page.
pub(super) fn page(args: &Args, given: &Stretch) -> Result<Page, Failure> {
    let turned = given.thread.as_ref().map(|text| thread("THREAD", text)).transpose()?;
    let bolt = bolt(&given.bolt, turned.as_ref())?;
    let aim = aim(given, &bolt)?;
    let free = free_length(given)?;
    if aim.is_none() && free.is_none() {
        let message = "give --clamp to find the stretch, --stretch to find the clamp, or \
                       --free-length-now to judge a used bolt";
        return Err(Failure::Argument(message.to_owned()));
    }
    let mut closeness = Nearness::default();
    if let Some((_, clamp, _)) = aim {
        let tables = strength::tables(args, given.strength.strength.is_some())?;
        let fastener = fastener(turned.clone(), &given.strength, bolt.waist, &tables)?;
        closeness = near(&strength::known(&fastener, &tables), clamp);
    }
    let sum = StretchSum {
        thread: turned,
        segments: bolt.segments,
        aim,
        near: closeness,
        free,
        assumed: bolt.assumed,
    };
    Ok(sum.page())
}

/// What was given, with the clamp and the stretch.
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
