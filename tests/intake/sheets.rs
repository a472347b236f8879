//! Sheets as shops, farms, fleets and plants keep them, each with what a
//! knowledgeable person reads from it, written down before it was imported.
//! Machines and figures are invented.

use crate::support::held::Accepted as _;
use clampbook::intake::{EmptyBook, Options, Report, read_any, take};
use clampbook::record::Fastener;

use crate::support::{field, tables_of_the_book, tightening};

pub(crate) fn read(name: &str, text: &str) -> Report {
    let options = Options::default();
    let sheet = read_any(text.as_bytes(), name, &options).expect("a readable file");
    take(&sheet, tables_of_the_book(), &options, &EmptyBook)
        .unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// machine | joint | thread | strength | lube | torque or angle
fn lines(fastener: &Fastener) -> Vec<String> {
    let each = fastener.settings.iter().map(|setting| {
        let snug = setting.snug.map(|snug| snug.to_string());
        let torque = setting.torque.map(|torque| torque.to_string()).or(snug);
        let angles = setting.angles.iter().map(|angle| format!(" +{angle}"));
        format!(
            "{} | {} | {} | {} | {} | {}{}",
            fastener.joint.assembly,
            fastener.joint.name,
            fastener.thread.as_ref().map_or_else(|| "-".to_owned(), ToString::to_string),
            fastener.strength.name.as_deref().unwrap_or("-"),
            setting.lube.as_deref().unwrap_or("-"),
            torque.unwrap_or_else(|| "-".to_owned()),
            angles.collect::<String>(),
        )
    });
    each.collect()
}

fn check(name: &str, text: &str, wanted: &[&str]) {
    let report = read(name, text);
    let bad: Vec<String> = report
        .bad_cells()
        .map(|cell| format!("{} {}", cell.place.address(), cell.reason))
        .collect();
    assert!(bad.is_empty(), "{name} asks: {bad:#?}");
    let mut read: Vec<String> = report.fasteners.iter().flat_map(lines).collect();
    let mut wanted: Vec<String> = wanted.iter().map(|line| (*line).to_owned()).collect();
    read.sort();
    wanted.sort();
    assert_eq!(read, wanted, "{name}");
}

/// What must be asked, each thing once: its code and the first cell.
fn asks(name: &str, text: &str, wanted: &[(&str, &str)]) {
    let report = read(name, text);
    let asked = report.questions();
    let asked: Vec<(&str, &str)> =
        asked.iter().map(|one| (one.code, one.cells[0].as_str())).collect();
    assert_eq!(asked, wanted, "{name}");
}

#[test]
fn a_shop_keeps_sections_with_their_own_headings() {
    check(
        "k2.csv",
        "Marnock K2 engine\n\nTOP END\nFastener,Thread,ft-lb,Lube\nHead nut,7/16-20,78,oil\n\nBOTTOM END\nFastener,Thread,ft-lb,Lube\nMain bolt,1/2-13,95,moly\nRod nut,3/8-24,45,moly\n",
        &[
            "Marnock K2 engine | TOP END | 7/16-20 | - | oil | 78 lb-ft",
            "Marnock K2 engine | BOTTOM END | 1/2-13 | - | moly | 95 lb-ft",
            "Marnock K2 engine | BOTTOM END | 3/8-24 | - | moly | 45 lb-ft",
        ],
    );
}

#[test]
fn a_farm_names_the_machine_above_its_rows() {
    check(
        "implements.csv",
        "Where,Bolt size,Torque (Nm),Count\nVostrup 75,,,\nRear wheel,M18x1.5,320,8\nPin plate,M16x2,195,4\nSkarnell mower,,,\nBlade bolt,M12x1.75,88,6\n",
        &[
            "Vostrup 75 | Rear wheel | M18x1.5 | - | - | 320 N·m",
            "Vostrup 75 | Pin plate | M16x2 | - | - | 195 N·m",
            "Skarnell mower | Blade bolt | M12x1.75 | - | - | 88 N·m",
        ],
    );
}

#[test]
fn a_fleet_writes_dry_and_lubed_beside_each_other() {
    check(
        "Lindrow L44.csv",
        "Position;Size;Grade;Torque dry (Nm);Torque lubed (Nm)\nSpring plate;M16x1.5;10.9;290;220\nCross member;M14x2;8.8;140;\n",
        &[
            "Lindrow L44 | Spring plate | M16x1.5 | 10.9 | dry | 290 N·m",
            "Lindrow L44 | Spring plate | M16x1.5 | 10.9 | oil | 220 N·m",
            "Lindrow L44 | Cross member | M14x2 | 8.8 | dry | 140 N·m",
        ],
    );
}

#[test]
fn a_plant_in_german_writes_units_in_a_second_row() {
    check(
        "liste.csv",
        "Anlage;Stelle;Gewinde;Güte;Anzugsmoment;Anzahl\n;;;;Nm;Stk\nPresse 4;Säule;M36x3;8.8;1250,5;4\nPresse 4;Deckel;M12;8.8;72;12\nSumme;;;;;16\n",
        &[
            "Presse 4 | Säule | M36x3 | 8.8 | - | 1250.5 N·m",
            "Presse 4 | Deckel | M12x1.75 | 8.8 | - | 72 N·m",
        ],
    );
}

#[test]
fn a_workshop_in_french_and_one_in_spanish_and_one_in_italian() {
    check(
        "atelier.csv",
        "Engin;Emplacement;Taille;Classe;Couple de serrage (N.m);Lubrification\nGrelby C2;Couvercle;M10;8.8;44;légèrement huilé\nGrelby C2;Bride;M16;10.9;270;à sec\n",
        &[
            "Grelby C2 | Couvercle | M10x1.5 | 8.8 | oil | 44 N·m",
            "Grelby C2 | Bride | M16x2 | 10.9 | dry | 270 N·m",
        ],
    );
    check(
        "taller.csv",
        "Máquina;Conjunto;Rosca;Clase;Par de apriete (Nm);Lubricante;Cantidad\nOmbrey 3;Culata;M12x1,5;10.9;98,5;aceite;10\nOmbrey 3;Tapa;M6;8.8;9;en seco;8\n",
        &[
            "Ombrey 3 | Culata | M12x1.5 | 10.9 | oil | 98.5 N·m",
            "Ombrey 3 | Tapa | M6x1 | 8.8 | dry | 9 N·m",
        ],
    );
    check(
        "officina.csv",
        "Veicolo;Gruppo;Filettatura;Classe;Coppia Nm;Lubrificazione;Note\nTarvik 310;Testata;M11x1.5;10.9;92;oliato;viti nuove\nTarvik 310;Coppa;M6x1;8.8;9,5;a secco;\n",
        &[
            "Tarvik 310 | Testata | M11x1.5 | 10.9 | oil | 92 N·m",
            "Tarvik 310 | Coppa | M6x1 | 8.8 | dry | 9.5 N·m",
        ],
    );
}

#[test]
fn a_chart_of_inch_sizes_by_grades_under_a_title_that_says_unc() {
    check(
        "chart.csv",
        "Wall chart - UNC bolts - lb-ft - oiled\nSize,Gr 5,Gr 8\n1/4,7,10\n3/8,26,37\n1/2,63,-\n",
        &[
            "Wall chart | any joint | 1/4-20 | SAE 5 | oil | 7 lb-ft",
            "Wall chart | any joint | 1/4-20 | SAE 8 | oil | 10 lb-ft",
            "Wall chart | any joint | 3/8-16 | SAE 5 | oil | 26 lb-ft",
            "Wall chart | any joint | 3/8-16 | SAE 8 | oil | 37 lb-ft",
            "Wall chart | any joint | 1/2-13 | SAE 5 | oil | 63 lb-ft",
        ],
    );
}

#[test]
fn sizes_may_head_the_columns_and_grades_the_rows() {
    check(
        "house.csv",
        "House figures, dry, Nm\nClass,M6,M8,M10\n8.8,9,22,44\n10.9,13,32,65\n",
        &[
            "House figures | any joint | M6x1 | 8.8 | dry | 9 N·m",
            "House figures | any joint | M8x1.25 | 8.8 | dry | 22 N·m",
            "House figures | any joint | M10x1.5 | 8.8 | dry | 44 N·m",
            "House figures | any joint | M6x1 | 10.9 | dry | 13 N·m",
            "House figures | any joint | M8x1.25 | 10.9 | dry | 32 N·m",
            "House figures | any joint | M10x1.5 | 10.9 | dry | 65 N·m",
        ],
    );
}

#[test]
fn steps_angles_and_both_ends_of_a_range_have_columns() {
    check(
        "Wexcombe 90.csv",
        "Joint,Size,1st (Nm),2nd (Nm),Angle\nHead,M10x1.5,20,40,90\nCover,M8,10,22,\n",
        &[
            "Wexcombe 90 | Head | M10x1.5 | - | - | 40 N·m +90°",
            "Wexcombe 90 | Cover | M8x1.25 | - | - | 22 N·m",
        ],
    );
    // The last step of all may be a turn.
    check(
        "Tolk 7.csv",
        "Joint,Size,1st (Nm),2nd,Final\nHead,M10x1.25,35,60°,90°\nCap,M8,20,35,+60°\n",
        &[
            "Tolk 7 | Head | M10x1.25 | - | - | 35 N·m +60° +90°",
            "Tolk 7 | Cap | M8x1.25 | - | - | 35 N·m +60°",
        ],
    );
    check(
        "ranges.csv",
        "Machine,Joint,Thread,Min Nm,Max Nm\nZed 4,Lid,M8x1.25,20,24\nZed 4,Base,M10x1.5,,45\n",
        &[
            "Zed 4 | Lid | M8x1.25 | - | - | 20..24 N·m",
            "Zed 4 | Base | M10x1.5 | - | - | max 45 N·m",
        ],
    );
}

#[test]
fn one_torque_in_two_units_is_held_against_itself() {
    check(
        "two.csv",
        "Machine,Joint,Thread,Nm,ft-lb\nZed 4,Lid,M8x1.25,24,18\nZed 4,Base,M10x1.5,,35\n",
        &["Zed 4 | Lid | M8x1.25 | - | - | 24 N·m", "Zed 4 | Base | M10x1.5 | - | - | 35 lb-ft"],
    );
    let wrong = read("two.csv", "Machine,Joint,Thread,Nm,ft-lb\nZed 4,Lid,M8x1.25,24,24\n");
    let codes: Vec<&str> = wrong.bad_cells().map(|cell| cell.code).collect();
    assert_eq!(codes, ["units-disagree"]);
}

#[test]
fn a_unit_column_and_what_cells_say_go_before_the_file() {
    let text = "Machine,Joint,Thread,Torque,Unit\nZed 4,Lid,M8x1.25,24,Nm\nZed 4,Base,M10x1.5,35,ft-lb\nZed 4,Cap,M6x1,84 in-lb,\n";
    let mut options =
        Options { torque_unit: clampbook::quantity::find_unit("N·m"), ..Options::default() };
    options.source.title = Some("shop".into());
    let sheet = read_any(text.as_bytes(), "zed.csv", &options).unwrap();
    let report = take(&sheet, tables_of_the_book(), &options, &EmptyBook).unwrap();
    let mut all: Vec<String> = report.accepted().expect("sound").iter().flat_map(lines).collect();
    all.sort();
    assert_eq!(
        all,
        [
            "Zed 4 | Base | M10x1.5 | - | - | 35 lb-ft",
            "Zed 4 | Cap | M6x1 | - | - | 84 lb-in",
            "Zed 4 | Lid | M8x1.25 | - | - | 24 N·m"
        ]
    );
}

#[test]
fn the_same_stud_under_two_titles_is_two() {
    let report = read(
        "Brollen Six.csv",
        "Part,Thread,Torque lb-ft\nCYLINDER HEAD,,\nstud nut,1/2-20,80\nMAIN CAPS,,\nstud nut,1/2-20,95\n",
    );
    let all: Vec<String> = report.accepted().expect("sound").iter().flat_map(lines).collect();
    assert_eq!(
        all,
        [
            "Brollen Six | CYLINDER HEAD | 1/2-20 | - | - | 80 lb-ft",
            "Brollen Six | MAIN CAPS | 1/2-20 | - | - | 95 lb-ft"
        ]
    );
}

#[test]
fn what_may_mean_two_things_is_asked_once() {
    asks(
        "asked.csv",
        "Machine,Joint,Thread,Torque\nZed 4,Lid,M8x1.25,24\nZed 4,Base,M10x1.5,35\nZed 4,Cap,M10 fine,40\nZed 4,Rim,M10 fine,41\n",
        &[("no-unit", "24"), ("pitch", "M10 fine")],
    );
    asks(
        "angle.csv",
        "Machine,Joint,Thread,Torque Nm,Angle\nZed 4,Lid,M8x1.25,24,90/120\nZed 4,Rim,M8x1.25,45 then 90,\nZed 4,Cap,M8x1.25,44167,\n",
        &[
            ("several-figures", "90/120"),
            ("added-figure", "45 then 90"),
            ("turned-into-date", "44167"),
        ],
    );
    asks(
        "above.csv",
        "Machine,Joint,Thread,Torque Nm,Passes\nZed 4,Lid,M8x1.25,24,\"10, 30\"\nZed 4,Cap,M8x1.25,9,4\nZed 4,Rim,M8x1.25,24,as received\n",
        &[
            ("pass-above-torque", "10, 30"),
            ("how-many-passes", "4"),
            ("not-a-figure", "as received"),
        ],
    );
    asks(
        "received.csv",
        "Machine,Joint,Thread,Torque Nm,Lube\nZed 4,Lid,M8x1.25,24,as received\n",
        &[("unnamed-lube", "as received")],
    );
}

#[test]
fn passes_are_counts_shares_or_figures() {
    let report = read(
        "passes.csv",
        "Machine,Joint,Thread,Torque lb-ft,Passes\nZed 4,A,M12x1.75,65,3 steps\nZed 4,B,M12x1.75,65,\"1/3, 2/3, 1\"\nZed 4,C,M12x1.75,65 in 3,\nZed 4,D,M12x1.75,65,20-40-65\n",
    );
    let all = report.accepted().unwrap_or_else(|| panic!("{:#?}", report.verdicts));
    let passes = |at: usize| {
        let words: Vec<String> =
            all[at].settings[0].passes.iter().map(ToString::to_string).collect();
        words.join(", ")
    };
    for at in [0, 1, 2] {
        assert_eq!(passes(at), "33.3%, 66.7%, 100%", "{at}");
        assert!(lines(&all[at])[0].ends_with("65 lb-ft"));
    }
    assert_eq!(passes(3), "20 lb-ft, 40 lb-ft, 65 lb-ft");
}

#[test]
fn words_of_a_cell_that_is_answered_with_nothing_are_kept() {
    let text = "Machine,Joint,Thread,Torque Nm\nZed 4,Lid,M10 fine,24\n";
    let mut options = Options::default();
    options.answers.say("Thread", "M10 fine", "");
    let sheet = read_any(text.as_bytes(), "zed.csv", &options).unwrap();
    let report = take(&sheet, tables_of_the_book(), &options, &EmptyBook).unwrap();
    let all = report.accepted().expect("sound");
    assert_eq!(all[0].notes.as_deref(), Some("Thread: M10 fine"));
}

#[test]
fn a_note_below_reaches_the_rows_that_point_at_it() {
    let report = read(
        "rake.csv",
        "Implement,Bolt,Size,Torque (ft lb),Note\nRake,Tine bar,3/8-16,31*,1\nRake,Hub,1/2-20,see note 2,\n\nNotes:\n1 recheck after first day\n2) tighten until the play is gone\n* with new washers\n",
    );
    let all = report.accepted().unwrap_or_else(|| panic!("{:#?}", report.verdicts));
    let notes: Vec<&str> = all.iter().map(|one| one.notes.as_deref().unwrap_or("")).collect();
    assert!(
        notes[0].contains("recheck after first day") && notes[0].contains("new washers"),
        "{notes:?}"
    );
    assert!(notes[1].contains("see note 2") && notes[1].contains("play is gone"), "{notes:?}");
    assert_eq!(all[1].settings[0].torque, None);
}

#[test]
fn marks_of_names_and_figures_leave_them_and_reach_the_notes_below() {
    let report = read(
        "winch.csv",
        "Machine,Joint,Part,Size,Lube,Torque (ft lb)\nWinch 2,Drum (b),bolt *,1/2-13,,64*\nWinch 2,Brake,nut (a),3/8-16,oil (b),24-28**\nWinch 2,Frame,bolt (left),5/8-11,,118 **\nWinch 2,Hook,bolt,7/16-14,,40 (a)\n,,,,,\n* look at it after a week,,,,,\n** put a new bolt in with every rope,,,,,\n(a) never fit these again once off,,,,,\n(b) spacer before the drum,,,,,\n",
    );
    let all = report.accepted().unwrap_or_else(|| panic!("{:#?}", report.verdicts));
    let names: Vec<_> = all.iter().map(|one| (&*one.joint.name, &*one.part)).collect();
    assert_eq!(
        names,
        [("Drum", "bolt"), ("Brake", "nut"), ("Frame", "bolt (left)"), ("Hook", "bolt")]
    );
    let notes: Vec<&str> = all.iter().map(|one| one.notes.as_deref().unwrap_or("")).collect();
    let (week, rope, once, spacer) = ("after a week", "every rope", "once off", "spacer before");
    let wanted = [vec![week, spacer], vec![rope, once, spacer], vec![rope], vec![once]];
    for (notes, wanted) in notes.iter().zip(wanted) {
        let found = [week, rope, once, spacer].into_iter().filter(|text| notes.contains(text));
        assert_eq!(found.collect::<Vec<_>>(), wanted, "{notes}");
    }
    let reuse: Vec<_> = (0..4).map(|at| field(&all[at], 0, "reuse")).collect();
    assert_eq!(reuse, ["", "single-use", "single-use", "single-use"]);
    assert_eq!(tightening(&all[1]), "torque | lube oil | torque 24..28 lb-ft // single-use");
    assert_eq!(tightening(&all[2]), "torque | torque 118 lb-ft // single-use");
    assert_eq!(report.reasons.get("footnote"), None, "each mark has its note");
}

#[test]
fn only_words_of_a_new_fastener_each_time_say_single_use() {
    let reuse_of = |part: &str, note: &str| {
        let row = format!("Winch 2,Frame,{part},5/8-11,118,{note}\n");
        let text = format!("Machine,Joint,Part,Size,Torque (ft lb),Notes\n{row}");
        let report = read("winch.csv", &text);
        let all = report.accepted().unwrap_or_else(|| panic!("{:#?}", report.verdicts));
        field(&all[0], 0, "reuse")
    };
    let reuse = |note: &str| reuse_of("bolt", note);
    for note in ["fit a new bolt at each service", "do not use again", "not to be used twice"] {
        assert_eq!(reuse(note), "single-use", "{note}");
    }
    let nut = "fit a new nut at each service";
    assert_eq!([reuse_of("nut", nut), reuse(nut)], ["single-use", ""], "the bolt in it stays");
    for note in ["new gasket every time", "use again if straight", "fit a new bolt if worn"] {
        assert_eq!(reuse(note), "", "{note}");
    }
}

#[test]
fn torques_for_bolts_as_received_are_asked_for_their_lube_once() {
    let text = "Machine,Joint,Thread,Torque as received (Nm)\nZed 4,Lid,M8x1.25,24\nZed 4,Rim,M10x1.5,48\n";
    let report = read("received.csv", text);
    let questions = report.questions();
    let [question] = questions.as_slice() else { panic!("{questions:#?}") };
    assert_eq!((question.code, question.count), ("which-lube", 2));
    assert!(question.readings.iter().any(|one| one == "oil"));
    let line = question.in_mapping("oil");
    assert_eq!(line, "[columns] \"Torque as received (Nm)\" = \"torque oil (N·m)\"");
    let mut options = Options::default();
    assert!(!question.answer("butter", &mut options) && question.answer("oil", &mut options));
    let sheet = read_any(text.as_bytes(), "received.csv", &options).unwrap();
    let report = take(&sheet, tables_of_the_book(), &options, &EmptyBook).unwrap();
    assert!(report.is_sound());
    let lubes = report.fasteners.iter().map(|one| one.settings[0].lube.as_deref());
    assert!(lubes.into_iter().all(|lube| lube == Some("oil")));
}

/// Day and month by what the column shows, by points, by the decimal comma; else the
/// words are kept. The column is the source's, and `Sheet` beside `Page` is a note.
#[test]
fn a_date_beside_a_source_is_that_of_the_source() {
    let dated = |name: &str, text: &str| -> Vec<(Option<String>, String)> {
        let report = read(name, text);
        assert!(report.is_sound(), "{name}: {:#?}", report.questions());
        let each = report.fasteners.iter().map(|one| {
            let date = one.settings[0].source.date.map(|date| date.to_string());
            (date, one.notes.clone().unwrap_or_default())
        });
        each.collect()
    };
    let head = "Machine,Joint,Thread,Torque Nm,Source,Page,Sheet,Date\n";
    let row = |joint: &str, date: &str| format!("Zed 4,{joint},M8x1.25,24,Shop book,4,7,{date}\n");
    let rows = [("Lid", "12.03.2019"), ("Rim", "2016"), ("Cap", "2021-04"), ("Base", "04/05/2021")];
    let text: String = rows.iter().map(|(joint, date)| row(joint, date)).collect();
    let read = dated("dates.csv", &format!("{head}{text}"));
    assert_eq!(read[0].0.as_deref(), Some("2019-03-12"));
    assert!(read.iter().all(|(_, notes)| notes.contains("Sheet: 7")), "{read:?}");
    for (at, words) in [(1, "2016"), (2, "2021-04"), (3, "04/05/2021")] {
        assert!(read[at].0.is_none() && read[at].1.contains(words), "{:?}", read[at]);
    }
    let shown = format!("{head}{}{}", row("Lid", "04/05/2021"), row("Rim", "25/05/2021"));
    assert_eq!(dated("shown.csv", &shown)[0].0.as_deref(), Some("2021-05-04"));
    let shown = format!("{head}{}{}", row("Lid", "04/05/2021"), row("Rim", "05/25/2021"));
    assert_eq!(dated("shown.csv", &shown)[0].0.as_deref(), Some("2021-04-05"));
    let comma = "Maschine;Stelle;Gewinde;Moment Nm;Datum\nZed 4;Deckel;M8;24,5;04/05/2021\n";
    assert_eq!(dated("komma.csv", comma)[0].0.as_deref(), Some("2021-05-04"));
}

#[test]
fn words_of_a_row_say_kind_hand_and_class() {
    let text = "Machine,Joint,Part,Thread,Torque Nm,Notes\n\
        Zed 4,Lid,head bolt,M8x1.25-6g,24,\n\
        Zed 4,Rim,Radmutter,M12x1.5,90,Linksgewinde\n\
        Zed 4,Sump,Ablassschraube,M14x1.5,35,\n\
        Zed 4,Hub,stud nut,M10x1.25,40,\n\
        Zed 4,Base,vis de base,M6,9,\n\
        Zed 4,Foot,bolt and nut,M6,9,\n";
    let report = read("words.csv", text);
    let kinds: Vec<String> = report
        .fasteners
        .iter()
        .map(|one| one.kind.map_or_else(|| "-".to_owned(), |kind| kind.to_string()))
        .collect();
    assert_eq!(kinds, ["bolt", "nut", "plug", "nut", "-", "-"]);
    let first = &report.fasteners[0];
    assert_eq!(first.thread.as_ref().unwrap().to_string(), "M8x1.25");
    assert!(first.notes.as_deref().unwrap().contains("class 6g"), "{:?}", first.notes);
    let hands = report.fasteners.iter().map(|one| one.thread.as_ref().unwrap().is_left_hand());
    assert_eq!(hands.filter(|left| *left).count(), 1);
    assert!(report.fasteners[1].thread.as_ref().unwrap().is_left_hand());
}

#[test]
fn threads_are_threads_under_whatever_heading() {
    for heading in ["Fastener", "Bolt", "Size", "Dia", "Bolt size", "Item"] {
        let text = format!(
            "Machine,Joint,{heading},Grade,Torque Nm\nZed 4,Lid,M8x1.25,8.8,24\nZed 4,Rim,M12x1.5,10.9,110\n"
        );
        check(
            "sizes.csv",
            &text,
            &[
                "Zed 4 | Lid | M8x1.25 | 8.8 | - | 24 N·m",
                "Zed 4 | Rim | M12x1.5 | 10.9 | - | 110 N·m",
            ],
        );
    }
}

/// A row may end early or with blanks; one that goes on is named, not shifted. A unit in
/// the line of totals is no unit row and no entry.
#[test]
fn ragged_rows_and_a_stray_unit_in_a_total_are_no_fault() {
    let text = "Machine,Joint,Thread,Torque Nm,Lube\nZed 4,Lid,M8x1.25,24\nZed 4,Rim,M10x1.5,44,dry,,,\nTotal,,,Nm,\n";
    check(
        "ragged.csv",
        text,
        &["Zed 4 | Lid | M8x1.25 | - | - | 24 N·m", "Zed 4 | Rim | M10x1.5 | - | dry | 44 N·m"],
    );
    asks("beyond.csv", &text.replace("dry,,,", "dry,,x"), &[("too-many-cells", "x")]);
}

#[test]
fn item_numbers_are_no_counts_and_bolts_under_their_name_are() {
    let counts = |name: &str, text: &str| -> Vec<Option<u32>> {
        read(name, text).fasteners.iter().map(|one| one.count).collect()
    };
    let rows = |head: &str, numbers: [u32; 3]| {
        let mut text = format!("Machine,{head},Joint,Thread,Torque Nm\n");
        for (joint, number) in ["Lid", "Rim", "Cap"].iter().zip(numbers) {
            text.push_str(&format!("Zed 4,{number},{joint},M8x1.25,24\n"));
        }
        text
    };
    for (head, numbers) in [("Item no", [101, 102, 103]), ("Pos", [10, 20, 30]), ("No", [1, 2, 3])]
    {
        assert_eq!(counts(head, &rows(head, numbers)), [None; 3], "{head}");
    }
    for head in ["No", "Bolts", "Bolts per head", "No of studs"] {
        let wanted = [Some(14), Some(8), Some(8)];
        assert_eq!(counts(head, &rows(head, [14, 8, 8])), wanted, "{head}");
    }
}

#[test]
fn a_word_of_an_unknown_heading_names_its_field_and_no_other() {
    check(
        "shop.csv",
        "Engine family,Valve position,Stud size,SAE grade,Torque ft-lb\nZed 4,suction,5/8-18,8,180\nZed 6,outlet,1/2-13,5,75\n",
        &[
            "Zed 4 | suction | 5/8-18 | SAE 8 | - | 180 lb-ft",
            "Zed 6 | outlet | 1/2-13 | SAE 5 | - | 75 lb-ft",
        ],
    );
    let text = "Machine operator,Storage location,Part,Thread,Torque Nm\nA. Smith,bin four,lid bolt,M8x1.25,24\nB. Jones,bin two,rim bolt,M10x1.5,44\n";
    let report = read("Zed 4.csv", text);
    for fastener in &report.fasteners {
        assert_eq!(fastener.joint.assembly, "Zed 4");
        assert!(!fastener.joint.name.contains("bin"), "{}", fastener.joint.name);
        assert!(fastener.notes.as_deref().unwrap_or_default().contains("bin "));
    }
}

/// Passes that end in an angle set the fastener by torque then angle, whatever counts them.
#[test]
fn passes_that_end_in_an_angle_are_torque_then_angle() {
    let text = "Machine;Joint;Thread;Grade;Torque;Passes;Lube\n\
        Zed 4;Lid;M12x1.75;10.9;60 Nm;1st 20 2nd 40 3rd 60 4th 90 deg;oil\n\
        Zed 4;Rim;M10x1.5;10.9;60 Nm;20 Nm, 40 Nm, 60 Nm, 90°;oil\n\
        Zed 4;Cap;M8x1.25;10.9;;10 Nm, 20 Nm, +60° +60°;oil\n\
        Zed 4;Foot;M10x1.5;8.8;40 Nm;1ère 10 2ème 25 3ème 40;dry\n";
    check(
        "turned.csv",
        text,
        &[
            "Zed 4 | Lid | M12x1.75 | 10.9 | oil | 60 N·m +90°",
            "Zed 4 | Rim | M10x1.5 | 10.9 | oil | 60 N·m +90°",
            "Zed 4 | Cap | M8x1.25 | 10.9 | oil | 20 N·m +60° +60°",
            "Zed 4 | Foot | M10x1.5 | 8.8 | dry | 40 N·m",
        ],
    );
    let fasteners = read("turned.csv", text).fasteners;
    let methods = fasteners.iter().map(|one| one.settings[0].method.to_string());
    let turned = methods.filter(|method| method == "torque then angle");
    assert_eq!(turned.count(), 3);
}

/// A comma in the threads alone says how the file writes decimals: `1.100` is asked for.
#[test]
fn decimals_of_the_threads_count_for_the_torques() {
    let text = "Machine;Joint;Thread;Grade;Torque;Lube\n\
        Zed 4;Lid;M14x1,5;8.8;1.100 Nm;oil\n\
        Zed 4;Rim;M12x1,75;8.8;60 Nm;oil\n";
    for (name, text) in [("semi.csv", text.to_owned()), ("tab.tsv", text.replace(';', "\t"))] {
        asks(name, &text, &[("decimal-mark", "1.100 Nm")]);
    }
}

/// Decimals after commas and after points in one column: `2.100` may be either too.
#[test]
fn thousands_among_decimals_of_both_marks_are_asked_for() {
    let text = "Machine;Joint;Thread;Torque Nm\nZed 4;Lid;M8;22,5\nZed 4;Rim;M10;44.5\nZed 4;Foot;M36;2.100\n";
    asks("both.csv", text, &[("decimal-mark", "22,5"), ("decimal-mark", "2.100")]);
}

/// With a column of joints a second line above the headings names none, and one that holds
/// for some of the rows alone is kept.
#[test]
fn a_second_line_above_the_headings_is_kept_and_names_nothing() {
    for second in ["updated spring 26", "all dry unless noted"] {
        for (joint, part) in [("Joint", "Part"), ("Joint", "Bolt"), ("Location", "Description")] {
            let text = format!(
                "Hobb 3 post driver\n{second}\n{joint},{part},Size,ft lbs,Lube\n\
                mast,foot,M16x2,150,oil\ngearbox,cover,M8x1.25,18,oil\n"
            );
            let report = read("driver.csv", &text);
            let read: Vec<String> = report.fasteners.iter().flat_map(lines).collect();
            let wanted = [
                "Hobb 3 post driver | mast | M16x2 | - | oil | 150 lb-ft",
                "Hobb 3 post driver | gearbox | M8x1.25 | - | oil | 18 lb-ft",
            ];
            assert_eq!(read, wanted, "{second}, {joint}, {part}");
            let notes = report.fasteners[0].notes.as_deref().unwrap_or_default();
            assert!(notes.contains(second), "{second}: {notes}");
        }
    }
}

#[test]
fn a_row_that_gives_a_setting_again_is_counted() {
    let report = read(
        "pump 7.csv",
        "Joint,Thread,Torque Nm,Qty\nCasing,M16x2,190,16\nCap,M12x1.75,70,8\nCasing,M16x2,190,16\nCap,M12x1.75,70,8\n",
    );
    let again = report.conclusions.iter().find(|one| one.text.starts_with("a row gives again"));
    assert_eq!(again.map(|one| one.count), Some(2), "{:#?}", report.conclusions);
    assert_eq!(report.fasteners.len(), 2);
}
