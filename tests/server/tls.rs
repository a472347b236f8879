//! TLS to a server with a certificate: the authority and the name are held against what
//! is expected, and nothing is said in the clear unless the URL asks for it.

use std::fs;
use std::io::{Read as _, Write as _};
use std::net::TcpListener;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::databases::{Postgres, found};
use crate::kept;
use crate::program::{clampbook, text};

const SECRET: &str = "Heron-53-lock";
const NO_BOOK: &str = "no book on the server";

/// An authority, and a certificate by it for the name `localhost`.
struct Authority {
    own: PathBuf,
    certificate: PathBuf,
    key: PathBuf,
}

impl Authority {
    /// Made in `folder`; none where there is no openssl.
    fn made(folder: &Path, name: &str) -> Option<Self> {
        let openssl = found(&["openssl"])?.remove(0);
        let at = |end: &str| folder.join(format!("{name}{end}"));
        let (own, own_key, asked) = (at("-ca.pem"), at("-ca.key"), at(".csr"));
        let (certificate, key, names) = (at(".pem"), at(".key"), at(".ext"));
        fs::write(&names, "subjectAltName=DNS:localhost\n").unwrap();
        let run = |words: &str, files: &[(&str, &Path)]| {
            let mut command = Command::new(&openssl);
            command.args(words.split(' '));
            for (option, file) in files {
                command.arg(option).arg(file);
            }
            let output = command.output().unwrap();
            assert!(output.status.success(), "{command:?}\n{output:?}");
        };
        let new = "-newkey ec -pkeyopt ec_paramgen_curve:prime256v1 -nodes";
        let subject = format!("-subj /CN={name}");
        run(
            &format!("req -x509 -days 2 {subject} {new}"),
            &[("-keyout", &own_key), ("-out", &own)],
        );
        run(&format!("req {subject} {new}"), &[("-keyout", &key), ("-out", &asked)]);
        run(
            "x509 -req -days 2 -CAcreateserial",
            &[
                ("-in", &asked),
                ("-CA", &own),
                ("-CAkey", &own_key),
                ("-extfile", &names),
                ("-out", &certificate),
            ],
        );
        Some(Self { own, certificate, key })
    }
}

fn asked(home: &Path, url: &str) -> (String, Option<i32>) {
    let mut command = clampbook(home);
    command.args(["--book", url, "book", "info"]).env("PGPASSWORD", SECRET);
    let (out, err, code) = text(&command.output().unwrap());
    assert!(!format!("{out}{err}").contains(SECRET), "the password is shown: {out}{err}");
    (err, code)
}

/// A role that the server takes with TLS alone.
fn with_keen(access: &str) -> Option<Postgres> {
    let server = kept::started(access)?;
    kept::database(&server, "shop");
    server.run("postgres", &format!("CREATE ROLE keen LOGIN PASSWORD '{SECRET}' IN ROLE bench"));
    Some(server)
}

#[test]
fn the_authority_and_the_name_of_a_server_are_looked_at() {
    let access = "hostssl all keen 127.0.0.1/32 scram-sha-256\nhost all keen all reject";
    let Some(server) = with_keen(access) else { return };
    let home = tempfile::tempdir().unwrap();
    let home = home.path();
    let Some(ours) = Authority::made(home, "ours") else { return };
    let other = Authority::made(home, "other").unwrap();
    server.certify(&ours.certificate, &ours.key);
    let url = |host: &str, words: &str| {
        format!("postgres://keen@{host}:{}/shop?sslmode=require{words}", server.port())
    };
    let trusting = |authority: &Authority| format!("&sslrootcert={}", authority.own.display());
    let (err, code) = asked(home, &url("localhost", &trusting(&ours)));
    assert!(err.contains(NO_BOOK) && code == Some(4), "the right one is taken: {err}");
    for (host, words, why) in [
        ("localhost", trusting(&other), "certificate"),
        ("localhost", String::new(), "certificate"),
        ("127.0.0.1", trusting(&ours), "certificate"),
    ] {
        let (err, code) = asked(home, &url(host, &words));
        assert_eq!(code, Some(4), "{host} {words}: {err}");
        assert!(err.contains("no safe connection") && err.contains(why), "{host} {words}: {err}");
        assert!(err.contains("?sslrootcert=FILE"), "it says the way out: {err}");
    }
    let missing = format!("&sslrootcert={}", home.join("none.pem").display());
    let (err, code) = asked(home, &url("localhost", &missing));
    assert!(err.contains("none.pem") && code == Some(4), "{err}");
    // Without TLS this role is not taken: what was taken was safe.
    let plain = format!("postgres://keen@localhost:{}/shop?sslmode=disable", server.port());
    let (err, code) = asked(home, &plain);
    assert!(err.contains("pg_hba") && code == Some(4), "{err}");
}

/// `127.1` is a name to us, and the resolver of the system finds this machine by it.
#[test]
fn nothing_is_said_in_the_clear_to_another_machine_unless_the_url_says_so() {
    let Some(server) = with_keen("host all keen 127.0.0.1/32 scram-sha-256") else { return };
    let home = tempfile::tempdir().unwrap();
    let url = format!("postgres://keen@127.1:{}/shop", server.port());
    let (err, code) = asked(home.path(), &url);
    assert!(err.contains("no safe connection") && code == Some(4), "{err}");
    let (err, _) = asked(home.path(), &format!("{url}?sslmode=disable"));
    assert!(err.contains(NO_BOOK), "in so many words: {err}");
    // What goes out to a server that declines TLS is the question for it, and no more.
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let port = listener.local_addr().unwrap().port();
    let heard = std::thread::spawn(move || {
        let (mut bench, _) = listener.accept().unwrap();
        let mut bytes = vec![0; 8];
        bench.read_exact(&mut bytes).unwrap();
        bench.write_all(b"N").unwrap();
        bench.read_to_end(&mut bytes).unwrap();
        bytes
    });
    let (err, _) = asked(home.path(), &format!("postgres://keen@127.1:{port}/shop"));
    assert!(err.contains("no safe connection"), "{err}");
    // SSLRequest: PostgreSQL 15 documentation, section 55.7, "Message Formats".
    assert_eq!(heard.join().unwrap(), [0, 0, 0, 8, 4, 210, 22, 47]);
}
