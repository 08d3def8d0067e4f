//! The streams of a command and what is known of its surroundings, gathered once; no other file asks the environment.

use crate::cli::arguments::Color;
use crate::report::human::Paint;
use std::io::{self, BufRead, IsTerminal as _, Write};
use std::path::{Path, PathBuf};

/// Where a command reads its surroundings from and writes to.
pub struct Io {
    /// For data.
    pub out: Box<dyn Write + Send>,
    /// For progress and messages.
    pub err: Box<dyn Write + Send>,
    /// Where answers to questions are read from.
    pub input: Box<dyn BufRead + Send>,
    /// What `input` comes from; only a person at a terminal is asked anything.
    pub in_stream: Stream,
    /// What `out` leads to.
    pub out_stream: Stream,
    /// What `err` leads to.
    pub err_stream: Stream,
    /// The folder that paths are seen from; empty for that of the process.
    pub folder: PathBuf,
    /// Whether the process is ours.
    pub process: Process,
}

/// What a stream leads to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stream {
    /// A file, a pipe, or a test.
    Pipe,
    /// A terminal whose user wants no colour, or that has none.
    PlainTerminal,
    /// A terminal with colours.
    Terminal,
}

/// Whose the process is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Process {
    /// Ours alone: the words of a panic may be kept from the error stream.
    Own,
    /// Shared with others, as in a test.
    Shared,
}

impl Io {
    /// Returns the streams and surroundings of this process.
    #[must_use]
    #[expect(clippy::disallowed_methods, reason = "the surroundings are gathered here and nowhere else")]
    pub fn std() -> Self {
        let color = plain_by_environment(std::env::var_os("NO_COLOR").as_deref(), std::env::var_os("TERM").as_deref());
        let stream = |is_terminal: bool| match (is_terminal, color) {
            (false, _) => Stream::Pipe,
            (true, Wish::Plain) => Stream::PlainTerminal,
            (true, Wish::Any) => Stream::Terminal,
        };
        Self {
            input: Box::new(io::BufReader::new(io::stdin())),
            in_stream: stream(io::stdin().is_terminal()),
            out_stream: stream(io::stdout().is_terminal()),
            err_stream: stream(io::stderr().is_terminal()),
            out: Box::new(io::BufWriter::new(anstream::AutoStream::always(io::stdout()))),
            err: Box::new(anstream::AutoStream::always(io::stderr())),
            folder: PathBuf::new(),
            process: Process::Own,
        }
    }

    /// Returns where a path as typed is.
    #[must_use]
    pub fn place(&self, typed: &Path) -> PathBuf {
        let place = self.folder.join(typed);
        if place.as_os_str().is_empty() { PathBuf::from(".") } else { place }
    }

    /// Returns a place as it is shown: from the folder the reader is in where it lies below that.
    #[must_use]
    pub fn shown(&self, place: &Path) -> String {
        let below = if self.folder.as_os_str().is_empty() { None } else { place.strip_prefix(&self.folder).ok() };
        let below = below.unwrap_or(place);
        let below = below.strip_prefix(".").unwrap_or(below);
        below.display().to_string()
    }

    /// Returns whether text on a stream is coloured: what was typed beats what the surroundings say.
    #[must_use]
    pub fn paint(&self, color: Color, stream: Stream) -> Paint {
        match (color, stream) {
            (Color::Always, _) | (Color::Auto, Stream::Terminal) => Paint::Colour,
            (Color::Never, _) | (Color::Auto, Stream::Pipe | Stream::PlainTerminal) => Paint::Plain,
        }
    }
}

/// What the environment says of colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Wish {
    Any,
    Plain,
}

/// `NO_COLOR` counts where it is set and not empty (no-color.org); a terminal called `dumb` has no colours.
fn plain_by_environment(no_color: Option<&std::ffi::OsStr>, term: Option<&std::ffi::OsStr>) -> Wish {
    let is_unwanted = no_color.is_some_and(|value| !value.is_empty());
    if is_unwanted || term.is_some_and(|term| term == "dumb") { Wish::Plain } else { Wish::Any }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::ffi::OsStr;

    #[test]
    fn the_environment_may_ask_for_no_colour_and_the_flag_beats_it() {
        assert_eq!(plain_by_environment(None, Some(OsStr::new("xterm"))), Wish::Any);
        assert_eq!(plain_by_environment(Some(OsStr::new("")), None), Wish::Any);
        assert_eq!(plain_by_environment(Some(OsStr::new("1")), None), Wish::Plain);
        assert_eq!(plain_by_environment(None, Some(OsStr::new("dumb"))), Wish::Plain);
        let io = Io::std();
        assert_eq!(io.paint(Color::Always, Stream::PlainTerminal), Paint::Colour);
        assert_eq!(io.paint(Color::Auto, Stream::PlainTerminal), Paint::Plain);
        assert_eq!(io.paint(Color::Never, Stream::Terminal), Paint::Plain);
    }
}
