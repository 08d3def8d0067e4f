//! `completions`: what a shell needs to complete the words of the command line.

use crate::cli::arguments::Arguments;
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use clap::CommandFactory as _;
use clap_complete::Shell;
use std::io::Write as _;

pub(super) fn run(shell: Shell, io: &mut Io) -> Result<Exit, Failure> {
    // The generator panics where it cannot write, so it writes into memory.
    let mut text = Vec::new();
    clap_complete::generate(shell, &mut Arguments::command(), "matchmark", &mut text);
    io.out.write_all(&text)?;
    Ok(Exit::Clean)
}
