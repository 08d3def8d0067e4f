//! One file for each command.

mod accept;
mod approve;
mod audit;
mod build;
mod calc;
mod changes;
mod check;
mod completions;
mod controlled;
mod demo;
mod explain;
mod faces;
mod hand;
mod history;
mod in_force;
mod init;
mod key;
mod kit;
mod licences;
mod new;
mod people;
mod prepare;
mod propose;
mod read;
mod release;
mod save;
mod schema;
mod sync;
mod trust;
mod undo;
mod unguarded;
mod verify;
mod where_used;
mod who;

use crate::cli::arguments::{Arguments, Command, Common};
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::cli::show;
use clap::CommandFactory as _;
use std::io::Write as _;

/// Runs a command.
pub(crate) fn run(arguments: Arguments, io: &mut Io) -> Result<Exit, Failure> {
    let Arguments { common, command } = arguments;
    let Some(command) = command else { return concise_help(io) };
    let is_list = matches!(
        command,
        Command::Kit(_)
            | Command::Faces(_)
            | Command::InForce(_)
            | Command::Changes(_)
            | Command::Read(_)
            | Command::Waiting(_)
            | Command::Propose(_)
            | Command::Unguarded(_)
            | Command::WhereUsed(_)
            | Command::History(_)
            | Command::Who(_)
    );
    if !is_list {
        show::no_csv(common.format)?;
    }
    if !matches!(command, Command::Check(_)) {
        show::no_sarif(common.format)?;
    }
    if !matches!(command, Command::Changes(_)) {
        show::no_html(common.format)?;
    }
    let exit = dispatch(command, &common, io)?;
    io.out.flush()?;
    Ok(exit)
}

fn dispatch(command: Command, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    match command {
        Command::Check(check) => check::run(&check, common, io),
        Command::Build(build) => build::run(&build, common, io),
        Command::Read(asked) => read::run(&asked, common, io),
        Command::Propose(asked) => propose::run(&asked, common, io),
        Command::Accept(asked) => accept::run(&asked, io),
        Command::Kit(kit) => kit::run(&kit, common, io),
        Command::Faces(about) => faces::run(&about, common, io),
        Command::Unguarded(about) => unguarded::run(&about, common, io),
        Command::WhereUsed(arguments) => where_used::run(&arguments, common, io),
        Command::Changes(asked) => changes::run(&asked, common, io),
        Command::Save(asked) => save::run(&asked, io),
        Command::History(asked) => history::run(&asked, common, io),
        Command::Who(asked) => who::run(&asked, common, io),
        Command::Undo(asked) => undo::run(&asked, io),
        Command::Sync(asked) => sync::run(&asked, common, io),
        Command::Prepare(asked) => prepare::run(&asked, io),
        Command::Waiting(asked) => approve::waiting(&asked, common, io),
        Command::Approve(asked) => approve::run(&asked, io),
        Command::Refuse(asked) => approve::refuse(&asked, io),
        Command::TakeBack(asked) => approve::take_back(&asked, io),
        Command::Release(asked) => release::run(&asked, io),
        Command::Withdraw(asked) => release::withdraw(&asked, io),
        Command::People { people } => people::run(&people, io),
        Command::Key { key } => key::run(&key, io),
        Command::Audit(asked) => audit::run(&asked, common, io),
        Command::InForce(asked) => in_force::run(&asked, common, io),
        Command::Verify(asked) => verify::run(&asked, common, io),
        Command::Trust(asked) => trust::run(&asked, common, io),
        Command::Calc { calc } => calc::run(calc, common, io),
        Command::Init { folder } => init::run(&folder, io),
        Command::Demo { folder } => demo::run(&folder, io),
        Command::New(new) => new::run(&new, io),
        Command::Explain { rule } => explain::run(rule.as_deref(), common, io),
        Command::Schema { name, out } => schema::run(name.as_deref(), out.as_deref(), io),
        Command::Licences => licences::run(io),
        Command::Completions { shell } => completions::run(shell, io),
    }
}

/// Prints what to type next to somebody who typed the bare name.
fn concise_help(io: &mut Io) -> Result<Exit, Failure> {
    let command = Arguments::command();
    let examples = command.get_before_help().map(ToString::to_string).unwrap_or_default();
    let about = command.get_about().map(ToString::to_string).unwrap_or_default();
    write!(io.err, "{about}\n\n{}\n\n`matchmark --help` lists all commands.\n", examples.trim_end())?;
    Ok(Exit::Usage)
}
