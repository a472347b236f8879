//! What must be done and known of one row.

use crate::mechanics::is_past;
use crate::quantity::{Extent, Torque, Unit};
use crate::query::run::UnitsWanted;
use crate::record::duty_words::{names_multiplier, reuse_word, shown};
use crate::record::{
    Basis, Fastener, Finish, FinishStated, Method, NOT_STATED, Prevailing, Reuse, Row, Setting,
    SourceKind, Stuff, Turned, finish_of, hole_material, hole_numbers, listed_numbers,
};
use crate::report::cells;
use crate::report::duties::hole::{self, whole_joint};
use crate::report::duties::{About, Duty, Harm, discard_words};
use crate::report::figures::per_cent;
use crate::report::lay::{clean, tied};
use crate::report::pull::{
    Pull, extent_words, passes, pull_words, quoted_start, stated_words, stretch_figures,
};

pub(super) fn stop(text: impl Into<String>, about: About) -> Duty {
    Duty::new(about, Harm::Stop, text)
}

fn fact(text: impl Into<String>) -> Duty {
    Duty::new(About::Bolt, Harm::Fact, text)
}

/// Everything of `row`, of whose fastener `reuse` is known; within one harm the order in
/// which it is said.
pub(super) fn duties(row: &Row, reuse: Option<Duty>, wanted: &UnitsWanted) -> Vec<Duty> {
    let mut found = Vec::from_iter(reuse);
    found.extend(strength(row));
    found.extend(row.warnings.iter().map(|warning| stop(clean(warning), About::Bolt)));
    found.extend(tightening(row, wanted));
    found.extend(disagreement(row, wanted));
    let verbatim = row.setting.warnings.iter();
    found.extend(verbatim.map(|text| stop(format!("sheet: {}", clean(text)), About::Warned)));
    found.extend(ends(row));
    found.extend(hole::duties(row));
    found.extend(steps(row, wanted));
    found.extend(facts(row));
    found
}

/// Whether it is used again.
pub(super) fn reuse(fastener: &Fastener, wanted: &UnitsWanted) -> Option<Duty> {
    Some(match fastener.reuse {
        Some(Reuse::SingleUse) => stop(discard_words(fastener), About::Discard),
        Some(reuse @ Reuse::UpTo(_)) => stop(format!("reuse: {reuse}"), About::Bolt),
        Some(Reuse::FreeLength(limit)) => {
            stop(format!("reuse: until free length {}", stated_words(limit, wanted)), About::Bolt)
        }
        Some(Reuse::Reusable) => return None,
        None if fastener.notes.is_none() && fastener.verbatim.is_none() => return None,
        None => {
            let (_, word) = reuse_word(fastener)?;
            let discard = discard_words(fastener);
            let discard = discard.trim_end_matches('.');
            let text = format!("{discard}: its words say `{}`, reuse is {NOT_STATED}", shown(word));
            stop(text, About::Bolt)
        }
    })
}

/// How the figure is reached: which way, from where, with what on top.
fn tightening(row: &Row, wanted: &UnitsWanted) -> Vec<Duty> {
    let mut found = Vec::new();
    let fastener = &row.fastener;
    if fastener.thread.as_ref().is_some_and(crate::thread::Thread::is_left_hand) {
        // Common practice, no source.
        found.push(stop("left-hand thread: tighten anticlockwise", About::Top));
    }
    found.extend(angle_start(&row.setting, wanted));
    // How tight the start is stands in the sheet's own words or nowhere.
    let quoted = quoted_start(row).map(|words| format!("sheet: {}", clean(words)));
    found.extend(quoted.map(|words| stop(words, About::Bolt)));
    found.extend(prevailing(row, wanted));
    if is_in_inch_pounds(&Pull::of_row(row, wanted)) {
        found.push(stop("INCH-pounds: 20\u{a0}lb-ft = 240\u{a0}lb-in", About::Joint));
    }
    let rule = row.restated.as_ref().and_then(|restated| restated.note.as_ref());
    found.extend(rule.map(|note| stop(clean(note), About::Bolt)));
    found
}

/// "22 lb-ft is only the start: +90° +90° follow".
fn angle_start(setting: &Setting, wanted: &UnitsWanted) -> Option<Duty> {
    let snug = setting.snug.filter(|_| setting.method == Method::TorqueAngle)?;
    let snug = tied(&stated_words(snug, wanted));
    let follow = if setting.angles.len() == 1 { "follows" } else { "follow" };
    Some(stop(format!("{snug} is only the start:{} {follow}", setting.turns()), About::Bolt))
}

fn prevailing(row: &Row, wanted: &UnitsWanted) -> Option<Duty> {
    let fastener = &row.fastener;
    let text = match (fastener.prevailing_rule, fastener.prevailing) {
        (Some(Prevailing::ToAdd), Some(running)) => {
            let listed = Pull::new(&row.setting, wanted).first();
            let sum = Pull::of_row(row, wanted).with_units();
            let running = stated_words(running, wanted);
            format!(
                "{} + {} prevailing torque = {} on the wrench",
                tied(&listed),
                tied(&running),
                tied(&sum)
            )
        }
        (Some(Prevailing::ToAdd), None) => {
            "add the prevailing torque: measure it running down".to_owned()
        }
        (Some(Prevailing::Unknown), _) | (None, Some(_)) => {
            "prevailing torque: included or to add is not stated".to_owned()
        }
        (Some(Prevailing::Included), _) => {
            return Some(fact("the figure has the prevailing torque in it"));
        }
        (None, None) => return None,
    };
    Some(stop(text, About::Bolt))
}

fn is_in_inch_pounds(pull: &Pull) -> bool {
    let inch_pounds = |unit: &&'static Unit| unit.symbol == "lb-in";
    matches!(pull, Pull::Torque(figures, _) if figures.units().iter().any(inch_pounds))
}

/// What turns, the other end of a stud, and its lube.
fn ends(row: &Row) -> Vec<Duty> {
    let fastener = &row.fastener;
    let heading = |text: String| Duty::new(About::Heading, Harm::Hole, text);
    let nut = fastener.turned.filter(|turned| *turned == Turned::Nut);
    let mut found: Vec<Duty> = nut.map(|_| heading("NUT turns".to_owned())).into_iter().collect();
    found.extend(cells::hole_end(fastener).map(heading));
    let place = cells::lube_place(row);
    found.extend(place.map(|place| Duty::new(About::Lube, Harm::Hole, place)));
    if row.setting.this_lube_only {
        found.push(Duty::new(About::Top, Harm::Hole, "this lube only"));
    }
    found
}

/// How near the figure brings the fastener to its strength.
fn strength(row: &Row) -> Vec<Duty> {
    let derived = &row.derived;
    let Some(clamp) = derived.clamp else { return Vec::new() };
    let is_computed = row.setting.basis == Basis::Computed;
    let limit = match (is_past(derived.of_yield), is_past(derived.of_proof)) {
        (true, _) => Some("yield"),
        (false, true) => Some("proof"),
        (false, false) => None,
    };
    if let Some(limit) = limit {
        let basis = row.setting.basis;
        let text = format!(
            "PAST {}: {basis} value by the book's friction: check it or the sheet",
            limit.to_uppercase()
        );
        return (!is_computed).then(|| stop(text, About::Bolt)).into_iter().collect();
    }
    let may_yield = derived.yield_load.is_some_and(|load| is_past(Some(clamp.high / load)));
    // What the scatter of a listed torque may do is no reason to doubt it.
    let harm = if is_computed { Harm::Stop } else { Harm::Near };
    let text = "the high end of the clamp band is past yield: ask the maker or measure stretch";
    may_yield.then(|| Duty::new(About::Bolt, harm, text)).into_iter().collect()
}

/// How it is pulled, and what follows.
fn steps(row: &Row, wanted: &UnitsWanted) -> Vec<Duty> {
    let setting = &row.setting;
    let step = |of: About, text: String| Duty::new(of, Harm::Step, text);
    let mut found = Vec::new();
    if setting.whole_passes().len() > 1 {
        let passes = step(About::Passes, format!("in passes {}", passes(row, wanted)));
        found.push(Duty { field: Some("passes"), ..passes });
    }
    match setting.method {
        Method::Stretch if setting.torque.is_some() => {
            let guide = Setting { method: Method::Torque, ..setting.clone() };
            found.push(fact(format!("as a guide {}", pull_words(&guide, wanted))));
        }
        Method::Torque => {
            let window = setting.stretch.map(|window| stretch_figures(window, wanted).with_units());
            found.extend(window.map(|window| fact(format!("or stretch {}", tied(&window)))));
        }
        _ => {}
    }
    let before =
        row.fastener.after_group.as_ref().map(|g| format!("pulled after group {}", clean(g)));
    let cycles =
        setting.cycles.map(|n| format!("pull and release {n} times before the final pull"));
    let later = |name: &str, when: &Option<String>| {
        let when = when.as_ref().map(|when| clean(when))?;
        // Nothing to do, and nothing to tick.
        Some(if when == "none" {
            fact(format!("no {name}, says its sheet"))
        } else {
            step(About::Later, format!("{name} {when}"))
        })
    };
    let after = [later("retorque", &setting.retorque), later("recheck", &setting.recheck)];
    found.extend(before.into_iter().chain(cycles).map(|text| step(About::Later, text)));
    found.extend(after.into_iter().flatten());
    found.extend(whole_joint(&row.fastener));
    found
}

/// What is good to know.
fn facts(row: &Row) -> Vec<Duty> {
    let (fastener, derived) = (&row.fastener, &row.derived);
    let part = |text: String| Duty::new(About::Part, Harm::Fact, text);
    let mut found: Vec<Duty> = holes(fastener).map(part).into_iter().collect();
    // Often a thing to buy: on a line of its own.
    found.extend(fastener.washer.iter().map(|it| Duty::of_field(About::Part, "washer", it)));
    found.extend(row.setting.tolerance.map(|share| fact(tied(&format!("torque ±{share}")))));
    if has_twin(row) {
        found.push(fact(format!("source {}", cells::source(row))));
    }
    if row.setting.source.kind == Some(SourceKind::Memory) {
        found.push(fact("from memory"));
    }
    found.extend(cells::no_clamp(row).map(fact));
    if derived.clamp.is_some() {
        found.extend(foreign_hole(fastener).map(fact));
        found.extend(foreign_finish(row).map(fact));
        let ring = derived.assumed_bearing;
        found.extend(ring.map(|ring| fact(format!("bearing ring assumed: {ring}"))));
        if derived.yield_.is_none() && derived.proof.is_none() && row.restated.is_none() {
            found.push(fact("strength not stated: how near yield is not known"));
        }
        if let (None, Some(share)) = (derived.yield_, derived.of_proof) {
            found.push(fact(format!("{} % of proof, yield not stated", per_cent(share))));
        }
    }
    found.extend(fastener.notes.as_ref().map(|notes| {
        let harm = if names_multiplier(notes) { Harm::Stop } else { Harm::Fact };
        Duty::new(About::Note, harm, format!("note: {}", clean(notes)))
    }));
    found
}

/// Which holes are its own, where they are not all that the joint lists.
fn holes(fastener: &Fastener) -> Option<String> {
    let words = clean(fastener.positions.as_ref()?);
    let Some(own) = hole_numbers(&words) else { return Some(at(&words)) };
    let listed = fastener.joint.order.as_deref().and_then(listed_numbers);
    let is_every = listed.is_none_or(|listed| listed.len() == own.len());
    (!is_every || own.last() != Some(&own.len())).then(|| format!("holes {words}"))
}

/// Whether another setting of the fastener is told from this one by its source alone.
fn has_twin(row: &Row) -> bool {
    let one = &row.setting;
    let is_like = |other: &&Setting| {
        !other.superseded
            && other.lube == one.lube
            && other.face_lube == one.face_lube
            && other.in_words() == one.in_words()
    };
    row.fastener.settings.iter().filter(is_like).count() > 1
}

/// `at caps 1 to 7`, `at each of four wheels`; words that say so themselves stand alone.
fn at(words: &str) -> String {
    let is_alone = ["at ", "per ", "in ", "on "]
        .iter()
        .any(|word| words.starts_with(word) || words.contains(&format!(" {word}")));
    if is_alone { words.to_owned() } else { format!("at {words}") }
}

/// Said beside a clamp whose factor was not measured on such a hole.
fn foreign_hole(fastener: &Fastener) -> Option<String> {
    let words = match hole_material(fastener) {
        Stuff::Known(material) if !material.takes_steel_factors() => material.word().to_owned(),
        Stuff::Unknown(words) => clean(&words),
        Stuff::Known(_) | Stuff::NotStated => return None,
    };
    Some(format!("hole of {words}: the clamp is by steel's factor"))
}

/// Said beside a clamp whose factor was measured on another finish.
fn foreign_finish(row: &Row) -> Option<String> {
    let (finish, lube) = row.fastener.finish.as_deref().zip(row.setting.lube.as_deref())?;
    let measured_on = match row.derived.is_of_coat {
        true => finish_of(lube),
        false => FinishStated::Known(Finish::Plain),
    };
    (finish_of(finish) != measured_on)
        .then(|| format!("finish {}: the clamp is by the factor of {}", clean(finish), clean(lube)))
}

/// Listed torques of one fastener and lube that differ: said, never averaged.
fn disagreement(row: &Row, wanted: &UnitsWanted) -> Option<Duty> {
    if !is_listed_torque(&row.setting) {
        return None;
    }
    let same = |setting: &&Setting| {
        is_listed_torque(setting)
            && setting.lube == row.setting.lube
            && setting.face_lube == row.setting.face_lube
    };
    let several: Vec<(Extent<Torque>, &Setting)> = (row.fastener.settings.iter().filter(same))
        .filter_map(|setting| Some((setting.torque?, setting)))
        .collect();
    let values: Vec<Extent<Torque>> = several.iter().map(|(torque, _)| *torque).collect();
    // A range is judged at its top.
    let targets =
        || values.iter().filter(|value| value.low().is_some()).map(|value| value.high().nm());
    let (least, most) = (targets().fold(f64::MAX, f64::min), targets().fold(0.0, f64::max));
    let apart = most / least - 1.0;
    if values.len() < 2 || apart < 0.005 {
        return None;
    }
    let shown: Vec<String> =
        several.iter().map(|(value, one)| cited(*value, one, wanted)).collect();
    let apart = format!("{:.0}\u{a0}%", apart * 100.0);
    let text = format!(
        "listed values disagree: {}, {apart} apart: find out which holds before it is pulled",
        shown.join(" and ")
    );
    Some(stop(text, About::Bolt))
}

/// `160 lb-ft (engine manual, 2019-05-01)`.
fn cited(torque: Extent<Torque>, setting: &Setting, wanted: &UnitsWanted) -> String {
    let source = &setting.source;
    let title = source.title.as_ref().map(|title| clean(title));
    let day = source.date.map(|day| day.to_string());
    let parts: Vec<String> = title.into_iter().chain(day).collect();
    let torque = tied(&extent_words(torque, wanted));
    if parts.is_empty() { torque } else { format!("{torque} ({})", parts.join(", ")) }
}

fn is_listed_torque(setting: &Setting) -> bool {
    setting.basis == Basis::Listed && setting.method == Method::Torque && !setting.superseded
}
