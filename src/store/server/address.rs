//! Where a book on a server is, and connecting to it.
//!
//! A password comes from the environment, from the password file of the client
//! convention or from a prompt; it is in no URL, message or file of ours.

use std::collections::BTreeMap;
use std::error::Error as _;
use std::fmt;
use std::io;
use std::net::IpAddr;
use std::path::{Path, PathBuf};
use std::str::FromStr as _;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use postgres::config::{Host, SslMode};
use postgres::error::SqlState;
use postgres::{Client, Config, NoTls};
use rustls::pki_types::CertificateDer;
use rustls::pki_types::pem::PemObject as _;
use rustls::{ClientConfig, RootCertStore};
use tokio_postgres_rustls::MakeRustlsConnect;

use crate::store::error::StoreError;

/// Time for reaching the server, and for an answer to a packet.
const PATIENCE: Duration = Duration::from_secs(5);
const DEFAULT_PORT: u16 = 5432;

/// Asks a person for the password of what it is given; none where nobody is there.
pub type AskPassword = fn(&str) -> Option<String>;

/// Where a book on a server is.
pub struct Server {
    config: Config,
    /// The URL, without what only says how to connect.
    shown: String,
    has_tls: bool,
    /// A file of certificates to trust in place of the system's.
    roots: Option<PathBuf>,
    ask: AskPassword,
}

/// Passwords that were typed, by the book that they are of: at the prompt each command
/// connects anew, and a person types once.
static TYPED: Mutex<BTreeMap<String, String>> = Mutex::new(BTreeMap::new());

fn typed() -> MutexGuard<'static, BTreeMap<String, String>> {
    TYPED.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Server {
    /// Reads `postgres://user@host:port/name`; after `?` may stand `sslmode=disable`,
    /// `sslmode=require` and `sslrootcert=FILE`.
    ///
    /// # Errors
    /// Why not, in words that repeat nothing of the URL that could be a password.
    pub fn parse(url: &str, ask: AskPassword) -> Result<Self, String> {
        let form = "a book on a server is named postgres://user@host/name";
        let (base, words) = url.split_once('?').unwrap_or((url, ""));
        let mut roots = None;
        let mut mode = None;
        for word in words.split('&').filter(|word| !word.is_empty()) {
            match word.split_once('=') {
                Some(("sslmode", "disable")) => mode = Some(false),
                Some(("sslmode", "require")) => mode = Some(true),
                Some(("sslrootcert", file)) => roots = Some(PathBuf::from(file)),
                Some(("password", _)) => return Err(no_password()),
                _ => {
                    return Err(format!(
                        "{form}; after `?` it takes sslmode=disable, sslmode=require, sslrootcert=FILE"
                    ));
                }
            }
        }
        let config = Config::from_str(base).map_err(|_| form.to_owned())?;
        // An empty one counts: what is typed after the colon next time is a password.
        let user_part = base.split_once("://").map_or("", |(_, rest)| rest);
        let user_part = user_part.rsplit_once('@').map_or("", |(user, _)| user);
        if config.get_password().is_some() || user_part.contains(':') {
            return Err(no_password());
        }
        let (user, name) = match (config.get_user(), config.get_dbname(), config.get_hosts()) {
            (Some(user), Some(name), [_]) => (user.to_owned(), name.to_owned()),
            _ => return Err(form.to_owned()),
        };
        let mut server = Self { config, shown: String::new(), has_tls: false, roots, ask };
        let (host, port) = server.host();
        let port = if port == DEFAULT_PORT { String::new() } else { format!(":{port}") };
        server.shown = format!("postgres://{user}@{host}{port}/{name}");
        server.has_tls = mode.unwrap_or(!is_loopback(&host));
        let config = &mut server.config;
        config.ssl_mode(if server.has_tls { SslMode::Require } else { SslMode::Disable });
        config.application_name("clampbook").connect_timeout(PATIENCE).tcp_user_timeout(PATIENCE);
        config.keepalives_idle(PATIENCE).keepalives_interval(Duration::from_secs(1));
        config.keepalives_retries(3);
        Ok(server)
    }

    /// A name for the folder of its read image: one for each server, user and book.
    pub fn folder_name(&self) -> String {
        let (host, _) = self.host();
        let name = self.config.get_dbname().unwrap_or_default();
        let plain = |text: &str| -> String {
            text.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect()
        };
        let check = crc32fast::hash(self.shown.as_bytes());
        format!("{}-{}-{check:08x}", plain(&host), plain(name))
    }

    fn host(&self) -> (String, u16) {
        let host = match self.config.get_hosts().first() {
            Some(Host::Tcp(host)) => host.clone(),
            #[cfg(unix)]
            Some(Host::Unix(folder)) => folder.display().to_string(),
            None => String::new(),
        };
        (host, self.config.get_ports().first().copied().unwrap_or(DEFAULT_PORT))
    }

    /// Connects; asks for the password where the server wants one and nobody said it.
    pub(crate) fn connect(&self) -> Result<Client, StoreError> {
        let mut config = self.config.clone();
        let known = typed().get(&self.shown).cloned();
        let known = known.map_or_else(|| self.known_password(), |typed| Ok(Some(typed)))?;
        if let Some(password) = &known {
            config.password(password);
        }
        let tls = self.has_tls.then(|| self.tls()).transpose()?;
        match try_to_connect(&config, tls.as_ref()) {
            Err(error) if known.is_none() && wants_password(&error) => {
                let password = (self.ask)(&self.shown).ok_or_else(|| {
                    self.refused(
                        "it wants a password: PGPASSWORD, PGPASSFILE or ~/.pgpass has none",
                    )
                })?;
                config.password(&password);
                let client = try_to_connect(&config, tls.as_ref());
                let client = client.map_err(|error| self.failed(&error))?;
                typed().insert(self.shown.clone(), password);
                Ok(client)
            }
            other => other.map_err(|error| self.failed(&error)),
        }
    }

    fn tls(&self) -> Result<MakeRustlsConnect, StoreError> {
        let trusted: Vec<CertificateDer<'static>> = match &self.roots {
            Some(file) => CertificateDer::pem_file_iter(file)
                .and_then(Iterator::collect)
                .map_err(|why| self.refused(&format!("{}: {why}", file.display())))?,
            None => rustls_native_certs::load_native_certs().certs,
        };
        let mut roots = RootCertStore::empty();
        // The system's may have some of a kind that is not known here.
        roots.add_parsable_certificates(trusted);
        let ring = Arc::new(rustls::crypto::ring::default_provider());
        let config = ClientConfig::builder_with_provider(ring)
            .with_safe_default_protocol_versions()
            .expect("ring has the suites of the default versions")
            .with_root_certificates(roots)
            .with_no_client_auth();
        Ok(MakeRustlsConnect::new(config))
    }

    /// The password in the environment or the password file.
    fn known_password(&self) -> Result<Option<String>, StoreError> {
        let set = |name| std::env::var_os(name).filter(|value| !value.is_empty());
        if let Some(password) = set("PGPASSWORD") {
            return Ok(password.into_string().ok());
        }
        let file = match (set("PGPASSFILE"), set("HOME")) {
            (Some(file), _) => PathBuf::from(file),
            (None, Some(home)) => Path::new(&home).join(".pgpass"),
            (None, None) => return Ok(None),
        };
        let text = match std::fs::read_to_string(&file) {
            Ok(text) => text,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
            Err(error) => return Err(StoreError::io("read", &file, error)),
        };
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            let mode = std::fs::metadata(&file).map_or(0, |data| data.permissions().mode());
            if mode & 0o077 != 0 {
                let why = format!("others may read {}: chmod 600 it first", file.display());
                return Err(self.refused(&why));
            }
        }
        let (host, port) = self.host();
        let port = port.to_string();
        let name = self.config.get_dbname().unwrap_or_default();
        let user = self.config.get_user().unwrap_or_default();
        let wanted = [host.as_str(), &port, name, user];
        Ok(text.lines().find_map(|line| password_of(line, wanted)))
    }

    pub(crate) fn refused(&self, why: &str) -> StoreError {
        StoreError::Server { book: self.shown.clone(), why: why.to_owned() }
    }

    /// What an error of the client means for the book.
    pub(crate) fn failed(&self, error: &postgres::Error) -> StoreError {
        let Some(said) = error.as_db_error() else {
            let why = error.source().map_or_else(|| error.to_string(), ToString::to_string);
            // A certificate that is not good is no server that cannot be reached.
            if error.to_string().contains("TLS") {
                return self.refused(&format!(
                    "no safe connection: {why}. The URL may end in ?sslrootcert=FILE, the \
                     certificate of who signed the server's, or, on a network that is safe, in \
                     ?sslmode=disable"
                ));
            }
            return StoreError::Unreachable { book: self.shown.clone(), why };
        };
        match said.code() {
            &SqlState::T_R_SERIALIZATION_FAILURE | &SqlState::T_R_DEADLOCK_DETECTED => {
                StoreError::Moved
            }
            &SqlState::UNDEFINED_TABLE | &SqlState::INVALID_SCHEMA_NAME => self.refused(
                "it has no tables for a book: `clampbook book tables ROLE` prints what makes them",
            ),
            code if is_for_a_while(code) => {
                let (book, why) = (self.shown.clone(), said.message().to_owned());
                StoreError::Unreachable { book, why }
            }
            _ => self.refused(said.message()),
        }
    }
}

fn try_to_connect(
    config: &Config,
    tls: Option<&MakeRustlsConnect>,
) -> Result<Client, postgres::Error> {
    match tls {
        Some(tls) => config.connect(tls.clone()),
        None => config.connect(NoTls),
    }
}

/// Whether the server cannot work just now: its connections, its room, its shutting down,
/// a standby that only reads, somebody else's long change.
fn is_for_a_while(code: &SqlState) -> bool {
    ["08", "53", "57"].iter().any(|class| code.code().starts_with(class))
        || [SqlState::READ_ONLY_SQL_TRANSACTION, SqlState::LOCK_NOT_AVAILABLE].contains(code)
}

fn no_password() -> String {
    "a password does not belong in the name of a book: it goes into PGPASSWORD, the file \
     PGPASSFILE or ~/.pgpass, or is asked for"
        .to_owned()
}

fn is_loopback(host: &str) -> bool {
    // A path is that of a socket on this machine.
    host == "localhost"
        || host.starts_with('/')
        || host.parse::<IpAddr>().is_ok_and(|address| address.is_loopback())
}

fn wants_password(error: &postgres::Error) -> bool {
    error.code() == Some(&SqlState::INVALID_PASSWORD)
        || error.source().is_some_and(|why| why.to_string() == "password missing")
}

/// The password of a line `host:port:name:user:password`, if it is for `wanted`. A `*`
/// is anything, `\` takes the next sign as it is.
fn password_of(line: &str, wanted: [&str; 4]) -> Option<String> {
    let mut fields = vec![String::new()];
    let mut signs = line.chars();
    while let Some(sign) = signs.next() {
        match sign {
            ':' if fields.len() < 5 => fields.push(String::new()),
            '\\' => fields.last_mut()?.extend(signs.next()),
            other => fields.last_mut()?.push(other),
        }
    }
    let password = fields.get(4)?.clone();
    let fits = |(field, wanted): (&String, &str)| field == "*" || field == wanted;
    fields.iter().zip(wanted).all(fits).then_some(password)
}

impl fmt::Display for Server {
    /// The URL, as it may be shown.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.shown)
    }
}

impl fmt::Debug for Server {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Server").field(&self.shown).finish()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tls_is_a_must_but_on_this_machine_or_where_it_is_said() {
        let has_tls = |url: &str| Server::parse(url, |_| None).unwrap().has_tls;
        for (url, is_safe) in [
            ("postgres://jo@db.example/shop", true),
            ("postgres://jo@192.0.2.7:5433/shop", true),
            ("postgres://jo@db.example/shop?sslmode=disable", false),
            ("postgres://jo@127.0.0.1/shop", false),
            ("postgresql://jo@localhost/shop", false),
            ("postgres://jo@[::1]/shop", false),
            ("postgres://jo@%2Frun%2Fpostgresql/shop", false),
            ("postgres://jo@127.0.0.1/shop?sslmode=require", true),
        ] {
            assert_eq!(has_tls(url), is_safe, "{url}");
        }
        for url in [
            "postgres://db.example/shop",
            "postgres://jo@db.example",
            "postgres://jo@one,two/shop",
            "postgres://jo@db.example/shop?sslmode=prefer",
            "postgres://jo:@db.example/shop",
        ] {
            assert!(Server::parse(url, |_| None).is_err(), "{url}");
        }
    }

    #[test]
    fn each_server_user_and_book_has_a_folder_of_its_own() {
        let name = |url: &str| Server::parse(url, |_| None).unwrap().folder_name();
        let one = name("postgres://jo@db.example/shop");
        assert_eq!(one, name("postgresql://jo@db.example:5432/shop?sslmode=disable"));
        for other in ["al@db.example/shop", "jo@db.example:5433/shop", "jo@db.example/shed"] {
            assert_ne!(one, name(&format!("postgres://{other}")));
        }
    }

    /// The form of a line as the client convention has it: PostgreSQL 15 documentation,
    /// section 34.16, "The Password File".
    #[test]
    fn a_line_of_the_password_file_is_read_by_the_convention() {
        let wanted = ["db.example", "5432", "shop", "jo"];
        for (line, password) in [
            ("db.example:5432:shop:jo:plain", Some("plain")),
            ("*:*:*:*:any", Some("any")),
            ("db.example:5432:shop:jo:with:colon", Some("with:colon")),
            (r"db.example:5432:shop:jo:a\:b\\c", Some(r"a:b\c")),
            ("db.example:5432:shed:jo:other", None),
            ("# db.example:5432:shop:jo:no", None),
            ("db.example:5432:shop", None),
        ] {
            assert_eq!(password_of(line, wanted).as_deref(), password, "{line}");
        }
    }
}
