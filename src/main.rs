//! The program; everything it does is in the library.

use matchmark::cli::{self, Io};
use std::process::ExitCode;

/// A tenth to a fifth of a build is the making and forgetting of small texts, at which this one is better than most systems'.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    cli::run(std::env::args_os(), &mut Io::std())
}
