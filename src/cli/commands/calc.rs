//! `calc`: the bench calculator, as a page for a person or a document for a program.

use crate::analysis::working::{Refusal, Working};
use crate::cli::arguments::{Common, Format};
use crate::cli::calc_arguments::{Calc, OnThreads};
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::report::{json, working};
use crate::task::calc::{self, PreloadAsked, SettingAsked, TorqueAsked};
use std::io::Write as _;

pub(super) fn run(calc: Calc, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let (name, answer) = answer(calc);
    let worked = answer.map_err(refused)?;
    let text = match common.format {
        Format::Json => json::working(name, &worked),
        Format::Plain => working::plain(&worked),
        Format::Human | Format::Csv | Format::Sarif => working::human(&worked),
    };
    io.out.write_all(text.as_bytes())?;
    Ok(Exit::Clean)
}

fn answer(calc: Calc) -> (&'static str, Result<Working, Refusal>) {
    match calc {
        Calc::Torque(asked) => {
            let on = on_threads(asked.on);
            let (force, share, utilisation) = (asked.force, asked.share, asked.utilisation);
            ("torque", calc::torque(&TorqueAsked { thread: asked.thread, on, force, share, utilisation }))
        }
        Calc::Preload(asked) => {
            let on = on_threads(asked.on);
            ("preload", calc::preload(&PreloadAsked { thread: asked.thread, on, torque: asked.torque }))
        }
        Calc::Setting(asked) => {
            let asked = SettingAsked {
                torque: asked.torque,
                lever: asked.lever,
                extension: asked.extension,
                angle: asked.angle,
                range: asked.range,
                graduation: asked.graduation,
            };
            ("setting", calc::setting(&asked))
        }
    }
}

fn on_threads(on: OnThreads) -> calc::OnThreads {
    calc::OnThreads {
        class: on.class,
        state: on.state,
        nut_factor: on.nut_factor,
        friction: on.friction,
        head_friction: on.head_friction,
        bearing: on.bearing,
    }
}

fn refused(refusal: Refusal) -> Failure {
    let failure = Failure::new(Exit::Usage, refusal.message);
    if refusal.hint.is_empty() { failure } else { failure.hint(refusal.hint) }
}
