//! What stands in the box on top of a page, once, and what belongs to one part.

use crate::query::run::UnitsWanted;
use crate::record::{Row, hole_numbers};
use crate::report::duties::{About, Duty, confused, duties, gathered, is_pulled, own_lube};
use crate::report::lay::{capital, clean, untied};
use crate::report::passes::RowPasses;
use crate::report::sheet::{Context, SheetFacts};

/// A row with what must be done and known of it, which is found once for a page.
pub(crate) struct Pulled<'a> {
    pub(crate) one: &'a RowPasses,
    own: Vec<Duty>,
}

impl<'a> Pulled<'a> {
    pub(crate) fn new(one: &'a RowPasses, wanted: &UnitsWanted) -> Self {
        Self { one, own: duties(&[&one.row], wanted) }
    }

    /// What it says at its part that `is_meant`.
    pub(crate) fn texts(&self, is_meant: impl Fn(&Duty) -> bool) -> impl Iterator<Item = String> {
        let meant = self.own.iter().filter(move |duty| is_meant(duty));
        meant.map(|duty| untied(&duty.words()))
    }

    /// Its cautions that stand at its part, besides those that paper shows by themselves.
    pub(crate) fn cautions(&self) -> impl Iterator<Item = String> {
        let apart =
            |about| matches!(about, About::Joint | About::Discard | About::Top | About::Note);
        self.texts(move |duty| duty.is_caution() && !apart(duty.about))
    }

    /// What follows when it is pulled.
    pub(crate) fn later(&self) -> impl Iterator<Item = String> {
        self.texts(|duty| duty.about == About::Later)
    }
}

/// What the source warns of at every part stands on top, not at each.
pub(crate) fn lift_shared(rows: &mut [Pulled<'_>]) {
    let live = || rows.iter().filter(|pulled| is_pulled(&pulled.one.row));
    let is_shared = |duty: &&Duty| {
        duty.about == About::Warned && live().all(|pulled| pulled.own.contains(duty))
    };
    let first = live().next().into_iter().flat_map(|pulled| &pulled.own);
    let shared: Vec<Duty> = first.filter(is_shared).cloned().collect();
    for duty in rows.iter_mut().flat_map(|pulled| &mut pulled.own) {
        if shared.contains(duty) {
            duty.about = About::Top;
        }
    }
}

/// The cautions of a page, each once, that of the wrench first.
pub(crate) fn page_cautions(rows: &[Pulled<'_>], context: &Context<'_>) -> Vec<String> {
    let wanted = context.wanted;
    let on_top = |about| matches!(about, About::Joint | About::Discard | About::Top);
    let of_joint = |pulled: &Pulled<'_>| -> Vec<Duty> {
        pulled.own.iter().filter(|duty| on_top(duty.about)).cloned().collect()
    };
    let live = rows.iter().filter(|pulled| is_pulled(&pulled.one.row));
    let own = live.clone().map(of_joint);
    let rows: Vec<&Row> = live.map(|pulled| &pulled.one.row).collect();
    let of_joint = gathered(&rows, own, None, wanted).into_iter();
    let texts = of_joint.map(|duty| duty.words()).chain(own_lube(&rows).map(str::to_owned));
    let texts = texts.chain(confused(&rows)).chain(either(&rows));
    let wrench = context.facts.wrench_warning.iter().map(|text| clean(text));
    let wrench = wrench.chain(adapter_words(context.facts));
    wrench.chain(texts).map(|text| capital(&untied(&text))).collect()
}

/// That the wrench is set to another figure than the torque, and for which adapter alone.
pub(crate) fn adapter_words(facts: &SheetFacts) -> Option<String> {
    let adapter = clean(facts.adapter.as_ref()?);
    Some(format!("adapter {adapter}: the boxes are what the wrench is set to, with it alone"))
}

/// Parts that stand for each other: they name the same holes.
fn either(rows: &[&Row]) -> Option<String> {
    let mut parts: Vec<(&str, Vec<usize>)> = Vec::new();
    for row in rows {
        let (part, holes) = (row.fastener.part.as_str(), row.fastener.positions.as_deref());
        if let Some(holes) = holes.and_then(hole_numbers)
            && !parts.iter().any(|(known, _)| *known == part)
        {
            parts.push((part, holes));
        }
    }
    let shared = |at: &usize| parts.iter().filter(|(_, holes)| *holes == parts[*at].1).count() > 1;
    let at = (0..parts.len()).find(shared)?;
    let names = parts.iter().filter(|(_, holes)| *holes == parts[at].1);
    let names: Vec<String> = names.map(|(part, _)| clean(part)).collect();
    Some(format!("One of these in the same holes, never both: {}.", names.join(" or ")))
}
