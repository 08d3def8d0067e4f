//! Loose objects, looked at before libgit2 is let near them: it never returns from one that is cut off; it reads no pack.
//!
//! [`Loose::sound`] is the one check. An object that is asked for by name is checked by itself; where libgit2 chooses what it
//! reads, all of them are ([`Loose::all_sound`]).

use crate::history::error::HistoryError;
use flate2::bufread::ZlibDecoder;
use git2::{ObjectType, Oid, Repository};
use rayon::iter::{IntoParallelRefIterator as _, ParallelIterator as _};
use std::fs::{self, File};
use std::io::{self, BufRead as _, BufReader, Read};
use std::path::{Path, PathBuf};

/// The largest object that is taken in whole.
const MOST_BYTES: u64 = 256 << 20;
/// The longest first words of an object: its kind and its length.
const HEAD: u64 = 40;

/// The folder of a repository's loose objects.
pub(super) struct Loose {
    folder: PathBuf,
}

/// An object that begins as it should.
struct Begun {
    kind: ObjectType,
    length: u64,
    rest: BufReader<ZlibDecoder<BufReader<File>>>,
}

impl Loose {
    pub(super) fn of(git: &Repository) -> Self {
        Self { folder: git.commondir().join("objects") }
    }

    /// Returns a loose object with its kind, if it is whole and the one that its name says; none where it is not loose.
    pub(super) fn read(&self, id: Oid) -> Result<Option<(ObjectType, Vec<u8>)>, HistoryError> {
        let Some(mut begun) = self.begin(id)? else { return Ok(None) };
        if begun.length > MOST_BYTES {
            return Err(damaged(id, "it is larger than anything the program writes"));
        }
        let mut bytes = Vec::with_capacity(usize::try_from(begun.length).unwrap_or_default() + 1);
        begun.rest.by_ref().take(begun.length + 1).read_to_end(&mut bytes).map_err(|error| cut_off(id, &error))?;
        if bytes.len() as u64 != begun.length {
            return Err(damaged(id, "its length is another"));
        }
        match Oid::hash_object(begun.kind, &bytes) {
            Ok(found) if found == id => Ok(Some((begun.kind, bytes))),
            _ => Err(damaged(id, "its bytes are others")),
        }
    }

    /// Checks that an object which libgit2 is about to read is whole, if it is loose; what else is wrong libgit2 says itself.
    pub(super) fn sound(&self, id: Oid) -> Result<(), HistoryError> {
        let Some(mut begun) = self.begin(id)? else { return Ok(()) };
        let length = io::copy(&mut begun.rest.by_ref().take(begun.length + 1), &mut io::sink());
        match length {
            Ok(length) if length == begun.length => Ok(()),
            Ok(_) => Err(damaged(id, "its length is another")),
            Err(error) => Err(cut_off(id, &error)),
        }
    }

    /// Checks every loose object, before libgit2 chooses by itself which of them it reads.
    ///
    /// Where several are damaged, the first by name is told.
    pub(super) fn all_sound(&self) -> Result<(), HistoryError> {
        let ids = self.ids();
        let faults: Vec<(Oid, HistoryError)> =
            ids.par_iter().filter_map(|id| self.sound(*id).err().map(|fault| (*id, fault))).collect();
        faults.into_iter().min_by_key(|(id, _)| *id).map_or(Ok(()), |(_, fault)| Err(fault))
    }

    /// Returns the names of all loose objects.
    #[expect(clippy::disallowed_methods, reason = "loose objects are looked at before libgit2 reads them")]
    fn ids(&self) -> Vec<Oid> {
        let names = |folder: &Path| {
            let entries = fs::read_dir(folder).into_iter().flatten().flatten();
            entries.filter_map(|entry| entry.file_name().into_string().ok())
        };
        let is_hex = |name: &str| name.bytes().all(|byte| byte.is_ascii_hexdigit());
        let mut ids = Vec::new();
        for start in names(&self.folder).filter(|name| name.len() == 2 && is_hex(name)) {
            let ends = names(&self.folder.join(&start)).filter(|name| name.len() == 38 && is_hex(name));
            ids.extend(ends.filter_map(|end| Oid::from_str(&format!("{start}{end}")).ok()));
        }
        ids
    }

    #[expect(clippy::disallowed_methods, reason = "a loose object is looked at before libgit2 reads it")]
    fn begin(&self, id: Oid) -> Result<Option<Begun>, HistoryError> {
        let name = id.to_string();
        let path = self.folder.join(&name[..2]).join(&name[2..]);
        let Ok(found) = path.symlink_metadata() else { return Ok(None) };
        // A pipe or a device would block or never end.
        if !found.is_file() {
            return Err(damaged(id, "it is no file"));
        }
        let file = File::open(&path).map_err(|error| damaged(id, &error.to_string()))?;
        let mut rest = BufReader::new(ZlibDecoder::new(BufReader::new(file)));
        let mut head = Vec::new();
        rest.by_ref().take(HEAD).read_until(0, &mut head).map_err(|error| cut_off(id, &error))?;
        let text = head.strip_suffix(b"\0").and_then(|head| std::str::from_utf8(head).ok());
        let (kind, length) =
            text.and_then(|text| text.split_once(' ')).ok_or_else(|| damaged(id, "it does not begin as objects do"))?;
        match (ObjectType::from_str(kind), length.parse()) {
            (Some(kind), Ok(length)) => Ok(Some(Begun { kind, length, rest })),
            _ => Err(damaged(id, "it does not begin as objects do")),
        }
    }
}

fn cut_off(id: Oid, error: &io::Error) -> HistoryError {
    HistoryError::Incomplete(format!("the object {id} was cut off ({error})"))
}

fn damaged(id: Oid, why: &str) -> HistoryError {
    HistoryError::Incomplete(format!("the object {id} is damaged ({why})"))
}

#[cfg(test)]
mod tests {
    #![expect(clippy::disallowed_methods, reason = "the test damages a file")]
    use super::*;

    #[test]
    fn what_is_cut_off_is_found() {
        let folder = tempfile::tempdir().unwrap();
        let git = Repository::init_bare(folder.path()).unwrap();
        let id = git.blob(b"hello").unwrap();
        let loose = Loose::of(&git);
        assert!(loose.sound(id).is_ok() && loose.all_sound().is_ok());
        let path = loose.folder.join(&id.to_string()[..2]).join(&id.to_string()[2..]);
        let whole = fs::read(&path).unwrap();
        fs::remove_file(&path).unwrap();
        for length in 0..whole.len() {
            fs::write(&path, &whole[..length]).unwrap();
            let fault = loose.all_sound().unwrap_err().to_string();
            assert!(fault.contains(&id.to_string()), "{length}: {fault}");
            assert!(loose.sound(id).is_err() && loose.read(id).is_err(), "{length}");
        }
        fs::write(&path, &whole).unwrap();
        assert!(loose.all_sound().is_ok());
        assert_eq!(loose.read(id).unwrap(), Some((ObjectType::Blob, b"hello".to_vec())));
    }
}
