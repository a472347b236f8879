//! What hole and joint ask for. A phrase of common practice gives way to the source's
//! own words on the same matter.

use crate::record::{
    Bottom, Duty as JointDuty, Fastener, Kind, NOT_STATED, Row, Wet, is_of_order, listed_numbers,
};
use crate::report::duties::row::stop;
use crate::report::duties::{About, Duty, Harm};
use crate::report::lay::clean;
use crate::text::fold_name;

/// What hole and joint of `row` ask for.
pub(super) fn duties(row: &Row) -> Vec<Duty> {
    let mut found = Vec::new();
    found.extend(of_duty(row));
    found.extend(mains(&row.fastener));
    found.extend(sealant(&row.fastener));
    found.extend(bottom(row));
    found
}

fn of_joint(text: String) -> Duty {
    Duty::new(About::Joint, Harm::Hole, text)
}

/// Whether the source's own warnings have one of `words`.
fn warns_of(row: &Row, words: &[&str]) -> bool {
    let own = row.setting.warnings.iter().map(|warning| fold_name(warning));
    own.into_iter().any(|warning| words.iter().any(|word| warning.contains(word)))
}

fn sealant(fastener: &Fastener) -> Option<Duty> {
    let opens = fastener.wet.map(|wet| match wet {
        Wet::Coolant => "coolant",
        Wet::Oil => "oil",
        Wet::Port => "port",
    });
    let text = match (opens, &fastener.sealant) {
        (Some(opens), Some(sealant)) => format!("opens into {opens}: {}", clean(sealant)),
        (Some(opens), None) => format!("opens into {opens}: sealant {NOT_STATED}"),
        (None, Some(sealant)) => format!("sealant: {}", clean(sealant)),
        (None, None) => return None,
    };
    Some(Duty::new(About::Bolt, Harm::Hole, text))
}

fn bottom(row: &Row) -> Vec<Duty> {
    let fastener = &row.fastener;
    let mut found = Vec::new();
    if fastener.bottom == Some(Bottom::Blind) && !warns_of(row, &["liquid", "crack"]) {
        let text = "blind hole: clean, dry, depth checked; liquid in it can crack the part. \
                    Any lube goes on the fastener.";
        found.push(of_joint(text.to_owned()));
    }
    let material = fastener.hole_material.as_deref().map(fold_name).unwrap_or_default();
    if material.contains("alumin") && !warns_of(row, &["cold"]) {
        found.push(of_joint("aluminium: cold only".to_owned()));
    }
    found
}

/// The caution of what the joint does.
fn of_duty(row: &Row) -> Option<Duty> {
    let duty = row.fastener.joint.duty?;
    let governs = "maker's procedure governs";
    let text = match duty {
        JointDuty::Wheel => {
            let recheck = row.setting.recheck.is_none().then_some("recheck after 50–100 miles");
            let dry = (!warns_of(row, &["dry", "clean", "oil"]))
                .then_some("dry and clean unless the maker says otherwise");
            [Some(governs), dry, recheck].into_iter().flatten().collect::<Vec<_>>().join("; ")
        }
        JointDuty::Pressure => format!("{governs}; never tighten under pressure"),
        JointDuty::Steering | JointDuty::Brake | JointDuty::Lifting => governs.to_owned(),
        _ => return None,
    };
    Some(stop(format!("{}: {text}", duty.word()), About::Joint))
}

/// Studs in the mains move the bore; the source's own word on machining goes first.
fn mains(fastener: &Fastener) -> Option<Duty> {
    let words = fold_name(&fastener.joint.name);
    let is_main = words.split(' ').any(|word| word == "main" || word == "mains");
    let is_stud = fastener.kind == Some(Kind::Stud) && fastener.joint.machining.is_none();
    let text = "studs replace bolts: check bore at final torque; line-hone usual";
    (is_main && is_stud).then(|| of_joint(text.to_owned()))
}

/// Gasket, machining and the order that the source gives: once for a joint.
pub(super) fn whole_joint(fastener: &Fastener) -> Vec<Duty> {
    let joint = &fastener.joint;
    let order = joint.order.as_ref().and_then(|text| order_words(fastener, text));
    let texts = [("gasket", &joint.gasket), ("machining", &joint.machining), ("order", &order)];
    let given = texts.into_iter().filter_map(|(name, text)| Some((name, text.as_ref()?)));
    given.map(|(name, text)| Duty::of_field(About::WholeJoint, name, text)).collect()
}

/// The order that the source lists, if it is one of these holes; one fastener has none.
fn order_words(fastener: &Fastener, text: &str) -> Option<String> {
    let holes = listed_numbers(text).map(|numbers| numbers.len());
    match (holes.filter(|holes| !is_of_order(fastener, *holes)), fastener.count) {
        (None, _) => Some(text.to_owned()),
        (Some(_), None | Some(0 | 1)) => None,
        (Some(holes), Some(own)) => {
            Some(format!("the listed one is of {holes} holes, not of these {own}"))
        }
    }
}
