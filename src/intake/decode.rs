//! The bytes of a file as text, and which encoding that took.
//!
//! Order of trial: a byte order mark, strict UTF-8, code page 850 where its letters show
//! in words, Windows-1252. The last one
//! accepts any bytes, so the report says when it was used. A file is decoded
//! piece by piece: one of 500 MB does not take 500 MB of memory.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use encoding_rs::{CoderResult, DecoderResult};

use crate::intake::IntakeError;

/// How the bytes of a file were read.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Encoding {
    /// UTF-8, with or without a byte order mark.
    #[default]
    Utf8,
    /// UTF-16, low byte first, known by its byte order mark.
    Utf16Le,
    /// UTF-16, high byte first, known by its byte order mark.
    Utf16Be,
    /// The Western European code page of older spreadsheets; taken because
    /// the bytes are not UTF-8.
    Windows1252,
    /// That of DOS; taken because letters stand where the other has signs.
    Cp850,
}

impl Encoding {
    /// The name that its standard uses.
    pub fn name(self) -> &'static str {
        match self {
            Self::Utf8 => "UTF-8",
            Self::Utf16Le => "UTF-16 LE",
            Self::Utf16Be => "UTF-16 BE",
            Self::Windows1252 => "Windows-1252",
            Self::Cp850 => "code page 850",
        }
    }

    fn decoder(self) -> encoding_rs::Decoder {
        let encoding = match self {
            Self::Utf8 => encoding_rs::UTF_8,
            Self::Utf16Le => encoding_rs::UTF_16LE,
            Self::Utf16Be => encoding_rs::UTF_16BE,
            // Only a text that is held is looked at for letters of DOS.
            Self::Windows1252 | Self::Cp850 => encoding_rs::WINDOWS_1252,
        };
        encoding.new_decoder_without_bom_handling()
    }
}

/// The encoding that the first bytes say, and the length of their mark.
fn marked(bytes: &[u8]) -> Option<(Encoding, usize)> {
    match bytes {
        [0xef, 0xbb, 0xbf, ..] => Some((Encoding::Utf8, 3)),
        [0xff, 0xfe, ..] => Some((Encoding::Utf16Le, 2)),
        [0xfe, 0xff, ..] => Some((Encoding::Utf16Be, 2)),
        _ => None,
    }
}

/// `bytes` as text without its byte order mark. `file` only names the file in
/// an error.
pub(crate) fn decode(bytes: &[u8], file: &str) -> Result<(String, Encoding), IntakeError> {
    let (text, encoding) = match marked(bytes) {
        // A mark in front of other bytes: the mark is no part of the text.
        Some((Encoding::Utf8, mark)) => utf8_or_1252(&bytes[mark..]),
        Some((encoding, mark)) => (utf16(&bytes[mark..], encoding, file)?, encoding),
        None => utf8_or_1252(bytes),
    };
    if let Some(at) = text.find('\0') {
        return Err(IntakeError::Nul { file: file.to_owned(), line: line_of(&text[..at]) });
    }
    if text.trim().is_empty() {
        return Err(IntakeError::Empty { file: file.to_owned() });
    }
    Ok((text, encoding))
}

fn utf8_or_1252(bytes: &[u8]) -> (String, Encoding) {
    match std::str::from_utf8(bytes) {
        Ok(text) => (text.to_owned(), Encoding::Utf8),
        Err(_) if is_of_dos(bytes) => {
            let letter = |byte: &u8| match byte.checked_sub(128) {
                Some(at) => CP850.chars().nth(usize::from(at)).unwrap_or('\u{fffd}'),
                None => char::from(*byte),
            };
            (bytes.iter().map(letter).collect(), Encoding::Cp850)
        }
        Err(_) => {
            let text = encoding_rs::WINDOWS_1252.decode_without_bom_handling(bytes).0;
            (text.into_owned(), Encoding::Windows1252)
        }
    }
}

/// Code page 850 from 128 on, as in the Unicode consortium's mapping CP850.TXT.
const CP850: &str = "ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜø£Ø×ƒáíóúñÑªº¿®¬½¼¡«»░▒▓│┤ÁÂÀ©╣║╗╝¢¥┐\
    └┴┬├─┼ãÃ╚╔╩╦╠═╬¤ðÐÊËÈıÍÎÏ┘┌█▄¦Ì▀ÓßÔÒõÕµþÞÚÛÙýÝ¯´\u{ad}±‗¾¶§÷¸°¨·¹³²■\u{a0}";

/// Whether letters of words are those of code page 850: bytes that are none in
/// Windows-1252, or signs there, stand between letters, and no letters of it do.
fn is_of_dos(bytes: &[u8]) -> bool {
    const NONE: &[u8] = &[0x81, 0x8d, 0x8f, 0x90, 0x9d];
    const LETTERS: &[u8] =
        &[0x82, 0x84, 0x87, 0x88, 0x8a, 0x8b, 0x8c, 0x93, 0x94, 0xa1, 0xa2, 0xa3, 0xa4];
    let is_letter = |at: usize| {
        bytes.get(at).is_some_and(|byte| {
            byte.is_ascii_alphabetic() || *byte == 0xe1 || LETTERS.contains(byte)
        })
    };
    let is_between = |at: usize| at > 0 && is_letter(at - 1) && is_letter(at + 1);
    let (mut dos, mut windows) = (0, 0);
    for (at, byte) in bytes.iter().enumerate().filter(|(_, byte)| **byte >= 128) {
        dos += usize::from(NONE.contains(byte) || LETTERS.contains(byte) && is_between(at));
        windows += usize::from(*byte >= 0xc0 && *byte != 0xe1 && is_between(at));
    }
    dos > windows
}

fn utf16(bytes: &[u8], encoding: Encoding, file: &str) -> Result<String, IntakeError> {
    let coding =
        if encoding == Encoding::Utf16Be { encoding_rs::UTF_16BE } else { encoding_rs::UTF_16LE };
    let (text, broken) = coding.decode_without_bom_handling(bytes);
    if broken {
        let at = text.find('\u{fffd}').unwrap_or(text.len());
        return Err(IntakeError::BrokenUtf16 { file: file.to_owned(), line: line_of(&text[..at]) });
    }
    Ok(text.into_owned())
}

/// The line, from 1, on which `before` ends.
fn line_of(before: &str) -> u32 {
    lines_in(before).saturating_add(1)
}

fn lines_in(text: &str) -> u32 {
    u32::try_from(text.bytes().filter(|byte| *byte == b'\n').count()).unwrap_or(u32::MAX)
}

/// A file on disk whose encoding is known.
#[derive(Debug, Clone)]
pub(crate) struct TextFile {
    path: PathBuf,
    name: String,
    encoding: Encoding,
    mark: usize,
}

/// How many bytes are decoded at a time.
const PIECE: usize = 256 * 1024;

impl TextFile {
    /// Reads `path` once through to find its encoding and whether it is text.
    pub(crate) fn open(path: &Path, name: &str) -> Result<Self, IntakeError> {
        let failed = |error: std::io::Error| read_error(name, &error);
        let mut first = [0u8; 3];
        let mut file = File::open(path).map_err(failed)?;
        let length = read_full(&mut file, &mut first).map_err(failed)?;
        let (encoding, mark) = marked(&first[..length]).unwrap_or((Encoding::Utf8, 0));
        let text = Self { path: path.to_owned(), name: name.to_owned(), encoding, mark };
        match text.check() {
            Err(IntakeError::NotUtf8 { .. }) => {
                let text = Self { encoding: Encoding::Windows1252, ..text };
                text.check()?;
                Ok(text)
            }
            checked => checked.map(|()| text),
        }
    }

    pub(crate) fn encoding(&self) -> Encoding {
        self.encoding
    }

    fn check(&self) -> Result<(), IntakeError> {
        let mut pieces = self.pieces()?;
        let mut text = String::new();
        let (mut line, mut blank) = (1u32, true);
        loop {
            text.clear();
            let more = pieces.fill(&mut text)?;
            if let Some(at) = text.find('\0') {
                let line = line.saturating_add(lines_in(&text[..at]));
                return Err(IntakeError::Nul { file: self.name.clone(), line });
            }
            line = line.saturating_add(lines_in(&text));
            blank &= text.trim().is_empty();
            if !more && blank {
                return Err(IntakeError::Empty { file: self.name.clone() });
            }
            if !more {
                return Ok(());
            }
        }
    }

    /// Its text from the start, piece by piece.
    pub(crate) fn pieces(&self) -> Result<Pieces, IntakeError> {
        let failed = |error: std::io::Error| read_error(&self.name, &error);
        let mut file = File::open(&self.path).map_err(failed)?;
        let mut mark = vec![0u8; self.mark];
        read_full(&mut file, &mut mark).map_err(failed)?;
        let (encoding, name) = (self.encoding, self.name.clone());
        let decoder = encoding.decoder();
        let length = file.metadata().map_err(failed)?.len();
        let (bytes, read) = (Vec::new(), 0);
        Ok(Pieces { file, name, encoding, decoder, bytes, read, length, line: 1, is_done: false })
    }
}

/// The text of a file, piece by piece.
#[derive(Debug)]
pub(crate) struct Pieces {
    file: File,
    name: String,
    encoding: Encoding,
    decoder: encoding_rs::Decoder,
    bytes: Vec<u8>,
    /// Bytes read, and bytes of the file.
    read: u64,
    length: u64,
    line: u32,
    is_done: bool,
}

impl Pieces {
    /// Which share of the file was read, 0 to 1.
    pub(crate) fn share(&self) -> f64 {
        self.read as f64 / self.length.max(1) as f64
    }

    /// Appends the next piece to `text`; false if nothing comes after it.
    pub(crate) fn fill(&mut self, text: &mut String) -> Result<bool, IntakeError> {
        if self.is_done {
            return Ok(false);
        }
        self.bytes.resize(PIECE, 0);
        let length = read_full(&mut self.file, &mut self.bytes)
            .map_err(|error| read_error(&self.name, &error))?;
        let last = length < PIECE;
        self.read += length as u64;
        let start = text.len();
        let room = self.decoder.max_utf8_buffer_length(length).unwrap_or(3 * length + 16);
        text.reserve(room);
        let bytes = &self.bytes[..length];
        let broken = if self.encoding == Encoding::Windows1252 {
            let (result, _, _) = self.decoder.decode_to_string(bytes, text, last);
            result != CoderResult::InputEmpty
        } else {
            let (result, _) = self.decoder.decode_to_string_without_replacement(bytes, text, last);
            result != DecoderResult::InputEmpty
        };
        self.line = self.line.saturating_add(lines_in(&text[start..]));
        if broken {
            return Err(self.broken());
        }
        self.is_done = last;
        Ok(!last)
    }

    fn broken(&self) -> IntakeError {
        let (file, line) = (self.name.clone(), self.line);
        match self.encoding {
            Encoding::Utf8 => IntakeError::NotUtf8 { file, line },
            _ => IntakeError::BrokenUtf16 { file, line },
        }
    }
}

/// Fills `bytes` as far as the file goes; how many were read.
fn read_full(file: &mut File, bytes: &mut [u8]) -> std::io::Result<usize> {
    let mut length = 0;
    while length < bytes.len() {
        match file.read(&mut bytes[length..]) {
            Ok(0) => break,
            Ok(more) => length += more,
            Err(error) if error.kind() == std::io::ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
    Ok(length)
}

fn read_error(name: &str, error: &std::io::Error) -> IntakeError {
    IntakeError::Read { file: name.to_owned(), problem: error.to_string() }
}
