//! A binder on a disk: lists and reads it within limits, follows no link, and never takes the program's own outputs for source.

use crate::base::date::Date;
use crate::base::limits::{FILES, FOLDERS};
use crate::base::path::{BinderPath, is_protected};
use crate::base::twins;
use crate::model::world::{Listing, Refusal, Refused, World, WorldError};
use crate::workspace::{clock, outputs};
use std::fs::{self, File};
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};

/// A binder in a folder.
#[derive(Clone, Debug)]
pub struct Disk {
    root: PathBuf,
}

impl Disk {
    /// Returns the binder in the folder `root`.
    ///
    /// # Errors
    /// A [`WorldError`] where there is no such folder.
    pub fn open(root: &Path) -> Result<Self, WorldError> {
        match fs::metadata(root) {
            Ok(found) if found.is_dir() => Ok(Self { root: root.to_owned() }),
            Ok(_) => Err(unreadable(&root.display().to_string(), "it is not a folder")),
            Err(error) => Err(refused_by_platform(&root.display().to_string(), &error)),
        }
    }

    /// Returns the folder.
    #[must_use]
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// Returns the place of `path` on the disk, where no part of the way there is a link.
    fn without_links(&self, path: &BinderPath) -> Result<PathBuf, WorldError> {
        let mut place = self.root.clone();
        for part in path.as_str().split('/') {
            place.push(part);
            let found = fs::symlink_metadata(&place).map_err(|error| refused_by_platform(path.as_str(), &error))?;
            if found.is_symlink() {
                return Err(unreadable(path.as_str(), &Refusal::Link.to_string()));
            }
        }
        Ok(place)
    }
}

impl Disk {
    /// Opens a plain file and returns it with its length. A pipe or a device would block or never end.
    fn plain_file(&self, path: &BinderPath) -> Result<(File, u64), WorldError> {
        let failed = |error: io::Error| refused_by_platform(path.as_str(), &error);
        let place = self.without_links(path)?;
        let found = fs::symlink_metadata(&place).map_err(failed)?;
        if !found.is_file() {
            return Err(unreadable(path.as_str(), "it is not a file"));
        }
        Ok((File::open(&place).map_err(failed)?, found.len()))
    }
}

fn first_bytes(path: &BinderPath, file: File, most: u64) -> Result<Vec<u8>, WorldError> {
    let mut bytes = Vec::new();
    let read = file.take(most).read_to_end(&mut bytes);
    read.map(|_| bytes).map_err(|error| refused_by_platform(path.as_str(), &error))
}

impl World for Disk {
    fn list(&self) -> Result<Listing, WorldError> {
        let top = entries(&self.root).map_err(|error| refused_by_platform(&self.root.display().to_string(), &error))?;
        let mut walk = Walk { listing: Listing::default(), room: FILES };
        walk.folder("", &top, 0);
        walk.listing.files.sort();
        walk.listing.refused.sort();
        Ok(walk.listing)
    }

    fn read(&self, path: &BinderPath, most: u64) -> Result<Vec<u8>, WorldError> {
        let (file, length) = self.plain_file(path)?;
        let too_large = || WorldError::TooLarge { path: path.to_string(), limit: most };
        if length > most {
            return Err(too_large());
        }
        // The file may grow while it is read; one byte more than allowed is enough to know.
        let bytes = first_bytes(path, file, most.saturating_add(1))?;
        if bytes.len() as u64 > most {
            return Err(too_large());
        }
        Ok(bytes)
    }

    fn head(&self, path: &BinderPath, most: u64) -> Result<Vec<u8>, WorldError> {
        let (file, _) = self.plain_file(path)?;
        first_bytes(path, file, most)
    }

    fn today(&self) -> Result<Date, WorldError> {
        clock::today()
    }
}

/// One name in a folder.
struct Entry {
    /// The name, with what is not text replaced.
    name: String,
    /// Where it is on the disk.
    place: PathBuf,
    kind: Kind,
}

/// What stands behind a name.
#[derive(Clone, Copy)]
enum Kind {
    File,
    Folder,
    Refused(Refusal),
}

/// Returns the entries of a folder in the byte order of their names, without hidden ones.
fn entries(folder: &Path) -> io::Result<Vec<Entry>> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        // One more than the limit is enough to know that there are too many.
        if found.len() > FILES {
            break;
        }
        let name = entry.file_name();
        let place = entry.path();
        let kind = match (name.to_str(), entry.file_type()) {
            (Some(name), _) if name.starts_with('.') => continue,
            (None, _) => Kind::Refused(Refusal::Name),
            (_, Err(_)) => Kind::Refused(Refusal::Unreadable),
            (_, Ok(kind)) if kind.is_symlink() => Kind::Refused(Refusal::Link),
            (_, Ok(kind)) if kind.is_dir() => Kind::Folder,
            (_, Ok(kind)) if kind.is_file() => Kind::File,
            (_, Ok(_)) => Kind::Refused(Refusal::Special),
        };
        found.push(Entry { name: name.to_string_lossy().into_owned(), place, kind });
    }
    found.sort_by(|a, b| (&a.name, &a.place).cmp(&(&b.name, &b.place)));
    Ok(found)
}

/// A walk through the folders, with the number of names it may still take in.
struct Walk {
    listing: Listing,
    room: usize,
}

impl Walk {
    /// Takes in the entries of the folder called `within`, which lies `depth` folders below the root.
    fn folder(&mut self, within: &str, entries: &[Entry], depth: usize) {
        let twins = twins::of(entries.iter().map(|entry| entry.name.as_str()));
        for entry in entries {
            let name = if within.is_empty() { entry.name.clone() } else { format!("{within}/{}", entry.name) };
            if self.room == 0 {
                // Said once, at the first name that found no room; the rest would only repeat it.
                if self.listing.refused.last().is_none_or(|last| last.why != Refusal::TooMany) {
                    self.refuse(name, Refusal::TooMany);
                }
                return;
            }
            self.room -= 1;
            match (entry.kind, BinderPath::parse(&name)) {
                (Kind::Refused(why), _) => self.refuse(name, why),
                (_, Err(_)) => self.refuse(name, Refusal::Name),
                (Kind::Folder, Ok(_)) if is_not_source(&entry.place) => {}
                (Kind::Folder, Ok(_)) if within.is_empty() && is_protected(&format!("{name}/")) => {}
                (_, Ok(_)) if twins.contains(entry.name.as_str()) => self.refuse(name, Refusal::CaseTwin),
                (Kind::File, Ok(path)) => self.listing.files.push(path),
                (Kind::Folder, Ok(_)) if depth == FOLDERS => self.refuse(name, Refusal::Depth),
                (Kind::Folder, Ok(_)) => match self::entries(&entry.place) {
                    Ok(inner) => self.folder(&name, &inner, depth + 1),
                    Err(_) => self.refuse(name, Refusal::Unreadable),
                },
            }
        }
    }

    fn refuse(&mut self, name: String, why: Refusal) {
        self.listing.refused.push(Refused { name, why });
    }
}

/// Returns whether a folder is known to hold no source: outputs of this program, or a cache marked as one
/// (`CACHEDIR.TAG`, the public cache directory tagging convention; a build of the program itself has it).
fn is_not_source(folder: &Path) -> bool {
    outputs::is_ours(folder) || folder.join("CACHEDIR.TAG").is_file()
}

fn unreadable(path: &str, reason: &str) -> WorldError {
    WorldError::Unreadable { path: path.to_owned(), reason: reason.to_owned() }
}

fn refused_by_platform(path: &str, error: &io::Error) -> WorldError {
    match error.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => WorldError::Missing(path.to_owned()),
        io::ErrorKind::PermissionDenied => unreadable(path, "permission denied"),
        _ => unreadable(path, &error.to_string()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Instant;

    fn folder_with(files: &[(&str, &str)]) -> tempfile::TempDir {
        let folder = tempfile::tempdir().unwrap();
        for (name, text) in files {
            let place = folder.path().join(name);
            fs::create_dir_all(place.parent().unwrap()).unwrap();
            fs::write(place, text).unwrap();
        }
        folder
    }

    fn listing(folder: &Path) -> Listing {
        Disk::open(folder).unwrap().list().unwrap()
    }

    fn names(listing: &Listing) -> Vec<&str> {
        listing.files.iter().map(BinderPath::as_str).collect()
    }

    fn refusals(listing: &Listing) -> Vec<(&str, Refusal)> {
        listing.refused.iter().map(|refused| (refused.name.as_str(), refused.why)).collect()
    }

    #[test]
    fn the_order_is_that_of_the_whole_paths() {
        let folder = folder_with(&[("a/z.md", ""), ("a-b.md", ""), ("a.md", ""), ("Z.md", "")]);
        // `-` and `.` sort before `/`, so a folder's files do not simply follow its name.
        assert_eq!(names(&listing(folder.path())), ["Z.md", "a-b.md", "a.md", "a/z.md"]);
    }

    #[test]
    fn hidden_names_outputs_and_caches_are_no_source() {
        let manifest = format!("{{\n  {},\n  \"schema\": 1\n}}\n", outputs::MARKER);
        let folder = folder_with(&[
            ("binder.yaml", ""),
            (".hidden/x.md", ""),
            (".x.md", ""),
            ("out/manifest.json", manifest.as_str()),
            ("out/packets/x.md", ""),
            ("target/CACHEDIR.TAG", ""),
            ("target/x.md", ""),
            ("theirs/manifest.json", "{}"),
            ("ledger/000/000001.record", ""),
            ("Trust/x.md", ""),
        ]);
        let listing = listing(folder.path());
        assert_eq!(names(&listing), ["binder.yaml", "theirs/manifest.json"]);
        assert_eq!(listing.refused, []);
    }

    #[cfg(unix)]
    #[test]
    fn a_loop_of_links_is_refused_and_not_followed() {
        let folder = folder_with(&[("a/x.md", "x")]);
        std::os::unix::fs::symlink("..", folder.path().join("a/up")).unwrap();
        std::os::unix::fs::symlink("x.md", folder.path().join("a/y.md")).unwrap();
        let listing = listing(folder.path());
        assert_eq!(names(&listing), ["a/x.md"]);
        assert_eq!(refusals(&listing), [("a/up", Refusal::Link), ("a/y.md", Refusal::Link)]);
        let disk = Disk::open(folder.path()).unwrap();
        for linked in ["a/y.md", "a/up/a/x.md"] {
            let error = disk.read(&BinderPath::parse(linked).unwrap(), 10).unwrap_err();
            assert!(error.to_string().contains("it is a link"), "{error}");
        }
    }

    #[cfg(target_os = "linux")]
    #[test]
    fn unusual_names_are_refused_one_by_one() {
        use std::os::unix::ffi::OsStrExt as _;
        let folder = folder_with(&[("aux.md", ""), ("q?.md", ""), ("Crib.yaml", ""), ("crib.yaml", ""), ("é.md", "")]);
        fs::write(folder.path().join(std::ffi::OsStr::from_bytes(b"\xff.md")), "").unwrap();
        let listing = listing(folder.path());
        assert_eq!(names(&listing), ["é.md"]);
        assert_eq!(
            refusals(&listing),
            [
                ("Crib.yaml", Refusal::CaseTwin),
                ("aux.md", Refusal::Name),
                ("crib.yaml", Refusal::CaseTwin),
                ("q?.md", Refusal::Name),
                ("\u{fffd}.md", Refusal::Name),
            ]
        );
    }

    #[cfg(unix)]
    #[test]
    fn a_socket_is_no_file_and_is_never_opened() {
        let folder = folder_with(&[("x.md", "")]);
        let _socket = std::os::unix::net::UnixListener::bind(folder.path().join("s.md")).unwrap();
        assert_eq!(refusals(&listing(folder.path())), [("s.md", Refusal::Special)]);
        let error = Disk::open(folder.path()).unwrap().read(&BinderPath::parse("s.md").unwrap(), 10).unwrap_err();
        assert_eq!(error.to_string(), "`s.md` cannot be read: it is not a file");
    }

    #[test]
    fn folders_nest_only_so_deep() {
        let deep = format!("{}x.md", "d/".repeat(FOLDERS));
        let folder = folder_with(&[(&deep, ""), (&format!("{}e/y.md", "d/".repeat(FOLDERS)), "")]);
        let listing = listing(folder.path());
        assert_eq!(names(&listing), [deep.as_str()]);
        assert_eq!(refusals(&listing), [(format!("{}e", "d/".repeat(FOLDERS)).as_str(), Refusal::Depth)]);
    }

    #[test]
    fn more_files_than_the_limit_are_said_once() {
        let entries: Vec<Entry> = (0..FILES + 10)
            .map(|n| Entry { name: format!("{n:06}.md"), place: PathBuf::new(), kind: Kind::File })
            .collect();
        let mut walk = Walk { listing: Listing::default(), room: FILES };
        walk.folder("", &entries, 0);
        walk.folder("other", &entries, 0);
        assert_eq!(walk.listing.files.len(), FILES);
        assert_eq!(refusals(&walk.listing), [(format!("{FILES:06}.md").as_str(), Refusal::TooMany)]);
    }

    #[test]
    fn a_file_of_100_megabytes_is_refused_without_reading_it() {
        let folder = folder_with(&[]);
        File::create(folder.path().join("big.md")).unwrap().set_len(100 << 20).unwrap();
        let disk = Disk::open(folder.path()).unwrap();
        let started = Instant::now();
        let error = disk.read(&BinderPath::parse("big.md").unwrap(), 1 << 20).unwrap_err();
        assert_eq!(error, WorldError::TooLarge { path: "big.md".to_owned(), limit: 1 << 20 });
        assert!(started.elapsed().as_millis() < 50, "it was read: {:?}", started.elapsed());
    }

    #[test]
    fn what_is_not_there_is_said_to_be_missing() {
        let folder = folder_with(&[("x.md", "abc")]);
        let disk = Disk::open(folder.path()).unwrap();
        assert_eq!(disk.read(&BinderPath::parse("x.md").unwrap(), 3), Ok(b"abc".to_vec()));
        let missing = |name: &str| disk.read(&BinderPath::parse(name).unwrap(), 3).unwrap_err();
        assert_eq!(missing("y.md"), WorldError::Missing("y.md".to_owned()));
        assert_eq!(missing("x.md/y.md"), WorldError::Missing("x.md/y.md".to_owned()));
        assert!(matches!(Disk::open(&folder.path().join("none")), Err(WorldError::Missing(_))));
        assert!(matches!(Disk::open(&folder.path().join("x.md")), Err(WorldError::Unreadable { .. })));
    }
}
