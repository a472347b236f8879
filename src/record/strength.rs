//! A strength and its ranges of sizes: entered and changed line by line, as its
//! file has them.

use crate::quantity::{Length, MEGAPASCAL};
use crate::record::differences::changes;
use crate::record::{Field, FieldChange, FieldKind, STRENGTHS, StrengthClass, StrengthRow};

type Cell<'a> = (&'static Field, &'a str);

impl StrengthClass {
    /// A line of which only the name is known: one range of sizes, without figures.
    pub fn line(name: String) -> Self {
        Self {
            name,
            aliases: Vec::new(),
            rows: vec![StrengthRow::default()],
            unit: MEGAPASCAL,
            source: String::new(),
            material: None,
        }
    }

    /// Each of its ranges of sizes as a line of its own.
    pub fn lines(&self) -> impl Iterator<Item = Self> + '_ {
        self.rows.iter().map(|row| Self { rows: vec![*row], ..self.clone() })
    }

    /// Whether its one range of sizes makes sense and has a figure.
    pub fn check_line(&self) -> Result<(), String> {
        let Some(row) = self.rows.first() else { return Ok(()) };
        if row.from > row.to {
            return Err("to: smaller than the size before it".to_owned());
        }
        if row.is_bare() {
            let words = "a range of sizes has a proof, a yield or a tensile strength at least";
            return Err(words.to_owned());
        }
        Ok(())
    }

    /// Adds a line of the same name: its sizes, and what its names and source say
    /// more.
    pub(crate) fn join(&mut self, line: Self) {
        self.rows.extend(line.rows);
        for alias in line.aliases {
            if !self.aliases.contains(&alias) {
                self.aliases.push(alias);
            }
        }
        self.material = self.material.or(line.material);
        if !self.source.contains(&line.source) {
            self.source = format!("{}; {}", self.source, line.source);
        }
    }

    /// The same with some fields stated anew. Figures are those of the sizes `from`
    /// to `to`, which may be left out where there is one range of sizes only; a
    /// range that it does not have is added.
    pub fn with(&self, cells: &[Cell<'_>]) -> Result<Self, String> {
        let is_given = |name: &str| cells.iter().any(|(field, _)| field.name == name);
        let sized = is_given("from") || is_given("to");
        if sized && !(is_given("from") && is_given("to")) {
            return Err("say both ends of the sizes: from=… to=…, as in from=M6 to=M16".to_owned());
        }
        let figured = is_given("unit") || cells.iter().any(|(field, _)| field.is_figure());
        if figured && !sized && self.rows.len() != 1 {
            return Err(format!(
                "{} has {} ranges of sizes: say which by from=… to=…, as in from=M6 to=M16",
                self.name,
                self.rows.len()
            ));
        }
        let own = self.rows.first().filter(|_| !sized);
        let mut line =
            Self { source: self.source.clone(), unit: self.unit, ..Self::line(self.name.clone()) };
        line.aliases.clone_from(&self.aliases);
        line.material = self.material;
        line.rows.splice(.., own.copied().or_else(|| line.rows.first().copied()));
        for (field, text) in cells {
            field.set(&mut line, text).map_err(|error| error.to_string())?;
        }
        let mut new = self.clone();
        (new.aliases, new.unit, new.source) = (line.aliases, line.unit, line.source);
        new.material = line.material;
        let row = line.rows[0];
        if sized || figured {
            let given: Vec<&'static Field> = cells.iter().map(|(field, _)| *field).collect();
            new.put_row(row, &given)?;
        }
        Ok(new)
    }

    /// Changes the figures `given` of the range that `row` names, or adds it.
    fn put_row(&mut self, row: StrengthRow, given: &[&'static Field]) -> Result<(), String> {
        let alone = |row: StrengthRow| Self { rows: vec![row], ..Self::line(String::new()) };
        let only = self.rows.len() == 1 && !given.iter().any(|field| field.name == "from");
        if let Some(old) = self.rows.iter_mut().find(|known| only || known.is_of_sizes(&row)) {
            let mut changed = alone(*old);
            let figures = given.iter().filter(|field| field.is_figure());
            figures.for_each(|field| field.copy(&alone(row), &mut changed));
            *old = changed.rows[0];
            return changed.check_line();
        }
        if let Some(other) = self.rows.iter().find(|o| !o.ends_before(&row) && !row.ends_before(o))
        {
            let (from, to) = (other.from.mm(), other.to.mm());
            return Err(format!(
                "these sizes overlap those of another range of {}, {from} mm to {to} mm; name that \
                 range as it stands to change its figures",
                self.name
            ));
        }
        alone(row).check_line()?;
        self.rows.push(row);
        self.rows.sort_by(|one, other| one.from.mm().total_cmp(&other.from.mm()));
        Ok(())
    }

    /// The fields in which it differs from `old`; a figure with the sizes that it
    /// holds for.
    pub(crate) fn changes_from(&self, title: &str, old: Option<&Self>) -> Vec<FieldChange> {
        let fields = STRENGTHS.fields.iter();
        let fields = fields.filter(|field| !matches!(field.name, "name" | "from" | "to"));
        let pairs =
            fields.map(|field| (field, old.and_then(|old| old.text(field)), self.text(field)));
        changes(title, pairs)
    }

    fn text(&self, field: &Field) -> Option<String> {
        if !field.is_figure() {
            return field.value(self).cell().map(std::borrow::Cow::into_owned);
        }
        let figure = |line: Self| {
            let figure = field.value(&line).cell()?.into_owned();
            Some(format!("{figure} ({})", line.rows[0].sizes()))
        };
        let each: Vec<String> = self.lines().filter_map(figure).collect();
        (!each.is_empty()).then(|| each.join("; "))
    }
}

impl Field {
    /// Whether it is a figure of one range of sizes.
    fn is_figure(&self) -> bool {
        matches!(self.kind, FieldKind::Quantity(_))
    }
}

impl StrengthRow {
    fn is_bare(&self) -> bool {
        self.proof.is_none() && self.yield_.is_none() && self.tensile.is_none()
    }

    fn is_of_sizes(&self, other: &Self) -> bool {
        near(self.from, other.from) && self.above == other.above && near(self.to, other.to)
    }

    fn ends_before(&self, other: &Self) -> bool {
        let touch = near(self.to, other.from);
        (self.to < other.from && !touch) || (touch && other.above)
    }

    /// `over 12 to 24 mm`.
    fn sizes(&self) -> String {
        let mm = |size: Length| (size.mm() * 1000.0).round() / 1000.0;
        let over = if self.above { "over " } else { "" };
        format!("{over}{} to {} mm", mm(self.from), mm(self.to))
    }
}

/// An inch size that is printed in millimetres comes back a thousandth off.
fn near(one: Length, other: Length) -> bool {
    (one.mm() - other.mm()).abs() < 0.001
}
