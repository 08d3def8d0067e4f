//! `demo`: the example plant with a history, so that a newcomer approves something in the first five minutes.

use crate::cli::commands::approve::called;
use crate::cli::commands::hand;
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::task::demo::{self, DemoError};
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(folder: &Path, io: &mut Io) -> Result<Exit, Failure> {
    let place = io.place(folder);
    let made = demo::make(&place, hand::now()?)?;
    writeln!(io.out, "{}", io.shown(&made.binder))?;
    io.out.flush()?;
    let binder = io.shown(&made.binder);
    let change = called(&made.waits);
    writeln!(
        io.err,
        "An invented plant with three people, three releases and one change that waits. Their keys are in `{}`;\n\
         they are throw-away keys: never use them for anything else.\n\n\
         You are Alice, who approves. Go there, and read what waits:\n\
         \x20 cd {binder}\n\
         \x20 matchmark waiting\n\
         \x20 matchmark approve {change} --key ../keys/alice\n\n\
         Then you are Bob, who releases:\n\
         \x20 matchmark release {change} --key ../keys/bob\n\
         \x20 matchmark audit\n\
         \x20 matchmark build --released --out ../out",
        io.shown(&place.join(demo::KEYS))
    )?;
    Ok(Exit::Clean)
}

impl From<DemoError> for Failure {
    fn from(error: DemoError) -> Self {
        match error {
            DemoError::New(error) => error.into(),
            DemoError::File(error) => error.into(),
            DemoError::History(error) => error.into(),
            DemoError::Book(error) => error.into(),
            DemoError::People(error) => error.into(),
            DemoError::Prepare(error) => error.into(),
            DemoError::Waiting(error) => error.into(),
            DemoError::Key(_) | DemoError::Chance(_) | DemoError::Word(_) | DemoError::Clock => {
                Self::new(Exit::Undecided, error.to_string())
            }
        }
    }
}
