//! How far a build has come, on the error stream of a terminal; nothing where nobody watches.

use crate::cli::io::Stream;
use crate::task::build::Progress;
use std::io::Write;
use std::sync::{Mutex, PoisonError};

/// A line that counts, and is wiped when it is dropped.
pub(crate) struct Counter<'a> {
    stream: Stream,
    state: Mutex<State<'a>>,
}

struct State<'a> {
    to: &'a mut (dyn Write + Send),
    done: usize,
    all: usize,
    shown: bool,
}

impl<'a> Counter<'a> {
    /// Returns a counter that is silent unless `stream` is a terminal.
    pub(crate) fn new(stream: Stream, to: &'a mut (dyn Write + Send)) -> Self {
        let counter = Self { stream, state: Mutex::new(State { to, done: 0, all: 0, shown: false }) };
        counter.show(|state| state.say("reading the binder"));
        counter
    }

    fn show(&self, change: impl FnOnce(&mut State<'a>)) {
        if self.stream != Stream::Pipe {
            change(&mut self.state.lock().unwrap_or_else(PoisonError::into_inner));
        }
    }
}

impl State<'_> {
    /// Whether it could be shown does not matter; the build does.
    fn say(&mut self, words: &str) {
        self.shown = true;
        let _ = write!(self.to, "\r{words:<40}");
        let _ = self.to.flush();
    }
}

impl Progress for Counter<'_> {
    fn begin(&self, strides: usize) {
        self.show(|state| {
            state.all = strides;
            state.say(&format!("0 of {strides}"));
        });
    }

    fn stride(&self) {
        self.show(|state| {
            let before = state.done * 100 / state.all.max(1);
            state.done += 1;
            if state.done * 100 / state.all.max(1) != before {
                state.say(&format!("{} of {}", state.done, state.all));
            }
        });
    }
}

impl Drop for Counter<'_> {
    fn drop(&mut self) {
        self.show(|state| {
            if state.shown {
                let _ = write!(state.to, "\r{:<40}\r", "");
            }
        });
    }
}
