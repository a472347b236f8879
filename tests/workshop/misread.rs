//! What a fitter at the bench read otherwise than it was meant: each said so that it
//! cannot be.

use crate::commands::in_shop;
use crate::log::Shop;
use crate::program::{clampbook, text};

/// What `arguments` print on the demo's own book at 80 columns, runs of blanks as one.
/// What is printed of the demo at 80 columns, its lines run together.
fn demo(arguments: &[&str]) -> String {
    page(arguments).split_whitespace().collect::<Vec<_>>().join(" ")
}

fn page(arguments: &[&str]) -> String {
    let home = tempfile::tempdir().unwrap();
    let mut command = clampbook(home.path());
    let (out, err, _) =
        text(&command.env("COLUMNS", "80").arg("--demo").args(arguments).output().unwrap());
    out + &err
}

fn has(text: &str, words: &[&str]) {
    for words in words {
        assert!(text.contains(words), "`{words}` in {text}");
    }
}

fn lacks(text: &str, words: &[&str]) {
    for words in words {
        assert!(!text.contains(words), "`{words}` in {text}");
    }
}

/// Lent out, found out and never calibrated again: neither word hides the other.
#[test]
fn a_wrench_both_overdue_and_found_out_says_both() {
    for arguments in [
        &["list", "wrenches"][..],
        &["passes", "bolster oil", "--wrench", "W3"],
        &["sheet", "bolster oil", "--wrench", "W3", "-o", "-"],
        &["sheet", "bolster oil", "--wrench", "W3", "--pocket", "-o", "-"],
        &["check"],
        &["find", "bolster", "on", "W3"],
    ] {
        let text = demo(arguments).to_lowercase();
        has(&text, &["overdue", "2024-03-14", "found out", "2023-03-14"]);
    }
}

/// What was tightened after a calibration found the wrench out is in doubt too, and the
/// help says so.
#[test]
fn work_after_a_wrench_was_found_out_is_in_doubt() {
    let shop = Shop::new();
    shop.does(&["edit", "wrench", "W3", "calibrated=2026-05-02", "found=out"]);
    shop.does(&["log", "add", "head stud moly", "--done", "--yes", "wrench=W3"]);
    let rows = shop.rows(&["log", "wrench", "W3"]);
    assert_eq!(rows.len(), 1, "{rows:?}");
    assert_eq!((&rows[0]["line"], &rows[0]["found_out"]), (&1.into(), &"2026-05-02".into()));
    shop.does(&["edit", "wrench", "W3", "calibrated=2026-06-02", "found=good"]);
    assert_eq!(shop.rows(&["log", "wrench", "W3"])[0]["found_out"], "2026-05-02", "still");
    has(&shop.says(&["log", "wrench", "--help"]).0, &["what it tightens from then on, until one"]);
}

/// A compound that locks the thread is not put under the head, nor oil where nothing goes.
#[test]
fn only_what_goes_on_both_faces_is_said_of_both() {
    let both = "lube on threads AND turned face";
    let brake = demo(&["find", "brake"]);
    lacks(&brake, &[both]);
    has(&brake, &["on the threads; under the head not stated"]);
    has(&demo(&["sheet", "brake", "-o", "-"]), &["threadlocker: on the threads; under the head"]);
    let cap = demo(&["find", "shaft bearing"]);
    has(
        &cap,
        &["AND turned face unless it says otherwise", "dry: nothing on the threads or under"],
    );
    let foot = demo(&["find", "coupling half"]);
    has(&foot, &[both]);
    lacks(&foot, &["unless it says otherwise"]);
}

/// 55 N·m stands on the sheet; 61 is that with the prevailing torque.
#[test]
fn a_sum_is_not_called_listed() {
    for arguments in [
        &["find", "steering nut"][..],
        &["lubes", "steering nut"],
        &["passes", "steering nut"],
        &["sheet", "steering nut", "-o", "-"],
        &["sheet", "steering nut", "--pocket", "-o", "-"],
    ] {
        has(&demo(arguments), &["LISTED 55 N·m + 6 N·m"]);
    }
}

/// Where stretch governs it stands before the torques for want of a gauge.
#[test]
fn a_stretch_goes_before_torques() {
    let text = demo(&["lubes", "rod bolt cap"]);
    let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("{words} in {text}"));
    assert!(at("moly 0.0055–0.0060 in") < at("oil 80 lb-ft"), "{text}");
}

/// What the sheet says stands first, with its passes and lengths, whatever else is in the
/// answer; the shop that wants its own units sets them.
#[test]
fn no_listed_figure_is_replaced_by_its_conversion() {
    for question in ["flywheel", "flywheel crank"] {
        let text = demo(&["find", question]);
        has(&text, &["65 lb-ft 88.1 N·m", "in passes 15, 35, 65 lb-ft", "1.00 in long"]);
    }
    has(&demo(&["find", "flywheel"]), &["60 N·m 44.3 lb-ft"]);
    has(&demo(&["--units", "metric", "find", "flywheel"]), &["in passes 20.3, 47.5, 88.1 N·m"]);
}

/// An order belongs to the holes that it counts: one plug of a cover has none, six bolts
/// beside eight not that of the eight.
#[test]
fn an_order_is_not_that_of_other_bolts() {
    let order = "1-7-4-10-2-8-5-11-3-9-6-12";
    has(&demo(&["find", "joint casing"]), &[order]);
    lacks(&demo(&["find", "plug casing"]), &[order]);
    lacks(&demo(&["find", "pinion"]), &["order:"]);
    for question in ["plug casing", "pinion"] {
        lacks(&demo(&["sheet", question, "-o", "-"]), &["<svg", "Holes in turn"]);
    }
    let flywheel = demo(&["find", "flywheel"]);
    has(&flywheel, &["bolt, crank: order: 1-5-3-7-2-6-4-8"]);
    has(&flywheel, &["bolt, flexplate: order: the listed one is of 8 holes, not of these 6"]);
    // Two of twenty: which holes they are, and that others come before.
    has(&demo(&["find", "head bolt front"]), &["holes 19 and 20", "after group"]);
}

/// Nothing to do is no duty to tick, nor does it contradict the gasket's words.
#[test]
fn no_retorque_is_what_the_sheet_says() {
    let text = demo(&["find", "head bolt front"]);
    has(&text, &["no retorque, says its sheet"]);
    let sheet = demo(&["sheet", "head bolt front", "-o", "-"]);
    lacks(&sheet, &["<span class=\"tick\"></span><span>No retorque"]);
}

/// What is thrown away is bought new, and how many; words that say so are taken at them.
#[test]
fn single_use_says_what_to_fit() {
    for command in ["find", "lubes", "passes"] {
        has(&demo(&[command, "head bolt front"]), &["DISCARD AFTER REMOVAL. FIT 2 NEW."]);
    }
    let beater = demo(&["passes", "beater"]);
    has(&beater, &["NEW: its words say `new bolt`", "only the source's own passes"]);
    lacks(&beater, &["GENERATED"]);
    let shop = Shop::new();
    let (said, _) = shop.says(&["log", "add", "head bolt front", "--done", "--yes"]);
    has(&said, &["FIT 2 NEW"]);
}

/// At 80 columns a wrench that is in order takes a line, the loud words of a reading stand
/// together.
#[test]
fn lists_are_read_line_by_line() {
    let wrenches = page(&["list", "wrenches"]);
    let begins: Vec<&str> = wrenches.lines().filter_map(|line| line.get(..2)).collect();
    assert_eq!(begins[1..4], ["W1", "W2", "W3"], "{wrenches}");
    has(&wrenches, &["W1, W2, W4: from 20 % of full scale, ISO 6789:2003"]);
    let log = page(&["log", "show"]);
    has(&log, &["OFF TARGET:"]);
    assert!([&wrenches, &log].iter().all(|page| page.lines().all(|l| l.chars().count() <= 80)));
}

/// A reading that is off stays marked; one that is put right is no longer looked for.
#[test]
fn a_bad_reading_is_marked_until_it_is_put_right() {
    let shop = Shop::new();
    shop.does(&["log", "start", "24-017"]);
    let joint = ["log", "add", "head stud moly", "--yes"];
    shop.does(&[&joint[..], &["reached=1: 66 lb-ft; 3: 40 lb-ft"]].concat());
    has(&shop.says(&["log", "show"]).0, &["OFF TARGET:"]);
    has(&shop.says(&["log", "show", "1"]).0, &["3: 40 lb-ft, OFF TARGET: 3"]);
    has(&shop.says(&["log", "off-target"]).0, &["40 lb-ft"]);
    let check = shop.says(&["check"]).0.split_whitespace().collect::<Vec<_>>().join(" ");
    has(&check, &["off-target", "40 lb-ft was reached"]);
    // Another hole is another matter.
    let again = |reading: &str| shop.does(&[&joint[..], &["did=retorqued", reading]].concat());
    again("reached=1: 66 lb-ft");
    has(&shop.says(&["log", "off-target"]).0, &["40 lb-ft"]);
    again("reached=3: 66 lb-ft");
    lacks(&shop.says(&["log", "off-target"]).0, &["40 lb-ft"]);
    lacks(&shop.says(&["check"]).0, &["off-target"]);
    has(&shop.says(&["log", "show", "1"]).0, &["OFF TARGET: 3"]);
    has(&demo(&["check"]), &["stretch 0.0064 in"]);
}

/// The lube is the setting's whatever was put on last; a wrench goes along within one
/// joint of one job alone, and the answer says so.
#[test]
fn what_is_carried_over_is_said() {
    let shop = Shop::new();
    shop.does(&["log", "start", "24-017"]);
    let add = ["log", "add", "head stud moly", "--done", "--yes"];
    shop.does(&[&add[..], &["wrench=W3", "lube=grease", "lot=tin 9"]].concat());
    let (said, _) = shop.says(&add);
    has(&said, &["from the last entry: wrench W3"]);
    let last = |key: &str| shop.rows(&["log", "show"]).pop().unwrap()[key].clone();
    assert_eq!((last("lube"), last("wrench")), ("moly".into(), "W3".into()));
    assert!(last("lot").is_null(), "tin 9 was grease");
    shop.does(&["log", "start", "26-041"]);
    let (said, _) = shop.says(&add);
    lacks(&said, &["from the last entry"]);
    assert!(last("wrench").is_null(), "another job");
    let help = shop.says(&["log", "add", "--help"]).0;
    lacks(&help, &["comes from the setting (lube, order)"]);
}

/// A pass ticked with a wrench whose scale begins above it.
#[test]
fn a_pass_that_the_wrench_cannot_show_is_said() {
    let shop = Shop::new();
    let (said, _) = shop.says(&["log", "add", "head stud moly", "--done", "--yes", "wrench=W3"]);
    has(&said, &["pass 20 lb-ft: outside what this wrench can show"]);
}

/// `50mm` as it was typed is 50 mm on paper; no place is `at at`.
#[test]
fn lengths_and_places_read_as_written_by_hand() {
    let passes = ["passes", "coupling half oil", "--wrench", "W4", "--adapter", "50mm"];
    has(&demo(&passes), &["adapter of 50 mm at 0°"]);
    for question in ["find assembly Marlow 6", "find assembly Tern 40 pump"] {
        lacks(&demo(&question.split(' ').collect::<Vec<_>>()), &["at at", "at one at"]);
    }
}

/// The socket, and the passes as torques: nobody goes to the rack or does sums first.
#[test]
fn the_socket_and_the_torque_of_each_pass_are_there() {
    has(&demo(&["find", "suction flange"]), &["hex 24 mm", "of 150 N·m: 45, 90, 150 N·m"]);
}

/// Two values and no word which: what to do is said where they stand.
#[test]
fn values_that_disagree_say_what_to_do() {
    let home = tempfile::tempdir().unwrap();
    let mut command = clampbook(home.path());
    let (out, _, _) = text(&command.args(in_shop(&["find", "damper"])).output().unwrap());
    has(&out.replace("\n  ", " "), &["find out which holds before it is pulled"]);
    has(&demo(&["check"]), &["! qvhu6v sources-differ", "danger (!)"]);
}

/// What is set with an adapter is no torque, and right with that adapter alone: that
/// stands on top of the page and on the card.
#[test]
fn an_adapter_stands_on_top_of_the_page() {
    let asked = ["sheet", "coupling half oil", "--wrench", "W4", "--adapter", "50mm", "-o", "-"];
    let page = demo(&asked);
    let warn = page.split("<section class=\"warn\">").nth(1).unwrap();
    has(warn.split("</section>").next().unwrap(), &["Adapter 50 mm at 0°: the boxes are"]);
    has(&demo(&[&asked[..], &["--pocket"]].concat()), &["Adapter 50 mm at 0°"]);
}

/// Fourteen studs are two tables of seven; a stretch is written down in one place.
#[test]
fn the_grid_is_even_and_a_reading_has_one_place() {
    let head = demo(&["sheet", "head stud long", "-o", "-"]);
    let grid = head.split("<table class=\"grid\">").nth(1).unwrap();
    has(grid.split("</table>").next().unwrap(), &["<th>7</th>"]);
    lacks(grid.split("</table>").next().unwrap(), &["<th>8</th>"]);
    let rod = demo(&["sheet", "rod has stretch", "-o", "-"]);
    let grid = rod.split("<table class=\"grid\">").nth(1).unwrap();
    lacks(grid.split("</table>").next().unwrap(), &["<th>read</th>"]);
}

/// A column has the figure that the wrench goes to, as the block has it, and what a column
/// shows is not said again below it.
#[test]
fn columns_have_the_figure_of_the_wrench_and_say_it_once() {
    has(&demo(&["find", "drawbar show part, torque"]), &["oil 61 / 45 LISTED 55 N·m + 6 N·m"]);
    let columns = demo(&["find", "pump washer show part, washer, passes, torque"]);
    has(&columns, &["30%, 60%, LISTED 150", "19 more state no washer"]);
    lacks(&columns, &["washer: tab washer", "in passes"]);
    has(&demo(&["find", "pump washer show part, torque"]), &["washer: tab washer", "in passes"]);
}

/// ISO 228-1: joints made pressure-tight not on the thread; ISO 7-1 and ASME B1.20.1: on it.
#[test]
fn a_parallel_pipe_thread_seals_at_its_ring() {
    has(&demo(&["find", "casing plug"]), &["G 3/8", "it seals at a ring or a face, not on"]);
    for taper in ["R 1/2", "1/8-27 NPT"] {
        has(&demo(&["thread", taper]), &["it seals on the thread, with a compound"]);
    }
}

/// A figure that was replaced is what no wrench is set to.
#[test]
fn a_replaced_figure_has_no_setting_and_no_passes() {
    let on = demo(&["find", "main bolt cap on W2"]);
    has(&on, &["refused: superseded, not to be used", "set 80 lb-ft"]);
    lacks(&on, &["set 90 lb-ft"]);
    let passes = demo(&["passes", "main bolt cap", "--wrench", "W2"]);
    has(&passes, &["SUPERSEDED, not to be used", "3. 80 lb-ft"]);
    lacks(&passes, &["set 90 lb-ft"]);
}
