//! `calc THREAD`: torque, clamp and stress of one thread.

use serde_json::{Map, Value};

use crate::mechanics::{self, Bearing, Form, FormRange, TORSION_LEFT, Target, is_past};
use crate::quantity::{Extent, Length, Ratio, Torque};
use crate::query::run::UnitsWanted;
use crate::record::{Friction, Lubes, Row, Tables, best_form};
use crate::report::calc::Page;
use crate::report::calc::figure::Figure;
use crate::report::duties::{Duty, duties};
use crate::report::figures::{factor_range, per_cent};
use crate::report::json::row_json;
use crate::report::lay::{clean, tied, untied};
use crate::report::pull::Pull;
use crate::report::working::{band_words, row_working, target_working};
use crate::thread::Geometry;

/// What was asked for.
#[derive(Debug, Clone, PartialEq)]
pub enum Aim {
    /// The clamp of this torque.
    Torque(Extent<Torque>),
    /// The torque that reaches this target.
    Target { text: String, target: Target },
}

/// A thread, a lube and a torque or a target, worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct TorqueSum {
    pub aim: Aim,
    /// The result; without a torque where it was refused.
    pub row: Row,
    /// The result as it came out, where it was refused.
    pub tried: Option<Row>,
    /// The lube is one of the book, not made of factors that were given.
    pub is_named: bool,
}

/// The keys of a row of the book that a sum does not have.
const NOT_OF_A_SUM: [&str; 4] = ["key", "assembly", "joint", "part"];

/// What holds for every sum of a known form.
struct FrictionKnown {
    geometry: Geometry,
    friction: Friction,
}

impl FrictionKnown {
    fn form(&self) -> &Form {
        &self.friction.range.nominal
    }

    /// The face that slides, in the long form.
    fn ring(&self) -> Option<Bearing> {
        match *self.form() {
            Form::Long { face, .. } => Some(face),
            Form::Short { .. } => None,
        }
    }
}

impl TorqueSum {
    /// The page, with the lubes and strengths of `tables`.
    pub fn page(&self, tables: &Tables) -> Page {
        let row = &self.row;
        let thread = row.fastener.thread.as_ref();
        let geometry = thread.and_then(|thread| thread.geometry().ok());
        let friction = Lubes::named_by(&row.setting, tables)
            .and_then(|lubes| best_form(&row.fastener, lubes))
            .ok();
        let known = geometry.zip(friction);
        let known = known.map(|(geometry, friction)| FrictionKnown { geometry, friction });
        let title = thread.map(ToString::to_string).unwrap_or_default();
        let is_inch = thread.is_some_and(|thread| thread.tpi().is_some());
        let mut page = Page::new(title, is_inch);
        page.before = self.row_keys();
        self.inputs(tables, &mut page);
        self.results(tables, known.as_ref(), &mut page);
        self.friction(known.as_ref(), &mut page);
        self.sizes(geometry, &mut page);
        page.refused = row.refused.as_ref().map(ToString::to_string);
        if page.is_refused() {
            page.figures = page.figures.into_iter().map(Figure::if_known).collect();
        }
        page.warnings = self.warnings();
        page.working = self.working(tables);
        page
    }

    /// The keys of a row, less those that belong to a book.
    fn row_keys(&self) -> Map<String, Value> {
        let null = |key: &str| NOT_OF_A_SUM.contains(&key) || (key == "lube" && !self.is_named);
        let entries = row_json(&self.row, 0, &[]).into_iter();
        let entries = entries.filter(|(key, _)| key != "refused" && key != "warnings");
        let entry = |(key, value): (String, Value)| match key.as_str() {
            name if null(name) => (key, Value::Null),
            "torque" => (key, self.torque_text().into()),
            _ => (key, value),
        };
        entries.map(entry).collect()
    }

    /// The torque as it is said: a given one as written, a computed one rounded.
    fn torque_text(&self) -> Option<String> {
        self.row.setting.torque?;
        match &self.aim {
            Aim::Torque(given) => Some(given.to_string()),
            Aim::Target { .. } => {
                Some(Pull::new(&self.row.setting, &UnitsWanted::AsWritten).first())
            }
        }
    }

    fn inputs(&self, tables: &Tables, page: &mut Page) {
        let fastener = &self.row.fastener;
        if let Some(hole) = &fastener.hole_thread {
            page.put(Figure::on_page("hole end", hole.to_string()));
        }
        page.put(Figure::on_page("strength", untied(&crate::report::cells::strength(fastener))));
        let lube = self.row.setting.lube.as_deref().and_then(|name| tables.lube(name));
        if let Some(lube) = lube {
            let source = lube.source.as_deref().map_or_else(String::new, clean);
            if self.is_named {
                page.put(Figure::on_page("lube", clean(&lube.name)));
            }
            page.put(Figure::words("friction_source", "", Some(source)).unshown());
        }
        if let Aim::Target { text, .. } = &self.aim {
            page.put(Figure::words("target", "target", Some(clean(text))));
        }
    }

    fn results(&self, tables: &Tables, known: Option<&FrictionKnown>, page: &mut Page) {
        let (row, derived) = (&self.row, &self.row.derived);
        if let Some(torque) = row.setting.torque {
            page.put(self.torque(torque));
        }
        let band = band_words(row, tables);
        let clamp = Figure::band("clamp", derived.clamp);
        page.put(match (&band, &derived.no_clamp) {
            (Some(band), _) => {
                // The source stands in the working.
                let words = band.split_once(": ").map_or(band.as_str(), |(words, _)| words);
                clamp.remark(format!("band: {words}"))
            }
            (None, Some(reason)) if row.refused.is_none() => {
                clamp.remark(format!("none: {reason}"))
            }
            _ => clamp,
        });
        page.put(Figure::words("band_from", "", band).unshown());
        let place = derived.section.filter(|place| *place != mechanics::SectionAt::Thread);
        let there = |figure: Figure, share: Option<f64>| match place.filter(|_| share.is_some()) {
            Some(place) => figure.remark(format!("in the {place}, the smallest section")),
            None => figure,
        };
        page.put(there(Figure::share("of_proof", "of proof", derived.of_proof), derived.of_proof));
        page.put(there(Figure::share("of_yield", "of yield", derived.of_yield), derived.of_yield));
        if place.is_some() {
            let share = derived.turned_of_yield;
            page.put(Figure::share("turned_of_yield", "at the thread", share).going_on("of yield"));
        }
        page.put(combined(derived.combined, known));
        page.put(self.combined_after(known));
    }

    fn torque(&self, torque: Extent<Torque>) -> Figure {
        match torque {
            Extent::Exactly(value) if matches!(self.aim, Aim::Torque(_)) => {
                Figure::given("torque", "torque", value)
            }
            Extent::Exactly(value) => Figure::computed_torque(value).remark("COMPUTED"),
            _ => Figure::on_page("torque", torque.to_string()),
        }
    }

    fn combined_after(&self, known: Option<&FrictionKnown>) -> Figure {
        let share = known.zip(self.row.derived.clamp).and_then(|(known, clamp)| {
            let (clamp, area) = (clamp.nominal, known.geometry.stress_area);
            let twist = known.form().thread_torque(&known.geometry, clamp).ok()??;
            let after = mechanics::combined_after(clamp, area, twist, TORSION_LEFT).ok()?;
            Some(after / self.row.derived.yield_?)
        });
        Figure::share("combined_after_of_yield", "wrench off", share)
            .going_on("of yield, half of the torsion left")
            .if_known()
    }

    /// K, the split of the torque, and the ring that slides.
    fn friction(&self, known: Option<&FrictionKnown>, page: &mut Page) {
        let Some(known) = known else { return };
        let (form, geometry) = (known.form(), &known.geometry);
        let k = form.equivalent_k(geometry).ok().map(Ratio::value);
        let is_long = matches!(form, Form::Long { .. });
        page.put(k_figure(k, &known.friction.range));
        page.put(Figure::hidden("equivalent_k", k.filter(|_| is_long)));
        page.put(Figure::hidden("form", form.name()));
        let shares = form.shares(geometry).ok().flatten();
        let split = shares.map(|[pitch, thread, face]| {
            let [pitch, thread, face] =
                [pitch, thread, face].map(|s| tied(&format!("{} %", per_cent(s.value()))));
            format!("pitch {pitch}, thread {thread}, face {face}")
        });
        if let Some(split) = split {
            page.put(Figure::on_page("torque goes to", split));
        }
        for (at, key) in ["share_pitch", "share_thread", "share_face"].into_iter().enumerate() {
            page.put(Figure::hidden(key, shares.map(|shares| shares[at].value())));
        }
        let twist = self
            .row
            .derived
            .clamp
            .and_then(|clamp| form.thread_torque(geometry, clamp.nominal).ok().flatten());
        page.put(Figure::maybe("thread_torque", "twists the bolt", twist).if_known());
        ring_figures(known.ring(), page);
        page.assumed.extend(known.friction.assumed.map(|assumed| {
            format!("the face that slides is that of a {assumed}; --bearing OUTER,HOLE states it")
        }));
        let range = &known.friction.range;
        if !self.is_named && range.low == range.high {
            let text = "no range of friction was given, nor whether it is lubricated: the wider \
                        published scatter; a range LOW..HIGH gives a band of its own";
            page.assumed.push(text.to_owned());
        }
    }

    fn sizes(&self, geometry: Option<Geometry>, page: &mut Page) {
        let derived = &self.row.derived;
        page.put(Figure::maybe("stress_area", "section", derived.area));
        page.put(Figure::maybe("stress", "tension", derived.stress));
        page.put(Figure::maybe("proof_load", "proof load", derived.proof_load).fine(3));
        page.put(Figure::maybe("yield_load", "yield load", derived.yield_load).fine(3));
        let size = |pick: fn(Geometry) -> Length| geometry.map(pick);
        page.put(Figure::maybe("major_diameter", "", size(|g| g.major)).unshown());
        page.put(Figure::maybe("pitch", "", size(|g| g.pitch)).unshown());
        page.put(Figure::maybe("pitch_diameter", "pitch diameter", size(|g| g.pitch_diameter)));
        page.put(Figure::maybe("minor_diameter", "minor diameter", size(|g| g.minor_diameter)));
    }

    fn warnings(&self) -> Vec<String> {
        let (row, derived) = (&self.row, &self.row.derived);
        let cautions = duties(&[row], &UnitsWanted::AsWritten).into_iter().filter(Duty::is_caution);
        let mut warnings: Vec<String> = cautions.map(|duty| untied(&duty.words())).collect();
        if is_past(derived.of_yield) || is_past(derived.combined) {
            warnings.insert(
                0,
                "PAST YIELD: the bolt gives before this; the clamp is less than the sum says"
                    .to_owned(),
            );
        } else if is_past(derived.of_proof) {
            warnings.insert(0, "PAST PROOF".to_owned());
        }
        if let Aim::Target { target: Target::Combined(_), .. } = &self.aim
            && row.refused.is_none()
        {
            warnings.push("an answer, not a recommendation".to_owned());
        }
        warnings
    }

    fn working(&self, tables: &Tables) -> crate::report::working::Working {
        let row = self.tried.as_ref().unwrap_or(&self.row);
        let mut working = match &self.aim {
            Aim::Torque(_) => row_working(row, tables, false),
            Aim::Target { target, .. } => target_working(row, *target, tables),
        };
        if let Some(reason) = &self.row.refused {
            working.remark(format!("refused: {}", clean(&reason.to_string())));
        }
        working
    }
}

fn combined(share: Option<f64>, known: Option<&FrictionKnown>) -> Figure {
    let figure = Figure::share("combined_of_yield", "combined", share);
    match (share, known.map(FrictionKnown::form)) {
        (Some(_), _) => figure.going_on("of yield, tension with torsion while tightening"),
        (None, Some(Form::Short { .. })) => {
            figure.remark("not computed: K alone does not say how much of the torque twists")
        }
        (None, _) => figure,
    }
}

fn k_figure(k: Option<f64>, range: &FormRange) -> Figure {
    let figure = Figure::number("k", "K", k, 3);
    match (range.low, range.nominal, range.high) {
        (Form::Short { k: low }, Form::Short { k }, Form::Short { k: high }) => {
            let [low, nominal, high] = [low, k, high].map(Ratio::value);
            let text = factor_range(crate::record::Band { low, nominal, high });
            Figure::on_page("K", format!("{text}, short form"))
        }
        _ => figure.going_on("equivalent, long form"),
    }
}

fn ring_figures(ring: Option<Bearing>, page: &mut Page) {
    let (outer, hole) = (ring.map(|ring| ring.outer), ring.map(|ring| ring.hole));
    page.put(Figure::maybe("bearing_outer", "face outer", outer).if_known());
    page.put(Figure::maybe("bearing_hole", "face hole", hole).if_known());
}
