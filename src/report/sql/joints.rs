//! Which fasteners share a joint.

use std::collections::HashMap;
use std::sync::Arc;

use crate::record::Fastener;

/// The joints of the fasteners, each once. Two that go by one name but say
/// different things stay two.
pub(super) struct Joints {
    ids: Vec<usize>,
    firsts: Vec<Arc<Fastener>>,
}

impl Joints {
    pub(super) fn of(fasteners: &[Arc<Fastener>]) -> Self {
        let mut named: HashMap<(&str, &str), Vec<usize>> = HashMap::new();
        let (mut ids, mut firsts) = (Vec::with_capacity(fasteners.len()), Vec::new());
        for fastener in fasteners {
            let joint = &fastener.joint;
            let known = named.entry((&joint.assembly, &joint.name)).or_default();
            let same = known.iter().find(|id| {
                let first: &Arc<Fastener> = &firsts[**id];
                first.joint == *joint
            });
            let id = same.copied().unwrap_or(firsts.len());
            if id == firsts.len() {
                known.push(id);
                firsts.push(Arc::clone(fastener));
            }
            ids.push(id);
        }
        Self { ids, firsts }
    }

    /// The joint of each fastener, from 0.
    pub(super) fn ids(&self) -> impl Iterator<Item = usize> {
        self.ids.iter().copied()
    }

    /// One fastener of each joint.
    pub(super) fn firsts(&self) -> &[Arc<Fastener>] {
        &self.firsts
    }
}
