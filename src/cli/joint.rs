//! The joints of an answer: their layouts, and in which order their bolts are pulled.

use std::fs::File;
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::cli::exit::Failure;
use crate::intake::read_table;
use crate::record::{Fastener, Joint, JointOrder, Layout, Row, joint_order, read_layout};
use crate::report::OrderOfJoint;
use crate::store::{Access, Book};

/// The joints of `rows`, each once, in their order. General charts are for no
/// joint in particular and left out.
pub(super) fn joints(rows: &[Row]) -> Vec<Joint> {
    let mut joints: Vec<Joint> = Vec::new();
    for row in rows.iter().filter(|row| !row.fastener.is_chart()) {
        let joint = &row.fastener.joint;
        if !joints.iter().any(|known| known.is_same(joint)) {
            joints.push(joint.clone());
        }
    }
    joints
}

pub(super) fn layouts(files: &[PathBuf]) -> Result<Vec<Layout>, Failure> {
    files.iter().map(|file| layout(file)).collect()
}

/// Bytes of a table of holes at most: a workbook of a few hundred has far less.
const LARGEST: u64 = 4 << 20;

/// The layout in a table of coordinates; its name is that of the file.
pub(super) fn layout(file: &Path) -> Result<Layout, Failure> {
    let shown = file.display();
    let failed = |error: io::Error| Failure::Input(format!("{shown}: {error}"));
    let mut bytes = Vec::new();
    File::open(file)
        .and_then(|file| file.take(LARGEST + 1).read_to_end(&mut bytes))
        .map_err(failed)?;
    if bytes.len() as u64 > LARGEST {
        return Err(Failure::Input(format!("{shown}: it is larger than any table of holes")));
    }
    let name = file.file_stem().unwrap_or_default().to_string_lossy();
    let table = read_table(&bytes, &shown.to_string())
        .map_err(|error| Failure::Input(error.to_string()))?;
    read_layout(&name, &table.headings, table.delimiter, table.rows())
        .map_err(|error| Failure::Input(format!("{shown}: {error}")))
}

/// The fasteners of a joint; an access may find a few more.
pub(super) fn fasteners(book: &Book, joint: &Joint) -> Result<Vec<Arc<Fastener>>, Failure> {
    let (assembly, name) = (joint.assembly.clone(), joint.name.clone());
    Ok(book.find(&Access::And(vec![Access::Assembly(assembly), Access::Joint(name)]))?.fasteners)
}

/// The order of a joint from all its fasteners, not only those asked for.
pub(super) fn order_of(
    joint: &Joint,
    book: &Book,
    files: &[Layout],
) -> Result<OrderOfJoint, Failure> {
    // A table given now goes before one of the book.
    let mut layouts = files.to_vec();
    if joint.layout.is_some() {
        layouts.extend_from_slice(book.layouts()?);
    }
    let found = fasteners(book, joint)?;
    let own: Vec<&Fastener> =
        found.iter().map(Arc::as_ref).filter(|one| one.joint.is_same(joint)).collect();
    let order: Result<JointOrder, String> =
        joint_order(joint, &own, &layouts).map_err(|error| error.to_string());
    Ok(OrderOfJoint { joint: joint.clone(), order })
}
