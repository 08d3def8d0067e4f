//! `licences`: of the program, its fonts and everything it is made of.

use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use std::io::Write as _;

/// Made by the test that holds it against what the program is really made of.
const LICENCES: &str = include_str!("../../../templates/licences.txt");

pub(super) fn run(io: &mut Io) -> Result<Exit, Failure> {
    io.out.write_all(LICENCES.as_bytes())?;
    Ok(Exit::Clean)
}
