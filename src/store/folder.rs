//! The folder of a book: its files, and `current` that names the valid ones.

use std::fs;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use serde_json::json;

use crate::store::disk;
use crate::store::error::StoreError;
use crate::store::image::newer_form;
use crate::store::ledger;
use crate::store::row::{FORM, Unusable, in_use, known};

/// The topic of what the shop wants everywhere.
pub const SETTINGS: &str = "settings";
/// The file that names the others; it is replaced whole.
pub(crate) const CURRENT: &str = "current";
/// Present while a change is being written.
pub(crate) const CHANGING: &str = "changing";
/// What `changing` says while a first run makes the book: a folder with that and
/// no `current` holds no book yet.
pub(crate) const BEGINNING: &[u8] = b"the book is being begun\n";

/// Beside the read image of a book on a server: when it was last known to be current,
/// and the lines of the log that wait for the server.
pub(crate) const REFRESHED: &str = "refreshed";
pub(crate) const UNSENT: &str = "unsent";

const FIRST_LINE: &str = "clampbook book format ";

/// The files that are valid now, as `current` names them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Current {
    /// The generation: counts changes.
    pub(crate) generation: u64,
    /// Folder of the book of record; empty where a server keeps it.
    pub(crate) sled: String,
    /// Up to where the book of a server was fetched; none of a book of its own.
    pub(crate) server: Option<Fetched>,
    /// The read image.
    pub(crate) image: String,
    /// Changes since the image, if there are any.
    pub(crate) overlay: Option<String>,
    /// The ledger and how many of its bytes are valid, if there is one.
    pub(crate) ledger: Option<(String, u64)>,
    /// What the shop wants everywhere, as the ledger notes it: name and text. It stands
    /// here too so that a look-up, which asks for the units, reads no ledger.
    pub(crate) set: Vec<(String, String)>,
}

/// Up to where the book of a server was fetched.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Fetched {
    /// The UUID of the book.
    pub(crate) book: String,
    /// The UUID of its last change.
    pub(crate) change: String,
    /// Rows of its ledger.
    pub(crate) rows: u64,
}

impl Current {
    /// What names nothing but a book of record and an image.
    pub(crate) fn plain(generation: u64, sled: String, image: String) -> Self {
        let (overlay, ledger, server, set) = (None, None, None, Vec::new());
        Self { generation, sled, server, image, overlay, ledger, set }
    }

    /// Reads `current` of the book at `dir`, or says what is there instead.
    pub(crate) fn read(dir: &Path) -> Result<Self, StoreError> {
        let path = dir.join(CURRENT);
        match disk::read(&path) {
            Ok(bytes) => Self::parse(dir, &bytes),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Err(what_is_there(dir)),
            Err(error) if error.kind() == io::ErrorKind::NotADirectory => {
                Err(StoreError::NotABook(dir.to_owned()))
            }
            Err(error) => Err(StoreError::io("open", &path, error)),
        }
    }

    fn parse(dir: &Path, bytes: &[u8]) -> Result<Self, StoreError> {
        let damaged = || StoreError::damaged(dir, "its file `current` is not what was written");
        let text = std::str::from_utf8(bytes).map_err(|_| damaged())?;
        let Some(rest) = text.strip_prefix(FIRST_LINE) else {
            // A file called `current` of something else, or a damaged one.
            let ours = has_image(dir);
            return Err(if ours { damaged() } else { StoreError::NotABook(dir.to_owned()) });
        };
        let newer = |what| StoreError::Newer { path: dir.to_owned(), what };
        let body = checked(text).ok_or_else(damaged)?;
        match rest.lines().next().and_then(|line| line.parse::<u32>().ok()) {
            Some(found) if found > u32::from(FORM) => return Err(newer(newer_form(found))),
            Some(found) if found < u32::from(FORM) => {
                return Err(StoreError::Unreleased { path: dir.to_owned(), found });
            }
            Some(_) => {}
            None => return Err(damaged()),
        }
        let value =
            |name: &str| body.lines().find_map(|line| line.strip_prefix(name)?.strip_prefix(' '));
        known(value("lists").ok_or_else(damaged)?).map_err(|why| match why {
            Unusable::Newer(what) => newer(what),
            Unusable::NotLists => damaged(),
        })?;
        Ok(Self {
            generation: value("generation").and_then(|n| n.parse().ok()).ok_or_else(damaged)?,
            sled: match (value("sled"), value("server")) {
                (Some(sled), None) => sled.to_owned(),
                (None, Some(_)) => String::new(),
                _ => return Err(damaged()),
            },
            server: value("server").map(fetched).map(|f| f.ok_or_else(damaged)).transpose()?,
            image: value("image").map(str::to_owned).ok_or_else(damaged)?,
            overlay: value("overlay").map(str::to_owned),
            ledger: value("ledger")
                .map(ledger_of)
                .map(|ledger| ledger.ok_or_else(damaged))
                .transpose()?,
            set: body
                .lines()
                .filter_map(|line| line.strip_prefix("set "))
                .map(|pair| serde_json::from_str(pair).map_err(|_| damaged()))
                .collect::<Result<_, _>>()?,
        })
    }

    fn print(&self) -> String {
        let Self { generation, sled, server, image, overlay, ledger, set } = self;
        let record = match server {
            None => format!("sled {sled}"),
            Some(Fetched { book, change, rows }) => format!("server {book} {change} {rows}"),
        };
        let overlay = overlay.as_ref().map(|name| format!("overlay {name}\n"));
        let ledger = ledger.as_ref().map(|(name, valid)| format!("ledger {name} {valid}\n"));
        let set: Vec<String> = set.iter().map(|pair| format!("set {}\n", json!(pair))).collect();
        let set = set.concat();
        let body = format!(
            "{FIRST_LINE}{FORM}\nlists {}\ngeneration {generation}\n{record}\nimage {image}\n\
             {}{}{set}",
            in_use(),
            overlay.unwrap_or_default(),
            ledger.unwrap_or_default()
        );
        let check = crc32fast::hash(body.as_bytes());
        format!("{body}check {check:08x}\n")
    }

    /// Makes this the state of the book, durably. What may be wrong after that
    /// is handed back: the book is the new one all the same.
    pub(crate) fn publish(mut self, dir: &Path) -> Result<Option<StoreError>, StoreError> {
        let notes = ledger::notes(dir, &self, SETTINGS)?;
        self.set = notes.into_iter().map(|note| (note.key, note.text)).collect();
        let path = dir.join(CURRENT);
        let failed = |error| StoreError::unchanged("write", &path, error);
        let named = disk::replace(&path, self.print().as_bytes()).map_err(failed)?;
        Ok(named.map_err(failed).err().map(StoreError::after_storing))
    }
}

impl std::fmt::Display for Current {
    /// The image, and the changes since, by file name.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match &self.overlay {
            Some(overlay) => write!(f, "{} with {overlay}", self.image),
            None => f.write_str(&self.image),
        }
    }
}

/// The name and length in a `ledger` line.
fn ledger_of(line: &str) -> Option<(String, u64)> {
    let (name, valid) = line.split_once(' ')?;
    Some((name.to_owned(), valid.parse().ok()?))
}

/// What stands in a `server` line.
fn fetched(line: &str) -> Option<Fetched> {
    let mut words = line.split(' ').map(str::to_owned);
    let (book, change) = (words.next()?, words.next()?);
    Some(Fetched { book, change, rows: words.next()?.parse().ok()? })
}

/// The lines before a correct `check` line.
fn checked(text: &str) -> Option<&str> {
    let body = &text[..text.rfind("check ")?];
    let line = text[body.len()..].strip_prefix("check ")?.strip_suffix('\n')?;
    (line == format!("{:08x}", crc32fast::hash(body.as_bytes()))).then_some(body)
}

/// Why there is no `current` in `dir`.
fn what_is_there(dir: &Path) -> StoreError {
    match fs::read_dir(dir) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            StoreError::Missing(dir.to_owned())
        }
        Err(error) if error.kind() == io::ErrorKind::NotADirectory => {
            StoreError::NotABook(dir.to_owned())
        }
        Err(error) => StoreError::io("open", dir, error),
        Ok(mut entries) => {
            let is_begun = disk::read(&dir.join(CHANGING)).is_ok_and(|said| said == BEGINNING);
            if !is_begun && has_image(dir) {
                return StoreError::damaged(dir, "its file `current` is gone");
            }
            let only_ours = entries.all(|entry| {
                entry.is_ok_and(|entry| is_working_file(&entry.file_name().to_string_lossy()))
            });
            if only_ours {
                StoreError::Empty(dir.to_owned())
            } else {
                StoreError::NotABook(dir.to_owned())
            }
        }
    }
}

/// Files that an interrupted first run may leave.
fn is_working_file(name: &str) -> bool {
    ["lock", "owner", CHANGING, REFRESHED, UNSENT].contains(&name)
        || is_beside(name)
        || FILES.iter().any(|prefix| number_of(name, prefix).is_some())
}

/// What the names of the numbered files begin with.
pub(crate) const FILES: [&str; 4] = ["image-", "overlay-", "sled-", "ledger-"];

/// Whether it is a file that was to replace `current`.
pub(crate) fn is_beside(name: &str) -> bool {
    name.starts_with(CURRENT) && name.ends_with(disk::BESIDE)
}

/// Whether an image of ours is there, of a generation in which something was
/// entered.
fn has_image(dir: &Path) -> bool {
    let begins_like_one = |path: &Path| {
        let mut start = [0; 8];
        disk::open(path).and_then(|mut file| file.read_exact(&mut start)).is_ok()
            && start == *b"clampimg"
    };
    let images = numbered(dir, "image-");
    images.iter().any(|(generation, path)| *generation > 0 && begins_like_one(path))
}

/// N of a file called `prefixN`.
pub(crate) fn number_of(name: &str, prefix: &str) -> Option<u64> {
    name.strip_prefix(prefix)?.parse().ok()
}

/// The last part of a path, as text.
pub(crate) fn name_of(path: &Path) -> String {
    path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default()
}

/// Files of `dir` called `prefixN`, with N.
pub(crate) fn numbered(dir: &Path, prefix: &str) -> Vec<(u64, PathBuf)> {
    let Ok(entries) = fs::read_dir(dir) else { return Vec::new() };
    let mut files: Vec<(u64, PathBuf)> = entries
        .filter_map(Result::ok)
        .filter_map(|entry| {
            Some((number_of(&entry.file_name().to_string_lossy(), prefix)?, entry.path()))
        })
        .collect();
    files.sort_unstable();
    files
}

/// Bytes of every file under `dir`.
pub(crate) fn size_of_tree(dir: &Path) -> u64 {
    let Ok(entries) = fs::read_dir(dir) else { return 0 };
    entries
        .filter_map(Result::ok)
        .map(|entry| match entry.metadata() {
            Ok(data) if data.is_dir() => size_of_tree(&entry.path()),
            Ok(data) => data.len(),
            Err(_) => 0,
        })
        .sum()
}
