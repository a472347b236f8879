//! Figures side by side under names: those of machines, or of the sides of one.

use std::collections::HashSet;

use crate::intake::header::{Column, Heading, Weight, read_heading};
use crate::intake::heading_parts::Parts;
use crate::intake::names::Names;
use crate::intake::survey::columns::Settler;
use crate::intake::survey::rows::{TableFound, figures};
use crate::intake::survey::{Plan, title_facts};
use crate::intake::words::{plain_words, says_steps};
use crate::record::find_field;

impl Settler<'_> {
    /// Figures under the names of several machines or sides, where a title, the file or each
    /// of them says the unit of torque and no column does: `VL-1`, `VL-2`; `Front`, `Rear`.
    pub(super) fn side_columns(&self, table: &mut TableFound, plan: &mut Plan) {
        let is_titled = self.titled(table).assembly.is_some();
        let headings = &mut table.headings;
        let is_named = |at: &usize| {
            let heading = &headings[*at];
            matches!(heading.column, Column::Unknown { .. })
                && heading.text.contains(char::is_alphabetic)
                && self.contents[*at].are_figures()
        };
        let columns: Vec<usize> = (0..headings.len()).filter(is_named).collect();
        let text = |at: &usize| headings[*at].text.as_str();
        let are_beside = columns.windows(2).all(|pair| pair[0] + 1 == pair[1]);
        let around = table.titles.iter().flatten().chain([&self.sheet.name]);
        let says_unit = around.into_iter().any(|text| title_facts::unit_in(text).is_some())
            || columns.iter().map(text).all(|text| title_facts::unit_in(text).is_some());
        let is_so = are_beside && says_unit && columns.len() > 1;
        if self.sheet.is_typed || !is_so || headings.iter().any(figures) {
            return;
        }
        let has = |name: &str| headings.iter().any(|one| one.column.is(name));
        let texts: Vec<&str> = columns.iter().map(text).collect();
        let has_place = has("joint") || has("part");
        let are_machines = are_counted(texts.iter().copied())
            || !is_titled
                && (texts.iter().all(|text| is_machine(text))
                    || has_place && are_names(&texts, self.names));
        let field = match () {
            () if has("key") => return,
            () if texts.iter().all(|text| is_side(text)) => "joint",
            () if are_machines && !has("assembly") => "assembly",
            () => return,
        };
        let Some(torque) = find_field("torque") else { return };
        for at in columns {
            let heading = &mut headings[at];
            let name = Parts::split(&heading.text).outside.trim().to_owned();
            let of = if field == "joint" { "place" } else { "machine" };
            plan.conclude(format!("`{}` read as the torques of that {of}", heading.text));
            heading.units = title_facts::unit_in(&heading.text).into_iter().collect();
            heading.given = Some((field, name));
            heading.column = Column::Field(torque);
            heading.weight = Weight::Strong;
        }
    }

    /// What the names over torques side by side are: machines where nothing else names one,
    /// and sides that stand with the joint or the part that a column names.
    pub(super) fn name_sides(&self, headings: &mut [Heading], is_titled: bool) {
        let has = |name: &str| headings.iter().any(|heading| heading.column.is(name));
        let named = named(headings);
        let texts: Vec<&str> = named.iter().map(|(_, text)| *text).collect();
        let has_machine = is_titled || has("assembly") || self.options.assembly.is_some();
        let field = match () {
            () if named.len() < 2 || self.sheet.is_typed || has("key") => return,
            () if are_sides(headings) && has("joint") => "part",
            () if !has_machine && has("joint") && are_names(&texts, self.names) => "assembly",
            () => return,
        };
        for at in named.into_iter().map(|(at, _)| at).collect::<Vec<_>>() {
            if let Some((name, _)) = &mut headings[at].given {
                *name = field;
            }
        }
    }
}

/// The columns of torque whose headings have words of their own, and these.
fn named(headings: &[Heading]) -> Vec<(usize, &str)> {
    let words = |(at, heading): (usize, &'_ Heading)| match &heading.given {
        Some(("joint", text)) if heading.column.is_torque() => Some((at, text.len())),
        _ => None,
    };
    let columns: Vec<usize> =
        headings.iter().enumerate().filter_map(words).map(|(at, _)| at).collect();
    let text = |at: usize| headings[at].given.as_ref().map_or("", |(_, text)| text.as_str());
    columns.into_iter().map(|at| (at, text(at))).collect()
}

/// Whether all torques with words of their own are those of sides: `Front Nm`, `Rear Nm`.
pub(super) fn are_sides(headings: &[Heading]) -> bool {
    let named = named(headings);
    named.len() > 1 && named.iter().all(|(_, text)| is_side(text))
}

/// Whether a heading is the side of something, perhaps with what it is the side of.
fn is_side(text: &str) -> bool {
    #[rustfmt::skip] // words of five languages, side by side
    const SIDES: &[&str] = &[
        "front", "rear", "back", "left", "right", "lh", "rh", "l/h", "r/h", "upper", "top", "bottom", "inner", "outer", "inside", "outside", "nearside", "offside", "n/s", "o/s", "drive", "steer", "steering", "trailing", "trailer", "driven",
        "intake", "exhaust", "inlet", "outlet", "north", "south", "east", "west", "port", "starboard", "fore", "aft",
        "vorn", "vorne", "hinten", "links", "rechts", "oben", "unten", "innen", "aussen", "einlass", "auslass", "vorderachse", "hinterachse", "vorderrad", "hinterrad",
        "avant", "arriere", "gauche", "droite", "haut", "bas", "admission", "echappement", "delantero", "delantera", "trasero", "trasera", "izquierdo", "izquierda", "derecho", "derecha",
        "anteriore", "posteriore", "sinistra", "sinistro", "destra", "destro", "voor", "achter", "fram", "bak", "vanster", "hoger",
    ];
    #[rustfmt::skip] // words of five languages, side by side
    const OF: &[&str] = &["axle", "axles", "wheel", "wheels", "side", "end", "achse", "rad", "seite", "essieu", "roue", "cote", "eje", "rueda", "lado", "asse", "ruota", "lato", "as", "wiel"];
    let folded = plain_words(&Parts::split(text).outside);
    let words: Vec<&str> = folded.split(' ').collect();
    words.iter().any(|word| SIDES.contains(word))
        && words.iter().all(|word| SIDES.contains(word) || OF.contains(word))
}

/// Whether headings are names that mean nothing else: `Ostrand`, `Pellworth`.
fn are_names(texts: &[&str], names: &Names) -> bool {
    #[rustfmt::skip] // words of five languages, side by side
    const OTHER: &[&str] = &[
        "new", "used", "old", "steel", "alloy", "alu", "aluminium", "aluminum", "iron", "cast", "brass", "bronze", "plastic", "nylon", "composite", "wood", "concrete", "cold", "hot", "warm", "wet", "clean", "plated", "zinc", "galvanised", "galvanized", "black", "bright", "coated", "painted", "bare", "stainless",
        "initial", "snug", "seat", "seating", "start", "check", "checked", "recheck", "actual", "measured", "reading", "result", "target", "final", "full", "half", "preload", "first", "second", "third", "last", "next", "before", "after", "breakaway", "prevailing", "run", "running", "loosening", "removal", "slip", "limit", "alarm",
        "length", "width", "height", "depth", "weight", "clearance", "gap", "stretch", "turns", "speed", "pressure", "load", "force", "tension", "clamp", "price", "cost", "stock", "bin", "shelf", "level", "hours", "days", "weeks", "months", "year", "interval", "page", "figure", "spec", "standard", "special", "normal", "heavy", "light", "short", "long", "small", "large", "big", "fine", "coarse", "metric", "imperial", "inch", "dia", "head", "hex", "socket", "flange", "washer", "gasket", "with", "without", "hand", "gun", "impact", "wrench", "tool", "setting", "click", "digital", "morning", "night", "summer", "winter", "mon", "tue", "wed", "thu", "fri", "sat", "sun",
        "neu", "alt", "gebraucht", "stahl", "guss", "kalt", "warm", "blank", "verzinkt", "schwarz", "voranzug", "vorspannung", "soll", "ist", "gemessen", "neuf", "neuve", "usage", "acier", "fonte", "froid", "chaud", "mesure", "nuevo", "usado", "acero", "hierro", "frio", "caliente", "medido", "nuovo", "usato", "acciaio", "ghisa", "freddo", "caldo", "misurato", "nieuw", "gebruikt", "staal", "koud",
    ];
    let is_name = |text: &&str| {
        let outside = Parts::split(text).outside;
        let word = outside.trim();
        let is_known = read_heading(word, names).weight > Weight::None;
        let fits = |word: &str| {
            word.starts_with(char::is_uppercase)
                && word.chars().count() > 2
                && word.chars().all(|c| c.is_alphabetic() || c == '-')
                && word.chars().any(char::is_lowercase)
                && !OTHER.contains(&plain_words(word).as_str())
        };
        !is_known && !is_side(word) && word.split(' ').all(fits)
    };
    let distinct: HashSet<&str> = texts.iter().copied().collect();
    texts.len() > 1 && distinct.len() == texts.len() && texts.iter().all(is_name)
}

/// Whether the names differ by their numbers alone.
fn are_counted<'a>(names: impl Iterator<Item = &'a str>) -> bool {
    let stem = |name: &str| name.replace(|c: char| c.is_ascii_digit(), "");
    let names: Vec<&str> = names.collect();
    let is_one = |name: &&str| name.contains(|c: char| c.is_ascii_digit());
    names.iter().all(|name| is_one(name) && stem(name) == stem(names[0]))
}

/// Whether a heading is a name and a number, `Ombrey 4`, and none of a step or a choice.
fn is_machine(text: &str) -> bool {
    const OTHER: &[&str] = &[
        "option", "variant", "version", "value", "reading", "test", "check", "size", "grade",
        "class", "rev", "col", "column", "figure", "bolt", "joint", "item", "cylinder", "cyl",
    ];
    let folded = plain_words(&Parts::split(text).outside);
    let words: Vec<&str> = folded.split(' ').collect();
    let is_name = |word: &&str| word.len() > 2 && word.chars().all(char::is_alphabetic);
    let has_number = |word: &&str| word.contains(|c: char| c.is_ascii_digit());
    words.iter().any(is_name)
        && words.iter().any(has_number)
        && !words.iter().any(|word| OTHER.contains(word) || says_steps(word))
}
