//! The sheets of `tests/data/intake`, `sheets.txt` and its like: as machine shops, farms,
//! fleets, ships and pump rooms keep them, each with what a knowledgeable person reads from
//! it. Each is read as that, with the questions that are due and no other.

use clampbook::intake::{EmptyBook, Options, Report, read_any, take};
use clampbook::quantity::{Extent, Torque};
use clampbook::record::{Fastener, Pass, Reuse, Setting};

use crate::support::tables_of_the_book;
#[cfg(feature = "spreadsheet")]
use crate::support::workbook;

const SHEETS: &str = concat!(
    include_str!("../data/intake/sheets.txt"),
    "\n",
    include_str!("../data/intake/sheets_around.txt"),
    "\n",
    include_str!("../data/intake/sheets_headings.txt")
);

/// One sheet with what is read from it.
struct Written {
    name: &'static str,
    options: &'static str,
    /// Its worksheets, each with its name and lines; one without a name in a text file.
    pages: Vec<(&'static str, Vec<&'static str>)>,
    reads: Vec<Vec<String>>,
    asks: usize,
}

fn written(part: &'static str) -> Written {
    let (head, body) = part.split_once('\n').unwrap();
    let (name, options) = head.split_once('|').unwrap();
    let (name, options) = (name.trim(), options.trim());
    let mut sheet = Written { name, options, pages: Vec::new(), reads: Vec::new(), asks: 0 };
    for line in body.trim_matches('\n').split('\n') {
        if let Some(page) = line.strip_prefix("=== ") {
            sheet.pages.push((page, Vec::new()));
        } else if let Some(record) = line.strip_prefix(">> ") {
            let mut cells: Vec<String> =
                record.split('|').map(|cell| cell.trim().to_owned()).collect();
            cells.resize(8, String::new());
            if cells[0] == "\"" {
                cells[0].clone_from(&sheet.reads.last().unwrap()[0]);
            }
            sheet.reads.push(cells);
        } else if line.starts_with("??") {
            sheet.asks += 1;
        } else if !line.starts_with("!!") {
            if sheet.pages.is_empty() {
                sheet.pages.push(("", Vec::new()));
            }
            sheet.pages.last_mut().unwrap().1.push(line);
        }
    }
    sheet
}

fn bytes(sheet: &Written) -> Option<Vec<u8>> {
    if sheet.name.ends_with("xlsx") || sheet.name.ends_with("ods") {
        return packed(sheet);
    }
    let end = if sheet.options.contains("nl=crlf") { "\r\n" } else { "\n" };
    let mut text = sheet.pages[0].1.join(end) + end;
    if sheet.name.ends_with("tsv") {
        text = text.replace('¦', "\t");
    }
    Some(if sheet.options.contains("enc=utf-16") {
        let units = std::iter::once(0xfeff).chain(text.encode_utf16());
        units.flat_map(u16::to_le_bytes).collect()
    } else if sheet.options.contains("enc=cp1252") {
        text.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect()
    } else {
        text.into_bytes()
    })
}

#[cfg(feature = "spreadsheet")]
#[allow(clippy::unnecessary_wraps)] // a build without workbooks has none
fn packed(sheet: &Written) -> Option<Vec<u8>> {
    if sheet.name.ends_with("ods") {
        let (page, lines) = &sheet.pages[0];
        let row = |line: &&str| workbook::ods_row(&line.split('¦').collect::<Vec<_>>(), 1);
        return Some(workbook::ods(page, &lines.iter().map(row).collect::<String>()));
    }
    let option = |name: &str| {
        let all = sheet.options.split(' ');
        all.filter_map(|option| option.strip_prefix(name)).collect::<Vec<_>>().concat()
    };
    let merged = option("merge=");
    let merged: &'static str = Box::leak(merged.into_boxed_str());
    let [hidden, hidden_columns] = ["hide_rows=", "hide_cols="].map(option);
    let numbers =
        |list: &str| list.split(',').filter_map(|number| number.parse().ok()).collect::<Vec<_>>();
    let cell = |text: &'static str| match text.parse::<f64>() {
        Ok(number) => workbook::Cell::Number(number),
        Err(_) if text.is_empty() => workbook::Cell::None,
        Err(_) => workbook::Cell::Text(text),
    };
    let pages = sheet.pages.iter().map(|(name, lines)| workbook::Sheet {
        name,
        visible: true,
        rows: lines.iter().map(|line| line.split('¦').map(cell).collect()).collect(),
        merged: merged.split(',').filter(|region| !region.is_empty()).collect(),
        hidden: numbers(&hidden),
        hidden_columns: numbers(&hidden_columns),
    });
    Some(workbook::xlsx(&pages.collect::<Vec<_>>()))
}

#[cfg(not(feature = "spreadsheet"))]
fn packed(_: &Written) -> Option<Vec<u8>> {
    None
}

/// Letters and digits alone, small.
fn bare(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// What of a written record a setting of the book does not have.
fn differs(wanted: &[String], fastener: &Fastener, setting: &Setting) -> Option<String> {
    let [machine, joint, part, thread, strength, lube, torque, rest] = wanted else { panic!() };
    let words = bare(&format!("{fastener:?}{setting:?}"));
    let missing = |text: &String| !words.contains(&bare(text));
    let own = bare(&fastener.joint.assembly);
    let is_it = match machine.strip_prefix('~') {
        Some(within) => own.contains(&bare(within)),
        None => machine.is_empty() || own == bare(machine),
    };
    if !is_it {
        return Some(format!("machine {}", fastener.joint.assembly));
    }
    if missing(joint) || part.split(' ').any(|word| missing(&word.to_owned())) {
        return Some("joint or part".to_owned());
    }
    let printed = fastener.thread.as_ref().map_or_else(String::new, ToString::to_string);
    if printed.split(" UN").next() != Some(thread.as_str()) {
        return Some(format!("thread {printed}"));
    }
    let own = fastener.strength.name.clone().unwrap_or_default();
    let is_word = matches!(strength.as_str(), "8" | "18-8") && !missing(strength);
    if bare(&own) != bare(strength) && !is_word {
        return Some(format!("strength {own}"));
    }
    let own = setting.lube.clone().unwrap_or_default();
    let plain = lube.trim_end_matches('?');
    let is_optional = lube.ends_with('?') && own.is_empty();
    let is_oil = plain == "lubed" && own == "oil";
    let is_own_word = own.is_empty() && !plain.is_empty() && !missing(lube);
    if bare(&own) != bare(plain) && !is_optional && !is_oil && !is_own_word {
        return Some(format!("lube {own}"));
    }
    figures(torque, setting).or_else(|| extras(rest, fastener, setting, &words))
}

/// Low and high end in newton metres of `22-28Nm`, `max 9lbft`.
fn ends(text: &str) -> (Option<f64>, f64) {
    let units = [("Nm", 1.0), ("lbft", 1.355_817_948_3), ("lbin", 0.112_984_829), ("kgm", 9.80665)];
    let (unit, factor) = units.into_iter().find(|(unit, _)| text.ends_with(unit)).unwrap();
    let plain = text.trim_end_matches(unit);
    let is_max = plain.starts_with("max ");
    let plain = plain.trim_start_matches("max ");
    let (low, high) = plain.split_once('-').unwrap_or((plain, plain));
    let number = |text: &str| text.parse::<f64>().unwrap() * factor;
    ((!is_max).then(|| number(low)), number(high))
}

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() <= 0.005 * one.abs().max(other.abs())
}

fn figures(wanted: &str, setting: &Setting) -> Option<String> {
    let mut words = wanted.split('+').map(str::trim);
    let torque = words.next().unwrap_or_default();
    let angles: Vec<f64> = words.map(|angle| angle.parse().unwrap()).collect();
    let own: Vec<f64> = setting.angles.iter().map(|angle| angle.value().deg()).collect();
    let is_same = own.len() == angles.len() && own.iter().zip(&angles).all(|(a, b)| near(*a, *b));
    if !is_same && !torque.starts_with('?') {
        return Some(format!("angles {own:?}"));
    }
    let own = setting.torque.or_else(|| Extent::parse(&setting.snug?.to_string()).ok());
    match (torque, own) {
        ("" | "-" | "hand" | "?", None) => None,
        ("" | "-" | "hand", Some(own)) => Some(format!("torque {own}")),
        (asked, None) if asked.starts_with('?') => None,
        (_, None) => Some("no torque".to_owned()),
        (torque, Some(own)) => {
            let (low, high) = (own.low().map(Torque::nm), own.high().nm());
            let fits = |text: &str| {
                let (from, to) = ends(text);
                let is_low = match (from, low) {
                    (Some(from), Some(low)) => near(from, low),
                    (from, low) => from.is_none() && low.is_none(),
                };
                is_low && near(to, high)
            };
            (!torque.split('~').any(fits)).then(|| format!("torque {own}"))
        }
    }
}

fn extras(rest: &str, fastener: &Fastener, setting: &Setting, words: &str) -> Option<String> {
    let (rest, kept) = rest.split_once("w=").unwrap_or((rest, ""));
    for kept in kept.split(';') {
        match kept.strip_prefix('!') {
            Some(other) if words.contains(&bare(other)) => return Some(format!("has `{other}`")),
            None if !words.contains(&bare(kept)) => return Some(format!("lost `{kept}`")),
            _ => {}
        }
    }
    let shares = |list: &str| -> Vec<f64> {
        let top = setting.torque.map_or(0.0, |torque| torque.high().nm());
        let one = |text: &str| match text.split_once('/') {
            Some((a, b)) => a.parse::<f64>().unwrap() / b.parse::<f64>().unwrap() * top,
            None => text.parse::<f64>().unwrap() * top,
        };
        list.split(',').map(one).collect()
    };
    let unit = setting.torque.map_or(1.0, |torque| torque.unit().factor);
    for extra in rest.split_whitespace() {
        let wrong = match extra.split_once('=') {
            Some(("n", count)) => {
                fastener.count.map(|own| own.to_string()).as_deref() != Some(count)
            }
            Some(("pc", count)) => setting.passes.len().to_string() != count,
            Some(("pf", list)) => !are_passes(setting, &shares(list)),
            Some(("p", list)) => {
                let figures = list.split(',').map(|one| one.parse::<f64>().unwrap() * unit);
                !are_passes(setting, &figures.collect::<Vec<_>>())
            }
            None if matches!(extra, "su" | "again") => {
                (fastener.reuse == Some(Reuse::SingleUse)) != (extra == "su")
            }
            None if matches!(extra, "old" | "new") => setting.superseded != (extra == "old"),
            _ => false,
        };
        if wrong {
            return Some(format!("{extra}: {:?} {:?}", fastener.count, setting.passes));
        }
    }
    None
}

/// Whether the passes of `setting` are these, the last one left out or not.
fn are_passes(setting: &Setting, wanted: &[f64]) -> bool {
    let top = setting.torque.or_else(|| Extent::parse(&setting.snug?.to_string()).ok());
    let top = top.map_or(0.0, |torque| torque.high().nm());
    let figure = |pass: &Pass| match pass {
        Pass::Torque(torque) => torque.value().nm(),
        Pass::Share(share) => share.value().value() * top,
        Pass::Turn(_) | Pass::Snug => f64::NAN,
    };
    let own: Vec<f64> = setting.passes.iter().map(figure).filter(|own| own.is_finite()).collect();
    let trimmed = |list: &[f64]| -> Vec<f64> {
        let is_last = list.last().is_some_and(|last| (last - top).abs() <= 0.01 * top);
        list[..list.len() - usize::from(is_last)].to_vec()
    };
    let (own, wanted) = (trimmed(&own), trimmed(wanted));
    own.len() == wanted.len()
        && own.iter().zip(&wanted).all(|(a, b)| (a - b).abs() <= 0.02 * a.max(*b))
}

fn read(sheet: &Written, bytes: &[u8]) -> Result<Report, String> {
    let options = Options::default();
    let rows = read_any(bytes, sheet.name, &options).map_err(|error| error.to_string())?;
    take(&rows, tables_of_the_book(), &options, &EmptyBook).map_err(|error| error.to_string())
}

/// What is not as a person reads it.
fn faults(sheet: &Written, report: &Report) -> Vec<String> {
    let mut faults = Vec::new();
    let questions = report.questions();
    if questions.len() != sheet.asks {
        let asked = questions.iter().map(|one| format!("{} {:?}", one.code, one.cells));
        faults.push(format!("asks {:?}", asked.collect::<Vec<_>>()));
    }
    let mut held: Vec<(&Fastener, &Setting)> = Vec::new();
    for fastener in &report.fasteners {
        held.extend(fastener.settings.iter().map(|setting| (fastener, setting)));
    }
    for wanted in &sheet.reads {
        let found = held.iter().position(|(one, setting)| differs(wanted, one, setting).is_none());
        let may_be_out = wanted[6].starts_with('?')
            || ["asked=", "opt"].iter().any(|mark| wanted[7].contains(mark));
        match found {
            Some(at) => drop(held.remove(at)),
            None if may_be_out => {}
            None => {
                let why: Vec<String> = held
                    .iter()
                    .filter_map(|(one, setting)| differs(wanted, one, setting))
                    .collect();
                faults.push(format!("{} is not read; {}", wanted.join(" | "), why.join(", ")));
            }
        }
    }
    let optional = sheet.reads.iter().filter(|wanted| wanted[7].contains("opt")).count();
    if held.len() > optional {
        let extra =
            held.iter().map(|(one, setting)| format!("{} {}", one.part, setting.in_words()));
        faults.push(format!("made {:?}", extra.collect::<Vec<_>>()));
    }
    faults
}

#[test]
fn each_sheet_is_read_as_a_person_reads_it() {
    let only = std::env::var("CLAMPBOOK_SHEET").ok();
    let mut all = Vec::new();
    let mut seen = 0;
    for sheet in SHEETS.split("\n#### ").skip(1).map(written) {
        let Some(bytes) = bytes(&sheet) else { continue };
        if only.as_ref().is_some_and(|only| !sheet.name.contains(only.as_str())) {
            continue;
        }
        seen += 1;
        let faults = match read(&sheet, &bytes) {
            Ok(report) => faults(&sheet, &report),
            Err(error) => vec![error],
        };
        all.extend(faults.iter().map(|fault| format!("{}: {fault}", sheet.name)));
    }
    assert!(seen > 0);
    assert!(all.is_empty(), "{} of {seen} sheets:\n{}", all.len(), all.join("\n"));
}
