//! Parts of reading a row that need only a cell and its column.

use crate::intake::cells::{
    Context, Tightening, Wanted, in_words, read_quantity, read_tightening, says_ditto, words_alone,
};
use crate::intake::draft::{Draft, Ends, Figures, Patch};
use crate::intake::fields::words;
use crate::intake::header::{Column, Heading};
use crate::intake::names::Names;
use crate::intake::questions::WHICH_LUBE;
use crate::intake::row::Footnotes;
use crate::intake::survey::Plan;
use crate::intake::verdict::{Problem, Reading, Remark, Taken};
use crate::intake::words::{BY_HAND, RELEASE, plain_words};
use crate::quantity::{DecimalMark, Dimension, Extent, Length, Number, Stated, Torque, Unit};
use crate::record::{Field, FieldKind, LubeClass, Pass};
use crate::text::is_changed_by_a_spreadsheet;
use crate::thread::{Thread, ThreadError};

/// Whether the text is one of the column's own words, `unknown` among them.
pub(crate) fn is_choice(column: &Column, text: &str) -> bool {
    let own = |words: &[&str]| words.iter().any(|word| word.eq_ignore_ascii_case(text));
    matches!(column, Column::Field(field) if matches!(field.kind, FieldKind::Choice(words) if own(words)))
}

/// What stands above the column at `at`.
pub(crate) fn header_of(headings: &[Heading], at: usize) -> &str {
    headings.get(at).map_or("", |heading| heading.text.as_str())
}

/// The unit of the torque that the row has stated so far, or of the torque
/// column's heading.
pub(crate) fn torque_unit(draft: &Draft, headings: &[Heading]) -> Option<&'static Unit> {
    let stated = draft
        .torques
        .iter()
        .find_map(|one| one.torque.map(Extent::unit).or(one.snug.map(|snug| snug.written().unit)));
    let snug = || draft.setting.snug.map(|snug| snug.written().unit);
    let heading = || {
        headings.iter().find_map(|heading| match heading.column {
            Column::TorqueFor(_) | Column::Pass(_) => heading.units.first().copied(),
            Column::Field(field) if field.name == "torque" => heading.units.first().copied(),
            _ => None,
        })
    };
    stated.or_else(snug).or_else(heading).filter(|unit| unit.dimension == Dimension::Torque)
}

/// What the cells of a column measure.
pub(crate) fn dimension_of(column: &Column) -> Option<Dimension> {
    match column {
        Column::Field(field) => match (field.name, field.kind) {
            ("passes", _) => Some(Dimension::Torque),
            ("reuse", _) => Some(Dimension::Length),
            ("strength", _) => Some(Dimension::Stress),
            (_, FieldKind::Quantity(dimension)) => Some(dimension),
            (_, FieldKind::Share) => Some(Dimension::Ratio),
            _ => None,
        },
        Column::TorqueFor(_) | Column::Pass(_) => Some(Dimension::Torque),
        Column::Low(field) | Column::High(field) => match field.kind {
            FieldKind::Quantity(dimension) => Some(dimension),
            _ => None,
        },
        _ => None,
    }
}

/// One end of a torque or stretch.
pub(crate) fn end_of(
    field: &'static Field,
    low: bool,
    text: &str,
    context: Context,
) -> Reading<Patch> {
    let is_torque = field.kind == FieldKind::Quantity(Dimension::Torque);
    // `max 40` is the high end, wherever it stands.
    let most = ["max. ", "max "].iter().find_map(|most| text.strip_prefix(most));
    let (low, text) = most.map_or((low, text), |figure| (false, figure));
    if let Some(words) = words_alone(text).filter(|_| is_torque) {
        let notes = vec![format!("torque {}: {}", if low { "min" } else { "max" }, text.trim())];
        return Ok(words.map(|_| Patch { notes, ..Patch::nothing(text) }));
    }
    let read = if is_torque {
        read_quantity::<Torque>(text, context).map(|taken| taken.map(Stated::written))
    } else {
        read_quantity::<Length>(text, context).map(|taken| taken.map(Stated::written))
    };
    let taken = match read {
        Err(problem) if low && problem.code == "zero" => {
            let reason = "a low end of nothing: the high end alone";
            return Ok(Taken::plain(Patch::nothing(text)).echo("no-low-end", reason));
        }
        taken => taken?,
    };
    Ok(taken.map(|end| {
        let (low, high) = if low { (Some(end), None) } else { (None, Some(end)) };
        let ends = Ends { low, high };
        let figures = if is_torque { Figures::TorqueEnd(ends) } else { Figures::StretchEnd(ends) };
        Patch::figures(end.to_string(), figures)
    }))
}

/// The pass of a numbered column, or the torque and the turn that it holds.
pub(crate) fn one_pass(text: &str, number: u32, context: Context) -> Reading<Patch> {
    if BY_HAND.contains(&plain_words(text).as_str()) {
        let notes = vec![format!("pass {number}: {text}")];
        let snug = Patch::figures(text.to_owned(), Figures::Pass(number, vec![Pass::Snug]));
        return Ok(Taken::plain(Patch { notes, ..snug }));
    }
    if RELEASE.contains(&text.to_lowercase().as_str()) {
        let notes = vec![format!("pass {number}: {text}")];
        let reason = format!("`{text}` between the passes: kept in the notes");
        let taken = Taken::plain(Patch { notes, ..Patch::nothing(text) });
        return Ok(taken.warn("released", reason, "look whether the passes say it"));
    }
    let is_bare = text.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ','));
    // A bare figure here is never a number of passes.
    let text = match context.unit.filter(|_| is_bare).map(|unit| (unit.dimension, unit.symbol)) {
        Some((Dimension::Angle, _)) => format!("+{text}°"),
        Some((_, symbol)) => format!("{text} {symbol}"),
        None => text.to_owned(),
    };
    if let Some(window) = window(&text, context) {
        return Ok(window);
    }
    let wanted = if is_bare && context.unit.is_none() { Wanted::Torque } else { Wanted::Passes };
    let taken = read_tightening(&text, wanted, context)?;
    let passes = taken.value.first().map(|one| one.passes.clone()).unwrap_or_default();
    let turns = passes.iter().skip(1).all(|pass| matches!(pass, Pass::Turn(_)));
    if passes.is_empty() || !turns {
        let reason = format!("`{text}` is more than one pass");
        return Err(Problem::refused("one-pass", reason, "one column holds one pass"));
    }
    let words: Vec<String> = passes.iter().map(ToString::to_string).collect();
    Ok(taken.map(|_| Patch::figures(words.join(" "), Figures::Pass(number, passes))))
}

/// `max 32`, `35-40` in the column of a pass: what the row is pulled to. From `20-40` on it
/// may be two passes.
fn window(text: &str, context: Context) -> Option<Taken<Patch>> {
    const WIDEST: f64 = 1.5;
    let taken = read_tightening(text, Wanted::Torque, context).ok()?;
    let [Tightening { torque: Some(torque), .. }] = taken.value.as_slice() else { return None };
    let is_window = match torque {
        Extent::Exactly(_) => false,
        Extent::AtMost(_) => true,
        Extent::Between { .. } => {
            torque.low().is_some_and(|low| torque.high().nm() <= WIDEST * low.nm())
        }
    };
    is_window.then(|| taken.map(|found| Patch::figures(in_words(&found), Figures::Torques(found))))
}

/// A cell without a thread in a column of parts whose cells hold threads: `Washer, hardened`
/// between `Hex screw M12x40` and `Stud M16`.
pub(crate) fn part_instead(heading: &Heading, text: &str, problem: Problem) -> Reading<Patch> {
    let own = heading.others.first();
    let Some(Column::Field(own)) = own.filter(|own| own.is("part") || own.is("joint")) else {
        return Err(problem);
    };
    let may_be_size = |word: &str| {
        let rest = word.trim_start_matches(['M', 'm', '#']);
        rest.starts_with(|c: char| c.is_ascii_digit())
            && (rest.len() < word.len() || rest.contains(['x', 'X', '/']))
    };
    let is_word_first = text
        .split(' ')
        .next()
        .is_some_and(|first| first.chars().count() > 2 && first.chars().all(char::is_alphabetic));
    if !is_named(heading, "thread") || !is_word_first || text.split(' ').any(may_be_size) {
        return Err(problem);
    }
    Ok(Taken::plain(words(own, text)).echo("no-thread", "no thread in it: read as the part"))
}

/// Whether the column holds one pass of several.
pub(crate) fn is_a_step(column: &Column) -> bool {
    matches!(column, Column::Pass(_))
}

/// Whether the column holds the torque of the row, an end of it, or a step to it.
pub(crate) fn is_of_one_torque(heading: &Heading) -> bool {
    let is_end = matches!(&heading.column, Column::Low(field) | Column::High(field) if field.name == "torque");
    is_end || is_a_step(&heading.column) || heading.column.is("torque") && heading.given.is_none()
}

/// A bare inch size in the series that a title names.
pub(crate) fn in_series(text: &str, series: &str) -> String {
    let is_inch = text.contains(['/', '"', '#', '.']) || text.parse::<u32>().is_ok();
    match Thread::parse(text) {
        Err(ThreadError::PitchNeeded { .. }) if is_inch => format!("{text} {series}"),
        // One inch: the numbered size of that name is a watchmaker's.
        Err(_) if text == "1" => format!("1\" {series}"),
        _ => text.to_owned(),
    }
}

/// A cell without the apostrophe that keeps a spreadsheet from running it, or
/// from making a date of it.
pub(crate) fn unguarded<'a>(cell: &'a str, column: &Column) -> &'a str {
    let is_text = matches!(column, Column::Field(field) if matches!(field.kind, FieldKind::Text | FieldKind::List | FieldKind::Day));
    let is_figure =
        |rest: &str| !is_text && rest.chars().all(|c| c.is_ascii_digit() || "/-.x ".contains(c));
    let cell = without_leader(cell, is_text);
    match cell.strip_prefix('\'') {
        Some(rest)
            if rest.starts_with('\'') || is_changed_by_a_spreadsheet(rest) || is_figure(rest) =>
        {
            rest
        }
        _ => cell,
    }
}

/// A cell without the dots or the line that lead from a name to its figure:
/// `Head bolt ......`, `....45 Nm`.
fn without_leader(cell: &str, is_text: bool) -> &str {
    let is_leader = |c: char| matches!(c, '.' | '_' | '…' | ' ');
    let run = |side: &str| side.chars().filter(|c| *c != ' ').count();
    let name = cell.trim_end_matches(is_leader);
    let cell = if run(&cell[name.len()..]) > 3 { name } else { cell };
    let figure = cell.trim_start_matches(is_leader);
    let least = if is_text { 3 } else { 1 };
    if run(&cell[..cell.len() - figure.len()]) > least { figure } else { cell }
}

/// Whether cells of the column may point at notes below the table.
pub(crate) fn points_below(heading: &Heading) -> bool {
    const HEADINGS: &[&str] = &["ref", "refs", "reference", "fn", "footnote", "renvoi", "rif"];
    heading.column.is("notes")
        || matches!(heading.column, Column::Unknown { .. })
        || HEADINGS.contains(&plain_words(&heading.text).as_str())
}

/// `4.200` and `4.200 + 60°` without the mark that parts thousands; none where it has none.
/// `80,100` may be a list of two, `1,250` is none.
pub(crate) fn without_thousands(text: &str, mark: char) -> Option<String> {
    let (whole, rest) = text.split_once(mark)?;
    let digits = |text: &str| text.bytes().take_while(u8::is_ascii_digit).count();
    let most = if mark == ',' { 1 } else { 3 };
    let is_parted =
        (1..=most).contains(&whole.len()) && digits(whole) == whole.len() && digits(rest) == 3;
    (is_parted && !rest.contains([mark, ',', '.'])).then(|| format!("{whole}{rest}"))
}

/// A cell without the marks at its ends that point at notes below the tables, and the
/// marks: `Rod bolt (a)`, `140*`, `1) stud`. A cell of marks alone is left whole.
pub(crate) fn without_marks<'a>(cell: &'a str, below: &Footnotes) -> (&'a str, Vec<&'a str>) {
    let is_star = |c: char| matches!(c, '*' | '†' | '‡' | '§' | '¹' | '²' | '³');
    let (mut rest, mut marks) = (cell, Vec::new());
    if below.is_empty() {
        return (rest, marks);
    }
    let lead = cell.trim_start_matches(['(', '[']);
    let mark = lead.split([')', ']', ' ']).next().filter(|mark| below.contains_key(*mark));
    if let Some(mark) = mark {
        let after = &lead[mark.len()..];
        let name = after.trim_start_matches([')', ']', ' ']);
        if (after.starts_with([')', ']']) || mark.starts_with(is_star)) && !name.is_empty() {
            (rest, marks) = (name, vec![mark]);
        }
    }
    loop {
        let stem = rest.trim_end_matches(is_star);
        let bracketed = || {
            let inside = rest.strip_suffix([')', ']'])?;
            // `Liner bolt 1)` too.
            let open = inside.rfind(['(', '[']).or_else(|| inside.rfind(' '))?;
            Some((&rest[..open], inside[open + 1..].trim()))
        };
        let found =
            if stem.len() < rest.len() { Some((stem, &rest[stem.len()..])) } else { bracketed() };
        match found.map(|(stem, mark)| (stem.trim_end(), mark)) {
            Some((stem, mark)) if !stem.is_empty() && below.contains_key(mark) => {
                marks.insert(0, mark);
                rest = stem;
            }
            _ => return (rest, marks),
        }
    }
}

/// Whether the column holds that field.
pub(crate) fn is_named(heading: &Heading, field: &str) -> bool {
    matches!(heading.column, Column::Field(known) if known.name == field)
}

/// A thread without its pitch completed by the cell of a pitch column; a
/// thread that has its pitch must agree with it.
pub(crate) fn completed(
    text: &str,
    pitch: &str,
    is_tpi: bool,
    mark: DecimalMark,
) -> Result<String, Problem> {
    let bare = pitch.to_ascii_lowercase();
    let bare = bare.trim_end_matches("tpi").trim_end_matches("mm").trim();
    let is_series = bare.starts_with(char::is_alphabetic);
    let is_metric = ["m", "metric", "iso", "metrisch", "metrique", "metrico"].contains(&bare);
    let may_be_metric = if is_series { is_metric } else { !is_tpi };
    let numbered = format!("{text}-{bare}");
    if is_tpi && text.chars().all(|c| c.is_ascii_digit()) && Thread::parse(&numbered).is_ok() {
        // Whole inches, or the number of a small screw.
        return Ok(numbered);
    }
    let is_size = may_be_metric && text.chars().all(|c| c.is_ascii_digit());
    let with_sign = format!("M{text}");
    let text = if is_size { with_sign.as_str() } else { text };
    match Thread::parse(text) {
        _ if is_metric => Ok(text.to_owned()),
        Err(ThreadError::PitchNeeded { .. }) if is_series => Ok(format!("{text} {pitch}")),
        Ok(thread) if is_series && is_of_series(&thread, pitch) => Ok(text.to_owned()),
        Err(ThreadError::PitchNeeded { .. }) if is_tpi => Ok(format!("{text}-{bare}")),
        Err(ThreadError::PitchNeeded { .. }) => Ok(format!("{text}x{bare}")),
        Err(_) => Ok(text.to_owned()),
        Ok(thread) => {
            let stated = Number::parse(bare, mark).map(Number::value);
            let own = if is_tpi { thread.tpi() } else { Some(thread.pitch().length().mm()) };
            let agrees =
                stated.is_ok_and(|stated| own.is_some_and(|own| (own - stated).abs() < 0.01));
            if agrees {
                return Ok(text.to_owned());
            }
            let reason = format!("the pitch column says {pitch}, the thread is {thread}");
            Err(Problem::refused("cells-disagree", reason, "correct one of the two"))
        }
    }
}

/// What stands before the decimals of a cell: in a number of a workbook a point, whatever
/// its texts have. A comma in `2.100` where its column has both, so that it is asked about.
pub(crate) fn mark_of(text: &str, heading: &Heading, plan: &Plan) -> DecimalMark {
    if heading.is_mixed && without_thousands(text, '.').is_some() {
        return DecimalMark::Comma;
    }
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let (whole, places) = text.split_once('.').unwrap_or_default();
    let is_number = digits(whole) && digits(places) && places.len() != 3;
    if plan.has_numbers && is_number { DecimalMark::Point } else { plan.decimal }
}

/// Whether `series` is that of the thread.
fn is_of_series(thread: &Thread, series: &str) -> bool {
    let symbol = thread.series().symbol();
    symbol.eq_ignore_ascii_case(series) || Thread::parse(&format!("{thread} {series}")).is_ok()
}

/// What a cell is told that says "not known yet".
pub(crate) fn not_known() -> Remark {
    let reason = "not known yet: taken as not stated, kept in the notes";
    Remark::warning("not-known", reason, "fill it in when the sheet is at hand")
}

/// The question about a torque for bolts as a shop receives them: with which lube.
pub(crate) fn which_lube(text: &str, lube: &str, names: &Names) -> Problem {
    let of_class = |class| names.lubes_of(class).into_iter().map(str::to_owned);
    let readings = of_class(LubeClass::Wet).chain(of_class(LubeClass::Dry)).collect();
    let reason = format!("`{text}` is for {lube}: with which lube is not said");
    Problem::question(WHICH_LUBE, reason, readings).advise("name the lube in the heading")
}

/// Columns that are no field: kept in the notes, or computed by clampbook.
/// None: it is a field.
pub(crate) fn not_a_field(heading: &Heading, raw: &str) -> Option<(Option<String>, Remark)> {
    let header = &heading.text;
    match &heading.column {
        Column::Unknown { nearest } => {
            let near = nearest.as_ref().map(|near| format!("; did you mean `{near}`?"));
            let near = near.unwrap_or_default();
            let reason = format!("the heading `{header}` is not known{near}; kept in the notes");
            let note = format!("{header}: {raw}");
            Some((Some(note), Remark::warning("unknown-heading", reason, "rename the column")))
        }
        Column::Blank => {
            let reason = "the column has no heading; kept in the notes".to_owned();
            let advice = "give the column a heading";
            Some((Some(raw.to_owned()), Remark::warning("no-heading", reason, advice)))
        }
        Column::Derived(field) => {
            let reason = format!("{} is computed by clampbook; not taken", field.name);
            // A shop's own figure is kept in its words.
            let own = plain_words(header) != plain_words(field.name);
            let note = own.then(|| format!("{header}: {raw}"));
            Some((note, Remark::warning("computed", reason, "")))
        }
        _ => None,
    }
}

/// The question about a cell that stands for the one `above` it.
pub(crate) fn ditto(text: &str, above: &str) -> Problem {
    let reason = format!("`{text}` points at the row above");
    if !above.is_empty() && !says_ditto(above) {
        let readings = vec![above.to_owned()];
        return Problem::question("ditto", format!("{reason}, `{above}`"), readings);
    }
    Problem::refused("ditto", format!("{reason}, which says nothing"), "write the cell out")
}

/// Whether its cells are read after the torque, whose unit they take.
pub(crate) fn is_late(heading: &Heading) -> bool {
    matches!(heading.column, Column::Pass(_)) || is_named(heading, "passes")
}

/// Whether a cell of the column is read by more than its text: by what the row says of the
/// unit or the pitch, by notes below, or as words.
pub(crate) fn is_of_row(heading: &Heading, around: [bool; 3]) -> bool {
    let [has_unit, has_pitch, has_notes] = around;
    let is_torque = dimension_of(&heading.column) == Some(Dimension::Torque);
    let is_kept = matches!(
        heading.column,
        Column::Kept(_) | Column::RowNumber | Column::Unknown { .. } | Column::Blank
    );
    is_kept
        || is_torque && (has_unit || is_late(heading))
        || is_named(heading, "thread") && has_pitch
        || has_notes && points_below(heading)
}

/// Index of the column of a field.
pub(crate) fn column_of(headings: &[Heading], field: &str) -> Option<usize> {
    let exact = |h: &Heading| matches!(h.column, Column::Field(f) if f.name == field);
    let near = |h: &Heading| match (&h.column, field) {
        (Column::TorqueFor(_), "torque") => true,
        (Column::Low(f) | Column::High(f), _) => f.name == field,
        _ => false,
    };
    headings.iter().position(exact).or_else(|| headings.iter().position(near))
}
