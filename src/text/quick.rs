//! Tables that are asked millions of times in one import.

use std::hash::{BuildHasher, Hash};

use foldhash::fast::{FixedState, RandomState};

/// A map with a quick hash, seeded anew in each process.
pub type QuickMap<K, V> = std::collections::HashMap<K, V, RandomState>;

/// A set with a quick hash, seeded anew in each process.
pub type QuickSet<T> = std::collections::HashSet<T, RandomState>;

/// The same number for the same value. Different values may share one.
pub fn quick_hash(value: &(impl Hash + ?Sized)) -> u64 {
    FixedState::with_seed(0x636c_616d_7062_6f6b).hash_one(value)
}
