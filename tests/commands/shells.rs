//! Completion in the shells themselves: each loads its script and is asked with Tab.

#![cfg(target_os = "linux")]

use crate::terminal::{Terminal, has, is_installed};

/// Clears the line in each of them.
const CLEAR: &str = "\u{15}";

/// How a shell is started with nothing of this machine's settings, and how it
/// loads the script.
const SHELLS: [(&str, &str, &str); 3] = [
    ("bash", "bash --norc --noprofile -i", "PS1='ready> '; source <(clampbook completions bash)"),
    (
        "zsh",
        "zsh -f -i",
        "PS1='ready> '; autoload -Uz compinit; compinit -u -D; source <(clampbook completions zsh)",
    ),
    (
        "fish",
        "fish --no-config -i",
        "function fish_prompt; printf 'ready> '; end; clampbook completions fish | source",
    ),
];

/// What is typed before Tab, and what stands in the line after it. Each begins
/// one word only; a name with a blank is quoted as the shell needs it.
const LINES: [(&str, &str); 9] = [
    ("clampbook imp", "clampbook import"),
    ("clampbook --demo find assembly Mar", "assembly Marlow\\ 6"),
    ("clampbook --demo find assembly \"Mar", "assembly \"Marlow 6\""),
    ("clampbook --demo find oil pu", "oil pump"),
    ("clampbook --demo edit marlow-6-rod-b", "marlow-6-rod-bolt-cap"),
    ("clampbook --demo calc --lube copp", "--lube copper\\ anti-seize"),
    ("clampbook --demo add lube=copp", "lube=copper\\ anti-seize"),
    ("clampbook --demo thread 5/16-2", "thread 5/16-24"),
    ("clampbook import ./sh", "./shop.csv"),
];

#[test]
fn each_shell_completes_names_of_the_book() {
    for (name, program, load) in SHELLS {
        if !is_installed() || !has(name) {
            continue;
        }
        let home = tempfile::tempdir().expect("a folder");
        std::fs::write(home.path().join("shop.csv"), "").expect("a file");
        let mut shell = Terminal::run(home.path(), program, &[("COLUMNS", "120")]);
        shell.keys(load);
        shell.keys("\r");
        shell.wait("ready> ");
        for (typed, wanted) in LINES {
            shell.keys(typed);
            shell.keys("\t");
            shell.wait(wanted);
            shell.keys(CLEAR);
        }
    }
}

/// Saved questions are names of the book too.
#[test]
fn a_saved_question_is_completed_by_its_name() {
    if !is_installed() {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    let mut shell = Terminal::run(home.path(), SHELLS[0].1, &[("COLUMNS", "120")]);
    shell.keys(SHELLS[0].2);
    shell.keys("; clampbook find --save \"front bolts\" M10 basis chart >kept\r");
    shell.wait("saved as");
    shell.wait("ready> ");
    shell.keys("clampbook find --saved fro\t");
    shell.wait("--saved front\\ bolts");
}

/// With nothing typed names alone are offered; options after `-`, or where no name may
/// stand.
#[test]
fn names_come_before_options() {
    let home = tempfile::tempdir().expect("a folder");
    let offered = |words: &[&str]| {
        let output = std::process::Command::new(env!("CARGO_BIN_EXE_clampbook"))
            .args([&["--", "clampbook"], words].concat())
            .env("CLAMPBOOK_COMPLETE", "bash")
            .env("_CLAP_IFS", "\n")
            .env("_CLAP_COMPLETE_INDEX", words.len().to_string())
            .env("HOME", home.path())
            .env("XDG_DATA_HOME", home.path().join("data"))
            .env_remove("XDG_CACHE_HOME")
            .output()
            .expect("the program");
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        text.lines().map(str::to_owned).collect::<Vec<String>>()
    };
    // The demo shop is made for the first Tab and read by the others.
    let cache = home.path().join(".cache/clampbook");
    let made = || {
        let found = std::fs::read_dir(&cache).expect("the cache").flatten();
        found.map(|one| (one.path(), one.metadata().and_then(|m| m.created()).ok())).collect()
    };
    offered(&["--demo", "find", "head", ""]);
    let first: Vec<_> = made();
    assert_eq!(first.len(), 1, "{first:?}");
    let has = |offers: &[String], word: &str| offers.iter().any(|offer| offer == word);
    for words in [&["--demo", "find", "with", ""][..], &["--demo", "calc", "--lube", ""]] {
        let names = offered(words);
        assert!(has(&names, "moly") && names.iter().all(|n| !n.starts_with("--")), "{names:?}");
    }
    let commands = offered(&[""]);
    assert!(has(&commands, "find") && !has(&commands, "--demo"), "{commands:?}");
    assert!(has(&offered(&["--demo", "find", "moly", "--"]), "--why"));
    assert!(has(&offered(&["tour", ""]), "--demo"), "{:?}", offered(&["tour", ""]));
    assert!(has(&offered(&["--demo", "lubes", ""]), "suction flange"));
    assert!(has(&offered(&["book", "set", ""]), "units="));
    let values = offered(&["--demo", "edit", "marlow-6-rod-bolt-cap", "torque", "="]);
    assert!(!has(&values, "count="), "{values:?}");
    assert!(has(&offered(&["calc", "M16", "--target", "75"]), "75% proof"));
    let again: Vec<_> = made();
    assert_eq!(first, again);
}
