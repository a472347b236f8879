//! Which state is the book: making a new one current, removing what is not.

use std::fs;
use std::path::Path;
use std::sync::Arc;

use crate::record::Tables;
use crate::store::book::Book;
use crate::store::book_of_record::Visit;
use crate::store::codec::Unreadable;
use crate::store::error::StoreError;
use crate::store::folder::{self, Current};
use crate::store::image::{Counts, ImageWriter};
use crate::store::next::Next;
use crate::store::overlay::Overlay;
use crate::store::rebuild::{Rebuilt, write_error};

/// An error if there is a book, or something else, at `dir`.
pub(crate) fn refuse_if_taken(dir: &Path) -> Result<(), StoreError> {
    match Current::read(dir) {
        Ok(_) => Err(StoreError::Exists(dir.to_owned())),
        Err(error) if error.is_absent() => Ok(()),
        Err(error) => Err(error),
    }
}

/// Makes a complete new state current; see [`Current::publish`].
pub(crate) fn publish(
    dir: &Path,
    rebuilt: &Rebuilt,
    ledger: Option<(String, u64)>,
) -> Result<Option<StoreError>, StoreError> {
    let Rebuilt { image, sled, counts, .. } = rebuilt;
    let current = Current::plain(counts.generation, sled.clone(), image.clone());
    Current { ledger, ..current }.publish(dir)
}

/// Writes the overlay, or a new image where that has become too large.
pub(crate) fn write_files(
    dir: &Path,
    book: &Book,
    next: &Next,
) -> Result<(Current, Counts), StoreError> {
    let generation = next.counts.generation;
    let old = book.current().clone();
    let base = book.image().counts();
    let overlay = next.overlay(book);
    let unfit = |why: Unreadable| StoreError::TooLarge { key: "the change".to_owned(), why: why.0 };
    if Overlay::may_hold(base.fasteners, overlay.changed.len())
        && let Some(bytes) = overlay.encode(base.generation).map_err(unfit)?
    {
        let name = format!("overlay-{generation}");
        let path = dir.join(&name);
        Overlay::write(&path, &bytes)
            .map_err(|error| StoreError::unchanged("write", &path, error))?;
        return Ok((Current { generation, overlay: Some(name), ..old }, next.counts));
    }
    let image = format!("image-{generation}");
    let path = dir.join(&image);
    let tables = Arc::new(next.tables.clone());
    let counts = write_image(&path, tables, (generation, next.counts.next), |visit| {
        next.each_entry(book, visit)
    })?;
    Ok((Current { generation, image, overlay: None, ..old }, counts))
}

/// Writes a whole read image at `path`: what `each` visits, as this generation, with this
/// next number.
pub(crate) fn write_image(
    path: &Path,
    tables: Arc<Tables>,
    (generation, next): (u64, u64),
    each: impl FnOnce(Visit<'_>) -> Result<(), StoreError>,
) -> Result<Counts, StoreError> {
    let mut image = ImageWriter::create(path, tables)
        .map_err(|error| StoreError::unchanged("write", path, error))?;
    each(&mut |number, fastener| {
        let pushed = image.push(number, &fastener);
        pushed.map(drop).map_err(|error| write_error(path, &fastener.key, error))
    })?;
    image.finish(generation, next).map_err(|error| write_error(path, "the book", error))
}

/// Removes our files that `current` does not name.
pub(crate) fn remove_leftovers(dir: &Path, current: Option<&Current>) {
    let named = |path: &Path| {
        let name = folder::name_of(path);
        current.is_some_and(|current| {
            let ledger = current.ledger.as_ref().map(|(name, _)| name);
            [Some(&current.sled), Some(&current.image), current.overlay.as_ref(), ledger]
                .contains(&Some(&name))
        })
    };
    let beside = fs::read_dir(dir).into_iter().flatten().filter_map(Result::ok);
    for entry in beside.filter(|entry| folder::is_beside(&entry.file_name().to_string_lossy())) {
        let _ = fs::remove_file(entry.path());
    }
    for prefix in folder::FILES {
        for (_, path) in folder::numbered(dir, prefix) {
            if !named(&path) {
                let _ =
                    if path.is_dir() { fs::remove_dir_all(&path) } else { fs::remove_file(&path) };
            }
        }
    }
}
