//! The steps of one row of the book: friction, clamp, band, how near proof and
//! yield, and what it was restated from.

use crate::mechanics::{self, Form, FormRange, TORSION_LEFT, Target};
use crate::quantity::{Force, Length, Ratio, Stated, Torque};
use crate::record::{
    Band, Basis, Derived, FormUsed, Lube, Lubes, Method, Row, Setting, Tables, WRENCH_TOLERANCE,
    bearing_ring, best_form, control,
};
use crate::report::lay::clean;
use crate::report::working::formulas::{self, Formula};
use crate::report::working::measured::{Measured, plain};
use crate::report::working::strength::{section_words, sections};
use crate::report::working::{Step, Working};
use crate::thread::Geometry;

/// Everything that leads to the figures of `row`, its sections first unless
/// they were `shown` already.
pub(crate) fn row_working(row: &Row, tables: &Tables, shown: bool) -> Working {
    let mut working = Working::default();
    if let Some(reason) = &row.refused {
        working.remark(format!("refused: {}", clean(reason)));
        working.remark("A rule, not a sum: common practice of the trade. The sheet's own value for the lube, if there is one, goes before any of this.");
        return working;
    }
    if !shown {
        sections(&row.fastener, &row.derived, tables, &mut working);
    }
    if let Some(reason) = &row.derived.no_clamp {
        working.remark(no_clamp(row.setting.method, reason));
        return working;
    }
    let geometry = row.fastener.thread.as_ref().and_then(|thread| thread.geometry().ok());
    let lubes = Lubes::of(&row.setting, tables).ok();
    let Some((geometry, lubes)) = geometry.zip(lubes) else { return working };
    let Ok((used, range)) = best_form(&row.fastener, lubes) else { return working };
    let known = Known { row, lubes, used, range, geometry };
    known.restated(tables, &mut working);
    known.lever(&mut working);
    known.clamp(&mut working);
    known.band(&mut working);
    known.shares_of_strength(&mut working);
    known.combined(&mut working);
    known.ratios(tables, &mut working);
    working
}

/// What leads from `target` to the torque of `row`.
pub(crate) fn target_working(row: &Row, target: Target, tables: &Tables) -> Working {
    let mut working = Working::default();
    sections(&row.fastener, &row.derived, tables, &mut working);
    let geometry = row.fastener.thread.as_ref().and_then(|thread| thread.geometry().ok());
    let lubes = Lubes::of(&row.setting, tables).ok();
    let Some((geometry, lubes)) = geometry.zip(lubes) else { return working };
    let Ok((used, range)) = best_form(&row.fastener, lubes) else { return working };
    let known = Known { row, lubes, used, range, geometry };
    known.lever(&mut working);
    known.aimed(target, &mut working);
    known.band(&mut working);
    known.shares_of_strength(&mut working);
    known.combined(&mut working);
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
pub(crate) struct Known<'a> {
    pub(crate) row: &'a Row,
    pub(crate) lubes: Lubes<'a>,
    pub(crate) used: FormUsed,
    pub(crate) range: FormRange,
    pub(crate) geometry: Geometry,
}

/// `.12 (.09–.16)`, or the bare number where there is no range.
pub(crate) fn factor_range(band: Band) -> String {
    let factor = crate::report::figures::factor;
    if band.low == band.high {
        return factor(band.nominal);
    }
    format!("{} ({}–{})", factor(band.nominal), factor(band.low), factor(band.high))
}

/// What a factor of a lube is, with its range and source.
fn of_lube(lube: &Lube, band: Band) -> String {
    let range = match band.low == band.high {
        true => "no range known".to_owned(),
        false => format!("range {} to {}", plain(band.low), plain(band.high)),
    };
    let source = lube.source.as_deref().map_or_else(|| "source not stated".to_owned(), clean);
    format!("{}; {range}; {source}", clean(&lube.name))
}

impl Known<'_> {
    fn torque(&self) -> Option<Torque> {
        self.row.setting.torque?.target()
    }

    fn clamp_found(&self) -> Option<Force> {
        self.row.derived.clamp.map(|clamp| clamp.nominal)
    }

    /// The lever of the form, with the factors of the lubes.
    pub(crate) fn lever(&self, working: &mut Working) {
        let Ok(lever) = self.range.nominal.lever(&self.geometry) else { return };
        let step = match self.range.nominal {
            Form::Short { k } => self.short_lever(k),
            Form::Long { thread, bearing, face } => self.long_lever(thread, bearing, face),
        };
        working.step(step.gives("l", lever));
        if self.used == FormUsed::Long {
            let k = lever / self.geometry.major;
            let step = Step::new("equivalent nut factor", &formulas::EQUIVALENT_K)
                .with("d", self.geometry.major, "major diameter");
            working.step(step.gives("K", k));
        }
    }

    fn short_lever(&self, k: Ratio) -> Step {
        let lube = self.lubes.thread;
        let is = lube.k.map(|band| of_lube(lube, band)).unwrap_or_default();
        Step::new("torque per clamp, short form", &formulas::SHORT_LEVER)
            .with("K", k, is)
            .with("d", self.geometry.major, "major diameter")
    }

    fn long_lever(&self, thread: Ratio, face_mu: Ratio, face: mechanics::Bearing) -> Step {
        let (geometry, lubes) = (&self.geometry, &self.lubes);
        let is = |lube: &Lube, band: Option<Band>| band.map(|band| of_lube(lube, band));
        let ring = bearing_ring(&self.row.fastener).and_then(|ring| ring.assumed);
        let assumed = |of: &str| match ring {
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

    /// The clamp of the torque.
    fn clamp(&self, working: &mut Working) {
        let Some((torque, clamp)) = self.torque().zip(self.clamp_found()) else { return };
        let effective = self.less_prevailing(torque, working);
        let setting = &self.row.setting;
        let said = match (setting.torque.map(|torque| torque.low() == Some(torque.high())), setting.basis) {
            (_, Basis::Computed) => "computed".to_owned(),
            (Some(false), basis) => format!("{basis}: the middle of {}", setting.in_words()),
            (_, basis) => format!("{basis}: {}", setting.in_words()),
        };
        let step = Step::new("clamp of the torque", &formulas::CLAMP).with("T", effective, said);
        let Ok(lever) = self.range.nominal.lever(&self.geometry) else { return };
        working.step(step.with("l", lever, "").gives("F", clamp));
    }

    /// The clamp that reaches `target`, and its torque.
    fn aimed(&self, target: Target, working: &mut Working) {
        let derived = &self.row.derived;
        let Some((torque, clamp)) = self.torque().zip(self.clamp_found()) else { return };
        let weakest = derived.area.map(|area| (area, section_words(derived)));
        let turned = (self.geometry.stress_area, "stress area of the thread that turns".to_owned());
        let (share, formula, symbol, strength, section) = match target {
            Target::OfProof(share) => (share, &formulas::AT_PROOF, "Sp", derived.proof, weakest),
            Target::OfYield(share) => (share, &formulas::AT_YIELD, "Sy", derived.yield_, weakest),
            Target::Combined(share) => {
                (share, &formulas::AT_COMBINED, "Sy", derived.yield_, Some(turned))
            }
            Target::Clamp(_) => {
                let step = Step::new("torque of the clamp", &formulas::TORQUE);
                working.step(self.lever_of(step.with("F", clamp, "as asked for")).gives("T", torque));
                return;
            }
        };
        let Some((strength, (area, section))) = strength.zip(section) else { return };
        let mut step = Step::new("clamp of the target", formula)
            .with("f", Measured::share(share.value()), "the target")
            .with(symbol, strength, "")
            .with("A", area, section);
        if let (Target::Combined(_), Ok(Some(lever))) =
            (target, self.range.nominal.twisting_lever(&self.geometry))
        {
            step = step.with("lt", lever, "the thread's part of the lever");
        }
        working.step(step.gives("F", clamp));
        let step = Step::new("torque of the clamp", &formulas::TORQUE).with("F", clamp, "clamp");
        working.step(self.lever_of(step).gives("T", torque));
    }

    fn lever_of(&self, step: Step) -> Step {
        match self.range.nominal.lever(&self.geometry) {
            Ok(lever) => step.with("l", lever, "torque per clamp"),
            Err(_) => step,
        }
    }

    /// The torque that clamps, where the listed one includes a locking thread.
    fn less_prevailing(&self, torque: Torque, working: &mut Working) -> Torque {
        let Some(clamp) = self.clamp_found() else { return torque };
        let fastener = &self.row.fastener;
        let effective = self.range.nominal.torque(&self.geometry, clamp).unwrap_or(torque);
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

    /// The band, by the range of friction or by the scatter of the method.
    pub(crate) fn band(&self, working: &mut Working) {
        let Some(clamp) = self.row.derived.clamp else { return };
        let setting = &self.row.setting;
        let has_range = self.range.low != self.range.high;
        if setting.basis != Basis::Computed || !has_range {
            let row = control(self.lubes.thread.class).scatter();
            let why = match setting.basis {
                Basis::Computed => "no range of friction is known: the scatter of the method",
                _ => "scatter of a torque pulled by wrench",
            };
            let step = Step::new("band of the clamp", &formulas::BAND_METHOD)
                .source(row.source)
                .with("Γ", Measured::share(row.either_side), why)
                .with("Flow", clamp.low, "low end");
            working.step(step.gives("Fhigh", clamp.high));
            return;
        }
        let lever = |form: &Form| form.lever(&self.geometry).unwrap_or(Length::from_mm(f64::NAN));
        let wrench = setting.tolerance.map_or(WRENCH_TOLERANCE, Stated::value);
        let is = match setting.tolerance {
            Some(_) => "tolerance of the wrench, as given",
            None => "tolerance of the wrench, ISO 6789 (figure from memory)",
        };
        let step = Step::new("band of the clamp", &formulas::BAND_FRICTION)
            .with("llow", lever(&self.range.low), "lever at least friction")
            .with("lhigh", lever(&self.range.high), "lever at most friction")
            .with("w", Measured::share(wrench.value()), is)
            .with("Flow", clamp.low, "low end");
        working.step(step.gives("Fhigh", clamp.high));
    }

    /// Tension, of proof and of yield, in the smallest section.
    pub(crate) fn shares_of_strength(&self, working: &mut Working) {
        let derived = &self.row.derived;
        let Some(clamp) = self.clamp_found() else { return };
        if let Some((area, stress)) = derived.area.zip(derived.stress) {
            let step = Step::new("tension", &formulas::TENSION).with("F", clamp, "clamp");
            working.step(step.with("A", area, section_words(derived)).gives("σ", stress));
        }
        let share = |title, formula: &'static Formula, symbol, load: Option<Force>, share: Option<f64>| {
            let (load, share) = load.zip(share)?;
            let step = Step::new(title, formula).with("F", clamp, "clamp");
            Some(step.with(symbol, load, "in the smallest section").gives("share", Measured::share(share)))
        };
        let proof =
            share("of proof", &formulas::OF_PROOF, "Sp·A", derived.proof_load, derived.of_proof);
        let limit =
            share("of yield", &formulas::OF_YIELD, "Sy·A", derived.yield_load, derived.of_yield);
        proof.into_iter().chain(limit).for_each(|step| working.step(step));
        if derived.yield_load.zip(derived.clamp).is_some_and(|(limit, clamp)| clamp.high > limit) {
            working.remark("The top of the band passes yield: ask the maker, or measure stretch.");
        }
    }

    /// Tension with torsion, while tightening and afterwards.
    pub(crate) fn combined(&self, working: &mut Working) {
        let derived = &self.row.derived;
        let Some(clamp) = self.clamp_found() else { return };
        let Ok(Some(twist)) = self.range.nominal.thread_torque(&self.geometry, clamp) else {
            working.remark("Combined stress not computed: K alone does not say how much of the torque twists the fastener; friction coefficients do.");
            return;
        };
        let lever = self.range.nominal.twisting_lever(&self.geometry).ok().flatten();
        let Some(lever) = lever else { return };
        let step = Step::new("torque in the thread", &formulas::TWIST).with("F", clamp, "clamp");
        working.step(step.with("Tt/F", lever, "the thread's part of the lever").gives("Tt", twist));
        let Some((limit, combined)) = derived.yield_.zip(derived.combined) else { return };
        let area = self.geometry.stress_area;
        let step = |title, formula| {
            Step::new(title, formula)
                .with("F", clamp, "clamp")
                .with("Tt", twist, "torque in the thread")
                .with("A", area, "stress area of the thread that turns")
                .with("Sy", limit, "yield")
        };
        let while_tightening = step("combined while tightening, of yield", &formulas::COMBINED);
        working.step(while_tightening.gives("share", Measured::share(combined)));
        if let Ok(after) = mechanics::combined_after(clamp, area, twist, TORSION_LEFT) {
            let after = Measured::share(after / limit);
            let step = step("combined with the wrench off, of yield", &formulas::COMBINED_AFTER);
            working.step(step.with("k", TORSION_LEFT, "torsion left").gives("share", after));
        }
    }

    /// What a restated torque comes from.
    fn restated(&self, tables: &Tables, working: &mut Working) {
        let Some(restated) = &self.row.restated else { return };
        let Some(lube) = tables.lube(&restated.from_lube) else { return };
        let from = Torque::from_nm(restated.from_torque_nm);
        let said = format!("{} {}", clean(&restated.from), clean(&lube.name));
        let to = self.row.setting.torque.and_then(crate::quantity::Extent::low);
        let step = conversion(self.used, &self.geometry, &self.row.fastener, lube, self.lubes.thread);
        let Some((step, to)) = step.zip(to) else { return };
        working.step(step.with("T1", from, said).gives("T2", to));
        working.remark("Allowed because: plain torque, reusable, both factors have a source and one form, same hardware, no listed value for this lube.");
        working.remark(restated.note.as_deref().map_or_else(String::new, |note| {
            format!("{}: for no particular joint.", clean(note))
        }));
    }

    /// The listed torques of other lubes beside the ratio of the factors.
    fn ratios(&self, tables: &Tables, working: &mut Working) {
        let row = self.row;
        if row.setting.basis == Basis::Computed {
            return;
        }
        let plain = |other: &&Setting| {
            other.method == Method::Torque
                && !other.superseded
                && other.source == row.setting.source
                && other.lube != row.setting.lube
        };
        for other in row.fastener.settings.iter().filter(plain) {
            if let Some(step) = self.ratio(other, tables) {
                step.into_iter(working);
            }
        }
    }
}

/// A ratio with its verdict.
struct RatioStep {
    step: Step,
    doubt: Option<String>,
}

impl RatioStep {
    fn into_iter(self, working: &mut Working) {
        working.step(self.step);
        if let Some(doubt) = self.doubt {
            working.remark(doubt);
        }
    }
}

impl Known<'_> {
    fn ratio(&self, other: &Setting, tables: &Tables) -> Option<RatioStep> {
        let lubes = Lubes::of(other, tables).ok()?;
        let form = crate::record::form_range(self.used, &self.row.fastener, lubes)?.nominal;
        let torques = [self.torque()?, other.torque?.target()?];
        let forms = [&self.range.nominal, &form];
        let check = mechanics::ratio_check(&self.geometry, torques, forms).ok()?;
        let title = format!("the sheet's {} against {}", clean(&lubes.thread.name), clean(&self.lubes.thread.name));
        let difference = check.difference.value();
        let step = Step::new(title, &formulas::RATIO)
            .with("T2/T1", check.sheet, format!("{} over {}", other.in_words(), self.row.setting.in_words()))
            .with("l2/l1", check.factors, "by the factors of the lubes")
            .gives("difference", Measured::share(difference));
        let doubt = check.doubtful.then(|| {
            format!(
                "CHECK SHEET OR K: the sheet's ratio and the ratio of the factors differ by {:.0} %. \
                 Nothing was changed.",
                (difference * 100.0).abs()
            )
        });
        Some(RatioStep { step, doubt })
    }
}

/// The conversion from one lube to another, both factors named.
fn conversion(
    used: FormUsed,
    geometry: &Geometry,
    fastener: &crate::record::Fastener,
    from: &Lube,
    to: &Lube,
) -> Option<Step> {
    if used == FormUsed::Short {
        let (one, two) = (from.k?, to.k?);
        return Some(
            Step::new("torque at equal clamp", &formulas::CONVERT_K)
                .with("K1", one.nominal, of_lube(from, one))
                .with("K2", two.nominal, of_lube(to, two)),
        );
    }
    let lever = |lube| {
        let range = crate::record::form_range(used, fastener, Lubes::both(lube))?;
        range.nominal.lever(geometry).ok()
    };
    let is = |lube: &Lube| lube.mu_thread.map(|band| format!("μt {}: {}", plain(band.nominal), of_lube(lube, band)));
    Some(
        Step::new("torque at equal clamp", &formulas::CONVERT_MU)
            .with("l1", lever(from)?, is(from)?)
            .with("l2", lever(to)?, is(to)?),
    )
}

/// Words for how `derived` came by its clamp: `band from …`.
pub(crate) fn band_words(row: &Row, derived: &Derived, tables: &Tables) -> Option<String> {
    derived.clamp?;
    let lubes = Lubes::of(&row.setting, tables).ok()?;
    let (_, range) = best_form(&row.fastener, lubes).ok()?;
    if row.setting.basis == Basis::Computed && range.low != range.high {
        let wrench = row.setting.tolerance.map_or(WRENCH_TOLERANCE, Stated::value);
        return Some(format!("range of friction and wrench ±{} %", plain(wrench.value() * 100.0)));
    }
    let scatter = control(lubes.thread.class).scatter();
    Some(format!("scatter of the method ±{} %: {}", plain(scatter.either_side * 100.0), scatter.source))
}
