//! The wrench that passes are for, and the passes of rows with it.

use std::sync::Arc;

use crate::cli::clock;
use crate::cli::complete;
use crate::cli::exit::{Failure, wrong};
use crate::cli::named;
use crate::cli::out::Out;
use crate::cli::typed::{quantity, stated};
use crate::mechanics::Attachment;
use crate::procedure;
use crate::quantity::{Angle, Length, Stated, Torque};
use crate::record::{
    Aids, Fastener, NameOf, PassPlan, PassWish, Row, Wrench, WrenchWish, best_of, plan_passes,
    prevailing_of,
};
use crate::report::{self, RowPasses};
use crate::store::Book;

// How many steps, and for which wrench.
#[derive(Debug, clap::Args)]
pub(super) struct WrenchOptions {
    /// Steps, where the source gives none and they may be made up
    #[arg(long, value_name = "N", default_value_t = 3, value_parser = clap::value_parser!(u8).range(1..=20))]
    pub steps: u8,
    /// A wrench of the book
    #[arg(long, value_name = "NAME", add = complete::named(NameOf::Wrench), conflicts_with_all = ["graduation", "wrench_low", "wrench_high"])]
    pub wrench: Option<String>,
    /// Between two marks of the wrench: steps are rounded to it, the last never
    #[arg(long, value_name = "TORQUE")]
    pub graduation: Option<String>,
    /// Lowest mark of the wrench
    #[arg(long, value_name = "TORQUE", requires = "wrench_high")]
    pub wrench_low: Option<String>,
    /// Full scale of the wrench: each step is checked against its range
    #[arg(long, value_name = "TORQUE", requires = "graduation")]
    pub wrench_high: Option<String>,
    /// A flat adapter (crowfoot): from the drive to the middle of the bolt
    #[arg(long, value_name = "LENGTH")]
    pub adapter: Option<String>,
    /// Its angle: 0° straight on, 90° across (no correction), 180° back
    #[arg(long, value_name = "ANGLE", requires = "adapter", default_value = "0°")]
    pub adapter_angle: String,
    /// From the drive to the middle of the hand, if the wrench does not say
    #[arg(long, value_name = "LENGTH", requires = "adapter")]
    pub lever: Option<String>,
}

/// A wrench with the wish that is made of it.
pub(super) struct Chosen {
    pub wish: PassWish,
    pub wrench: Option<Wrench>,
}

impl WrenchOptions {
    pub(super) fn needs_book(&self) -> bool {
        self.wrench.is_some()
    }

    /// What is asked of the passes; `book` is where a named wrench is.
    pub(super) fn wish(&self, book: Option<&Book>) -> Result<Chosen, Failure> {
        let count = usize::from(self.steps);
        let (wrench, scale) = match (&self.wrench, book) {
            (Some(name), Some(book)) => {
                let wrench = named::wrench(book, name)?;
                let scale = wrench.scale().map_err(|error| wrong("--wrench", error))?;
                (Some(wrench), WrenchWish::Whole(scale))
            }
            _ => (None, self.typed()?),
        };
        let attachment = self.attachment(wrench.as_ref(), &scale)?;
        let aids = Aids { attachment, ..Aids::default() };
        Ok(Chosen { wish: PassWish { count, wrench: scale, aids }, wrench })
    }

    /// What sits between wrench and bolt.
    fn attachment(
        &self,
        wrench: Option<&Wrench>,
        scale: &WrenchWish,
    ) -> Result<Attachment, Failure> {
        let Some(reach) = &self.adapter else { return Ok(Attachment::OnAxis) };
        if !matches!(scale, WrenchWish::Whole(_)) {
            let why = "it changes what the wrench is set to: name the wrench with --wrench";
            return Err(wrong("--adapter", why));
        }
        let typed = stated("--lever", self.lever.as_ref())?;
        let lever = typed.or_else(|| wrench.and_then(|wrench| wrench.lever)).ok_or_else(|| {
            let why = "the wrench's lever is not stated, from the drive to the middle of the \
                       hand: give --lever, or edit the wrench";
            wrong("--adapter", why)
        })?;
        let angle = Stated::<Angle>::parse(&self.adapter_angle);
        let attachment = Attachment::Adapter {
            lever: lever.value(),
            reach: quantity("--adapter", reach)?.value(),
            angle: angle.map_err(|error| self.no_angle(&error))?.value(),
        };
        attachment.gain().map_err(|error| wrong("--adapter", error))?;
        Ok(attachment)
    }

    fn no_angle(&self, error: &dyn std::fmt::Display) -> Failure {
        let text = self.adapter_angle.trim();
        match text.parse::<f64>() {
            Ok(_) => wrong("--adapter-angle", format!("{error}; write {text}deg or {text}°")),
            Err(_) => wrong("--adapter-angle", error),
        }
    }

    /// The scale that the options describe.
    fn typed(&self) -> Result<WrenchWish, Failure> {
        let graduation = stated("--graduation", self.graduation.as_ref())?;
        let high: Option<Stated<Torque>> = stated("--wrench-high", self.wrench_high.as_ref())?;
        let low: Option<Stated<Torque>> = stated("--wrench-low", self.wrench_low.as_ref())?;
        Ok(match (graduation, high) {
            (None, _) => WrenchWish::Unknown,
            (Some(graduation), None) => WrenchWish::Graduation(graduation),
            (Some(graduation), Some(high)) => {
                let wrench = procedure::Wrench {
                    // Without a lowest mark the range starts at a fifth of the scale anyway.
                    low_mark: low.map_or(high.value() * 0.2, Stated::value),
                    full_scale: high.value(),
                    graduation: graduation.value(),
                    unit: graduation.written().unit,
                    shop_range: None,
                };
                wrench.usable().map_err(|error| wrong("--wrench-high", error))?;
                WrenchWish::Whole(wrench)
            }
        })
    }

    pub(super) fn in_words(&self, chosen: &Chosen) -> Option<String> {
        let words = self.scale_in_words(chosen)?;
        let adapter = self.adapter_words();
        let adapter = adapter.map(|words| format!("; settings are for an adapter of {words}"));
        Some(words + &adapter.unwrap_or_default())
    }

    /// The adapter as a person writes it: 50mm is `50 mm at 0°`.
    pub(super) fn adapter_words(&self) -> Option<String> {
        let typed = self.adapter.as_ref()?;
        let reach = Stated::<Length>::parse(typed).map_or(typed.clone(), |reach| reach.to_string());
        Some(format!("{reach} at {}", self.adapter_angle))
    }

    fn scale_in_words(&self, chosen: &Chosen) -> Option<String> {
        if let Some(wrench) = &chosen.wrench {
            let calibration = wrench.calibration(clock::today());
            let due = calibration.warning().unwrap_or_else(|| match calibration.until {
                None => "calibration not stated".to_owned(),
                Some(end) => format!("calibration good until {end}"),
            });
            let scale = report::scale_and_range(wrench);
            return Some(format!("{}, {scale}; {due}", wrench.name));
        }
        let marks = self.graduation.as_ref().map(|step| format!("marks of {step}"))?;
        let Some(high) = &self.wrench_high else { return Some(marks) };
        let from = self.wrench_low.as_ref().map(|low| format!("{low} to ")).unwrap_or_default();
        Some(format!("{from}{high}, {marks}"))
    }
}

/// Each row with its passes; a refused row has none. Where the wrench will not
/// do, another of the book is suggested.
pub(super) fn with_passes(
    mut rows: Vec<Row>,
    book: &Book,
    wish: &PassWish,
) -> Result<Vec<RowPasses>, Failure> {
    // A figure that was replaced never comes first.
    for of_one in rows.chunk_by_mut(|a, b| Arc::ptr_eq(&a.fastener, &b.fastener)) {
        of_one.sort_by_key(|row| row.setting.superseded);
    }
    let tables = book.tables();
    let one = |row: Row| {
        if row.refused.is_some() || row.setting.superseded {
            return Ok(RowPasses { row, plan: None });
        }
        let mut plan = plan_passes(&row.fastener, &row.setting, tables, wish)
            .map_err(|error| wrong(&row.key, error))?;
        suggest(&mut plan, Some(&row.fastener), book)?;
        Ok(RowPasses { row, plan: Some(plan) })
    };
    rows.into_iter().map(one).collect()
}

/// Names a wrench of the book for a plan whose own will not do.
pub(super) fn suggest(
    plan: &mut PassPlan,
    fastener: Option<&Fastener>,
    book: &Book,
) -> Result<(), Failure> {
    if plan.refused.is_some()
        && let Some(torque) = plan.final_torque()
    {
        let prevailing = fastener.map_or(crate::mechanics::Prevailing::None, prevailing_of);
        let found = best_of(book.wrenches()?, torque, prevailing, clock::today());
        plan.suggested = found.map(|(wrench, setting)| format!("{}: {setting}", wrench.name));
    }
    Ok(())
}

/// Says of a wrench what must be known before it is taken to hand.
pub(super) fn warn_of(chosen: &Chosen, out: &mut Out) {
    warning_of(chosen).iter().for_each(|warning| out.say(warning));
}

pub(super) fn warning_of(chosen: &Chosen) -> Option<String> {
    let wrench = chosen.wrench.as_ref()?;
    let warning = wrench.calibration(clock::today()).warning()?;
    Some(format!("wrench {}: {warning}", wrench.name))
}
