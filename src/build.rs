//! How the program is linked, for a short start: a look-up at the bench takes
//! about as long as starting it. On Linux with GNU libc it stands at a fixed
//! address, so that the loader has no thousands of addresses to mend, and
//! carries the unwinder of the compiler in itself instead of loading a library
//! for it. Elsewhere nothing is changed, nor where all is linked statically
//! (`-C target-feature=+crt-static`): that program is at a fixed address by other means.

fn main() {
    println!("cargo::rerun-if-changed=src/build.rs");
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
