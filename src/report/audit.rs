//! The findings of an audit, drawn: the place, the reason, what to do.

use std::collections::BTreeMap;

use crate::audit::{Finding, Severity};
use crate::report::Json;
use crate::report::lay::{clean, counted, wrap};
use crate::report::style::{Style, Tone};

/// The findings by assembly and joint, each with its short name and reason;
/// what to do about each kind once, at the end.
pub fn audit_page(findings: &[Finding], read: usize, width: usize, style: Style) -> String {
    let mut lines = Vec::new();
    let mut last: Option<(&str, &str)> = None;
    for finding in findings {
        let [assembly, joint, part] = finding.place.each_ref().map(String::as_str);
        if last != Some((assembly, joint)) {
            if last.is_some() {
                lines.push(String::new());
            }
            let heading = format!("{} / {}", clean(assembly), clean(joint));
            lines.push(style.paint(Tone::Heading, &heading));
            last = Some((assembly, joint));
        }
        lines.extend(one(finding, part, width, style));
    }
    if !findings.is_empty() {
        lines.push(String::new());
        lines.extend(advice(findings, width));
    }
    lines.push(summary(findings, read));
    lines.join("\n")
}

fn one(finding: &Finding, part: &str, width: usize, style: Style) -> Vec<String> {
    let row = finding.kind.row();
    let tone = if row.severity == Severity::Danger { Tone::Danger } else { Tone::Plain };
    let text = format!("{}: {}", clean(part), clean(&finding.reason));
    let name = format!("  {:<19}", row.name);
    let room = width.saturating_sub(name.len() + 1).max(16);
    let mut lines = Vec::new();
    for (index, piece) in wrap(&text, room).into_iter().enumerate() {
        let lead = if index == 0 { style.paint(tone, &name) } else { " ".repeat(name.len()) };
        lines.push(format!("{lead} {piece}"));
    }
    lines
}

/// What to do, once for each kind that was found.
fn advice(findings: &[Finding], width: usize) -> Vec<String> {
    let kinds: BTreeMap<_, _> = findings.iter().map(|f| (f.kind, f.kind.row())).collect();
    let mut lines = Vec::new();
    for row in kinds.values() {
        let text = format!("{}: {}.", row.name, row.advice);
        lines.extend(wrap(&text, width));
    }
    lines
}

fn summary(findings: &[Finding], read: usize) -> String {
    let of = |severity| findings.iter().filter(|f| f.kind.row().severity == severity).count();
    let counts = [Severity::Danger, Severity::Doubt, Severity::Gap]
        .map(|severity| format!("{} {}", of(severity), severity.word()));
    match findings.len() {
        0 => format!("no findings in {}.", counted(read, "fastener")),
        all => format!(
            "{} in {}: {}.",
            counted(all, "finding"),
            counted(read, "fastener"),
            counts.join(", ")
        ),
    }
}

/// `{"findings": [{finding, severity, key, assembly, joint, part, reason,
/// advice}], "read": n}`.
pub fn audit_json(findings: &[Finding], read: usize) -> Json {
    let one = |finding: &Finding| {
        let row = finding.kind.row();
        let [assembly, joint, part] = finding.place.each_ref().map(String::as_str);
        Json::object(vec![
            ("finding", row.name.into()),
            ("severity", row.severity.word().into()),
            ("key", (&finding.key).into()),
            ("assembly", assembly.into()),
            ("joint", joint.into()),
            ("part", part.into()),
            ("reason", (&finding.reason).into()),
            ("advice", row.advice.into()),
        ])
    };
    let list = Json::List(findings.iter().map(one).collect());
    Json::object(vec![("findings", list), ("read", read.into())])
}
