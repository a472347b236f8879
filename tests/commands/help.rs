//! The help of every command shows examples, and every example is understood.

use std::path::Path;

use crate::program::clampbook;

/// Runs the program with the words of a line; output and exit code.
fn run(home: &Path, arguments: &[String]) -> (String, Option<i32>) {
    let output = clampbook(home).args(arguments).output().expect("the program");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (text(&output.stdout) + &text(&output.stderr), output.status.code())
}

fn help(home: &Path, command: &[&str]) -> String {
    let mut words: Vec<String> = command.iter().map(|word| (*word).to_owned()).collect();
    words.push("--help".to_owned());
    run(home, &words).0
}

/// The commands that a help page lists.
fn listed(page: &str) -> Vec<String> {
    let Some((_, list)) = page.split_once("Commands:\n") else { return Vec::new() };
    let names = list.lines().take_while(|line| line.starts_with("  "));
    let name = |line: &str| line.split_whitespace().next().map(str::to_owned);
    let of_its_own = |line: &&str| !line.starts_with("    ");
    names.filter(of_its_own).filter_map(name).filter(|name| name != "help").collect()
}

/// Every command, those below another one too.
fn commands(home: &Path) -> Vec<Vec<String>> {
    let mut all = Vec::new();
    for command in listed(&help(home, &[])) {
        for form in listed(&help(home, &[&command])) {
            all.push(vec![command.clone(), form]);
        }
        all.push(vec![command]);
    }
    assert!(all.len() > 20, "only {all:?}");
    all
}

/// The examples on a page, a line that goes on joined to its first.
fn examples(page: &str) -> Vec<String> {
    let (_, after) = page.rsplit_once("Example").unwrap_or_default();
    let joined = after.replace("\\\n", " ");
    let lines = joined.lines().map(str::trim);
    lines.filter(|line| line.starts_with("clampbook ")).map(str::to_owned).collect()
}

/// A line as a shell takes it apart, up to what it would redirect.
fn shell_words(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for character in line.chars() {
        match character {
            '"' => quoted = !quoted,
            '>' | '&' if !quoted => break,
            ' ' if !quoted => words.push(String::new()),
            other => words.last_mut().expect("a word").push(other),
        }
    }
    words.into_iter().skip(1).filter(|word| !word.is_empty()).collect()
}

#[test]
fn every_command_has_examples() {
    let home = tempfile::tempdir().expect("a folder");
    let lacking: Vec<String> = commands(home.path())
        .into_iter()
        .filter(|command| {
            let words: Vec<&str> = command.iter().map(String::as_str).collect();
            examples(&help(home.path(), &words)).is_empty()
        })
        .map(|command| command.join(" "))
        .collect();
    assert!(lacking.is_empty(), "no example: {lacking:?}");
}

/// Those that only read are run on the demo shop: none may be misunderstood.
#[test]
fn every_example_that_only_reads_is_understood() {
    const READ: [&str; 8] =
        ["find", "lubes", "thread", "passes", "check", "export", "calc", "completions"];
    let home = tempfile::tempdir().expect("a folder");
    let mut wrong = Vec::new();
    let mut count = 0;
    for command in READ {
        for line in examples(&help(home.path(), &[command])) {
            // Those that change the book, or need a wrench of one's own.
            let changes = ["--sav", "--acknowledge", "--withdraw", "--wrench"];
            if changes.iter().any(|option| line.contains(option))
                || line.contains("--help")
                || line.contains("--demo")
            {
                continue;
            }
            let words: Vec<String> =
                std::iter::once("--demo".to_owned()).chain(shell_words(&line)).collect();
            let (said, code) = run(home.path(), &words);
            count += 1;
            if !matches!(code, Some(0 | 1)) {
                wrong.push(format!("{line}: {code:?} {said}"));
            }
        }
    }
    assert!(count > 20 && wrong.is_empty(), "{count} run\n{}", wrong.join("\n"));
}

/// The page of a command says first what the list of commands says of it.
#[test]
fn a_command_is_told_the_same_in_the_list_and_on_its_page() {
    let home = tempfile::tempdir().expect("a folder");
    let list = help(home.path(), &[]);
    for command in listed(&list) {
        let page = help(home.path(), &[&command]);
        let first = page.split_whitespace().take(3).collect::<Vec<_>>().join(" ");
        let told = list.lines().find(|line| line.trim_start().starts_with(&format!("{command} ")));
        let told = told.expect("its line").split_whitespace().skip(1).collect::<Vec<_>>().join(" ");
        assert!(told.starts_with(&first), "{command}: `{told}` in the list, `{first}` on its page");
    }
}

/// `-h` is one screen: what it does, examples before options, and the options of
/// every command on the last line.
#[test]
fn a_short_page_fits_a_screen_with_examples_first() {
    let home = tempfile::tempdir().expect("a folder");
    let mut all = commands(home.path());
    all.push(Vec::new());
    for command in all {
        let words: Vec<String> = command.iter().cloned().chain(["-h".to_owned()]).collect();
        let (page, code) = run(home.path(), &words);
        let lines: Vec<&str> = page.lines().collect();
        assert_eq!(code, Some(0), "{page}");
        assert!(lines.len() <= 30, "{command:?}: {} lines\n{page}", lines.len());
        let wide = lines.iter().find(|line| line.chars().count() > 80);
        assert!(wide.is_none(), "{command:?}: {wide:?}");
        let place = |start: &str| lines.iter().position(|line| line.starts_with(start));
        assert!(place("  clampbook ") < place("Usage:"), "{page}");
        assert!(place("  clampbook ").is_some_and(|at| at < 4), "{page}");
        let last = lines.last().expect("a line");
        assert!(last.starts_with("--book DIR") && last.contains("--units"), "{page}");
        let long = help(home.path(), &command.iter().map(String::as_str).collect::<Vec<_>>());
        assert!(long.lines().count() >= lines.len(), "{command:?}");
    }
}
