//! What an answer says besides its rows, and what a newcomer's words are told.

use clampbook::query::run::Answer;

use super::book::Shop;

#[test]
fn a_kind_says_how_many_rows_it_left_out() {
    let shop = Shop::new();
    let remarks = |question: &str| shop.ask(question).remarks;
    // A bolt beside two settings of a screw; two bolts beside those of a stud.
    assert_eq!(remarks("M10 screws"), ["1 more without `screw`: write `M10`"]);
    assert_eq!(remarks("joint head, stud"), ["2 more without `stud`: write `joint \"head\"`"]);
    assert!(remarks("M10 kind screw").is_empty(), "asked for by its field");
    assert!(remarks("screws").is_empty(), "nothing else was asked");
    assert!(remarks("joint casing stud").is_empty(), "nothing was left out");
}

#[test]
fn open_holes_without_sealant_are_counted() {
    let shop = Shop::new();
    // The long head studs open into coolant and say no sealant.
    let words = "2 more rows open into oil, coolant or a port and state no sealant: \
                 write `wet lacks sealant`";
    assert_eq!(shop.ask("needs sealant").remarks, [words]);
    assert_eq!(shop.ask("wet lacks sealant").rows.len(), 2);
    assert!(shop.ask("joint oil pan needs sealant").remarks.is_empty());
}

#[test]
fn look_alikes_come_with_their_reason_and_without_the_thread_itself() {
    let shop = Shop::new();
    let found = shop.ask("confused-with M12x1.25");
    let keys: Vec<&str> = found.rows.iter().map(|row| row.fastener.key.as_str()).collect();
    assert!(keys.contains(&"gland") && !keys.contains(&"foot"), "{keys:?}");
    assert!(found.remarks[0].starts_with("1/2-20 nut runs loose on M12x1.25 and strips"));
    assert!(found.remarks.contains(&"By fingers three turns, or wrong thread.".to_owned()));
    // 3/8-16 BSW has its size and pitch, and is another thread.
    let itself = shop.ask("confused-with 3/8-16");
    assert!(itself.rows.iter().all(|row| !["short", "body"].contains(&&*row.fastener.key)));
}

#[test]
fn plain_words_are_told_how_it_is_said_here() {
    let shop = Shop::new();
    let near = |question: &str| shop.ask(question).near.join("; ");
    for (question, hint) in [
        ("coupling lube moly", "to restate rows, write `coupling with moly`"),
        ("disagree", "`clampbook check` lists what is wrong, doubtful or disagrees"),
        ("head scatter", "clamp-high over yield-load"),
        ("head lubes", "tally part, lube"),
    ] {
        assert!(near(question).contains(hint), "{question}: {}", near(question));
    }
    for (question, hint) in [
        ("Marlwo 6 head", "did you mean `Marlow 6`?"),
        ("lube disagrees", "`clampbook check` lists what is wrong, doubtful or disagrees"),
        ("show joint, socket", "what the tool must fit stands in head-size: show joint, head-size"),
        ("show original", "the sheet's own words stand in verbatim: show joint, verbatim"),
        ("wrong units", "for example: units metric, or units N.m, kN"),
    ] {
        assert_eq!(shop.wrong(question)[2], hint, "{question}");
    }
}

/// What finds nothing is asked again where its words do stand, and that is said.
#[test]
fn words_of_other_fields_are_found_there() {
    let shop = Shop::new();
    for (question, read, same) in [
        ("sheet", "nothing has `sheet` in its names: read as `source \"sheet\"`", "source sheet"),
        (
            "M10 sheet",
            "nothing has `sheet` in its names: read as `source \"sheet\"`",
            "M10 source sheet",
        ),
    ] {
        let found = shop.ask(question);
        assert!(found.readings.iter().any(|line| line == read), "{question}: {:?}", found.readings);
        let keys = |found: Answer| found.rows.into_iter().map(|row| row.key).collect::<Vec<_>>();
        assert_eq!(keys(found), keys(shop.ask(same)), "{question}");
        assert!(!shop.ask(same).rows.is_empty(), "{same}");
    }
    assert_eq!(
        shop.ask("head gasoline").near,
        [
            "without `text gasoline`: 4 rows: write `head`",
            "`head` alone: 4 rows",
            "nothing has `text gasoline`"
        ]
    );
}

/// A `not` of what nothing has leaves nothing out, and the first line says so.
#[test]
fn a_denial_of_what_nothing_has_says_so_before_the_rows() {
    let shop = Shop::new();
    let found = shop.ask("joint head not gasoline");
    assert_eq!(found.rows.len(), shop.ask("joint head").rows.len());
    assert_eq!(found.readings, ["`not` took nothing away: nothing here has `text gasoline`"]);
    let all = shop.ask("not gasoline");
    assert!(all.readings.contains(&found.readings[0]), "{:?}", all.readings);
}

/// A message quotes what was typed, not what that was read as.
#[test]
fn a_message_points_at_words_that_were_typed() {
    let shop = Shop::new();
    for question in [
        "yield over 80% min torque M8",
        "not bolts with oil under the head",
        "torque max 60 N.m show Max 300",
        "bolts with oil under the head torque around 60 N.m",
        "not how many by engine",
        "not top 10 torque",
        "hub with oil cover instead of oil",
    ] {
        let [_, message, ..] = shop.wrong(question);
        let quoted: Vec<&str> = message.split('`').skip(1).step_by(2).collect();
        assert!(!quoted.is_empty(), "{question}: {message}");
        assert!(quoted.iter().all(|words| question.contains(words)), "{question}: {message}");
    }
}

/// Where nothing is found because the book does not state what is asked, it says so.
#[test]
fn what_the_book_does_not_state_is_said() {
    let near = Shop::new().ask("gland stretch").near;
    assert_eq!(
        near[0],
        "gland: stretch is not stated (1 row): write `gland show part, lube, stretch`"
    );
}

/// A word that a closed list has, beside one that only a source says: an alternative that
/// nothing else is read for stays as it is.
#[test]
fn a_word_that_needs_no_other_field_stays() {
    let shop = Shop::new();
    let remark = |question: &str| shop.ask(question).readings;
    assert_eq!(
        remark("M10 sheet or gasoline")[0],
        "nothing has `sheet` in its names: read as `source \"sheet\"`"
    );
    assert_eq!(shop.ask("M10 sheet or gasoline").rows, shop.ask("M10 sheet").rows);
}
