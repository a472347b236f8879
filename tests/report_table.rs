//! Tables as a terminal shows them.

#![allow(clippy::unwrap_used)] // a helper that fails fails its test

mod report_data;

use clampbook::report::{Style, find_table};
use report_data::{assert_fits, head_answer};

#[test]
fn try_it() {
    for width in [140, 80, 60, 40] {
        let text = find_table(&head_answer(), width, Style::plain());
        println!("---- {width}\n{text}");
        assert_fits(&text, width);
    }
}
