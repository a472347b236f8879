//! What the book has from the source of a file and the file no longer says: a row
//! that was deleted, or whose thread, lube or part was corrected.
//!
//! A file speaks for the assemblies that it names, as far as it shares a joint with
//! what the book has of them from the same source: two sheets about different joints
//! of one machine leave each other alone. Of files that name no source two may share a
//! joint: where the book has less than half of the file, only what has a part or a
//! thread of it in the same joint counts as corrected. A file with keys, as `export` writes them,
//! may be a part of the book and says nothing about the rest.

use std::sync::Arc;

use crate::intake::existing::Existing;
use crate::intake::gather::FromRow;
use crate::intake::outcome::{Change, Report, SettingChange};
use crate::record::{Fastener, Setting, setting_keys};
use crate::text::{QuickMap, QuickSet, fold_name, quick_hash};

/// A setting of the book that the file no longer has.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gone {
    /// Its key: `KEY/oil`.
    pub key: String,
    /// Assembly, joint and part.
    pub name: String,
    /// Thread, lube and figures in words.
    pub setting: String,
    /// The row that seems to have taken its place: its line, and its part where that is
    /// another, thread and setting.
    pub instead: Option<(u32, String)>,
}

impl Gone {
    fn new(fastener: &Fastener, at: usize) -> Self {
        let setting = &fastener.settings[at];
        let thread = fastener.thread.as_ref().map(|thread| format!("{thread} "));
        let lube = setting.lube.as_deref().unwrap_or("no lube stated");
        Self {
            key: setting_keys(fastener).swap_remove(at),
            name: name_of(fastener),
            setting: format!("{}{lube} {}", thread.unwrap_or_default(), setting.in_words()),
            instead: None,
        }
    }
}

/// `Marlow 6 / head / bolt`.
pub(crate) fn name_of(fastener: &Fastener) -> String {
    format!("{} / {} / {}", fastener.joint.assembly, fastener.joint.name, fastener.part)
}

/// The sources of a file and how much of the book it has, by assembly.
#[derive(Default)]
pub(crate) struct Watch {
    assemblies: QuickMap<String, SourcesSeen>,
}

#[derive(Default)]
struct SourcesSeen {
    /// Hashes of title and revision; hardly more than one.
    sources: Vec<u64>,
    /// Fasteners of the book that the file has, and all of the file.
    known: usize,
    all: usize,
    /// Hashes of joint and part, joint and thread of a file that is not long.
    likes: QuickSet<u64>,
}

/// Of longer files a fastener is not remembered by what it is like.
const REMEMBERED: usize = 50_000;

/// What a corrected row has in common with the one before.
fn likes(fastener: &Fastener) -> [u64; 2] {
    let joint = fold_name(&fastener.joint.name);
    let thread = fastener.thread.as_ref().map(ToString::to_string);
    [quick_hash(&(&joint, fold_name(&fastener.part))), quick_hash(&(&joint, 0, thread))]
}

impl SourcesSeen {
    /// Whether a setting of `fastener` that is in no row of the file was in an earlier
    /// one of it.
    fn is_of(&self, fastener: &Fastener, setting: &Setting) -> bool {
        let is_sourced = setting.source.title.is_some() || setting.source.revision.is_some();
        let is_same_file = self.known * 2 >= self.all || self.all > REMEMBERED;
        is_gone(setting, &self.sources)
            && (is_sourced
                || is_same_file
                || likes(fastener).iter().any(|one| self.likes.contains(one)))
    }
}

impl Watch {
    /// Hears of a fastener of the file: its assembly, folded, and whether the book
    /// has it.
    pub(crate) fn see(
        &mut self,
        assembly: &str,
        fastener: &Fastener,
        settings: &[FromRow],
        is_known: bool,
    ) {
        if !self.assemblies.contains_key(assembly) {
            self.assemblies.insert(assembly.to_owned(), SourcesSeen::default());
        }
        let seen = self.assemblies.get_mut(assembly).expect("it was put in just above");
        seen.known += usize::from(is_known);
        seen.all += 1;
        if seen.all <= REMEMBERED {
            seen.likes.extend(likes(fastener));
        }
        for source in settings.iter().map(|from_row| source_of(&from_row.setting)) {
            if !seen.sources.contains(&source) {
                seen.sources.push(source);
            }
        }
    }

    /// Each fastener of the book that is from a source of the file and in none of its
    /// rows. `joints` are those of the file by their folded names, `used` the hashed
    /// keys of what it has.
    pub(crate) fn each_absent<'a>(
        &self,
        joints: impl Iterator<Item = &'a [String; 2]>,
        used: &QuickSet<u64>,
        existing: &dyn Existing,
        visit: &mut dyn FnMut(&Arc<Fastener>),
    ) {
        let mut by_assembly: QuickMap<&str, Vec<&str>> = QuickMap::default();
        for [assembly, joint] in joints {
            by_assembly.entry(assembly).or_default().push(joint);
        }
        let mut by_assembly: Vec<(&str, Vec<&str>)> = by_assembly.into_iter().collect();
        by_assembly.sort_unstable_by_key(|(assembly, _)| *assembly);
        for (assembly, joints) in by_assembly {
            let Some(seen) = self.assemblies.get(assembly) else { continue };
            if existing.count_of(assembly) <= seen.known {
                continue;
            }
            let shares =
                || joints.iter().any(|joint| !existing.of_joint(assembly, joint).is_empty());
            if seen.known == 0 && !shares() {
                continue;
            }
            existing.each_of(assembly, &mut |one| {
                let is_used = used.contains(&quick_hash(one.key.as_str()));
                if !is_used && one.settings.iter().any(|setting| seen.is_of(one, setting)) {
                    visit(one);
                }
            });
        }
    }

    /// The settings of `fastener` that are from a source of the file.
    pub(crate) fn gone_of(&self, fastener: &Fastener) -> Vec<usize> {
        let Some(seen) = self.assemblies.get(&fold_name(&fastener.joint.assembly)) else {
            return Vec::new();
        };
        let all = fastener.settings.iter().enumerate();
        all.filter(|(_, setting)| seen.is_of(fastener, setting)).map(|(at, _)| at).collect()
    }
}

/// The settings of `known` that none of the `rows` of this fastener has, though from
/// the same source; `met` are those that one has.
pub(crate) fn without_row(known: &Fastener, sources: &[u64], met: &[usize]) -> Vec<usize> {
    let all = known.settings.iter().enumerate();
    let gone = all.filter(|(at, setting)| !met.contains(at) && is_gone(setting, sources));
    gone.map(|(at, _)| at).collect()
}

/// The source of a setting as an import compares it: title and revision.
pub(crate) fn source_of(setting: &Setting) -> u64 {
    let fold = |text: &Option<String>| text.as_deref().map(fold_name);
    quick_hash(&(fold(&setting.source.title), fold(&setting.source.revision)))
}

fn is_gone(setting: &Setting, sources: &[u64]) -> bool {
    !setting.superseded && sources.contains(&source_of(setting))
}

/// Names the setting `at` of `fastener` in the report.
pub(crate) fn note(fastener: &Fastener, at: usize, report: &mut Report) {
    report.gone_count += 1;
    if report.gone_count <= MOST_NAMED {
        report.gone.push(Gone::new(fastener, at));
    }
}

/// How many the report names; the rest are counted.
const MOST_NAMED: usize = 1000;

/// Says for each which new row seems to have taken its place: the one of the same
/// name, else the only new one in a joint from which only one is gone, if its thread or
/// its figures are the same.
pub(crate) fn pair(report: &mut Report) {
    report.gone.sort_by(|one, other| one.key.cmp(&other.key));
    let joint = |name: &str| name.rsplit_once(" / ").map(|(joint, _)| fold_name(joint));
    let is_new = |one: &&SettingChange| matches!(one.change, Change::Added | Change::Beside);
    let new = report.settings.iter().filter(is_new);
    let new: Vec<_> = new.map(|one| (fold_name(&one.name), joint(&one.name), one)).collect();
    let joints: Vec<_> = report.gone.iter().map(|gone| joint(&gone.name)).collect();
    for (gone, of_joint) in report.gone.iter_mut().zip(&joints) {
        let name = fold_name(&gone.name);
        let same = new.iter().find(|(known, ..)| *known == name);
        let is_alike = |one: &SettingChange| {
            let thread = one.thread.as_ref().map(|thread| format!("{thread} "));
            thread.is_some_and(|thread| gone.setting.starts_with(&thread))
                || gone.setting.ends_with(&one.setting)
        };
        let mut beside = new.iter().filter(|(_, joint, _)| joint == of_joint);
        let is_only = joints.iter().filter(|joint| *joint == of_joint).count() == 1;
        let only = beside.next().filter(|_| is_only && beside.next().is_none());
        let only = only.filter(|(.., one)| is_alike(one));
        let part = |one: &SettingChange| {
            let (_, part) = one.name.rsplit_once(" / ")?;
            (fold_name(&one.name) != name).then(|| format!("{part}, "))
        };
        let words = |one: &SettingChange| {
            let thread = one.thread.as_ref().map(|thread| format!("{thread} "));
            format!(
                "{}{}{}",
                part(one).unwrap_or_default(),
                thread.unwrap_or_default(),
                one.setting
            )
        };
        gone.instead = same.or(only).map(|(_, _, one)| (one.line, words(one)));
    }
}
