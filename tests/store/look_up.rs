//! Looking up by an index gives the same as reading everything.

use std::sync::Arc;

use clampbook::quantity::{Stress, Torque};
use clampbook::record::{Fastener, Kept, Setting, Tables, derive};
use clampbook::store::{Access, Book, Change, Figure, Lacking, Writer};
use clampbook::text::fold_name;
use clampbook::thread::Thread;

use crate::{kept, sample};

/// What an access means, said a second time and plainly.
fn wanted(access: &Access, f: &Fastener, tables: &Tables) -> bool {
    let threads = || f.thread.iter().chain(&f.hole_thread);
    let same = |a: &str, b: &str| fold_name(a) == fold_name(b);
    match access {
        Access::All => true,
        Access::Size(size) => threads().any(|t| t.size() == *size),
        Access::Thread(size, pitch) => threads().any(|t| t.size() == *size && t.pitch() == *pitch),
        Access::Torque { low, high } => f.settings.iter().any(|s| {
            s.torque.is_some_and(|t| {
                let from = t.low().map_or(0.0, Torque::nm);
                low <= high && from <= *high && t.high().nm() >= *low
            })
        }),
        Access::Lube(name) => f.settings.iter().any(|s| {
            s.lube.as_ref().is_some_and(|lube| {
                same(lube, name)
                    || (tables.lube(name).is_some() && tables.lube(lube) == tables.lube(name))
            })
        }),
        Access::Strength(name) => f.strength.name.as_ref().is_some_and(|strength| {
            same(strength, name)
                || (tables.strength(name).is_some()
                    && tables.strength(strength) == tables.strength(name))
        }),
        Access::Key(start) => f.key.starts_with(start.as_str()),
        Access::Assembly(name) => same(&f.joint.assembly, name),
        Access::Joint(name) => same(&f.joint.name, name),
        Access::Word(text) => {
            let mut all = vec![&f.joint.assembly, &f.joint.name, &f.part];
            all.extend(&f.tags);
            all.extend(&f.notes);
            let pieces = |text: &str| -> Vec<String> {
                fold_name(text)
                    .split(|c: char| !c.is_alphanumeric())
                    .filter(|w| !w.is_empty())
                    .map(str::to_owned)
                    .collect()
            };
            let words: Vec<String> = all.iter().flat_map(|text| pieces(text)).collect();
            pieces(text).iter().all(|piece| words.iter().any(|w| w.starts_with(piece.as_str())))
        }
        Access::Figure { figure, low, high } => f.settings.iter().any(|setting| {
            let value = figure_of(f, setting, tables, *figure);
            value.is_some_and(|value| *low <= value && value <= *high)
        }),
        Access::Lacks(Lacking::Figure(figure)) => {
            f.settings.iter().any(|setting| figure_of(f, setting, tables, *figure).is_none())
        }
        Access::Lacks(Lacking::Thread) => threads().next().is_none(),
        Access::Lacks(Lacking::Torque) => f.settings.iter().any(|s| s.torque.is_none()),
        Access::Lacks(Lacking::Lube) => f.settings.iter().any(|s| s.lube.is_none()),
        Access::Lacks(Lacking::Strength) => f.strength.name.is_none(),
        Access::And(parts) => parts.iter().all(|part| wanted(part, f, tables)),
        Access::Or(parts) => parts.iter().any(|part| wanted(part, f, tables)),
    }
}

fn figure_of(f: &Fastener, setting: &Setting, tables: &Tables, figure: Figure) -> Option<f64> {
    let derived = derive(f, setting, tables);
    match figure {
        Figure::Clamp => derived.clamp.map(|clamp| clamp.nominal.n()),
        Figure::Stress => derived.stress.map(Stress::mpa),
        Figure::OfProof => derived.of_proof,
        Figure::OfYield => derived.of_yield,
        Figure::Combined => derived.combined,
    }
}

fn accesses() -> Vec<Access> {
    let thread = |text: &str| Thread::parse(text).unwrap();
    let mut all: Vec<Access> = vec![Access::All];
    for text in sample::THREADS.into_iter().chain(["M14x2"]) {
        all.push(Access::Size(thread(text).size()));
        all.push(Access::Thread(thread(text).size(), thread(text).pitch()));
    }
    let ends = [0.0, 7.0, 47.45, 60.0, 94.9, 95.0, 140.0, 1e6];
    for low in ends {
        all.extend(ends.iter().map(|high| Access::Torque { low, high: *high }));
    }
    all.push(Access::Torque { low: -5.0, high: f64::INFINITY });
    all.push(Access::Torque { low: f64::NAN, high: 3.0 });
    for name in ["moly", "MOLY PASTE", "disulfide", "engine  oil", "dry", "nothing"] {
        all.push(Access::Lube(name.to_owned()));
    }
    for name in ["10.9", "sae 8", "GRADE 8", "9"] {
        all.push(Access::Strength(name.to_owned()));
    }
    all.extend(["marlow 6", "Marlow 39", "x"].map(|n| Access::Assembly(n.to_owned())));
    all.extend(["Head", "oil pan", "pan"].map(|n| Access::Joint(n.to_owned())));
    let key = sample::numbered(7).key;
    all.extend([&key, &key[..6], "", "\u{e9}"].map(|start| Access::Key(start.to_owned())));
    for word in ["oil", "gall", "12-point", "№ 7", "lot 1", "", "zz", "4"] {
        all.push(Access::Word(word.to_owned()));
    }
    for lacking in [Lacking::Thread, Lacking::Torque, Lacking::Lube, Lacking::Strength] {
        all.push(Access::Lacks(lacking));
    }
    for figure in Figure::ALL {
        let most = if matches!(figure, Figure::Clamp) { 1e5 } else { 2.0 };
        for (low, high) in [(0.0, 0.37), (0.41, 0.93), (0.77, f64::MAX), (-1.0, 1e9)] {
            let (low, high) = (low * most, high * most);
            all.push(Access::Figure { figure, low, high });
        }
        all.push(Access::Lacks(Lacking::Figure(figure)));
    }
    let singles = all.clone();
    for (at, one) in singles.iter().enumerate() {
        let other = singles[(at * 7 + 3) % singles.len()].clone();
        all.push(Access::And(vec![one.clone(), other.clone()]));
        all.push(Access::Or(vec![other, one.clone(), Access::And(vec![one.clone()])]));
    }
    all.push(Access::And(Vec::new()));
    all.push(Access::Or(Vec::new()));
    all
}

fn agrees(book: &Book, all: &[Arc<Fastener>]) {
    agrees_on(&accesses(), book, all);
}

fn agrees_on(accesses: &[Access], book: &Book, all: &[Arc<Fastener>]) {
    for access in accesses {
        let found = book.find(access).unwrap();
        let expected: Vec<_> =
            all.iter().filter(|f| wanted(access, f, book.tables())).map(|f| &f.key).collect();
        let got: Vec<_> = found.fasteners.iter().map(|f| &f.key).collect();
        assert_eq!(got, expected, "{access:?}");
    }
}

fn start(dir: &std::path::Path, count: u64) -> (Writer, Vec<Arc<Fastener>>) {
    let mut writer = kept::begin(dir);
    let mut changes = vec![
        Change::PutRecord(Kept::Lube(sample::full_lube())),
        Change::PutRecord(Kept::Strength(sample::full_strength())),
    ];
    changes.extend((0..count).map(|n| Change::from(sample::numbered(n))));
    writer.apply(changes).unwrap();
    (writer, (0..count).map(|n| Arc::new(sample::numbered(n))).collect())
}

#[test]
fn every_access_agrees_with_reading_everything() {
    let dir = tempfile::tempdir().unwrap();
    let (writer, all) = start(dir.path(), 700);
    agrees(&kept::read(dir.path()), &all);
    assert_eq!(writer.book().find(&Access::All).unwrap().fasteners.len(), all.len());
}

#[test]
fn figures_follow_the_tables() {
    let dir = tempfile::tempdir().unwrap();
    let (mut writer, all) = start(dir.path(), 540);
    let known = writer.book().find(&any_clamp()).unwrap().fasteners.len();
    assert!(known > 50, "{known} with a clamp");
    let mut slippery = sample::full_lube();
    (slippery.k, slippery.mu_thread, slippery.mu_bearing) = (None, None, None);
    writer.apply(vec![Change::PutRecord(Kept::Lube(slippery))]).unwrap();
    assert_eq!(writer.book().find(&any_clamp()).unwrap().fasteners.len(), 0);
    assert_eq!(writer.book().info().overlaid, 0);
    let asked = |access: &Access| matches!(access, Access::Figure { .. });
    let figures: Vec<Access> = accesses().into_iter().filter(asked).collect();
    agrees_on(&figures, writer.book(), &all);
    writer.compact().unwrap();
    assert_eq!(writer.book().find(&any_clamp()).unwrap().fasteners.len(), 0);
    let unknown = Access::Lacks(Lacking::Figure(Figure::Clamp));
    let found = writer.book().find(&unknown).unwrap().fasteners.len();
    assert_eq!(found, all.iter().filter(|one| !one.settings.is_empty()).count());
}

fn any_clamp() -> Access {
    Access::Figure { figure: Figure::Clamp, low: 0.0, high: f64::MAX }
}

#[test]
fn and_still_after_changes() {
    let dir = tempfile::tempdir().unwrap();
    let (mut writer, mut all) = start(dir.path(), 1600);
    for round in 0..12_u64 {
        let at = (round as usize * 31) % all.len();
        let mut replaced = sample::numbered(1000 + round);
        replaced.key.clone_from(&all[at].key);
        let gone = all.remove((at + 9) % all.len());
        let at = all.iter().position(|f| f.key == replaced.key);
        if let Some(at) = at {
            all[at] = Arc::new(replaced.clone());
        } else {
            all.push(Arc::new(replaced.clone()));
        }
        let entered = sample::numbered(2000 + round);
        all.push(Arc::new(entered.clone()));
        let changes = vec![Change::Remove(gone.key.clone()), replaced.into(), entered.into()];
        writer.apply(changes).unwrap();
    }
    drop(writer);
    // Every third way to ask: half of the combinations, all of the indexes.
    let some: Vec<Access> = accesses().into_iter().step_by(3).collect();
    agrees_on(&some, &kept::read(dir.path()), &all);
}

#[test]
fn a_finder_finds_what_the_indexes_find() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().join("book");
    let mut writer = kept::begin(&dir);
    writer.apply((0..1600).map(|n| Change::from(sample::numbered(n))).collect()).unwrap();
    // Over the image: one changed, one new, one gone.
    let mut changed = sample::numbered(900);
    changed.key = sample::numbered(5).key;
    let gone = sample::numbered(6).key;
    writer
        .apply(vec![changed.into(), sample::numbered(800).into(), Change::Remove(gone.clone())])
        .unwrap();
    drop(writer);
    let book = kept::read(&dir);
    assert!(book.info().overlaid > 0);
    let finder = book.finder().unwrap();
    assert_eq!(finder.by_key(&gone).unwrap(), None);
    let mut joints = 0;
    for fastener in book.find(&Access::All).unwrap().fasteners {
        assert_eq!(finder.by_key(&fastener.key).unwrap(), book.fastener(&fastener.key).unwrap());
        let (assembly, name) = (&fastener.joint.assembly, &fastener.joint.name);
        let both = vec![Access::Assembly(assembly.clone()), Access::Joint(name.clone())];
        let mut expected = book.find(&Access::And(both)).unwrap().fasteners;
        let mut found = finder.of_joint(&assembly.to_uppercase(), name).unwrap();
        for list in [&mut expected, &mut found] {
            list.sort_by(|a, b| a.key.cmp(&b.key));
        }
        assert_eq!(found, expected);
        joints += usize::from(found.len() > 1);
    }
    assert!(joints > 100);
}
