//! `new`: begins a procedure.

use crate::cli::arguments::New;
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::task::begin::{self, NewProcedure};
use crate::task::open::open;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(new: &New, io: &mut Io) -> Result<Exit, Failure> {
    let disk = open(&io.place(new.binder.as_deref().unwrap_or(Path::new(""))))?;
    let order = NewProcedure { document: &new.document, title: &new.title, family: &new.family, folder: &new.folder };
    let path = begin::new_procedure(&disk, &order)?;
    writeln!(io.out, "{}", io.shown(&path))?;
    io.out.flush()?;
    writeln!(io.err, "write its steps, then: matchmark check --procedure {}", new.document)?;
    Ok(Exit::Clean)
}
