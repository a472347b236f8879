//! Wrenches, layouts, the pull log and bolt sets: pure records and their rules.

use clampbook::audit::is_other_lube;
use clampbook::intake::read_table;
use clampbook::mechanics::{Attachment, Prevailing};
use clampbook::quantity::{Angle, Extent, Length, Stated, Torque};
use clampbook::record::{
    Aids, Basis, Bolt, BoltSet, BoltVerdict, FieldError, LOG_LINES, Layout, Log, LogError, Method,
    PassDone, Pull, PullKind, Reached, Reuse, Setting, Snapshot, Tables, WRENCHES, Wrench,
    WrenchUsed, best_of, joint_order, listed_numbers, read_layout,
};
use jiff::Timestamp;
use jiff::civil::Date;
use proptest::prelude::*;

fn day(text: &str) -> Date {
    text.parse().unwrap()
}

fn at(text: &str) -> Timestamp {
    text.parse().unwrap()
}

fn torque(text: &str) -> Extent<Torque> {
    Extent::parse(text).unwrap()
}

fn wrench(name: &str, values: &[(&str, &str)]) -> Wrench {
    let mut wrench = Wrench::named(name);
    for (field, text) in values {
        WRENCHES.set(&mut wrench, field, text).unwrap();
    }
    wrench
}

fn w2() -> Wrench {
    wrench("W2", &[("low", "20 lb-ft"), ("high", "150 lb-ft"), ("graduation", "1 lb-ft")])
}

#[test]
fn fields_are_set_by_name_and_say_what_is_wrong() {
    let mut w = w2();
    let mut set = |name: &str, text: &str| WRENCHES.set(&mut w, name, text);
    assert_eq!(set("marks", "2 lb-ft"), Ok(()));
    assert_eq!(
        set("graduatoin", "2 lb-ft").unwrap_err().to_string(),
        "`graduatoin` is no field of a wrench; did you mean `graduation`?"
    );
    let error = set("high", "150 kN").unwrap_err();
    assert!(matches!(&error, FieldError::Value { field: "high", .. }));
    assert_eq!(error.to_string(), "high: `150 kN` is a force, a torque was expected");
    assert_eq!(
        set("due", "4 May").unwrap_err().to_string(),
        "due: `4 May` is no day: write it as 2026-05-04"
    );
    assert!(set("name", "").is_err());
    assert_eq!(set("graduation", "-"), Ok(()));
    assert_eq!(
        w.scale().unwrap_err().to_string(),
        "wrench W2: graduation is not stated, so its scale is not known"
    );
}

/// Every field prints what it reads.
#[test]
fn fields_print_what_they_read() {
    let values = [
        ("name", "W2"),
        ("low", "20 lb-ft"),
        ("high", "150 lb-ft"),
        ("graduation", "0.5 lb-ft"),
        ("shop-low", "30 lb-ft"),
        ("shop-high", "140 lb-ft"),
        ("lever", "18 in"),
        ("calibrated", "2026-01-10 good"),
        ("found", "good"),
        ("due", "2027-01-10"),
        ("notes", "dropped once, checked since"),
    ];
    let full = wrench("W2", &values);
    for field in WRENCHES.fields {
        let wanted = values.iter().find(|(name, _)| *name == field.name).unwrap().1;
        assert_eq!(field.value(&full).cell().as_deref(), Some(wanted), "{}", field.name);
    }
    assert_eq!(values.len(), WRENCHES.fields.len());
}

/// AC 43.13-1B fig. 7-2: T·L/(L + E) in line. 80 lb-ft with a 2 in adapter on
/// 18 in is 72; across the wrench it is 80.
#[test]
fn adapter_and_prevailing_torque_are_in_the_setting() {
    let adapter = |degrees: f64| Attachment::Adapter {
        lever: Length::from_mm(18.0 * 25.4),
        reach: Length::from_mm(2.0 * 25.4),
        angle: Angle::from_deg(degrees),
    };
    let set = |attachment, prevailing| {
        let aids = Aids { attachment, prevailing };
        w2().setting(torque("80 lb-ft"), &aids).unwrap().to_string()
    };
    assert_eq!(set(adapter(0.0), Prevailing::None), "set 72 lb-ft");
    assert_eq!(set(adapter(90.0), Prevailing::None), "set 80 lb-ft");
    let eight = Stated::<Torque>::parse("8 lb-ft").unwrap().value();
    assert_eq!(set(Attachment::OnAxis, Prevailing::ToAdd(eight)), "set 88 lb-ft");
    let asks = w2()
        .setting(torque("70 lb-ft"), &Aids { prevailing: Prevailing::Unknown, ..Aids::default() });
    assert!(asks.unwrap_err().to_string().contains("prevailing torque"));
    let maximum = w2().setting(torque("max 70 lb-ft"), &Aids::default());
    assert_eq!(maximum.unwrap_err().to_string(), "only a maximum is stated: no value to set");
}

#[test]
fn calibration_ends_on_the_stated_day_or_after_a_year() {
    let on = |wrench: &Wrench, text: &str| {
        let stands = wrench.calibration(day(text));
        assert_eq!(stands.found_out, None, "nobody found it out");
        stands.until.map(|end| (end, stands.is_overdue))
    };
    assert_eq!(on(&w2(), "2026-05-04"), None);
    let year = wrench("W3", &[("calibrated", "2025-05-04")]);
    assert_eq!(on(&year, "2026-05-04"), Some((day("2026-05-04"), false)));
    assert_eq!(on(&year, "2026-05-05"), Some((day("2026-05-04"), true)));
    let stated = wrench("W3", &[("calibrated", "2025-05-04"), ("due", "2025-11-04")]);
    assert_eq!(on(&stated, "2026-01-01"), Some((day("2025-11-04"), true)));
}

#[test]
fn the_best_wrench_is_usable_and_not_overdue() {
    let small = wrench("W1", &[("low", "5 N·m"), ("high", "60 N·m"), ("graduation", "0.5 N·m")]);
    let mut overdue = w2();
    overdue.due = Some(day("2026-01-01"));
    let all = [small, overdue, w2()];
    let best = |text: &str| {
        best_of(&all, torque(text), Prevailing::None, day("2026-05-04"))
            .map(|(wrench, _)| std::ptr::from_ref(wrench))
    };
    assert_eq!(best("45 N·m"), Some(&raw const all[0]));
    assert_eq!(best("70 lb-ft"), Some(&raw const all[2]));
    assert_eq!(best("200 lb-ft"), None);
    assert_eq!(best("max 20 N·m"), None);
}

/// A layout as `add layout` reads it from a file.
fn layout_of(name: &str, text: &str) -> Result<Layout, String> {
    let table = read_table(text.as_bytes(), name).map_err(|error| error.to_string())?;
    read_layout(name, &table.headings, table.delimiter, table.rows())
        .map_err(|error| error.to_string())
}

#[test]
fn a_layout_is_read_by_the_reader_of_an_import() {
    let quoted = layout_of("cover", "\"hole\",\"x mm\",\"y mm\"\n\"1\",0,0\n2,\"5\",0\n").unwrap();
    assert_eq!(quoted.points.len(), 2);
    let utf16: Vec<u8> = [0xff, 0xfe]
        .into_iter()
        .chain(
            "hole\tx mm\ty mm\r\n1\t0\t0\r\n2\t7\t0\r\n".encode_utf16().flat_map(u16::to_le_bytes),
        )
        .collect();
    let table = read_table(&utf16, "cover").unwrap();
    let layout = read_layout("cover", &table.headings, table.delimiter, table.rows()).unwrap();
    assert_eq!(layout.points[1].x.mm(), 7.0);
}

/// As spreadsheets of half of Europe write it; between commas it would be two cells.
#[test]
fn a_comma_may_stand_for_the_point_where_semicolons_part() {
    let layout = layout_of("cover", "hole;x mm;y mm\n1;-0,5;0\n2;40.5;30,25\n").unwrap();
    let places: Vec<(f64, f64)> = layout.points.iter().map(|p| (p.x.mm(), p.y.mm())).collect();
    assert_eq!(places, [(-0.5, 0.0), (40.5, 30.25)]);
    // Never a thousand: nobody parts one there.
    let fine = layout_of("cover", "hole;x mm;y mm\n1;0;0\n2;1,500;0\n").unwrap();
    assert_eq!(fine.points[1].x.mm(), 1.5);
    assert!(layout_of("cover", "hole,x mm,y mm\n1,0,0\n2,1;5,0\n").is_err());
}

#[test]
fn marks_that_make_no_scale_are_named_in_their_own_unit() {
    let upside_down =
        wrench("W4", &[("low", "200 lb-ft"), ("high", "20 lb-ft"), ("step", "1 lb-ft")]);
    assert_eq!(
        upside_down.scale().unwrap_err().to_string(),
        "wrench W4 is marked from 200 lb-ft to 20 lb-ft by 1 lb-ft: the lowest mark must be \
         under full scale, the step no more than it"
    );
    let mut shop = w2();
    shop.shop_low = Some(Stated::parse("30 lb-ft").unwrap());
    shop.shop_high = Some(Stated::parse("160 lb-ft").unwrap());
    assert_eq!(
        shop.scale().unwrap_err().to_string(),
        "wrench W2: the shop's range is 30 lb-ft to 160 lb-ft: the low end must be under the \
         high end, and that no more than full scale"
    );
    let error = WRENCHES.set(&mut w2(), "zzzzzz", "20-150 lb-ft").unwrap_err();
    assert!(error.to_string().contains("which has name, low, high, graduation"), "{error}");
}

#[test]
fn a_table_of_coordinates_is_a_layout() {
    let table = "\
Hole; x (mm); y [in]; group
1; 0; 0; main
2; -90; 0; main
4; 45; 2; outer
3; 45; -2; outer
";
    let layout = layout_of("Tern cover", table).unwrap();
    assert_eq!(layout.points.len(), 4);
    assert_eq!((layout.points[1].x.mm(), layout.points[3].y.mm()), (-90.0, 50.8));
    assert_eq!(layout.groups, [("main".to_owned(), vec![1, 2]), ("outer".to_owned(), vec![4, 3])]);
    // The groups of the layout order the joint where its parts name none.
    let mut joint = clampbook::record::Joint::named("Tern 40 pump", "cover");
    joint.layout = Some("tern cover".to_owned());
    let order = joint_order(&joint, &[], &[layout]).unwrap().order.unwrap();
    let mut first = order.holes()[..2].to_vec();
    first.sort_unstable();
    assert_eq!(first, [1, 2]);
}

#[test]
fn a_bad_table_says_which_line() {
    let said = |table: &str| layout_of("x", table).unwrap_err();
    assert!(said("").contains("is empty"));
    assert!(said("1,2,3\n").contains("names no columns"));
    assert!(said("hole,x,y\n1,5,5\n").starts_with("line 2: `5` has no unit"));
    assert_eq!(said("hole,x mm,y mm\n1,0,0\n2,a,0\n"), "line 3: `a` is no length such as 12.5 mm");
    assert_eq!(said("hole,x mm,y mm\n0,0,0\n"), "line 2: `0` is no hole number from 1 to 400");
    assert!(said("hole,x mm,y mm\n1,0,0\n1,9,0\n").starts_with("hole 1 is there twice"));
    assert!(said("hole,x mm,y mm\n1,0,0\n3,9,0\n").starts_with("hole 2 is missing"));
    assert!(said("hole,x mm,y mm\n1,0,0\n2,0,0\n").contains("in the same place"));
    assert!(said("hole,x mm,y mm\n").starts_with("0 holes"));
    assert_eq!(listed_numbers("1, 2"), Some(vec![1, 2]));
}

fn spec(retorque: Option<&str>, cycles: Option<u32>) -> Snapshot {
    let mut setting = Setting::new(Method::Torque, Basis::Listed);
    setting.lube = Some("moly".to_owned());
    setting.torque = Some(torque("66 lb-ft"));
    setting.retorque = retorque.map(str::to_owned);
    setting.cycles = cycles;
    Snapshot {
        key: "marlow-6-head-stud-long/moly".to_owned(),
        generation: 12,
        part: "stud, long".to_owned(),
        thread: Some("7/16-20".to_owned()),
        count: Some(14),
        setting,
    }
}

fn pull(job: &str, when: &str) -> Pull {
    Pull::new(job, at(when), "Marlow 6", "head", spec(None, None))
}

#[test]
fn a_correction_points_at_the_old_line_and_leaves_it() {
    let mut log = Log::default();
    let mut first = pull("24-017", "2026-05-04T10:00:00Z");
    first.remarks = Some("bolt 3 felt soft".to_owned());
    assert_eq!(log.append(first).unwrap(), 1);
    let before = log.line(1).unwrap().clone();
    let mut second = pull("24-017", "2026-05-04T11:00:00Z");
    second.corrects = Some(1);
    second.remarks = Some("bolt 4 felt soft, not 3".to_owned());
    assert_eq!(log.append(second.clone()).unwrap(), 2);
    assert_eq!(log.line(1), Some(&before));
    assert_eq!(log.corrected_by(1), Some(2));
    let numbers = |pulls: Vec<&Pull>| pulls.iter().map(|pull| pull.number).collect::<Vec<_>>();
    assert_eq!(numbers(log.current().collect()), [2]);
    assert_eq!(numbers(log.history(2)), [2, 1]);
    assert_eq!(log.append(second.clone()), Err(LogError::Corrected { old: 1, by: 2 }));
    second.corrects = Some(9);
    assert_eq!(log.append(second.clone()), Err(LogError::NoSuchLine(9)));
    second.corrects = Some(2);
    second.joint = "rod".to_owned();
    assert_eq!(log.append(second), Err(LogError::OtherJoint(2)));
}

#[test]
fn a_line_needs_its_joint_and_each_fastener_once() {
    let mut log = Log::default();
    let refused = |log: &mut Log, change: fn(&mut Pull)| {
        let mut line = pull("24-017", "2026-05-04T10:00:00Z");
        change(&mut line);
        log.append(line).unwrap_err()
    };
    assert_eq!(refused(&mut log, |line| line.job = " ".to_owned()), LogError::Missing("job"));
    assert_eq!(refused(&mut log, |line| line.joint.clear()), LogError::Missing("joint"));
    let twice = |line: &mut Pull| {
        line.reached =
            ["3: 70 lb-ft", "3: 71 lb-ft"].map(|text| Reached::parse(text).unwrap()).to_vec();
    };
    assert_eq!(refused(&mut log, twice), LogError::Twice("3".to_owned()));
    let empty = |line: &mut Pull| {
        line.reached = vec![Reached { position: "3".to_owned(), ..Reached::default() }];
    };
    assert_eq!(refused(&mut log, empty), LogError::Empty("3".to_owned()));
    assert!(log.lines().is_empty());
}

#[test]
fn defaults_come_from_the_last_entry_but_never_results() {
    let mut last = pull("24-017", "2026-05-04T10:00:00Z");
    for (field, text) in [
        ("who", "AB"),
        ("wrench", "W2"),
        ("lube", "moly"),
        ("lot", "7/26"),
        ("order", "listed"),
        ("passes", "45 lb-ft done; 70 lb-ft done 71 lb-ft"),
        ("reached", "all: 70 lb-ft"),
        ("remarks", "hot day"),
    ] {
        LOG_LINES.set(&mut last, field, text).unwrap();
    }
    let next = pull("24-017", "2026-05-04T11:00:00Z").with_defaults(Some(&last));
    assert_eq!((next.who.as_deref(), next.lot.as_deref()), (Some("AB"), Some("7/26")));
    assert_eq!(next.wrench.as_ref().unwrap().name, "W2");
    assert_eq!(next.order.as_deref(), Some("listed"));
    assert_eq!((next.passes.len(), next.reached.len(), next.remarks), (0, 0, None));
    let mut oil = spec(None, None);
    oil.setting.lube = Some("oil".to_owned());
    let other = Pull::new("24-017", at("2026-05-04T11:00:00Z"), "Marlow 6", "rod", oil)
        .with_defaults(Some(&last));
    assert_eq!((other.lube, other.lot, other.order), (None, None, None));
}

#[test]
fn the_log_answers_what_a_shop_asks() {
    let mut log = Log::default();
    let mut add = |change: &dyn Fn(&mut Pull), when: &str| {
        let mut line = pull("24-017", when);
        change(&mut line);
        log.append(line).unwrap()
    };
    let used = |due: &str| {
        Some(WrenchUsed { name: "W2".to_owned(), calibrated: None, due: Some(day(due)) })
    };
    add(
        &|line| line.spec = spec(Some("after the first heat cycle, cold"), None),
        "2026-05-01T09:00:00Z",
    );
    add(&|line| line.wrench = used("2026-05-01"), "2026-05-02T09:00:00Z");
    add(
        &|line| {
            line.wrench = used("2026-12-31");
            line.lube = Some("Oil".to_owned());
            line.reached = ["1: 55 lb-ft", "2: 71 lb-ft", "3: 80 lb-ft"]
                .map(|text| Reached::parse(text).unwrap())
                .to_vec();
        },
        "2026-05-03T09:00:00Z",
    );
    let numbers = |pulls: Vec<&Pull>| pulls.iter().map(|pull| pull.number).collect::<Vec<_>>();
    assert_eq!(numbers(log.awaiting_retorque()), [1]);
    assert_eq!(log.by_wrench("w2").iter().map(|(pull, _)| pull.number).collect::<Vec<_>>(), [2, 3]);
    assert_eq!(log.last("24-017").unwrap().number, 3);
    // 66 lb-ft ± 10 % (Army appendices) is 59.4 to 72.6.
    let off: Vec<&str> =
        log.off_target(Some(0.1)).iter().map(|(_, reached)| reached.position.as_str()).collect();
    assert_eq!(off, ["1", "3"]);
    let flags = |number: u64| {
        let line = log.line(number).unwrap();
        (line.is_wrench_overdue(), is_other_lube(line, &Tables::default()))
    };
    assert_eq!((flags(2), flags(3)), ((true, false), (false, true)));
    let mut again = pull("24-017", "2026-05-05T09:00:00Z");
    again.kind = PullKind::Retorqued;
    log.append(again).unwrap();
    assert_eq!(numbers(log.awaiting_retorque()), Vec::<u64>::new());
}

fn set_of(new: Option<&str>) -> BoltSet {
    let bolt = |position: &str| Bolt {
        position: position.to_owned(),
        mark: None,
        new: new.map(|length| Stated::parse(length).unwrap()),
        earlier: 1,
    };
    BoltSet { name: "R12".to_owned(), bolts: vec![bolt("1"), bolt("2")], ..BoltSet::default() }
}

fn used(log: &mut Log, kind: PullKind, cycles: Option<u32>, reached: &[&str]) {
    let mut line =
        Pull::new("24-017", at("2026-05-04T10:00:00Z"), "Marlow 6", "rod", spec(None, cycles));
    line.kind = kind;
    line.set = Some("r12".to_owned());
    line.reached = reached.iter().map(|text| Reached::parse(text).unwrap()).collect();
    log.append(line).unwrap();
}

/// Trial assemblies and pull-and-release cycles count; checks do not.
#[test]
fn tightenings_are_counted_with_trial_assemblies() {
    let mut log = Log::default();
    used(&mut log, PullKind::Trial, None, &[]);
    used(&mut log, PullKind::Tightened, Some(2), &[]);
    used(&mut log, PullKind::Checked, None, &[]);
    used(&mut log, PullKind::Loosened, None, &[]);
    let states = |reuse| set_of(None).states(&log, reuse);
    assert_eq!(states(None)[0].tightenings, 1 + 1 + 3);
    assert_eq!(
        states(Some(Reuse::UpTo(5)))[0].verdict,
        BoltVerdict::Scrap("5 of 5 tightenings".into())
    );
    let unmeasured = BoltVerdict::CannotJudge("no free length on record".into());
    assert_eq!(states(Some(Reuse::UpTo(10)))[0].verdict, unmeasured);
    assert!(matches!(states(Some(Reuse::SingleUse))[1].verdict, BoltVerdict::Scrap(_)));
}

/// Growth past 0.001 in is scrap (common practice, no standard); without a
/// length when new nothing can be judged.
#[test]
fn growth_is_judged_against_the_length_when_new() {
    let mut log = Log::default();
    used(
        &mut log,
        PullKind::Tightened,
        None,
        &["1: before 2.0001 in, after 2.0005 in", "2: stretch 0.0057 in, after 2.0013 in"],
    );
    let verdicts = |new: Option<&str>, reuse| {
        let states = set_of(new).states(&log, reuse);
        states.into_iter().map(|state| state.verdict).collect::<Vec<_>>()
    };
    let judged = verdicts(Some("2.0000 in"), Some(Reuse::Reusable));
    assert_eq!(judged[0], BoltVerdict::Keep);
    assert_eq!(judged[1], BoltVerdict::Scrap("grown by 0.033 mm, over 0.001 in".into()));
    let unknown = BoltVerdict::CannotJudge("no free length when new on record".into());
    assert_eq!(verdicts(None, None), [unknown.clone(), unknown]);
    let limit = Some(Reuse::FreeLength(Stated::parse("2.001 in").unwrap()));
    assert_eq!(
        verdicts(None, limit)[1],
        BoltVerdict::Scrap("free length 2.0013 in, the limit is 2.001 in".into())
    );
    assert!(
        matches!(&verdicts(Some("2.0100 in"), None)[0], BoltVerdict::CannotJudge(why) if why.contains("shorter"))
    );
}

/// A line that was corrected no longer counts.
#[test]
fn a_corrected_line_does_not_count_as_a_tightening() {
    let mut log = Log::default();
    used(&mut log, PullKind::Tightened, None, &["1: after 2.0005 in"]);
    let mut wrong = log.line(1).unwrap().clone();
    wrong.corrects = Some(1);
    wrong.kind = PullKind::Checked;
    log.append(wrong).unwrap();
    assert_eq!(set_of(None).states(&log, None)[0].tightenings, 1);
}

#[test]
fn notations_of_the_bench_say_what_they_expect() {
    for text in ["45 lb-ft done", "45 lb-ft done 46 lb-ft", "+90° done", "70 lb-ft open"] {
        assert_eq!(PassDone::parse(text).unwrap().to_string(), text);
    }
    for text in [
        "3: 70 lb-ft",
        "all: 92°",
        "12: 70 lb-ft, 92°, stretch 0.0057 in, before 1.9986 in, after 1.9987 in",
    ] {
        assert_eq!(Reached::parse(text).unwrap().to_string(), text);
    }
    for text in ["45 lb-ft", "done", "45 lb-ft done 46"] {
        assert!(PassDone::parse(text).is_err(), "{text}");
    }
    for text in [
        "70 lb-ft",
        "3:",
        ": 70 lb-ft",
        "3: 70",
        "3: 70 lb-ft, 71 lb-ft",
        "3: 5 kN",
        "3: before 1 in, before 2 in",
    ] {
        assert!(Reached::parse(text).is_err(), "{text}");
    }
    let mut line = pull("24-017", "2026-05-04T10:00:00Z");
    let error = LOG_LINES.set(&mut line, "did", "painted").unwrap_err();
    assert_eq!(
        error.to_string(),
        "did: `painted` is none of tightened, trial assembly, retorqued, checked, loosened"
    );
}

proptest! {
    /// Whatever is appended and corrected, no line that is there changes, and
    /// each line is either current or stands corrected by a later one.
    #[test]
    fn the_log_only_grows(steps in prop::collection::vec((any::<bool>(), 0u64..12), 1..40)) {
        let mut log = Log::default();
        for (at_step, (is_correction, old)) in steps.into_iter().enumerate() {
            let before = log.lines().to_vec();
            let mut line = pull("24-017", "2026-05-04T10:00:00Z");
            line.remarks = Some(format!("step {at_step}"));
            line.corrects = is_correction.then_some(old);
            let _ = log.append(line);
            prop_assert!(log.lines().starts_with(&before));
            prop_assert!(log.lines().len() - before.len() <= 1);
        }
        for line in log.lines() {
            let is_current = log.current().any(|current| current.number == line.number);
            match log.corrected_by(line.number) {
                Some(by) => prop_assert!(by > line.number && !is_current),
                None => prop_assert!(is_current),
            }
        }
    }

    /// A bench notation reads back what it prints.
    #[test]
    fn what_was_reached_reads_back(
        position in "[a-z0-9]{1,6}", torque in prop::option::of(1u32..9000),
        angle in prop::option::of(1u32..360), lengths in prop::collection::vec(prop::option::of(1u32..99999), 3),
    ) {
        let length = |thou: Option<u32>| thou.map(|thou| {
            Stated::<Length>::parse(&format!("{}.{:04} in", thou / 10000, thou % 10000)).unwrap()
        });
        let reached = Reached {
            position,
            torque: torque.map(|tenths| Stated::parse(&format!("{}.{} N·m", tenths / 10, tenths % 10)).unwrap()),
            angle: angle.map(|degrees| Stated::parse(&format!("{degrees}°")).unwrap()),
            stretch: length(lengths[0]),
            before: length(lengths[1]),
            after: length(lengths[2]),
        };
        prop_assume!(torque.is_some() || angle.is_some() || lengths.iter().any(Option::is_some));
        prop_assert_eq!(Reached::parse(&reached.to_string()).unwrap(), reached);
    }

    /// A table of coordinates reads back what it was written from.
    #[test]
    fn a_layout_reads_back(places in prop::collection::hash_set((-5000i32..5000, -5000i32..5000), 1..60)) {
        let points = places.into_iter().map(|(x, y)| clampbook::procedure::Point {
            x: Length::from_mm(f64::from(x) / 8.0),
            y: Length::from_mm(f64::from(y) / 8.0),
        });
        let layout = Layout { name: "any".to_owned(), points: points.collect(), ..Layout::default() };
        let line = |(at, point): (usize, &clampbook::procedure::Point)| format!("{},{},{}", at + 1, point.x.mm(), point.y.mm());
        let lines: Vec<String> = layout.points.iter().enumerate().map(line).collect();
        let table = format!("hole,x mm,y mm\n{}", lines.join("\n"));
        prop_assert_eq!(layout_of("any", &table).unwrap(), layout);
    }
}
