//! The passes of a setting: the source's own, else made up where that is sound.

use crate::procedure::{ProcedureError, are_even, equal_passes, share_passes};
use crate::quantity::{Extent, NEWTON_METRE, Quantity, Ratio, Stated, Torque, Unit};
use crate::record::bench::plan::{PassFrom, PassPlan, PassStep, PassWish, TorqueStep};
use crate::record::duty_words::{reuse_word, shown};
use crate::record::{Duty, Fastener, Kind, LubeClass, Method, Pass, Setting, Tables};
use crate::text::fold_name;

/// Least torque that is worth several passes, N·m. Common practice, no source.
const LEAST_NM: f64 = 20.0;

/// The passes of `setting` on `fastener`.
///
/// The source's own where it gives any. Else equal steps, but only for a plain
/// torque of 20 N·m or more on two or more fasteners that are neither
/// single-use nor thread-locked; an angle is its own pass after the snug torque
/// and never split; anything else is one pull, with the reason.
pub fn plan_passes(
    fastener: &Fastener,
    setting: &Setting,
    tables: &Tables,
    wish: &PassWish,
) -> Result<PassPlan, ProcedureError> {
    let (wish, says) = wish.for_fastener(fastener);
    let mut plan = plan_of(fastener, setting, tables, &wish)?;
    plan.remarks.extend(says);
    Ok(plan)
}

fn plan_of(
    fastener: &Fastener,
    setting: &Setting,
    tables: &Tables,
    wish: &PassWish,
) -> Result<PassPlan, ProcedureError> {
    if !setting.passes.is_empty() {
        return of_source(setting, wish);
    }
    match (setting.method, setting.torque) {
        (Method::TorqueAngle | Method::Angle, _) => by_angle(fastener, setting, wish),
        (Method::Stretch, _) => Ok(by_stretch(setting)),
        (Method::Torque, None) => Ok(one_pull(Vec::new(), "torque not stated")),
        (Method::Torque, Some(torque)) => match single(fastener, setting, tables) {
            Some(why) => {
                let last = last_step(torque, wish)?;
                Ok(checked(one_pull(vec![PassStep::Torque(last)], &why)))
            }
            None => plan_torque(torque, wish),
        },
    }
}

/// Equal steps to `torque`, whatever it is for; a maximum has nothing to aim at
/// and is one pull.
pub fn plan_torque(torque: Extent<Torque>, wish: &PassWish) -> Result<PassPlan, ProcedureError> {
    let last = last_step(torque, wish)?;
    let Some(aim) = last.aim else {
        return Ok(checked(one_pull(vec![PassStep::Torque(last)], "only a maximum is stated")));
    };
    let scale = wish.wrench.graduation();
    let passes = equal_passes(aim, wish.count, scale.map(|scale| scale.0))?;
    let made = passes.steps.len().saturating_sub(1);
    let ceiling = torque.low().unwrap_or(aim);
    let mut steps = Vec::with_capacity(passes.steps.len());
    for step in passes.steps.iter().take(made).filter(|step| **step < ceiling) {
        let unit = scale.map_or(torque.unit(), |scale| scale.1);
        steps.push(PassStep::Torque(TorqueStep {
            on_mark: scale.is_some(),
            setting: wish.setting(*step, None, Some(torque.high()))?,
            ..TorqueStep::worked_out(Some(*step), unit)
        }));
    }
    steps.push(PassStep::Torque(last));
    let mut remarks = Vec::new();
    if steps.len() < passes.asked {
        remarks.push(format!(
            "{} steps were asked for; the wrench's marks leave {}",
            passes.asked,
            steps.len()
        ));
    }
    let repeat = steps.len() > 1;
    Ok(checked(PassPlan { repeat, remarks, ..PassPlan::new(steps, PassFrom::Generated) }))
}

/// Why a plain torque is one pull; None if steps may be made up.
fn single(fastener: &Fastener, setting: &Setting, tables: &Tables) -> Option<String> {
    let torque = setting.torque?;
    if fastener.is_single_use() {
        return Some("single-use: only the source's own passes".to_owned());
    }
    if let Some((_, word)) = reuse_word(fastener) {
        let word = shown(word);
        return Some(format!("its words say `{word}`: only the source's own passes"));
    }
    if is_locked(fastener, setting, tables) {
        return Some("thread-locked: in one pull, before it sets".to_owned());
    }
    if fastener.kind == Some(Kind::Plug) || fastener.joint.duty == Some(Duty::SparkPlug) {
        return Some("a plug is pulled on its own".to_owned());
    }
    match fastener.count {
        None => return Some("how many there are is not stated".to_owned()),
        Some(0 | 1) => return Some("one fastener".to_owned()),
        Some(_) => {}
    }
    let aim = torque.target().unwrap_or(torque.high());
    (aim.nm() < LEAST_NM * (1.0 - 1e-9)).then(|| too_little(torque.unit()))
}

/// `under 20 N·m`, with the same in the sheet's own unit.
fn too_little(unit: &'static Unit) -> String {
    let own =
        Quantity::rounded(Torque::from_nm(LEAST_NM), unit, 0).filter(|_| unit.symbol != "N·m");
    format!("under {LEAST_NM} N·m{}", own.map(|own| format!(" ({own})")).unwrap_or_default())
}

/// Whether something sets in the thread: by the class of the lube, or said.
fn is_locked(fastener: &Fastener, setting: &Setting, tables: &Tables) -> bool {
    let names = [&setting.lube, &setting.face_lube];
    let class = |name: &String| tables.lube(name).map(|lube| lube.class);
    let by_class = names.into_iter().flatten().any(|n| class(n) == Some(LubeClass::Threadlocker));
    let names = names.into_iter().chain([&fastener.sealant]).flatten();
    by_class || names.map(|text| fold_name(text)).any(|text| text.contains("threadlocker"))
}

fn one_pull(steps: Vec<PassStep>, why: &str) -> PassPlan {
    PassPlan::new(steps, PassFrom::OnePull(why.to_owned()))
}

/// The final torque, verbatim, with its wrench setting inside what is stated.
fn last_step(torque: Extent<Torque>, wish: &PassWish) -> Result<TorqueStep, ProcedureError> {
    let aim = torque.target();
    let floor = torque.low().filter(|low| *low < torque.high());
    let limit = match torque {
        Extent::Exactly(_) => None,
        Extent::Between(..) | Extent::AtMost(_) => Some(torque.high()),
    };
    let setting = match aim {
        Some(aim) => wish.setting(aim, floor, limit)?,
        None => None,
    };
    let written = Some(torque);
    Ok(TorqueStep { written, setting, ..TorqueStep::worked_out(aim, torque.unit()) })
}

/// The plan, refused if its wrench cannot show the final value.
fn checked(mut plan: PassPlan) -> PassPlan {
    let last = plan.steps.iter().rev().find_map(|step| step.torque()?.setting);
    plan.refused = last.filter(|set| !set.is_usable()).map(|setting| setting.to_string());
    plan
}

fn by_angle(
    fastener: &Fastener,
    setting: &Setting,
    wish: &PassWish,
) -> Result<PassPlan, ProcedureError> {
    let start = match setting.snug.map(Extent::Exactly).or(setting.torque) {
        Some(torque) => PassStep::Torque(last_step(torque, wish)?),
        None if fastener.verbatim.is_some() => PassStep::AsQuoted,
        None => PassStep::Snug,
    };
    let turns = setting.angles.iter().copied().map(PassStep::Turn);
    let steps = std::iter::once(start).chain(turns).collect();
    Ok(checked(PassPlan::new(steps, PassFrom::Method)))
}

fn by_stretch(setting: &Setting) -> PassPlan {
    let steps = setting.stretch.map(PassStep::Stretch).into_iter().collect();
    one_pull(steps, "by stretch, measured at each fastener")
}

/// The passes that the source gives, shares of the final torque worked out.
fn of_source(setting: &Setting, wish: &PassWish) -> Result<PassPlan, ProcedureError> {
    let mut remarks = Vec::new();
    let made = worked_shares(setting, wish, &mut remarks);
    let passes = setting.whole_passes();
    let mut steps = Vec::with_capacity(passes.len());
    for (at, pass) in passes.into_iter().enumerate() {
        steps.push(match pass {
            Pass::Torque(torque) => PassStep::Torque(stated_step(torque, setting, wish)?),
            Pass::Share(share) => PassStep::Torque(share_step(share, made.get(at), setting, wish)?),
            Pass::Turn(angle) => PassStep::Turn(angle),
            Pass::Snug => PassStep::Snug,
        });
    }
    remarks.extend(doubts(&steps, setting));
    Ok(checked(PassPlan { remarks, ..PassPlan::new(steps, PassFrom::Source) }))
}

/// The shares on the marks of the wrench, if every pass is one and its marks
/// can tell them apart; else none, and each is worked out without rounding.
fn worked_shares(setting: &Setting, wish: &PassWish, remarks: &mut Vec<String>) -> Vec<Torque> {
    let share = |pass: &Pass| match pass {
        Pass::Share(share) => Some(share.value()),
        _ => None,
    };
    let shares: Option<Vec<Ratio>> = setting.passes.iter().map(share).collect();
    let aim = setting.torque.and_then(Extent::target);
    let (Some(shares), Some(aim), Some((grid, _))) = (shares, aim, wish.wrench.graduation()) else {
        return Vec::new();
    };
    match share_passes(aim, &shares, Some(grid)) {
        Ok(passes) if passes.steps.len() == shares.len() => {
            let wanted: Vec<Torque> = shares.iter().map(|share| aim * share.value()).collect();
            if are_even(&wanted) && !are_even(&passes.steps) {
                let text = "the wrench's marks make the source's steps uneven: a finer wrench";
                remarks.push(text.to_owned());
            }
            passes.steps
        }
        Ok(_) => {
            remarks.push("the wrench's marks cannot tell the passes apart: not rounded".to_owned());
            Vec::new()
        }
        Err(error) => {
            remarks.push(error.to_string());
            Vec::new()
        }
    }
}

fn stated_step(
    torque: Stated<Torque>,
    setting: &Setting,
    wish: &PassWish,
) -> Result<TorqueStep, ProcedureError> {
    let limit = setting.torque.map(Extent::high);
    let is_last = setting.torque.is_some_and(|last| last == Extent::Exactly(torque));
    let limit = limit.filter(|_| !is_last);
    Ok(TorqueStep {
        written: Some(Extent::Exactly(torque)),
        setting: wish.setting(torque.value(), None, limit)?,
        ..TorqueStep::worked_out(Some(torque.value()), torque.written().unit)
    })
}

fn share_step(
    share: Stated<Ratio>,
    worked: Option<&Torque>,
    setting: &Setting,
    wish: &PassWish,
) -> Result<TorqueStep, ProcedureError> {
    let scale = wish.wrench.graduation().map(|scale| scale.1);
    let written_share = Some(share);
    let part = share.value().value();
    let Some(last) = setting.torque else {
        let step = TorqueStep::worked_out(None, scale.unwrap_or(NEWTON_METRE));
        return Ok(TorqueStep { share: written_share, ..step });
    };
    if (part - 1.0).abs() < 1e-9 {
        return Ok(TorqueStep { share: written_share, ..last_step(last, wish)? });
    }
    let aim = worked.copied().or_else(|| last.target().map(|aim| aim * part));
    let set = aim.map(|aim| wish.setting(aim, None, Some(last.high()))).transpose()?;
    let unit = scale.filter(|_| worked.is_some()).unwrap_or(last.unit());
    Ok(TorqueStep {
        share: written_share,
        on_mark: worked.is_some(),
        setting: set.flatten(),
        ..TorqueStep::worked_out(aim, unit)
    })
}

fn doubts(steps: &[PassStep], setting: &Setting) -> Vec<String> {
    let aims: Vec<Torque> = steps.iter().filter_map(|step| step.torque()?.aim).collect();
    let mut doubts = Vec::new();
    if aims.windows(2).any(|pair| pair[1] <= pair[0]) {
        doubts.push("the source's passes do not rise: ask the source".to_owned());
    }
    let ends_by_torque = steps.last().is_some_and(|step| step.torque().is_some());
    if let (Some(last), Some(torque), true) = (aims.last(), setting.torque, ends_by_torque) {
        let slack = torque.high() * 1e-6;
        let low = torque.low().unwrap_or(torque.high());
        if *last + slack < low || *last > torque.high() + slack {
            doubts.push(format!("the source's passes do not end at its torque, {torque}: ask it"));
        }
    }
    doubts
}
