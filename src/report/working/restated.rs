//! What a restated torque comes from, and whether a sheet that lists two lubes
//! agrees with their factors.

use crate::mechanics::{Form, formulas};
use crate::quantity::{Extent, Torque};
use crate::record::{Basis, Friction, Lube, Lubes, Tables, prevailing_part, same_form};
use crate::record::{LubeRatio, lube_ratios};
use crate::report::lay::clean;
use crate::report::working::measured::{Measured, plain};
use crate::report::working::row::{Inputs, of_lube};
use crate::report::working::{Step, Working};

impl Inputs<'_> {
    /// The conversion that gave a restated torque, both factors named.
    pub(crate) fn restated(&self, tables: &Tables, working: &mut Working) {
        let Some(restated) = &self.row.restated else { return };
        let Some(from) = tables.lube(&restated.from_lube) else { return };
        let fastener = &self.row.fastener;
        let Some([one, _]) = same_form(fastener, Lubes::both(from), self.lubes) else { return };
        let Some(torque) = self.row.setting.torque.and_then(Extent::low) else { return };
        let from_text = format!("{} {}", clean(&restated.from), clean(&from.name));
        let given = Torque::from_nm(restated.from_torque_nm);
        if let Some(rule) = &restated.note {
            let step = Step::new("torque by the chart's own rule", &formulas::CHART_RULE)
                .with("f", torque / given, clean(rule))
                .with("T1", given, from_text);
            working.step(step.gives("T2", torque));
            working.remark("A chart is for no particular joint.");
            return;
        }
        let Some(step) = self.conversion(from, one) else { return };
        let mut step = step.with("T1", given, from_text);
        if let (Ok(running), Some(_)) = (prevailing_part(fastener), fastener.prevailing)
            && running.nm() > 0.0
        {
            step = step.with("Tprev", running, "prevailing torque: taken off T1, put back on T2");
        }
        working.step(step.gives("T2", torque));
        working.remark(
            "Allowed because: plain torque, reusable, both factors have a source and one form, \
             same hardware, no listed value for this lube.",
        );
    }

    fn conversion(&self, from: &Lube, one: Friction) -> Option<Step> {
        let to = self.lubes.thread;
        if matches!(self.friction.range.nominal, Form::Short { .. }) {
            let (first, second) = (from.k?, to.k?);
            let step = Step::new("torque at equal clamp", &formulas::CONVERT_K)
                .with("K1", first.nominal, of_lube(from, first))
                .with("K2", second.nominal, of_lube(to, second));
            return Some(step);
        }
        let lever = |friction: Friction| friction.range.nominal.lever(&self.geometry).ok();
        let is = |lube: &Lube| {
            let mu = lube.mu_thread?;
            Some(format!("μ in the thread {}: {}", plain(mu.nominal), of_lube(lube, mu)))
        };
        let step = Step::new("torque at equal clamp", &formulas::CONVERT_MU)
            .with("l1", lever(one)?, is(from)?)
            .with("l2", lever(self.friction)?, is(to)?);
        Some(step)
    }

    /// The torques that the same sheet lists for other lubes, beside the ratio
    /// of the factors.
    pub(crate) fn ratios(&self, tables: &Tables, working: &mut Working) {
        let row = self.row;
        if row.setting.basis == Basis::Computed {
            return;
        }
        let own = row.fastener.settings.iter().position(|setting| *setting == row.setting);
        let of_row = |pair: &LubeRatio| own.is_some_and(|own| pair.settings.contains(&own));
        for pair in lube_ratios(&row.fastener, tables).iter().filter(|pair| of_row(pair)) {
            ratio(pair, working);
        }
    }
}

fn ratio(pair: &LubeRatio, working: &mut Working) {
    let [from, to] = &pair.lubes;
    let [first, second] = &pair.listed;
    let title = format!("the sheet's {} against {}", clean(to), clean(from));
    let difference = pair.check.difference.value();
    let step = Step::new(title, &formulas::RATIO)
        .with("T2/T1", pair.check.sheet, format!("{second} over {first}"))
        .with("l2/l1", pair.check.factors, "by the factors of the lubes");
    working.step(step.gives("difference", Measured::share(difference)));
    if pair.check.doubtful {
        let percent = (difference * 100.0).abs();
        working.remark(format!(
            "CHECK SHEET OR K: sheet ratio against K ratio differs by {percent:.0} %. Nothing was \
             changed."
        ));
    }
}
