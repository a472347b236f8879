//! What is wrong at which place of a text, drawn with a caret under it.

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};

use crate::report::style::Style;
use crate::text::{Diagnostic, Span, printable};

/// `diagnostic` under the `text` in which it was found; `origin` says what the
/// text is: "question". Of a text longer than `width` the
/// part around the place is shown.
pub fn draw(
    diagnostic: &Diagnostic,
    text: &str,
    origin: &str,
    width: usize,
    style: Style,
) -> String {
    let snippet = Snippet::source(text).path(origin).line_start(1);
    let caret = AnnotationKind::Primary.span(place(diagnostic.span, text));
    let caret = caret.label(printable(&diagnostic.label));
    let also = diagnostic.also.as_ref().map(|(span, label)| {
        AnnotationKind::Context.span(place(*span, text)).label(printable(label))
    });
    let help = diagnostic.help.iter().map(|line| Level::HELP.message(printable(line)));
    let group = Level::ERROR
        .primary_title(printable(&diagnostic.message))
        .id(diagnostic.code)
        .element(snippet.annotation(caret).annotations(also))
        .elements(help);
    let renderer = if style.is_coloured() { Renderer::styled() } else { Renderer::plain() };
    renderer.term_width(width).decor_style(DecorStyle::Ascii).render(&[group])
}

/// The span, moved onto characters of `text`.
fn place(span: Span, text: &str) -> std::ops::Range<usize> {
    let on_character = |at: usize| {
        let at = at.min(text.len());
        (0..=at).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0)
    };
    let start = on_character(span.start);
    start..on_character(span.end).max(start)
}
