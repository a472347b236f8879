//! What makes a short start: the words of the ear are sorted when the program is built
//! ([`ear_words`]), and how it is linked. A look-up at the bench takes
//! about as long as starting it. On Linux with GNU libc it stands at a fixed
//! address, so that the loader has no thousands of addresses to mend, and
//! carries the unwinder of the compiler in itself instead of loading a library
//! for it. Elsewhere nothing is changed, nor where all is linked statically
//! (`-C target-feature=+crt-static`): that program is at a fixed address by other means.

fn main() {
    println!("cargo::rerun-if-changed=src/build.rs");
    ear_words();
    let target = |what: &str| std::env::var(format!("CARGO_CFG_TARGET_{what}")).unwrap_or_default();
    let is_static = target("FEATURE").split(',').any(|feature| feature == "crt-static");
    if is_static {
        return;
    }
    if target("OS") == "linux" && target("ENV") == "gnu" && target("ARCH") == "x86_64" {
        println!("cargo::rustc-link-arg-bins=-no-pie");
        println!("cargo::rustc-link-lib=dylib=gcc_eh");
    }
}

/// The words that rows of `grammar/ears.txt` hear, sorted: a look-up by a thread reads no
/// row, and finds out so without a pass over the table.
fn ear_words() {
    const TABLE: &str = "grammar/ears.txt";
    println!("cargo::rerun-if-changed={TABLE}");
    let table = std::fs::read_to_string(TABLE).expect("the table is part of the sources");
    let rows = table.lines().filter(|line| !line.starts_with(';'));
    let heard = rows.filter_map(|row| row.split('|').next());
    let words: std::collections::BTreeSet<&str> =
        heard.flat_map(|row| row.split([' ', '+'])).collect();
    let folder = std::env::var("OUT_DIR").expect("cargo sets it");
    let file = std::path::Path::new(&folder).join("ear_words.rs");
    std::fs::write(file, format!("{:?}", words.into_iter().collect::<Vec<_>>()))
        .expect("cargo made the folder");
}
