//! Cards to carry: joint, torque, lube.

use maud::{Markup, html};

use crate::record::{Basis, Row};
use crate::report::cells;
use crate::report::duties::{About, Duty};
use crate::report::lay::{clean, untied};
use crate::report::sheet::cautions::{live, of_kind};
use crate::report::sheet::facts::lube_words;
use crate::report::sheet::pulls::figures;
use crate::report::sheet::{BenchJoint, Context, Paper};

/// Settings on one card.
const ON_A_CARD: usize = 3;
/// Cards on one sheet of either paper.
const ON_A_SHEET: usize = 4;

/// The sheets of cards, a new card for each assembly.
pub(crate) fn cards(joints: &[BenchJoint], context: &Context<'_>) -> Vec<Markup> {
    let mut cards: Vec<Markup> = Vec::new();
    for joints in joints.chunk_by(|a, b| a.joint.assembly == b.joint.assembly) {
        let rows: Vec<&Row> = joints.iter().flat_map(live).collect();
        for rows in rows.chunks(ON_A_CARD) {
            cards.push(card(rows, context));
        }
    }
    let sheet = |cards: &[Markup]| {
        html! { article.page.cards { @for card in cards { (card) } } }
    };
    cards.chunks(ON_A_SHEET).map(sheet).collect()
}

fn card(rows: &[&Row], context: &Context<'_>) -> Markup {
    let assembly = rows.first().map(|row| clean(&row.fastener.joint.assembly)).unwrap_or_default();
    let facts = context.facts;
    debug_assert!(matches!(facts.paper, Paper::A4 | Paper::Letter));
    html! {
        section.card {
            h1 { (assembly) }
            @for row in rows { (torque_line(row, context)) }
            p.foot {
                "Book revision " (facts.generation) ", printed " (clean(&facts.printed))
                ". Stale if the spec changed. Maker's current sheet governs."
            }
        }
    }
}

/// The warnings of the bench sheet: those of the joint and those of the bolt.
fn warnings(row: &Row, context: &Context<'_>) -> Vec<String> {
    let of_card = |duty: &Duty| duty.is_caution() && duty.about != About::Discard;
    of_kind(row, context.wanted, of_card).collect()
}

/// Torque, basis and lube on one line: never a bare torque.
fn torque_line(row: &Row, context: &Context<'_>) -> Markup {
    let fastener = &row.fastener;
    let (first, other) = figures(row, context);
    let estimate = row.setting.basis == Basis::Computed;
    html! {
        div.line {
            p.what {
                (clean(&fastener.joint.name)) ", " (clean(&fastener.part))
                @if let Some(thread) = &fastener.thread { "  " (thread) }
                @if let Some(strength) = cells::strength_stated(fastener, context.wanted) { ", " (untied(&strength)) }
                @if fastener.is_single_use() { b { "  DISCARD AFTER REMOVAL." } }
            }
            @let must = warnings(row, context);
            p {
                span.torque { (first) }
                @if let Some(other) = other { " " span.other { (other) } }
                " " span.estimate[estimate] { (cells::basis(&row.setting)) }
                " " span.lube { (lube_words(fastener, &row.setting, context.tables)) }
            }
            @if !must.is_empty() { ul.must { @for text in must { li { (text) } } } }
            @if let Some(notes) = &fastener.notes { p.own { "Note: " (clean(notes)) } }
        }
    }
}
