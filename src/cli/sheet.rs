//! `sheet`: the paper that goes to the bench.

use std::collections::HashMap;
use std::path::PathBuf;

use clap::ValueEnum;

use crate::cli::complete;
use crate::cli::exit::{Code, Failure};
use crate::cli::globals::Globals;
use crate::cli::joint::{layouts, order_of};
use crate::cli::out::Out;
use crate::cli::progress::Progress;
use crate::cli::wrench::{WrenchOptions, warn_of, warning_of, with_passes};
use crate::cli::{clock, file_out, open, question};
use crate::record::Layout;
use crate::report::{self, BenchJoint, RowPasses, SheetFacts};
use crate::store::Book;

/// The size of the paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Paper {
    /// 210 x 297 mm
    A4,
    /// 8.5 x 11 in
    Letter,
}

// `sheet`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook sheet suction flange oil -o flange.html
  clampbook sheet assembly \"Dunlin 2 mill\" -o build.html --paper letter
  clampbook sheet assembly \"Dunlin 2 mill\" --pocket -o card.html

One page for each joint. The file needs no network and no script; print it from
a browser, which also saves it as PDF.")]
pub(super) struct Sheet {
    /// The question that picks the settings
    #[arg(required = true, value_name = "QUESTION", add = complete::question())]
    pub question: Vec<String>,
    /// The file to write; - is standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: PathBuf,
    /// The paper
    #[arg(long, value_enum, default_value_t = Paper::A4)]
    pub paper: Paper,
    /// Cards with joint, torque and lube alone, to cut out and carry
    #[arg(long)]
    pub pocket: bool,
    /// A file that is there already is replaced
    #[arg(long)]
    pub replace: bool,
    /// A table of coordinates (hole, x mm, y mm), named like the layout that joints name
    #[arg(long, value_name = "FILE")]
    pub layout: Vec<PathBuf>,
    /// Steps and wrench
    #[command(flatten)]
    pub wrench: WrenchOptions,
}

/// Runs the command: 1 if nothing on it can be pulled.
pub(super) fn run(globals: &Globals, sheet: &Sheet, out: &mut Out) -> Result<Code, Failure> {
    let layouts = layouts(&sheet.layout)?;
    let opened = open::reader(globals)?;
    let book = &opened.book;
    let answer = question::ask(globals, &sheet.question, book)?;
    let units = answer.units.clone();
    if answer.rows.iter().all(|row| row.fastener.is_chart()) {
        question::draw(&answer, out);
        return Ok(Code::Nothing);
    }
    let chosen = sheet.wrench.wish(Some(book))?;
    warn_of(&chosen, out);
    let progress = Progress::spinner("drawing the sheet", globals);
    let rows = with_passes(answer.rows, book, &chosen.wish)?;
    let pages = bench_joints(rows, book, &layouts)?;
    let facts = SheetFacts {
        paper: match sheet.paper {
            Paper::A4 => report::Paper::A4,
            Paper::Letter => report::Paper::Letter,
        },
        generation: book.generation(),
        printed: clock::shown(),
        wrench: sheet.wrench.in_words(&chosen),
        adapter: sheet.wrench.adapter_words(),
        wrench_warning: warning_of(&chosen),
    };
    let html = if sheet.pocket {
        report::pocket_card(&pages, &units, &facts)
    } else {
        report::bench_sheet(&pages, &units, &facts)
    };
    drop(progress);
    if file_out::is_stdout(&sheet.output) {
        out.data(&html);
    } else {
        file_out::write(&sheet.output, html.as_bytes(), sheet.replace)?;
        tell(sheet, &pages, out);
    }
    let answered = pages.iter().any(|page| page.pulled().next().is_some());
    Ok(if answered { Code::Answered } else { Code::Nothing })
}

/// The rows by joint, those of one fastener together, each in the order found.
fn bench_joints(
    rows: Vec<RowPasses>,
    book: &Book,
    layouts: &[Layout],
) -> Result<Vec<BenchJoint>, Failure> {
    let mut pages: Vec<BenchJoint> = Vec::new();
    let mut known: HashMap<(String, String), usize> = HashMap::new();
    for one in rows.into_iter().filter(|one| !one.row.fastener.is_chart()) {
        let joint = &one.row.fastener.joint;
        let page = known.entry((joint.assembly.clone(), joint.name.clone())).or_insert(pages.len());
        if *page == pages.len() {
            let order = order_of(joint, book, layouts)?.order;
            pages.push(BenchJoint { joint: joint.clone(), rows: Vec::new(), order });
        }
        let own = &mut pages[*page].rows;
        let is_its = |other: &RowPasses| other.row.fastener.key == one.row.fastener.key;
        let at = own.iter().rposition(is_its).map_or(own.len(), |last| last + 1);
        own.insert(at, one);
    }
    Ok(pages)
}

fn tell(sheet: &Sheet, pages: &[BenchJoint], out: &mut Out) {
    let file = sheet.output.display().to_string();
    out.page(&report::written_page(&file, pages));
    out.say(&report::sheet_note(&file, pages));
}
