//! What a book says of itself.

use std::collections::BTreeSet;

use crate::record::BookInfo;
use crate::store::access::Access;
use crate::store::book::Book;
use crate::store::folder;
use crate::store::image::Candidates;
use crate::store::probe::Probe;
use crate::store::row::FORM;

impl Book {
    /// What the book says of itself.
    pub fn info(&self) -> BookInfo {
        let counts = self.counts();
        let (lubes, strengths) = (self.tables().lubes.len(), self.tables().strengths.len());
        BookInfo {
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
