//! Columns of torque settled together: one torque in two units, a matrix of
//! sizes by grades, figures for one joint each.

use crate::intake::header::{Column, Heading, Weight, says_torque};
use crate::intake::reshape::Reshape;
use crate::intake::row_parts::{dimension_of, is_a_step, is_of_one_torque};
use crate::intake::survey::columns::Settler;
use crate::intake::survey::columns_side::are_sides;
use crate::intake::survey::content::{Content, Look};
use crate::intake::survey::rows::{TableFound, figures};
use crate::intake::survey::{Plan, title_facts};
use crate::intake::words::{BY_HAND, plain_words};
use crate::quantity::{DecimalMark, Dimension, Unit};
use crate::record::find_field;

impl Settler<'_> {
    /// Columns such as `Stage A` are steps where there are several; one alone is the torque
    /// where it has a unit, else not known.
    pub(super) fn lettered_steps(&self, headings: &mut [Heading]) {
        let is_step = |one: &Heading| matches!(one.column, Column::Pass(_));
        let several = headings.iter().filter(|one| is_step(one)).count() > 1;
        for (heading, content) in headings.iter_mut().zip(&self.contents) {
            if !is_step(heading) || heading.weight > Weight::Weak || heading.given.is_some() {
                continue;
            }
            let by_hand = |cell: &String| BY_HAND.contains(&plain_words(cell).as_str());
            let torque = find_field("torque").filter(|_| !heading.units.is_empty());
            match torque {
                _ if several
                    && content.are_no_figures()
                    && !content.examples.iter().all(by_hand) => {}
                _ if several => heading.weight = Weight::Strong,
                Some(torque) => heading.column = Column::Field(torque),
                None => heading.column = Column::Unknown { nearest: None },
            }
        }
    }

    /// Which of two columns of torque is the one to tighten to.
    pub(super) fn torques_twice(&self, page: u16, headings: &mut [Heading], plan: &mut Plan) {
        self.second_torque(headings, plan);
        self.hidden_torque(page, headings, plan);
    }

    /// `Torque` and `Torque 2`: two steps, or two figures of which the mapping says the one.
    fn second_torque(&self, headings: &mut [Heading], plan: &mut Plan) {
        let position =
            |is_it: &dyn Fn(&Column) -> bool| headings.iter().position(|one| is_it(&one.column));
        let has_first = position(&|one| *one == Column::Pass(1)).is_some();
        let second = position(&|one| *one == Column::Pass(2)).filter(|_| !has_first);
        let first = position(&|one| one.is("torque"));
        let Some((first, second)) = first.zip(second).filter(|(first, second)| first < second)
        else {
            return;
        };
        let angle = find_field("angle").filter(|_| self.contents[second].are_angles());
        if let Some(angle) = angle.filter(|_| !headings.iter().any(|one| one.column.is("angle"))) {
            headings[second].column = Column::Field(angle);
            return;
        }
        let text = headings[second].text.clone();
        if self.options.columns.meanings.contains_key(&plain_words(&headings[first].text)) {
            plan.conclude(format!("`{text}` is a second torque: kept in the notes"));
            headings[second].column = Column::Kept("another column is the torque");
        } else {
            let unit = headings[first].units.first();
            let unit = unit.map_or_else(String::new, |unit| format!(" ({})", unit.symbol));
            headings[first].column = Column::Asked {
                reason: format!("the first of two steps, `{text}` the last, or the torque alone"),
                readings: vec![format!("pass 1{unit}"), format!("torque{unit}")],
            };
        }
    }

    /// Of two columns for one torque, where one is hidden in the workbook: it is the old one.
    fn hidden_torque(&self, page: u16, headings: &mut [Heading], plan: &mut Plan) {
        let hidden = &self.sheet.pages[usize::from(page)].hidden_columns;
        for at in (0..headings.len()).filter(|at| hidden.contains(at)) {
            let own = &headings[at];
            let is_same = |other: &Heading| {
                let bare = other.units.is_empty() || own.units.is_empty();
                let in_one_unit = bare || other.units == own.units;
                other.column == own.column && other.given == own.given && in_one_unit
            };
            let is_shown = |nth: usize| !hidden.contains(&nth) && is_same(&headings[nth]);
            if own.column.is_torque() && (0..headings.len()).any(is_shown) {
                plan.conclude(format!(
                    "`{}` is hidden beside another torque: old figures, kept in the notes",
                    own.text
                ));
                headings[at].column = Column::Kept("it is hidden beside another torque");
            }
        }
    }

    /// Where what stands around speaks of torque, no column holds one, and figures stand
    /// under headings that are not known: they are not left to the notes. A title that says
    /// the unit settles a single one; else each is asked about.
    pub(super) fn unread_torques(
        &self,
        table: &TableFound,
        headings: &mut [Heading],
        plan: &mut Plan,
    ) {
        let is_told = |one: &Heading| {
            figures(one)
                || ["angle", "stretch", "passes", "key"].iter().any(|name| one.column.is(name))
                || one.weight == Weight::Named && !matches!(one.column, Column::Field(_))
        };
        if self.sheet.is_typed || headings.iter().any(is_told) {
            return;
        }
        let has_unit =
            |text: &String| title_facts::unit_in(&text.replace(['_', '.'], " ")).is_some();
        let says_tightening = |text: &str| plain_words(text).split(' ').any(says_torque);
        let says = |text: &String| has_unit(text) || says_tightening(text);
        let mut around =
            table.titles.iter().flatten().chain(&table.below).chain([&self.sheet.name]);
        let is_unknown = |at: &usize| {
            matches!(headings[*at].column, Column::Unknown { .. })
                && self.contents[*at].are_figures()
        };
        let unknown: Vec<usize> =
            (0..headings.len().min(self.contents.len())).filter(is_unknown).collect();
        let in_unit = unknown.iter().any(|at| has_unit(&headings[*at].text));
        if !in_unit && !around.clone().any(says) {
            return;
        }
        let is_in_unit = in_unit || around.any(has_unit);
        // `Pulls are all lb-ft` over the only figures that nothing else explains.
        let is_told = table.titles.iter().flatten().any(has_unit);
        if let ([at], Some(torque)) = (&unknown[..], find_field("torque"))
            && is_told
            && !says_number(&headings[*at].text)
            && !self.contents[*at].count_rows()
        {
            plan.conclude(format!(
                "`{}` read as torque: a title says the unit of the torques, and no other column holds figures that are not known",
                headings[*at].text
            ));
            headings[*at].column = Column::Field(torque);
            return;
        }
        for at in unknown {
            let meanings: &[&str] = match is_in_unit {
                true => &["torque", "notes"],
                false => &["torque (lb-ft)", "torque (N·m)", "notes"],
            };
            headings[at].column = Column::Asked {
                reason: "no column names the torque: is it here".to_owned(),
                readings: meanings.iter().map(|one| (*one).to_owned()).collect(),
            };
        }
    }

    /// `1.250` in a column that also has `118,5` and `22,5`: the point parts thousands, and
    /// the comma in `1,250` beside `118.5`. One beside one may be a slip, and is asked about.
    pub(super) fn thousands(&self, headings: &mut [Heading], plan: &mut Plan) {
        if plan.has_numbers {
            return;
        }
        let (point, comma) = (("point", Look::Point, '.'), ("comma", Look::Comma, ','));
        let (own, other, parted) = match plan.decimal {
            DecimalMark::Comma => (comma, point, Look::ByPoint),
            DecimalMark::Point => (point, comma, Look::ByComma),
        };
        for (heading, content) in headings.iter_mut().zip(&self.contents) {
            let [decimals, slips, parted] =
                [own.1, other.1, parted].map(|look| content.count(look));
            // `2.100` is asked about then.
            heading.is_mixed = figures(heading) && decimals > 0 && slips > 0;
            let shows = decimals.min(parted) > 0 && decimals + parted > 2;
            if figures(heading) && slips == 0 && shows {
                plan.conclude(format!(
                    "`{}`: a {} parts thousands, as decimals stand after a {}",
                    heading.text, other.0, own.0
                ));
                heading.thousands = Some(other.2);
            }
        }
    }
}

/// Settles the torque columns among `headings`.
pub(super) fn settle_torques(
    headings: &mut Vec<Heading>,
    reshape: &mut Reshape,
    contents: &[Content],
    plan: &mut Plan,
) {
    letter_of_several(headings);
    single_joint(headings, plan);
    share_unit(headings);
    let is_angle = |at: &usize| headings[*at].column.is("angle");
    let angles: Vec<usize> = (0..headings.len()).filter(is_angle).collect();
    if angles.len() > 1 {
        reshape.angles(headings, angles);
    }
    ticked(headings, reshape, contents, plan);
    let is_plain = |heading: &Heading| heading.column.is("torque") && heading.given.is_none();
    let mut plain: Vec<usize> = (0..headings.len()).filter(|at| is_plain(&headings[*at])).collect();
    if plain.len() > 1 {
        // A weak heading without figures beside a sure one is none of torque.
        let figures =
            |at: &usize| contents.get(*at).is_none_or(|content| !content.are_no_figures());
        let (kept, other): (Vec<usize>, Vec<usize>) = plain.into_iter().partition(figures);
        for at in other {
            headings[at].column = Column::Kept("it holds no figures");
        }
        plain = kept;
    }
    let mut settle = |headings: &mut Vec<Heading>, columns: Vec<usize>| {
        let Some(columns) = alternates(headings, columns) else { return };
        let texts: Vec<_> = columns.iter().map(|(at, _)| headings[*at].text.clone()).collect();
        plan.conclude(format!(
            "`{}` give one torque in {} units: held against each other",
            texts.join("`, `"),
            texts.len()
        ));
        reshape.alternate(headings, columns);
    };
    settle(headings, plain);
    for lube in lubes(headings) {
        let of_lube = |heading: &Heading| {
            heading.given.is_none()
                && matches!(&heading.column, Column::TorqueFor(known) if *known == lube)
        };
        let columns = (0..headings.len()).filter(|at| of_lube(&headings[*at])).collect();
        settle(headings, columns);
    }
    groups(headings, reshape, plan);
}

/// `Torque A` without a low end beside it is no high end but the first of several.
fn letter_of_several(headings: &mut [Heading]) {
    let has_low = headings.iter().any(|one| matches!(one.column, Column::Low(_)));
    let Some(torque) = find_field("torque").filter(|_| !has_low) else { return };
    for heading in headings.iter_mut().filter(|one| matches!(one.column, Column::High(_))) {
        if heading.text.split([' ', '(']).any(|word| word == "A") {
            heading.column = Column::Field(torque);
            heading.given = Some(("joint", "A".to_owned()));
        }
    }
}

/// Whether a heading says a number or a name of something: `Zahl`, `Bin no`, `Code`.
fn says_number(heading: &str) -> bool {
    #[rustfmt::skip] // words of five languages, side by side
    const NUMBERS: &[&str] = &[
        "no", "nr", "number", "num", "count", "id", "code", "ref", "bin", "shelf", "zahl", "nummer", "lager", "fach", "numero", "nombre", "cantidad",
    ];
    plain_words(heading).split(' ').any(|word| NUMBERS.contains(&word))
}

/// Gives the ends of a torque the unit that stands over one of them, or over the torque.
fn share_unit(headings: &mut [Heading]) {
    let is_end = |one: &Heading| is_of_one_torque(one) && !is_a_step(&one.column);
    let units = headings.iter().filter(|one| is_of_one_torque(one)).flat_map(|one| &one.units);
    let mut units = units.copied().filter(|unit| unit.dimension == Dimension::Torque);
    let Some(unit) = units.next().filter(|unit| units.all(|other| other == *unit)) else { return };
    headings.iter_mut().filter(|one| is_end(one) && one.units.is_empty()).for_each(|one| {
        one.units.push(unit);
    });
}

/// Columns headed by a lube and ticked say the lube of the row.
fn ticked(
    headings: &mut Vec<Heading>,
    reshape: &mut Reshape,
    contents: &[Content],
    plan: &mut Plan,
) {
    let lube = |at: usize| match &headings[at].column {
        Column::TorqueFor(lube) if contents.get(at).is_some_and(Content::are_ticks) => {
            Some((at, lube.clone()))
        }
        _ => None,
    };
    let ticked: Vec<(usize, String)> = (0..headings.len()).filter_map(lube).collect();
    if ticked.is_empty() || headings.iter().any(|heading| heading.column.is("lube")) {
        return;
    }
    let names: Vec<&str> = ticked.iter().map(|(_, lube)| lube.as_str()).collect();
    plan.conclude(format!("ticks say the lube: {}", names.join(", ")));
    reshape.ticks(headings, ticked);
}

fn lubes(headings: &[Heading]) -> Vec<String> {
    let mut lubes: Vec<String> = Vec::new();
    for heading in headings {
        if let Column::TorqueFor(lube) = &heading.column
            && !lubes.contains(lube)
        {
            lubes.push(lube.clone());
        }
    }
    lubes
}

/// Words left over in one torque heading only qualify it; in several they name
/// the joint of each.
fn single_joint(headings: &mut [Heading], plan: &mut Plan) {
    let left =
        |heading: &Heading| heading.given.as_ref().is_some_and(|(field, _)| *field == "joint");
    let has_joint = headings.iter().any(|one| one.column.is("joint"))
        || headings.iter().any(|one| one.column.is("part")) && !are_sides(headings);
    let for_lubes = headings.iter().any(|one| matches!(one.column, Column::TorqueFor(_)));
    if headings.iter().filter(|heading| left(heading)).count() < 2 || has_joint {
        for heading in headings.iter_mut().filter(|heading| left(heading)) {
            if let Some((_, words)) = heading.given.take() {
                // Beside `Torque dry` it is that for a lube which is not known: asked for.
                if for_lubes && heading.column.is("torque") {
                    heading.column = Column::TorqueFor(words);
                    continue;
                }
                plan.conclude(format!(
                    "`{}` read as torque, whatever `{words}` says",
                    heading.text
                ));
            }
        }
    }
}

/// The columns with their units, if they are several and no two have the same.
fn alternates(headings: &[Heading], columns: Vec<usize>) -> Option<Vec<(usize, &'static Unit)>> {
    let units = columns.into_iter().map(|at| Some((at, *headings[at].units.first()?)));
    let units: Vec<_> = units.collect::<Option<_>>()?;
    let differ = (1..units.len()).all(|at| units[..at].iter().all(|one| one.1 != units[at].1));
    (units.len() > 1 && differ).then_some(units)
}

/// Figures for a grade, a size or a joint that their heading names.
fn groups(headings: &mut Vec<Heading>, reshape: &mut Reshape, plan: &mut Plan) {
    let given: Vec<(usize, &'static str, String)> = headings
        .iter()
        .enumerate()
        .filter(|(_, heading)| heading.column.is_torque())
        .filter_map(|(at, heading)| heading.given.clone().map(|(field, text)| (at, field, text)))
        .collect();
    let Some(field) = given.first().map(|(_, field, _)| *field) else { return };
    let texts: Vec<String> = given.iter().map(|(_, _, text)| text.clone()).collect();
    plan.conclude(format!("one column for each {field}: {}", texts.join(", ")));
    reshape.groups(headings, field, given.into_iter().map(|(at, _, text)| (at, text)).collect());
}

/// A unit in the heading that measures something else than its field.
pub(super) fn wrong_unit(heading: &Heading) -> Option<String> {
    // `Grado` is a grade, no angle.
    let wanted = dimension_of(&heading.column).filter(|_| !heading.column.is("strength"))?;
    let is_step = matches!(heading.column, Column::Pass(_));
    let fits = |unit: &&'static Unit| {
        unit.dimension == wanted
            || (is_step && matches!(unit.dimension, Dimension::Angle | Dimension::Ratio))
    };
    let wrong = heading.units.iter().find(|unit| !fits(unit))?;
    // Pounds and kilograms over a torque: each cell is asked for its lever.
    if wanted == Dimension::Torque && matches!(wrong.symbol, "lbf" | "kgf") {
        return None;
    }
    let (symbol, is) = (wrong.symbol, wrong.dimension.name());
    Some(format!("`{}`: {symbol} is a {is}, the column holds a {}", heading.text, wanted.name()))
}
