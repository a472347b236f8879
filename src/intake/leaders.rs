//! A text whose figures stand behind dots, as a card or a page of a book has them:
//! `Head bolt ........ 65 Nm`.

use crate::intake::header::is_thread;
use crate::intake::split::RawRow;

/// Fewer dots are those of a sentence.
const FEWEST: usize = 3;
/// One such line may be anything.
const FEWEST_LINES: usize = 2;
/// No card is longer.
const LONGEST: usize = 256 * 1024;

/// What stands before the dots, and behind them.
const HEADINGS: [&str; 3] = ["Item", "Thread", "Torque"];

/// `text` cut at its dots, with headings above the first line that has them; none if no more
/// than half of its lines do. The headings stand on no line of the file.
pub(crate) fn rows(text: &str) -> Option<Vec<RawRow>> {
    if text.len() > LONGEST {
        return None;
    }
    let filled = text.lines().filter(|line| !line.trim().is_empty()).count();
    let led = text.lines().filter(|line| parted(line).is_some()).count();
    if led < FEWEST_LINES || led * 2 < filled {
        return None;
    }
    let mut rows = Vec::new();
    let mut is_headed = false;
    for (at, line) in text.lines().enumerate() {
        let mut row = RawRow::on_line(u32::try_from(at + 1).unwrap_or(u32::MAX));
        match parted(line) {
            Some(cells) => {
                if !is_headed {
                    let mut head = RawRow::on_line(0);
                    HEADINGS.iter().for_each(|heading| head.push(heading));
                    rows.push(head);
                    is_headed = true;
                }
                cells.iter().for_each(|cell| row.push(cell));
            }
            None => row.push(line.trim()),
        }
        rows.push(row);
    }
    Some(rows)
}

/// The words, the thread and the figure of a line with dots between them. A line that is to
/// be filled in, `Checked by ......`, has no figure behind them.
fn parted(line: &str) -> Option<[String; 3]> {
    let is_dot = |c: char| matches!(c, '.' | '…' | '·' | '_');
    let line = line.trim().trim_start_matches(['-', '*', '•', ' ']);
    let start = line.char_indices().map(|(at, _)| at).find(|at| {
        let run = line[*at..].chars().take_while(|c| is_dot(*c) || *c == ' ');
        let dots = run.filter(|c| is_dot(*c)).map(|c| if c == '…' { FEWEST } else { 1 });
        line[*at..].starts_with(is_dot) && dots.sum::<usize>() >= FEWEST
    })?;
    let (words, rest) = line.split_at(start);
    let rest = rest.trim_start_matches(|c| is_dot(c) || c == ' ');
    // `M8 .... 25 Nm`, `Sump plug M18x1.5 .... 45 Nm`, `Head bolt .... M10 .... 65 Nm`.
    let (beside, figure) = match parted(rest) {
        Some([words, thread, figure]) => (format!("{words} {thread}"), figure),
        None => (String::new(), rest.to_owned()),
    };
    let whole = format!("{} {}", words.trim_end(), beside.trim());
    let words = whole.trim().trim_end_matches([':', ',']);
    let (words, thread) = match words.rsplit_once(' ') {
        Some((front, last)) if is_thread(last) => (front, last),
        None if is_thread(words) => ("", words),
        _ => (words, ""),
    };
    let says = words.contains(char::is_alphabetic) || !thread.is_empty();
    let is_figure = figure.contains(|c: char| c.is_ascii_digit()) && !figure.contains("...");
    (says && is_figure).then(|| [words, thread, &figure].map(|cell| cell.trim().to_owned()))
}
