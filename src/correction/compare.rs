//! All lubes for one fastener, and what a wrong lube on the bolt would do.

use std::sync::Arc;

use crate::correction::rules::{is_for, is_of_finish};
use crate::correction::with_lubes;
use crate::mechanics::is_past;
use crate::quantity::{Force, Torque};
use crate::record::{
    Basis, Fastener, FinishStated, Lube, Lubes, Material, Method, NEAR_STRENGTH, Row, Setting,
    Stuff, Tables, bolt_material, derive, derive_with, finish_of, foreign_factor, lube_material,
    same_form, setting_keys,
};

/// What a listed torque does when pulled with another lube than its own.
#[derive(Debug, Clone, PartialEq)]
pub struct WrongLube {
    pub listed_for: String,
    pub torque: String,
    /// The torque, N·m; the top of a range.
    pub torque_value: Torque,
    pub on_the_bolt: String,
    pub clamp: Force,
    /// The clamp the listed lube gives.
    pub meant: Force,
    /// Share of proof in the weakest section.
    pub of_proof: Option<f64>,
    /// Share of yield in the weakest section.
    pub of_yield: Option<f64>,
    pub turned_of_yield: Option<f64>,
    pub verdict: ClampVerdict,
}

/// What a wrong clamp means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClampVerdict {
    PastYield,
    PastProof,
    /// Beyond yield with the torsion of tightening, in the weakest section.
    MayYield,
    /// At least a tenth above what was meant, and nine tenths of yield or more in the
    /// weakest section.
    NearYield,
    /// At least a tenth above what was meant.
    HighClamp,
    /// At least a tenth below what was meant.
    LowClamp,
    /// Within a tenth of what was meant.
    Near,
}

impl ClampVerdict {
    /// The words for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::PastYield => "PAST YIELD",
            Self::PastProof => "PAST PROOF",
            Self::MayYield => "MAY YIELD",
            Self::NearYield => "NEAR YIELD",
            Self::HighClamp => "HIGH CLAMP",
            Self::LowClamp => "LOW CLAMP",
            Self::Near => "near",
        }
    }
}

/// One fastener with every lube.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    pub fastener: Arc<Fastener>,
    /// For each lube the listed, computed or refused row.
    pub rows: Vec<Row>,
    /// Each listed torque with each other lube.
    pub wrong: Vec<WrongLube>,
}

/// The comparisons of some rows, one for each fastener and from its rows alone. Each
/// is made when it is asked for: those of a whole book would fill the memory.
#[derive(Debug, Clone, Copy)]
pub struct Comparisons<'a> {
    rows: &'a [Row],
    tables: &'a Tables,
}

impl<'a> Comparisons<'a> {
    /// Those of `rows`, the rows of one fastener one after the other.
    pub fn new(rows: &'a [Row], tables: &'a Tables) -> Self {
        Self { rows, tables }
    }

    /// Each fastener by itself.
    pub fn split(self) -> impl Iterator<Item = Self> {
        let same = self.rows.chunk_by(|a, b| Arc::ptr_eq(&a.fastener, &b.fastener));
        same.map(move |rows| Self { rows, ..self })
    }

    /// One after the other, in the order of the rows.
    pub fn each(self) -> impl Iterator<Item = Comparison> {
        self.split().map(move |one| {
            let settings: Vec<&Setting> = one.rows.iter().map(|row| &row.setting).collect();
            compare(&one.rows[0].fastener, &settings, self.tables)
        })
    }

    /// The lubes and strengths that are compared by.
    pub fn tables(self) -> &'a Tables {
        self.tables
    }

    /// The rows that are compared.
    pub fn rows(self) -> &'a [Row] {
        self.rows
    }
}

/// Every lube of the book that one would put on `fastener`: the ones its own settings
/// name first, then the rest in the order of the tables. `settings` are the ones that
/// may be converted from.
pub fn compare(fastener: &Arc<Fastener>, settings: &[&Setting], tables: &Tables) -> Comparison {
    let own = |lube: &&Lube| settings.iter().any(|setting| is_for(setting, lube, tables));
    let (mut first, rest): (Vec<&Lube>, Vec<&Lube>) = tables.lubes.iter().partition(own);
    // A stretch goes before the torques that stand in where it cannot be measured.
    let stretch = |one: &&&Setting| one.method == Method::Stretch && !one.superseded;
    let by_stretch =
        |lube: &Lube| settings.iter().filter(stretch).any(|setting| is_for(setting, lube, tables));
    first.sort_by_key(|lube| !by_stretch(lube));
    let rest = rest.into_iter().filter(|lube| is_offered(fastener, lube, tables));
    let lubes: Vec<&Lube> = first.into_iter().chain(rest).collect();
    let rows = with_lubes(fastener, settings, &lubes, tables);
    let wrong = settings
        .iter()
        .filter(|setting| setting.basis != Basis::Computed && !setting.superseded)
        .flat_map(|setting| {
            let others = lubes.iter().filter(|lube| {
                !is_for(setting, lube, tables) && can_be_there(fastener, lube, tables)
            });
            others.filter_map(|lube| wrong_lube(fastener, setting, lube, tables))
        })
        .collect();
    Comparison { fastener: Arc::clone(fastener), rows, wrong }
}

/// Whether `lube` could be on this fastener by mistake, with factors that hold for
/// it: those of its finish (nobody puts a coat on by mistake, but oil comes on a
/// zinc plated bolt), of its material, and no bare class of friction.
fn can_be_there(fastener: &Fastener, lube: &Lube, tables: &Tables) -> bool {
    let finish = fastener.finish.as_deref().map_or(FinishStated::NotStated, finish_of);
    is_offered(fastener, lube, tables) && is_of_finish(&finish, lube)
}

/// Whether `lube` is one for the material of `fastener`, and no bare class of friction.
fn is_offered(fastener: &Fastener, lube: &Lube, tables: &Tables) -> bool {
    let material = match bolt_material(fastener, tables) {
        Stuff::Known(material) if !material.takes_steel_factors() => material,
        _ => Material::Steel,
    };
    !lube.name.starts_with("VDI-") && lube_material(lube) == material
}

/// The consequence of `lube` in place of the one that `setting` is for, both in
/// one form of friction. None where no clamp is known for one of the two:
/// nothing to say.
fn wrong_lube(
    fastener: &Fastener,
    setting: &Setting,
    lube: &Lube,
    tables: &Tables,
) -> Option<WrongLube> {
    let lubes = Lubes::named_by(setting, tables).ok()?;
    if [lubes.thread, lubes.face, lube]
        .iter()
        .any(|lube| foreign_factor(fastener, lube, tables).is_some())
    {
        return None;
    }
    let [own, other] = same_form(fastener, lubes, Lubes::both(lube))?;
    let meant = derive_with(fastener, setting, tables, own).clamp?.nominal;
    let mut pulled = setting.clone();
    pulled.lube = Some(lube.name.clone());
    pulled.face_lube = None;
    let found = derive_with(fastener, &pulled, tables, other);
    let clamp = found.clamp?.nominal;
    let verdict = match clamp / meant {
        _ if is_past(found.of_yield) => ClampVerdict::PastYield,
        _ if is_past(found.of_proof) => ClampVerdict::PastProof,
        _ if is_past(found.combined) => ClampVerdict::MayYield,
        ratio if ratio >= 1.1 && found.of_yield >= Some(NEAR_STRENGTH) => ClampVerdict::NearYield,
        ratio if ratio >= 1.1 => ClampVerdict::HighClamp,
        ratio if ratio <= 0.9 => ClampVerdict::LowClamp,
        _ => ClampVerdict::Near,
    };
    Some(WrongLube {
        listed_for: lubes.thread.name.clone(),
        torque: setting.in_words(),
        torque_value: setting.torque?.high(),
        on_the_bolt: lube.name.clone(),
        clamp,
        meant,
        of_proof: found.of_proof,
        of_yield: found.of_yield,
        turned_of_yield: found.turned_of_yield,
        verdict,
    })
}

/// The rows of `fastener` as they stand in the book, one for each of
/// `settings` (indexes into its settings).
pub fn stored_rows(fastener: &Arc<Fastener>, settings: &[usize], tables: &Tables) -> Vec<Row> {
    let keys = setting_keys(fastener);
    let row = |index: &usize| {
        let row = stored_row(fastener, fastener.settings.get(*index)?, tables);
        Some(Row { key: keys.get(*index)?.clone(), ..row })
    };
    settings.iter().filter_map(row).collect()
}

/// The row of one setting of `fastener`, its key left empty: most rows that are
/// tested are not answered.
pub fn stored_row(fastener: &Arc<Fastener>, setting: &Setting, tables: &Tables) -> Row {
    Row {
        fastener: Arc::clone(fastener),
        derived: derive(fastener, setting, tables),
        setting: setting.clone(),
        key: String::new(),
        restated: None,
        refused: None,
        warnings: Vec::new(),
    }
}
