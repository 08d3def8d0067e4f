//! The named limits on what is read; each refusal says which of these it met.

/// Words and marks of a sentence that is still read.
pub const SENTENCE_TOKENS: usize = 300;
/// The largest text file, in bytes.
pub const TEXT_BYTES: u64 = 1 << 20;
/// How much of a Markdown file is looked at to see whether it is a procedure, in bytes.
pub const HEAD_BYTES: u64 = 64 << 10;
/// The largest figure, in bytes.
pub const FIGURE_BYTES: u64 = 4 << 20;
/// The largest file that is saved, in bytes.
pub const SAVED_BYTES: u64 = 16 << 20;
/// How many files a binder may hold.
pub const FILES: usize = 20_000;
/// How deep folders may nest.
pub const FOLDERS: usize = 16;
/// How deep YAML, lists and quotes may nest.
pub const NESTING: usize = 32;
/// How many steps a procedure may have.
pub const STEPS: usize = 2_000;
/// How many combinations of options are looked at, unless the binder says otherwise.
pub const COMBINATIONS: u64 = 500;
/// How many fasteners a joint may have.
pub const FASTENERS: u32 = 200;
/// How many of one part a job may draw.
pub const PARTS: u32 = 10_000;
/// How many findings of one rule in one file are told one by one.
pub const FINDINGS: usize = 50;
/// How many notes of one rule in one file are told one by one: a text in its author's own manner must not bury an error.
pub const NOTES: usize = 3;
