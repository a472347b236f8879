//! `on WRENCH`: what that wrench is set to for each row, or why it will not do.

use crate::mechanics;
use crate::procedure;
use crate::quantity::Extent;
use crate::record::{Aids, Method, Row, Value, Wrench, prevailing_of};
use crate::store::{Book, StoreError};
use crate::text::fold_name;

/// The wrench of an `on` clause with its setting for each row.
#[derive(Debug, Clone, PartialEq)]
pub struct OnWrench {
    pub wrench: Wrench,
    /// One for each row of the answer.
    pub settings: Vec<WrenchSetting>,
}

/// What a wrench is set to for one row.
#[derive(Debug, Clone, PartialEq)]
pub enum WrenchSetting {
    /// On a mark in its range, near enough.
    Set {
        setting: procedure::Setting,
        /// What follows or is included, in words; empty for nothing.
        besides: &'static str,
    },
    /// The wrench cannot show the value.
    Refused {
        /// Why, with the rule of its range.
        why: String,
        /// The same for a column of a table.
        brief: String,
    },
    /// The row has no torque to set.
    NoTorque,
}

impl WrenchSetting {
    /// The value of the column.
    fn value(&self) -> Value<'static> {
        match self {
            Self::Set { setting, besides } => Value::made(format!("{setting}{besides}")),
            Self::Refused { brief, .. } => Value::made(format!("refused: {brief}")),
            Self::NoTorque => Value::text("no torque to set"),
        }
    }
}

impl OnWrench {
    /// One value for each row.
    pub(super) fn values(&self) -> Vec<Value<'static>> {
        self.settings.iter().map(WrenchSetting::value).collect()
    }

    /// Whether the wrench serves at least one row.
    pub fn serves_any(&self) -> bool {
        self.settings.iter().any(|one| matches!(one, WrenchSetting::Set { .. }))
    }
}

/// The wrench of that name; none if the book has no such wrench any more.
pub(super) fn named<'a>(name: &str, book: &'a Book) -> Result<Option<&'a Wrench>, StoreError> {
    Ok(book.wrenches()?.iter().find(|one| fold_name(&one.name) == fold_name(name)))
}

/// The settings of `wrench` for `rows`.
pub(super) fn on(wrench: &Wrench, rows: &[Row]) -> OnWrench {
    let settings = rows.iter().map(|row| for_row(wrench, row)).collect();
    OnWrench { wrench: wrench.clone(), settings }
}

/// Its setting for one row.
pub(super) fn for_row(wrench: &Wrench, row: &Row) -> WrenchSetting {
    let setting = &row.setting;
    let (torque, then) = match setting.method {
        _ if row.refused.is_some() => (None, ""),
        Method::Torque => (setting.torque, ""),
        Method::TorqueAngle => (setting.snug.map(Extent::Exactly), ", then the angle"),
        Method::Angle | Method::Stretch => (None, ""),
    };
    let Some(torque) = torque else { return WrenchSetting::NoTorque };
    if setting.superseded {
        let why = "superseded, not to be used".to_owned();
        return WrenchSetting::Refused { brief: why.clone(), why };
    }
    let aids = Aids { prevailing: prevailing_of(&row.fastener), ..Aids::default() };
    let is_added = matches!(aids.prevailing, mechanics::Prevailing::ToAdd(_));
    let besides = if is_added { ", prevailing torque included" } else { then };
    match wrench.setting(torque, &aids) {
        Ok(setting) if setting.is_usable() => WrenchSetting::Set { setting, besides },
        Ok(setting) => {
            let text = setting.to_string();
            let mark = text.strip_prefix("set ").map(|mark| format!("its nearest mark is {mark}"));
            let why = mark.unwrap_or(text);
            let brief = setting.off_scale("its").unwrap_or_else(|| why.clone());
            WrenchSetting::Refused { why, brief }
        }
        Err(error) => {
            let why = error.to_string();
            WrenchSetting::Refused { brief: why.clone(), why }
        }
    }
}
