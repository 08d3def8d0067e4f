//! A person's private key: made, found and opened; it asks nobody and knows no role.

use crate::trust::key::{Chance, KeyFault, PublicKey, SigningKey};
use crate::trust::word::{Person, WordFault};
use crate::workspace::chance::{self, NoChance};
use crate::workspace::home::Home;
use crate::workspace::named_file::{self, NamedFileError};
use std::path::{Path, PathBuf};

/// Why there is no key to sign with.
#[derive(Debug, thiserror::Error)]
pub enum KeyError {
    /// None is kept, and none was named.
    #[error("you have no key yet")]
    None,
    /// Several are kept, and none was named.
    #[error("you have several keys ({})", .0.join(", "))]
    Several(Vec<String>),
    /// A name that cannot be a key's.
    #[error(transparent)]
    Word(#[from] WordFault),
    /// The file.
    #[error(transparent)]
    File(#[from] NamedFileError),
    /// The operating system.
    #[error(transparent)]
    Chance(#[from] NoChance),
    /// What is in the file.
    #[error("the key in `{}` cannot be used: {fault}", .path.display())]
    Fault {
        /// The file.
        path: PathBuf,
        /// Why.
        fault: KeyFault,
    },
}

/// A private key file, still closed.
#[derive(Debug)]
pub struct KeyFile {
    /// Where it is.
    pub path: PathBuf,
    bytes: Vec<u8>,
}

/// Chance of the operating system.
pub(crate) struct System;

impl System {
    /// Returns it, if it gives any.
    pub(crate) fn new() -> Result<Self, NoChance> {
        chance::fill(&mut [0; 32]).map(|()| Self)
    }
}

impl Chance for System {
    fn fill(&mut self, bytes: &mut [u8]) {
        chance::fill(bytes).expect("the operating system gave chance a moment ago");
    }
}

/// Makes a new key for a person and keeps it, locked where there is a passphrase; returns where, and the public half.
///
/// # Errors
/// A [`KeyError`]; nothing is ever written over.
pub fn make(home: &Home, person: &str, passphrase: Option<&[u8]>) -> Result<(PathBuf, PublicKey), KeyError> {
    let person = Person::parse(person)?;
    let mut chance = System::new()?;
    let at = |fault| KeyError::Fault { path: home.key(person.as_str()), fault };
    let key = SigningKey::new(&mut chance, person.as_str()).map_err(at)?;
    let path = match passphrase {
        Some(phrase) => {
            let file = key.to_locked_file(phrase, &mut chance).map_err(at)?;
            home.keep_key(person.as_str(), &file, &key.public_file())?
        }
        None => home.keep_key(person.as_str(), &key.to_file().map_err(at)?, &key.public_file())?,
    };
    Ok((path, key.public()))
}

/// Returns the private key file that was named, as a file or by the name under which it is kept, else the only one kept.
///
/// # Errors
/// A [`KeyError`] where there is none, or nobody can say which.
pub fn find(home: &Home, named: Option<&Path>) -> Result<KeyFile, KeyError> {
    let path = match named {
        Some(named) => {
            let kept = home.keys();
            let short = named.to_str().filter(|name| kept.iter().any(|own| own == name));
            short.map_or_else(|| named.to_owned(), |name| home.key(name))
        }
        None => match &home.keys()[..] {
            [] => return Err(KeyError::None),
            [only] => home.key(only),
            several => return Err(KeyError::Several(several.to_vec())),
        },
    };
    Ok(KeyFile { bytes: named_file::read(&path)?, path })
}

impl KeyFile {
    /// Opens the key.
    ///
    /// # Errors
    /// The [`KeyFault`]: the passphrase is missing or wrong, or it is no key of the one kind.
    pub fn open(&self, passphrase: Option<&[u8]>) -> Result<SigningKey, KeyFault> {
        SigningKey::open(&self.bytes, passphrase)
    }
}
