//! Questions about a derived figure of a whole book, settled by its columns,
//! give what forming every row gives: the same rows in the same order, and the
//! same count of rows left out. The fasteners have gaps of every kind, lie on
//! every rule of a conversion and close to its limits, and some have changed
//! since the image was written.

use std::collections::HashMap;
use std::sync::LazyLock;
use std::time::Duration;

use clampbook::quantity::{Extent, Stated};
use clampbook::query::plan::{Plan, plan};
use clampbook::query::resolve::{Names, Question, resolve};
use clampbook::query::run::{Answer, run};
use clampbook::query::{self, syntax};
use clampbook::record::{
    Band, Basis, Bearing, Duty, Fastener, Joint, Kept, Kind, Lube, LubeClass, Method, Prevailing,
    Reuse, Setting, field_words,
};
use clampbook::report::{Canvas, Format, Style, asked_page, beside, rendered};
use clampbook::store::{Access, Book, Change, Writer};
use clampbook::thread::Thread;
use proptest::prelude::*;
use rand::rngs::StdRng;
use rand::seq::IndexedRandom;
use rand::{Rng, SeedableRng};

use super::book::Shop;

/// So many that four may lie in an overlay.
const COUNT: usize = 2100;

fn pick<'a>(random: &mut StdRng, list: &[&'a str]) -> &'a str {
    list.choose(random).copied().unwrap()
}

fn lube(name: &str, class: LubeClass, k: Option<f64>, friction: Option<f64>) -> Lube {
    let band = |value: f64| Band::new(value * 0.8, value, value * 1.2);
    Lube {
        name: name.to_owned(),
        aliases: Vec::new(),
        class,
        k: k.and_then(band),
        mu_thread: friction.and_then(band),
        mu_bearing: friction.and_then(|value| band(value * 1.1)),
        convertible: true,
        what: None,
        source: Some("invented for a test".to_owned()),
    }
}

/// Lubes beside those of the small shop: with both factors, with μ alone, and
/// a coat.
fn lubes() -> Vec<Lube> {
    vec![
        lube("paste", LubeClass::Wet, Some(0.14), Some(0.11)),
        lube("film", LubeClass::Wet, None, Some(0.13)),
        lube("zinc plated", LubeClass::Coating, Some(0.22), None),
    ]
}

fn setting(random: &mut StdRng, diameter: f64, is_chart: bool) -> Setting {
    let bases = [Basis::Listed, Basis::Listed, Basis::Listed, Basis::Shop, Basis::Computed];
    let basis = if is_chart { Basis::Chart } else { *bases.choose(random).unwrap() };
    let methods = [Method::Torque; 9].into_iter().chain([Method::TorqueAngle, Method::Stretch]);
    let methods: Vec<Method> = methods.collect();
    let mut setting = Setting::new(*methods.choose(random).unwrap(), basis);
    let named = pick(
        random,
        &[
            "moly",
            "oil",
            "oil",
            "engine oil",
            "dry",
            "paste",
            "film",
            "sealant",
            "zinc plated",
            "unheard of",
            "",
        ],
    );
    setting.lube = (!named.is_empty()).then(|| named.to_owned());
    if random.random_ratio(1, 12) {
        setting.face_lube = Some(pick(random, &["oil", "paste", "moly"]).to_owned());
    }
    // Up to what passes proof of the weakest: many lie near a limit.
    let torque = 0.02 * diameter.powi(3) * random.random_range(0.3..9.0);
    let text = match random.random_range(0..12) {
        0 => String::new(),
        1 => format!("max {torque:.1} N·m"),
        2 | 3 => format!("{torque:.1}..{:.1} N·m", torque * random.random_range(1.0..1.5)),
        4 => format!("{:.0} lb-ft", torque / 1.3558 + 1.0),
        _ => format!("{torque:.1} N·m"),
    };
    setting.torque = (!text.is_empty()).then(|| Extent::parse(&text).unwrap());
    if setting.method == Method::TorqueAngle {
        setting.angles = vec![Stated::parse("90°").unwrap()];
    }
    setting.superseded = random.random_ratio(1, 15);
    setting.this_lube_only = random.random_ratio(1, 20);
    setting
}

fn fastener(random: &mut StdRng, at: usize) -> Fastener {
    let joint = Joint::named(format!("Marlow {}", at / 40), pick(random, &["head", "main", "rod"]));
    let mut fastener = Fastener::new(joint, format!("{} {at}", pick(random, &["bolt", "stud"])));
    let is_chart = random.random_ratio(1, 20);
    let thread = pick(
        random,
        &["M6x1", "M10x1.5", "M12x1.25", "7/16-20", "3/8-16", "1/2-20", "1/8-27 NPT", ""],
    );
    fastener.thread = (!thread.is_empty()).then(|| Thread::parse(thread).unwrap());
    let diameter = fastener.thread.as_ref().map_or(8.0, |thread| thread.nominal().mm());
    let strengths = ["8.8", "10.9", "SAE 8", "grade 8", "A2-70", "unheard of", ""];
    let strength = pick(random, &strengths);
    fastener.strength.name = (!strength.is_empty()).then(|| strength.to_owned());
    let mut rarely = |one_in: u32| random.random_ratio(1, one_in);
    if rarely(8) {
        fastener.hole_thread = Thread::parse("7/16-14").ok();
    }
    if rarely(10) {
        fastener.strength.yield_ = Stated::parse("900 MPa").ok();
    }
    if rarely(20) {
        fastener.waist = Stated::parse("5 mm").ok();
    }
    if rarely(4) {
        fastener.bearing = Some(Bearing {
            outer: Stated::parse("17 mm").unwrap(),
            hole: Stated::parse("13 mm").unwrap(),
        });
    }
    fastener.reuse = rarely(25).then_some(Reuse::SingleUse);
    fastener.joint.duty = rarely(25).then_some(Duty::Wheel);
    fastener.finish = rarely(12).then(|| "zinc plated".to_owned());
    fastener.hole_material = rarely(20).then(|| "aluminium".to_owned());
    fastener.sealant = rarely(20).then(|| "thread sealant".to_owned());
    fastener.head = rarely(10).then(|| "socket".to_owned());
    if rarely(6) {
        fastener.prevailing = Stated::parse("2.5 N·m").ok();
    }
    let rules = [None, None, Some(Prevailing::Included), Some(Prevailing::ToAdd)];
    if fastener.prevailing.is_some() || random.random_ratio(1, 25) {
        fastener.prevailing_rule = *rules.choose(random).unwrap();
    }
    fastener.kind = Kind::WORDS.choose(random).map(|(kind, ..)| *kind);
    let settings = random.random_range(0..4);
    fastener.settings = (0..settings).map(|_| setting(random, diameter, is_chart)).collect();
    fastener
}

/// The book with an overlay: fasteners changed, removed and new since.
static BOOK: LazyLock<(Book, tempfile::TempDir)> = LazyLock::new(|| {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book");
    let mut random = StdRng::seed_from_u64(7);
    let mut writer = Writer::create(&path).unwrap();
    let tables = Shop::new().book.tables().clone();
    let mut changes: Vec<Change> =
        tables.lubes.into_iter().map(|record| Change::PutRecord(Kept::Lube(record))).collect();
    changes.extend(lubes().into_iter().map(|record| Change::PutRecord(Kept::Lube(record))));
    changes.extend(
        tables.strengths.into_iter().map(|record| Change::PutRecord(Kept::Strength(record))),
    );
    writer.apply(changes).unwrap();
    let fasteners: Vec<Fastener> = (0..COUNT).map(|at| fastener(&mut random, at)).collect();
    let mut loader = writer.load().unwrap();
    fasteners.iter().cloned().try_for_each(|fastener| loader.push(fastener)).unwrap();
    loader.finish().unwrap();
    let edited = |at: usize, by: usize| {
        let settings = fasteners[by].settings.clone();
        Change::from(Fastener { settings, ..fasteners[at].clone() })
    };
    let removed = Change::Remove(fasteners[1300].key.clone());
    let added = Change::from(fastener(&mut random, COUNT));
    writer.apply(vec![edited(0, 5), edited(1100, 9), removed, added]).unwrap();
    drop(writer);
    let book = Book::open(&path).unwrap();
    assert_eq!(book.info().overlaid, 4, "the changes lie in an overlay");
    (book, folder)
});

fn resolved(text: &str, book: &Book) -> Option<Question> {
    let tree = syntax::parse(text, field_words()).ok()?;
    let names =
        Names { vocabulary: book.vocabulary().unwrap(), tables: book.tables(), is_second: false };
    resolve(&tree, names).ok()
}

/// The answer, and apart from it the settings read.
fn answered(question: &Question, plan: &Plan, book: &Book) -> (Answer, usize) {
    let answer = run(question, plan, book, usize::MAX).unwrap();
    let read = answer.read;
    // What is cut off unread is not known to match, and has no name to be told.
    let unknown = Vec::new();
    (
        Answer {
            read: 0,
            matched: 0,
            unknown,
            took: Duration::ZERO,
            plan: String::new(),
            ..answer
        },
        read,
    )
}

/// Answers both ways, compares them, and returns the settings read by each.
fn compared(text: &str, book: &Book) -> Result<Option<(usize, usize)>, TestCaseError> {
    let Some(question) = resolved(text, book) else { return Ok(None) };
    let planned = plan(&question, |access| book.estimate(access));
    let is_restated = question.filter.is_none() && !question.with.is_empty();
    prop_assert!(planned.column.is_some() != is_restated, "{}: {}", text, planned.words);
    let scan = Plan { access: Access::All, column: None, words: String::new(), estimate: 0 };
    let ((one, read), (other, all)) =
        (answered(&question, &planned, book), answered(&question, &scan, book));
    prop_assert_eq!(one.left_out, other.left_out, "left out: {}", text);
    let keys = |answer: &Answer| answer.rows.iter().map(|r| r.key.clone()).collect::<Vec<_>>();
    prop_assert_eq!(keys(&one), keys(&other), "{}", text);
    prop_assert!(one == other, "{text}");
    let formed = one.rows.iter().map(|row| (&row.fastener.key, row.fastener.settings.len()));
    let least: usize = formed.collect::<HashMap<_, _>>().into_values().sum();
    prop_assert!(one.tally.is_some() || least <= read && read <= all, "{text}: {read} of {all}");
    Ok(Some((read, all)))
}

prop_compose! {
    fn test()(
        (figure, unit, most) in proptest::sample::select(&[
            ("of-proof", "%", 220_u32), ("of-yield", "%", 200), ("combined", "%", 200),
            ("clamp", " kN", 90), ("stress", " MPa", 1200),
        ][..]),
        relation in proptest::sample::select(&["over", "under", "at-least", "at-most", "about", "="][..]),
        at in 1..1000_u32, wide in 0..300_u32, is_range in any::<bool>(),
    ) -> String {
        let value = |at: u32| format!("{:.1}{unit}", f64::from(at) / 1000.0 * f64::from(most));
        if is_range {
            format!("{figure} {}..{}", value(at).replace(unit, ""), value(at + wide))
        } else {
            format!("{figure} {relation} {}", value(at))
        }
    }
}

prop_compose! {
    fn question()(
        test in test(), keep in test(),
        with in proptest::sample::select(&["moly", "oil, dry", "paste", "film", "zinc plated"][..]),
        last in proptest::sample::select(&["", "", " sort clamp down first 5", " tally lube",
            " sort thread, of-proof show part, clamp", " tally basis"][..]),
        form in 0..7_u8,
        by in proptest::sample::select(&["torque", "clamp", "of-proof", "combined"][..]),
        down in proptest::sample::select(&["", " down", " down, part"][..]), first in 1..60_u32,
    ) -> String {
        match form {
            0 => format!("{test}{last}"),
            1 => format!("{test} with {with} keep {keep}{last}"),
            2 => format!("{test} target 75% proof{last}"),
            3 => format!("sort {by}{down} first {first}"),
            4 => format!("{test} sort {by}{down} first {first}"),
            5 => format!("{test} first {first}"),
            _ => format!("with {with} keep {keep}{last}"),
        }
    }
}

#[test]
fn the_columns_of_a_book_give_what_its_rows_give() {
    let (book, _) = &*BOOK;
    let mut runner = proptest::test_runner::TestRunner::new(ProptestConfig::with_cases(30));
    let sound = std::cell::Cell::new((0, 0, 0, 0));
    let checked = runner.run(&question(), |text| {
        let (mut asked, mut answered, mut read, mut all) = sound.get();
        asked += 1;
        if let Some((by_columns, by_rows)) = compared(&text, book)? {
            answered += 1;
            read += by_columns;
            all += by_rows;
        }
        sound.set((asked, answered, read, all));
        Ok(())
    });
    if let Err(error) = checked {
        panic!("{error}");
    }
    let (asked, answered, read, all) = sound.get();
    assert!(answered * 10 >= asked * 9, "{answered} of {asked} are sound");
    assert!(read * 2 < all, "{read} of {all} settings are read");
}

#[test]
fn each_figure_and_form_of_question_by_columns() {
    let (book, _) = &*BOOK;
    for text in [
        "of-proof over 90%",
        "of-proof under 20%",
        "clamp 20..30 kN",
        "of-proof over 90% first 5",
        "of-proof over 30% first 1",
        "of-proof over 90% sort of-proof first 5",
        "of-proof over 90% sort of-proof down, part first 5",
        "of-proof over 90% sort torque first 5",
        "of-proof over 90% with moly, dry first 9",
        "clamp over 1 MN first 3",
        "sort torque down first 7",
        "sort torque first 12 show torque, lube",
        "sort torque, clamp down first 3",
        "sort clamp down first 20",
        "sort of-yield, thread first 5",
        "sort combined down first 4",
        "sort stress first 100000",
    ] {
        if let Err(error) = compared(text, book) {
            panic!("{text}: {error}");
        }
    }
}

/// Rows that are formed when they are written, part after part, are those that would
/// have been held, and what is said of all of them is the same.
#[test]
fn an_answer_in_parts_is_the_answer_held() {
    let (book, _) = &*BOOK;
    for text in [
        "has thread",
        "of-proof over 20%",
        "like M10x1.5",
        "basis chart",
        "has thread with moly keep of-proof over 20%",
        "has thread show part, torque, clamp / count units metric",
        "clamp over 9000 kN",
        "sort torque",
        "has thread first 30",
        "tally lube",
    ] {
        let held = query::ask(text, book, usize::MAX).unwrap();
        let asked = query::ask(text, book, 3).unwrap();
        let is_in_order =
            !text.contains("sort ") && !text.contains("first ") && !text.contains("tally");
        let is_long = is_in_order && held.answer.rows.len() > 100;
        assert!(!is_long || asked.answer.overview.is_some(), "{text}");
        assert!(is_in_order || asked.answer.overview.is_none(), "{text}");
        assert_eq!(asked.answer.count(), held.answer.rows.len(), "{text}");
        assert_eq!(asked.answer.has_answer(), held.answer.has_answer(), "{text}");
        let mut parts = 0;
        asked
            .each_part(&mut |_| {
                parts += 1;
                Ok(())
            })
            .unwrap();
        assert!(parts > 1 || !is_long, "{text}");
        for format in [Format::Json, Format::Csv] {
            let [own, whole] = [&asked, &held].map(|asked| {
                let page = asked_page(asked, None);
                let canvas = Canvas { width: 80, style: Style::plain(), one_line: true };
                rendered(&page, format, 80) + &beside(&page, format, canvas)
            });
            let untimed = |text: &str| {
                let (before, after) = text.split_once("\"took_us\":").unwrap_or((text, ""));
                before.to_owned() + after.trim_start_matches(|c: char| c.is_ascii_digit())
            };
            assert!(untimed(&own) == untimed(&whole), "{text}\n{own}\n{whole}");
        }
    }
}

/// Figures stored with other factors of a lube do not answer.
#[test]
fn columns_are_left_alone_when_a_lube_has_changed() {
    let (book, folder) = &*BOOK;
    let path = folder.path().join("changed");
    super::copied(&folder.path().join("book"), &path);
    let mut writer = Writer::open(&path, Duration::ZERO).unwrap();
    let stronger = lube("oil", LubeClass::Wet, Some(0.3), None);
    writer.apply(vec![Change::PutRecord(Kept::Lube(stronger))]).unwrap();
    let changed = writer.book();
    for text in ["of-proof over 90%", "with oil keep of-proof over 50%"] {
        if let Err(error) = compared(text, changed) {
            panic!("{text}: {error}");
        }
        let before = answered(&resolved(text, book).unwrap(), &plan_of(text, book), book).0;
        let after = answered(&resolved(text, changed).unwrap(), &plan_of(text, changed), changed).0;
        assert_ne!(before.rows.len(), after.rows.len(), "{text}");
    }
}

fn plan_of(text: &str, book: &Book) -> Plan {
    plan(&resolved(text, book).unwrap(), |access| book.estimate(access))
}
