//! `key`: a key of one's own, made once and kept outside of every binder.

use crate::cli::commands::hand::phrase_in;
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::cli::trust_arguments::Key;
use crate::task::keys;
use crate::workspace::named_file;
use std::io::Write as _;

/// The shortest passphrase that is taken; common practice, no source.
const SHORTEST: usize = 8;

pub(super) fn run(asked: &Key, io: &mut Io) -> Result<Exit, Failure> {
    match asked {
        Key::New { id, no_passphrase, passphrase_file } => {
            let home = io.home()?;
            let phrase = match (no_passphrase, passphrase_file) {
                (true, _) => None,
                (false, Some(file)) => Some(phrase_in(io, file)?),
                (false, None) => Some(chosen(io)?),
            };
            if phrase.as_ref().is_some_and(|phrase| phrase.chars().count() < SHORTEST) {
                let told = format!("a passphrase has {SHORTEST} characters or more; nothing was made");
                return Err(Failure::new(Exit::Usage, told));
            }
            let (path, public) = keys::make(&home, id, phrase.as_ref().map(String::as_bytes))?;
            writeln!(io.out, "{public}")?;
            io.out.flush()?;
            writeln!(
                io.err,
                "Your private key is in `{}`: give it to nobody, and keep a copy in a safe place.",
                path.display()
            )?;
            writeln!(io.err, "The line above is its public half: it goes into `people.yaml`, behind `keys:`.")?;
            Ok(Exit::Clean)
        }
        Key::Show => show(io),
    }
}

fn chosen(io: &mut Io) -> Result<String, Failure> {
    if !io.is_asked() {
        return Err(Failure::new(Exit::Usage, "nobody can be asked for a passphrase")
            .hint("`--passphrase-file` names a file with it; `--no-passphrase` makes a key that anybody with the file can use"));
    }
    let first = io.ask_secret("a passphrase for your key (8 characters or more): ")?.unwrap_or_default();
    let again = io.ask_secret("the same once more: ")?.unwrap_or_default();
    if first == again {
        Ok(first)
    } else {
        Err(Failure::new(Exit::Usage, "the two are not the same; nothing was made"))
    }
}

fn show(io: &mut Io) -> Result<Exit, Failure> {
    let home = io.home()?;
    let names = home.keys();
    if names.is_empty() {
        return Err(keys::KeyError::None.into());
    }
    for name in names {
        match named_file::read(&home.key(&name).with_extension("pub")) {
            Ok(bytes) => write!(io.out, "{}", String::from_utf8_lossy(&bytes))?,
            Err(error) => writeln!(io.err, "{error}")?,
        }
    }
    Ok(Exit::Clean)
}
