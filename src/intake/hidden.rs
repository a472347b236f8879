//! Rows and columns of a workbook that are hidden, found while its parts are unpacked: the
//! library that reads the cells does not tell them.

use std::collections::{BTreeMap, BTreeSet};

/// Most bytes of a tag that are looked at.
const LONGEST_TAG: usize = 4096;
/// No number is shown in more.
const LONGEST_TEXT: usize = 64;

/// Cuts XML into tags, piece by piece.
#[derive(Debug, Default)]
pub(crate) struct Tags {
    tag: Vec<u8>,
    text: Vec<u8>,
    is_inside: bool,
}

impl Tags {
    /// Calls `each` with the inside of every tag that ends in `piece`, and the text before it.
    pub(crate) fn feed(&mut self, piece: &[u8], mut each: impl FnMut(&str, &str)) {
        for byte in piece {
            match byte {
                b'<' => {
                    self.is_inside = true;
                    self.tag.clear();
                }
                b'>' if self.is_inside => {
                    self.is_inside = false;
                    each(&String::from_utf8_lossy(&self.tag), &String::from_utf8_lossy(&self.text));
                    self.text.clear();
                }
                byte if self.is_inside && self.tag.len() < LONGEST_TAG => self.tag.push(*byte),
                byte if !self.is_inside && self.text.len() < LONGEST_TEXT => self.text.push(*byte),
                _ => {}
            }
        }
    }
}

/// The name of a tag without its namespace: `row` of `x:row r="5"`.
pub(crate) fn tag_name(tag: &str) -> &str {
    let name = tag.split([' ', '\n', '\r', '\t']).next().unwrap_or_default();
    let name = name.trim_end_matches('/');
    name.rsplit(':').next().unwrap_or(name)
}

/// An attribute of a tag, its namespace written out as in the file.
pub(crate) fn attribute(tag: &str, name: &str) -> Option<String> {
    let mut rest = tag;
    while let Some(at) = rest.find(name) {
        let starts = rest[..at].ends_with([' ', '\n', '\r', '\t']);
        let after = rest[at + name.len()..].trim_start();
        rest = &rest[at + name.len()..];
        let Some(value) = after.strip_prefix('=').map(str::trim_start).filter(|_| starts) else {
            continue;
        };
        let quote = value.chars().next().filter(|quote| matches!(quote, '"' | '\''))?;
        let value = value[1..].split(quote).next()?;
        return Some(unescaped(value));
    }
    None
}

fn unescaped(text: &str) -> String {
    let pairs = [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&apos;", "'"), ("&amp;", "&")];
    pairs.iter().fold(text.to_owned(), |text, (code, plain)| text.replace(code, plain))
}

/// The hidden rows of a workbook.
#[derive(Debug, Default)]
pub(crate) struct Hidden {
    /// Hidden rows from 1, by the part (XLSX) or the sheet (ODS) that holds them.
    rows: BTreeMap<String, BTreeSet<u32>>,
    /// Hidden columns from 0, likewise.
    columns: BTreeMap<String, BTreeSet<usize>>,
    /// Sheets of an XLSX workbook: name and the id of their part.
    sheets: Vec<(String, String)>,
    /// The part of each id.
    parts: BTreeMap<String, String>,
    /// The sheet of an ODS workbook that is being read, its next row and column.
    table: String,
    next: u32,
    next_column: usize,
}

impl Hidden {
    /// Looks at one tag of the part at `path`.
    pub(crate) fn see(&mut self, path: &str, tag: &str) {
        match (path, tag_name(tag)) {
            ("xl/workbook.xml", "sheet") => {
                let id = attribute(tag, "r:id").or_else(|| attribute(tag, "id"));
                self.sheets.extend(attribute(tag, "name").zip(id));
            }
            ("xl/_rels/workbook.xml.rels", "Relationship") => {
                let target = attribute(tag, "Target");
                let part = target.map(|target| target.trim_start_matches("/xl/").to_owned());
                self.parts.extend(attribute(tag, "Id").zip(part));
            }
            ("content.xml", "table") if !tag.starts_with('/') => {
                self.table = attribute(tag, "table:name").unwrap_or_default();
                self.next = 1;
                self.next_column = 0;
            }
            ("content.xml", "table-column") if !tag.starts_with('/') => self.see_ods_column(tag),
            (path, "col") if path.starts_with("xl/worksheets/") => {
                let on = attribute(tag, "hidden").is_some_and(|on| on == "1" || on == "true");
                let end = |name| attribute(tag, name).and_then(|at| at.parse::<usize>().ok());
                if let (true, Some(from), Some(to)) = (on, end("min"), end("max")) {
                    let columns = (from.max(1) - 1)..to.min(from + 1000);
                    self.columns.entry(path.to_owned()).or_default().extend(columns);
                }
            }
            ("content.xml", "table-row") if !tag.starts_with('/') => self.see_ods_row(tag),
            (path, "row") if path.starts_with("xl/worksheets/") => {
                let is_hidden =
                    attribute(tag, "hidden").is_some_and(|on| on == "1" || on == "true");
                let line = attribute(tag, "r").and_then(|line| line.parse().ok());
                if let Some(line) = line.filter(|_| is_hidden) {
                    self.rows.entry(path.to_owned()).or_default().insert(line);
                }
            }
            _ => {}
        }
    }

    fn see_ods_row(&mut self, tag: &str) {
        let repeated = attribute(tag, "table:number-rows-repeated");
        let count: u32 = repeated.and_then(|count| count.parse().ok()).unwrap_or(1);
        let shown = attribute(tag, "table:visibility").is_none_or(|how| how == "visible");
        if !shown && count <= 100_000 {
            let lines = self.next..self.next.saturating_add(count);
            self.rows.entry(self.table.clone()).or_default().extend(lines);
        }
        self.next = self.next.saturating_add(count);
    }

    fn see_ods_column(&mut self, tag: &str) {
        let repeated = attribute(tag, "table:number-columns-repeated");
        let count: usize = repeated.and_then(|count| count.parse().ok()).unwrap_or(1);
        let shown = attribute(tag, "table:visibility").is_none_or(|how| how == "visible");
        if !shown && count <= 1000 {
            let columns = self.next_column..self.next_column + count;
            self.columns.entry(self.table.clone()).or_default().extend(columns);
        }
        self.next_column = self.next_column.saturating_add(count);
    }

    /// The hidden columns of the sheet named `sheet`, from 0.
    pub(crate) fn columns_of(&self, sheet: &str) -> Vec<usize> {
        let columns = self.columns.get(&self.key_of(sheet));
        columns.into_iter().flatten().copied().collect()
    }

    /// The part of an XLSX workbook that holds a sheet; the name of one of ODS.
    fn key_of(&self, sheet: &str) -> String {
        let id = self.sheets.iter().find(|(name, _)| name == sheet).map(|(_, id)| id);
        let part = id.and_then(|id| self.parts.get(id)).map(|part| format!("xl/{part}"));
        part.unwrap_or_else(|| sheet.to_owned())
    }

    /// The hidden rows of the sheet named `sheet`, from 1.
    pub(crate) fn rows_of(&self, sheet: &str) -> BTreeSet<u32> {
        self.rows.get(&self.key_of(sheet)).cloned().unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn attributes_are_found_by_their_whole_name() {
        let tag = r#"x:row spans="1:3" ar="9" r = "5" hidden='1' name="a &amp; b""#;
        assert_eq!(tag_name(tag), "row");
        assert_eq!(attribute(tag, "r").as_deref(), Some("5"));
        assert_eq!(attribute(tag, "hidden").as_deref(), Some("1"));
        assert_eq!(attribute(tag, "name").as_deref(), Some("a & b"));
        assert_eq!(attribute(tag, "height"), None);
    }
}
