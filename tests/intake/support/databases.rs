//! The two database programs that an SQL export is loaded into.
//!
//! Where they are not installed the test says that it was skipped, unless
//! `CLAMPBOOK_DATABASES=required` (the gate in .ci/run) refuses that.

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// A database that a script was loaded into.
pub(crate) trait Database {
    /// The answer as CSV with a header.
    fn csv(&self, question: &str) -> String;
}

fn program(name: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH").unwrap_or_default();
    let mut folders: Vec<PathBuf> = std::env::split_paths(&path).collect();
    // Debian keeps the server's programs here, one folder a version.
    if let Ok(versions) = std::fs::read_dir("/usr/lib/postgresql") {
        folders.extend(versions.flatten().map(|version| version.path().join("bin")));
    }
    folders.into_iter().map(|folder| folder.join(name)).find(|file| file.is_file())
}

/// None where the machine has not got it: said, or refused in the gate.
fn found(names: &[&str]) -> Option<Vec<PathBuf>> {
    let all: Option<Vec<PathBuf>> = names.iter().map(|name| program(name)).collect();
    if all.is_none() {
        let required = std::env::var_os("CLAMPBOOK_DATABASES").is_some_and(|v| v == "required");
        assert!(!required, "{names:?} must be installed");
        // Written past the capture of the harness: a skip is never silent.
        let said =
            format!("SKIPPED: {names:?} not installed (apt-get install sqlite3 postgresql)\n");
        let _ = std::io::stderr().write_all(said.as_bytes());
    }
    all
}

fn run(command: &mut Command) -> String {
    let output = command.output().expect("a program that starts");
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let error = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{command:?}\n{text}\n{error}");
    text
}

/// SQLite, through its shell.
pub(crate) struct Sqlite {
    shell: PathBuf,
    folder: tempfile::TempDir,
}

impl Sqlite {
    /// A new database with `script` run in it.
    pub(crate) fn loaded(script: &str) -> Option<Self> {
        let shell = found(&["sqlite3"])?.remove(0);
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("shop.sql");
        std::fs::write(&file, script).expect("a script");
        let sqlite = Self { shell, folder };
        let script = std::fs::File::open(file).expect("the script");
        run(sqlite.command().arg("-bail").arg(sqlite.database()).stdin(script));
        Some(sqlite)
    }

    fn database(&self) -> PathBuf {
        self.folder.path().join("shop.db")
    }

    fn command(&self) -> Command {
        let mut command = Command::new(&self.shell);
        command.arg("-init").arg("/dev/null").stdin(Stdio::null());
        command
    }
}

impl Database for Sqlite {
    fn csv(&self, question: &str) -> String {
        run(self.command().args(["-csv", "-header"]).arg(self.database()).arg(question))
    }
}

/// PostgreSQL: a server of its own in a temporary folder, on a unix socket only.
pub(crate) struct Postgres {
    programs: Vec<PathBuf>,
    folder: tempfile::TempDir,
}

impl Postgres {
    /// A new server with `script` run in it.
    pub(crate) fn loaded(script: &str) -> Option<Self> {
        let programs = found(&["initdb", "pg_ctl", "psql"])?;
        let folder = tempfile::Builder::new().prefix("pg").tempdir_in("/tmp").expect("a folder");
        open_to_all(folder.path());
        std::fs::write(folder.path().join("shop.sql"), script).expect("a script");
        let server = Self { programs, folder };
        let data = server.data();
        run(server
            .command(0)
            .args(["-A", "trust", "-E", "UTF8", "--locale=C", "-U", "shop"])
            .arg("-D")
            .arg(&data));
        let options = format!("-F -k {} -c listen_addresses=''", server.folder.path().display());
        // Its output goes to a file: the server would hold a pipe open.
        let log = server.folder.path().join("log");
        let mut start = server.command(1);
        start.args(["-w", "-o", &options, "-l"]).arg(log).arg("-D").arg(&data).arg("start");
        let status = start.stdout(Stdio::null()).status().expect("pg_ctl");
        assert!(status.success(), "the server did not start");
        run(server
            .psql()
            .arg("--single-transaction")
            .arg("--file")
            .arg(server.folder.path().join("shop.sql")));
        Some(server)
    }

    fn data(&self) -> PathBuf {
        self.folder.path().join("data")
    }

    /// One of its programs, not as root: the server refuses that.
    fn command(&self, which: usize) -> Command {
        let is_root = run(Command::new("id").arg("-u")).trim() == "0";
        let mut command = if is_root {
            let user = ["postgres", "nobody"].into_iter().find(|user| {
                Command::new("id").arg(user).output().is_ok_and(|known| known.status.success())
            });
            let mut command = Command::new("runuser");
            command.args(["-u", user.expect("a user that is not root"), "--"]);
            command.arg(&self.programs[which]);
            command
        } else {
            Command::new(&self.programs[which])
        };
        command.current_dir(self.folder.path()).env("LC_ALL", "C").stdin(Stdio::null());
        command
    }

    fn psql(&self) -> Command {
        let mut command = Command::new(&self.programs[2]);
        command
            .env("PGCLIENTENCODING", "UTF8")
            .args(["--no-psqlrc", "--quiet", "--set", "ON_ERROR_STOP=1", "-U", "shop"])
            .arg("-h")
            .arg(self.folder.path())
            .arg("postgres")
            .stdin(Stdio::null());
        command
    }
}

impl Database for Postgres {
    fn csv(&self, question: &str) -> String {
        run(self.psql().arg("--csv").arg("-c").arg(question))
    }
}

impl Drop for Postgres {
    fn drop(&mut self) {
        let mut stop = self.command(1);
        let _ = stop.args(["-m", "immediate", "-D"]).arg(self.data()).arg("stop").output();
    }
}

fn open_to_all(folder: &Path) {
    use std::os::unix::fs::PermissionsExt;
    let open = std::fs::Permissions::from_mode(0o777);
    std::fs::set_permissions(folder, open).expect("a folder of ours");
}
