//! The lubes and strengths of a book as tables.

use std::io;

use crate::quantity::Stress;
use crate::record::{Band, Tables};
use crate::report::sql::script::{Column, Script, flag, integer, number, stated, text};

pub(super) fn lubes(tables: &Tables, script: &mut Script<'_>) -> io::Result<()> {
    let real = |name: &str| Column::new(name, "double precision");
    let mut columns =
        vec![Column::new("name", "text primary key"), Column::new("class", "text not null")];
    for factor in ["k", "mu_thread", "mu_bearing"] {
        columns.extend([&format!("{factor}_low"), factor, &format!("{factor}_high")].map(real));
    }
    columns.extend(["convertible", "what", "source"].map(|name| Column::new(name, "text")));
    let table = script.table("lube", &columns)?;
    let rows = tables.lubes.iter().map(|lube| {
        let mut row = vec![text(&lube.name), text(lube.class.word())];
        let bands = [lube.k, lube.mu_thread, lube.mu_bearing];
        row.extend(bands.into_iter().flat_map(band));
        row.extend([
            flag(lube.convertible),
            stated(lube.what.as_ref()),
            stated(lube.source.as_ref()),
        ]);
        row
    });
    script.rows(table, rows)?;
    let names = tables.lubes.iter().map(|lube| (lube.name.as_str(), lube.aliases.as_slice()));
    aliases("lube", names, script)
}

fn band(band: Option<Band>) -> [String; 3] {
    [band.map(|b| b.low), band.map(|b| b.nominal), band.map(|b| b.high)].map(number)
}

pub(super) fn strengths(tables: &Tables, script: &mut Script<'_>) -> io::Result<()> {
    let columns = [
        Column::new("name", "text primary key"),
        Column::new("unit", "text not null"),
        Column::new("source", "text not null"),
    ];
    let table = script.table("strength", &columns)?;
    let rows = tables.strengths.iter();
    let rows = rows.map(|one| vec![text(&one.name), text(one.unit.symbol), text(&one.source)]);
    script.rows(table, rows)?;
    let names = tables.strengths.iter().map(|one| (one.name.as_str(), one.aliases.as_slice()));
    aliases("strength", names, script)?;
    sizes(tables, script)
}

fn sizes(tables: &Tables, script: &mut Script<'_>) -> io::Result<()> {
    let columns = [
        Column::new("strength_name", "text not null references \"strength\" (\"name\")"),
        Column::new("number", "integer not null"),
        Column::new("from_mm", "double precision not null"),
        Column::new("from_itself_outside", "text not null"),
        Column::new("to_mm", "double precision not null"),
        Column::new("proof_mpa", "double precision"),
        Column::new("yield_mpa", "double precision"),
        Column::new("tensile_mpa", "double precision"),
    ];
    let table = script.table("strength_size", &columns)?;
    let rows = tables.strengths.iter().flat_map(|one| {
        one.rows.iter().enumerate().map(move |(at, size)| {
            let mut row = vec![text(&one.name), integer(at + 1), number(Some(size.from.mm()))];
            row.extend([flag(size.above), number(Some(size.to.mm()))]);
            let stresses = [size.proof, size.yield_, size.tensile];
            row.extend(stresses.map(|stress| number(stress.map(Stress::mpa))));
            row
        })
    });
    script.rows(table, rows)
}

fn aliases<'a>(
    of: &str,
    names: impl Iterator<Item = (&'a str, &'a [String])>,
    script: &mut Script<'_>,
) -> io::Result<()> {
    let table = format!("{of}_alias");
    let columns = [
        Column::new(&format!("{of}_name"), "text not null"),
        Column::new("alias", "text not null"),
    ];
    let table = script.table(&table, &columns)?;
    let rows = names
        .flat_map(|(name, aliases)| aliases.iter().map(move |alias| vec![text(name), text(alias)]));
    script.rows(table, rows)
}
