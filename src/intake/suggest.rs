//! A mapping to begin with, made from the headings of a file.

use crate::intake::header::{Column, Heading};
use crate::intake::mapping::quoted;
use crate::intake::names::Names;
use crate::intake::survey::headings_of;
use crate::intake::{Options, Sheet};
use crate::record::{FIELDS, Origin, Tables};

/// A commented mapping for `sheet` in TOML: what each heading was read as, the
/// unknown ones to be filled in, and what may be said of the file as a whole.
pub fn suggest_mapping(sheet: &Sheet, tables: &Tables, options: &Options) -> String {
    let names = Names::of(tables);
    let headings = headings_of(sheet, &names, options);
    let mut out = format!("# How clampbook reads {}.\n", sheet.name.replace(['\n', '\r'], " "));
    out.push_str("# Give it to `import` with --map. A line that starts with # says nothing.\n\n");
    out.push_str("[columns]  # heading in the file = what it means; \"\" leaves the column out\n");
    for heading in &headings {
        out.push_str(&line(heading));
    }
    let stored = FIELDS.iter().filter(|field| field.origin == Origin::Stored);
    let names: Vec<&str> = stored.map(|field| field.name).collect();
    out.push_str(
        "# What a heading may mean, with its unit as in \"torque (lb-ft)\", or a torque for\n",
    );
    out.push_str("# one lube as in \"torque moly (lb-ft)\":\n");
    for words in names.chunks(8) {
        out.extend(["#   ", &words.join(", "), "\n"]);
    }
    out.push_str(REST);
    out
}

fn line(heading: &Heading) -> String {
    let text = quoted(&heading.text);
    let unit = heading.units.first().map(|unit| format!(" ({})", unit.symbol)).unwrap_or_default();
    match &heading.column {
        Column::Field(field) => {
            format!("# {text} = {}\n", quoted(&format!("{}{unit}", field.name)))
        }
        Column::TorqueFor(lube) => {
            format!("# {text} = {}\n", quoted(&format!("torque {lube}{unit}")))
        }
        Column::Low(field) => {
            format!("# {text} = {}\n", quoted(&format!("{} min{unit}", field.name)))
        }
        Column::High(field) => {
            format!("# {text} = {}\n", quoted(&format!("{} max{unit}", field.name)))
        }
        Column::Pass(number) => format!("# {text} = {}\n", quoted(&format!("pass {number}{unit}"))),
        Column::TorqueUnit => format!("# {text} = \"torque unit\"\n"),
        Column::Pitch => format!("# {text} = \"thread pitch\"\n"),
        Column::Tpi => format!("# {text} = \"threads per inch\"\n"),
        Column::Threadlocker => format!("# {text} = \"threadlocker\"\n"),
        Column::Derived(field) => {
            format!("{text} = \"\"  # {} is computed by clampbook\n", field.name)
        }
        Column::Unknown { nearest } => {
            let near = nearest.as_ref().map(|near| format!("; did you mean {near}?"));
            format!("# {text} = \"\"  # not known: kept in the notes{}\n", near.unwrap_or_default())
        }
        Column::LeftOut => format!("{text} = \"\"\n"),
        Column::Kept(why) => format!("{text} = \"notes\"  # {why}\n"),
        Column::RowNumber => format!("{text} = \"\"  # it only counts the rows\n"),
        Column::Blank => String::new(),
    }
}

const REST: &str = "
[file]  # what rows do not say themselves
# decimal = \"comma\"        # decimals after a comma
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
# \"M10\" = \"M10x1.5\"
";
