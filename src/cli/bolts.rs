//! Each bolt of each set as the log leaves it, for `log bolts`, `list sets`, `check`.

use crate::cli::exit::{Code, Failure};
use crate::cli::named;
use crate::cli::out::Out;
use crate::record::{BoltSet, BoltState};
use crate::report::{self, BoltRow};
use crate::store::Book;

/// Draws the bolts asked for; 1 if there is none.
pub(super) fn draw(
    book: &Book,
    set: Option<&str>,
    cycles: Option<u32>,
    out: &mut Out,
) -> Result<Code, Failure> {
    let set = set.map(|name| named::bolt_set(book, name)).transpose()?;
    let all = states(book)?;
    let rows: Vec<BoltRow<'_>> = all
        .iter()
        .filter(|(one, _)| set.as_ref().is_none_or(|set| set.name == one.name))
        .flat_map(|(set, states)| states.iter().map(move |state| BoltRow { set, state }))
        .filter(|row| cycles.is_none_or(|least| row.state.tightenings >= least))
        .collect();
    out.page(&report::bolt_list(&rows));
    let none = "no bolt set: add set NAME fastener=KEY bolts=… enters one";
    Ok(out.ended(rows.len(), if all.is_empty() { none } else { "0 bolts" }))
}

/// Every bolt set with its bolts, judged by what their fastener says of reuse.
pub(super) fn states(book: &Book) -> Result<Vec<(BoltSet, Vec<BoltState>)>, Failure> {
    let log = book.log()?;
    let mut all = Vec::new();
    for set in book.bolt_sets()? {
        let reuse = book.fastener(&set.fastener)?.and_then(|fastener| fastener.reuse);
        all.push((set.clone(), set.states(log, reuse)));
    }
    Ok(all)
}
