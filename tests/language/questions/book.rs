//! The book that is asked: two machines and one row of a general chart, all
//! invented. Keys are short, so that an expected answer can be read.

use std::path::Path;

use clampbook::quantity::{Extent, Length, Stated, Stress, find_unit};
use clampbook::query::{QueryError, answer, run::Answer};
use clampbook::record::{
    Band, Basis, Bottom, Fastener, Joint, Kept, Kind, Lube, LubeClass, Method, Reuse, Setting,
    SourceKind, StrengthClass, StrengthRow, Wet, Wrench,
};
use clampbook::store::{Book, Change, Writer};
use clampbook::thread::Thread;

/// The book and the folder that it lives in.
pub(crate) struct Shop {
    pub(crate) book: Book,
    _folder: tempfile::TempDir,
}

impl Shop {
    pub(crate) fn new() -> Self {
        Self::filled(fill)
    }

    /// Two fasteners of which metals are stated, and one of which nothing is.
    pub(crate) fn metals() -> Self {
        Self::filled(fill_metals)
    }

    fn filled(fill: impl Fn(&Path)) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("book");
        fill(&path);
        Self { book: Book::open(&path).unwrap(), _folder: folder }
    }

    pub(crate) fn ask(&self, question: &str) -> Answer {
        match answer(question, &self.book) {
            Ok(answer) => answer,
            Err(error) => panic!("{question}: {error}"),
        }
    }

    /// The code, the message and the help of a question that is wrong, and the
    /// text at its place.
    pub(crate) fn wrong(&self, question: &str) -> [String; 4] {
        let error = answer(question, &self.book).map(|found| keys(&found));
        let Err(QueryError::Wrong(diagnostic)) = error else { panic!("{question}: {error:?}") };
        let at = diagnostic.span.slice(question).to_owned();
        let help = diagnostic.help.join("; ");
        [diagnostic.code.to_owned(), diagnostic.message.clone(), help, at]
    }
}

/// The keys of the rows, in order.
pub(crate) fn keys(answer: &Answer) -> Vec<String> {
    answer.rows.iter().map(|row| row.key.clone()).collect()
}

fn fill(path: &Path) {
    let mut writer = Writer::create(path).unwrap();
    let mut changes: Vec<Change> =
        lubes().into_iter().map(|record| Change::PutRecord(Kept::Lube(record))).collect();
    changes.extend(strengths().into_iter().map(|record| Change::PutRecord(Kept::Strength(record))));
    changes.extend(wrenches().into_iter().map(|record| Change::PutRecord(Kept::Wrench(record))));
    changes.extend(engine().into_iter().chain(pump()).chain([chart()]).map(Change::from));
    writer.apply(changes).unwrap();
}

fn fill_metals(path: &Path) {
    let mut writer = Writer::create(path).unwrap();
    let mut stainless = strengths().remove(1);
    "A4-70".clone_into(&mut stainless.name);
    stainless.aliases.clear();
    stainless.material = Some(clampbook::record::Material::Stainless);
    let made = |key, part, strength, hole: &str| {
        let settings = vec![setting("dry", "9 N·m")];
        fastener([key, "Tern 40 pump", key, part], "M6x1", strength, settings, |f| {
            f.hole_material = (!hole.is_empty()).then(|| hole.to_owned());
        })
    };
    let fasteners = [
        made("plate", "screw, plate", "A4-70", "stainless steel"),
        made("cover", "bolt, cover", "8.8", "GG25"),
        made("odd", "bolt, odd", "", ""),
    ];
    let mut changes: Vec<Change> =
        lubes().into_iter().map(|record| Change::PutRecord(Kept::Lube(record))).collect();
    let classes = strengths().into_iter().chain([stainless]);
    changes.extend(classes.map(|record| Change::PutRecord(Kept::Strength(record))));
    changes.extend(fasteners.map(Change::from));
    writer.apply(changes).unwrap();
}

/// A middling wrench in lb-ft, a coarse one, and one whose marks nobody noted.
fn wrenches() -> Vec<Wrench> {
    let stated = |text: &str| Some(Stated::parse(text).unwrap());
    let wrench = |name: &str, low: &str, high: &str, graduation: &str| Wrench {
        low: stated(low),
        high: stated(high),
        graduation: stated(graduation),
        ..Wrench::named(name)
    };
    vec![
        wrench("W2", "20 lb-ft", "100 lb-ft", "2 lb-ft"),
        wrench("shop bar", "10 lb-ft", "150 lb-ft", "50 lb-ft"),
        Wrench::named("W9"),
    ]
}

fn lubes() -> Vec<Lube> {
    let lube = |name: &str, aliases: &[&str], class, k: Option<[f64; 3]>| Lube {
        name: name.to_owned(),
        aliases: aliases.iter().map(|alias| (*alias).to_owned()).collect(),
        class,
        k: k.and_then(|[low, nominal, high]| Band::new(low, nominal, high)),
        mu_thread: None,
        mu_bearing: None,
        convertible: k.is_some(),
        what: None,
        source: Some("invented for a test".to_owned()),
    };
    vec![
        lube("dry", &["clean dry"], LubeClass::Dry, Some([0.16, 0.20, 0.30])),
        lube("oil", &["engine oil", "30 weight oil"], LubeClass::Wet, Some([0.13, 0.15, 0.21])),
        lube("moly", &["moly paste"], LubeClass::Wet, Some([0.09, 0.12, 0.16])),
        lube("anti-seize", &["copper paste"], LubeClass::Wet, Some([0.10, 0.14, 0.18])),
        lube("threadlocker", &["thread locker"], LubeClass::Threadlocker, None),
        lube("sealant", &["thread sealant"], LubeClass::Sealant, None),
    ]
}

fn strengths() -> Vec<StrengthClass> {
    let class = |name: &str, alias: &str, [proof, yields, tensile]: [f64; 3], unit| {
        let unit = find_unit(unit).unwrap();
        let stress = |number: f64| Some(Stress::from_mpa(number * unit.factor));
        let row = StrengthRow {
            from: Length::from_mm(1.0),
            above: false,
            to: Length::from_mm(40.0),
            proof: stress(proof),
            yield_: stress(yields),
            tensile: stress(tensile),
        };
        StrengthClass {
            name: name.to_owned(),
            aliases: vec![alias.to_owned()],
            rows: vec![row],
            unit,
            source: "SAE J429, ISO 898-1, read second-hand".to_owned(),
            material: Some(clampbook::record::Material::Steel),
        }
    };
    vec![
        class("SAE 8", "grade 8", [120.0, 130.0, 150.0], "ksi"),
        class("8.8", "class 8.8", [580.0, 640.0, 800.0], "MPa"),
        class("10.9", "class 10.9", [830.0, 940.0, 1040.0], "MPa"),
    ]
}

/// A setting: lube, then torque as a sheet writes it; either may be empty.
fn setting(lube: &str, torque: &str) -> Setting {
    let mut setting = Setting::new(Method::Torque, Basis::Listed);
    setting.lube = (!lube.is_empty()).then(|| lube.to_owned());
    setting.torque = (!torque.is_empty()).then(|| Extent::parse(torque).unwrap());
    setting.source.title = Some("a sheet".to_owned());
    setting.source.page = Some("1".to_owned());
    setting
}

/// A fastener: key, joint, part, thread, strength by name, settings.
fn fastener(
    place: [&str; 4],
    thread: &str,
    strength: &str,
    settings: Vec<Setting>,
    change: impl FnOnce(&mut Fastener),
) -> Fastener {
    let [key, assembly, joint, part] = place;
    let mut fastener = Fastener::new(Joint::named(assembly, joint), part);
    key.clone_into(&mut fastener.key);
    fastener.thread = (!thread.is_empty()).then(|| Thread::parse(thread).unwrap());
    fastener.strength.name = (!strength.is_empty()).then(|| strength.to_owned());
    fastener.kind = Kind::find(part.split(',').next().unwrap());
    fastener.settings = settings;
    change(&mut fastener);
    fastener
}

fn engine() -> Vec<Fastener> {
    const MARLOW: &str = "Marlow 6";
    let angle = {
        let mut setting = setting("oil", "");
        setting.method = Method::TorqueAngle;
        setting.snug = Some(Stated::parse("22 lb-ft").unwrap());
        setting.angles = vec![Stated::parse("90°").unwrap(); 2];
        setting
    };
    let stretch = {
        let mut setting = setting("moly", "");
        setting.method = Method::Stretch;
        setting.stretch = Some(Extent::parse("0.0055..0.0060 in").unwrap());
        setting
    };
    let old = Setting { superseded: true, ..setting("oil", "90 lb-ft") };
    vec![
        fastener(
            ["stud", MARLOW, "head", "stud, long"],
            "7/16-20",
            "",
            vec![setting("moly", "66 lb-ft"), setting("oil", "82 lb-ft")],
            |f| {
                f.hole_thread = Some(Thread::parse("7/16-14").unwrap());
                f.strength.yield_ = Some(Stated::parse("180 ksi").unwrap());
                f.length = Some(Stated::parse("3.5 in").unwrap());
                f.wet = Some(Wet::Coolant);
                f.bottom = Some(Bottom::Through);
                f.tags = vec!["cylinder head".to_owned(), "24-017".to_owned()];
            },
        ),
        fastener(
            ["short", MARLOW, "head", "bolt, short"],
            "3/8-16",
            "SAE 8",
            vec![setting("dry", "44 lb-ft")],
            |f| {
                f.bottom = Some(Bottom::Blind);
                // What is dry is restated for a finish stated as plain only.
                f.finish = Some("plain".to_owned());
                f.tags = vec!["cylinder head".to_owned()];
            },
        ),
        fastener(["front", MARLOW, "head", "bolt, front"], "M10x1.5", "10.9", vec![angle], |f| {
            f.reuse = Some(Reuse::SingleUse);
        }),
        fastener(
            ["cap", MARLOW, "main", "bolt, cap"],
            "1/2-13",
            "grade 8",
            vec![old, setting("oil", "80 lb-ft"), setting("moly", "65 lb-ft")],
            |_| {},
        ),
        fastener(
            ["rod", MARLOW, "rod", "bolt, rod"],
            "7/16-20",
            "",
            vec![stretch, setting("moly", "65 lb-ft")],
            |f| {
                f.strength.yield_ = Some(Stated::parse("180 ksi").unwrap());
                f.tags = vec!["R12".to_owned()];
            },
        ),
        fastener(
            ["rail", MARLOW, "oil pan", "bolt, rail"],
            "1/4-20",
            "SAE 8",
            vec![setting("dry", "90 lb-in"), setting("oil", "68 lb-in")],
            |f| f.sealant = Some("thread sealant".to_owned()),
        ),
        fastener(
            ["body", MARLOW, "oil pump", "bolt, body"],
            "3/8-16",
            "SAE 8",
            vec![setting("oil", "30 lb-ft")],
            |_| {},
        ),
        fastener(
            ["drain", MARLOW, "drain plug", "plug, pan"],
            "M14x1.5",
            "",
            vec![setting("", "max 30 lb-ft")],
            |f| f.notes = Some("oil drain".to_owned()),
        ),
        fastener(
            ["filter", MARLOW, "oil filter", "adapter"],
            "3/4-16",
            "",
            vec![setting("threadlocker", "")],
            |_| {},
        ),
    ]
}

fn pump() -> Vec<Fastener> {
    const TERN: &str = "Tern 40 pump";
    let memory = {
        let mut setting = setting("dry", "9 N·m");
        setting.basis = Basis::Shop;
        setting.source.kind = Some(SourceKind::Memory);
        setting.source.title = None;
        setting.source.page = None;
        setting
    };
    vec![
        fastener(
            ["casing", TERN, "casing", "stud, casing"],
            "M12x1.75",
            "8.8",
            vec![setting("engine oil", "65 N·m"), setting("moly", "52 N·m")],
            |_| {},
        ),
        fastener(
            ["hub", TERN, "coupling", "screw, hub"],
            "M10x1.25",
            "10.9",
            vec![setting("oil", "55 N·m"), setting("dry", "65..75 N·m")],
            |f| f.count = Some(4),
        ),
        fastener(
            ["foot", TERN, "baseplate", "bolt, foot"],
            "M12x1.25",
            "8.8",
            vec![setting("dry", "80 N·m")],
            |f| {
                f.finish = Some("zinc plated".to_owned());
                f.count = Some(8);
            },
        ),
        fastener(["guard", TERN, "guard", "screw, guard"], "M6x1", "", vec![memory], |f| {
            f.notes = Some("keep the oil off".to_owned());
        }),
        fastener(
            ["gland", TERN, "gland", "nut, gland"],
            "1/2-20",
            "",
            vec![setting("anti-seize", "40 lb-ft")],
            |_| {},
        ),
        fastener(["vent", TERN, "vent", "vent"], "", "", vec![setting("oil", "5 N·m")], |_| {}),
    ]
}

fn chart() -> Fastener {
    let mut setting = setting("dry", "60 lb-ft");
    setting.basis = Basis::Chart;
    let place = ["chart", "general chart", "SAE 8 chart", "bolt"];
    fastener(place, "7/16-20", "SAE 8", vec![setting], |_| {})
}
