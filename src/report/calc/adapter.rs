//! `calc adapter`: what the wrench is set to when something sits between it and
//! the bolt.

use crate::mechanics::Attachment;
use crate::mechanics::formulas;
use crate::quantity::{Ratio, System, Torque, Unit};
use crate::report::calc::Page;
use crate::report::calc::figure::Figure;
use crate::report::working::{Measured, Step};

/// A torque at the bolt and the setting of the wrench.
#[derive(Debug, Clone, PartialEq)]
pub struct AdapterSum {
    pub attachment: Attachment,
    pub torque: Torque,
    pub setting: Torque,
    /// The setting was given and the torque asked for.
    pub is_at_bolt: bool,
    /// Torque at the bolt over setting.
    pub gain: Ratio,
    pub unit: &'static Unit,
}

impl AdapterSum {
    /// Torque at the bolt, setting of the wrench, and the formula between them.
    pub fn page(&self) -> Page {
        let mut page = Page::new(self.title(), self.unit.system == System::Inch);
        let setting = ("setting", "set the wrench to", self.setting);
        let torque = ("torque", "at the bolt", self.torque);
        let both = if self.is_at_bolt { [torque, setting] } else { [setting, torque] };
        for (name, label, torque) in both {
            page.put(Figure::computed(name, label, torque).fine(4).in_unit(self.unit));
        }
        page.put(Figure::number("correction", "bolt / wrench", Some(self.gain.value()), 4));
        let (lever, reach, angle) = match self.attachment {
            Attachment::Adapter { lever, reach, angle } => (Some(lever), Some(reach), Some(angle)),
            Attachment::OnAxis | Attachment::Multiplier { .. } => (None, None, None),
        };
        page.put(Figure::maybe("wrench_length", "wrench", lever).if_known());
        page.put(Figure::maybe("adapter_length", "adapter", reach).if_known());
        page.put(Figure::maybe("angle", "angle", angle).if_known());
        if lever.is_some() {
            page.warn(
                "Hold the handle at its mark: the wrench's length counts from drive to hand.",
            );
        }
        page.working.step(self.step());
        page
    }

    fn title(&self) -> &'static str {
        match self.attachment {
            Attachment::OnAxis => "extension on the axis of the bolt: no correction",
            Attachment::Multiplier { .. } => "torque multiplier",
            Attachment::Adapter { angle, .. } => match angle.deg().abs() {
                0.0 | 360.0 => "adapter in line with the wrench: set less",
                180.0 => "adapter pointing back to the hand: set more",
                90.0 | 270.0 => "adapter across the wrench: no correction",
                _ => "adapter at an angle",
            },
        }
    }

    fn step(&self) -> Step {
        let (title, known, name, result) = if self.is_at_bolt {
            ("torque at the bolt", ("Tset", self.setting), "T", self.torque)
        } else {
            ("setting of the wrench", ("T", self.torque), "Tset", self.setting)
        };
        let formula = match (self.attachment, self.is_at_bolt) {
            (Attachment::OnAxis, _) => &formulas::ON_AXIS,
            (Attachment::Adapter { .. }, false) => &formulas::ADAPTER,
            (Attachment::Adapter { .. }, true) => &formulas::AT_BOLT,
            (Attachment::Multiplier { .. }, false) => &formulas::MULTIPLIER,
            (Attachment::Multiplier { .. }, true) => &formulas::AT_BOLT_MULTIPLIED,
        };
        let step = Step::new(title, formula).with(known.0, known.1, "as given");
        match self.attachment {
            Attachment::OnAxis => step,
            Attachment::Adapter { lever, reach, angle } => step
                .with("L", lever, "from the drive to the centre of the hand")
                .with("E", reach, "from the drive to the centre of the bolt")
                .with("θ", angle, "0° points on, 90° across, 180° back to the hand"),
            Attachment::Multiplier { ratio, efficiency } => {
                let share = Measured::share(efficiency.value());
                step.with("i", ratio, "ratio").with("η", share, "efficiency")
            }
        }
        .gives(name, result)
    }
}
