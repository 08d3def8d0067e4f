//! `calc`: the bench calculator, as a page for a person or a document for a program.

use crate::analysis::rubber::groove::Seal;
use crate::analysis::rubber::storage::Standard;
use crate::analysis::working::{Refusal, Working};
use crate::cli::arguments::{Common, Format};
use crate::cli::calc_arguments::{Calc, Convert, OnThreads, Oring, SealWord, ShelfLife, StandardWord, Tool, TypeSize};
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::report::{json, working};
use crate::task::calc::{self, PreloadAsked, SettingAsked, TorqueAsked};
use crate::workspace::named_file;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(calc: Calc, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    if let Calc::Convert(Convert { batch: Some(file), .. }) = &calc {
        return batch(&io.place(file), io);
    }
    let (name, answer) = answer(calc);
    let worked = answer.map_err(refused)?;
    let text = match common.format {
        Format::Json => json::working(name, &worked),
        Format::Plain => working::plain(&worked),
        Format::Human | Format::Csv | Format::Sarif | Format::Html => working::human(&worked),
    };
    io.out.write_all(text.as_bytes())?;
    Ok(Exit::Clean)
}

fn answer(calc: Calc) -> (&'static str, Result<Working, Refusal>) {
    match calc {
        Calc::Torque(asked) => {
            let on = on_threads(asked.on);
            let (force, share, utilisation) = (asked.force, asked.share, asked.utilisation);
            let tool = tool(asked.tool);
            ("torque", calc::torque(&TorqueAsked { thread: asked.thread, on, force, share, utilisation, tool }))
        }
        Calc::Preload(asked) => {
            let on = on_threads(asked.on);
            let tool = tool(asked.tool);
            ("preload", calc::preload(&PreloadAsked { thread: asked.thread, on, torque: asked.torque, tool }))
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
        Calc::Convert(asked) => ("convert", convert(asked)),
        Calc::Oring(asked) => ("oring", oring(asked)),
        Calc::ShelfLife(asked) => ("shelf-life", shelf_life(asked)),
        Calc::TypeSize(asked) => ("type-size", type_size(asked)),
    }
}

/// Answers a file of conversions with as many lines.
fn batch(place: &Path, io: &mut Io) -> Result<Exit, Failure> {
    let text = String::from_utf8(named_file::read(place)?)
        .map_err(|_| Failure::new(Exit::Undecided, format!("`{}` is not UTF-8", io.shown(place))))?;
    let (answer, refused) = calc::convert::batch(&text);
    io.out.write_all(answer.as_bytes())?;
    Ok(if refused == 0 { Exit::Clean } else { Exit::Usage })
}

fn convert(asked: Convert) -> Result<Working, Refusal> {
    let (quantity, unit) = (asked.quantity.unwrap_or_default(), asked.unit.unwrap_or_default());
    calc::convert::convert(&calc::convert::ConvertAsked { quantity, unit, step: asked.step })
}

fn oring(asked: Oring) -> Result<Working, Refusal> {
    let seal = asked.seal.map(|word| match word {
        SealWord::Static => Seal::Static,
        SealWord::Face => Seal::Face,
        SealWord::Moving => Seal::Moving,
    });
    calc::oring::oring(&calc::oring::OringAsked {
        size: asked.size,
        inside: asked.inside,
        section: asked.section,
        seal,
        seat: asked.seat,
        depth: asked.depth,
        width: asked.width,
        hardness: asked.hardness,
        pressure: asked.pressure,
    })
}

fn shelf_life(asked: ShelfLife) -> Result<Working, Refusal> {
    let standard = match asked.standard {
        StandardWord::Iso2230 => Standard::Iso2230,
        StandardWord::Arp5316 => Standard::Arp5316,
    };
    let (rubber, cured, on) = (asked.rubber, asked.cured, asked.on);
    calc::shelf_life::shelf_life(&calc::shelf_life::ShelfLifeAsked { rubber, cured, standard, on })
}

fn type_size(asked: TypeSize) -> Result<Working, Refusal> {
    let (distance, cap_height, code) = (asked.distance, asked.cap_height, asked.code);
    calc::type_size::type_size(&calc::type_size::TypeSizeAsked { distance, cap_height, code })
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

fn tool(tool: Tool) -> calc::tool::ToolGiven {
    calc::tool::ToolGiven { class: tool.tool_class, deviation: tool.tool_deviation }
}

fn refused(refusal: Refusal) -> Failure {
    let failure = Failure::new(Exit::Usage, refusal.message);
    if refusal.hint.is_empty() { failure } else { failure.hint(refusal.hint) }
}
