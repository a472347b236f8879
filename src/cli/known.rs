//! What is entered has to know of the book what it may change, looked up when asked:
//! the book may be larger than memory.

use std::cell::RefCell;
use std::ops::ControlFlow;
use std::sync::Arc;

use crate::intake::{Existing, Sheet};
use crate::record::Fastener;
use crate::store::{Access, Book, Finder, StoreError};
use crate::text::folds_to;

/// The names of a joint, folded, and its fasteners.
type OfJoint = ([String; 2], Vec<Arc<Fastener>>);

/// A book behind look-ups. A look-up that fails finds nothing and is told at
/// the end by [`BookLookup::sound`].
pub(super) struct BookLookup<'a> {
    book: &'a Book,
    /// For a long file: all of the book by key and joint.
    finder: Option<Finder<'a>>,
    is_empty: bool,
    /// The last joint asked for, folded: rows of one joint stand together.
    last: RefCell<Option<OfJoint>>,
    failed: RefCell<Option<StoreError>>,
}

impl<'a> BookLookup<'a> {
    pub(super) fn new(book: &'a Book, sheet: &Sheet) -> Result<Self, StoreError> {
        let is_empty = book.info().fasteners == 0;
        let finder = (sheet.is_big() && !is_empty).then(|| book.finder()).transpose()?;
        let (last, failed) = (RefCell::default(), RefCell::default());
        Ok(Self { book, finder, is_empty, last, failed })
    }

    /// An error if a look-up failed.
    pub(super) fn sound(&self) -> Result<(), StoreError> {
        self.failed.borrow_mut().take().map_or(Ok(()), Err)
    }

    fn or_nothing<T: Default>(&self, found: Result<T, StoreError>) -> T {
        found.unwrap_or_else(|error| {
            self.failed.borrow_mut().get_or_insert(error);
            T::default()
        })
    }
}

impl Existing for BookLookup<'_> {
    fn by_key(&self, key: &str) -> Option<Arc<Fastener>> {
        match &self.finder {
            _ if self.is_empty => None,
            Some(finder) => self.or_nothing(finder.by_key(key)),
            None => self.or_nothing(self.book.fastener(key)),
        }
    }

    fn by_name(&self, assembly: &str, joint: &str, part: &str) -> Vec<Arc<Fastener>> {
        let mut found = self.of_joint(assembly, joint);
        if !found.is_empty() {
            let part = crate::text::fold_name(part);
            found.retain(|fastener| folds_to(&fastener.part, &part));
        }
        found
    }

    fn of_joint(&self, assembly: &str, joint: &str) -> Vec<Arc<Fastener>> {
        if self.is_empty {
            return Vec::new();
        }
        let names = [assembly, joint].map(crate::text::fold_name);
        if let Some((last, found)) = &*self.last.borrow()
            && *last == names
        {
            return found.clone();
        }
        let both = || vec![Access::Assembly(names[0].clone()), Access::Joint(names[1].clone())];
        let found = match &self.finder {
            Some(finder) => finder.of_joint(&names[0], &names[1]),
            None => self.book.find(&Access::And(both())).map(|found| found.fasteners),
        };
        let mut found = self.or_nothing(found);
        // An access may find a few more.
        found.retain(|one| {
            folds_to(&one.joint.assembly, &names[0]) && folds_to(&one.joint.name, &names[1])
        });
        *self.last.borrow_mut() = Some((names, found.clone()));
        found
    }

    fn count_of(&self, assembly: &str) -> usize {
        match self.is_empty {
            true => 0,
            false => self.book.count(&Access::Assembly(assembly.to_owned())),
        }
    }

    fn each_of(&self, assembly: &str, visit: &mut dyn FnMut(&Arc<Fastener>)) {
        let read = self.book.each(&Access::Assembly(assembly.to_owned()), &mut |one| {
            if folds_to(&one.joint.assembly, assembly) {
                visit(&one);
            }
            ControlFlow::Continue(())
        });
        self.or_nothing(read);
    }
}
