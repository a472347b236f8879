//! What a bolt is made of and what its hole is cut in, by the trade's words.

use crate::query::resolve::names::{Joined, longer};
use crate::query::resolve::{Names, Test, names};
use crate::query::syntax::{Item, Leaf};
use crate::record::{Field, Material, NameOf, find_field};

/// `hole-material cast iron`: the material, whatever the book calls it.
pub(super) fn of_hole(field: &Field, value: &Leaf, after: &[Item]) -> Option<Joined<Test>> {
    (field.name == "hole-material").then_some(())?;
    longer(value, after).into_iter().find_map(|(text, items)| {
        Material::find(&text).map(|material| Joined { found: Test::HoleOf(material), items })
    })
}

/// `stainless bolts`: those whose strength is one of that material, or whose text
/// has the word. Of cast iron are only holes.
pub(super) fn of_bolt(text: &str, names: Names<'_>) -> Option<Test> {
    let material = Material::find(text).filter(|material| *material != Material::Other)?;
    if material == Material::CastIron {
        return Some(Test::HoleOf(material));
    }
    let strength = find_field("strength")?;
    let classes = names.tables.strengths.iter().filter(|c| c.material == Some(material));
    let named = classes.filter_map(|class| names::find(NameOf::Strength, &class.name, names));
    let named = named.map(|name| Test::Named(strength, name));
    Some(Test::any_of(named.chain([names::says(text)]).collect()))
}
