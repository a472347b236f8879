//! Measures the book beside SQLite on the same invented settings. `run.py`
//! calls it; each command prints milliseconds, or the rows it was asked for.

mod book;
mod data;
mod sqlite;

use std::path::Path;
use std::time::{Duration, Instant};

pub(crate) type Anyhow<T> = Result<T, Box<dyn std::error::Error>>;

fn main() -> Anyhow<()> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let path = Path::new(words.get(1).copied().unwrap_or_default());
    match words.as_slice() {
        ["csv", file, count] => write_csv(Path::new(file), count.parse()?, false),
        ["csv-sqlite", file, count] => write_csv(Path::new(file), count.parse()?, true),
        ["range", _, low, high] => book::range(path, low.parse()?, high.parse()?),
        ["ask", _, question] => book::ask(path, question),
        ["parse", _, question] => book::parse(path, question),
        ["sqlite-range", _, low, high] => sqlite::range(path, low.parse()?, high.parse()?),
        _ => Err("see run.py".into()),
    }
}

/// The settings as a file to import; for SQLite with the torque in N·m and the
/// words of the text beside it, because it cannot read "70 lb-ft".
fn write_csv(file: &Path, count: usize, for_sqlite: bool) -> Anyhow<()> {
    use std::io::Write;
    let mut out = std::io::BufWriter::new(std::fs::File::create(file)?);
    let quoted = |cell: &str| format!("\"{}\"", cell.replace('"', "\"\""));
    if !for_sqlite {
        writeln!(out, "{}", data::COLUMNS.join(","))?;
    }
    for fastener in data::fasteners(count) {
        for setting in &fastener.settings {
            let mut cells: Vec<String> =
                data::row(&fastener, setting).iter().map(|cell| quoted(cell)).collect();
            if for_sqlite {
                let torque = setting.torque.map(|torque| torque.high().nm());
                cells.push(torque.map(|nm| nm.to_string()).unwrap_or_default());
            }
            writeln!(out, "{}", cells.join(","))?;
        }
    }
    Ok(out.flush()?)
}

/// Prints how many rows `work` gave and the median time of `times` runs.
pub(crate) fn median(times: usize, mut work: impl FnMut() -> Anyhow<usize>) -> Anyhow<()> {
    let mut spent = Vec::new();
    let mut rows = 0;
    for _ in 0..times {
        let start = Instant::now();
        rows = work()?;
        spent.push(start.elapsed());
    }
    let first = spent[0];
    spent.sort();
    println!("{} {} {rows}", milliseconds(spent[spent.len() / 2]), milliseconds(first));
    Ok(())
}

pub(crate) fn milliseconds(time: Duration) -> f64 {
    time.as_secs_f64() * 1000.0
}
