//! What came out of a pass, and what was reached at a fastener: short
//! notations that a person types at the bench and a text export keeps.

use std::fmt;

use crate::quantity::{Angle, Dimension, Extent, Length, Quantity, Stated, Torque};
use crate::record::{Pull, Setting};

/// One pass: ticked, with what was read if anything.
#[derive(Debug, Clone, PartialEq)]
pub struct PassDone {
    /// What the pass went to, as the plan printed it: `45 lb-ft`, `+90°`.
    pub to: String,
    pub done: bool,
    /// What the wrench showed, where it was written down.
    pub value: Option<Stated<Torque>>,
}

impl PassDone {
    /// Reads `45 lb-ft done`, `45 lb-ft done 46 lb-ft` or `65 lb-ft open`.
    pub fn parse(text: &str) -> Result<Self, String> {
        let text = without_comma(text.trim())?;
        if let Some(to) = text.strip_suffix(" open") {
            return Ok(Self { to: to.trim().to_owned(), done: false, value: None });
        }
        let expected = || {
            format!(
                "`{text}`: write `45 lb-ft done`, with the reading after it if any, or `45 lb-ft open`"
            )
        };
        let (to, value) = match text.strip_suffix(" done") {
            Some(to) => (to, None),
            None => {
                let (to, value) = text.split_once(" done ").ok_or_else(expected)?;
                (to, Some(Stated::parse(value).map_err(|error| error.to_string())?))
            }
        };
        if to.trim().is_empty() {
            return Err(expected());
        }
        Ok(Self { to: to.trim().to_owned(), done: true, value })
    }
}

impl fmt::Display for PassDone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.done, self.value) {
            (false, _) => write!(f, "{} open", self.to),
            (true, None) => write!(f, "{} done", self.to),
            (true, Some(value)) => write!(f, "{} done {value}", self.to),
        }
    }
}

/// What was reached at one fastener, or at all of them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Reached {
    /// Its hole or mark: `3`; `all` for all of them.
    pub position: String,
    pub torque: Option<Stated<Torque>>,
    pub angle: Option<Stated<Angle>>,
    pub stretch: Option<Stated<Length>>,
    /// Free length before.
    pub before: Option<Stated<Length>>,
    /// Free length after.
    pub after: Option<Stated<Length>>,
}

/// A reading further from its target than this share is off, where the setting states no
/// tolerance of its own. Common practice, no source.
const OFF_TARGET: f64 = 0.1;

const EXPECTED: &str =
    "write `3: 65 lb-ft`, `3: 92°`, `3: stretch 0.0057 in`, `3: before 1.9986 in, after 1.9987 in`";

impl Reached {
    /// Whether a reading lies away from what `pull` asks for: its torque or its
    /// angles by more than `tolerance`, its stretch outside the window.
    pub fn is_off(&self, pull: &Pull, tolerance: f64) -> bool {
        let setting = &pull.spec.setting;
        let torque = pull.wanted().zip(self.torque);
        let off = torque.is_some_and(|(spec, read)| !is_within(read.value(), spec, tolerance));
        off || self.is_off_angle(setting, tolerance) || self.is_off_stretch(setting)
    }

    /// Whether it says how tight the fastener is.
    pub(crate) fn is_measured(&self) -> bool {
        self.torque.is_some() || self.angle.is_some() || self.stretch.is_some()
    }

    /// The same by the tolerance of the setting itself, else by `OFF_TARGET`.
    pub fn is_off_target(&self, pull: &Pull) -> bool {
        let own = pull.spec.setting.tolerance;
        self.is_off(pull, own.map_or(OFF_TARGET, |own| own.value().value()))
    }

    fn is_off_angle(&self, setting: &Setting, tolerance: f64) -> bool {
        let wanted: f64 = setting.angles.iter().map(|angle| angle.value().deg()).sum();
        let read = self.angle.map(|angle| angle.value().deg());
        wanted > 0.0 && read.is_some_and(|read| (read / wanted - 1.0).abs() > tolerance + 1e-9)
    }

    /// Whether the stretch lies outside the window, whatever the tolerance.
    pub fn is_off_stretch(&self, setting: &Setting) -> bool {
        let Some((window, read)) = setting.stretch.zip(self.stretch) else { return false };
        let slack = 1e-9;
        let read = read.value().mm();
        read > window.high().mm() + slack || window.low().is_some_and(|low| read < low.mm() - slack)
    }

    /// Reads `3: 65 lb-ft, 92°, stretch 0.0057 in, before 1.9986 in, after
    /// 1.9987 in`, any of them.
    pub fn parse(text: &str) -> Result<Self, String> {
        let wrong = || format!("`{}`: {EXPECTED}", text.trim());
        let (position, values) = without_comma(text)?.split_once(':').ok_or_else(wrong)?;
        let mut reached = Self { position: position.trim().to_owned(), ..Self::default() };
        if reached.position.is_empty() {
            return Err(wrong());
        }
        for value in values.split(',').map(str::trim) {
            reached.take(value).map_err(|why| format!("{}: {why}", reached.position))?;
        }
        Ok(reached)
    }

    fn take(&mut self, text: &str) -> Result<(), String> {
        let length = |text: &str| Stated::<Length>::parse(text).map_err(|error| error.to_string());
        let twice = || format!("`{text}` is there twice");
        let into =
            |place: &mut Option<Stated<Length>>, text: &str| match place.replace(length(text)?) {
                Some(_) => Err(twice()),
                None => Ok(()),
            };
        if let Some((word, rest)) = text.split_once(' ') {
            match word {
                "stretch" => return into(&mut self.stretch, rest),
                "before" => return into(&mut self.before, rest),
                "after" => return into(&mut self.after, rest),
                _ => {}
            }
        }
        let written = Quantity::parse(text).map_err(|error| format!("{error}; {EXPECTED}"))?;
        let is_free = match written.dimension() {
            Dimension::Torque => self.torque.replace(stated(written)?).is_none(),
            Dimension::Angle => self.angle.replace(stated(written)?).is_none(),
            _ => return Err(format!("`{text}` is a {}; {EXPECTED}", written.dimension().name())),
        };
        if is_free { Ok(()) } else { Err(twice()) }
    }
}

/// A line is never changed: a decimal comma is no part of a figure, nor a sign between two.
fn without_comma(text: &str) -> Result<&str, String> {
    let is_digit = |byte: Option<&u8>| byte.is_some_and(u8::is_ascii_digit);
    let bytes = text.as_bytes();
    let between = |at: &usize| {
        bytes[*at] == b',' && *at > 0 && is_digit(bytes.get(at - 1)) && is_digit(bytes.get(at + 1))
    };
    match (0..bytes.len()).find(between) {
        None => Ok(text),
        Some(_) => {
            let meant = text.replace(',', ".");
            Err(format!("`{text}`: decimals stand after a point; write `{meant}`"))
        }
    }
}

fn stated<K: crate::quantity::Kind>(written: Quantity) -> Result<Stated<K>, String> {
    Stated::new(written).map_err(|error| error.to_string())
}

impl fmt::Display for Reached {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let length = |word: &str, length: Option<Stated<Length>>| {
            length.map(|length| format!("{word} {length}"))
        };
        let values: Vec<String> = [
            self.torque.map(|torque| torque.to_string()),
            self.angle.map(|angle| angle.to_string()),
            length("stretch", self.stretch),
            length("before", self.before),
            length("after", self.after),
        ]
        .into_iter()
        .flatten()
        .collect();
        write!(f, "{}: {}", self.position, values.join(", "))
    }
}

/// Whether `torque` lies in what the spec states, within `tolerance` as a
/// share.
pub(crate) fn is_within(torque: Torque, spec: Extent<Torque>, tolerance: f64) -> bool {
    let high = spec.high() * (1.0 + tolerance);
    let low = spec.low().map_or(0.0, |low| low.nm() * (1.0 - tolerance));
    (low..=high.nm()).contains(&torque.nm())
}
