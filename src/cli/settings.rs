//! What a shop wants everywhere, kept in its book: the environment and an option
//! go before it.

use crate::cli::exit::Failure;
use crate::cli::globals::Globals;
use crate::cli::named::meant;
use crate::quantity::{System, find_unit};
use crate::query::run::UnitsWanted;
use crate::store::{Book, Change, SETTINGS, Writer};
use crate::text::nearest;

pub(super) const UNITS: &str = "units";
pub(super) const WHO: &str = "who";
/// What shows a long answer.
pub(super) const PAGER: &str = "pager";

pub(super) const ALL: [&str; 3] = [UNITS, WHO, PAGER];

pub(super) fn read<'b>(book: &'b Book, name: &str) -> Option<&'b str> {
    book.set().iter().find(|(known, _)| known == name).map(|(_, text)| text.as_str())
}

/// The units of `--units`, else of `CLAMPBOOK_UNITS`; the family that the book keeps
/// stands first, and the sheet's own beside it.
pub(super) fn units(globals: &Globals, book: Option<&Book>) -> Result<UnitsWanted, Failure> {
    if let Some(text) = &globals.units {
        return units_of("--units", text);
    }
    if let Some(text) = std::env::var("CLAMPBOOK_UNITS").ok().filter(|text| !text.is_empty()) {
        return units_of("CLAMPBOOK_UNITS", &text);
    }
    let of_book = book.and_then(|book| read(book, UNITS));
    match of_book.map(|text| units_of(UNITS, text)).transpose()? {
        None => Ok(UnitsWanted::AsWritten),
        Some(UnitsWanted::System(system)) => Ok(UnitsWanted::First(system)),
        Some(named) => Ok(named),
    }
}

/// The units that `text` names; `option` says where it stands.
fn units_of(option: &str, text: &str) -> Result<UnitsWanted, Failure> {
    match text.trim() {
        "metric" => return Ok(UnitsWanted::System(System::Metric)),
        "inch" => return Ok(UnitsWanted::System(System::Inch)),
        _ => {}
    }
    let each = text.split(',').map(|name| {
        find_unit(name).ok_or_else(|| {
            let name = name.trim();
            let expected = "write metric, inch or a list such as N.m, kN";
            Failure::Argument(format!("{option}: `{name}` is not a unit; {expected}"))
        })
    });
    each.collect::<Result<_, _>>().map(UnitsWanted::Units)
}

/// Sets what is given; an empty value takes it out. Nothing is set where one is
/// wrong.
pub(super) fn set(writer: &mut Writer, pairs: &[(&str, &str)]) -> Result<(), Failure> {
    let mut changes = Vec::new();
    for (name, text) in pairs {
        let known = ALL.iter().find(|known| *known == name).ok_or_else(|| unknown(name))?;
        let text = Some(text.trim()).filter(|text| !text.is_empty());
        if let Some(text) = text.filter(|_| *known == UNITS) {
            units_of(UNITS, text)?;
        }
        changes.push(Change::note(SETTINGS, known, text));
    }
    writer.apply(changes)?;
    Ok(())
}

fn unknown(name: &str) -> Failure {
    let near = nearest(name, ALL.iter().copied());
    let hint = meant(near, &format!("a book has {}", ALL.join(", ")));
    Failure::Argument(format!("`{name}` is no setting; {hint}"))
}
