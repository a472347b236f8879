//! What one row says, before it is known to be whole.

use crate::intake::cells::Tightening;
use crate::quantity::{Extent, Quantity, Stated};
use crate::record::{
    Basis, FIELDS, Fastener, Field, FieldKind, Kind, Method, Pass, Setting, Value,
};

/// One row as read, cell by cell. Its fastener and setting hold what was read;
/// what they hold of a field that is not `stated` means nothing.
#[derive(Debug, Clone)]
pub(crate) struct Draft {
    pub(crate) fastener: Fastener,
    /// Everything of the setting but how it is pulled.
    pub(crate) setting: Setting,
    /// The fields that some cell states.
    pub(crate) stated: Fields,
    /// What the torque columns say, one for each lube.
    pub(crate) torques: Vec<Tightening>,
    /// What the angle column says.
    pub(crate) angle: Option<Tightening>,
    /// What the stretch column says.
    pub(crate) stretch: Option<Tightening>,
    /// What the passes column says.
    pub(crate) passes: Option<Tightening>,
    /// Passes with a column each, with their number.
    pub(crate) numbered: Vec<(u32, Pass)>,
    /// Ends of a torque that have a column each.
    pub(crate) torque_ends: Ends,
    /// Ends of a stretch that have a column each.
    pub(crate) stretch_ends: Ends,
    /// What to say about a strength that the book does not know.
    pub(crate) unknown_strength: Option<String>,
    /// What the words of the part say that it is.
    pub(crate) kind: Option<Kind>,
    /// Words to keep that have no column of their own.
    pub(crate) notes: Vec<String>,
    /// Words beside a thread: the part, where no column names it.
    pub(crate) beside_thread: Vec<String>,
    /// Cells that were read as something else than they say.
    pub(crate) verbatim: Vec<String>,
    /// Fields that two cells of the row state differently: field, first, second.
    pub(crate) clashes: Vec<(&'static str, String, String)>,
}

/// Some of the fields, by their places in [`FIELDS`].
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Fields(u128);

impl Fields {
    /// Whether the field at `place` is among them.
    pub(crate) fn has(self, place: usize) -> bool {
        self.0 & 1 << place != 0
    }

    pub(crate) fn add(&mut self, place: usize) {
        self.0 |= 1 << place;
    }

    pub(crate) fn drop(&mut self, place: usize) {
        self.0 &= !(1 << place);
    }
}

/// The place of `field` in [`FIELDS`].
pub(crate) fn place(field: &'static Field) -> usize {
    FIELDS.iter().position(|one| one == field).expect("cells are read for fields of FIELDS")
}

/// The two ends of a range, each from its own column.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Ends {
    pub(crate) low: Option<Quantity>,
    pub(crate) high: Option<Quantity>,
}

/// What a cell does to the row, and how it was read.
#[derive(Debug, Default)]
pub(crate) struct Patch {
    /// The cell as it was read.
    pub(crate) read_as: String,
    /// Fields that it states, by their places.
    pub(crate) values: Vec<(usize, Value<'static>)>,
    /// What it says of the tightening.
    pub(crate) figures: Figures,
    /// What to say about a strength that the book does not know.
    pub(crate) unknown_strength: Option<String>,
    /// What the words of the part say that it is.
    pub(crate) kind: Option<Kind>,
    pub(crate) notes: Vec<String>,
    pub(crate) verbatim: Option<String>,
}

/// What a cell says of the tightening; several cells make one setting.
#[derive(Debug, Default)]
pub(crate) enum Figures {
    #[default]
    Nothing,
    Torques(Vec<Tightening>),
    Angle(Tightening),
    Stretch(Tightening),
    Passes(Tightening),
    /// The pass of a numbered column, perhaps with a turn after it.
    Pass(u32, Vec<Pass>),
    TorqueEnd(Ends),
    StretchEnd(Ends),
}

impl Patch {
    /// A cell that says nothing to keep.
    pub(crate) fn nothing(read_as: impl Into<String>) -> Self {
        Self { read_as: read_as.into(), ..Self::default() }
    }

    /// A cell that states figures.
    pub(crate) fn figures(read_as: String, figures: Figures) -> Self {
        Self { read_as, figures, ..Self::default() }
    }

    /// A cell that states one field.
    pub(crate) fn value(field: &'static Field, value: Value<'static>) -> Self {
        let read_as = value.clone().cell().unwrap_or_default().into_owned();
        Self { read_as, values: vec![(place(field), value)], ..Self::default() }
    }

    /// The same, stating the field at `place` too if it says something.
    pub(crate) fn and(mut self, place: usize, value: Value<'static>) -> Self {
        if value.is_stated() {
            self.values.push((place, value));
        }
        self
    }

    pub(crate) fn apply(&self, draft: &mut Draft) {
        for (place, value) in &self.values {
            draft.put(*place, value);
        }
        match &self.figures {
            Figures::Nothing => {}
            Figures::Torques(found) => draft.torques.extend(found.iter().cloned()),
            Figures::Angle(found) => draft.angle = Some(found.clone()),
            Figures::Stretch(found) => draft.stretch = Some(found.clone()),
            Figures::Passes(found) => draft.passes = Some(found.clone()),
            Figures::Pass(number, passes) => {
                draft.numbered.extend(passes.iter().map(|pass| (*number, pass.clone())));
            }
            Figures::TorqueEnd(ends) => draft.torque_ends.take(*ends),
            Figures::StretchEnd(ends) => draft.stretch_ends.take(*ends),
        }
        if self.unknown_strength.is_some() {
            draft.unknown_strength.clone_from(&self.unknown_strength);
        }
        draft.kind = draft.kind.or(self.kind);
        draft.notes.extend_from_slice(&self.notes);
        draft.verbatim.extend_from_slice(self.verbatim.as_slice());
    }
}

impl Ends {
    fn take(&mut self, other: Self) {
        (self.low, self.high) = (other.low.or(self.low), other.high.or(self.high));
    }
}

impl Draft {
    /// A row that says nothing yet.
    pub(crate) fn new() -> Self {
        Self {
            fastener: Fastener::default(),
            setting: Setting::new(Method::Torque, Basis::Shop),
            stated: Fields::default(),
            torques: Vec::new(),
            angle: None,
            stretch: None,
            passes: None,
            numbered: Vec::new(),
            torque_ends: Ends::default(),
            stretch_ends: Ends::default(),
            unknown_strength: None,
            kind: None,
            notes: Vec::new(),
            beside_thread: Vec::new(),
            verbatim: Vec::new(),
            clashes: Vec::new(),
        }
    }

    /// The value of the field at `place`, if a cell states it.
    pub(crate) fn get(&self, place: usize) -> Option<Value<'_>> {
        let field = &FIELDS[place];
        self.stated.has(place).then(|| field.value(field.owner_of(&self.fastener, &self.setting)))
    }

    /// States a field, or records that it was stated before and differently. A
    /// list takes what it has not yet.
    pub(crate) fn put(&mut self, place: usize, value: &Value<'static>) {
        let field = &FIELDS[place];
        if let Some(before) = self.get(place) {
            if before == *value {
                return;
            }
            let text = |value: Value<'_>| value.cell().unwrap_or_default().into_owned();
            let (before, after) = (text(before), text(value.clone()));
            if field.kind == FieldKind::List {
                return self.replace(place, Value::made(format!("{before}; {after}")));
            }
            self.clashes.push((field.name, before, after));
            return;
        }
        self.replace(place, value.clone());
    }

    /// States a field, whatever was stated before.
    pub(crate) fn replace(&mut self, place: usize, value: Value<'_>) {
        let field = &FIELDS[place];
        let owner = field.owner_of_mut(&mut self.fastener, &mut self.setting);
        field.put(owner, value).expect("the reader of a cell gives a value of its field's kind");
        self.stated.add(place);
    }
}

/// The range between two ends, or what one of them says alone.
pub(crate) fn between<K: crate::quantity::Kind>(ends: Ends) -> Result<Option<Extent<K>>, String> {
    let stated = |end: Quantity| Stated::<K>::new(end).map_err(|wrong| wrong.to_string());
    Ok(match (ends.low.map(stated).transpose()?, ends.high.map(stated).transpose()?) {
        (None, None) => None,
        (Some(low), Some(high)) if low.value() < high.value() => Some(Extent::Between(low, high)),
        (Some(low), Some(high)) if low == high => Some(Extent::Exactly(low)),
        (Some(low), Some(high)) => {
            return Err(format!("the low end {low} is above the high end {high}"));
        }
        (None, Some(high)) => Some(Extent::AtMost(high)),
        (Some(low), None) => return Err(format!("only the low end {low} is given")),
    })
}
