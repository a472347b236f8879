//! A shell asks what may come next: the program answers in place of its work.

use std::ffi::OsString;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::rc::Rc;

use clap_complete::env::{self, CompleteEnv, EnvCompleter, Shells};

use crate::cli::complete;
use crate::cli::globals::Globals;
use crate::cli::open;
use crate::cli::words::Completions;

/// Set by the completion scripts to the name of their shell.
pub(super) const VARIABLE: &str = "CLAMPBOOK_COMPLETE";

pub(super) const SHELLS: Shells<'static> =
    Shells(&[&Bash, &env::Zsh, &env::Fish, &env::Elvish, &env::Powershell]);

/// Answers a shell, if it is one that asks.
pub(super) fn answer(program: fn() -> clap::Command, arguments: &[OsString]) -> Option<ExitCode> {
    std::env::var_os(VARIABLE)?;
    let typed = arguments.iter().skip_while(|word| *word != "--").skip(2);
    let typed: Vec<String> = typed.map(|word| word.to_string_lossy().into_owned()).collect();
    let index: Option<usize> =
        std::env::var("_CLAP_COMPLETE_INDEX").ok().and_then(|index| index.parse().ok());
    let is_empty = index.is_none_or(|index| {
        index.checked_sub(1).and_then(|at| typed.get(at)).is_none_or(String::is_empty)
    });
    let before = index.unwrap_or(typed.len()).saturating_sub(1);
    let before: Vec<String> = typed.into_iter().take(before).collect();
    let words = Rc::new(of_book(&before));
    complete::begin(before, words);
    let offering = || if is_empty { complete::names_first(program()) } else { program() };
    let asked = CompleteEnv::with_factory(offering).var(VARIABLE).shells(SHELLS);
    match asked.try_complete(arguments.iter().cloned(), std::env::current_dir().ok().as_deref()) {
        Ok(true) => Some(ExitCode::SUCCESS),
        Ok(false) => None,
        // The shell shows nothing: there is nobody to tell.
        Err(_) => Some(ExitCode::FAILURE),
    }
}

/// The words of the book that the line names; none where there is no book, for
/// asking makes none.
fn of_book(before: &[String]) -> Completions {
    let value = |at: usize, word: &String| {
        let next = (word == "--book").then(|| before.get(at + 1).cloned()).flatten();
        next.or_else(|| word.strip_prefix("--book=").map(str::to_owned)).map(PathBuf::from)
    };
    let book = before.iter().enumerate().find_map(|(at, word)| value(at, word));
    let demo = before.iter().any(|word| word == "--demo");
    let opened = demo.then(|| open::demo_for_a_shell().ok()).flatten();
    let own = if demo { None } else { open::at_hand(&Globals { book, ..Globals::default() }) };
    let book = opened.as_ref().map(|opened| &opened.book).or(own.as_ref());
    book.and_then(|book| Completions::in_book(book, Vec::new()).ok()).unwrap_or_default()
}

/// The script for bash. The engine's own puts names with blanks into the line
/// as they are.
struct Bash;

const BASH: &str = r#"_clampbook() {
    local IFS=$'\013'
    local words=("${COMP_WORDS[@]}")
    words[COMP_CWORD]="$2"
    [[ "${COMP_WORDS[COMP_CWORD]}" == "=" ]] && words[COMP_CWORD]="=$2"
    COMPREPLY=( $( \
        _CLAP_IFS="$IFS" \
        _CLAP_COMPLETE_INDEX="$COMP_CWORD" \
        VARIABLE="bash" \
        clampbook -- "${words[@]}" 2>/dev/null \
    ) )
    local at
    if [[ "${COMP_WORDS[COMP_CWORD]}" != [\"\']* ]]; then
        for at in "${!COMPREPLY[@]}"; do
            printf -v "COMPREPLY[at]" '%q' "${COMPREPLY[at]}"
        done
    fi
    if [[ ${#COMPREPLY[@]} -eq 1 && "${COMPREPLY[0]}" =~ [=/]$ ]]; then
        compopt -o nospace
    fi
}
complete -o bashdefault -F _clampbook clampbook
"#;

impl EnvCompleter for Bash {
    fn name(&self) -> &'static str {
        "bash"
    }

    fn is(&self, name: &str) -> bool {
        name == "bash"
    }

    fn write_registration(
        &self,
        variable: &str,
        _: &str,
        _: &str,
        _: &str,
        to: &mut dyn Write,
    ) -> io::Result<()> {
        to.write_all(BASH.replace("VARIABLE", variable).as_bytes())
    }

    fn write_complete(
        &self,
        program: &mut clap::Command,
        arguments: Vec<OsString>,
        folder: Option<&Path>,
        to: &mut dyn Write,
    ) -> io::Result<()> {
        env::Bash.write_complete(program, arguments, folder, to)
    }
}
