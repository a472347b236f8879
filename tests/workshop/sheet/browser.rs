//! A real browser without a window.
//!
//! Without one a test says that it was skipped, unless CLAMPBOOK_BROWSER is
//! `required`; it may also name the program.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

const NAMES: &[&str] = &["chromium", "chromium-browser"];

/// The browser with a folder of its own for pages and profile.
pub(crate) struct Browser {
    program: PathBuf,
    folder: tempfile::TempDir,
}

impl Browser {
    /// None, said aloud, if there is none.
    pub(crate) fn find() -> Option<Self> {
        let wish = std::env::var("CLAMPBOOK_BROWSER").unwrap_or_default();
        let named = Some(PathBuf::from(&wish)).filter(|path| path.is_file());
        let Some(program) = named.or_else(in_path) else {
            assert_ne!(wish, "required", "CLAMPBOOK_BROWSER=required, but no browser was found");
            println!("SKIPPED: no browser; tried {}", NAMES.join(", "));
            return None;
        };
        Some(Self { program, folder: tempfile::tempdir().unwrap() })
    }

    fn run(&self, html: &str, arguments: &[String]) -> Vec<u8> {
        let page = self.folder.path().join("page.html");
        std::fs::write(&page, html).unwrap();
        let output = Command::new(&self.program)
            .args(["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run"])
            .args(["--disable-background-networking", "--disable-component-update"])
            .arg("--disable-sync")
            .arg(format!("--user-data-dir={}", self.folder.path().join("profile").display()))
            .args(arguments)
            .arg(format!("file://{}", page.display()))
            .stderr(Stdio::null())
            .output()
            .unwrap();
        assert!(output.status.success(), "{} ended with {}", self.program.display(), output.status);
        output.stdout
    }

    /// The page as the browser has it after loading, as HTML.
    pub(crate) fn dom(&self, html: &str) -> String {
        String::from_utf8(self.run(html, &["--dump-dom".to_owned()])).unwrap()
    }

    /// How many pages of which size it prints to, in points.
    pub(crate) fn printed(&self, html: &str) -> Printed {
        let path = self.folder.path().join("page.pdf");
        let to = format!("--print-to-pdf={}", path.display());
        self.run(html, &[to, "--no-pdf-header-footer".to_owned()]);
        let pdf = std::fs::read(&path).unwrap();
        Printed { pages: pages_of(&pdf), size: size_of(&pdf) }
    }

    /// A picture of the page as a screen shows it.
    pub(crate) fn screenshot(&self, html: &str, to: &Path) {
        self.run(
            html,
            &[format!("--screenshot={}", to.display()), "--window-size=900,1300".into()],
        );
    }
}

fn in_path() -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    let folders: Vec<PathBuf> = std::env::split_paths(&path).collect();
    let all = NAMES.iter().flat_map(|name| folders.iter().map(move |folder| folder.join(name)));
    all.into_iter().find(|program| program.is_file())
}

/// What came out of the printer.
#[derive(Debug, PartialEq)]
pub(crate) struct Printed {
    pub(crate) pages: usize,
    pub(crate) size: (f64, f64),
}

/// Page objects of a PDF: `/Type /Page`, not `/Type /Pages`.
fn pages_of(pdf: &[u8]) -> usize {
    let text = String::from_utf8_lossy(pdf);
    text.match_indices("/Type /Page")
        .filter(|(at, found)| !text[at + found.len()..].starts_with('s'))
        .count()
}

/// Width and height of the first page, points.
fn size_of(pdf: &[u8]) -> (f64, f64) {
    let text = String::from_utf8_lossy(pdf);
    let (_, rest) = text.split_once("/MediaBox [").unwrap();
    let numbers: Vec<f64> =
        rest.split(']').next().unwrap().split_whitespace().map(|n| n.parse().unwrap()).collect();
    (numbers[2] - numbers[0], numbers[3] - numbers[1])
}
