//! The two database programs that an SQL export is loaded into; the second also keeps
//! books.
//!
//! Where they are not installed the test says that it was skipped, unless
//! `CLAMPBOOK_DATABASES=required` (the gate in .ci/run) refuses that.

#![allow(dead_code)] // each group uses its part

use std::io::Write as _;
use std::net::TcpListener;
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
pub(crate) fn found(names: &[&str]) -> Option<Vec<PathBuf>> {
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

/// PostgreSQL: a server of its own in a temporary folder, on a unix socket and on a port
/// of this machine.
pub(crate) struct Postgres {
    programs: Vec<PathBuf>,
    folder: tempfile::TempDir,
    port: u16,
}

impl Postgres {
    /// A new server that asks nobody for a password, but those whom a line of `access`
    /// (as in pg_hba.conf) says it of.
    pub(crate) fn started(access: &str) -> Option<Self> {
        let programs = found(&["initdb", "pg_ctl", "psql"])?;
        let folder = tempfile::Builder::new().prefix("pg").tempdir_in("/tmp").expect("a folder");
        open_to_all(folder.path());
        let free = TcpListener::bind("127.0.0.1:0").expect("a free port");
        let port = free.local_addr().expect("its number").port();
        drop(free);
        let server = Self { programs, folder, port };
        let data = server.data();
        run(server
            .command(0)
            .args(["-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync", "-U", "shop"])
            .arg("-D")
            .arg(&data));
        if !access.is_empty() {
            let file = data.join("pg_hba.conf");
            let usual = std::fs::read_to_string(&file).expect("its file");
            std::fs::write(&file, format!("{access}\n{usual}")).expect("its file");
        }
        server.start();
        Some(server)
    }

    /// A new server with `script` run in it.
    pub(crate) fn loaded(script: &str) -> Option<Self> {
        let server = Self::started("")?;
        server.run_script("postgres", script);
        Some(server)
    }

    /// Starts it, again if it was stopped.
    pub(crate) fn start(&self) {
        let folder = self.folder.path();
        // Only what it has synced counts when it is killed: never -F for books.
        let options = format!(
            "-k {} -c listen_addresses=127.0.0.1 -c port={} -c max_connections=200",
            folder.display(),
            self.port
        );
        // A server that was killed may hold its memory for a moment.
        for _ in 0..60 {
            // Its output goes to a file: the server would hold a pipe open.
            let mut start = self.command(1);
            start.args(["-w", "-o", &options, "-l"]).arg(folder.join("log"));
            start.arg("-D").arg(self.data()).arg("start");
            let started = start.stdout(Stdio::null()).stderr(Stdio::null()).status();
            if started.expect("pg_ctl").success() {
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(250));
        }
        let log = std::fs::read_to_string(folder.join("log")).unwrap_or_default();
        panic!("the server did not start: {log}");
    }

    /// Has it speak TLS with this certificate and key, both PEM.
    pub(crate) fn certify(&self, certificate: &Path, key: &Path) {
        use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _, chown};
        let owner = std::fs::metadata(self.data()).expect("its folder");
        for (file, setting) in [(certificate, "ssl_cert_file"), (key, "ssl_key_file")] {
            let own = self.data().join(setting);
            std::fs::copy(file, &own).expect("a copy");
            std::fs::set_permissions(&own, std::fs::Permissions::from_mode(0o600)).expect("a mode");
            chown(&own, Some(owner.uid()), Some(owner.gid())).expect("its owner");
            self.run("postgres", &format!("ALTER SYSTEM SET {setting} = '{setting}'"));
        }
        self.run("postgres", "ALTER SYSTEM SET ssl = on");
        self.stop();
        self.start();
    }

    /// Stops it at once, as if the machine had failed.
    pub(crate) fn kill(&self) {
        run(Command::new("kill").args(["-9", &self.process()]));
    }

    /// The number of its process.
    pub(crate) fn process(&self) -> String {
        let file = self.data().join("postmaster.pid");
        let text = std::fs::read_to_string(file).expect("the number of its process");
        text.lines().next().expect("a number").trim().to_owned()
    }

    /// The folder that it lies in.
    pub(crate) fn home(&self) -> String {
        self.folder.path().display().to_string()
    }

    /// Stops it in order.
    pub(crate) fn stop(&self) {
        let mut stop = self.command(1);
        run(stop.args(["-w", "-m", "fast", "-D"]).arg(self.data()).arg("stop"));
    }

    pub(crate) fn port(&self) -> u16 {
        self.port
    }

    pub(crate) fn run_script(&self, database: &str, script: &str) {
        let file = self.folder.path().join("script.sql");
        std::fs::write(&file, script).expect("a script");
        run(self.psql(database).arg("--single-transaction").arg("--file").arg(file));
    }

    /// Statements that want no transaction around them, as the owner.
    pub(crate) fn run(&self, database: &str, statement: &str) -> String {
        run(self.psql(database).args(["-At", "-c", statement]))
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

    fn psql(&self, database: &str) -> Command {
        let mut command = Command::new(&self.programs[2]);
        command
            .env("PGCLIENTENCODING", "UTF8")
            .args(["--no-psqlrc", "--quiet", "--set", "ON_ERROR_STOP=1", "-U", "shop"])
            .arg("-h")
            .arg(self.folder.path())
            .args(["-p", &self.port.to_string()])
            .arg(database)
            .stdin(Stdio::null());
        command
    }
}

impl Database for Postgres {
    fn csv(&self, question: &str) -> String {
        run(self.psql("postgres").arg("--csv").arg("-c").arg(question))
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
