//! The words of the commands about saving, its history and sharing it; it decides nothing.

use clap::Args;
use std::path::PathBuf;

/// Arguments of `save`.
#[derive(Debug, Args)]
pub struct Save {
    /// The binder, or any folder or file in it [default: the one around the current folder]
    #[arg(value_name = "BINDER")]
    pub binder: Option<PathBuf>,
    /// What was changed and why, for those who come later [default: which files changed]
    #[arg(long, short = 'm', value_name = "WORDS")]
    pub words: Option<String>,
    /// Who saves [default: as git knows you, else your name on this computer]
    #[arg(long = "as", value_name = "NAME")]
    pub name: Option<String>,
    /// Show what would be saved, and save nothing
    #[arg(long, short = 'n')]
    pub dry_run: bool,
}

/// Arguments of `history`.
#[derive(Debug, Args)]
pub struct History {
    /// Only what touched this file, or this procedure by its number
    #[arg(value_name = "FILE|DOCUMENT")]
    pub file: Option<String>,
    /// How many states are listed at most
    #[arg(long, value_name = "NUMBER", default_value_t = 50)]
    pub last: usize,
    /// The binder [default: the one around the current folder]
    #[arg(long, value_name = "BINDER")]
    pub binder: Option<PathBuf>,
}

/// Arguments of `who`.
#[derive(Debug, Args)]
pub struct Who {
    /// The file, or the procedure by its number
    #[arg(value_name = "FILE|DOCUMENT")]
    pub file: String,
    /// Only this line, or these (`10-30`)
    #[arg(value_name = "LINE")]
    pub lines: Option<String>,
    /// The binder [default: the one around the current folder]
    #[arg(long, value_name = "BINDER")]
    pub binder: Option<PathBuf>,
}

/// Arguments of `undo`.
#[derive(Debug, Args)]
pub struct Undo {
    /// Only these files
    #[arg(value_name = "FILE")]
    pub files: Vec<String>,
    /// Back to this state, as `history` names it, or to one that an earlier `undo` named
    #[arg(long, value_name = "STATE")]
    pub to: Option<String>,
    /// Ask nothing
    #[arg(long, short = 'y')]
    pub yes: bool,
    /// Show what would be done, and do nothing
    #[arg(long, short = 'n')]
    pub dry_run: bool,
    /// Who does it [default: as git knows you, else your name on this computer]
    #[arg(long = "as", value_name = "NAME")]
    pub name: Option<String>,
    /// The binder [default: the one around the current folder]
    #[arg(long, value_name = "BINDER")]
    pub binder: Option<PathBuf>,
}

/// Arguments of `sync`.
#[derive(Debug, Args)]
pub struct Sync {
    /// The binder, or any folder or file in it [default: the one around the current folder]
    #[arg(value_name = "BINDER")]
    pub binder: Option<PathBuf>,
    /// Share the binder there from now on; a folder that is not there yet is made
    #[arg(long, value_name = "PLACE", conflicts_with = "copy_of")]
    pub with: Option<String>,
    /// Copy the binder that is shared there into the new folder BINDER
    #[arg(long, value_name = "PLACE", requires = "binder")]
    pub copy_of: Option<String>,
    /// Where two changed the same in this file, keep `ours` or `theirs`; may be given more than once
    #[arg(long, num_args = 2, value_names = ["ours|theirs", "FILE"])]
    pub keep: Vec<String>,
    /// Send again what the shared place has lost
    #[arg(long)]
    pub put_back: bool,
    /// Who does it [default: as git knows you, else your name on this computer]
    #[arg(long = "as", value_name = "NAME")]
    pub name: Option<String>,
}
