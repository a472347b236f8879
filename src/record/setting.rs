//! How a fastener is tightened with one lubricant, and where that comes from.

use std::fmt;

use jiff::civil::Date;

use crate::quantity::{Angle, Dimension, Extent, Length, Quantity, Ratio, Stated, Torque};
use crate::record::choice::choice;

choice!(
    /// How the clamp is brought about.
    Method {
        Torque = "torque",
        TorqueAngle = "torque then angle" ["torque+angle", "torque angle", "torque-angle"],
        /// Through an angle from snug.
        Angle = "angle" ["turn", "angle only"],
        Stretch = "stretch" ["elongation"],
    }
);

choice!(
    /// Where a figure comes from, best first.
    Basis {
        /// The maker's sheet, or an engine or machine manual.
        Listed = "listed",
        Shop = "shop",
        /// A general table, for no particular joint.
        Chart = "chart",
        /// clampbook's arithmetic.
        Computed = "computed",
    }
);

choice!(
    /// What kind of paper a source is.
    SourceKind {
        /// The sheet packed with the fastener.
        Maker = "maker" ["sheet", "maker sheet", "maker's sheet"],
        Manual = "manual",
        Shop = "shop",
        Memory = "memory" ["from memory"],
    }
);

/// One step of a tightening as the source gives it.
#[derive(Debug, Clone, PartialEq)]
pub enum Pass {
    Torque(Stated<Torque>),
    /// To a share of the final torque.
    Share(Stated<Ratio>),
    Turn(Stated<Angle>),
    /// To snug, without a figure.
    Snug,
}

impl Pass {
    /// Reads `25 lb-ft`, `60 %`, `90°`, `+90°` or `snug`.
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        if text.eq_ignore_ascii_case("snug") {
            return Some(Self::Snug);
        }
        let written = Quantity::parse(text.trim_start_matches('+')).ok()?;
        match written.dimension() {
            Dimension::Torque => Stated::new(written).ok().map(Self::Torque),
            Dimension::Ratio => Stated::new(written).ok().map(Self::Share),
            Dimension::Angle => Stated::new(written).ok().map(Self::Turn),
            _ => None,
        }
    }
}

impl fmt::Display for Pass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Torque(torque) => torque.fmt(f),
            Self::Share(share) => share.fmt(f),
            Self::Turn(angle) => write!(f, "+{angle}"),
            Self::Snug => f.write_str("snug"),
        }
    }
}

/// The paper a figure stands on.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Source {
    pub title: Option<String>,
    pub page: Option<String>,
    pub revision: Option<String>,
    pub date: Option<Date>,
    pub kind: Option<SourceKind>,
}

impl Source {
    /// Whether it names a place that can be looked up again: a title and a
    /// page or revision. Only then may a figure be called `listed`.
    pub fn is_citable(&self) -> bool {
        self.title.is_some() && (self.page.is_some() || self.revision.is_some())
    }
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let page = self.page.as_ref().map(|page| format!("p. {page}"));
        let revision = self.revision.as_ref().map(|revision| format!("rev. {revision}"));
        let date = self.date.map(|date| date.to_string());
        let parts: Vec<String> =
            [self.title.clone(), page, revision, date].into_iter().flatten().collect();
        f.write_str(&parts.join(", "))
    }
}

/// How a fastener is tightened with one lubricant. `None` is "not stated".
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    pub lube: Option<String>,
    /// Lube under the head or nut, where it is another one.
    pub face_lube: Option<String>,
    pub method: Method,
    pub torque: Option<Extent<Torque>>,
    /// Torque from which angles are counted.
    pub snug: Option<Stated<Torque>>,
    /// The angles, each a pass over the whole pattern.
    pub angles: Vec<Stated<Angle>>,
    pub stretch: Option<Extent<Length>>,
    pub passes: Vec<Pass>,
    /// How often to pull and release before the final pull.
    pub cycles: Option<u32>,
    pub tolerance: Option<Stated<Ratio>>,
    pub this_lube_only: bool,
    /// When, hot or cold, and how far to back off.
    pub retorque: Option<String>,
    pub recheck: Option<String>,
    pub basis: Basis,
    pub source: Source,
    pub entered_on: Option<Date>,
    pub entered_by: Option<String>,
    pub checked_by: Option<String>,
    /// The key of the setting it replaces.
    pub supersedes: Option<String>,
    pub superseded: bool,
    /// The source's warnings, verbatim.
    pub warnings: Vec<String>,
}

impl Setting {
    /// A setting of which only its method and basis are known.
    pub fn new(method: Method, basis: Basis) -> Self {
        Self {
            lube: None,
            face_lube: None,
            method,
            torque: None,
            snug: None,
            angles: Vec::new(),
            stretch: None,
            passes: Vec::new(),
            cycles: None,
            tolerance: None,
            this_lube_only: false,
            retorque: None,
            recheck: None,
            basis,
            source: Source::default(),
            entered_on: None,
            entered_by: None,
            checked_by: None,
            supersedes: None,
            superseded: false,
            warnings: Vec::new(),
        }
    }

    /// Whether anything is said that a wrench, a protractor or a gauge could
    /// follow.
    pub fn is_complete(&self) -> bool {
        match self.method {
            Method::Torque => self.torque.is_some(),
            Method::TorqueAngle | Method::Angle => !self.angles.is_empty(),
            Method::Stretch => self.stretch.is_some(),
        }
    }

    /// The passes that the source gives; angles that it states beside torques follow
    /// them.
    pub fn whole_passes(&self) -> Vec<Pass> {
        let mut passes = self.passes.clone();
        let has_turn = passes.iter().any(|pass| matches!(pass, Pass::Turn(_)));
        let by_angle = matches!(self.method, Method::TorqueAngle | Method::Angle);
        if by_angle && !has_turn && !passes.is_empty() {
            passes.extend(self.angles.iter().copied().map(Pass::Turn));
        }
        passes
    }

    /// Its angles as they follow on the snug torque: ` +90° +90°`.
    pub fn turns(&self) -> String {
        let turns: Vec<String> = self.angles.iter().map(|angle| format!(" +{angle}")).collect();
        turns.concat()
    }

    /// The setting in a few words, units as the source wrote them:
    /// `65 lb-ft`, `22 lb-ft +90° +90°`, `stretch 0.0055..0.0060 in`.
    pub fn in_words(&self) -> String {
        match self.method {
            Method::Torque => self.torque.map_or_else(not_stated, |torque| torque.to_string()),
            Method::TorqueAngle | Method::Angle => {
                let start = self.snug.map_or_else(|| "snug".to_owned(), |snug| snug.to_string());
                start + &self.turns()
            }
            Method::Stretch => {
                self.stretch.map_or_else(not_stated, |stretch| format!("stretch {stretch}"))
            }
        }
    }
}

fn not_stated() -> String {
    NOT_STATED.to_owned()
}

/// What stands in place of a value that the source does not give.
pub const NOT_STATED: &str = "not stated";
