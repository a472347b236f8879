//! A mapping to begin with, made from the headings of a file.

use crate::intake::header::{Column, Heading};
use crate::intake::mapping::{quoted, with_answers};
use crate::intake::names::Names;
use crate::intake::survey::headings_of;
use crate::intake::words::plain_words;
use crate::intake::{Options, Sheet};
use crate::quantity::{DecimalMark, Unit};
use crate::record::{Tables, stored_fields};

/// A commented mapping for `sheet` in TOML: what each heading was read as, the
/// unknown ones to be filled in, and what may be said of the file as a whole.
pub fn suggest_mapping(sheet: &Sheet, tables: &Tables, options: &Options) -> String {
    let names = Names::new(tables);
    let headings = headings_of(sheet, &names, options);
    let mut out = format!("# How clampbook reads {}.\n", sheet.name.replace(['\n', '\r'], " "));
    out.push_str("# Give it to `import` with --map. A line that starts with # says nothing.\n\n");
    out.push_str("[columns]  # heading in the file = what it means; \"\" leaves the column out\n");
    for heading in &headings {
        out.push_str(&line(heading, options));
    }
    let stored = stored_fields();
    let names: Vec<&str> = stored.map(|field| field.name).collect();
    out.push_str(
        "# What a heading may mean, with its unit as in \"torque (lb-ft)\", or a torque for\n",
    );
    out.push_str("# one lube as in \"torque moly (lb-ft)\":\n");
    for words in names.chunks(8) {
        out.extend(["#   ", &words.join(", "), "\n"]);
    }
    out.push_str(&file(options));
    out.push_str(REST);
    with_answers(&out, &options.answers)
}

/// What a mapping says for a column that is read so, with its unit.
pub(crate) fn meaning(heading: &Heading) -> Option<String> {
    Some(match &heading.column {
        Column::Field(field) => field.name.to_owned(),
        Column::TorqueFor(lube) => format!("torque {lube}"),
        Column::Low(field) => format!("{} min", field.name),
        Column::High(field) => format!("{} max", field.name),
        Column::Pass(number) => format!("pass {number}"),
        Column::TorqueUnit => "torque unit".to_owned(),
        Column::Pitch => "thread pitch".to_owned(),
        Column::Tpi => "threads per inch".to_owned(),
        Column::Threadlocker => "threadlocker".to_owned(),
        Column::Kept(_) => "notes".to_owned(),
        Column::Derived(_)
        | Column::Unknown { .. }
        | Column::RowNumber
        | Column::LeftOut
        | Column::Asked { .. }
        | Column::Blank => return None,
    })
}

/// The line of one heading; what a mapping said already stays said.
fn line(heading: &Heading, options: &Options) -> String {
    let text = quoted(&heading.text);
    if let Some(known) = options.columns.meanings.get(&plain_words(&heading.text)) {
        return format!("{text} = {}\n", quoted(known));
    }
    let unit = heading.units.first().map(|unit| format!(" ({})", unit.symbol)).unwrap_or_default();
    match (&heading.column, meaning(heading)) {
        (Column::Kept(why), _) => format!("{text} = \"notes\"  # {why}\n"),
        (_, Some(meaning)) => format!("# {text} = {}\n", quoted(&format!("{meaning}{unit}"))),
        (Column::Derived(field), _) => {
            format!("{text} = \"\"  # {} is computed by clampbook\n", field.name)
        }
        (Column::RowNumber, _) => format!("{text} = \"\"  # it only counts the rows\n"),
        (Column::Unknown { nearest }, _) => {
            let near = nearest.as_ref().map(|near| format!("; did you mean {near}?"));
            format!("# {text} = \"\"  # not known: kept in the notes{}\n", near.unwrap_or_default())
        }
        (Column::LeftOut, _) => format!("{text} = \"\"\n"),
        (Column::Asked { reason, readings }, _) => {
            format!("# {text} = {}  # {reason}\n", quoted(&readings.join(" or ")))
        }
        _ => String::new(),
    }
}

/// What is said of the file as a whole already.
fn file(options: &Options) -> String {
    let mut out = String::from("\n[file]  # what rows do not say themselves\n");
    if options.decimal == DecimalMark::Comma {
        out.push_str("decimal = \"comma\"\n");
    }
    let unit = |unit: Option<&'static Unit>| unit.map(|unit| unit.symbol.to_owned());
    let said = [
        ("torque-unit", unit(options.torque_unit)),
        ("length-unit", unit(options.length_unit)),
        ("stress-unit", unit(options.stress_unit)),
        ("lube", options.lube.clone()),
        ("strength", options.strength.clone()),
        ("assembly", options.assembly.clone()),
        ("joint", options.joint.clone()),
        ("source", options.source.title.clone()),
        ("page", options.source.page.clone()),
        ("revision", options.source.revision.clone()),
        ("basis", options.basis.map(|basis| basis.to_string())),
        ("sheet", options.sheet.clone()),
    ];
    for (key, text) in said {
        if let Some(text) = text {
            out.extend([key, " = ", &quoted(&text), "\n"]);
        }
    }
    if options.fill_down {
        out.push_str("fill-down = true\n");
    }
    if let Some(row) = options.header_row {
        out.push_str(&format!("header-row = {row}\n"));
    }
    out
}

const REST: &str = "# decimal = \"comma\"        # decimals after a comma
# torque-unit = \"lb-ft\"    # of figures without a unit; also length-unit, stress-unit
# lube = \"oil\"
# strength = \"10.9\"
# assembly = \"Marlow 6\"
# joint = \"head\"
# source = \"Shop book\"     # also page, revision, source-date, source-kind
# basis = \"shop\"
# fill-down = true         # a blank assembly or joint repeats the one above
# sheet = \"Heads\"          # of a workbook with several
# header-row = 3           # where the headings cannot tell it

# [split.\"Size\"]            # a column that holds two fields
# at = \" x \"
# into = [\"thread\", \"length\"]

# [combine.\"thread\"]        # a field that stands in two columns
# from = [\"Dia\", \"TPI\"]
# with = \"-\"

# [answers.\"Thread\"]        # a cell as written = what it means
# \"M10 fine\" = \"M10x1.25\"
";
