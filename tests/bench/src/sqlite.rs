//! SQLite's side, linked in.

use std::path::Path;

use rusqlite::{Connection, OpenFlags};

use crate::{Anyhow, median};

fn open(db: &Path) -> Anyhow<Connection> {
    Ok(Connection::open_with_flags(db, OpenFlags::SQLITE_OPEN_READ_ONLY)?)
}

pub(crate) fn find(db: &Path, thread: &str) -> Anyhow<()> {
    let db = open(db)?;
    let mut asked = db.prepare("select assembly, torque, part from settings where thread = ?")?;
    let mut rows = asked.query([thread])?;
    while let Some(row) = rows.next()? {
        let [assembly, torque, part]: [String; 3] = [row.get(0)?, row.get(1)?, row.get(2)?];
        println!("{assembly}|{torque}|{part}");
    }
    Ok(())
}

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

pub(crate) fn edit(db: &Path) -> Anyhow<()> {
    let mut count = 0;
    median(30, || {
        count += 1;
        let db = Connection::open(db)?;
        let note = format!("edit {count}");
        db.execute("update settings set notes = ? where rowid = 199", [note])?;
        Ok(1)
    })
}
