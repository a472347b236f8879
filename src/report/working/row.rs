//! The steps of one row of the book: friction, clamp and band.

use crate::mechanics::formulas;
use crate::mechanics::{self, Form, Target};
use crate::quantity::{Force, Ratio, Stated, Torque};
use crate::record::{
    Band, Basis, Clamp, Friction, Lube, Lubes, Method, Row, Tables, WRENCH_TOLERANCE, best_form,
    control, same_form,
};
use crate::report::figures::{Rounding, significant};
use crate::report::lay::clean;
use crate::report::working::measured::{Measured, plain};
use crate::report::working::strength::{section_words, sections};
use crate::report::working::{Step, Working};
use crate::thread::Geometry;

/// Everything that leads to the figures of `row`, its sections first unless
/// they were `shown` already.
pub(crate) fn row_working(row: &Row, tables: &Tables, shown: bool) -> Working {
    let mut working = Working::default();
    if let Some(reason) = &row.refused {
        working.remark(format!("refused: {}", clean(&reason.to_string())));
        working.remark(
            "A rule, not a sum: common practice of the trade. The sheet's own value for the lube, \
             if there is one, goes before any of this.",
        );
        return working;
    }
    if !shown {
        sections(&row.fastener, &row.derived, tables, &mut working);
    }
    if let Some(reason) = &row.derived.no_clamp {
        working.remark(no_clamp(row.setting.method, reason));
        return working;
    }
    let Some(inputs) = Inputs::from_row(row, tables) else { return working };
    inputs.restated(tables, &mut working);
    inputs.lever(&mut working);
    inputs.clamp(&mut working);
    inputs.band(&mut working);
    inputs.shares_of_strength(&mut working);
    inputs.combined(&mut working);
    inputs.ratios(tables, &mut working);
    working
}

/// What leads from `target` to the torque of `row`.
pub(crate) fn target_working(row: &Row, target: Target, tables: &Tables) -> Working {
    let mut working = Working::default();
    sections(&row.fastener, &row.derived, tables, &mut working);
    let Some(inputs) = Inputs::from_row(row, tables) else { return working };
    inputs.lever(&mut working);
    inputs.aimed(target, &mut working);
    inputs.band(&mut working);
    inputs.shares_of_strength(&mut working);
    inputs.combined(&mut working);
    working
}

fn no_clamp(method: Method, reason: &str) -> String {
    match method {
        Method::Torque => format!("no clamp: {}", clean(reason)),
        Method::TorqueAngle | Method::Angle => {
            "no clamp: an angle counts pitch and stiffness, not friction; `clampbook calc turn` \
             needs the joint's lengths and materials"
                .to_owned()
        }
        Method::Stretch => "no clamp: a stretch counts lengths and sections, not friction; \
             `clampbook calc stretch` needs them"
            .to_owned(),
    }
}

/// A row with the form that gave its clamp.
pub(crate) struct Inputs<'a> {
    pub(crate) row: &'a Row,
    pub(crate) lubes: Lubes<'a>,
    pub(crate) friction: Friction,
    pub(crate) geometry: Geometry,
}

/// What a factor of a lube is, with its range and source.
pub(crate) fn of_lube(lube: &Lube, band: Band) -> String {
    let range = if band.low == band.high {
        "no range known".to_owned()
    } else {
        format!("range {} to {}", plain(band.low), plain(band.high))
    };
    let source = lube.source.as_deref().map_or_else(|| "source not stated".to_owned(), clean);
    format!("{}; {range}; {source}", clean(&lube.name))
}

impl<'a> Inputs<'a> {
    /// None where the row has no thread, no lube or no factor.
    pub(crate) fn from_row(row: &'a Row, tables: &'a Tables) -> Option<Self> {
        let geometry = row.fastener.thread.as_ref()?.geometry().ok()?;
        let lubes = Lubes::named_by(&row.setting, tables).ok()?;
        let from = row.restated.as_ref().and_then(|from| tables.lube(&from.from_lube));
        // A restated torque stands in the form that both lubes have.
        let friction = match from {
            Some(from) => same_form(&row.fastener, Lubes::both(from), lubes)?[1],
            None => best_form(&row.fastener, lubes).ok()?,
        };
        Some(Self { row, lubes, friction, geometry })
    }

    /// The torque that the figures are those of: the top of a range.
    fn torque(&self) -> Option<Torque> {
        let torque = self.row.setting.torque?;
        torque.low().map(|_| torque.high())
    }

    fn is_range(&self) -> bool {
        self.row.setting.torque.is_some_and(|torque| torque.low() != Some(torque.high()))
    }

    pub(crate) fn form(&self) -> &Form {
        &self.friction.range.nominal
    }

    pub(crate) fn clamp_found(&self) -> Option<Force> {
        self.row.derived.clamp.map(|clamp| clamp.nominal)
    }

    /// The lever of the form, with the factors of the lubes.
    pub(crate) fn lever(&self, working: &mut Working) {
        let Ok(lever) = self.form().lever(&self.geometry) else { return };
        let step = match *self.form() {
            Form::Short { k } => self.short_lever(k),
            Form::Long { thread, bearing, face } => self.long_lever(thread, bearing, face),
        };
        working.step(step.gives("l", lever));
        if matches!(self.form(), Form::Long { .. }) {
            let d = self.geometry.major;
            let step = Step::new("equivalent nut factor", &formulas::EQUIVALENT_K);
            working.step(step.with("d", d, "major diameter").gives("K", lever / d));
        }
    }

    fn short_lever(&self, k: Ratio) -> Step {
        let lube = self.lubes.thread;
        let is = lube.k.map(|band| of_lube(lube, band)).unwrap_or_default();
        let step = Step::new("torque per clamp, short form", &formulas::SHORT_LEVER);
        step.with("K", k, is).with("d", self.geometry.major, "major diameter")
    }

    fn long_lever(&self, thread: Ratio, face_mu: Ratio, face: mechanics::Bearing) -> Step {
        let (geometry, lubes) = (&self.geometry, &self.lubes);
        let is = |lube: &Lube, band: Option<Band>| band.map(|band| of_lube(lube, band));
        let assumed = |of: &str| match self.friction.assumed {
            Some(assumed) => format!("{of}, ASSUMED: {assumed}"),
            None => format!("{of}, as stated"),
        };
        Step::new("torque per clamp, long form", &formulas::LONG_LEVER)
            .with("P", geometry.pitch, "pitch")
            .with("d2", geometry.pitch_diameter, "pitch diameter")
            .with("β", geometry.flank_angle / 2.0, "half the flank angle")
            .with("μt", thread, is(lubes.thread, lubes.thread.mu_thread).unwrap_or_default())
            .with("μb", face_mu, is(lubes.face, lubes.face.mu_bearing).unwrap_or_default())
            .with("Do", face.outer, assumed("outer diameter of the face"))
            .with("Dh", face.hole, assumed("hole under it"))
    }

    fn clamp(&self, working: &mut Working) {
        let Some((torque, clamp)) = self.torque().zip(self.clamp_found()) else { return };
        let effective = self.less_prevailing(torque, working);
        let setting = &self.row.setting;
        let words = match setting.basis {
            Basis::Computed => "computed".to_owned(),
            basis if self.is_range() => format!("{basis}: the top of {}", setting.in_words()),
            basis => format!("{basis}: {}", setting.in_words()),
        };
        let step = Step::new("clamp of the torque", &formulas::CLAMP).with("T", effective, words);
        let Ok(lever) = self.form().lever(&self.geometry) else { return };
        working.step(step.with("l", lever, "").gives("F", clamp));
    }

    /// The clamp that reaches `target`, and its torque.
    fn aimed(&self, target: Target, working: &mut Working) {
        let derived = &self.row.derived;
        let Some((torque, clamp)) = self.torque().zip(self.clamp_found()) else { return };
        let torque_of = |what: &str| {
            let step = Step::new("torque of the clamp", &formulas::TORQUE).with("F", clamp, what);
            match self.form().lever(&self.geometry) {
                Ok(lever) => step.with("l", lever, "torque per clamp").gives("T", torque),
                Err(_) => step.gives("T", torque),
            }
        };
        let (share, formula, symbol, strength) = match target {
            Target::OfProof(share) => (share, &formulas::AT_PROOF, "Sp", derived.proof),
            Target::OfYield(share) => (share, &formulas::AT_YIELD, "Sy", derived.yield_),
            Target::Combined(share) => (share, &formulas::AT_COMBINED, "Sy", derived.yield_),
            Target::Clamp(_) => return working.step(torque_of("as asked for")),
        };
        let Some((strength, area)) = strength.zip(derived.area) else { return };
        let mut step = Step::new("clamp of the target", formula)
            .with("f", Measured::share(share.value()), "the target")
            .with(symbol, strength, "")
            .with("A", area, section_words(derived));
        if let (Target::Combined(_), Ok(Some(lever))) =
            (target, self.form().twisting_lever(&self.geometry))
        {
            step = step.with("lt", lever, "the thread's part of the lever");
        }
        working.step(step.gives("F", clamp));
        working.step(torque_of("clamp"));
    }

    /// The torque that clamps, where the listed one includes a locking thread.
    fn less_prevailing(&self, torque: Torque, working: &mut Working) -> Torque {
        let Some(clamp) = self.clamp_found() else { return torque };
        let fastener = &self.row.fastener;
        let effective = self.form().torque(&self.geometry, clamp).unwrap_or(torque);
        let Some(running) = fastener.prevailing.filter(|_| torque.nm() - effective.nm() > 1e-9)
        else {
            return torque;
        };
        let step = Step::new("torque that clamps", &formulas::LESS_PREVAILING)
            .with("Tsheet", torque, self.row.setting.in_words())
            .with("Tprev", running, "prevailing torque, included in it");
        working.step(step.gives("T", effective));
        effective
    }

    /// The band: at each end the wider of the scatter of the method and the range
    /// of friction with the wrench.
    pub(crate) fn band(&self, working: &mut Working) {
        let Some(clamp) = self.row.derived.clamp else { return };
        let setting = &self.row.setting;
        let row = control(self.lubes).scatter();
        if let Ok(band) = mechanics::Clamp::by_control(clamp.nominal, row.control) {
            let step = Step::new("band by the method", &formulas::BAND_METHOD)
                .source(row.source)
                .with("Γ", Measured::share(row.either_side), "scatter of a torque by wrench")
                .with("Flow", band.low, "low end");
            working.step(step.gives("Fhigh", band.high));
        }
        let wrench = setting.tolerance.map_or(WRENCH_TOLERANCE, Stated::value);
        let range = &self.friction.range;
        let torque = self.form().torque(&self.geometry, clamp.nominal);
        let band = torque.and_then(|torque| {
            mechanics::Clamp::by_friction(&self.geometry, torque, range, wrench)
        });
        if let Ok(band) = band {
            let lever = |form: &Form| form.lever(&self.geometry).ok();
            let is = match setting.tolerance {
                Some(_) => "tolerance of the wrench, as given",
                None => "tolerance of the wrench, ISO 6789 (figure from memory)",
            };
            let mut step = Step::new("band by friction and wrench", &formulas::BAND_FRICTION);
            if let Some((low, high)) = lever(&range.low).zip(lever(&range.high)) {
                step = step.with("llow", low, "lever at least friction");
                step = step.with("lhigh", high, "lever at most friction");
            }
            step = step
                .with("w", Measured::share(wrench.value()), is)
                .with("Flow", band.low, "low end");
            working.step(step.gives("Fhigh", band.high));
        }
        let low =
            if self.is_range() { " Its low end is that of the low end of the torque." } else { "" };
        working.remark(format!(
            "The band takes the wider of the two at each end: {}.{low}",
            clamp_range(clamp)
        ));
    }
}

/// `47.1 to 84 kN`, outward.
fn clamp_range(clamp: Clamp) -> String {
    let kilo = |force: Force, rounding| significant(force.n() / 1000.0, 4, rounding);
    format!("{} to {} kN", kilo(clamp.low, Rounding::Down), kilo(clamp.high, Rounding::Up))
}

/// Words for how `row` came by its band, to be said once on a screen.
pub(crate) fn band_words(row: &Row, tables: &Tables) -> Option<String> {
    row.derived.clamp?;
    let inputs = Inputs::from_row(row, tables)?;
    let wrench = row.setting.tolerance.map_or(WRENCH_TOLERANCE, Stated::value);
    let wrench = plain(wrench.value() * 100.0);
    let either_side = plain(control(inputs.lubes).scatter().either_side * 100.0);
    let range = &inputs.friction.range;
    let friction = if range.low == range.high { "wrench" } else { "range of friction with wrench" };
    Some(format!("the wider of scatter ±{either_side} % and {friction} ±{wrench} %"))
}
