//! `log bolts` and `list sets`: each bolt of each set as the log leaves it.

use crate::cli::exit::{Code, Failure};
use crate::cli::log::args::Which;
use crate::cli::out::Out;
use crate::record::{BoltSet, BoltState};
use crate::report::{self, BoltRow};
use crate::store::Book;
use crate::text::fold_name;

/// Draws the bolts asked for; 1 if there is none.
pub(in crate::cli) fn bolts(book: &Book, which: &Which, out: &mut Out) -> Result<Code, Failure> {
    let named = which.set.clone().or_else(|| Some(which.words.join(" ")).filter(|n| !n.is_empty()));
    if let Some(name) = &named {
        crate::cli::kept::bolt_set(book, name)?;
    }
    let all = states(book)?;
    let rows: Vec<BoltRow<'_>> = all
        .iter()
        .filter(|(set, _)| named.as_ref().is_none_or(|n| fold_name(n) == fold_name(&set.name)))
        .flat_map(|(set, states)| states.iter().map(move |state| BoltRow { set, state }))
        .filter(|row| which.cycles.is_none_or(|least| row.state.tightenings >= least))
        .collect();
    out.page(&report::bolt_list(&rows));
    if rows.is_empty() {
        let none = "no bolt set: add set NAME fastener=KEY bolts=… enters one";
        out.say(if all.is_empty() { none } else { "0 bolts" });
        return Ok(Code::Nothing);
    }
    Ok(Code::Answered)
}

/// Every bolt set with its bolts, judged by what their fastener says of reuse.
pub(in crate::cli) fn states(book: &Book) -> Result<Vec<(BoltSet, Vec<BoltState>)>, Failure> {
    let log = book.log()?;
    let mut all = Vec::new();
    for set in book.bolt_sets()? {
        let reuse = book.fastener(&set.fastener)?.and_then(|fastener| fastener.reuse);
        all.push((set.clone(), set.states(log, reuse)));
    }
    Ok(all)
}
