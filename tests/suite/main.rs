//! The integration tests, one binary: each module tests one area through one helper, text in, text out.

#![expect(clippy::disallowed_methods, reason = "tests read the sources and set the stage")]

mod bad_input;
mod binder;
mod changes;
mod coverage;
mod creamery;
mod kit;
mod licences;
mod mutations;
mod outside;
mod program;
mod propose;
mod reader;
mod rules;
mod run;
mod samples;
mod seeded_kit;
mod seeded_numbers;
mod seeded_state;
mod seeded_text;
mod seeded_tools;
mod tidy;
mod truth;
mod unguarded;
mod waivers;
mod wording;
