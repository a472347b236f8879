//! `calc THREAD`: torque, clamp and stress of one thread.
//!
//! The arguments become a fastener of their own with a lube of their own, so
//! that the arithmetic is the one of the book.

use std::sync::Arc;

use crate::cli::calc::read::{bearing, factor, of_sum, thread};
use crate::cli::calc::strength::{self, StrengthArgs};
use crate::cli::complete;
use crate::cli::exit::{Failure, argument, wrong};
use crate::cli::globals::Globals;
use crate::cli::named;
use crate::cli::typed::{quantity, stated, with_point};
use crate::correction::{self, Refusal};
use crate::mechanics::MechanicsError;
use crate::quantity::{Extent, NEWTON_METRE, POUND_FOOT, Ratio, Stated, Torque, Unit};
use crate::query::resolve::parse_target;
use crate::record::{
    Basis, Derived, Fastener, KeptKind, Lube, LubeClass, Lubes, Method, NameOf, Row, Setting,
    Tables, best_form, derive, derive_with, foreign_factor,
};
use crate::report::calc::{Aim, Page, TorqueSum};

// The sum of torque and clamp.
#[derive(Debug, clap::Args)]
pub(super) struct SumArgs {
    /// The thread, with its pitch
    #[arg(required = true, add = complete::thread())]
    pub thread: Option<String>,
    /// The other thread of a stud, in its hole
    #[arg(long, value_name = "THREAD")]
    pub hole_thread: Option<String>,
    /// Diameter of a reduced shank
    #[arg(long, value_name = "DIAMETER")]
    pub waist: Option<String>,
    #[command(flatten)]
    pub strength: StrengthArgs,
    /// Lube of the book
    #[arg(long, group = "friction", add = complete::named(NameOf::Lube))]
    pub lube: Option<String>,
    /// Nut factor K, or LOW..HIGH, or LOW..K..HIGH; forces the short form
    #[arg(long, group = "friction", allow_negative_numbers = true)]
    pub k: Option<String>,
    /// Friction coefficient of the threads, and of the face unless given apart; also a range
    #[arg(long, group = "friction", allow_negative_numbers = true)]
    pub mu: Option<String>,
    /// Friction coefficient under the head or nut
    #[arg(long, requires = "mu", value_name = "MU", allow_negative_numbers = true)]
    pub mu_bearing: Option<String>,
    /// Outer and hole diameter of the face that slides: 17.5mm,11mm
    #[arg(long, value_name = "OUTER,HOLE")]
    pub bearing: Option<String>,
    /// Head whose standard face is assumed where --bearing is not given
    #[arg(long, value_enum, conflicts_with = "bearing")]
    pub head: Option<HeadArg>,
    /// Torque, to find the clamp
    #[arg(long, group = "aim")]
    pub torque: Option<String>,
    /// Target, to find the torque: "75% proof", "75% yield", "90% combined", "70 kN"
    #[arg(long, group = "aim", add = complete::target())]
    pub target: Option<String>,
    /// Tolerance of the wrench, for the band of the clamp; 4% unless given
    #[arg(long, value_name = "PERCENT")]
    pub wrench_tolerance: Option<String>,
}

/// A head whose bearing face is standard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum HeadArg {
    /// Hexagon head or nut.
    Hex,
    /// Cylindrical head with a hexagon socket.
    Socket,
}

pub(super) fn page(globals: &Globals, given: &SumArgs) -> Result<Page, Failure> {
    let is_named = given.lube.is_some();
    let mut tables = strength::tables(globals, is_named || given.strength.strength.is_some())?;
    let fastener = Arc::new(fastener(given, &tables)?);
    let lube = lube(given, &mut tables)?;
    check_form(&fastener, &lube, given)?;
    let asked = Asked { given, fastener, lube, tables: &tables };
    let sum = match (&given.torque, &given.target) {
        (Some(torque), _) => asked.clamp(torque)?,
        (None, Some(target)) => asked.torque(target)?,
        (None, None) => {
            return argument("give --torque to find the clamp, or --target to find the torque");
        }
    };
    Ok(sum.page(&tables))
}

fn fastener(given: &SumArgs, tables: &Tables) -> Result<Fastener, Failure> {
    let turned = thread("THREAD", given.thread.as_deref().unwrap_or_default())?;
    let waist = stated("--waist", given.waist.as_ref())?;
    let mut fastener = strength::fastener(Some(turned), &given.strength, waist, tables)?;
    let hole = given.hole_thread.as_ref();
    fastener.hole_thread = hole.map(|text| thread("--hole-thread", text)).transpose()?;
    fastener.bearing = given.bearing.as_ref().map(|text| bearing(text)).transpose()?;
    fastener.head = given.head.map(|head| match head {
        HeadArg::Hex => "hex".to_owned(),
        HeadArg::Socket => "socket".to_owned(),
    });
    Ok(fastener)
}

fn lube(given: &SumArgs, tables: &mut Tables) -> Result<Lube, Failure> {
    if let Some(name) = &given.lube {
        let known = || tables.lubes.iter().map(|lube| lube.name.as_str());
        let missing = || wrong("--lube", named::unknown(KeptKind::Lube, name, known()));
        return tables.lube(name).cloned().ok_or_else(missing);
    }
    let read = |option: &str, text: &Option<String>| {
        text.as_ref().map(|text| factor(option, text)).transpose()
    };
    let (k, mu) = (read("--k", &given.k)?, read("--mu", &given.mu)?);
    let face = read("--mu-bearing", &given.mu_bearing)?;
    if k.is_none() && mu.is_none() {
        return argument("which friction? give --lube NAME, --k K or --mu MU: none is assumed");
    }
    let lube = Lube {
        k,
        mu_thread: mu,
        mu_bearing: face.or(mu),
        source: Some("given on the command line".to_owned()),
        // Nothing says that it is lubricated: the wider published scatter stands.
        ..Lube::named("factors given", LubeClass::Dry)
    };
    tables.lubes.push(lube.clone());
    Ok(lube)
}

/// Fails where a factor or a ring that was given cannot be one; a lube of the
/// book that has no factor is no mistake of the person.
fn check_form(fastener: &Fastener, lube: &Lube, given: &SumArgs) -> Result<(), Failure> {
    let geometry = fastener.thread.as_ref().and_then(|thread| thread.geometry().ok());
    let Ok(friction) = best_form(fastener, Lubes::both(lube)) else {
        return match given.mu {
            Some(_) => Err(wrong(
                "--bearing",
                "no standard head is known for this thread: state OUTER,HOLE",
            )),
            None => Ok(()),
        };
    };
    let Some(geometry) = geometry else { return Ok(()) };
    let name = |error: MechanicsError| match error.field() {
        "bearing friction" if given.mu_bearing.is_none() => wrong("--mu", error),
        "K" | "thread friction" | "bearing friction" if given.lube.is_some() => {
            wrong("--lube", error)
        }
        _ => of_sum(error),
    };
    let range = friction.range;
    for form in [range.low, range.nominal, range.high] {
        form.lever(&geometry).map_err(name)?;
    }
    Ok(())
}

/// What was asked for, read.
struct Asked<'a> {
    given: &'a SumArgs,
    fastener: Arc<Fastener>,
    lube: Lube,
    tables: &'a Tables,
}

impl Asked<'_> {
    /// The clamp of a torque.
    fn clamp(&self, text: &str) -> Result<TorqueSum, Failure> {
        let torque = Extent::<Torque>::parse(text)
            .map_err(|error| wrong("--torque", with_point(text, error)))?;
        if torque.target().is_none_or(|torque| torque.nm() <= 0.0) {
            let text = format!("`{text}`: expected a torque above 0 to aim at");
            return Err(wrong("--torque", text));
        }
        let row = self.row(Setting { torque: Some(torque), ..self.setting()? });
        Ok(self.sum(Aim::Torque(torque), row, None))
    }

    /// The torque of a target.
    fn torque(&self, text: &str) -> Result<TorqueSum, Failure> {
        let expected = "write 75% proof, 75% yield, 90% combined or 70 kN";
        let target = parse_target(text)
            .ok_or_else(|| wrong("--target", format!("`{text}` is no target; {expected}")))?;
        let aim = Aim::Target { text: text.to_owned(), target };
        let (fastener, lube, unit) = (&self.fastener, &self.lube, torque_unit(&self.fastener));
        if let Some(reason) = self.foreign_factor() {
            return self.refused(aim, Refusal::Words(reason), None);
        }
        let found = correction::target_torque_unchecked(fastener, target, lube, unit, self.tables);
        let mut row = match found {
            Ok(row) => row,
            // The target needs something that was not given.
            Err(reason) if best_form(fastener, Lubes::both(lube)).is_ok() => {
                return Err(wrong("--target", reason));
            }
            // The lube of the book has no factor.
            Err(reason) => return self.refused(aim, reason, None),
        };
        row.setting.tolerance = self.setting()?.tolerance;
        row.derived = self.derived(&row.setting);
        match correction::limits(&row.derived) {
            Err(reason) => self.refused(aim, reason, Some(row)),
            Ok(()) => Ok(self.sum(aim, row, None)),
        }
    }

    fn refused(&self, aim: Aim, reason: Refusal, tried: Option<Row>) -> Result<TorqueSum, Failure> {
        let row = Row { refused: Some(reason), ..self.row(self.setting()?) };
        Ok(self.sum(aim, row, tried))
    }

    fn setting(&self) -> Result<Setting, Failure> {
        let mut setting = Setting::new(Method::Torque, Basis::Computed);
        setting.lube = Some(self.lube.name.clone());
        if let Some(text) = &self.given.wrench_tolerance {
            const OPTION: &str = "--wrench-tolerance";
            let tolerance: Stated<Ratio> = quantity(OPTION, text)?;
            if tolerance.value().value() > 0.5 {
                return Err(wrong(OPTION, format!("`{text}`: write a value from 0 to 50 %")));
            }
            setting.tolerance = Some(tolerance);
        }
        Ok(setting)
    }

    /// Why the factors of the named lube do not hold for this bolt. Factors that
    /// a person gives are taken as measured on it.
    fn foreign_factor(&self) -> Option<String> {
        let named = self.given.lube.is_some();
        let reason = foreign_factor(&self.fastener, &self.lube, self.tables).filter(|_| named)?;
        Some(format!("{reason}; give --k or --mu of this pair"))
    }

    fn derived(&self, setting: &Setting) -> Derived {
        let lubes = Lubes::both(&self.lube);
        match best_form(&self.fastener, lubes).ok().filter(|_| self.given.lube.is_none()) {
            Some(friction) => derive_with(&self.fastener, setting, self.tables, friction),
            None => derive(&self.fastener, setting, self.tables),
        }
    }

    fn row(&self, setting: Setting) -> Row {
        let derived = self.derived(&setting);
        let refused = derived.no_clamp.clone().filter(|_| setting.torque.is_some());
        let refused = refused.map(Refusal::Words);
        Row {
            key: self.fastener.key.clone(),
            fastener: Arc::clone(&self.fastener),
            setting,
            derived,
            restated: None,
            refused,
            warnings: Vec::new(),
        }
    }

    fn sum(&self, aim: Aim, row: Row, tried: Option<Row>) -> TorqueSum {
        TorqueSum { aim, row, tried, is_named: self.given.lube.is_some() }
    }
}

/// lb-ft for an inch thread, N·m for a metric one.
fn torque_unit(fastener: &Fastener) -> &'static Unit {
    let inch = fastener.thread.as_ref().is_some_and(|thread| thread.tpi().is_some());
    if inch { POUND_FOOT } else { NEWTON_METRE }
}
