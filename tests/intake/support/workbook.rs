//! Workbooks written by hand, part by part, as the standards describe them:
//! XLSX after ECMA-376, ODS after ISO/IEC 26300.

use std::fmt::Write as _;
use std::io::{Cursor, Write as _};

use zip::write::{SimpleFileOptions, ZipWriter};

/// A cell of a made workbook.
#[derive(Debug, Clone)]
pub(crate) enum Cell {
    /// Text.
    Text(&'static str),
    /// A number.
    Number(f64),
    /// A number whose format shows a unit behind it: 2 ` Nm`, 3 `°`, 4 `%`.
    Shown(f64, u32),
    /// A day, as the serial number of XLSX (45489 is 2024-07-16).
    Day(u32),
    /// A formula whose value was not saved.
    Formula(&'static str),
    /// What a spreadsheet shows for a broken formula.
    Error(&'static str),
    /// Nothing.
    None,
}

/// A sheet of a made workbook.
pub(crate) struct Sheet {
    /// Its name.
    pub(crate) name: &'static str,
    /// Whether it is shown.
    pub(crate) visible: bool,
    /// Rows from the first.
    pub(crate) rows: Vec<Vec<Cell>>,
    /// Merged regions, such as `A3:A5`.
    pub(crate) merged: Vec<&'static str>,
    /// Lines that are hidden.
    pub(crate) hidden: Vec<usize>,
    /// Columns that are hidden, from 1.
    pub(crate) hidden_columns: Vec<usize>,
}

/// Parts packed as a zip archive.
pub(crate) fn packed(parts: &[(&str, &str)]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (path, text) in parts {
        zip.start_file(*path, SimpleFileOptions::default()).unwrap();
        zip.write_all(text.as_bytes()).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

fn letters(column: usize) -> String {
    let mut rest = column + 1;
    let mut letters = String::new();
    while rest > 0 {
        rest -= 1;
        letters.insert(0, char::from(b'A' + u8::try_from(rest % 26).unwrap()));
        rest /= 26;
    }
    letters
}

/// An XLSX workbook.
pub(crate) fn xlsx(sheets: &[Sheet]) -> Vec<u8> {
    let head = r#"<?xml version="1.0" encoding="UTF-8"?>"#;
    let main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
    let rels = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    let package = "http://schemas.openxmlformats.org/package/2006";
    let (mut list, mut targets) = (String::new(), String::new());
    let mut parts = Vec::new();
    for (at, sheet) in sheets.iter().enumerate() {
        let id = at + 1;
        let state = if sheet.visible { "" } else { r#" state="hidden""# };
        write!(list, r#"<sheet name="{}" sheetId="{id}"{state} r:id="rId{id}"/>"#, sheet.name)
            .unwrap();
        write!(targets, r#"<Relationship Id="rId{id}" Type="{rels}/worksheet" Target="worksheets/sheet{id}.xml"/>"#).unwrap();
        parts.push((
            format!("xl/worksheets/sheet{id}.xml"),
            format!(r#"{head}<worksheet xmlns="{main}">{}</worksheet>"#, xlsx_cells(sheet)),
        ));
    }
    write!(targets, r#"<Relationship Id="rId99" Type="{rels}/styles" Target="styles.xml"/>"#)
        .unwrap();
    // Style 1 is a day (number format 14), 4 per cent (9); 2 and 3 show a unit.
    let styles = format!(
        r#"{head}<styleSheet xmlns="{main}"><numFmts count="2"><numFmt numFmtId="164" formatCode="0&quot; Nm&quot;"/><numFmt numFmtId="165" formatCode="0&quot;°&quot;"/></numFmts><fonts count="1"><font/></fonts><fills count="1"><fill/></fills><borders count="1"><border/></borders><cellStyleXfs count="1"><xf/></cellStyleXfs><cellXfs count="5"><xf numFmtId="0"/><xf numFmtId="14" applyNumberFormat="1"/><xf numFmtId="164"/><xf numFmtId="165"/><xf numFmtId="9"/></cellXfs></styleSheet>"#
    );
    parts.push(("xl/styles.xml".into(), styles));
    parts.push((
        "xl/workbook.xml".into(),
        format!(
            r#"{head}<workbook xmlns="{main}" xmlns:r="{rels}"><sheets>{list}</sheets></workbook>"#
        ),
    ));
    parts.push((
        "xl/_rels/workbook.xml.rels".into(),
        format!(
            r#"{head}<Relationships xmlns="{package}/relationships">{targets}</Relationships>"#
        ),
    ));
    parts.push(("_rels/.rels".into(), format!(r#"{head}<Relationships xmlns="{package}/relationships"><Relationship Id="rId1" Type="{rels}/officeDocument" Target="xl/workbook.xml"/></Relationships>"#)));
    parts.push(("[Content_Types].xml".into(), format!(r#"{head}<Types xmlns="{package}/content-types"><Default Extension="xml" ContentType="application/xml"/></Types>"#)));
    let parts: Vec<(&str, &str)> = parts.iter().map(|(path, text)| (&**path, &**text)).collect();
    packed(&parts)
}

fn xlsx_cells(sheet: &Sheet) -> String {
    let mut out = String::new();
    for column in &sheet.hidden_columns {
        write!(out, r#"<cols><col min="{column}" max="{column}" hidden="1"/></cols>"#).unwrap();
    }
    out += "<sheetData>";
    for (line, row) in sheet.rows.iter().enumerate() {
        let hidden = if sheet.hidden.contains(&(line + 1)) { r#" hidden="1""# } else { "" };
        write!(out, r#"<row r="{}"{hidden}>"#, line + 1).unwrap();
        for (column, cell) in row.iter().enumerate() {
            let at = format!("{}{}", letters(column), line + 1);
            match cell {
                Cell::Text(text) => write!(
                    out,
                    r#"<c r="{at}" t="inlineStr"><is><t xml:space="preserve">{}</t></is></c>"#,
                    escaped(text)
                ),
                Cell::Number(number) => write!(out, r#"<c r="{at}"><v>{number}</v></c>"#),
                Cell::Shown(number, style) => {
                    write!(out, r#"<c r="{at}" s="{style}"><v>{number}</v></c>"#)
                }
                Cell::Day(serial) => write!(out, r#"<c r="{at}" s="1"><v>{serial}</v></c>"#),
                Cell::Formula(formula) => {
                    write!(out, r#"<c r="{at}"><f>{}</f></c>"#, escaped(formula))
                }
                Cell::Error(error) => write!(out, r#"<c r="{at}" t="e"><v>{error}</v></c>"#),
                Cell::None => Ok(()),
            }
            .unwrap();
        }
        out.push_str("</row>");
    }
    out.push_str("</sheetData>");
    if !sheet.merged.is_empty() {
        write!(out, r#"<mergeCells count="{}">"#, sheet.merged.len()).unwrap();
        for region in &sheet.merged {
            write!(out, r#"<mergeCell ref="{region}"/>"#).unwrap();
        }
        out.push_str("</mergeCells>");
    }
    out
}

/// An ODS workbook of one sheet; `rows` as the inside of its table.
pub(crate) fn ods(sheet: &str, rows: &str) -> Vec<u8> {
    let office = "urn:oasis:names:tc:opendocument:xmlns:office:1.0";
    let table = "urn:oasis:names:tc:opendocument:xmlns:table:1.0";
    let text = "urn:oasis:names:tc:opendocument:xmlns:text:1.0";
    let content = format!(
        r#"<?xml version="1.0" encoding="UTF-8"?><office:document-content xmlns:office="{office}" xmlns:table="{table}" xmlns:text="{text}"><office:body><office:spreadsheet><table:table table:name="{sheet}">{rows}</table:table></office:spreadsheet></office:body></office:document-content>"#
    );
    let mime = "application/vnd.oasis.opendocument.spreadsheet";
    let manifest = format!(
        r#"<?xml version="1.0" encoding="UTF-8"?><manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"><manifest:file-entry manifest:full-path="/" manifest:media-type="{mime}"/></manifest:manifest>"#
    );
    packed(&[("mimetype", mime), ("META-INF/manifest.xml", &manifest), ("content.xml", &content)])
}

/// A row of text cells for [`ods`]; `repeat` copies of it.
pub(crate) fn ods_row(cells: &[&str], repeat: u32) -> String {
    let mut out = format!(r#"<table:table-row table:number-rows-repeated="{repeat}">"#);
    for cell in cells {
        if cell.is_empty() {
            out.push_str("<table:table-cell/>");
        } else {
            write!(out, r#"<table:table-cell office:value-type="string"><text:p>{}</text:p></table:table-cell>"#, escaped(cell)).unwrap();
        }
    }
    out.push_str("</table:table-row>");
    out
}
