//! Invented joints for the sheet: figures, parts and papers are made up.

use std::sync::Arc;

use crate::answers::lube;
use clampbook::correction::{stored_rows, with_lubes};
use clampbook::mechanics::Attachment;
use clampbook::procedure::Point;
use clampbook::quantity::{Angle, Extent, Length, Stated};
use clampbook::query::run::UnitsWanted;
use clampbook::record::{
    Aids, Basis, Bottom, Duty, Fastener, Joint, Kind, Layout, Lube, LubeClass, Method, Pass,
    PassWish, Reuse, Row, Setting, Source, SourceKind, Tables, Turned, WRENCHES, Wet, Wrench,
    WrenchWish, joint_order, plan_passes,
};
use clampbook::report::{BenchJoint, Paper, RowPasses, SheetFacts, bench_sheet, pocket_card};
use clampbook::thread::Thread;

/// Factors are common practice, no source.
pub(crate) fn tables() -> Tables {
    Tables {
        lubes: vec![
            lube("moly", LubeClass::Wet, Some((0.09, 0.12, 0.16))),
            lube("oil", LubeClass::Wet, Some((0.13, 0.15, 0.21))),
            lube("dry", LubeClass::Dry, Some((0.16, 0.20, 0.30))),
            lube("sealant", LubeClass::Sealant, None),
            lube("threadlocker", LubeClass::Threadlocker, None),
        ],
        strengths: Vec::new(),
    }
}

pub(crate) fn facts(paper: Paper) -> SheetFacts {
    SheetFacts {
        paper,
        generation: 12,
        printed: "2026-05-04 10:20".to_owned(),
        wrench: None,
        adapter: None,
        wrench_warning: None,
    }
}

/// The sheet of `joints` as HTML.
pub(crate) fn sheet(joints: &[BenchJoint], paper: Paper) -> String {
    bench_sheet(joints, &UnitsWanted::AsWritten, &facts(paper))
}

/// The pocket card of `joints` as HTML.
pub(crate) fn card(joints: &[BenchJoint], paper: Paper) -> String {
    pocket_card(joints, &UnitsWanted::AsWritten, &facts(paper))
}

pub(crate) fn listed(lube: &str, torque: &str, passes: &[&str]) -> Setting {
    let mut setting = Setting::new(Method::Torque, Basis::Listed);
    setting.lube = Some(lube.to_owned());
    setting.torque = Extent::parse(torque).ok();
    setting.passes = passes.iter().map(|text| Pass::parse(text).unwrap()).collect();
    setting.source = Source {
        title: Some("Marlow 6 head set sheet".to_owned()),
        page: Some("2".to_owned()),
        revision: Some("C".to_owned()),
        date: None,
        kind: Some(SourceKind::Maker),
    };
    setting
}

pub(crate) fn fastener(
    joint: &Joint,
    part: &str,
    kind: Kind,
    thread: &str,
    count: u32,
) -> Fastener {
    let mut fastener = Fastener::new(joint.clone(), part);
    fastener.kind = Some(kind);
    fastener.thread = Some(Thread::parse(thread).unwrap());
    fastener.count = Some(count);
    fastener.reuse = Some(Reuse::Reusable);
    fastener
}

/// A joint with its stored rows, and those for `lubes` after them.
pub(crate) fn bench(
    joint: Joint,
    fasteners: Vec<Fastener>,
    lubes: &[&str],
    layouts: &[Layout],
) -> BenchJoint {
    bench_for(joint, fasteners, lubes, layouts, &PassWish::default())
}

fn bench_for(
    joint: Joint,
    fasteners: Vec<Fastener>,
    lubes: &[&str],
    layouts: &[Layout],
    wish: &PassWish,
) -> BenchJoint {
    let tables = tables();
    let order = joint_order(&joint, &fasteners.iter().collect::<Vec<_>>(), layouts);
    let rows = fasteners.into_iter().flat_map(|fastener| {
        let fastener = Arc::new(fastener);
        let every: Vec<usize> = (0..fastener.settings.len()).collect();
        if lubes.is_empty() {
            return stored_rows(&fastener, &every, &tables);
        }
        let asked: Vec<&Lube> = lubes.iter().map(|name| tables.lube(name).unwrap()).collect();
        let settings: Vec<&Setting> = fastener.settings.iter().collect();
        with_lubes(&fastener, &settings, &asked, &tables)
    });
    let with_plan = |row: Row| {
        let plan = row
            .refused
            .is_none()
            .then(|| plan_passes(&row.fastener, &row.setting, &tables, wish).unwrap());
        RowPasses { row, plan }
    };
    BenchJoint {
        joint,
        rows: rows.map(with_plan).collect(),
        order: order.map_err(|error| error.to_string()),
    }
}

/// Where the holes of the invented head lie: two rows of seven, two outer
/// pairs, two in front.
pub(crate) fn head_layout() -> Layout {
    let mut places: Vec<(f64, f64)> = Vec::new();
    places.extend((0..7).map(|column| (f64::from(column) * 90.0, 110.0)));
    places.extend((0..7).map(|column| (f64::from(column) * 90.0, 0.0)));
    places.extend([(-45.0, 110.0), (-45.0, 0.0), (585.0, 110.0), (585.0, 0.0)]);
    places.extend([(-100.0, 75.0), (-100.0, 35.0)]);
    let point = |(x, y)| Point { x: Length::from_mm(x), y: Length::from_mm(y) };
    Layout {
        name: "Marlow 6 head".to_owned(),
        points: places.into_iter().map(point).collect(),
        ..Layout::default()
    }
}

pub(crate) const HEAD_ORDER: &str = "4-11-12-5-3-10-13-6-2-9-14-7-1-8-15-17-16-18-19-20";

fn head_joint() -> Joint {
    let mut joint = Joint::named("Marlow 6", "head");
    joint.duty = Some(Duty::Engine);
    joint.layout = Some("Marlow 6 head".to_owned());
    joint.order = Some(HEAD_ORDER.to_owned());
    joint.gasket = Some("multi-layer steel, dry; no retorque unless the sheet says so".to_owned());
    joint
}

fn stud(joint: &Joint, settings: Vec<Setting>) -> Fastener {
    let mut stud = fastener(joint, "stud, long", Kind::Stud, "7/16-20", 14);
    stud.turned = Some(Turned::Nut);
    stud.hole_thread = Some(Thread::parse("7/16-14").unwrap());
    stud.hole_end_fitting = Some("finger-snug".to_owned());
    stud.hole_end_lube = Some("sealant".to_owned());
    stud.positions = Some("1 to 14".to_owned());
    stud.group = Some("main".to_owned());
    stud.length = Stated::parse("5.25 in").ok();
    stud.drive = Some("12-point 9/16 in".to_owned());
    stud.bottom = Some(Bottom::Through);
    stud.wet = Some(Wet::Coolant);
    stud.sealant = Some("thread sealant on the hole end only".to_owned());
    stud.washer = Some("hardened, chamfer up".to_owned());
    stud.strength.yield_ = Stated::parse("180 ksi").ok();
    stud.settings = settings;
    stud
}

/// A head of three kinds of fasteners, one lube each.
pub(crate) fn head() -> BenchJoint {
    let joint = head_joint();
    let mut moly = listed("moly", "66 lb-ft", &["20 lb-ft", "36 lb-ft", "52 lb-ft", "66 lb-ft"]);
    moly.retorque = Some(
        "after the first heat cycle, cold, one nut at a time in order: back off 1/4 turn, then to value"
            .to_owned(),
    );
    let stud = stud(&joint, vec![moly]);
    let mut short = fastener(&joint, "bolt, short", Kind::Bolt, "3/8-16", 4);
    short.positions = Some("15 to 18".to_owned());
    short.bottom = Some(Bottom::Blind);
    short.head = Some("hex 9/16 in".to_owned());
    short.settings = vec![listed("dry", "44 lb-ft", &[])];
    short.settings[0].warnings = vec!["Blow the holes out and check their depth".to_owned()];
    let mut front = fastener(&joint, "bolt, front", Kind::Bolt, "M10x1.5", 2);
    front.positions = Some("19 and 20".to_owned());
    front.bottom = Some(Bottom::Blind);
    front.reuse = Some(Reuse::SingleUse);
    let mut angle = listed("oil", "22 lb-ft", &[]);
    angle.method = Method::TorqueAngle;
    angle.torque = None;
    angle.snug = Stated::parse("22 lb-ft").ok();
    angle.angles = vec![Stated::parse("90°").unwrap(); 2];
    front.settings = vec![angle];
    bench(joint, vec![stud, short, front], &[], &[head_layout()])
}

/// The same head with everything that is listed for it, and a refusal.
pub(crate) fn crowded_head() -> BenchJoint {
    let joint = head_joint();
    let mut old = listed("moly", "75 lb-ft", &[]);
    old.superseded = true;
    let stud = stud(
        &joint,
        vec![
            listed("moly", "66 lb-ft", &["20 lb-ft", "36 lb-ft", "52 lb-ft", "66 lb-ft"]),
            listed("oil", "82 lb-ft", &["25 lb-ft", "45 lb-ft", "65 lb-ft", "82 lb-ft"]),
            old,
        ],
    );
    let mut long = fastener(&joint, "bolt, long", Kind::Bolt, "7/16-14", 14);
    long.positions = Some("1 to 14".to_owned());
    long.wet = Some(Wet::Coolant);
    long.sealant = Some("thread sealant".to_owned());
    long.settings = vec![listed("sealant", "55 lb-ft", &["20 lb-ft", "40 lb-ft", "55 lb-ft"])];
    long.settings[0].face_lube = Some("oil".to_owned());
    let BenchJoint { rows, .. } = head();
    let mut crowded = bench(joint, vec![stud, long], &[], &[head_layout()]);
    crowded.rows.extend(rows.into_iter().filter(|one| one.row.fastener.part != "stud, long"));
    crowded
}

/// Twelve studs round a casing; listed for oil and moly.
pub(crate) fn casing() -> BenchJoint {
    let mut joint = Joint::named("Tern 40 pump", "casing");
    joint.duty = Some(Duty::Pressure);
    joint.layout = Some("circle of 12".to_owned());
    let mut stud = fastener(&joint, "stud, casing", Kind::Stud, "M12x1.75", 12);
    stud.bottom = Some(Bottom::Blind);
    stud.hole_material = Some("cast iron".to_owned());
    stud.settings =
        vec![listed("oil", "65 N·m", &["30%", "60%", "100%"]), listed("moly", "52 N·m", &[])];
    bench(joint, vec![stud], &[], &[])
}

/// Forty studs round a bowl.
pub(crate) fn forty() -> BenchJoint {
    let mut joint = Joint::named("Tern 40 pump", "bowl");
    joint.layout = Some("circle of 40".to_owned());
    let mut stud = fastener(&joint, "stud, bowl", Kind::Stud, "M16x2", 40);
    stud.bottom = Some(Bottom::Blind);
    stud.settings = vec![listed("oil", "160 N·m", &["50 N·m", "100 N·m", "160 N·m"])];
    bench(joint, vec![stud], &[], &[])
}

/// Ten bolts in four passes, pulled over an adapter of 2 in on a wrench of 18 in from
/// 30 to 150 lb-ft, which cannot show the last.
pub(crate) fn over_an_adapter() -> BenchJoint {
    let mut joint = Joint::named("Stilt 60 press", "cylinder flange");
    joint.duty = Some(Duty::Pressure);
    joint.layout = Some("circle of 10".to_owned());
    joint.gasket = Some("O-ring, new each time".to_owned());
    let mut bolt = fastener(&joint, "bolt, flange", Kind::Bolt, "M20x2.5", 10);
    bolt.bottom = Some(Bottom::Blind);
    bolt.head = Some("hex 30 mm".to_owned());
    bolt.settings = vec![listed("oil", "400 N·m", &["30%", "60%", "90%", "100%"])];
    let mut wrench = Wrench::named("W2");
    for (field, text) in [("low", "20 lb-ft"), ("high", "150 lb-ft"), ("graduation", "1 lb-ft")] {
        WRENCHES.set(&mut wrench, field, text).unwrap();
    }
    let adapter = Attachment::Adapter {
        lever: Length::from_mm(18.0 * 25.4),
        reach: Length::from_mm(2.0 * 25.4),
        angle: Angle::from_deg(0.0),
    };
    let wish = PassWish {
        wrench: WrenchWish::Whole(wrench.scale().unwrap()),
        aids: Aids { attachment: adapter, ..Aids::default() },
        ..PassWish::default()
    };
    bench_for(joint, vec![bolt], &[], &[], &wish)
}

/// Twelve rod bolts by stretch, scrapped by free length.
pub(crate) fn rods() -> BenchJoint {
    let mut joint = Joint::named("Marlow 6", "rod");
    joint.order = Some("both bolts of a cap alternate".to_owned());
    let mut bolt = fastener(&joint, "bolt, cap", Kind::Bolt, "7/16-20", 12);
    bolt.positions = Some("rods 1 to 6".to_owned());
    bolt.reuse = Some(Reuse::FreeLength(Stated::parse("2.001 in").unwrap()));
    let mut stretch = listed("moly", "65 lb-ft", &[]);
    stretch.method = Method::Stretch;
    stretch.stretch = Extent::parse("0.0055..0.0060 in").ok();
    bolt.settings = vec![stretch];
    bench(joint, vec![bolt], &[], &[])
}

/// Five wheel nuts: a listed star.
pub(crate) fn wheel() -> BenchJoint {
    let mut joint = Joint::named("Tern 40 pump", "trolley wheel");
    joint.duty = Some(Duty::Wheel);
    joint.order = Some("1-3-5-2-4".to_owned());
    let mut nut = fastener(&joint, "nut, wheel", Kind::Nut, "M12x1.5", 5);
    nut.settings = vec![listed("dry", "100 N·m", &[])];
    bench(joint, vec![nut], &[], &[])
}

/// One kind of bolt restated for a lube that the sheet does not list.
pub(crate) fn restated() -> BenchJoint {
    let joint = Joint::named("Marlow 6", "fuel pump");
    let mut bolt = fastener(&joint, "bolt, flange", Kind::Bolt, "3/8-16", 8);
    bolt.strength.yield_ = Stated::parse("130 ksi").ok();
    bolt.finish = Some("plain".to_owned());
    bolt.settings = vec![listed("dry", "44 lb-ft", &[])];
    bench(joint, vec![bolt], &["oil", "sealant"], &[])
}

/// A joint whose every text tries to be something else.
pub(crate) fn hostile() -> BenchJoint {
    let evil = "<script>document.title='owned'</script><img src=x onerror=alert(1)>";
    let mut joint = Joint::named("\"><b>bold", evil);
    joint.gasket = Some("</article></style><style>*{display:none}".to_owned());
    joint.order = Some(format!("order {evil}"));
    let mut bolt = fastener(&joint, evil, Kind::Bolt, "M8x1.25", 4);
    bolt.positions = Some("1 to 4 <i>x</i>".to_owned());
    bolt.sealant = Some("&lt;b&gt; \u{202e}evil\u{1b}[31m".to_owned());
    bolt.settings = vec![listed("oil", "25 N·m", &[])];
    bolt.settings[0].warnings = vec!["<h1>BIG</h1>".to_owned()];
    bolt.settings[0].source.title = Some("<table><tr><td>sheet".to_owned());
    bench(joint, vec![bolt], &[], &[])
}

/// Everything that can be long, is.
pub(crate) fn long_words() -> BenchJoint {
    let long = "a very long remark that goes on and says again what was said before, ".repeat(4);
    let mut joint = Joint::named(
        "Tern 40 pump, second of two on the lower deck",
        "discharge flange, outlet side",
    );
    joint.duty = Some(Duty::Pressure);
    joint.gasket = Some(long.clone());
    joint.machining = Some(long.clone());
    joint.layout = Some("circle of 24".to_owned());
    let mut bolt =
        fastener(&joint, "bolt, flange, with its own long name", Kind::Bolt, "M16x2", 24);
    bolt.reuse = Some(Reuse::UpTo(3));
    bolt.bottom = Some(Bottom::Blind);
    bolt.sealant = Some(long.clone());
    bolt.washer = Some("two, one under the head and one under the nut, hardened".to_owned());
    let mut setting = listed("moly", "120..130 N·m", &["snug", "20%", "40%", "60%", "80%", "100%"]);
    setting.cycles = Some(2);
    setting.retorque = Some(long.clone());
    setting.recheck = Some(long.clone());
    setting.warnings = vec![long.clone(), "Galls when dry".to_owned()];
    setting.source.title = Some(long);
    bolt.settings = vec![setting];
    bench(joint, vec![bolt], &[], &[])
}

/// Sixty bolts by number, nobody knows where; measured one by one.
pub(crate) fn many() -> BenchJoint {
    let order: Vec<String> = (1..=60).rev().map(|hole| hole.to_string()).collect();
    let mut joint = Joint::named("Marlow 6", "bed plate");
    joint.order = Some(order.join(", "));
    let mut bolt = fastener(&joint, "bolt, plate", Kind::Bolt, "M10x1.5", 60);
    bolt.reuse = Some(Reuse::FreeLength(Stated::parse("101 mm").unwrap()));
    let mut setting = listed("oil", "60 N·m", &[]);
    setting.method = Method::Stretch;
    setting.stretch = Extent::parse("0.10..0.12 mm").ok();
    bolt.settings = vec![setting];
    bench(joint, vec![bolt], &[], &[])
}
