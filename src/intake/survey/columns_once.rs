//! No field has two columns: each gets the surest one, and two that are left are refused.

use std::collections::HashMap;

use crate::intake::IntakeError;
use crate::intake::header::{Column, Heading, Weight};
use crate::intake::reshape::Reshape;
use crate::intake::survey::Plan;
use crate::intake::survey::columns::Settler;
use crate::record::{FieldKind, find_field};

/// Fields that may have several columns: their cells are joined.
const JOINED: &[&str] = &["notes", "tags", "caution"];

impl Settler<'_> {
    /// Gives each field one column: the surest first, then from the left.
    /// `name_joints`: titles among the rows do.
    pub(super) fn assign(headings: &mut [Heading], name_joints: bool, plan: &mut Plan) {
        let rank = |heading: &Heading| match (heading.weight, heading.others.is_empty()) {
            (Weight::Named, _) => 0,
            (Weight::Weak, _) => 3,
            (_, true) => 1,
            _ => 2,
        };
        let mut order: Vec<usize> = (0..headings.len()).collect();
        order.sort_by_key(|at| rank(&headings[*at]));
        let mut used: HashMap<&'static str, usize> = HashMap::new();
        if name_joints {
            used.insert("joint", usize::MAX);
        }
        for at in order {
            let Column::Field(field) = headings[at].column else { continue };
            if JOINED.contains(&field.name) || matches!(field.name, "torque" | "angle") {
                continue;
            }
            let Some(first) = used.get(field.name).copied() else {
                used.insert(field.name, at);
                continue;
            };
            let is_free = |other: &Column| match other {
                Column::Field(field) => !used.contains_key(field.name),
                _ => false,
            };
            let part = find_field("part").map(Column::Field);
            let below =
                part.filter(|part| field.name == "joint" && first == usize::MAX && is_free(part));
            let free = headings[at].others.iter().find(|other| is_free(other)).cloned();
            match below.or(free) {
                Some(Column::Field(field)) => {
                    used.insert(field.name, at);
                    headings[at].column = Column::Field(field);
                }
                _ if headings[at].weight == Weight::Named => {}
                _ if !Self::is_ambiguous(headings, at, first) => {}
                _ => {
                    let what = field.name;
                    plan.conclude(format!(
                        "`{}` is a second {what}: kept in the notes",
                        headings[at].text
                    ));
                    headings[at].column = Column::Kept("another column names it");
                }
            }
        }
    }

    /// Whether one of two columns for one field may be left to the notes: words, a
    /// day, a size of the head; two figures to tighten to are asked about.
    fn is_ambiguous(headings: &[Heading], at: usize, first: usize) -> bool {
        let Column::Field(field) = headings[at].column else { return false };
        let is_words = matches!(
            field.kind,
            FieldKind::Text | FieldKind::List | FieldKind::Day | FieldKind::Choice(_)
        );
        first == usize::MAX
            || is_words && field.name != "key"
            || ["length", "head-size"].contains(&field.name)
    }

    /// Refuses two columns for one thing.
    pub(super) fn each_once(
        &self,
        line: u32,
        headings: &[Heading],
        reshape: &Reshape,
    ) -> Result<(), IntakeError> {
        if let Some((first, second, what)) = twice(headings, reshape) {
            let (one, two) = (&headings[first].text, &headings[second].text);
            let number = |at: usize| headings[at].origin.unwrap_or(at) + 1;
            let (first, second) = (number(first), number(second));
            let problem =
                format!("columns {first} (`{one}`) and {second} (`{two}`) both mean {what}");
            return Err(self.fault(line, problem, "rename one of them or leave it out"));
        }
        Ok(())
    }
}

/// Two columns for one thing: their indices and what it is.
fn twice(headings: &[Heading], reshape: &Reshape) -> Option<(usize, usize, String)> {
    for (second, heading) in headings.iter().enumerate() {
        let what = match &heading.column {
            Column::Unknown { .. }
            | Column::Blank
            | Column::LeftOut
            | Column::Asked { .. }
            | Column::Derived(_)
            | Column::Kept(_)
            | Column::RowNumber => continue,
            Column::Field(field) if JOINED.contains(&field.name) => continue,
            Column::Field(field) => field.name.to_owned(),
            Column::TorqueFor(lube) => format!("the torque with {lube}"),
            Column::Low(field) => format!("the low end of {}", field.name),
            Column::High(field) => format!("the high end of {}", field.name),
            Column::Pass(number) => format!("pass {number}"),
            Column::TorqueUnit => "the unit of torque".to_owned(),
            Column::Pitch => "the pitch".to_owned(),
            Column::Tpi => "the threads per inch".to_owned(),
            Column::Threadlocker => "the threadlocker".to_owned(),
        };
        let same = |first: &usize| {
            headings[*first].column == heading.column && !reshape.are_apart(*first, second)
        };
        if let Some(first) = (0..second).find(same) {
            return Some((first, second, what));
        }
    }
    None
}
