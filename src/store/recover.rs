//! After a change that was broken off: the book of record has it, `current`
//! does not yet name it.

use std::path::Path;
use std::sync::Arc;

use crate::record::Tables;
use crate::store::book_of_record::Visit;
use crate::store::codec;
use crate::store::engine::Engine;
use crate::store::error::StoreError;
use crate::store::folder::Current;
use crate::store::image::Image;
use crate::store::ledger;
use crate::store::overlay::Overlay;
use crate::store::piece;
use crate::store::publish;
use crate::store::rebuild::meta_of;
use crate::store::seal::Meta;

/// Makes what the book of record says current: by the file that the broken
/// change prepared, or by a new image.
pub(crate) fn publish_committed(
    dir: &Path,
    old: &Current,
    engine: &Engine,
    meta: Meta,
) -> Result<(), StoreError> {
    let generation = meta.generation;
    let image = format!("image-{generation}");
    let overlay = format!("overlay-{generation}");
    let next = if has_overlay(dir, old, &overlay, meta) {
        Current { generation, overlay: Some(overlay), ..old.clone() }
    } else {
        if !has_image(&dir.join(&image), meta) {
            write_image(dir, &dir.join(&image), engine, meta)?;
        }
        Current { generation, image, overlay: None, ..old.clone() }
    };
    let next = Current { ledger: ledger::extended(dir, old, generation), ..next };
    next.publish(dir).map(drop)
}

fn has_image(path: &Path, meta: Meta) -> bool {
    Image::open(path).is_ok_and(|image| meta_of(image.counts()) == meta)
}

fn has_overlay(dir: &Path, old: &Current, name: &str, meta: Meta) -> bool {
    let Ok(base) = Image::open(&dir.join(&old.image)) else { return false };
    let opened = Overlay::open(&dir.join(name), base.counts().generation);
    matches!(opened, Ok(Ok(overlay)) if meta_of(overlay.counts) == meta)
}

/// Writes the image that the book of record asks for.
pub(crate) fn write_image(
    dir: &Path,
    path: &Path,
    engine: &Engine,
    meta: Meta,
) -> Result<(), StoreError> {
    let tables = Arc::new(tables(dir, engine)?);
    let counts = publish::write_image(path, tables, (meta.generation, meta.next), |visit| {
        each_entry(dir, engine, visit)
    })?;
    if meta_of(counts) == meta {
        return Ok(());
    }
    let _ = std::fs::remove_file(path);
    Err(StoreError::damaged(dir, "the book of record lacks fasteners that it counts"))
}

/// The tables of the book of record.
pub(crate) fn tables(dir: &Path, engine: &Engine) -> Result<Tables, StoreError> {
    let bad = |what: &str| StoreError::damaged(dir, format!("the book of record: {what}"));
    let bytes = engine.tables()?.ok_or_else(|| bad("it has no tables"))?;
    codec::decode(&bytes).map_err(|error| bad(&error.0))
}

/// Visits every fastener of the book of record.
pub(crate) fn each_entry(dir: &Path, engine: &Engine, visit: Visit<'_>) -> Result<(), StoreError> {
    let bad = |what: String| StoreError::damaged(dir, format!("the book of record: {what}"));
    let mut last = None;
    while let Some((block, bytes)) = engine.block_after(last)? {
        for (number, fastener) in piece::read_block(&bytes).map_err(|error| bad(error.0))? {
            if number / piece::BLOCK != block {
                return Err(bad(format!("block {block} holds fasteners of another")));
            }
            visit(number, fastener)?;
        }
        last = Some(block);
    }
    Ok(())
}
