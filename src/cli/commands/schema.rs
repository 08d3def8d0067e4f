//! `schema`: the schemas of the registers, listed, printed or written.

use crate::base::name::nearest;
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::task::schema;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(name: Option<&str>, out: Option<&Path>, io: &mut Io) -> Result<Exit, Failure> {
    let text = name.map(known).transpose()?;
    match (text, out) {
        (_, Some(folder)) => {
            for path in schema::write(&io.place(folder), name)? {
                writeln!(io.out, "{}", io.shown(&path))?;
            }
        }
        (Some(text), None) => io.out.write_all(text.as_bytes())?,
        (None, None) => {
            for name in schema::names() {
                writeln!(io.out, "{name}")?;
            }
        }
    }
    Ok(Exit::Clean)
}

fn known(name: &str) -> Result<&'static str, Failure> {
    schema::text(name).ok_or_else(|| {
        let failure = Failure::new(Exit::Usage, format!("there is no schema `{name}`"));
        match nearest(name, schema::names()) {
            Some(nearest) => failure.hint(format!("did you mean `{nearest}`?")),
            None => failure.hint(format!("there are {}", schema::names().join(", "))),
        }
    })
}
