//! `init`: begins a binder.

use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::task::begin;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(folder: &Path, io: &mut Io) -> Result<Exit, Failure> {
    for path in begin::init(&io.place(folder))? {
        let shown = io.shown(&path);
        writeln!(io.out, "{shown}")?;
    }
    io.out.flush()?;
    let folder = folder.display();
    writeln!(io.err, "a small binder with three mistakes in it; find them with: matchmark check {folder}")?;
    Ok(Exit::Clean)
}
