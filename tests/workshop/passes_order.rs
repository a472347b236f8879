//! Passes of a setting and orders of a joint: the source's own first, made up
//! only where that is sound, and said.

use crate::answers::{assert_fits, head_answer, listed, tables};
use clampbook::procedure::{Wrench, circle};
use clampbook::quantity::{Extent, Stated, Torque, find_unit};
use clampbook::query::run::UnitsWanted;
use clampbook::record::{
    Duty, Fastener, Joint, JointOrder, Kind, Layout, Method, Pass, PassFrom, PassPlan, PassStep,
    PassWish, Places, Reuse, Setting, Tables, WrenchWish, joint_order, plan_passes, plan_torque,
};
use clampbook::report::{
    Format, OrderOfJoint, RowPasses, joint_orders_page, passes_page, rendered, torque_passes_page,
};
use proptest::prelude::*;

fn graduation(text: &str) -> WrenchWish {
    WrenchWish::Graduation(Stated::parse(text).unwrap())
}

fn wrench(low: &str, high: &str, step: &str) -> WrenchWish {
    let torque = |text: &str| Stated::<Torque>::parse(text).unwrap();
    WrenchWish::Whole(Wrench {
        low_mark: torque(low).value(),
        full_scale: torque(high).value(),
        graduation: torque(step).value(),
        unit: torque(step).written().unit,
        shop_range: None,
    })
}

fn wish(count: usize, wrench: WrenchWish) -> PassWish {
    PassWish { count, wrench, ..PassWish::default() }
}

fn torque(text: &str) -> Extent<Torque> {
    Extent::parse(text).unwrap()
}

/// The passes as a program reads them.
fn torque_json(torque: Extent<Torque>, plan: &PassPlan) -> String {
    let page = torque_passes_page(torque, plan, &UnitsWanted::AsWritten, None);
    rendered(&page, Format::Json, 80)
}

fn texts(plan: &PassPlan, of: &str) -> Vec<String> {
    let json: serde_json::Value = serde_json::from_str(&torque_json(torque(of), plan)).unwrap();
    json["passes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|text| text.as_str().unwrap().to_owned())
        .collect()
}

fn bolts(count: u32, setting: Setting) -> Fastener {
    let mut bolt = Fastener::new(Joint::named("Marlow 6", "cover"), "bolt");
    bolt.kind = Some(Kind::Bolt);
    bolt.count = Some(count);
    bolt.reuse = Some(Reuse::Reusable);
    bolt.settings = vec![setting];
    bolt
}

fn plan_with(fastener: &Fastener, tables: &Tables, wish: &PassWish) -> PassPlan {
    plan_passes(fastener, &fastener.settings[0], tables, wish).unwrap()
}

fn plan(fastener: &Fastener) -> PassPlan {
    plan_with(fastener, &tables(), &PassWish::default())
}

fn one_pull(fastener: &Fastener) -> String {
    match plan(fastener).from {
        PassFrom::OnePull(why) => why,
        other => panic!("not one pull: {other:?}"),
    }
}

/// Thirds of 65 are 21.7 and 43.3, in halves and never up; on marks of 5: 20, 45, 65. Common practice,
/// no source: three equal steps to the final value.
#[test]
fn steps_on_the_marks_of_the_wrench() {
    let of = |text: &str, wish: &PassWish| {
        let plan = plan_torque(torque(text), wish).unwrap();
        texts(&plan, text)
    };
    let three = |grid: &str| wish(3, graduation(grid));
    assert_eq!(of("65 lb-ft", &three("5 lb-ft")), ["20 lb-ft", "45 lb-ft", "65 lb-ft"]);
    assert_eq!(of("65 lb-ft", &PassWish::default()), ["21.5 lb-ft", "43 lb-ft", "65 lb-ft"]);
    // A wrench in the other unit: its marks, and the final value as the sheet has it.
    assert_eq!(of("65 lb-ft", &three("5 N·m")), ["30 N·m", "60 N·m", "65 lb-ft"]);
    assert_eq!(of("60..65 lb-ft", &three("5 lb-ft")), ["20 lb-ft", "40 lb-ft", "60..65 lb-ft"]);
    assert_eq!(of("max 70 lb-ft", &three("5 lb-ft")), ["max 70 lb-ft"]);
    assert_eq!(
        of("9 N·m", &wish(4, graduation("2.5 N·m"))),
        ["2.5 N·m", "5 N·m", "7.5 N·m", "9 N·m"]
    );
}

/// What DESIGN allows: plain torque, two or more, 20 N·m or more, not
/// single-use, not thread-locked.
#[test]
fn steps_are_made_up_only_where_that_is_sound() {
    let made = plan(&bolts(8, listed("oil", "44 lb-ft")));
    assert_eq!((made.from, made.repeat, made.steps.len()), (PassFrom::Generated, true, 3));
    assert_eq!(plan(&bolts(2, listed("oil", "20 N·m"))).from, PassFrom::Generated);
    assert_eq!(one_pull(&bolts(8, listed("oil", "19.9 N·m"))), "under 20 N·m");
    assert_eq!(one_pull(&bolts(8, listed("oil", "14 lb-ft"))), "under 20 N·m (15 lb-ft)");
    assert_eq!(one_pull(&bolts(1, listed("oil", "44 lb-ft"))), "one fastener");
    assert_eq!(one_pull(&bolts(8, listed("oil", "max 44 lb-ft"))), "only a maximum is stated");
    let mut unknown = bolts(8, listed("oil", "44 lb-ft"));
    unknown.count = None;
    assert_eq!(one_pull(&unknown), "how many there are is not stated");
    let mut single = bolts(8, listed("oil", "44 lb-ft"));
    single.reuse = Some(Reuse::SingleUse);
    assert_eq!(one_pull(&single), "single-use: only the source's own passes");
    let mut plug = bolts(6, listed("dry", "18 lb-ft"));
    plug.joint.duty = Some(Duty::SparkPlug);
    assert_eq!(one_pull(&plug), "a plug is pulled on its own");
}

/// By the class of the lube in the book, or by its name alone.
#[test]
fn a_locked_thread_is_one_pull() {
    let mut known = tables();
    known.lubes[0].class = clampbook::record::LubeClass::Threadlocker;
    let bolt = bolts(8, listed("moly", "44 lb-ft"));
    let locked = plan_with(&bolt, &known, &PassWish::default());
    assert_eq!(
        locked.from,
        PassFrom::OnePull("thread-locked: in one pull, before it sets".to_owned())
    );
    assert_eq!(plan(&bolt).from, PassFrom::Generated);
    assert!(one_pull(&bolts(8, listed("Threadlocker", "44 lb-ft"))).starts_with("thread-locked"));
}

#[test]
fn an_angle_is_not_split_and_a_stretch_is_one_pull() {
    let mut setting = Setting::new(Method::TorqueAngle, clampbook::record::Basis::Listed);
    setting.snug = Some(Stated::parse("22 lb-ft").unwrap());
    setting.angles = vec![Stated::parse("90°").unwrap(); 2];
    let by_angle = plan(&bolts(10, setting.clone()));
    assert_eq!(texts(&by_angle, "22 lb-ft"), ["22 lb-ft", "+90°", "+90°"]);
    assert_eq!((by_angle.from, by_angle.repeat), (PassFrom::Method, false));
    setting.method = Method::Stretch;
    setting.stretch = Some(Extent::parse("0.0055..0.0060 in").unwrap());
    let stretch = plan(&bolts(12, setting));
    assert_eq!(texts(&stretch, "22 lb-ft"), ["stretch 0.0055..0.0060 in"]);
    assert!(matches!(stretch.from, PassFrom::OnePull(why) if why.contains("stretch")));
}

#[test]
fn the_sources_own_passes_win() {
    let with = |passes: &[&str], torque: &str| {
        let mut setting = listed("oil", torque);
        setting.passes = passes.iter().map(|text| Pass::parse(text).unwrap()).collect();
        bolts(1, setting)
    };
    let own = plan(&with(&["20 lb-ft", "60 lb-ft", "88 lb-ft"], "88 lb-ft"));
    assert_eq!(texts(&own, "88 lb-ft"), ["20 lb-ft", "60 lb-ft", "88 lb-ft"]);
    assert_eq!(
        (own.from, own.repeat, own.remarks),
        (PassFrom::Source, false, Vec::<String>::new())
    );
    // 30 and 60 % of 65 N·m are 19.5 and 39.
    let shares = with(&["30%", "60%", "100%"], "65 N·m");
    assert_eq!(texts(&plan(&shares), "65 N·m"), ["19.5 N·m", "39 N·m", "65 N·m"]);
    let on_marks = plan_with(&shares, &tables(), &wish(3, graduation("2 N·m")));
    assert_eq!(texts(&on_marks, "65 N·m"), ["20 N·m", "40 N·m", "65 N·m"]);
    let mixed = with(&["snug", "5 lb-ft", "100%"], "12..15 lb-ft");
    assert_eq!(texts(&plan(&mixed), "15 lb-ft"), ["snug", "5 lb-ft", "12..15 lb-ft"]);
    let short = plan(&with(&["20 lb-ft", "60 lb-ft"], "88 lb-ft"));
    assert_eq!(short.remarks, ["the source's passes do not end at its torque, 88 lb-ft: ask it"]);
    let falling = plan(&with(&["60 lb-ft", "20 lb-ft", "88 lb-ft"], "88 lb-ft"));
    assert_eq!(falling.remarks, ["the source's passes do not rise: ask the source"]);
}

#[test]
fn a_wrench_that_cannot_show_the_final_value_is_refused() {
    let of = |wrench: WrenchWish| plan_torque(torque("88 lb-ft"), &wish(3, wrench)).unwrap();
    let good = of(wrench("10 lb-ft", "150 lb-ft", "1 lb-ft"));
    assert_eq!(good.refused, None);
    // 29 is under a fifth of the scale: said at that step, not refused.
    let first = match &good.steps[0] {
        PassStep::Torque(step) => step.setting.unwrap().to_string(),
        other => panic!("{other:?}"),
    };
    assert!(first.starts_with("29 lb-ft is below this wrench's range 30 lb-ft"), "{first}");
    let small = of(wrench("5 lb-ft", "75 lb-ft", "1 lb-ft"));
    assert!(small.refused.unwrap().contains("above this wrench's range"));
    let coarse = of(wrench("20 lb-ft", "150 lb-ft", "10 lb-ft"));
    assert!(coarse.refused.unwrap().contains("use a finer wrench"));
}

proptest! {
    /// No pass passes the final value, they rise, and the last is exact,
    /// whatever the graduation.
    #[test]
    fn no_pass_exceeds_the_final_value(
        tenths in 10u32..6000, grid in 1u32..2000, count in 1usize..12, range in 0u32..200,
        unit in prop::sample::select(vec!["N·m", "lb-ft", "lb-in", "kgf·m"]),
        other in prop::sample::select(vec!["N·m", "lb-ft", "lb-in"]),
    ) {
        let low = f64::from(tenths) / 10.0;
        let text = match range {
            0 => format!("{low} {unit}"),
            more => format!("{low}..{:.1} {unit}", low + f64::from(more) / 10.0),
        };
        let grid = graduation(&format!("{} {other}", f64::from(grid) / 10.0));
        let plan = plan_torque(torque(&text), &wish(count, grid)).unwrap();
        let aims: Vec<f64> = plan.steps.iter().map(|step| match step {
            PassStep::Torque(step) => step.aim.unwrap().nm(),
            _ => f64::NAN,
        }).collect();
        prop_assert!(aims.windows(2).all(|pair| pair[0] < pair[1]), "{aims:?}");
        let last = torque(&text);
        prop_assert_eq!(*aims.last().unwrap(), last.target().unwrap().nm());
        prop_assert!(aims[..aims.len() - 1].iter().all(|aim| *aim < last.low().unwrap().nm()));
    }
}

fn part(
    name: &str,
    count: u32,
    positions: Option<&str>,
    group: Option<(&str, Option<&str>)>,
) -> Fastener {
    let mut part = Fastener::new(Joint::named("Marlow 6", "head"), name);
    part.count = Some(count);
    part.positions = positions.map(str::to_owned);
    part.group = group.map(|group| group.0.to_owned());
    part.after_group = group.and_then(|group| group.1).map(str::to_owned);
    part
}

fn order(joint: &Joint, parts: &[Fastener], layouts: &[Layout]) -> JointOrder {
    joint_order(joint, &parts.iter().collect::<Vec<_>>(), layouts).unwrap()
}

fn joint(layout: Option<&str>, order: Option<&str>) -> Joint {
    let mut joint = Joint::named("Marlow 6", "head");
    joint.layout = layout.map(str::to_owned);
    joint.order = order.map(str::to_owned);
    joint
}

#[test]
fn the_listed_order_is_each_hole_once_or_refused() {
    let parts = [part("stud", 4, Some("1 to 4"), None), part("bolt", 2, Some("5 and 6"), None)];
    let found = order(&joint(None, Some("3-4-2-6-1-5")), &parts, &[]);
    let listed = found.order.unwrap();
    assert_eq!((listed.holes(), listed.rule().is_generated()), (&[3, 4, 2, 6, 1, 5][..], false));
    assert_eq!(found.places, Places::Unknown);
    let refs: Vec<&Fastener> = parts.iter().collect();
    let wrong = joint_order(&joint(None, Some("3-4-2-5-4-1")), &refs, &[]).unwrap_err();
    assert_eq!(wrong.to_string(), "sequence of 6 names bolt 4 twice, bolt 6 never");
    let words = order(&joint(None, Some("caps 4-3-5, side bolts last")), &parts, &[]);
    assert_eq!((words.order, words.words.as_deref()), (None, Some("caps 4-3-5, side bolts last")));
}

#[test]
fn an_order_that_is_a_circles_is_drawn_as_one() {
    let eight = [part("bolt", 8, None, None)];
    let found = order(&joint(None, Some("1-5-3-7-2-6-4-8")), &eight, &[]);
    assert!(matches!(&found.places, Places::TakenCircle(points) if points.len() == 8));
    let row = order(&joint(None, Some("4-5-3-6-2-7-1-8")), &eight, &[]);
    assert!(
        matches!(&row.places, Places::TakenRow(points) if points.len() == 8),
        "{:?}",
        row.places
    );
    let other = order(&joint(None, Some("8-7-6-5-4-3-2-1")), &eight, &[]);
    assert_eq!(other.places, Places::Unknown);
    let six =
        order(&joint(None, Some("1-5-3-7-2-6-4-8")), &[part("flexplate", 6, None, None)], &[]);
    assert_eq!(six.remarks, ["flexplate: the listed order is over 8 holes, there are 6 of these"]);
}

#[test]
fn without_a_listed_order_the_layout_makes_one() {
    let twelve = [part("stud", 12, None, None)];
    let round = order(&joint(Some("circle of 12"), None), &twelve, &[]);
    let made = round.order.unwrap();
    assert_eq!(made.holes(), circle(12).unwrap().holes());
    assert!(made.rule().is_generated());
    assert!(matches!(round.places, Places::Layout(_)));
    // A layout of the book, its outer bolts a group of their own, pulled last.
    let mut head = Layout::standard("grid of 2x4").unwrap();
    head.name = "Marlow 6 head".to_owned();
    let groups = [
        part("stud", 4, Some("2, 3, 6, 7"), Some(("main", None))),
        part("bolt", 4, Some("2, 3, 6, 7"), Some(("main", None))),
        part("outer", 4, Some("1, 4, 5, 8"), Some(("outer", Some("main")))),
    ];
    let by_group = order(&joint(Some("marlow 6 head"), None), &groups, &[head]).order.unwrap();
    let mut first: Vec<usize> = by_group.holes()[..4].to_vec();
    first.sort_unstable();
    assert_eq!(first, [2, 3, 6, 7]);
}

#[test]
fn a_bare_count_is_taken_as_a_circle_and_says_so() {
    let found = order(&joint(None, None), &[part("bolt", 6, None, None)], &[]);
    assert_eq!(found.order.unwrap().holes(), [1, 4, 2, 5, 3, 6]);
    assert!(found.remarks[0].contains("taken as evenly round a circle"));
    let unknown = order(&joint(Some("Marlow 6 head"), None), &[part("bolt", 6, None, None)], &[]);
    assert!(unknown.remarks[0].contains("layout `Marlow 6 head` is not in the book"));
    let two = [part("a", 6, None, None), part("b", 4, None, None)];
    assert_eq!(order(&joint(None, None), &two, &[]).order, None);
    let miscount = order(&joint(None, None), &[part("bolt", 6, Some("1 to 5"), None)], &[]);
    assert_eq!(miscount.remarks[0], "bolt: count is 6, positions name 5: which?");
}

#[test]
fn pages_say_torque_lube_and_basis_on_one_line_and_fit() {
    let rows: Vec<RowPasses> = head_answer()
        .rows
        .into_iter()
        .map(|row| {
            let plan = row.refused.is_none().then(|| {
                let wish = wish(3, wrench("10 lb-ft", "80 lb-ft", "1 lb-ft"));
                plan_passes(&row.fastener, &row.setting, &tables(), &wish).unwrap()
            });
            RowPasses { row, plan }
        })
        .collect();
    for columns in [140, 80, 40] {
        let page =
            rendered(&passes_page(&rows, &UnitsWanted::AsWritten, None), Format::Table, columns);
        println!("{page}\n");
        assert_fits(&page, columns);
    }
    let page = rendered(&passes_page(&rows, &UnitsWanted::AsWritten, None), Format::Table, 80);
    assert!(page.contains("moly  66 lb-ft / 89.5 N·m LISTED\n  1. 20 lb-ft / 27.1 N·m"), "{page}");
    assert!(page.contains("refused: wet to dry is never converted"));
    assert!(page.contains("refused for this wrench: 82 lb-ft is above this wrench's range"));
    let json: serde_json::Value = serde_json::from_str(&rendered(
        &passes_page(&rows, &UnitsWanted::AsWritten, None),
        Format::Json,
        80,
    ))
    .unwrap();
    let angle = json["rows"].as_array().unwrap().iter().find(|row| row["part"] == "bolt, front");
    assert_eq!(angle.unwrap()["passes"], serde_json::json!(["22 lb-ft", "+90°", "+90°"]));
    assert_eq!(angle.unwrap()["passes_nm"][1], serde_json::Value::Null);
}

#[test]
fn a_bare_torque_has_a_page_too() {
    let wanted = UnitsWanted::AsWritten;
    let plan = plan_torque(torque("65 lb-ft"), &wish(3, graduation("5 lb-ft"))).unwrap();
    let page =
        rendered(&torque_passes_page(torque("65 lb-ft"), &plan, &wanted, None), Format::Table, 80);
    assert_eq!(
        page,
        "65 lb-ft / 88.1 N·m\n  1. 20 lb-ft / 27.1 N·m\n  2. 45 lb-ft / 61 N·m\n  \
         3. 65 lb-ft / 88.1 N·m\n  \
         then the final value once more round the pattern\n  \
         GENERATED: equal steps, common practice\n"
    );
    let metric = UnitsWanted::Units(vec![find_unit("N·m").unwrap()]);
    let page = torque_passes_page(torque("65 lb-ft"), &plan, &metric, None);
    assert!(rendered(&page, Format::Table, 80).contains("3. 88.1 N·m"));
}

#[test]
fn a_page_of_orders() {
    let one = |layout: Option<&str>, listed: Option<&str>, count| {
        let joint = joint(layout, listed);
        let parts = [part("bolt", count, None, None)];
        let order = joint_order(&joint, &parts.iter().collect::<Vec<_>>(), &[]);
        OrderOfJoint { joint, order: order.map_err(|error| error.to_string()) }
    };
    let joints = [
        one(Some("circle of 12"), None, 12),
        one(None, Some("1-5-3-7-2-6-4-8"), 8),
        one(None, Some("7-8-5-6-9-10-3-4-11-12-1-2"), 12),
        one(None, Some("1-1-2"), 3),
        one(None, Some("from the middle outwards"), 18),
    ];
    for columns in [100, 40] {
        let page = rendered(&joint_orders_page(&joints), Format::Table, columns);
        println!("{page}\n");
        assert_fits(&page, columns);
    }
    let page = rendered(&joint_orders_page(&joints), Format::Table, 80);
    for said in [
        "GENERATED: circle, opposite pairs into the widest gap",
        "LISTED by the source",
        "refused: sequence of 3 names bolt 1 twice, bolt 3 never",
        "LISTED, in words: from the middle outwards",
        "tighten holes 1-5-3-7-2-6-4-8\nloosen holes 8-4-6-2-7-3-5-1",
    ] {
        assert!(page.contains(said), "{said}\n{page}");
    }
    let json: serde_json::Value =
        serde_json::from_str(&rendered(&joint_orders_page(&joints), Format::Json, 80)).unwrap();
    assert_eq!(json["rows"][0]["generated"], true);
    assert_eq!(json["rows"][1]["order"], serde_json::json!([1, 5, 3, 7, 2, 6, 4, 8]));
    assert_eq!(json["rows"][3]["order"], serde_json::Value::Null);
}
