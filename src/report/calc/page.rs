//! A page of figures with its working.

use crate::query::run::UnitsWanted;
use crate::report::calc::figure::Figure;
use crate::report::cautions::SAFETY;
use crate::report::csv::one_line;
use crate::report::json::Json;
use crate::report::lay::{clean, pad, untied, width, wrap};
use crate::report::style::{Style, Tone};
use crate::report::working::Working;

/// The answer of one form of `calc`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Page {
    pub(super) title: String,
    /// Inch units stand first on the page.
    pub(super) inch: bool,
    pub(super) figures: Vec<Figure>,
    pub(super) assumed: Vec<String>,
    pub(super) warnings: Vec<String>,
    pub(super) refused: Option<String>,
    pub(super) working: Working,
    /// Keys that stand before those of the figures.
    pub(super) before: Option<Json>,
}

impl Page {
    /// An empty page; `inch` puts inch units first.
    pub(super) fn new(title: impl Into<String>, inch: bool) -> Self {
        Self { title: title.into(), inch, ..Self::default() }
    }

    /// Adds a figure.
    pub(super) fn put(&mut self, figure: Figure) {
        self.figures.push(figure);
    }

    /// Whether the figure that was asked for is not given.
    pub fn is_refused(&self) -> bool {
        self.refused.is_some()
    }

    /// The page in lines of at most `limit` columns.
    pub fn table(&self, wanted: &UnitsWanted, limit: usize, style: Style) -> String {
        let limit = limit.max(30);
        let mut lines: Vec<String> = wrap(&self.title, limit);
        for line in &mut lines {
            *line = style.paint(Tone::Heading, line);
        }
        let drawn: Vec<(&str, String)> =
            self.figures.iter().filter_map(|figure| figure.drawn(wanted, self.inch)).collect();
        let names = drawn.iter().map(|(name, _)| width(name)).max().unwrap_or(0) + 2;
        for (name, value) in &drawn {
            let room = limit.saturating_sub(names).max(12);
            for (at, piece) in wrap(value, room).iter().enumerate() {
                let name = if at == 0 { *name } else { "" };
                lines.push(format!("{}{piece}", pad(name, names)).trim_end().to_owned());
            }
        }
        if let Some(reason) = &self.refused {
            let reason = wrap(&format!("refused: {}", clean(reason)), limit);
            lines.extend(reason.iter().map(|line| style.paint(Tone::Danger, line)));
        }
        let assumed = self.assumed.iter().map(|text| format!("ASSUMED: {}", clean(text)));
        let said = assumed.chain(self.warnings.iter().map(|text| clean(text)));
        lines.extend(said.flat_map(|text| wrap(&text, limit)));
        lines.extend(wrap(SAFETY, limit).iter().map(|line| style.paint(Tone::Faint, line)));
        lines.iter().map(|line| untied(line) + "\n").collect()
    }

    /// The working, in lines of at most `limit` columns.
    pub fn why(&self, limit: usize, style: Style) -> String {
        let lines = self.working.draw(limit.max(30), style);
        let title = style.paint(Tone::Heading, "WHY");
        std::iter::once(title).chain(lines).map(|line| line + "\n").collect()
    }

    /// The figures for a program, SI and unrounded; with the working if `why`.
    pub fn json(&self, why: bool) -> Json {
        let mut json = self.before.clone().unwrap_or(Json::Object(Vec::new()));
        for figure in &self.figures {
            figure.put(&mut json);
        }
        json.add("assumed", self.assumed.clone().into());
        json.add("refused", self.refused.as_ref().into());
        json.add("warnings", self.warnings.clone().into());
        if why {
            json.add("working", self.working.json());
        }
        json
    }

    /// The same values as one line of CSV under a header of the keys.
    pub fn csv(&self) -> String {
        one_line(&self.json(false))
    }
}
