//! Which state is the book: making a new one current, removing what is not.

use std::fs;
use std::path::Path;

use crate::store::error::StoreError;
use crate::store::folder::{self, Current};
use crate::store::rebuild::Rebuilt;

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
    let (image, sled) = (image.clone(), sled.clone());
    Current { generation: counts.generation, sled, image, overlay: None, ledger, set: Vec::new() }
        .publish(dir)
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
