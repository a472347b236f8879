//! Lubes and strengths that a file brings along, as an export of another book does.

use crate::cli::exit::Failure;
use crate::cli::kept;
use crate::cli::seed;
use crate::intake::{Report, Sheet};
use crate::record::{Kept, Tables};
use crate::store::{Book, Change};

/// What the records of a file make of the tables of a book.
pub(super) struct Own {
    /// The tables with them.
    pub tables: Tables,
    /// How they are entered.
    pub changes: Vec<Change>,
    remarks: Vec<String>,
}

impl Own {
    /// A record that the book has as the program ships it gives way to that of the
    /// file; one of the shop holds.
    pub(super) fn new(book: &Book, sheet: &Sheet) -> Result<Self, Failure> {
        let (tables, changes, remarks) = (book.tables().clone(), Vec::new(), Vec::new());
        let mut own = Self { tables, changes, remarks };
        if sheet.own.is_empty() {
            return Ok(own);
        }
        let changed = book.tables().beyond(&seed::reference()?);
        let lubes = sheet.own.lubes.iter().cloned().map(Kept::Lube);
        for new in lubes.chain(sheet.own.strengths.iter().cloned().map(Kept::Strength)) {
            let known = kept::known(book, new.kind(), new.name())?;
            let is_of_shop = |known: &Kept| match known {
                Kept::Lube(lube) => changed.lubes.contains(lube),
                Kept::Strength(class) => changed.strengths.contains(class),
                _ => true,
            };
            let title = new.title();
            match &known {
                Some(known) if *known == new => {}
                Some(known) if is_of_shop(known) => own
                    .remarks
                    .push(format!("{title} of the file differs from the book's, which holds")),
                _ => {
                    kept::check(&new, book)?;
                    let what = if known.is_some() { "its own " } else { "" };
                    own.remarks.push(format!("the file brings {what}{title}"));
                    own.changes.extend(kept::entered(&new, known.as_ref(), book.generation() + 1));
                    own.tables.put(new);
                }
            }
        }
        Ok(own)
    }

    /// Says in `report` what becomes of them.
    pub(super) fn say(&self, report: &mut Report) {
        self.remarks.iter().for_each(|words| report.conclude(words));
    }
}
