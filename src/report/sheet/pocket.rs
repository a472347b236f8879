//! Cards to carry: joint, torque, lube.

use maud::{Markup, html};

use crate::record::Basis;
use crate::report::cells;
use crate::report::duties::{About, Duty, is_pulled};
use crate::report::lay::{clean, untied};
use crate::report::passes::RowPasses;
use crate::report::sheet::cautions::Pulled;
use crate::report::sheet::facts::lube_words;
use crate::report::sheet::pulls::{figures, items};
use crate::report::sheet::{BenchJoint, Context};

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
            p.foot {
                "Book revision " (facts.generation) ", printed " (clean(&facts.printed))
                ". Stale if the spec changed. Maker's current sheet governs."
            }
        }
    }
}

/// Torque, basis and lube on one line: never a bare torque. Below it the warnings of the
/// bench sheet, those of the joint and those of the bolt.
fn torque_line(one: &RowPasses, context: &Context<'_>) -> Markup {
    let (row, fastener) = (&one.row, &one.row.fastener);
    let (first, other) = figures(row, context);
    let of_card =
        |duty: &Duty| duty.is_caution() && !matches!(duty.about, About::Discard | About::Note);
    let must = Pulled::new(one, context.wanted);
    let estimate = row.setting.basis == Basis::Computed;
    html! {
        div.line {
            p.what {
                (clean(&fastener.joint.name)) ", " (clean(&fastener.part))
                @if let Some(thread) = &fastener.thread { "  " (thread) }
                @if let Some(strength) = cells::strength_beside(fastener, context.wanted) { ", " (untied(&strength)) }
                @if fastener.is_single_use() { b { "  DISCARD AFTER REMOVAL." } }
            }
            p {
                span.torque { (first) }
                @if let Some(other) = other { " " span.other { (other) } }
                " " span.estimate[estimate] { (cells::basis(&row.setting)) }
                " " span.lube { (lube_words(fastener, &row.setting, context.tables)) }
            }
            (items("must", must.texts(of_card)))
            @if let Some(notes) = &fastener.notes { p.own { "Note: " (clean(notes)) } }
        }
    }
}
