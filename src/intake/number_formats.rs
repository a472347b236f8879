//! What the number format of a workbook's cell shows beside its number, `0" Nm"` or `0%`:
//! the library that reads the cells gives the bare numbers.

use std::collections::HashMap;

use crate::intake::hidden::{attribute, tag_name};

/// More cells than any shop formats; the units of those behind are asked for.
const MOST_CELLS: usize = 1_000_000;

/// What stands before and behind a number; a share is shown in hundredths.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Format {
    before: String,
    behind: String,
    is_share: bool,
}

impl Format {
    /// Reads a format code (ECMA-376 part 1, 18.8.31), its section for positive numbers.
    /// None where nothing is shown that a number does not say.
    pub(crate) fn read(code: &str) -> Option<Self> {
        let mut format = Self::default();
        let mut has_digits = false;
        let mut rest = code.chars();
        while let Some(sign) = rest.next() {
            let literal: String = match sign {
                ';' => break,
                '"' => rest.by_ref().take_while(|c| *c != '"').collect(),
                '\\' => rest.next().into_iter().collect(),
                // A blank as wide as the next sign, or filled with it.
                '_' | '*' => {
                    rest.next();
                    String::new()
                }
                '[' => {
                    let inside: String = rest.by_ref().take_while(|c| *c != ']').collect();
                    let currency = inside.strip_prefix('$').unwrap_or_default();
                    currency.split('-').next().unwrap_or_default().to_owned()
                }
                'G' if rest.as_str().starts_with("eneral") => {
                    has_digits = true;
                    rest = rest.as_str()["eneral".len()..].chars();
                    String::new()
                }
                '0' | '#' | '?' if !format.behind.trim().is_empty() => return None,
                '0' | '#' | '?' => {
                    has_digits = true;
                    String::new()
                }
                '%' => {
                    format.is_share = true;
                    "%".to_owned()
                }
                ' ' | '°' => sign.to_string(),
                _ => String::new(),
            };
            let side = if has_digits { &mut format.behind } else { &mut format.before };
            side.push_str(&literal);
        }
        format.says_more().then_some(format).filter(|_| has_digits)
    }

    /// Reads what a cell shows, `30,5 Nm`.
    fn of_text(text: &str, is_share: bool) -> Option<Self> {
        let first = text.find(|c: char| c.is_ascii_digit())?;
        let last = text.rfind(|c: char| c.is_ascii_digit())?;
        let (before, behind) = (text[..first].trim_end_matches('-'), &text[last + 1..]);
        let format = Self { before: before.to_owned(), behind: behind.to_owned(), is_share };
        format.says_more().then_some(format)
    }

    fn says_more(&self) -> bool {
        let says = |text: &str| text.contains(|c: char| c.is_alphabetic() || "°%".contains(c));
        says(&self.before) || says(&self.behind)
    }

    /// The number as it is shown, none of its digits left out.
    pub(crate) fn show(&self, number: f64, text: fn(f64) -> String) -> String {
        let number = if self.is_share { number * 100.0 } else { number };
        format!("{}{}{}", self.before, text(number), self.behind).trim().to_owned()
    }
}

/// The cells of a workbook that show more than their number.
#[derive(Debug, Default)]
pub(crate) struct Formats {
    known: Vec<Format>,
    /// Places in `known` by row and column from 0.
    cells: HashMap<(u32, u32), usize>,
}

impl Formats {
    pub(crate) fn get(&self, place: (u32, u32)) -> Option<&Format> {
        self.cells.get(&place).and_then(|at| self.known.get(*at))
    }

    pub(crate) fn add(&mut self, place: (u32, u32), format: &Format) {
        let at = self.known.iter().position(|known| known == format);
        let at = at.unwrap_or_else(|| {
            self.known.push(format.clone());
            self.known.len() - 1
        });
        if self.cells.len() < MOST_CELLS {
            self.cells.insert(place, at);
        }
    }
}

/// Cells merged downwards: where each starts, and its last row.
pub(crate) type Merged = Vec<((u32, u32), u32)>;

/// What the cells of an ODS workbook show, and which are merged, found while it is unpacked.
#[derive(Debug, Default)]
pub(crate) struct OdsFormats {
    sheets: HashMap<String, Formats>,
    merged: HashMap<String, Merged>,
    table: String,
    row: u32,
    rows: u32,
    column: u32,
    columns: u32,
    is_number: bool,
    is_share: bool,
    is_comment: bool,
}

impl OdsFormats {
    /// The cells of the sheet named `sheet`.
    pub(crate) fn of(&mut self, sheet: &str) -> Formats {
        self.sheets.remove(sheet).unwrap_or_default()
    }

    /// The cells of the sheet named `sheet` that are merged downwards.
    pub(crate) fn merged_of(&mut self, sheet: &str) -> Merged {
        self.merged.remove(sheet).unwrap_or_default()
    }

    /// Looks at one tag of the content, and at the text before it.
    pub(crate) fn see(&mut self, tag: &str, text: &str) {
        let repeated =
            |name: &str| attribute(tag, name).and_then(|n| n.parse::<u32>().ok()).unwrap_or(1);
        let (closes, is_whole) = (tag.starts_with('/'), tag.ends_with('/'));
        match tag_name(tag.trim_start_matches('/')) {
            "table" if !closes => {
                self.table = attribute(tag, "table:name").unwrap_or_default();
                (self.row, self.column) = (0, 0);
            }
            "table-row" => {
                self.rows = if closes { self.rows } else { repeated("table:number-rows-repeated") };
                self.column = 0;
                if closes || is_whole {
                    self.row = self.row.saturating_add(self.rows);
                }
            }
            "table-cell" | "covered-table-cell" => {
                if !closes {
                    let kind = attribute(tag, "office:value-type").unwrap_or_default();
                    self.columns = repeated("table:number-columns-repeated");
                    self.is_share = kind == "percentage";
                    self.is_number = self.is_share || kind == "float";
                    let spanned = repeated("table:number-rows-spanned");
                    if spanned > 1 && repeated("table:number-columns-spanned") == 1 {
                        let (place, end) =
                            ((self.row, self.column), self.row.saturating_add(spanned - 1));
                        let merged = self.merged.entry(self.table.clone()).or_default();
                        if merged.len() < MOST_CELLS {
                            merged.push((place, end));
                        }
                    }
                }
                if closes || is_whole {
                    self.column = self.column.saturating_add(self.columns);
                    self.is_number = false;
                }
            }
            "annotation" => self.is_comment = !closes && !is_whole,
            "p" if closes && self.is_number && !self.is_comment => self.shown(text),
            _ => {}
        }
    }

    fn shown(&mut self, text: &str) {
        let Some(format) = Format::of_text(text, self.is_share) else { return };
        let sheet = self.sheets.entry(self.table.clone()).or_default();
        for row in self.row..self.row.saturating_add(self.rows.min(100)) {
            for column in self.column..self.column.saturating_add(self.columns.min(1000)) {
                sheet.add((row, column), &format);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The codes are as spreadsheets write them; common practice, no source.
    #[test]
    fn a_format_shows_its_words() {
        let show = |code: &str, number: f64| {
            Format::read(code).map(|format| format.show(number, |number| number.to_string()))
        };
        assert_eq!(show("0\" Nm\"", 30.0).as_deref(), Some("30 Nm"));
        assert_eq!(show("0.0\\ \"ft-lb\";-0.0", 7.5).as_deref(), Some("7.5 ft-lb"));
        assert_eq!(show("General\"°\"", 90.0).as_deref(), Some("90°"));
        assert_eq!(show("#,##0\\ [$Nm]_);(0)", 1200.0).as_deref(), Some("1200 Nm"));
        assert_eq!(show("\"M\"0", 10.0).as_deref(), Some("M10"));
        assert_eq!(show("0%", 0.25).as_deref(), Some("25%"));
        assert_eq!(show("0.00", 1.0), None);
        assert_eq!(show("[Red]#,##0_);-0", 1.0), None);
        assert_eq!(show("yyyy\\-mm\\-dd", 1.0), None);
    }
}
