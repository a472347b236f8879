//! What a book says of itself.

use std::collections::BTreeSet;
use std::path::PathBuf;

use crate::store::access::Access;
use crate::store::book::Book;
use crate::store::folder;
use crate::store::image::Candidates;
use crate::store::probe::Probe;
use crate::store::row::FORM;

/// What a book says of itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Info {
    pub path: PathBuf,
    /// Version of its format.
    pub format: u32,
    /// Counts its changes; also the book's revision on a bench sheet.
    pub generation: u64,
    pub fasteners: u64,
    /// How many settings of them.
    pub settings: u64,
    pub lubes: usize,
    pub strengths: usize,
    /// How many joints, by assembly and name. Joints emptied since the last
    /// `compact` still count.
    pub joints: usize,
    /// Fasteners changed since the read image was written.
    pub overlaid: usize,
    /// Bytes on the disk, all files together.
    pub bytes: u64,
}

impl Book {
    /// What the book says of itself.
    pub fn info(&self) -> Info {
        let counts = self.counts();
        let (lubes, strengths) = (self.tables().lubes.len(), self.tables().strengths.len());
        Info {
            path: self.dir().to_owned(),
            format: u32::from(FORM),
            generation: self.generation(),
            fasteners: counts.fasteners,
            settings: counts.settings,
            lubes,
            strengths,
            joints: (self.image().counts().joints + self.new_joints()) as usize,
            overlaid: self.overlaid(),
            bytes: folder::size_of_tree(self.dir()),
        }
    }

    /// How many fasteners changed since the read image was written.
    pub(crate) fn overlaid(&self) -> usize {
        self.overlay().changed.len()
    }

    /// Joints of the overlay that the image does not have.
    fn new_joints(&self) -> u64 {
        let changed =
            self.overlay().changed.values().filter_map(|changed| changed.fastener.as_ref());
        let joints: BTreeSet<(&str, &str)> =
            changed.map(|f| (f.joint.assembly.as_str(), f.joint.name.as_str())).collect();
        let is_new = |(assembly, name): &(&str, &str)| {
            let access = Access::And(vec![
                Access::Assembly((*assembly).to_owned()),
                Access::Joint((*name).to_owned()),
            ]);
            let probe = Probe::new(&access, self.tables());
            let found = self.image().candidates(&probe);
            matches!(found, Ok((Candidates::These(these), _)) if these.is_empty())
        };
        joints.iter().filter(|joint| is_new(joint)).count() as u64
    }
}
