//! The streams of a command and what is known of its surroundings, gathered once; no other file asks the environment.

use crate::cli::arguments::Color;
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::report::human::Paint;
use crate::workspace::home::Home;
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
    /// What the program keeps for the user outside of every binder; none where the surroundings name no place for it.
    pub home: Option<Home>,
    /// What the computer calls the user; may be empty.
    pub user: String,
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
            home: home_by_environment(&|name| std::env::var_os(name)),
            user: ["USER", "USERNAME"].iter().find_map(|name| std::env::var(name).ok()).unwrap_or_default(),
        }
    }

    /// Returns what the program keeps for the user.
    pub(crate) fn home(&self) -> Result<Home, Failure> {
        self.home.clone().ok_or_else(|| {
            Failure::new(
                Exit::Undecided,
                "there is no place to remember what was seen of this binder, so nothing is signed or judged",
            )
            .hint("set HOME, or XDG_CONFIG_HOME and XDG_STATE_HOME, to folders of your own")
        })
    }

    /// Returns whether a person sits there who can be asked.
    pub(crate) fn is_asked(&self) -> bool {
        self.in_stream != Stream::Pipe
    }

    /// Asks for one line and returns it without its end; none at the end of the input.
    pub(crate) fn ask(&mut self, question: &str) -> io::Result<Option<String>> {
        write!(self.err, "{question}")?;
        self.err.flush()?;
        let mut line = String::new();
        if self.input.read_line(&mut line)? == 0 {
            return Ok(None);
        }
        Ok(Some(line.trim_end_matches(['\n', '\r']).to_owned()))
    }

    /// Asks for a secret, which is not shown while it is typed.
    pub(crate) fn ask_secret(&mut self, question: &str) -> io::Result<Option<String>> {
        match self.process {
            Process::Own => {
                write!(self.err, "{question}")?;
                self.err.flush()?;
                rpassword::read_password().map(Some)
            }
            Process::Shared => self.ask(question),
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

/// Where the XDG base directory specification, or Windows, puts what a program keeps for its user.
fn home_by_environment(var: &dyn Fn(&str) -> Option<std::ffi::OsString>) -> Option<Home> {
    let place = |name: &str| var(name).map(PathBuf::from).filter(|path| path.is_absolute());
    let below_home = |rest: &str| place("HOME").map(|home| home.join(rest));
    let config = place("XDG_CONFIG_HOME").or_else(|| place("APPDATA")).or_else(|| below_home(".config"))?;
    let state = place("XDG_STATE_HOME").or_else(|| place("LOCALAPPDATA")).or_else(|| below_home(".local/state"))?;
    Some(Home { config: config.join("matchmark"), state: state.join("matchmark") })
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
        let there = |name: &str| (name == "HOME").then(|| "/home/c".into());
        let home = home_by_environment(&there).expect("there is a home");
        assert_eq!(home.state, Path::new("/home/c/.local/state/matchmark"));
        assert_eq!(home_by_environment(&|name| (name == "HOME").then(|| "relative".into())), None);
        let io = Io::std();
        assert_eq!(io.paint(Color::Always, Stream::PlainTerminal), Paint::Colour);
        assert_eq!(io.paint(Color::Auto, Stream::PlainTerminal), Paint::Plain);
        assert_eq!(io.paint(Color::Never, Stream::Terminal), Paint::Plain);
    }
}
