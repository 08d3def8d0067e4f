//! The program; everything it does is in the library.

use matchmark::cli::{self, Io};
use std::process::ExitCode;

fn main() -> ExitCode {
    cli::run(std::env::args_os(), &mut Io::std())
}
