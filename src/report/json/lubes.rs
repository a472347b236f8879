//! The comparison of lubes as JSON.

use crate::correction::{Comparison, WrongLube};
use crate::record::Turned;
use crate::report::json::Json;
use crate::report::json::row::row_json;

/// `{"fasteners": [{…, "rows": […], "wrong_lube": […]}]}`: each fastener with a
/// row for every lube, and what each listed torque does with another lube.
pub fn lubes_json(all: &[Comparison]) -> String {
    let fasteners = all.iter().map(comparison).collect();
    Json::object(vec![("fasteners", Json::List(fasteners))]).to_string()
}

fn comparison(one: &Comparison) -> Json {
    let fastener = &one.fastener;
    let rows = one.rows.iter().map(|row| row_json(row, 0, &[])).collect();
    Json::object(vec![
        ("key", (&fastener.key).into()),
        ("assembly", (&fastener.joint.assembly).into()),
        ("joint", (&fastener.joint.name).into()),
        ("part", (&fastener.part).into()),
        ("thread", fastener.thread.as_ref().map(ToString::to_string).into()),
        ("hole_thread", fastener.hole_thread.as_ref().map(ToString::to_string).into()),
        ("turned", fastener.turned.map(Turned::word).into()),
        ("rows", Json::List(rows)),
        ("wrong_lube", Json::List(one.wrong.iter().map(wrong).collect())),
    ])
}

fn wrong(wrong: &WrongLube) -> Json {
    Json::object(vec![
        ("listed_for", (&wrong.listed_for).into()),
        ("torque", (&wrong.torque).into()),
        ("torque_nm", wrong.torque_value.nm().into()),
        ("on_the_bolt", (&wrong.on_the_bolt).into()),
        ("clamp_n", wrong.clamp.n().into()),
        ("meant_clamp_n", wrong.meant.n().into()),
        ("of_proof", wrong.of_proof.into()),
        ("of_yield", wrong.of_yield.into()),
        ("turned_of_yield", wrong.turned_of_yield.into()),
        ("verdict", wrong.verdict.word().to_lowercase().into()),
    ])
}
