//! A fastener of one joint of one assembly, and the joint itself.

use std::fmt;

use crate::mechanics;
use crate::quantity::{Length, Stated, Stress, Torque};
use crate::record::Setting;
use crate::record::choice::choice;
use crate::thread::Thread;

choice!(
    /// What kind of fastener it is.
    Kind {
        /// A bolt or cap screw, turned by its head.
        Bolt = "bolt" ["capscrew", "cap screw", "hex bolt"],
        Stud = "stud" ["stud and nut", "stud+nut", "stud/nut"],
        /// A nut on a thread that belongs to the part.
        Nut = "nut",
        /// A screw turned by a recess or socket.
        Screw = "screw" ["socket screw", "socket head", "set screw"],
        Plug = "plug" ["drain plug", "spark plug"],
    }
);

choice!(
    /// What a joint does; some duties forbid conversions and ask for a caution.
    Duty {
        Engine = "engine" ["machine"],
        Wheel = "wheel" ["wheels"],
        Steering = "steering" ["suspension"],
        Brake = "brake" ["brakes"],
        Lifting = "lifting",
        /// Holds pressure: flange, pump, vessel.
        Pressure = "pressure" ["flange"],
        SparkPlug = "spark plug" ["spark-plug"],
        Other = "other",
    }
);

choice!(
    /// Which part the wrench turns.
    Turned {
        Head = "head" ["bolt head"],
        Nut = "nut",
    }
);

choice!(
    /// What is at the end of the hole.
    Bottom {
        /// The hole has a bottom: liquid in it can crack the casting.
        Blind = "blind" ["blind hole", "bottomed"],
        Through = "through" ["thru", "open"],
    }
);

choice!(
    /// What the hole opens into.
    Wet {
        Coolant = "coolant" ["water", "water jacket", "jacket"],
        Oil = "oil" ["oil gallery", "crankcase"],
        Port = "port" ["intake port", "into port"],
    }
);

choice!(
    /// How a prevailing (locking) torque relates to the listed value.
    Prevailing {
        /// The listed value includes it.
        Included = "included",
        /// It must be measured and added.
        ToAdd = "to add" ["add", "add to"],
        /// The source does not say: ask.
        Unknown = "unknown",
    }
);

/// Whether a fastener may be used again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reuse {
    Reusable,
    SingleUse,
    /// Up to this many tightenings.
    UpTo(u32),
    /// Until its free length passes this limit.
    FreeLength(Stated<Length>),
}

impl Reuse {
    pub(crate) const REUSABLE: &'static str = "reusable";
    pub(crate) const SINGLE_USE: &'static str = "single-use";

    /// Reads it as it is printed: `reusable`, `single-use`, `up to 5 cycles`,
    /// `until free length 3.502 in`. The error says what was expected.
    pub fn parse(text: &str) -> Result<Self, String> {
        let cycles = text.strip_prefix("up to ").and_then(|rest| rest.strip_suffix(" cycles"));
        if let Some(cycles) = cycles.and_then(|cycles| cycles.trim().parse().ok()) {
            return Ok(Self::UpTo(cycles));
        }
        if let Some(length) = text.strip_prefix("until free length ") {
            let read = Stated::parse(length).map_err(|error| error.to_string());
            return read.map(Self::FreeLength);
        }
        match text {
            Self::REUSABLE => Ok(Self::Reusable),
            Self::SINGLE_USE => Ok(Self::SingleUse),
            _ => Err(format!(
                "`{text}`: write reusable, single-use, up to 5 cycles, or until free length \
                 3.502 in"
            )),
        }
    }
}

impl fmt::Display for Reuse {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Reusable => f.write_str(Self::REUSABLE),
            Self::SingleUse => f.write_str(Self::SINGLE_USE),
            Self::UpTo(cycles) => write!(f, "up to {cycles} cycles"),
            Self::FreeLength(limit) => write!(f, "until free length {limit}"),
        }
    }
}

/// The strength of a fastener: a named grade or class, or the sheet's own
/// figures, which win where both are given.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Strength {
    /// Property class, grade or alloy as named in the book.
    pub name: Option<String>,
    pub proof: Option<Stated<Stress>>,
    pub yield_: Option<Stated<Stress>>,
    pub tensile: Option<Stated<Stress>>,
}

impl Strength {
    /// Whether nothing at all is stated.
    pub fn is_unstated(&self) -> bool {
        *self == Self::default()
    }
}

/// The ring that slides under the turned head or nut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bearing {
    pub outer: Stated<Length>,
    pub hole: Stated<Length>,
}

impl Bearing {
    /// The ring that it is, without how it was written.
    pub fn ring(self) -> mechanics::Bearing {
        mechanics::Bearing { outer: self.outer.value(), hole: self.hole.value() }
    }
}

/// A joint of an assembly.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Joint {
    /// The engine or machine.
    pub assembly: String,
    /// The joint: head, main, rod, …
    pub name: String,
    /// What it does; not stated is read as an ordinary joint.
    pub duty: Option<Duty>,
    pub gasket: Option<String>,
    /// Line hone, torque plate and the like.
    pub machining: Option<String>,
    /// Place in the assembly order.
    pub place: Option<u32>,
    pub layout: Option<String>,
    /// The order in which its fasteners are pulled, as the source lists it.
    pub order: Option<String>,
}

impl Joint {
    /// A joint of which only the names are known.
    pub fn named(assembly: impl Into<String>, name: impl Into<String>) -> Self {
        Self { assembly: assembly.into(), name: name.into(), ..Self::default() }
    }

    /// Whether both are one joint, whatever is stated of it.
    pub fn is_same(&self, other: &Self) -> bool {
        self.assembly == other.assembly && self.name == other.name
    }
}

/// One kind of bolt, stud, nut or plug in one joint. `None` is "not stated".
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Fastener {
    /// Stable key, see [`crate::record::slug`].
    pub key: String,
    pub joint: Joint,
    /// Which part of the joint: "stud, long".
    pub part: String,
    pub kind: Option<Kind>,
    pub part_number: Option<String>,
    pub count: Option<u32>,
    pub positions: Option<String>,
    pub group: Option<String>,
    /// Group that must be pulled before this one.
    pub after_group: Option<String>,
    /// The thread that turns under the wrench; none where the sheet is incomplete.
    pub thread: Option<Thread>,
    /// A stud's other end, in the casting.
    pub hole_thread: Option<Thread>,
    pub hole_end_lube: Option<String>,
    /// How the hole end is fitted: "finger-snug".
    pub hole_end_fitting: Option<String>,
    pub turned: Option<Turned>,
    pub strength: Strength,
    pub finish: Option<String>,
    /// Diameter of a reduced shank.
    pub waist: Option<Stated<Length>>,
    pub length: Option<Stated<Length>>,
    /// Length of the clamped parts.
    pub grip: Option<Stated<Length>>,
    pub engagement: Option<Stated<Length>>,
    pub hole_depth: Option<Stated<Length>>,
    pub hole_material: Option<String>,
    pub insert: Option<bool>,
    pub head: Option<String>,
    pub drive: Option<String>,
    pub seat: Option<String>,
    pub bearing: Option<Bearing>,
    pub bottom: Option<Bottom>,
    pub wet: Option<Wet>,
    pub sealant: Option<String>,
    pub washer: Option<String>,
    pub reuse: Option<Reuse>,
    pub prevailing: Option<Stated<Torque>>,
    pub prevailing_rule: Option<Prevailing>,
    pub tags: Vec<String>,
    pub notes: Option<String>,
    /// The sheet's text, verbatim.
    pub verbatim: Option<String>,
    /// How it is tightened, one per lubricant.
    pub settings: Vec<Setting>,
}

impl Fastener {
    /// A fastener of which only its place is known.
    pub fn new(joint: Joint, part: impl Into<String>) -> Self {
        let part = part.into();
        let key = crate::record::slug(&[&joint.assembly, &joint.name, &part]);
        Self { key, joint, part, ..Self::default() }
    }

    /// Whether it is thrown away after one use.
    pub fn is_single_use(&self) -> bool {
        self.reuse == Some(Reuse::SingleUse)
    }

    /// The size that the head states: 18 mm of `hex 18 mm`.
    pub fn across_flats(&self) -> Option<Length> {
        let words: Vec<&str> = self.head.as_ref()?.split([' ', ',']).collect();
        let pairs = words.windows(2).map(|pair| pair.join(" "));
        // `18mm` in one word, or in two.
        let sizes = words.iter().map(|word| (*word).to_owned()).chain(pairs);
        let mut sizes = sizes.filter_map(|text| Stated::<Length>::parse(&text).ok());
        sizes.next().map(Stated::value)
    }

    /// Whether this is a row of a general chart, for no particular joint.
    pub fn is_chart(&self) -> bool {
        !self.settings.is_empty()
            && self.settings.iter().all(|s| s.basis == crate::record::Basis::Chart)
    }
}
