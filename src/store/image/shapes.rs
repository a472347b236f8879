//! Shapes of settings: everything but the torque that decides whether a
//! setting may be restated and what its clamp becomes. A large book has few of
//! them, so that a restated question is settled for most of its settings by
//! looking at one of each.

use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::Arc;

use crate::quantity::{Extent, Kind};
use crate::record::{Fastener, Joint, Method, Reuse, Setting, prevailing_part};
use crate::store::codec::Unreadable;
use crate::store::image::file::{ImageFile, ReadError, bad};
use crate::store::image::header::SHAPES;
use crate::store::piece::{Piece, PieceBuilder};

/// Set in the number of a shape where the fastener is a row of a general chart.
pub(crate) const CHART: u32 = 1 << 31;

/// The shape of a setting that came when the list was full: not told.
pub(crate) const NOT_TOLD: u32 = CHART - 1;

/// No more shapes are kept, and no more bytes of them.
const MOST: u32 = 1 << 16;
const MOST_BYTES: usize = 16 << 20;

/// Shapes being collected.
#[derive(Debug, Default)]
pub(crate) struct ShapesWriter {
    known: HashMap<u64, u32>,
    rows: PieceBuilder,
}

impl ShapesWriter {
    /// The number of the shape with that likeness, `(fastener, setting)` being
    /// one that has it.
    pub(crate) fn number(
        &mut self,
        likeness: u64,
        fastener: &Fastener,
        setting: &Setting,
    ) -> Result<u32, Unreadable> {
        if let Some(number) = self.known.get(&likeness) {
            return Ok(*number);
        }
        let number = self.known.len() as u32;
        if number >= MOST || self.rows.bytes() >= MOST_BYTES {
            return Ok(NOT_TOLD);
        }
        self.rows.push(u64::from(number), &shape(fastener, setting))?;
        self.known.insert(likeness, number);
        Ok(number)
    }

    /// The bytes of the section.
    pub(crate) fn take(&mut self) -> Vec<u8> {
        self.known.clear();
        self.rows.take()
    }
}

/// The shapes of an image, each a fastener with one setting.
pub(crate) fn read(file: &ImageFile) -> Result<Vec<Fastener>, ReadError> {
    let entries = Piece::open(&file.whole(SHAPES)?)?.entries()?;
    let shapes: Vec<_> =
        entries.into_iter().map(|(_, shape)| Arc::unwrap_or_clone(shape)).collect();
    if shapes.iter().all(|shape| shape.settings.len() == 1) {
        Ok(shapes)
    } else {
        Err(bad("a shape has not one setting"))
    }
}

/// `fastener` with `setting` alone, and of both only what is in [`likeness`].
fn shape(fastener: &Fastener, setting: &Setting) -> Fastener {
    let mut shape = Fastener::new(Joint::named("", ""), "");
    shape.joint.duty = fastener.joint.duty;
    shape.thread.clone_from(&fastener.thread);
    // There is one, whichever.
    shape.hole_thread = fastener.hole_thread.as_ref().and(fastener.thread.clone());
    if fastener.thread.is_none() {
        shape.hole_thread.clone_from(&fastener.hole_thread);
    }
    shape.kind = fastener.kind;
    shape.reuse = fastener.reuse.filter(|reuse| *reuse == Reuse::SingleUse);
    shape.hole_material.clone_from(&fastener.hole_material);
    shape.finish.clone_from(&fastener.finish);
    shape.strength.name.clone_from(&fastener.strength.name);
    shape.head.clone_from(&fastener.head);
    shape.drive.clone_from(&fastener.drive);
    shape.seat.clone_from(&fastener.seat);
    shape.sealant.clone_from(&fastener.sealant);
    shape.bearing = fastener.bearing;
    shape.prevailing = fastener.prevailing;
    shape.prevailing_rule = fastener.prevailing_rule;
    let mut own = Setting::new(setting.method, setting.basis);
    own.lube.clone_from(&setting.lube);
    own.face_lube.clone_from(&setting.face_lube);
    own.torque = setting.torque;
    own.angles = setting.angles.first().copied().into_iter().collect();
    own.stretch = setting.stretch;
    own.superseded = setting.superseded;
    own.this_lube_only = setting.this_lube_only;
    shape.settings = vec![own];
    shape
}

/// Of `fastener`, what is in the likeness of each of its settings.
pub(crate) fn of_fastener(f: &Fastener) -> DefaultHasher {
    let mut hasher = DefaultHasher::new();
    (&f.thread, f.hole_thread.is_some(), f.kind, f.joint.duty).hash(&mut hasher);
    (f.is_single_use(), f.prevailing_rule).hash(&mut hasher);
    (&f.head, &f.drive, &f.seat, &f.sealant).hash(&mut hasher);
    (&f.hole_material, &f.finish, &f.strength.name).hash(&mut hasher);
    let bases = [
        f.bearing.map(|ring| ring.outer.value().base()),
        f.bearing.map(|ring| ring.hole.value().base()),
        f.prevailing.map(|running| running.value().base()),
    ];
    bases.map(|base| base.map(f64::to_bits)).hash(&mut hasher);
    hasher
}

/// What makes two settings of one shape; `begun` is that of their fastener.
pub(crate) fn likeness(mut begun: DefaultHasher, setting: &Setting) -> u64 {
    let form = match setting.torque {
        None => 0_u8,
        Some(Extent::Exactly(_)) => 1,
        Some(Extent::Between(..)) => 2,
        Some(Extent::AtMost(_)) => 3,
    };
    (&setting.lube, &setting.face_lube, setting.method, setting.basis, form).hash(&mut begun);
    (setting.superseded, setting.this_lube_only, setting.is_complete()).hash(&mut begun);
    begun.finish()
}

/// The clamp at the high end of a torque over the clamp at its target: 1 for
/// one value. NaN where either is not known, or where the low end does not
/// even turn the thread.
pub(crate) fn reach(fastener: &Fastener, setting: &Setting) -> f32 {
    let torque = match setting.torque {
        Some(torque) if setting.method == Method::Torque => torque,
        _ => return f32::NAN,
    };
    match torque {
        Extent::Exactly(_) => 1.0,
        Extent::AtMost(_) => f32::NAN,
        Extent::Between(low, high) => {
            let (Ok(running), Some(target)) = (prevailing_part(fastener), torque.target()) else {
                return f32::NAN;
            };
            let least = low.value() - running;
            if least.base() <= 0.0 {
                return f32::NAN;
            }
            ((high.value() - running) / (target - running)) as f32
        }
    }
}
