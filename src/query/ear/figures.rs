//! Figures as people type them, which the language would refuse on sight: a dash for a
//! range, a bolt by thread and length, a tightening order.

use crate::quantity::{DecimalMark, Dimension, Number, take_unit};
use crate::record::{FieldKind, find_field};
use crate::text::{Plain, Span};
use crate::thread::Pattern;

/// Whether `word`, in lower case, may want what this file does.
pub(super) fn may_be(word: &str) -> bool {
    let has_figure = word.contains(|c: char| c.is_ascii_digit());
    word == "-"
        || has_figure && (word.contains('-') || ends_in_length(word))
        || word.contains("..")
        || matches!(word, "to" | "x" | "&" | "inch" | "inches" | "in" | "mm")
        || word.ends_with('?')
}

/// `m10x1.5x40` and `m8x25`, not `m10x1.5`: no pitch is above 6 mm.
fn ends_in_length(word: &str) -> bool {
    const COARSEST: f64 = 6.0;
    let last = |(_, last): (&str, &str)| last.parse().is_ok_and(|last: f64| last > COARSEST);
    word.matches('x').count() > 1 || word.rsplit_once('x').is_some_and(last)
}

/// A text with what the language would refuse on sight written its way.
pub(super) struct Mended {
    pub(super) text: String,
    /// For each byte of it, and one past its end, the byte that was typed.
    origin: Vec<usize>,
}

impl Mended {
    fn push(&mut self, text: &str, typed: usize) {
        self.text.push_str(text);
        self.origin.extend((0..text.len()).map(|_| typed));
    }

    fn copy(&mut self, text: &str, typed: usize) {
        self.text.push_str(text);
        self.origin.extend(typed..typed + text.len());
    }

    /// A span of the mended text in the text that was typed.
    pub(super) fn typed(&self, span: Span) -> Span {
        let start = self.origin[span.start];
        Span::new(start, self.origin[span.end].max(start))
    }
}

/// `typed` mended, and whether anything had to be.
pub(super) fn mended(typed: &str) -> (Mended, bool) {
    let plain = Plain::new(typed);
    let text = plain.as_str();
    let mut out = Mended { text: String::with_capacity(text.len()), origin: Vec::new() };
    let (mut at, mut is_changed, mut in_quotes) = (0, false, false);
    while let Some(next) = text[at..].chars().next() {
        let length = next.len_utf8();
        let starts = at == 0 || text[..at].ends_with([' ', ',', '(', '"', '=', '<', '>']);
        in_quotes ^= next == '"' && (in_quotes || at == 0 || text[..at].ends_with([' ', ',', '(']));
        let mended = if in_quotes || !starts {
            None
        } else {
            mend_run(&text[at..], &mut out, at).or_else(|| text_of_field(text, at, &mut out))
        };
        // `which bolts need sealant?`
        let is_asked = next == '?' && !in_quotes && text[at + 1..].trim().is_empty();
        let mended = if is_asked { Some(1) } else { mended };
        match mended {
            Some(taken) => {
                is_changed = true;
                at += taken;
            }
            None => {
                out.copy(&text[at..at + length], at);
                at += length;
            }
        }
    }
    out.origin.push(text.len());
    // To the text before its odd signs were made plain.
    let origin = out.origin.iter().map(|at| plain.span(Span::new(*at, *at)).start);
    out.origin = origin.collect();
    (out, is_changed)
}

/// Mends what stands at the start of `rest`; how many bytes of it that takes.
fn mend_run(rest: &str, out: &mut Mended, at: usize) -> Option<usize> {
    let run = &rest[..rest.find([' ', ',', '(', ')']).unwrap_or(rest.len())];
    if let Some((field, _)) = run.split_once(':')
        && find_field(field).is_some()
    {
        out.copy(field, at);
        out.push(" ", at + field.len());
        return Some(field.len() + 1);
    }
    // `tern: oil`: what is asked of it comes after.
    if let Some(name) = run.strip_suffix(':').filter(|name| !name.is_empty()) {
        out.copy(name, at);
        out.push(",", at + name.len());
        return Some(run.len());
    }
    if run == "&" {
        out.push("and", at);
        return Some(run.len());
    }
    thread_and_length(rest, out, at)
        .or_else(|| dash_range(rest, out, at))
        .or_else(|| mixed_number(rest, out, at))
}

/// `2 1/4 in`: a whole number and a fraction before a unit of length.
fn mixed_number(rest: &str, out: &mut Mended, at: usize) -> Option<usize> {
    let (whole, length) = mixed_length(rest)?;
    let after = &rest[length..];
    let unit = take_unit(after.trim_start_matches(' ')).map(|(unit, _)| unit.dimension);
    if unit != Some(Dimension::Length) && !after.starts_with('"') {
        return None;
    }
    out.copy(&rest[..whole], at);
    out.push("-", at + whole);
    out.copy(&rest[whole + 1..length], at + whole + 1);
    Some(length)
}

/// The length of the `2` and of the whole of `2 1/4` at the start.
fn mixed_length(text: &str) -> Option<(usize, usize)> {
    let digits = |text: &str| text.bytes().take_while(u8::is_ascii_digit).count();
    let whole = digits(text);
    let fraction = text[whole..].strip_prefix(' ').filter(|_| whole > 0)?;
    let top = digits(fraction);
    let below = digits(fraction[top..].strip_prefix('/').filter(|_| top > 0)?);
    (below > 0).then_some((whole, whole + 1 + top + 1 + below))
}

/// `page 2-30`, `passes 30%, 60%, 100%`: figures after a field of words, no thread and no
/// sum; and a tightening order wherever it stands, `1-3-2-4`.
fn text_of_field(text: &str, at: usize, out: &mut Mended) -> Option<usize> {
    let rest = &text[at..];
    if !rest.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let run = &rest[..rest.find([' ', ',', '(', ')']).unwrap_or(rest.len())];
    let before = text[..at].trim_end().rsplit([' ', ',', '(']).next();
    let field = before.and_then(find_field).map(|field| field.kind);
    let is_dashed =
        run.contains('-') && run.bytes().all(|byte| byte.is_ascii_digit() || byte == b'-');
    let length = match field {
        Some(FieldKind::Text) if is_dashed => run.len(),
        Some(FieldKind::Text | FieldKind::List) => list_length(rest)?,
        _ if is_dashed && is_order(run) => {
            out.push("order ", at);
            run.len()
        }
        _ => return None,
    };
    out.push("\"", at);
    out.copy(&rest[..length], at);
    out.push("\"", at + length - 1);
    Some(length)
}

/// Whether the numbers are those from 1 up, each once: no thread, no date, no part number.
fn is_order(run: &str) -> bool {
    let mut numbers: Vec<usize> = run.split('-').filter_map(|number| number.parse().ok()).collect();
    numbers.sort_unstable();
    numbers.len() > 2 && numbers.iter().copied().eq(1..=run.split('-').count())
}

/// The length of `30%, 60%, 100%` at the start, of two figures or more with their units.
fn list_length(text: &str) -> Option<usize> {
    let (mut end, mut figures, mut at) = (0, 0, 0);
    loop {
        let figure = figure_length(&text[at..]);
        let unit = &text[at + figure..];
        let blanks = unit.len() - unit.trim_start_matches(' ').len();
        let unit = take_unit(&unit[blanks..]).map_or(0, |(_, length)| blanks + length);
        let after = &text[at + figure + unit..];
        if figure * unit == 0
            || !matches!(after.as_bytes().first(), None | Some(b',' | b' ' | b')'))
        {
            break;
        }
        end = at + figure + unit;
        figures += 1;
        let Some(next) = after.strip_prefix(',') else { break };
        at = text.len() - next.trim_start_matches(' ').len();
    }
    (figures > 1).then_some(end)
}

/// `M10x1.5x40`, `M8 x 25`, `3/8-16 x 2-1/2`: thread and length, in mm of a metric
/// thread and in inches of any other, as bolts are sold (ISO 4014, ASME B18.2.1).
fn thread_and_length(rest: &str, out: &mut Mended, at: usize) -> Option<usize> {
    const LONGEST: usize = 40;
    let is_size = |c: char| c.is_ascii_digit() || c == '#';
    if !rest.starts_with(is_size) && !rest.trim_start_matches(['m', 'M']).starts_with(is_size) {
        return None;
    }
    let near = &rest[..rest.find([',', '(', ')']).unwrap_or(rest.len())];
    let near = &near[..near.floor_char_boundary(LONGEST)];
    let crosses: Vec<usize> = near.match_indices(['x', 'X']).map(|(cross, _)| cross).collect();
    crosses.into_iter().rev().find_map(|cross| {
        let (thread, after) = (near[..cross].trim_end_matches(' '), &near[cross + 1..]);
        let figure = after.trim_start_matches(' ');
        let length = size_length(figure);
        let ends = length > 0 && matches!(figure.as_bytes().get(length), None | Some(b' '));
        let start = near.len() - figure.len();
        let unit = take_unit(figure[length..].trim_start_matches(' '));
        let is_pitch = || Pattern::parse(&near[..start + length]).is_ok();
        if !ends || unit.is_some() || Pattern::parse(thread).is_err() || is_pitch() {
            return None;
        }
        out.copy(thread, at);
        out.push(" x ", at + thread.len());
        out.push(&figure[..length].replace(' ', "-"), at + start);
        let is_metric = thread.starts_with(['m', 'M']);
        out.push(if is_metric { " mm" } else { " in" }, at + start + length - 1);
        Some(start + length)
    })
}

/// The length of `20`, `20.5`, `3/4`, `2-1/2` or `2 1/2` at the start.
fn size_length(text: &str) -> usize {
    if let Some((_, length)) = mixed_length(text) {
        return length;
    }
    let run = &text[..text.find(' ').unwrap_or(text.len())];
    match Number::parse(run, DecimalMark::Point) {
        Ok(_) => run.len(),
        Err(_) => figure_length(text),
    }
}

/// `20-50 Nm`, `20 - 50 Nm`: a dash between figures directly before a unit of
/// torque, force or stress, or mm.
fn dash_range(rest: &str, out: &mut Mended, at: usize) -> Option<usize> {
    let low = figure_length(rest);
    let after = rest[low..].trim_start_matches(' ');
    let high_text = after.strip_prefix('-').filter(|_| low > 0)?.trim_start_matches(' ');
    let high = figure_length(high_text);
    let unit = high_text.get(high..).filter(|_| high > 0)?.trim_start_matches(' ');
    let (unit, _) = take_unit(unit)?;
    let is_range =
        matches!(unit.dimension, Dimension::Torque | Dimension::Force | Dimension::Stress)
            || unit.symbol == "mm";
    if !is_range {
        return None;
    }
    let start = rest.len() - high_text.len();
    out.copy(&rest[..low], at);
    out.push("..", at + low);
    out.copy(&rest[start..start + high], at + start);
    Some(start + high)
}

/// The length of `20` or `20.5` at the start.
fn figure_length(text: &str) -> usize {
    let digits = |text: &str| text.bytes().take_while(u8::is_ascii_digit).count();
    let whole = digits(text);
    let places = text[whole..].strip_prefix('.').map_or(0, digits);
    if whole == 0 || places == 0 { whole } else { whole + 1 + places }
}
