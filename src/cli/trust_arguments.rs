//! The words of the commands that sign, approve and release; it decides nothing.

use clap::{Args, Subcommand, ValueEnum};
use std::path::PathBuf;

/// With which key something is signed.
#[derive(Clone, Debug, Args)]
pub struct Signing {
    /// Your private key: the name under which it is kept, or a file [default: the only one kept]
    #[arg(long, value_name = "KEY")]
    pub key: Option<PathBuf>,
    /// The file with the passphrase of the key; `-` reads it from the input [default: you are asked]
    #[arg(long, value_name = "FILE")]
    pub passphrase_file: Option<PathBuf>,
}

/// Which binder.
#[derive(Clone, Debug, Args)]
pub struct Where {
    /// The binder [default: the one around the current folder]
    #[arg(long, value_name = "BINDER")]
    pub binder: Option<PathBuf>,
}

/// What is done with keys.
#[derive(Debug, Subcommand)]
pub enum Key {
    /// Make a key of your own; the private half never leaves this computer
    New {
        /// Your id, for ever: small letters, digits and hyphens
        #[arg(value_name = "ID")]
        id: String,
        /// Make it without a passphrase: whoever has the file can sign as you
        #[arg(long)]
        no_passphrase: bool,
        /// The file with the passphrase; `-` reads it from the input [default: you are asked]
        #[arg(long, value_name = "FILE", conflicts_with = "no_passphrase")]
        passphrase_file: Option<PathBuf>,
    },
    /// Show the public half of your keys
    Show,
}

/// What is done with the list of people.
#[derive(Debug, Subcommand)]
pub enum People {
    /// Show who may do what
    Show(Where),
    /// Print an example of `people.yaml`
    Example,
    /// Sign `people.yaml` as one of those with the role `root`
    Sign {
        /// Which binder.
        #[command(flatten)]
        place: Where,
        /// The key.
        #[command(flatten)]
        signing: Signing,
    },
    /// Bring the signed list into force, as somebody who releases
    Enter {
        /// Which binder.
        #[command(flatten)]
        place: Where,
        /// The key.
        #[command(flatten)]
        signing: Signing,
    },
    /// Say that a person's key was stolen: what it signed since is in doubt
    Stolen {
        /// Whose
        #[arg(value_name = "ID")]
        person: String,
        /// From which number of the ledger on (`matchmark audit` shows them)
        #[arg(long, value_name = "NUMBER")]
        since: u32,
        /// What happened
        #[arg(long, value_name = "TEXT")]
        reason: String,
        /// Which binder.
        #[command(flatten)]
        place: Where,
        /// The key.
        #[command(flatten)]
        signing: Signing,
    },
}

/// What set a change off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum SetOff {
    /// A mark made on the floor
    Redline,
    /// Something happened
    Incident,
    /// A part, a maker's sheet or a document was replaced
    Supersession,
    /// The review that was due
    Review,
    /// Nothing of these
    None,
}

/// The class of a change.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Class {
    /// Words only
    Wording,
    /// A value, part or tool
    Value,
    /// Steps and their order
    Sequence,
    /// For which machines
    Applicability,
    /// Cautions, isolation, hold points
    Safety,
}

/// Arguments of `prepare`.
#[derive(Debug, Args)]
pub struct Prepare {
    /// What the change is, in one line
    #[arg(long, value_name = "TEXT")]
    pub title: String,
    /// Why it is made, in one line
    #[arg(long, value_name = "TEXT")]
    pub reason: String,
    /// What set it off
    #[arg(long, value_enum, default_value_t = SetOff::None, value_name = "redline|incident|supersession|review|none", hide_possible_values = true)]
    pub trigger: SetOff,
    /// Only this procedure; may be given more than once
    #[arg(long = "procedure", value_name = "DOCUMENT")]
    pub documents: Vec<String>,
    /// Make it a temporary change with this last day
    #[arg(long, value_name = "DATE")]
    pub until: Option<String>,
    /// Raise the class that is computed
    #[arg(long, value_enum, value_name = "CLASS")]
    pub class: Option<Class>,
    /// Show what would be handed over, and sign nothing
    #[arg(long, short = 'n')]
    pub dry_run: bool,
    /// Which binder.
    #[command(flatten)]
    pub place: Where,
    /// The key.
    #[command(flatten)]
    pub signing: Signing,
}

/// Arguments of `waiting`.
#[derive(Debug, Args)]
pub struct WaitingAsked {
    /// Also those that are released or were overtaken
    #[arg(long)]
    pub all: bool,
    /// Which binder.
    #[command(flatten)]
    pub place: Where,
}

/// Arguments of `approve`.
#[derive(Debug, Args)]
pub struct Approve {
    /// The change: a document in it, or the first letters of its name as `waiting` shows them [default: the only one]
    #[arg(value_name = "CHANGE")]
    pub change: Option<String>,
    /// Approve without being asked, having read it all: the twelve letters at the end of what `approve -n` prints
    #[arg(long, value_name = "LETTERS")]
    pub seen: Option<String>,
    /// Approve in this role [default: one that is still missing]
    #[arg(long, value_name = "ROLE")]
    pub role: Option<String>,
    /// Sign that you have read it or walked it at the machine, which approves nothing
    #[arg(long)]
    pub reviewed: bool,
    /// Show everything and sign nothing
    #[arg(long, short = 'n')]
    pub dry_run: bool,
    /// Which binder.
    #[command(flatten)]
    pub place: Where,
    /// The key.
    #[command(flatten)]
    pub signing: Signing,
}

/// Arguments of `refuse` and `take-back`.
#[derive(Debug, Args)]
pub struct Refuse {
    /// The change: a document in it, or the first letters of its name as `waiting` shows them [default: the only one]
    #[arg(value_name = "CHANGE")]
    pub change: Option<String>,
    /// Why, in one line
    #[arg(long, value_name = "TEXT")]
    pub reason: String,
    /// The step or place it is about (`MP-PA-101 12`)
    #[arg(long, value_name = "STEP")]
    pub step: Option<String>,
    /// Which binder.
    #[command(flatten)]
    pub place: Where,
    /// The key.
    #[command(flatten)]
    pub signing: Signing,
}

/// Arguments of `release`.
#[derive(Debug, Args)]
pub struct Release {
    /// The change: a document in it, or the first letters of its name as `waiting` shows them [default: the only one]
    #[arg(value_name = "CHANGE")]
    pub change: Option<String>,
    /// The first day it is in force [default: today]
    #[arg(long, value_name = "DATE")]
    pub effective: Option<String>,
    /// The day by which it must be looked at again
    #[arg(long, value_name = "DATE")]
    pub review_by: Option<String>,
    /// Release what was approved, though its text was changed since: the newer text stays a draft
    #[arg(long)]
    pub as_approved: bool,
    /// Show what would be released, and sign nothing
    #[arg(long, short = 'n')]
    pub dry_run: bool,
    /// Which binder.
    #[command(flatten)]
    pub place: Where,
    /// The key.
    #[command(flatten)]
    pub signing: Signing,
}

/// Arguments of `withdraw`.
#[derive(Debug, Args)]
pub struct Withdraw {
    /// The document whose last release is withdrawn, or the number of a release in the ledger
    #[arg(value_name = "DOCUMENT|NUMBER")]
    pub what: String,
    /// Why, in one line
    #[arg(long, value_name = "TEXT")]
    pub reason: String,
    /// The first day on which it is no longer in force [default: today]
    #[arg(long, value_name = "DATE")]
    pub from: Option<String>,
    /// Show what would be withdrawn, and sign nothing
    #[arg(long, short = 'n')]
    pub dry_run: bool,
    /// Which binder.
    #[command(flatten)]
    pub place: Where,
    /// The key.
    #[command(flatten)]
    pub signing: Signing,
}
