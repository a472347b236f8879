//! Which rows may be of one fastener, known from their names alone, so that a
//! long file can be handed on piece by piece.

use crate::intake::Options;
use crate::intake::cells::{read_choice, says_nothing};
use crate::intake::header::{Column, Heading};
use crate::intake::row_parts::unguarded;
use crate::intake::split::RawRow;
use crate::intake::survey::Given;
use crate::record::{Kind, slug};
use crate::text::{fold_name, quick_hash};

/// Tells the group of each row. Rows of one fastener are always in one group;
/// a group may hold several fasteners that differ by their thread.
pub(crate) struct Grouper<'a> {
    options: &'a Options,
    key: Option<usize>,
    assembly: Option<usize>,
    joint: Option<usize>,
    part: Option<usize>,
    kind: Option<usize>,
    headings: Vec<Heading>,
    above: [String; 2],
    /// The last name of each column with its folded form: rows of one joint
    /// stand together.
    folded: [(String, String); 3],
}

/// The names of a row, folded, and its group.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct RowNames {
    /// Assembly, joint and part; blank where the row has only a key.
    pub(crate) names: [String; 3],
    /// Assembly and joint where the row has none of its own, and whether that of the row
    /// above is meant.
    pub(crate) other: [Option<(String, bool)>; 2],
    /// Hash of the key, or of the names.
    pub(crate) group: u64,
}

impl<'a> Grouper<'a> {
    pub(crate) fn new(headings: &[Heading], options: &'a Options) -> Self {
        let at = |name: &str| {
            headings.iter().position(|h| matches!(h.column, Column::Field(f) if f.name == name))
        };
        Self {
            options,
            key: at("key"),
            assembly: at("assembly"),
            joint: at("joint"),
            part: at("part"),
            kind: at("kind"),
            headings: headings.to_vec(),
            above: [String::new(), String::new()],
            folded: Default::default(),
        }
    }

    /// The names of the row's joint, folded, and the hash of its group.
    pub(crate) fn group_of(&mut self, row: &RawRow, given: &Given, fills_down: bool) -> RowNames {
        let options = self.options;
        let fills_down = fills_down || options.fill_down;
        let assembly = options.assembly.as_ref().or(given.assembly.as_ref());
        let (assembly, other) = self.name(row, self.assembly, assembly, 0, fills_down);
        let of_assembly = other.map(|is_above| (assembly.clone(), is_above));
        let joint = options.joint.as_ref().or(given.joint.as_ref());
        let (joint, other) = self.name(row, self.joint, joint, 1, fills_down);
        let other = [of_assembly, other.map(|is_above| (joint.clone(), is_above))];
        let kind = || {
            let kind = self
                .text(row, self.kind)
                .and_then(|text| read_choice(text, Kind::NAMES, Kind::find).ok());
            kind.map(|kind| kind.value.to_string())
        };
        let part = self.text(row, self.part).map(str::to_owned).or_else(kind).unwrap_or_default();
        let names = [self.fold(&assembly, 0), self.fold(&joint, 1), self.fold(&part, 2)];
        let group = match self.text(row, self.key) {
            Some(key) => quick_hash(&split_key(Some(key)).0),
            None => quick_hash(&names),
        };
        RowNames { names, other, group }
    }

    fn fold(&mut self, name: &str, at: usize) -> String {
        let (last, folded) = &mut self.folded[at];
        if last != name {
            name.clone_into(last);
            *folded = fold_name(name);
        }
        folded.clone()
    }

    /// The cell as it will be read; none if it says nothing.
    fn text<'r>(&'r self, row: &'r RawRow, column: Option<usize>) -> Option<&'r str> {
        let at = column?;
        let heading = &self.headings[at];
        let raw = unguarded(row.cell(at), &heading.column);
        let answer = self.options.answers.find(&heading.text, raw);
        Some(answer.unwrap_or(raw)).filter(|text| !says_nothing(text))
    }

    fn name(
        &mut self,
        row: &RawRow,
        column: Option<usize>,
        given: Option<&String>,
        above: usize,
        fills_down: bool,
    ) -> (String, Option<bool>) {
        let own = self.text(row, column).map(str::to_owned);
        if above == 0 && own.as_ref().is_some_and(|own| *own != self.above[0]) {
            // Another assembly has joints of its own.
            self.above[1].clear();
        }
        let fills_down = fills_down && column.is_some() && !self.above[above].is_empty();
        let is_own = own.is_some();
        let fill = || fills_down.then(|| self.above[above].clone());
        let name = own.or_else(fill).or_else(|| given.cloned()).unwrap_or_default();
        if !name.is_empty() {
            self.above[above].clone_from(&name);
        }
        let is_other = !is_own && !name.is_empty();
        (name, is_other.then_some(fills_down))
    }

    /// A title starts anew: nothing above it is repeated.
    pub(crate) fn forget_above(&mut self) {
        self.above = [String::new(), String::new()];
    }
}

/// `head-stud/oil.2` as the fastener's key and the setting's mark.
pub(crate) fn split_key(key: Option<&str>) -> (Option<String>, Option<String>) {
    match key.map(|key| key.split_once('/').map_or((key, None), |(key, mark)| (key, Some(mark)))) {
        Some((key, mark)) => (Some(slug(&[key])), mark.map(str::to_owned)),
        None => (None, None),
    }
}
