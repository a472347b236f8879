//! A page of figures with its working.

use serde_json::{Map, Value};

use crate::query::run::UnitsWanted;
use crate::report;
use crate::report::calc::figure::Figure;
use crate::report::duties::SAFETY;
use crate::report::lay::clean;
use crate::report::style::Tone;
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
    pub(super) before: Map<String, Value>,
}

impl Page {
    pub(super) fn new(title: impl Into<String>, inch: bool) -> Self {
        Self { title: title.into(), inch, ..Self::default() }
    }

    /// Says what was taken to be so.
    pub fn assume(&mut self, text: String) {
        self.assumed.push(text);
    }

    pub(super) fn warn(&mut self, text: impl Into<String>) {
        self.warnings.push(text.into());
    }

    pub(super) fn put(&mut self, figure: Figure) {
        self.figures.push(figure);
    }

    /// Whether the figure that was asked for is not given.
    pub fn is_refused(&self) -> bool {
        self.refused.is_some()
    }

    /// The page, in the units wanted; with the working if `why`.
    pub fn page(self, wanted: &UnitsWanted, why: bool) -> report::Page<'static> {
        let mut page = report::Page::new();
        page.toned(Tone::Heading, self.title);
        for (name, value) in self.figures.iter().filter_map(|one| one.drawn(wanted, self.inch)) {
            page.shown(name, value);
        }
        if let Some(reason) = &self.refused {
            page.toned(Tone::Danger, format!("refused: {}", clean(reason)));
        }
        let assumed = self.assumed.iter().map(|text| format!("ASSUMED: {}", clean(text)));
        for text in assumed.chain(self.warnings.iter().map(|text| clean(text))) {
            page.prose(text);
        }
        page.toned(Tone::Faint, SAFETY);
        let mut json = self.before;
        for figure in &self.figures {
            figure.put(&mut json);
        }
        let own: [(&str, Value); 3] = [
            ("assumed", self.assumed.into()),
            ("refused", self.refused.into()),
            ("warnings", self.warnings.into()),
        ];
        for (key, value) in json.into_iter().chain(own.map(|(key, value)| (key.to_owned(), value)))
        {
            page.fact(key, value);
        }
        if why {
            page.value("working", self.working.json());
            let working = self.working;
            page.drawn_beside(move |limit, style| {
                let title = style.paint(Tone::Heading, "WHY");
                let lines = working.draw(limit.max(30), style);
                [String::new(), title].into_iter().chain(lines).collect()
            });
        }
        page
    }
}
