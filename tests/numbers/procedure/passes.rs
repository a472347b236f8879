//! Passes and wrench settings.

use clampbook::procedure::{
    OnScale, ProcedureError, Setting, Wrench, best_wrench, equal_passes, share_passes,
};
use clampbook::quantity::{Kind, Ratio, Torque, find_unit};
use proptest::prelude::*;

fn of(number: f64, unit: &str) -> Torque {
    Torque::from_base(number * find_unit(unit).unwrap().factor)
}

fn in_unit(steps: &[Torque], unit: &str) -> Vec<f64> {
    steps.iter().map(|step| (*step / of(1.0, unit) * 1e6).round() / 1e6).collect()
}

/// 65 lb-ft in three steps on a 5 lb-ft scale: thirds are 21.7 and 43.3.
/// Common practice, no source.
#[test]
fn thirds_on_the_scale() {
    let passes = |last, count, graduation: Option<f64>| {
        let graduation = graduation.map(|step| of(step, "lb-ft"));
        in_unit(&equal_passes(of(last, "lb-ft"), count, graduation).unwrap().steps, "lb-ft")
    };
    assert_eq!(passes(65.0, 3, Some(5.0)), [20.0, 45.0, 65.0]);
    assert_eq!(passes(82.0, 3, Some(1.0)), [27.0, 55.0, 82.0]);
    assert_eq!(passes(72.0, 3, None), [24.0, 48.0, 72.0]);
    assert_eq!(passes(70.0, 1, Some(5.0)), [70.0]);
    // The last is exact even between marks.
    assert_eq!(passes(68.0, 2, Some(5.0)), [35.0, 68.0]);
}

/// A scale too coarse for the steps asked for gives fewer, and says so.
#[test]
fn a_coarse_scale_gives_fewer_steps() {
    let passes = equal_passes(of(20.0, "N·m"), 3, Some(of(10.0, "N·m"))).unwrap();
    assert_eq!((in_unit(&passes.steps, "N·m"), passes.asked), (vec![10.0, 20.0], 3));
    let passes = equal_passes(of(20.0, "N·m"), 3, Some(of(50.0, "N·m"))).unwrap();
    assert_eq!(in_unit(&passes.steps, "N·m"), [20.0]);
    // 19 of 20 would leave the last pull too short to turn the fastener.
    let passes = equal_passes(of(20.0, "N·m"), 3, Some(of(19.0, "N·m"))).unwrap();
    assert_eq!(in_unit(&passes.steps, "N·m"), [20.0]);
}

/// A sheet's own shares, here 30, 70, 100 % (ASME PCC-1 has about these).
#[test]
fn shares_of_a_sheet() {
    let share = |percents: &[f64]| {
        let shares: Vec<Ratio> =
            percents.iter().map(|percent| Ratio::from_value(percent / 100.0)).collect();
        share_passes(of(100.0, "N·m"), &shares, None)
    };
    assert_eq!(in_unit(&share(&[30.0, 70.0, 100.0]).unwrap().steps, "N·m"), [30.0, 70.0, 100.0]);
    let said = |percents: &[f64]| share(percents).unwrap_err().to_string();
    assert_eq!(
        said(&[30.0, 30.0, 100.0]),
        "passes must rise to 100 % of the final torque, but pass 2 is 30 %"
    );
    assert_eq!(
        said(&[30.0, 70.0]),
        "passes must rise to 100 % of the final torque, but pass 2 is 70 %"
    );
    assert_eq!(said(&[]), "steps is 0: write 1 to 20");
    let zero = equal_passes(of(0.0, "N·m"), 3, None).unwrap_err();
    assert_eq!(zero.to_string(), "torque is 0: write a torque above 0");
}

fn wrench(low: f64, high: f64, step: f64) -> Wrench {
    let unit = find_unit("lb-ft").unwrap();
    Wrench {
        low_mark: of(low, "lb-ft"),
        full_scale: of(high, "lb-ft"),
        graduation: of(step, "lb-ft"),
        unit,
        shop_range: None,
    }
}

fn set(wrench: &Wrench, wanted: f64) -> Setting {
    wrench.setting(of(wanted, "lb-ft"), None, None).unwrap()
}

/// Range from the lowest mark (ISO 6789-1:2017), not under 20 % of full scale
/// (2003 edition).
#[test]
fn usable_range_and_its_rule() {
    let usable = wrench(30.0, 100.0, 1.0).usable().unwrap();
    assert_eq!(usable.low, of(30.0, "lb-ft"));
    assert!(usable.rule.contains("6789-1:2017"));
    let usable = wrench(10.0, 100.0, 1.0).usable().unwrap();
    assert_eq!(in_unit(&[usable.low, usable.high], "lb-ft"), [20.0, 100.0]);
    assert!(usable.rule.contains("2003"));
    let shop = Wrench {
        shop_range: Some((of(25.0, "lb-ft"), of(75.0, "lb-ft"))),
        ..wrench(10.0, 100.0, 1.0)
    };
    assert_eq!(shop.usable().unwrap().rule, "range set by the shop");
    assert_eq!(set(&shop, 80.0).on_scale, OnScale::Above);
    let upside_down = wrench(100.0, 20.0, 1.0).usable().unwrap_err();
    assert!(matches!(upside_down, ProcedureError::BadScale { .. }));
}

#[test]
fn settings_in_words() {
    let five = wrench(20.0, 100.0, 5.0);
    assert_eq!(set(&five, 70.0).to_string(), "set 70 lb-ft");
    assert_eq!(set(&five, 69.5).to_string(), "set 70 lb-ft (+0.7 %)");
    assert_eq!(set(&five, 72.0).to_string(), "set 70 lb-ft (-2.8 %): use a finer wrench");
    assert!(!set(&five, 72.0).is_usable());
    assert_eq!(
        set(&five, 12.0).to_string(),
        "12 lb-ft is below this wrench's range 20 lb-ft to 100 lb-ft (from the lowest mark, \
         ISO 6789-1:2017): use another wrench"
    );
    assert_eq!(
        set(&wrench(10.0, 100.0, 5.0), 120.0).to_string(),
        "120 lb-ft is above this wrench's range 20 lb-ft to 100 lb-ft (from 20 % of full scale, \
         ISO 6789:2003): use another wrench"
    );
}

/// Never past a stated maximum; inside a range if a mark lies there.
#[test]
fn a_maximum_is_never_rounded_past() {
    let five = wrench(20.0, 100.0, 5.0);
    let within = |wanted, low, high| {
        five.setting(of(wanted, "lb-ft"), Some(of(low, "lb-ft")), Some(of(high, "lb-ft"))).unwrap()
    };
    let max = five.setting(of(68.0, "lb-ft"), None, Some(of(68.0, "lb-ft"))).unwrap();
    assert_eq!(in_unit(&[max.set], "lb-ft"), [65.0]);
    assert_eq!(in_unit(&[within(67.5, 65.0, 70.0).set], "lb-ft"), [70.0]);
    assert_eq!(in_unit(&[within(67.5, 66.0, 71.0).set], "lb-ft"), [70.0]);
    assert_eq!(in_unit(&[within(67.0, 66.0, 70.0).set], "lb-ft"), [70.0]);
    let none = within(67.0, 66.0, 69.0);
    assert_eq!(none.on_scale, OnScale::NoMark);
    assert_eq!(none.to_string(), "no mark of this wrench lies in the range: use a finer wrench");
}

/// A wrench that cannot show the value is passed over for one that can.
#[test]
fn another_wrench_is_suggested() {
    let shelf = [wrench(5.0, 25.0, 0.5), wrench(20.0, 100.0, 5.0), wrench(30.0, 150.0, 1.0)];
    let best = |wanted| best_wrench(&shelf, of(wanted, "lb-ft"), None, None).map(|pick| pick.index);
    assert_eq!(best(12.0), Some(0));
    assert_eq!(best(70.0), Some(1));
    assert_eq!(best(72.0), Some(2));
    assert_eq!(best(200.0), None);
}

proptest! {
    /// The same of a sheet's own shares: none over the final value.
    #[test]
    fn shares_rise_to_the_final_value(
        last in 0.5..2000.0_f64, percents in prop::collection::btree_set(1..100_u32, 0..8),
        step in 0.01..500.0_f64, has_scale: bool
    ) {
        let last = of(last, "lb-ft");
        let percents = percents.into_iter().chain([100]);
        let shares: Vec<Ratio> =
            percents.map(|percent| Ratio::from_value(f64::from(percent) / 100.0)).collect();
        let graduation = has_scale.then(|| of(step, "N·m"));
        let passes = share_passes(last, &shares, graduation).unwrap();
        prop_assert!(!passes.steps.is_empty() && passes.steps.len() <= shares.len());
        prop_assert_eq!(*passes.steps.last().unwrap(), last);
        prop_assert!(passes.steps.windows(2).all(|pair| pair[0] < pair[1]));
    }

    /// A pass never exceeds the final value, whatever the graduation; passes
    /// rise strictly and the last is exact.
    #[test]
    fn passes_rise_to_the_final_value(
        last in 0.5..2000.0_f64, count in 1..=20_usize, step in 0.01..500.0_f64, has_scale: bool
    ) {
        let last = of(last, "lb-ft");
        let graduation = has_scale.then(|| of(step, "N·m"));
        let passes = equal_passes(last, count, graduation).unwrap();
        prop_assert!(!passes.steps.is_empty() && passes.steps.len() <= count);
        prop_assert_eq!(*passes.steps.last().unwrap(), last);
        prop_assert!(passes.steps.windows(2).all(|pair| pair[0] < pair[1]));
        prop_assert!(passes.steps[0].nm() > 0.0);
        if let Some(graduation) = graduation {
            for pass in &passes.steps[..passes.steps.len() - 1] {
                let marks = *pass / graduation;
                prop_assert!((marks - marks.round()).abs() < 1e-6, "{} marks", marks);
            }
        } else {
            prop_assert_eq!(passes.steps.len(), count);
        }
        // Sharp: no step sits so near the end that the last pull is a creep.
        if let [.., before, last] = passes.steps[..] {
            let gap = (0.5 / count as f64).min(0.1);
            prop_assert!(before / last <= 1.0 - gap + 1e-6);
        }
    }

    #[test]
    fn settings_respect_their_limits(
        wanted in 1.0..300.0_f64, below in 0.0..20.0_f64, above in 0.0..20.0_f64,
        step in 0.1..25.0_f64
    ) {
        let wrench = wrench(10.0, 250.0, step);
        let floor = of((wanted - below).max(0.1), "lb-ft");
        let limit = of(wanted + above, "lb-ft");
        let setting = wrench.setting(of(wanted, "lb-ft"), Some(floor), Some(limit)).unwrap();
        prop_assert!(setting.set.nm() <= limit.nm() * (1.0 + 1e-9));
        if setting.is_usable() {
            prop_assert!(setting.set.nm() >= floor.nm() * (1.0 - 1e-9));
            prop_assert!(setting.error.value().abs() <= 0.02);
        }
        prop_assert!(!setting.to_string().contains("NaN"));
        let marks = setting.set / of(step, "lb-ft");
        prop_assert!((marks - marks.round()).abs() < 1e-6);
    }

    #[test]
    fn wild_input_is_refused_not_computed(last: f64, step: f64, count in 0..50_usize) {
        let graduation = Some(Torque::from_nm(step));
        match equal_passes(Torque::from_nm(last), count, graduation) {
            Ok(passes) => prop_assert!(passes.steps.iter().all(|t| t.nm().is_finite() && t.nm() > 0.0)),
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
    }
}
