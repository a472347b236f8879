//! A file of the user's that a command writes. One that is there is replaced
//! only with `--replace`, and only by a whole one: it is written beside under a
//! random name, synced and renamed. A pipe or a device is written straight.

use std::fs::{self, File, Permissions};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use crate::cli::exit::Failure;
use crate::cli::interrupt;

/// A file being written; nothing of it is seen before [`FileOut::finish`].
pub(super) struct FileOut {
    path: PathBuf,
    replace: bool,
    to: To,
}

enum To {
    /// A pipe, a device, or standard output.
    Straight(Box<dyn Write>),
    /// A new file beside, and the mode of the old one.
    Beside(BufWriter<NamedTempFile>, Option<Permissions>),
}

pub(super) fn write(path: &Path, bytes: &[u8], replace: bool) -> Result<(), Failure> {
    let mut file = FileOut::begin(path, replace)?;
    file.write_all(bytes).map_err(|error| failed(path, &error))?;
    file.finish()
}

/// Whether `path` is standard output by one of its names.
pub(super) fn is_stdout(path: &Path) -> bool {
    path == Path::new("-") || path == Path::new("/dev/stdout")
}

/// An error if a file is at `path` that may not be replaced: asked before the
/// work that makes its contents.
pub(super) fn refuse(path: &Path, replace: bool) -> Result<Option<fs::Metadata>, Failure> {
    let shown = path.display();
    let wrong = |what: &str| Err(Failure::Argument(format!("{shown} {what}")));
    let there = match fs::symlink_metadata(path) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(failed(path, &error)),
        Ok(there) => there,
    };
    // A device may go by the name of a link, such as /dev/stderr.
    let there = match fs::metadata(path) {
        Ok(target) if there.is_symlink() && !target.is_file() && !target.is_dir() => target,
        _ if there.is_symlink() => return wrong("is a link: name the file itself"),
        _ => there,
    };
    if there.is_dir() {
        return wrong("is a folder: name a file");
    }
    if there.is_file() && !replace {
        return wrong("is there already: name another file, or say --replace");
    }
    Ok(Some(there))
}

impl FileOut {
    pub(super) fn begin(path: &Path, replace: bool) -> Result<Self, Failure> {
        let (path, failed) = (path.to_owned(), |error: io::Error| failed(path, &error));
        if is_stdout(&path) {
            let to = To::Straight(Box::new(io::stdout()));
            return Ok(Self { path, replace, to });
        }
        let to = match refuse(&path, replace)? {
            Some(there) if !there.is_file() => {
                let device = File::options().write(true).open(&path).map_err(failed)?;
                To::Straight(Box::new(BufWriter::new(device)))
            }
            there => {
                let beside = beside(&path).map_err(failed)?;
                interrupt::remove_at_the_end(beside.path());
                To::Beside(BufWriter::new(beside), there.map(|there| there.permissions()))
            }
        };
        Ok(Self { path, replace, to })
    }

    /// Puts the file in its place, durably.
    pub(super) fn finish(self) -> Result<(), Failure> {
        let Self { path, replace, to } = self;
        let failed = |error: io::Error| failed(&path, &error);
        let (beside, mode) = match to {
            To::Straight(mut out) => return out.flush().map_err(failed),
            To::Beside(out, mode) => (out.into_inner().map_err(|e| failed(e.into_error()))?, mode),
        };
        if let Some(mode) = mode {
            beside.as_file().set_permissions(mode).map_err(failed)?;
        }
        beside.as_file().sync_all().map_err(failed)?;
        let own = beside.path().to_owned();
        let put = if replace { beside.persist(&path) } else { beside.persist_noclobber(&path) };
        interrupt::forget(&own);
        match put {
            Ok(_) => sync_folder(&path).map_err(failed),
            // Somebody else was quicker.
            Err(error) if error.error.kind() == io::ErrorKind::AlreadyExists => {
                refuse(&path, false).map(drop).and(Err(failed(error.error)))
            }
            Err(error) => Err(failed(error.error)),
        }
    }
}

impl Write for FileOut {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match &mut self.to {
            To::Straight(out) => out.write(bytes),
            To::Beside(out, _) => out.write(bytes),
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        match &mut self.to {
            To::Straight(out) => out.flush(),
            To::Beside(out, _) => out.flush(),
        }
    }
}

/// Waits until the name of the file is on the disk too.
fn sync_folder(path: &Path) -> io::Result<()> {
    if !cfg!(unix) {
        return Ok(());
    }
    let synced = File::open(folder_of(path)).and_then(|folder| folder.sync_all());
    let but = "it is written, but may be gone after a power cut";
    synced.map_err(|error| io::Error::new(error.kind(), format!("{but}: {error}")))
}

fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// A new file in the folder of `path`, with the mode that the user's files get.
fn beside(path: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".clampbook-");
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    builder.tempfile_in(folder_of(path))
}

pub(super) fn failed(path: &Path, error: &io::Error) -> Failure {
    Failure::Output(io::Error::new(error.kind(), format!("{}: {error}", path.display())))
}
