//! The command line: from words to a task and from its answer to text; it decides nothing about a binder.

pub mod arguments;
pub mod audit_arguments;
pub mod calc_arguments;
mod commands;
mod exit;
mod failure;
pub mod folder_arguments;
mod io;
mod progress;
mod show;
pub mod trust_arguments;

pub use crate::cli::exit::Exit;
pub use crate::cli::io::{Io, Process, Stream};

use crate::cli::arguments::{Arguments, Color};
use crate::cli::failure::Failure;
use clap::{CommandFactory as _, FromArgMatches as _};
use std::any::Any;
use std::ffi::OsString;
use std::io::Write as _;
use std::panic::{self, AssertUnwindSafe};
use std::process::ExitCode;
use std::sync::{Arc, Mutex, PoisonError};

/// Runs one command and returns the program's exit code. May be called several times in one process.
pub fn run(words: impl IntoIterator<Item = OsString>, io: &mut Io) -> ExitCode {
    ExitCode::from(answer(words, io).code())
}

/// Runs one command and returns how it ended.
pub fn answer(words: impl IntoIterator<Item = OsString>, io: &mut Io) -> Exit {
    let words: Vec<OsString> = words.into_iter().collect();
    guarded(io, |io| parsed(words, io))
}

fn parsed(words: Vec<OsString>, io: &mut Io) -> Result<Exit, Failure> {
    let color = arguments::color_among(&words);
    let mut command = Arguments::command().color(match color {
        Color::Always => clap::ColorChoice::Always,
        Color::Auto | Color::Never => clap::ColorChoice::Never,
    });
    let matches = match command.try_get_matches_from_mut(words) {
        Ok(matches) => matches,
        Err(error) => return said_by_parser(&error, color, io),
    };
    let arguments = match Arguments::from_arg_matches(&matches) {
        Ok(arguments) => arguments,
        Err(error) => return said_by_parser(&error, color, io),
    };
    commands::run(arguments, io)
}

/// Prints what the parser of the words has to say: help and version are answers, anything else is a mistake in them.
fn said_by_parser(error: &clap::Error, color: Color, io: &mut Io) -> Result<Exit, Failure> {
    let text = error.render();
    let is_painted = |stream| io.paint(color, stream) == crate::report::human::Paint::Colour;
    if error.use_stderr() {
        let text = if is_painted(io.err_stream) { text.ansi().to_string() } else { text.to_string() };
        io.err.write_all(text.as_bytes())?;
        return Ok(Exit::Usage);
    }
    let text = if is_painted(io.out_stream) { text.ansi().to_string() } else { text.to_string() };
    io.out.write_all(text.as_bytes())?;
    io.out.flush()?;
    Ok(Exit::Clean)
}

/// Runs `command`; tells a failure on the error stream, and takes a panic for what it is: our mistake.
fn guarded(io: &mut Io, command: impl FnOnce(&mut Io) -> Result<Exit, Failure>) -> Exit {
    let place: Arc<Mutex<String>> = Arc::default();
    let before = (io.process == Process::Own).then(|| {
        let before = panic::take_hook();
        let place = Arc::clone(&place);
        panic::set_hook(Box::new(move |info| {
            let at = info.location().map_or_else(String::new, |at| format!(" ({}:{})", at.file(), at.line()));
            *place.lock().unwrap_or_else(PoisonError::into_inner) = at;
        }));
        before
    });
    let result = panic::catch_unwind(AssertUnwindSafe(|| command(io)));
    if let Some(before) = before {
        panic::set_hook(before);
    }
    match result {
        Ok(Ok(exit)) => exit,
        Ok(Err(failure)) => failure.tell(io),
        Err(payload) => {
            let place = place.lock().unwrap_or_else(PoisonError::into_inner).clone();
            let _ = writeln!(
                io.err,
                "internal fault: {}{place}\nThis is a mistake in the program, not in your binder. What was built before is still there.\nPlease report this message with the command you typed.",
                words_of(payload.as_ref()),
            );
            Exit::Fault
        }
    }
}

fn words_of(payload: &(dyn Any + Send)) -> String {
    let words = payload.downcast_ref::<&str>().map(|words| (*words).to_owned());
    words.or_else(|| payload.downcast_ref::<String>().cloned()).unwrap_or_else(|| "no words were left".to_owned())
}

#[cfg(test)]
#[path = "cli_tests.rs"]
mod tests;
