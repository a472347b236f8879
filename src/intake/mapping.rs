//! A mapping: what a shop's file means, kept beside it in TOML.
//!
//! ```toml
//! [columns]                     # heading in the file = what it means
//! "Bolt torque" = "torque (lb-ft)"
//! "Shelf" = ""                  # left out
//!
//! [file]                        # what rows do not say themselves
//! decimal = "comma"
//! torque-unit = "N·m"
//! source = "Shop book"
//!
//! [split."Size"]
//! at = " x "
//! into = ["thread", "length"]
//!
//! [combine."thread"]
//! from = ["Dia", "TPI"]
//! with = "-"
//!
//! [answers."Thread"]            # cell as written = what it means
//! "M10" = "M10x1.5"
//! ```

use toml::{Table, Value};

use crate::intake::options::{CombinedColumn, SplitColumn};
use crate::intake::{Answers, IntakeError, Options};
use crate::quantity::{DecimalMark, Dimension, Unit, find_unit};
use crate::record::{Basis, SourceKind};
use crate::text::nearest;

/// Reads the mapping `text` into `options`. What the options say already
/// stays: a flag of the command goes before the mapping. `name` is what
/// messages call the mapping file.
pub fn read_mapping(text: &str, name: &str, options: &mut Options) -> Result<(), IntakeError> {
    let table: Table = text.parse().map_err(|error: toml::de::Error| {
        let line =
            error.span().map(|span| text[..span.start.min(text.len())].matches('\n').count());
        IntakeError::notation(
            name,
            line.map_or(String::new(), |line| format!(", line {}", line + 1)),
            error.message().to_owned(),
            "mend the TOML there",
        )
    })?;
    let reader = Reader { name };
    for (section, value) in &table {
        let content = reader.table(section, value)?;
        match section.as_str() {
            "columns" => {
                for (heading, meaning) in content {
                    let meaning = reader.text(&format!("columns.{heading}"), meaning)?;
                    options.columns.map(heading, meaning);
                }
            }
            "file" => reader.file(content, options)?,
            "split" => reader.splits(content, options)?,
            "combine" => reader.combines(content, options)?,
            "answers" => reader.answers(content, options)?,
            other => {
                let known = ["columns", "file", "split", "combine", "answers"];
                return Err(reader.unknown("section", other, &known));
            }
        }
    }
    Ok(())
}

/// What `[file]` may say.
const FILE_KEYS: &[&str] = &[
    "decimal",
    "torque-unit",
    "length-unit",
    "stress-unit",
    "lube",
    "strength",
    "assembly",
    "joint",
    "basis",
    "source",
    "page",
    "revision",
    "source-date",
    "source-kind",
    "fill-down",
    "sheet",
    "header-row",
];

struct Reader<'a> {
    name: &'a str,
}

impl Reader<'_> {
    fn fault(&self, place: &str, problem: String, advice: &str) -> IntakeError {
        let place = format!(", {place}");
        IntakeError::notation(self.name, place, problem, advice)
    }

    fn unknown(&self, what: &str, found: &str, known: &[&str]) -> IntakeError {
        let near = nearest(found, known.iter().copied());
        let advice = match near {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("use one of: {}", known.join(", ")),
        };
        self.fault(found, format!("`{found}` is not a {what} of a mapping"), &advice)
    }

    fn table<'t>(&self, place: &str, value: &'t Value) -> Result<&'t Table, IntakeError> {
        value.as_table().ok_or_else(|| {
            self.fault(place, "a section is needed here".to_owned(), "write it as [name]")
        })
    }

    fn text<'t>(&self, place: &str, value: &'t Value) -> Result<&'t str, IntakeError> {
        value.as_str().ok_or_else(|| {
            self.fault(place, "a text is needed here".to_owned(), "put it into quotes")
        })
    }

    fn texts(&self, place: &str, value: Option<&Value>) -> Result<Vec<String>, IntakeError> {
        let list = value.and_then(Value::as_array).ok_or_else(|| {
            self.fault(place, "a list is needed here".to_owned(), "write [\"thread\", \"length\"]")
        })?;
        list.iter().map(|value| self.text(place, value).map(str::to_owned)).collect()
    }

    fn file(&self, content: &Table, options: &mut Options) -> Result<(), IntakeError> {
        for (key, value) in content {
            match key.as_str() {
                "fill-down" => {
                    let on = value.as_bool().ok_or_else(|| {
                        self.fault(key, "true or false is needed here".to_owned(), "write true")
                    })?;
                    options.fill_down |= on;
                }
                "header-row" => {
                    let line = value.as_integer().and_then(|line| u32::try_from(line).ok());
                    let line =
                        line.filter(|line| (1..=10_000).contains(line)).ok_or_else(|| {
                            self.fault(
                                key,
                                "a line number is needed here".to_owned(),
                                "count from 1",
                            )
                        })?;
                    options.header_row.get_or_insert(line);
                }
                known if FILE_KEYS.contains(&known) => {
                    self.setting(key, self.text(key, value)?, options)?;
                }
                other => return Err(self.unknown("key", other, FILE_KEYS)),
            }
        }
        Ok(())
    }

    /// One text setting of `[file]`.
    fn setting(&self, key: &str, text: &str, options: &mut Options) -> Result<(), IntakeError> {
        let put = |slot: &mut Option<String>| {
            slot.get_or_insert_with(|| text.to_owned());
        };
        match key {
            "lube" => put(&mut options.lube),
            "strength" => put(&mut options.strength),
            "assembly" => put(&mut options.assembly),
            "joint" => put(&mut options.joint),
            "source" => put(&mut options.source.title),
            "page" => put(&mut options.source.page),
            "revision" => put(&mut options.source.revision),
            "sheet" => put(&mut options.sheet),
            "torque-unit" => self.unit(key, text, Dimension::Torque, &mut options.torque_unit)?,
            "length-unit" => self.unit(key, text, Dimension::Length, &mut options.length_unit)?,
            "stress-unit" => self.unit(key, text, Dimension::Stress, &mut options.stress_unit)?,
            "decimal" => match text {
                "comma" => options.decimal = DecimalMark::Comma,
                "point" => {}
                _ => {
                    return Err(self.fault(
                        key,
                        format!("`{text}` is no decimal mark"),
                        "write comma or point",
                    ));
                }
            },
            "basis" => {
                let basis =
                    Basis::find(text).ok_or_else(|| self.unknown("basis", text, Basis::NAMES))?;
                options.basis.get_or_insert(basis);
            }
            "source-kind" => {
                let kind = SourceKind::find(text)
                    .ok_or_else(|| self.unknown("source kind", text, SourceKind::NAMES))?;
                options.source.kind.get_or_insert(kind);
            }
            _ => {
                let date = text.parse().map_err(|_| {
                    self.fault(key, format!("`{text}` is not a date"), "write it as 2024-05-12")
                })?;
                options.source.date.get_or_insert(date);
            }
        }
        Ok(())
    }

    fn unit(
        &self,
        key: &str,
        text: &str,
        dimension: Dimension,
        slot: &mut Option<&'static Unit>,
    ) -> Result<(), IntakeError> {
        let unit = find_unit(text).filter(|unit| unit.dimension == dimension).ok_or_else(|| {
            let problem = format!("`{text}` is not a unit of {}", dimension.name());
            self.fault(key, problem, "write lb-ft, N·m, mm, in, MPa or ksi")
        })?;
        slot.get_or_insert(unit);
        Ok(())
    }

    fn splits(&self, content: &Table, options: &mut Options) -> Result<(), IntakeError> {
        for (column, value) in content {
            let split = self.table(column, value)?;
            let at = split.get("at").map(|at| self.text(column, at)).transpose()?.unwrap_or(" x ");
            let into = self.texts(column, split.get("into"))?;
            if at.is_empty() || into.len() < 2 {
                let problem = "a split needs what parts the cells and two meanings".to_owned();
                return Err(self.fault(
                    column,
                    problem,
                    "write at = \" x \", into = [\"thread\", \"length\"]",
                ));
            }
            options.columns.splits.push(SplitColumn {
                column: column.clone(),
                at: at.to_owned(),
                into,
            });
        }
        Ok(())
    }

    fn combines(&self, content: &Table, options: &mut Options) -> Result<(), IntakeError> {
        for (into, value) in content {
            let combined = self.table(into, value)?;
            let with = combined.get("with").map(|with| self.text(into, with)).transpose()?;
            let from = self.texts(into, combined.get("from"))?;
            if from.len() < 2 {
                let problem = "two columns are needed to put together".to_owned();
                return Err(self.fault(into, problem, "write from = [\"Dia\", \"TPI\"]"));
            }
            let with = with.unwrap_or(" ").to_owned();
            options.columns.combines.push(CombinedColumn { into: into.clone(), from, with });
        }
        Ok(())
    }

    fn answers(&self, content: &Table, options: &mut Options) -> Result<(), IntakeError> {
        for (heading, value) in content {
            for (raw, text) in self.table(heading, value)? {
                options.answers.say(heading, raw, self.text(heading, text)?);
            }
        }
        Ok(())
    }
}

/// The mapping `text` with `answers` in place of those that it had; everything
/// else, comments too, stays as it is.
pub fn with_answers(text: &str, answers: &Answers) -> String {
    let mut out = String::new();
    let (mut inside, mut has_columns) = (false, false);
    for line in text.lines() {
        let bare = line.trim_start();
        if bare.starts_with('[') {
            inside = bare.starts_with("[answers");
        }
        let starts = |(header, _): &&(String, String)| {
            let bare = bare.strip_prefix("# ").unwrap_or(bare);
            bare.strip_prefix(&quoted(header))
                .is_some_and(|rest| rest.trim_start().starts_with('='))
        };
        let is_answered = answers.columns().iter().find(starts).is_some();
        if !inside && !is_answered {
            out.push_str(line);
            out.push('\n');
        }
        if bare.starts_with("[columns]") && !inside {
            has_columns = true;
            columns(&mut out, answers);
        }
    }
    out.truncate(out.trim_end().len());
    out.push('\n');
    if !has_columns && !answers.columns().is_empty() {
        out.push_str("\n[columns]\n");
        columns(&mut out, answers);
    }
    let mut all: Vec<(&str, &str, &str)> = answers.by_cell().collect();
    all.sort_unstable();
    let mut heading = None;
    for (header, raw, meaning) in all {
        if heading != Some(header) {
            heading = Some(header);
            out.extend(["\n[answers.", &quoted(header), "]\n"]);
        }
        out.extend([&*quoted(raw), " = ", &quoted(meaning), "\n"]);
    }
    out
}

fn columns(out: &mut String, answers: &Answers) {
    for (header, meaning) in answers.columns() {
        out.extend([&*quoted(header), " = ", &quoted(meaning), "\n"]);
    }
}

/// A text as TOML writes it.
pub(crate) fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for character in text.chars() {
        match character {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            hidden if hidden.is_control() => {
                out.extend(["\\u", &format!("{:04X}", u32::from(hidden))]);
            }
            plain => out.push(plain),
        }
    }
    out.push('"');
    out
}
