//! Whether a sheet that lists two lubes agrees with the factors of the two.

use crate::mechanics::{RatioCheck, ratio_check};
use crate::quantity::{Extent, Torque};
use crate::record::{Basis, Fastener, Lubes, Method, Setting, Tables, prevailing_part, same_form};
use crate::text::fold_name;

/// Two listed values of one fastener from one source, against the factors of
/// their lubes.
#[derive(Debug, Clone, PartialEq)]
pub struct LubeRatio {
    pub lubes: [String; 2],
    /// The settings, by their places in the fastener.
    pub settings: [usize; 2],
    pub listed: [String; 2],
    /// The sheet's ratio second to first, that of the factors, and whether they
    /// differ by more than 15 %: then check the sheet or the factors, and
    /// change nothing.
    pub check: RatioCheck,
}

/// Every pair of plain torques that one source lists for two lubes of
/// `fastener`, with the ratio that their factors give. Pairs without factors of
/// one kind, and superseded or computed values, are left out.
pub fn lube_ratios(fastener: &Fastener, tables: &Tables) -> Vec<LubeRatio> {
    let places = 0..fastener.settings.len();
    let pairs = places.clone().flat_map(|a| places.clone().skip(a + 1).map(move |b| [a, b]));
    pairs.filter_map(|pair| of_pair(fastener, pair, tables)).collect()
}

fn of_pair(fastener: &Fastener, settings: [usize; 2], tables: &Tables) -> Option<LubeRatio> {
    let [one, other] = settings.map(|at| &fastener.settings[at]);
    let (from, to) = (Lubes::named_by(one, tables).ok()?, Lubes::named_by(other, tables).ok()?);
    let two_lubes = from.thread.name != to.thread.name;
    if !two_lubes || !from.is_one() || !to.is_one() || !same_source(one, other) {
        return None;
    }
    let thread = fastener.thread.as_ref()?.geometry().ok()?;
    let [low, high] = same_form(fastener, from, to)?;
    let torques = [plain_torque(fastener, one)?, plain_torque(fastener, other)?];
    let forms = [&low.range.nominal, &high.range.nominal];
    Some(LubeRatio {
        lubes: [from.thread.name.clone(), to.thread.name.clone()],
        settings,
        listed: [one.in_words(), other.in_words()],
        check: ratio_check(&thread, torques, forms).ok()?,
    })
}

fn same_source(one: &Setting, other: &Setting) -> bool {
    let paper = |setting: &Setting| {
        let source = &setting.source;
        [&source.title, &source.revision].map(|text| text.as_deref().map(fold_name))
    };
    one.basis == other.basis && paper(one) == paper(other)
}

/// The torque that clamps, of a current value that a source gives.
fn plain_torque(fastener: &Fastener, setting: &Setting) -> Option<Torque> {
    let current = !setting.superseded && setting.basis != Basis::Computed;
    if setting.method != Method::Torque || !current {
        return None;
    }
    let torque = setting.torque.and_then(Extent::target)?;
    let running = prevailing_part(fastener).ok()?;
    (running < torque).then(|| torque - running)
}
