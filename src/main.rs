//! The `clampbook` program: arguments in, exit code out.

use std::process::ExitCode;

use mimalloc::MiMalloc;

// Rows of a long file are made on one thread and freed on another, where the system's
// allocator waits for itself: an import took half as long again with it.
#[global_allocator]
static ALLOCATOR: MiMalloc = MiMalloc;

fn main() -> ExitCode {
    clampbook::cli::main(std::env::args_os())
}
