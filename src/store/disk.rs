//! Files of a book on the disk: made, opened and replaced so that they survive
//! a power cut, and so that no link, pipe or folder in the place of one of them
//! is followed, waited for or written to.

use std::fs::{self, File, Metadata, OpenOptions};
use std::io::{self, Read as _, Write as _};
use std::path::Path;

/// Opens a file of a book for reading.
pub(crate) fn open(path: &Path) -> io::Result<File> {
    is_file(&fs::symlink_metadata(path)?)?;
    File::open(path)
}

/// All bytes of a file of a book.
pub(crate) fn read(path: &Path) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    open(path)?.read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// Opens a file of a book for reading and writing.
pub(crate) fn open_to_write(path: &Path) -> io::Result<File> {
    is_file(&fs::symlink_metadata(path)?)?;
    OpenOptions::new().read(true).write(true).open(path)
}

fn is_file(there: &Metadata) -> io::Result<()> {
    let what = "it is a link, a pipe or a folder where a file should be";
    if there.is_file() { Ok(()) } else { Err(io::Error::new(io::ErrorKind::InvalidData, what)) }
}

/// Makes a new file; what had its name before is removed, not written to.
pub(crate) fn create(path: &Path) -> io::Result<File> {
    match fs::symlink_metadata(path) {
        Ok(there) if !there.is_dir() => fs::remove_file(path)?,
        _ => {}
    }
    let file = OpenOptions::new().read(true).write(true).create_new(true).open(path)?;
    share(path, &file)?;
    Ok(file)
}

/// Opens a file for writing, or makes it; never one behind a link.
pub(crate) fn open_or_create(path: &Path) -> io::Result<File> {
    match open_to_write(path) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => {}
        opened => return opened,
    }
    match OpenOptions::new().read(true).write(true).create_new(true).open(path) {
        // Somebody else was quicker.
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => open_to_write(path),
        made => made.and_then(|file| share(path, &file).map(|()| file)),
    }
}

/// Writes a new file and waits until it is on the disk; on an error the file
/// is removed again.
pub(crate) fn write_durably(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let written = create(path).and_then(|mut file| {
        file.write_all(bytes)?;
        file.sync_all()
    });
    if written.is_err() {
        let _ = fs::remove_file(path);
    }
    written
}

/// The end of the name of a file that is to replace another.
pub(crate) const BESIDE: &str = ".tmp";

/// Puts `bytes` in the place of the file `path` at once: written beside it under
/// a random name, durably, and renamed. From the rename on the new bytes are what
/// is there; the error within is that the name may not be on the disk yet.
pub(crate) fn replace(path: &Path, bytes: &[u8]) -> io::Result<Result<(), io::Error>> {
    let folder = path.parent().unwrap_or(Path::new("."));
    let name = path.file_name().map(|name| name.to_string_lossy() + ".").unwrap_or_default();
    let mut builder = tempfile::Builder::new();
    builder.prefix(&*name).suffix(BESIDE);
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let mut beside = builder.tempfile_in(folder)?;
    share(path, beside.as_file())?;
    beside.write_all(bytes)?;
    beside.as_file().sync_all()?;
    // On an error it is removed when it is dropped.
    let (_, beside) = beside.into_parts();
    rename(&beside, path)?;
    let _ = beside.keep();
    Ok(sync_folder(folder))
}

/// Renames; where a reader can stand in the way, again for a second.
fn rename(from: &Path, to: &Path) -> io::Result<()> {
    let mut tries = 0;
    loop {
        match fs::rename(from, to) {
            Err(error)
                if cfg!(windows)
                    && error.kind() == io::ErrorKind::PermissionDenied
                    && tries < 20 =>
            {
                tries += 1;
                std::thread::sleep(std::time::Duration::from_millis(50));
            }
            done => return done,
        }
    }
}

/// Waits until the names in a folder are on the disk.
pub(crate) fn sync_folder(dir: &Path) -> io::Result<()> {
    if cfg!(unix) { File::open(dir)?.sync_all() } else { Ok(()) }
}

/// Waits until every file under `dir` is on the disk, whatever wrote it; in a
/// group's folder the group may write them.
pub(crate) fn sync_tree(dir: &Path) -> io::Result<()> {
    share_folder(dir);
    for entry in fs::read_dir(dir)? {
        let entry = entry?;
        if entry.file_type()?.is_dir() {
            sync_tree(&entry.path())?;
        } else {
            // A handle that can write: some systems refuse to sync another.
            let file = open_to_write(&entry.path())?;
            // A file of another user of the group has its mode already.
            let _ = share(&entry.path(), &file);
            file.sync_all()?;
        }
    }
    sync_folder(dir)
}

/// In a folder that its group may write in, a new file is the group's to write
/// too, whatever the umask says.
#[cfg(unix)]
fn share(path: &Path, file: &File) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = fs::metadata(path.parent().unwrap_or(Path::new(".")))?.permissions().mode();
    if folder & 0o020 == 0 {
        return Ok(());
    }
    file.set_permissions(fs::Permissions::from_mode(folder & 0o666))
}

/// The same for a folder within: it gets the mode of the one it lies in.
#[cfg(unix)]
fn share_folder(dir: &Path) {
    use std::os::unix::fs::PermissionsExt as _;
    let Some(above) = dir.parent().and_then(|above| fs::metadata(above).ok()) else { return };
    if above.permissions().mode() & 0o020 != 0 {
        // Not ours to change: another user of the group made it, with this mode.
        let _ = fs::set_permissions(dir, above.permissions());
    }
}

#[cfg(not(unix))]
fn share(_: &Path, _: &File) -> io::Result<()> {
    Ok(())
}

#[cfg(not(unix))]
fn share_folder(_: &Path) {}
