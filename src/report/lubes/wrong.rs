//! What a listed torque does with another lube on the bolt.

use crate::correction::{ClampVerdict, Comparison, WrongLube};
use crate::quantity::{Dimension, Extent, Torque};
use crate::query::run::UnitsWanted;
use crate::report::cells;
use crate::report::figures::{Figures, figure, per_cent};
use crate::report::grid::{Grid, GridRow};
use crate::report::lay::{clean, flow, tied, wrap};
use crate::report::page::Head;
use crate::report::style::{Style, Tone};
use crate::report::units::units_for;

/// The block of wrong lubes: consequences, not settings.
pub(crate) fn wrong(
    one: &Comparison,
    units: &UnitsWanted,
    width: usize,
    style: Style,
) -> Vec<String> {
    let (near, shown): (Vec<&WrongLube>, Vec<&WrongLube>) =
        one.wrong.iter().partition(|wrong| wrong.verdict == ClampVerdict::Near);
    if shown.is_empty() && near.is_empty() {
        return Vec::new();
    }
    let title = "WRONG LUBE ON THE BOLT: consequences, not settings";
    let mut lines = vec![String::new()];
    lines.extend(wrap(title, width).iter().map(|line| style.paint(Tone::Heading, line)));
    let rows: Vec<Vec<String>> = shown.iter().map(|wrong| consequence(wrong, one, units)).collect();
    let grid = Grid {
        heads: (0..4).map(|_| Head::solid("")).collect(),
        rows: rows.iter().zip(&shown).map(|(texts, wrong)| wrong_row(texts, wrong)).collect(),
    };
    match grid.draw(width, style) {
        Some(drawn) => lines.extend(drawn.into_iter().skip(1)),
        None => lines.extend(rows.iter().flat_map(|texts| flow(texts, width))),
    }
    if !near.is_empty() {
        let pairs: Vec<String> = near.iter().map(|wrong| tied(&mistake(wrong, units))).collect();
        lines.extend(wrap(
            &format!("within a tenth of what was meant: {}", pairs.join(", ")),
            width,
        ));
    }
    lines
}

fn wrong_row(texts: &[String], wrong: &WrongLube) -> GridRow {
    let tone = match wrong.verdict {
        ClampVerdict::PastYield
        | ClampVerdict::PastProof
        | ClampVerdict::MayYield
        | ClampVerdict::NearYield => Tone::Danger,
        _ => Tone::Plain,
    };
    GridRow { cells: texts.to_vec(), tone }
}

/// `oil's 88 lb-ft with moly`.
fn mistake(wrong: &WrongLube, units: &UnitsWanted) -> String {
    let torque = Extent::parse(&wrong.torque).map_or_else(
        |_| clean(&wrong.torque),
        |torque: Extent<Torque>| {
            let units = units_for(units, Dimension::Torque, Some(torque.unit()));
            Figures::new(torque, &units[..units.len().min(1)], true).with_units()
        },
    );
    format!("{}'s {torque} with {}", clean(&wrong.listed_for), clean(&wrong.on_the_bolt))
}

/// Mistake, clamp, shares, verdict.
fn consequence(wrong: &WrongLube, one: &Comparison, units: &UnitsWanted) -> Vec<String> {
    let unit = cells::clamp_unit(units);
    let clamp = unit.map_or_else(String::new, |unit| {
        format!("{} {}", figure(Dimension::Force, wrong.clamp.n(), unit), unit.symbol)
    });
    let place = one.rows.iter().find_map(|row| row.derived.section);
    let of_proof = || Some(format!("{} % of proof", per_cent(wrong.of_proof?)));
    let share = cells::share(place, wrong.turned_of_yield, wrong.of_yield, "").or_else(of_proof);
    let share = share.unwrap_or_else(|| "strength not stated".to_owned());
    vec![mistake(wrong, units), clamp, share, wrong.verdict.word().to_owned()]
}
