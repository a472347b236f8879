//! SQLite's side, linked in.

use std::path::Path;

use rusqlite::{Connection, OpenFlags};

use crate::{Anyhow, median};

fn open(db: &Path) -> Anyhow<Connection> {
    Ok(Connection::open_with_flags(db, OpenFlags::SQLITE_OPEN_READ_ONLY)?)
}

/// The same settings by a prepared statement.
pub(crate) fn range(db: &Path, low: f64, high: f64) -> Anyhow<()> {
    let db = open(db)?;
    let mut asked =
        db.prepare("select * from settings where torque_nm between ? and ? order by rowid")?;
    median(100, || {
        let mut rows = asked.query([low, high])?;
        let (mut count, mut bytes) = (0, 0);
        while let Some(row) = rows.next()? {
            // Every column, as the book gives every field.
            for at in 0..20 {
                bytes += row.get_ref(at)?.as_str().map_or(0, str::len);
            }
            count += 1;
        }
        assert!(bytes > count);
        Ok(count)
    })
}
