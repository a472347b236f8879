//! The bytes of a file as text, and which encoding that took.
//!
//! Order of trial: a byte order mark, strict UTF-8, Windows-1252. The last one
//! accepts any bytes, so the report says when it was used.

use crate::intake::IntakeError;

/// How the bytes of a file were read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Encoding {
    /// UTF-8, with or without a byte order mark.
    Utf8,
    /// UTF-16, low byte first, known by its byte order mark.
    Utf16Le,
    /// UTF-16, high byte first, known by its byte order mark.
    Utf16Be,
    /// The Western European code page of older spreadsheets; taken because
    /// the bytes are not UTF-8.
    Windows1252,
}

impl Encoding {
    /// Its usual name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Utf8 => "UTF-8",
            Self::Utf16Le => "UTF-16 LE",
            Self::Utf16Be => "UTF-16 BE",
            Self::Windows1252 => "Windows-1252",
        }
    }
}

/// `bytes` as text without its byte order mark. `file` only names the file in
/// an error.
pub(crate) fn decode(bytes: &[u8], file: &str) -> Result<(String, Encoding), IntakeError> {
    let (text, encoding) = match bytes {
        [0xef, 0xbb, 0xbf, rest @ ..] => match std::str::from_utf8(rest) {
            Ok(text) => (text.to_owned(), Encoding::Utf8),
            // A mark in front of other bytes: the mark is no part of the text.
            Err(_) => (windows_1252(rest), Encoding::Windows1252),
        },
        [0xff, 0xfe, rest @ ..] => (utf16(rest, Encoding::Utf16Le, file)?, Encoding::Utf16Le),
        [0xfe, 0xff, rest @ ..] => (utf16(rest, Encoding::Utf16Be, file)?, Encoding::Utf16Be),
        _ => match std::str::from_utf8(bytes) {
            Ok(text) => (text.to_owned(), Encoding::Utf8),
            Err(_) => (windows_1252(bytes), Encoding::Windows1252),
        },
    };
    if let Some(at) = text.find('\0') {
        return Err(IntakeError::Nul { file: file.to_owned(), line: line_of(&text[..at]) });
    }
    if text.trim().is_empty() {
        return Err(IntakeError::Empty { file: file.to_owned() });
    }
    Ok((text, encoding))
}

fn windows_1252(bytes: &[u8]) -> String {
    encoding_rs::WINDOWS_1252.decode_without_bom_handling(bytes).0.into_owned()
}

fn utf16(bytes: &[u8], encoding: Encoding, file: &str) -> Result<String, IntakeError> {
    let decoder = match encoding {
        Encoding::Utf16Be => encoding_rs::UTF_16BE,
        _ => encoding_rs::UTF_16LE,
    };
    let (text, broken) = decoder.decode_without_bom_handling(bytes);
    if broken {
        let at = text.find('\u{fffd}').unwrap_or(text.len());
        return Err(IntakeError::BrokenUtf16 { file: file.to_owned(), line: line_of(&text[..at]) });
    }
    Ok(text.into_owned())
}

/// The line, from 1, on which `before` ends.
fn line_of(before: &str) -> u32 {
    u32::try_from(before.matches('\n').count()).unwrap_or(u32::MAX).saturating_add(1)
}
