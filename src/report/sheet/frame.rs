//! The HTML around the pages.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::report::lay::clean;
use crate::report::sheet::Paper;
use crate::report::sheet::about::GENERATOR;
use crate::report::sheet::style::css;

/// A policy that lets nothing be fetched and no script run, whatever the texts
/// of the book hold.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'";

pub(crate) fn document(title: &str, paper: Paper, pages: &[Markup]) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="generator" content=(GENERATOR);
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width";
                title { (clean(title)) }
                style { (PreEscaped(css(paper))) }
            }
            body {
                @for page in pages { (page) }
            }
        }
    };
    page.into_string()
}
