//! The words of the command line and their help, examples first; it runs nothing.

use crate::cli::audit_arguments::{AuditAsked, InForceAsked, TrustAsked, VerifyAsked};
use crate::cli::calc_arguments::Calc;
use crate::cli::folder_arguments::{History, Save, Sync, Undo, Who};
use crate::cli::trust_arguments::{Approve, Key, People, Prepare, Refuse, Release, WaitingAsked, Withdraw};
use crate::rules::RULE_SET;
use clap::{Args, Parser, Subcommand, ValueEnum};
use clap_complete::Shell;
use std::ffi::OsString;
use std::path::PathBuf;

/// Examples stand before everything else.
const HELP: &str = "{before-help}{about-with-newline}\n{usage-heading} {usage}\n\n{all-args}{after-help}";

/// What `--version` prints: the program, and the numbers of what it reads and writes.
fn versions() -> String {
    let numbers = "reads and writes binder format 1; writes packet data 1, manifest 1 and JSON 1, SARIF 2.1.0";
    let (own, build) = (env!("CARGO_PKG_VERSION"), env!("MATCHMARK_BUILD"));
    format!("{own}\nrule set {RULE_SET}; `matchmark explain` lists the rules\n{numbers}\nprogram digest {build}")
}

/// Write, check and print a plant's maintenance procedures: one source, a packet and a card for every machine.
#[derive(Debug, Parser)]
#[command(
    name = "matchmark",
    version = env!("CARGO_PKG_VERSION"),
    long_version = versions(),
    help_template = HELP,
    before_help = "Examples:
  matchmark init my-binder              begin a small binder, with three mistakes to find
  matchmark check my-binder             say what is wrong, where, and how to mend it
  matchmark build my-binder --out out   make the packets and cards of every machine
  matchmark kit --tag P-121             list what to draw for one machine
  matchmark explain missing-value       read about a rule",
    after_help = "Exit codes:
  0 nothing wrong   1 something was found   2 typed wrongly   3 cannot be read or written
  4 refused: a layout, or what may not be signed   70 a fault of the program   130 interrupted

What is built from the open folder is a draft. It defers to the maker of the equipment, to local codes,
to the site's lockout and permit rules, and to competent, authorised people.",
    disable_help_subcommand = true,
    subcommand_value_name = "COMMAND",
    subcommand_help_heading = "Commands"
)]
pub struct Arguments {
    /// What every command takes.
    #[command(flatten)]
    pub common: Common,
    /// The command.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// What every command takes.
#[derive(Clone, Debug, Args)]
pub struct Common {
    /// How answers are written; csv is for lists (kit, faces, in-force, where-used, unguarded), sarif for check
    #[arg(
        long,
        global = true,
        value_enum,
        default_value_t = Format::Human,
        value_name = "human|json|plain|csv|sarif",
        hide_possible_values = true,
        hide_default_value = true,
        help_heading = "For every command"
    )]
    pub format: Format,
    /// When colour is used; beats `NO_COLOR`
    #[arg(
        long,
        global = true,
        value_enum,
        default_value_t = Color::Auto,
        value_name = "auto|always|never",
        hide_possible_values = true,
        hide_default_value = true,
        help_heading = "For every command"
    )]
    pub color: Color,
}

/// How answers are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For a person
    Human,
    /// One JSON document, with a schema number
    Json,
    /// One record a line
    Plain,
    /// For a spreadsheet; lists only (kit, faces, where-used, unguarded)
    Csv,
    /// SARIF 2.1.0, for code hosts; findings only (check)
    Sarif,
    /// One page that stands alone, for a tablet; `changes` only
    Html,
}

/// When colour is used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Color {
    /// On a terminal that has it
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

/// What a command is about.
#[derive(Clone, Debug, Args)]
pub struct About {
    /// The binder, or any folder or file in it [default: the one around the current folder]
    #[arg(value_name = "BINDER")]
    pub binder: Option<PathBuf>,
    /// Only this machine; may be given more than once
    #[arg(long = "tag", value_name = "TAG")]
    pub tags: Vec<String>,
    /// Only this procedure; may be given more than once
    #[arg(long = "procedure", value_name = "DOCUMENT")]
    pub documents: Vec<String>,
}

/// The least weight of a finding with which a command ends with exit code 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum FailOn {
    /// Errors only
    Error,
    /// Errors and warnings
    Warning,
    /// Anything
    Note,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Say what is wrong with a binder, where, and how to mend it
    #[command(help_template = HELP, before_help = "Examples:
  matchmark check                               the binder around the current folder
  matchmark check my-binder --tag P-121         what concerns one machine
  matchmark check --format sarif                for a program; `json` and `plain` are others
  matchmark check --write-baseline known.json   adopt an old binder: note what is wrong today
  matchmark check --baseline known.json         then tell only what is new

What a baseline lists is still wrong: `build` makes nothing that an error concerns, whatever it lists.
A single finding is accepted for a time in `waivers.yaml`, with a reason and a name.")]
    Check(Check),
    /// Make the packets, cards and index of every machine
    #[command(help_template = HELP, before_help = "Examples:
  matchmark build my-binder --out out              everything
  matchmark build --tag P-121                      what one machine needs
  matchmark build --procedure MP-PA-101 --out out  one procedure for all its machines
  matchmark build --released --out released        what is approved and in force, to be worked from

What an error concerns is not made; the rest is. What has not changed is left as it is, and what
is no longer true is taken away. If the command fails, the last good outputs stay.")]
    Build(Build),
    /// List what to draw from stores and crib
    #[command(help_template = HELP, before_help = "Examples:
  matchmark kit --tag P-121                              one machine, all its procedures
  matchmark kit --tag P-121 --procedure MP-PA-101        one job
  matchmark kit --tag P-121 --tag P-133 --together       several jobs on one list
  matchmark kit --tag P-121 --format csv > kit.csv       for a spreadsheet

The list is computed from the sentences of the procedure: each line says which steps need it.")]
    Kit(Kit),
    /// Show where a part, tool, fluid, value or procedure is used
    #[command(help_template = HELP, before_help = "Examples:
  matchmark where-used TW-2                      a tool, by its number
  matchmark where-used \"casing O-ring\"           a part, by its name or a synonym
  matchmark where-used \"closure torque\" --tag P-121

Used means that a step does something with it; mentioned, that a sentence only names it.")]
    WhereUsed(WhereUsed),
    /// Show which mistakes nothing would show, worst first
    #[command(help_template = HELP, before_help = "Examples:
  matchmark unguarded --procedure MP-PA-101               for all its machines
  matchmark unguarded --procedure MP-PA-101 --tag P-121   for one of them
  matchmark unguarded --format csv                        everything, for a spreadsheet

Each action is left out, halved, or done in the wrong order; another machine's value, the old part or another
fluid of the kit is used. By hand: nothing that comes later on the machine or the paper would show it. On
paper: no rule would say so either. A line says which it fails, and the cheapest guard. Where energy is meant,
only what comes before the first part is taken off counts. It cannot know who pays attention.")]
    Unguarded(About),
    /// Show each sentence of a procedure beside what it was read as
    #[command(help_template = HELP, before_help = "Examples:
  matchmark read MP-PA-101                  for all its machines
  matchmark read MP-PA-101 --tag P-121      for one of them
  matchmark read MP-PA-101 --format csv     for a spreadsheet

A sentence is read, moves nothing, is uncertain, or is not read. What is uncertain or not read is asked
about by `matchmark accept`; until then the check says of what it might touch that it cannot prove it.")]
    Read(Sentences),
    /// List what a procedure would add to the registers
    #[command(help_template = HELP, before_help = "Examples:
  matchmark propose MP-PA-101                  lines of YAML, each with the sentence that shows it
  matchmark propose MP-PA-101 --format csv     for a spreadsheet

Parts, counts, openings, temporary items, tools and fluids that no register knows yet. What the words leave open
is a question and stands in a comment: a number is never guessed. No register is written.")]
    Propose(Sentences),
    /// Accept what the sentences of a procedure were read as
    #[command(help_template = HELP, before_help = "Examples:
  matchmark accept MP-PA-101                           show what is new, changed or uncertain, and ask
  matchmark accept MP-PA-101 --certain                 ask only about what is not certain
  matchmark accept MP-PA-101 --as \"Fit it.=on key\"    answer one without being asked
  matchmark accept MP-PA-101 --certain --dry-run       print the file instead of writing it

What a sentence does is written as actions, joined by `;`: ACT [THING] [xN|all] [with TOOL] [to VALUE] [on THING].
  off bolt x4; on cover; new ring; tighten bolt all to {bolt torque}; lock all; open drain; if stop; nothing
The acts: off, on, new, discard, stores, loosen, snug, tighten, open, shut, lock, unlock, place, take, apply, wipe,
run, halt, fill, try, measure, record, wait, confirm and others as `read` shows them. Behind a sentence of the
procedure the same stands in braces: `{do off bolt x4}`.

What is accepted is kept beside the procedure, in a file of the same name that ends in `.actions`. It is
reviewed and approved with the procedure. Nobody is asked anything unless a person sits at a terminal.")]
    Accept(Accept),
    /// Show which machines share a card, and which options never made a difference
    #[command(help_template = HELP, before_help = "Examples:
  matchmark faces                                all procedures
  matchmark faces --procedure MP-PA-101          one of them")]
    Faces(About),
    /// Say what changed in meaning since another state of the binder, per machine, the largest consequence first
    #[command(help_template = HELP, before_help = "Examples:
  matchmark changes                                        since what is released
  matchmark changes --from 1a2b3c4d --to 5e6f7a8b          between two states of the history
  matchmark changes --from ../binder-in-march --tag P-121  since another folder, for one machine
  matchmark changes --format html > changes.html           to read on a tablet

Text that is only set or numbered otherwise is no change. What did not change is said, and what cannot be told.
Classes, from the least: wording, value, sequence, applicability, safety. What is taken away weighs one more.")]
    Changes(ChangesAsked),
    /// Save the binder as it stands, as a state that anyone can come back to
    #[command(help_template = HELP, before_help = "Examples:
  matchmark save                             the binder around the current folder
  matchmark save -m \"impeller nut at 150 N·m\"  say why, for those who come later
  matchmark save -n                          show what would be saved

What is saved is kept byte for byte. A save is no approval: nothing reaches the floor by it.")]
    Save(Save),
    /// List what was saved, the newest first
    #[command(help_template = HELP, before_help = "Examples:
  matchmark history                 the last saves of the binder
  matchmark history MP-PA-101       those that touched one procedure
  matchmark history families/PA.yaml --format csv")]
    History(History),
    /// Show who changed each line of a procedure or register last
    #[command(help_template = HELP, before_help = "Examples:
  matchmark who MP-PA-101           every line
  matchmark who MP-PA-101 162       one line
  matchmark who fleet.yaml 10-30    some lines")]
    Who(Who),
    /// Take back what is not saved, or the last save
    #[command(help_template = HELP, before_help = "Examples:
  matchmark undo                       what is not saved; where everything is saved, the last save
  matchmark undo seals/MP-PA-101.md    what is not saved of one file
  matchmark undo --to 1a2b3c4d         back to an earlier state
  matchmark undo -n                    show what it would do

Nothing is lost by it: what stood in the folder is kept, and it says where. What was signed is never taken back.")]
    Undo(Undo),
    /// Bring in what others saved, and send what you saved
    #[command(help_template = HELP, before_help = "Examples:
  matchmark sync --with /srv/plant/binder.git          the first time: share the binder there
  matchmark sync                                       from then on
  matchmark sync my-binder --copy-of /srv/plant/binder.git   on another computer: get a copy
  matchmark sync --keep theirs fleet.yaml              where two changed the same, without being asked

A shared place is a folder that all can reach, or an address that git knows (https:// or ssh). Where two people
changed the same step or value, both are shown and you choose; nothing is mixed by itself.")]
    Sync(Sync),
    /// Hand a change over for approval: everything that differs from what is in force
    #[command(help_template = HELP, before_help = "Examples:
  matchmark prepare --title \"Impeller nut at 150 N·m\" --reason \"it loosened twice\" --trigger redline
  matchmark prepare --procedure MP-PA-101 --title ... --reason ...   one document only
  matchmark prepare --until 2027-06-30 --title ... --reason ...      a temporary change
  matchmark prepare -n --title ... --reason ...                      show it, and sign nothing

What is handed over is made of the binder as it was last saved. It is refused where the binder has errors
there, or holds sentences whose actions nobody accepted.")]
    Prepare(Prepare),
    /// List the changes that wait for approval or release
    #[command(help_template = HELP, before_help = "Examples:
  matchmark waiting          what waits, and what it needs
  matchmark waiting --all    also what is released, and what another change overtook")]
    Waiting(WaitingAsked),
    /// Read a change as a whole, confirm it point by point, and sign it
    #[command(help_template = HELP, before_help = "Examples:
  matchmark approve                     the change that waits
  matchmark approve MP-PA-101           the one of this document
  matchmark approve -n                  read it, and sign nothing
  matchmark approve --reviewed          sign that you have walked it at the machine; that approves nothing

It shows in this order what changes, on which machines, who wrote it, what the checks say and what nobody has
checked. Nobody approves his own change.")]
    Approve(Approve),
    /// Return a change to who made it, with a reason and a step
    #[command(help_template = HELP, before_help = "Examples:
  matchmark refuse --reason \"the value is that of the larger nut\" --step \"MP-PA-101 31\"")]
    Refuse(Refuse),
    /// Take back your own approval or refusal
    #[command(help_template = HELP, before_help = "Examples:
  matchmark take-back --reason \"I looked at the wrong pump\"

An approval that is taken back after the release takes nothing out of force: `matchmark withdraw` does.")]
    TakeBack(Refuse),
    /// Bring an approved change into force
    #[command(help_template = HELP, before_help = "Examples:
  matchmark release                             from today on
  matchmark release --effective 2027-01-11      from a day on
  matchmark release -n                          show it, and sign nothing")]
    Release(Release),
    /// Take a release out of force; nothing comes back in its place
    #[command(help_template = HELP, before_help = "Examples:
  matchmark withdraw MP-PA-101 --reason \"a wrong gasket\"       the last release of a document
  matchmark withdraw 12 --reason \"a wrong gasket\"              a release by its number in the ledger")]
    Withdraw(Withdraw),
    /// Say who may prepare, approve and release, and how many must
    #[command(help_template = HELP, before_help = "Examples:
  matchmark people example > people.yaml    begin the list
  matchmark people sign                     those with the role `root` sign it
  matchmark people enter                    somebody who releases brings it into force
  matchmark people show                     who may do what now")]
    People {
        /// What to do
        #[command(subcommand)]
        people: People,
    },
    /// Make a key of your own to sign with, or show yours
    #[command(help_template = HELP, before_help = "Examples:
  matchmark key new carol    make one, and print its public half for people.yaml
  matchmark key show         print the public halves of yours")]
    Key {
        /// What to do
        #[command(subcommand)]
        key: Key,
    },
    /// Look for everything that is wrong with approvals, releases and history, gravest first
    #[command(help_template = HELP, before_help = "Examples:
  matchmark audit                  the binder around the current folder
  matchmark audit --since 000100   list what is about later releases
  matchmark audit --format json    for a program

The first line says what was believed, how far the ledger goes and how old it is. Then each finding: DANGER (somebody
could work from a wrong or unapproved card), INVALID, STALE, INCOMPLETE, WARN; what is concerned, and what to do next.
Exit codes: 0 nothing, 1 findings, 3 too little is there to decide, which is never the same as nothing.
It reads what was saved, never the open folder, and writes nothing into the binder.")]
    Audit(AuditAsked),
    /// List what is in force on a day, for each procedure and machine
    #[command(help_template = HELP, before_help = "Examples:
  matchmark in-force                                 today
  matchmark in-force --at 2027-03-14 --tag P-121     one machine on a day
  matchmark in-force --format csv > in-force.csv     for a spreadsheet

What a line marks as not usable must not be worked from, and nothing older may be used in its place.
Exit codes: 0 all of it may be used, 1 something may not, 3 the ledger is not whole.")]
    InForce(InForceAsked),
    /// Print the commands by which anybody checks a release without this program
    #[command(help_template = HELP, before_help = "Examples:
  matchmark verify 000123               the release at this place of the ledger
  matchmark verify MP-PA-101            the last release of a procedure
  matchmark verify MP-PA-101 > check.sh && sh check.sh

The commands use git, ssh-keygen and sha256sum, run in the binder's folder, and end with `good` or an error. They check
seal, approvals, packets and sources of one release; `matchmark audit` checks everything else.")]
    Verify(VerifyAsked),
    /// Show the digest of the first root, or pin the one that the paper on the wall says
    #[command(help_template = HELP, before_help = "Examples:
  matchmark trust                       show it, in groups that two people can compare
  matchmark trust 1521 8e22 accc ...    pin what the paper says

Whoever shows another digest than the paper shows another plant's binder, or a forged one. If what was typed is not
the digest of this binder, the command ends with 4, and the paper is believed: nothing in this folder is signed or
printed until the two agree.")]
    Trust(TrustAsked),
    /// Compute a torque, a preload or a wrench setting, with formula, band and the source of each constant
    #[command(help_template = HELP, before_help = "Examples:
  matchmark calc torque M12 --class 8.8 --share \"70 %\" --state \"zinc plated, dry\"
  matchmark calc preload M12 --class A4-70 --torque \"44 N·m\" --nut-factor 0.16
  matchmark calc setting --torque \"80 N·m\" --lever \"400 mm\" --extension \"50 mm\" --angle 0°

A plausibility check, never a design calculation. What cannot be computed is refused.")]
    Calc {
        /// The calculation
        #[command(subcommand)]
        calc: Calc,
    },
    /// Begin a small binder that builds, with three deliberate mistakes to find
    #[command(help_template = HELP, before_help = "Examples:
  matchmark init my-binder     then: matchmark check my-binder

Nothing is ever written over.")]
    Init {
        /// The folder to write into; it is made where it is missing
        #[arg(value_name = "FOLDER")]
        folder: PathBuf,
    },
    /// Make the example plant with a history: people, keys, three releases, one change to approve
    #[command(help_template = HELP, before_help = "Examples:
  matchmark demo my-plant     it says what to type next

Nothing is ever written over. The people are invented and their keys are throw-away keys.")]
    Demo {
        /// The folder to write into; it is made where it is missing
        #[arg(value_name = "FOLDER")]
        folder: PathBuf,
    },
    /// Begin a procedure
    #[command(help_template = HELP, before_help = "Examples:
  matchmark new MP-PA-102 --title \"Renew the double shaft seal\" --family PA
  matchmark new MP-PA-102 --title \"Renew the double shaft seal\" --family PA --in seals

Nothing is ever written over. A document number is never used again.")]
    New(New),
    /// Read about a rule, or list all of them
    #[command(help_template = HELP, before_help = "Examples:
  matchmark explain                   all rules
  matchmark explain missing-value     one of them")]
    Explain {
        /// The rule, as it stands in brackets behind `error`
        #[arg(value_name = "RULE")]
        rule: Option<String>,
    },
    /// List, print or write the schemas of the registers, for an editor
    #[command(help_template = HELP, before_help = "Examples:
  matchmark schema                          their names
  matchmark schema fleet                    print one
  matchmark schema --out my-binder/schema   write all of them, replacing older ones")]
    Schema {
        /// The schema
        #[arg(value_name = "NAME")]
        name: Option<String>,
        /// The folder to write into
        #[arg(long, value_name = "FOLDER")]
        out: Option<PathBuf>,
    },
    /// Print the licences of the program, its fonts and everything it is made of
    #[command(help_template = HELP, before_help = "Examples:
  matchmark licences")]
    Licences,
    /// Print the completions for a shell
    #[command(help_template = HELP, before_help = "Examples:
  matchmark completions bash > ~/.local/share/bash-completion/completions/matchmark
  matchmark completions powershell >> $PROFILE")]
    Completions {
        /// The shell
        #[arg(value_name = "SHELL")]
        shell: Shell,
    },
}

/// Arguments of `check`.
#[derive(Debug, Args)]
pub struct Check {
    /// What it is about.
    #[command(flatten)]
    pub about: About,
    /// From which weight on a finding gives exit code 1
    #[arg(long, value_enum, default_value_t = FailOn::Warning, value_name = "error|warning|note", hide_possible_values = true)]
    pub fail_on: FailOn,
    /// Findings that this file lists do not count; it makes nothing printable
    #[arg(long, value_name = "FILE")]
    pub baseline: Option<PathBuf>,
    /// List today's findings in this file; one that is no baseline is never written over
    #[arg(long, value_name = "FILE", conflicts_with_all = ["baseline", "tags", "documents"])]
    pub write_baseline: Option<PathBuf>,
}

/// The sentences of a procedure.
#[derive(Debug, Args)]
pub struct Sentences {
    /// The number of the procedure
    #[arg(value_name = "DOCUMENT")]
    pub document: String,
    /// Only for this machine; may be given more than once
    #[arg(long = "tag", value_name = "TAG")]
    pub tags: Vec<String>,
    /// The binder [default: the one around the current folder]
    #[arg(long, value_name = "BINDER")]
    pub binder: Option<PathBuf>,
}

/// Arguments of `accept`.
#[derive(Debug, Args)]
pub struct Accept {
    /// The number of the procedure
    #[arg(value_name = "DOCUMENT")]
    pub document: String,
    /// Accept everything that was read with certainty; ask only about the rest
    #[arg(long)]
    pub certain: bool,
    /// Accept these actions for a sentence, named by its words or its key; may be given more than once
    #[arg(long = "as", value_name = "SENTENCE=ACTIONS")]
    pub written: Vec<String>,
    /// Ask nothing
    #[arg(long)]
    pub no_input: bool,
    /// Print the file instead of writing it
    #[arg(long, short = 'n')]
    pub dry_run: bool,
    /// The binder [default: the one around the current folder]
    #[arg(long, value_name = "BINDER")]
    pub binder: Option<PathBuf>,
}

/// Arguments of `kit`.
#[derive(Debug, Args)]
pub struct Kit {
    /// What it is about.
    #[command(flatten)]
    pub about: About,
    /// One list for all the jobs: parts and locks add up, one tool serves all
    #[arg(long)]
    pub together: bool,
}

/// Arguments of `changes`.
#[derive(Debug, Args)]
pub struct ChangesAsked {
    /// What it is about.
    #[command(flatten)]
    pub about: About,
    /// The state to compare with, as `history` shows it, or a folder with another binder [default: what is released]
    #[arg(long, value_name = "STATE|BINDER")]
    pub from: Option<String>,
    /// The state that is compared [default: the binder as it is]
    #[arg(long, value_name = "STATE")]
    pub to: Option<String>,
}

/// Arguments of `where-used`.
#[derive(Debug, Args)]
pub struct WhereUsed {
    /// The name or number, as it stands in a register
    #[arg(value_name = "NAME")]
    pub name: String,
    /// What it is about.
    #[command(flatten)]
    pub about: About,
}

/// Arguments of `build`.
#[derive(Debug, Args)]
pub struct Build {
    /// Print what is approved and in force, from what was stored when it was approved, and nothing else
    #[arg(long)]
    pub released: bool,
    /// With `--released`: what is in force on this day [default: today]
    #[arg(long, value_name = "DATE", requires = "released")]
    pub on: Option<String>,
    /// What it is about.
    #[command(flatten)]
    pub about: About,
    /// The folder to write into: a new or empty one, or that of an earlier build
    #[arg(long, value_name = "FOLDER", default_value = "out")]
    pub out: PathBuf,
    /// From which weight on a finding gives exit code 1
    #[arg(long, value_enum, default_value_t = FailOn::Error, value_name = "error|warning|note", hide_possible_values = true)]
    pub fail_on: FailOn,
}

/// Arguments of `new`.
#[derive(Debug, Args)]
pub struct New {
    /// Its number: capital letters, digits and hyphens
    #[arg(value_name = "DOCUMENT")]
    pub document: String,
    /// What is done, in one line that begins with a verb
    #[arg(long, value_name = "TEXT")]
    pub title: String,
    /// The family of machines it is for
    #[arg(long, value_name = "FAMILY")]
    pub family: String,
    /// The folder of the binder it goes into
    #[arg(long = "in", value_name = "FOLDER", default_value = "", hide_default_value = true)]
    pub folder: String,
    /// The binder [default: the one around the current folder]
    #[arg(long, value_name = "BINDER")]
    pub binder: Option<PathBuf>,
}

/// Returns the colour that was asked for, before the words are understood: a mistake in them is told in it too.
pub(crate) fn color_among(words: &[OsString]) -> Color {
    let words: Vec<&str> = words.iter().filter_map(|word| word.to_str()).collect();
    let apart = words.windows(2).filter(|pair| pair[0] == "--color").map(|pair| pair[1]);
    let joined = words.iter().filter_map(|word| word.strip_prefix("--color="));
    match apart.chain(joined).last() {
        Some("always") => Color::Always,
        Some("never") => Color::Never,
        _ => Color::Auto,
    }
}
