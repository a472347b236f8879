//! How a sheet is known again, and what is said when one was written.

use crate::record::NOT_STATED;
use crate::report::lay::{clean, counted};
use crate::report::page::Page;
use crate::report::sheet::BenchJoint;

/// Stands in the head of every sheet.
pub(crate) const GENERATOR: &str = concat!("clampbook ", env!("CARGO_PKG_VERSION"));

/// What was written, for a program. For a person [`sheet_note`] stands beside the
/// sheet.
pub fn written_page(file: &str, joints: &[BenchJoint]) -> Page<'static> {
    let names = joints.iter().map(|one| &one.joint);
    let names = names.map(|joint| format!("{} / {}", joint.assembly, joint.name));
    let mut page = Page::new();
    page.fact("file", file);
    page.fact("joints", names.collect::<Vec<String>>());
    page
}

/// What was written, how it becomes paper, and where a choice is left open.
pub fn sheet_note(file: &str, joints: &[BenchJoint]) -> String {
    let mut lines = vec![format!(
        "wrote {file}: {}. Print it from a browser, which also saves it as PDF.",
        counted(joints.len(), "joint")
    )];
    lines.extend(joints.iter().flat_map(choices));
    lines.join("\n")
}

/// Fasteners that stand on the page with more than one lube.
fn choices(joint: &BenchJoint) -> Vec<String> {
    let rows: Vec<_> = joint.pulled().collect();
    let several =
        rows.chunk_by(|a, b| a.fastener.key == b.fastener.key).filter(|own| own.len() > 1);
    several
        .map(|own| {
            let each = own.iter().map(|row| {
                let lube = row.setting.lube.as_deref().unwrap_or(NOT_STATED);
                format!("{} {}", clean(&row.setting.in_words()), clean(lube))
            });
            let place = [&joint.joint.name, &own[0].fastener.part].map(|name| clean(name));
            format!(
                "{} stands there with {}: a question for one of them gives one",
                place.join(" / "),
                each.collect::<Vec<_>>().join(", ")
            )
        })
        .collect()
}
