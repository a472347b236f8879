//! Why: for each figure the formula, its inputs and its published source, like
//! a page of a notebook.

use crate::mechanics::{Control, Form, FormRange};
use crate::quantity::{Area, Extent, Force, Length, Torque};
use crate::query::run::{Answer, UnitsWanted};
use crate::record::{
    Basis, Derived, Fastener, Lube, LubeClass, Lubes, Method, Row, Setting, Tables, best_form,
};
use crate::report::cells;
use crate::report::figures::{per_cent, short};
use crate::report::lay::{clean, pad, untied, wrap};
use crate::report::pull::Pull;
use crate::thread::{Family, Geometry, Thread};

/// Columns of a page, and of the names at its left.
const WIDTH: usize = 96;
const NAMES: usize = 12;

/// One page for each row of the answer, a blank line between two.
///
/// Names for each computed figure the formula, the inputs with their units and
/// the published source; `tables` are those that the answer was computed with.
pub fn why(answer: &Answer, tables: &Tables) -> String {
    let pages = answer.rows.iter().map(|row| page(row, tables, &answer.units));
    pages.collect::<Vec<_>>().join("\n")
}

/// The page of one row.
pub fn why_row(row: &Row, tables: &Tables) -> String {
    page(row, tables, &UnitsWanted::AsWritten)
}

/// Lines of a page: a name at the left, a text that is wrapped beside it.
struct Notebook(Vec<String>);

impl Notebook {
    fn line(&mut self, name: &str, text: &str) {
        for (index, piece) in wrap(text, WIDTH - NAMES - 2).into_iter().enumerate() {
            let name = if index == 0 { name } else { "" };
            self.0.push(untied(&format!("  {}{piece}", pad(name, NAMES))).trim_end().to_owned());
        }
    }

    /// A figure, how it was computed, and where the formula is published.
    fn figure(&mut self, name: &str, formula: &str, source: &str) {
        self.line(name, formula);
        self.line("", &format!("[{source}]"));
    }
}

fn page(row: &Row, tables: &Tables, wanted: &UnitsWanted) -> String {
    let mut book = Notebook(Vec::new());
    let title = match &row.refused {
        Some(reason) => format!("{}: refused: {}", clean(&row.key), clean(reason)),
        None => format!(
            "{}: {}, {}, {}",
            clean(&row.key),
            Pull::of(&row.setting, wanted).with_units(),
            cells::lube(&row.setting),
            cells::basis(&row.setting)
        ),
    };
    book.0.extend(wrap(&title, WIDTH).iter().map(|line| untied(line)));
    if row.refused.is_none() {
        book.line("source", &cells::source(row));
        restated(row, tables, &mut book);
        derived(row, tables, &mut book);
    }
    book.0.join("\n") + "\n"
}

/// T2 = T1·(K2/K1), with both factors.
fn restated(row: &Row, tables: &Tables, book: &mut Notebook) {
    let Some(restated) = &row.restated else { return };
    let Some(from) = tables.lube(&restated.from_lube) else { return };
    let mut source = Setting::new(Method::Torque, Basis::Listed);
    source.lube = Some(from.name.clone());
    let [Some(old), Some(new)] =
        [&source, &row.setting].map(|setting| form_of(&row.fastener, setting, tables))
    else {
        return;
    };
    let result = row.setting.torque.and_then(Extent::low).map_or(0.0, Torque::nm);
    let formula = match (old.nominal, new.nominal) {
        (Form::Short { k: old }, Form::Short { k: new }) => format!(
            "T2 = T1 · K2/K1 = {} N·m · {} / {} = {} N·m",
            short(restated.from_torque_nm, 4),
            short(new.value(), 3),
            short(old.value(), 3),
            short(result, 4)
        ),
        _ => format!(
            "T2 = T1 · lever2/lever1, the long form for both lubes: {} N·m becomes {} N·m",
            short(restated.from_torque_nm, 4),
            short(result, 4)
        ),
    };
    book.figure(
        "restated",
        &formula,
        "equal clamp: both torques by the same form of T = F · lever",
    );
    book.line("", &friction_source(from));
}

fn friction_source(lube: &Lube) -> String {
    let source = lube.source.as_deref().map_or_else(|| "no source".to_owned(), clean);
    format!("{}: {source}", clean(&lube.name))
}

fn form_of(fastener: &Fastener, setting: &Setting, tables: &Tables) -> Option<FormRange> {
    best_form(fastener, Lubes::of(setting, tables).ok()?).ok().map(|(_, range)| range)
}

fn derived(row: &Row, tables: &Tables, book: &mut Notebook) {
    let thread = row.fastener.thread.as_ref();
    let geometry = thread.and_then(|thread| thread.geometry().ok());
    let (Some(clamp), Some(geometry)) = (row.derived.clamp, geometry) else {
        let reason = row.derived.no_clamp.as_deref().unwrap_or("thread not stated");
        book.line("clamp", &format!("none: {}", clean(reason)));
        return;
    };
    let range = form_of(&row.fastener, &row.setting, tables);
    if let Some(range) = &range {
        friction(row, tables, range, book);
        book.figure(
            "clamp",
            &clamp_formula(range.nominal, &geometry, clamp.nominal),
            form_source(range.nominal),
        );
    }
    band(row, tables, book);
    area(row, book);
    shares(&row.derived, book);
    combined(row, range.map(|range| range.nominal), &geometry, book);
}

/// The factors with their range and where they come from.
fn friction(row: &Row, tables: &Tables, range: &FormRange, book: &mut Notebook) {
    let text = match (range.low, range.nominal, range.high) {
        (Form::Short { k: low }, Form::Short { k }, Form::Short { k: high }) => {
            let [low, k, high] = [low, k, high].map(|k| short(k.value(), 3));
            format!("K = {k} ({low}–{high})")
        }
        (_, Form::Long { thread, bearing, face }, _) => format!(
            "μ thread {}, μ face {}, face ring {} mm over a {} mm hole",
            short(thread.value(), 3),
            short(bearing.value(), 3),
            short(face.outer.mm(), 4),
            short(face.hole.mm(), 4)
        ),
        _ => return,
    };
    book.line("friction", &text);
    let lubes = [&row.setting.lube, &row.setting.face_lube].into_iter().flatten();
    let known = lubes.filter_map(|name| tables.lube(name));
    for lube in known {
        book.line("", &format!("[{}]", friction_source(lube)));
    }
}

fn clamp_formula(form: Form, thread: &Geometry, clamp: Force) -> String {
    let torque = form.torque(thread, clamp).map_or(0.0, Torque::nm);
    let (torque, clamp) = (short(torque, 4), short(clamp.n() / 1000.0, 3));
    match form {
        Form::Short { k } => format!(
            "F = T / (K · d) = {torque} N·m / ({} · {} mm) = {clamp} kN",
            short(k.value(), 3),
            short(thread.major.mm(), 4)
        ),
        Form::Long { .. } => {
            let lever = form.lever(thread).map_or(0.0, Length::mm);
            format!(
                "F = T / (P/2π + μt·rt/cos β + μb·rb) = {torque} N·m / {} mm = {clamp} kN",
                short(lever, 4)
            )
        }
    }
}

fn form_source(form: Form) -> &'static str {
    match form {
        Form::Short { .. } => {
            "short form, Shigley's Mechanical Engineering Design, 9th ed., eq. 8-27"
        }
        Form::Long { .. } => "long form, VDI 2230 (2003) and ISO 16047",
    }
}

fn band(row: &Row, tables: &Tables, book: &mut Notebook) {
    let Some(clamp) = row.derived.clamp else { return };
    let ends =
        format!("{}–{} kN", short(clamp.low.n() / 1000.0, 3), short(clamp.high.n() / 1000.0, 3));
    if row.setting.basis == Basis::Computed {
        let source = "independent deviations added in squares, ISO/IEC Guide 98-3; \
                      wrench ±4 %, ISO 6789 (from memory)";
        let formula = format!("friction range and wrench by root-sum-square: {ends}");
        book.figure("band", &formula, source);
    } else {
        let class = row.setting.lube.as_deref().and_then(|name| tables.lube(name));
        let scatter = control(class.map(|lube| lube.class)).scatter();
        let formula = format!("F · (1 ∓ {}) = {ends}", short(scatter.either_side, 2));
        book.figure("band", &formula, scatter.source);
    }
    let limit = row.derived.yield_load.filter(|limit| clamp.high > *limit);
    if let Some(limit) = limit {
        let limit = short(limit.n() / 1000.0, 3);
        book.line("", &format!("the top of the band may pass yield, {limit} kN"));
    }
}

/// Which published scatter stands behind the band of a listed torque.
fn control(class: Option<LubeClass>) -> Control {
    match class {
        Some(LubeClass::Dry) => Control::TorqueDry,
        Some(LubeClass::Coating) => Control::TorqueCadmium,
        _ => Control::TorqueLubricated,
    }
}

fn area(row: &Row, book: &mut Notebook) {
    use crate::mechanics::Place;
    let (Some(area), Some(place)) = (row.derived.area, row.derived.section) else { return };
    let fastener = &row.fastener;
    let (formula, source) = match (place, &fastener.thread, &fastener.hole_thread) {
        (Place::Thread, Some(thread), _) | (Place::HoleThread, _, Some(thread)) => {
            let (formula, source) = area_formula(thread);
            (format!("{thread}: {formula}"), source)
        }
        _ => ("π/4 · d²".to_owned(), "round section"),
    };
    let area = short(area.mm2(), 4);
    book.figure("section", &format!("weakest is the {place}, {formula} = {area} mm²"), source);
}

/// The stress area of a thread, and where the formula stands.
fn area_formula(thread: &Thread) -> (&'static str, &'static str) {
    match thread.series().family() {
        Family::Metric | Family::MetricRadius => ("π/4 · (d − 0.9382·P)²", "ISO 898-1"),
        Family::Unified | Family::UnifiedRadius => ("π/4 · (d − 0.9743/n)²", "ASME B1.1"),
        Family::British => {
            ("π/4 · (d − 0.960491·P)²", "mean of effective and minor diameter, BS 84")
        }
        Family::BritishAssociation => {
            ("π/4 · (d − 0.9·P)²", "mean of effective and minor diameter, BS 93")
        }
        Family::Pipe => ("no clamp arithmetic", "pipe thread"),
    }
}

fn shares(derived: &Derived, book: &mut Notebook) {
    let (Some(clamp), Some(area)) = (derived.clamp, derived.area) else { return };
    let rows = [
        ("of proof", derived.proof, derived.of_proof),
        ("of yield", derived.yield_, derived.of_yield),
    ];
    for (name, strength, share) in rows {
        match strength.zip(share) {
            Some((strength, share)) => {
                let text = share_formula(clamp.nominal, strength.mpa(), area, share);
                book.figure(name, &text, "σ = F/A, as a share of the strength");
            }
            None => book.line(name, "not computed: strength not stated"),
        }
    }
}

fn share_formula(clamp: Force, strength: f64, area: Area, share: f64) -> String {
    format!(
        "{} kN / ({} MPa · {} mm²) = {} %",
        short(clamp.n() / 1000.0, 3),
        short(strength, 4),
        short(area.mm2(), 4),
        per_cent(share)
    )
}

fn combined(row: &Row, form: Option<Form>, thread: &Geometry, book: &mut Notebook) {
    let (Some(share), Some(form), Some(clamp)) = (row.derived.combined, form, row.derived.clamp)
    else {
        book.line("combined", "not computed: a K does not say how much of the torque twists");
        return;
    };
    let twist = form.thread_torque(thread, clamp.nominal).ok().flatten().map_or(0.0, Torque::nm);
    let text = format!(
        "√(σ² + 3·τ²) with τ = 12·T/(π·d0³), T in the thread {} N·m: {} % of yield",
        short(twist, 3),
        per_cent(share)
    );
    book.figure("combined", &text, "VDI 2230 (2003), at the turned thread while tightening");
}
