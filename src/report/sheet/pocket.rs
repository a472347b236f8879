//! Cards to carry: joint, torque, lube, and what must be done.

use maud::{Markup, html};

use crate::record::Basis;
use crate::report::cells;
use crate::report::duties::{About, Duty, discard_words, is_pulled};
use crate::report::lay::{capital, clean, untied};
use crate::report::passes::RowPasses;
use crate::report::sheet::cautions::{Pulled, adapter_words};
use crate::report::sheet::facts::{lube_words, sentence};
use crate::report::sheet::pulls::{OnWrench, figures, is_adapted, items};
use crate::report::sheet::{BenchJoint, Context};
use crate::report::steps::with_prevailing;

/// Settings on one card.
const ON_A_CARD: usize = 3;
/// Cards on one sheet of either paper.
const ON_A_SHEET: usize = 4;

/// The sheets of cards, a new card for each assembly.
pub(crate) fn cards(joints: &[BenchJoint], context: &Context<'_>) -> Vec<Markup> {
    let mut cards: Vec<Markup> = Vec::new();
    for joints in joints.chunk_by(|a, b| a.joint.assembly == b.joint.assembly) {
        let rows = joints.iter().flat_map(|joint| &joint.rows).filter(|one| is_pulled(&one.row));
        let rows: Vec<&RowPasses> = rows.collect();
        for rows in rows.chunks(ON_A_CARD) {
            cards.push(card(rows, context));
        }
    }
    let sheet = |cards: &[Markup]| {
        html! { article.page.cards { @for card in cards { (card) } } }
    };
    cards.chunks(ON_A_SHEET).map(sheet).collect()
}

fn card(rows: &[&RowPasses], context: &Context<'_>) -> Markup {
    let facts = context.facts;
    html! {
        section.card {
            h1 { (clean(&rows[0].row.fastener.joint.assembly)) }
            @for one in rows { (torque_line(one, context)) }
            @if let Some(wrench) = &facts.wrench { p.what { "For the wrench " (clean(wrench)) "." } }
            @if let Some(adapter) = adapter_words(facts) { p.own { (capital(&adapter)) } }
            @if let Some(warning) = &facts.wrench_warning { p.own { (capital(&clean(warning))) } }
            p.foot {
                "Book revision " (facts.generation) ", printed " (clean(&facts.printed))
                ". Stale if the spec changed. Maker's current sheet governs."
            }
        }
    }
}

/// The passes, each with what the wrench is set to; nothing of a single pull without one.
fn steps(one: &RowPasses, context: &Context<'_>) -> Markup {
    let Some(plan) = one.plan.as_ref().filter(|_| one.row.setting.is_complete()) else {
        return html! {};
    };
    let plan = with_prevailing(plan, &one.row.fastener);
    let steps: Vec<OnWrench> =
        plan.steps.iter().map(|step| OnWrench::new(&one.row, step, context)).collect();
    let is_shown = steps.len() > 1 || steps.iter().any(OnWrench::is_other);
    let words: Vec<String> = steps.iter().map(OnWrench::words).collect();
    let again = if plan.repeat { "; the last once more round" } else { "" };
    html! { @if is_shown { p.own.set { (words.join("; ")) (again) } } }
}

/// Torque, basis and lube on one line: never a bare torque. Below it the warnings of the
/// bench sheet, those of the joint and those of the bolt.
fn torque_line(one: &RowPasses, context: &Context<'_>) -> Markup {
    let (row, fastener) = (&one.row, &one.row.fastener);
    let (first, other) = figures(row, context);
    let of_card = |duty: &Duty| match duty.about {
        About::Discard | About::Note => false,
        About::Part | About::Later => true,
        _ => duty.is_caution(),
    };
    let must = Pulled::new(one, context.wanted);
    let estimate = row.setting.basis == Basis::Computed;
    html! {
        div.line.adapted[is_adapted(&must, context)] {
            p.what {
                (clean(&fastener.joint.name)) ", " (clean(&fastener.part))
                @if let Some(thread) = &fastener.thread { "  " (thread) }
                @if let Some(strength) = cells::strength_beside(fastener, context.wanted) { ", " (untied(&strength)) }
                @if fastener.is_single_use() { b { "  " (discard_words(fastener)) } }
            }
            p {
                span.torque { (first) }
                @if let Some(other) = other { " " span.other { (other) } }
                " " span.estimate[estimate] { (cells::basis(row)) }
                " " span.lube { (lube_words(row)) }
            }
            (steps(one, context))
            (items("must", must.texts(of_card)))
            @if let Some(gasket) = &fastener.joint.gasket { p.own { (sentence("Gasket", gasket)) } }
            @if let Some(notes) = &fastener.notes { p.own { "Note: " (clean(notes)) } }
        }
    }
}
