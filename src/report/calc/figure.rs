//! One figure of a page: its key in JSON, its name on the page, its value.

use serde_json::{Map, Value};

use crate::mechanics::Stiffness;
use crate::quantity::{Dimension, Kind, Stated, Torque, Unit};
use crate::query::run::UnitsWanted;
use crate::record::Clamp;
use crate::report::calc::amount::{Amount, Given};
use crate::report::figures::Rounding;

/// A figure of a page.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Figure {
    key: String,
    label: Option<&'static str>,
    amount: Amount,
    remark: Option<(&'static str, String)>,
}

/// The SI unit as suffix of a key.
fn suffix(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Torque => "_nm",
        Dimension::Force => "_n",
        Dimension::Length => "_mm",
        Dimension::Stress => "_mpa",
        Dimension::Area => "_mm2",
        Dimension::Angle => "_deg",
        Dimension::TemperatureDifference => "_k",
        Dimension::Ratio => "",
    }
}

impl Figure {
    fn new(key: impl Into<String>, label: &'static str, amount: Amount) -> Self {
        Self { key: key.into(), label: Some(label), amount, remark: None }
    }

    /// A computed quantity; `name` is its key without the unit.
    pub(crate) fn computed<K: Kind>(name: &str, label: &'static str, value: K) -> Self {
        Self::maybe(name, label, Some(value))
    }

    pub(crate) fn computed_torque(value: Stated<Torque>) -> Self {
        Self::new("torque_nm", "torque", Amount::Torque(value))
    }

    pub(crate) fn maybe<K: Kind>(name: &str, label: &'static str, value: Option<K>) -> Self {
        let key = format!("{name}{}", suffix(K::DIMENSION));
        let measure = |value: K| Amount::Measure {
            dimension: K::DIMENSION,
            base: value.base(),
            given: None,
            figures: None,
            rounding: Rounding::Nearest,
        };
        Self::new(key, label, value.map_or(Amount::Nothing, measure))
    }

    pub(crate) fn given<K: Kind>(name: &str, label: &'static str, value: Stated<K>) -> Self {
        let mut figure = Self::computed(name, label, value.value());
        if let Amount::Measure { given, .. } = &mut figure.amount {
            *given = Some(Given { text: Some(value.to_string()), unit: value.written().unit });
        }
        figure
    }

    pub(crate) fn maybe_given<K: Kind>(
        name: &str,
        label: &'static str,
        value: Option<Stated<K>>,
    ) -> Self {
        match value {
            Some(value) => Self::given(name, label, value),
            None => Self::maybe::<K>(name, label, None),
        }
    }

    pub(crate) fn share(key: &str, label: &'static str, value: Option<f64>) -> Self {
        Self::new(key, label, value.map_or(Amount::Nothing, Amount::Share))
    }

    pub(crate) fn number(key: &str, label: &'static str, value: Option<f64>, figures: i32) -> Self {
        let number = |value| Amount::Number(value, figures);
        Self::new(key, label, value.map_or(Amount::Nothing, number))
    }

    pub(crate) fn stiffness(name: &str, label: &'static str, value: Stiffness) -> Self {
        Self::new(format!("{name}_n_per_mm"), label, Amount::Stiffness(value))
    }

    pub(crate) fn words(key: &str, label: &'static str, text: Option<String>) -> Self {
        Self::new(key, label, text.map_or(Amount::Nothing, Amount::Words))
    }

    /// Words that only the page shows.
    pub(crate) fn on_page(label: &'static str, text: impl Into<String>) -> Self {
        Self::new("", label, Amount::Words(text.into()))
    }

    /// A clamp with its band; three keys.
    pub(crate) fn band(label: &'static str, clamp: Option<Clamp>) -> Self {
        Self::new("clamp_n", label, clamp.map_or(Amount::Nothing, Amount::Band))
    }

    /// Something that only a program reads.
    pub(crate) fn hidden(key: &str, value: impl Into<Value>) -> Self {
        Self { key: key.to_owned(), label: None, amount: Amount::Data(value.into()), remark: None }
    }

    /// With this unit first.
    pub(crate) fn in_unit(mut self, unit: &'static Unit) -> Self {
        if let Amount::Measure { given, .. } = &mut self.amount {
            *given = Some(Given { text: None, unit });
        }
        self
    }

    /// With a remark behind the value, after a comma.
    pub(crate) fn remark(mut self, text: impl Into<String>) -> Self {
        self.remark = Some((", ", text.into()));
        self
    }

    /// With words that go on from the value: `75 %` `of yield`.
    pub(crate) fn going_on(mut self, text: impl Into<String>) -> Self {
        self.remark = Some((" ", text.into()));
        self
    }

    /// With `figures` significant figures on the page.
    pub(crate) fn fine(mut self, wanted: i32) -> Self {
        if let Amount::Measure { figures, .. } = &mut self.amount {
            *figures = Some(wanted);
        }
        self
    }

    /// Rounded this way: the end of a range.
    pub(crate) fn rounded(mut self, wanted: Rounding) -> Self {
        if let Amount::Measure { rounding, .. } = &mut self.amount {
            *rounding = wanted;
        }
        self
    }

    /// On the page only where it is known; a program reads null.
    pub(crate) fn if_known(self) -> Self {
        if self.amount == Amount::Nothing { self.unshown() } else { self }
    }

    /// Only for a program, not on the page.
    pub(crate) fn unshown(mut self) -> Self {
        self.label = None;
        self
    }

    pub(crate) fn drawn(&self, wanted: &UnitsWanted, inch: bool) -> Option<(&'static str, String)> {
        let label = self.label?;
        let mut text = self.amount.text(wanted, inch);
        if let Some((between, remark)) = &self.remark {
            text = match self.amount {
                Amount::Nothing => remark.clone(),
                _ => format!("{text}{between}{remark}"),
            };
        }
        Some((label, text))
    }

    /// Adds its keys to an object.
    pub(crate) fn put(&self, json: &mut Map<String, Value>) {
        let mut put = |key: &str, value: Value| {
            json.entry(key).or_insert(value);
        };
        match &self.amount {
            _ if self.key.is_empty() => {}
            Amount::Band(clamp) => {
                put("clamp_n", clamp.nominal.n().into());
                put("clamp_low_n", clamp.low.n().into());
                put("clamp_high_n", clamp.high.n().into());
            }
            amount => put(&self.key, amount.json()),
        }
    }
}
