//! Writes a build's outputs as a whole or not at all; it does not know what an output is, only its path and bytes.
//!
//! Everything is first written into a staging folder beside its place. Only when all of it is there is it moved into
//! place, and what is replaced is kept until the last move has succeeded, so that a refused move can be taken back. The
//! manifest goes last. A build that was killed in between leaves its two manifests under hidden names; the next build
//! reads both, so that it still knows every file it may remove.

use crate::base::path::BinderPath;
use crate::workspace::outputs_error::OutputError as Error;
use crate::workspace::root;
use serde::Deserialize;
use sha2::{Digest as _, Sha256};
use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File};
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

pub use crate::workspace::outputs_error::OutputError;

/// The manifest's name.
pub const MANIFEST: &str = "manifest.json";
/// The first member of a manifest, by which a folder is known to have been written by this program.
pub const MARKER: &str = "\"written-by\": \"matchmark\"";

/// The manifest that was in force when a build began to move its files.
const BEFORE: &str = ".manifest-before.json";
/// The manifest of that build.
const NEXT: &str = ".manifest-next.json";
/// Held open and locked by the build that writes.
const LOCK: &str = ".lock";
/// How staging folders begin; the process's number follows.
const STAGING: &str = ".staging-";
/// The largest manifest that is read back: far more than the outputs of the largest binder.
const MANIFEST_BYTES: u64 = 256 << 20;

/// What a manifest says of one output.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct Recorded {
    /// Its path below the output folder.
    pub path: String,
    /// SHA-256 of its bytes, in hex.
    pub sha256: String,
    /// Digest of everything it was made of.
    pub key: String,
}

/// The outputs of one build on their way to the disk.
///
/// Dropped without [`Outputs::commit`], it takes its staging folder away and the last good outputs stay as they are.
#[derive(Debug)]
pub struct Outputs {
    out: PathBuf,
    staging: PathBuf,
    made_out: bool,
    before: BTreeMap<String, Recorded>,
    taken: Mutex<Taken>,
    /// Locked as long as it is open.
    _lock: Option<File>,
}

/// The paths this build has spoken for.
#[derive(Debug, Default)]
struct Taken {
    written: BTreeSet<BinderPath>,
    kept: BTreeSet<BinderPath>,
    folded: BTreeSet<String>,
}

/// What a commit did to the output folder.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Committed {
    /// How many outputs were written.
    pub written: usize,
    /// How many were left untouched because they had not changed.
    pub kept: usize,
    /// Outputs of the last build that this one no longer makes, and that are gone.
    pub removed: Vec<BinderPath>,
}

/// Returns whether a folder was written by this program, finished or not.
#[must_use]
pub fn is_ours(folder: &Path) -> bool {
    [MANIFEST, BEFORE, NEXT].into_iter().any(|name| is_manifest(&folder.join(name)))
}

impl Outputs {
    /// Returns a writer into the folder `out` for the binder in `binder`; makes the folder where it is missing.
    ///
    /// # Errors
    /// An [`OutputError`] where the folder holds anything else or the binder, or cannot be written.
    pub fn begin(out: &Path, binder: &Path) -> Result<Self, OutputError> {
        if real(binder).starts_with(real(out)) {
            return Err(Error::HoldsBinder(out.to_owned()));
        }
        let made_out = !out.exists();
        if !made_out && !is_ours(out) && !is_empty(out)? {
            return Err(Error::Foreign(out.to_owned()));
        }
        fs::create_dir_all(out).map_err(|error| Error::refused("make the folder", out, &error))?;
        let lock = lock(out)?;
        clear_dead(out)?;
        let staging = out.join(format!("{STAGING}{}", std::process::id()));
        fs::create_dir(&staging).map_err(|error| Error::refused("make the folder", &staging, &error))?;
        let before = recorded(out);
        let taken = Mutex::new(Taken::default());
        Ok(Self { out: out.to_owned(), staging, made_out, before, taken, _lock: lock })
    }

    /// Returns what the last build recorded of the output at `path`.
    #[must_use]
    pub fn before(&self, path: &BinderPath) -> Option<&Recorded> {
        self.before.get(path.as_str())
    }

    /// Keeps the output at `path` untouched if the last build made it out of the same `key` and nobody has changed it
    /// since, and returns its digest then; none if it has to be written.
    ///
    /// # Errors
    /// [`OutputError::Twice`] where another output has the same name.
    pub fn keep(&self, path: &BinderPath, key: &str) -> Result<Option<String>, OutputError> {
        let Some(recorded) = self.before(path).filter(|recorded| recorded.key == key) else { return Ok(None) };
        if digest_of(&place(&self.out, path)).as_ref() != Some(&recorded.sha256) {
            return Ok(None);
        }
        self.speak_for(path)?.kept.insert(path.clone());
        Ok(Some(recorded.sha256.clone()))
    }

    /// Writes an output into the staging folder and returns the SHA-256 of its bytes; may be called from several threads.
    ///
    /// # Errors
    /// An [`OutputError`] where the disk refuses, or where another output has the same name.
    pub fn write(&self, path: &BinderPath, bytes: &[u8]) -> Result<String, OutputError> {
        self.speak_for(path)?.written.insert(path.clone());
        let staged = place(&self.staging, path);
        make_folder_of(&staged)?;
        // The message names the place the reader knows, not the staged one.
        fs::write(&staged, bytes).map_err(|error| Error::refused("write", &place(&self.out, path), &error))?;
        Ok(data_encoding::HEXLOWER.encode(&Sha256::digest(bytes)))
    }

    /// Moves everything into place, removes what only the last build made, and writes the manifest last.
    ///
    /// # Errors
    /// An [`OutputError`] where a file cannot be replaced; then nothing has changed.
    pub fn commit(self, manifest: &[u8]) -> Result<Committed, OutputError> {
        debug_assert!(begins_with_marker(manifest), "a manifest begins with the marker");
        let taken = std::mem::take(&mut *self.taken());
        let stale: Vec<BinderPath> = self.stale(&taken);
        if taken.written.is_empty() && stale.is_empty() && self.manifest_is(manifest) {
            return Ok(Committed { kept: taken.kept.len(), ..Committed::default() });
        }
        let next = self.out.join(NEXT);
        fs::write(&next, manifest).map_err(|error| Error::refused("write", &self.out.join(MANIFEST), &error))?;
        let mut moves = Moves::new(&self.out, self.staging.join("replaced"));
        if let Err(error) = self.move_all(&mut moves, &taken, &stale) {
            moves.take_back();
            let _ = fs::remove_file(&next);
            return Err(error);
        }
        // From here on everything is in place; what follows only tidies up.
        let _ = fs::remove_file(self.out.join(BEFORE));
        remove_empty_folders(&self.out, &stale);
        Ok(Committed { written: taken.written.len(), kept: taken.kept.len(), removed: stale })
    }

    fn move_all(&self, moves: &mut Moves, taken: &Taken, stale: &[BinderPath]) -> Result<(), OutputError> {
        if self.out.join(MANIFEST).exists() {
            moves.rename(&self.out.join(MANIFEST), &self.out.join(BEFORE))?;
        }
        for path in &taken.written {
            moves.replace(&place(&self.staging, path), &place(&self.out, path))?;
        }
        for path in stale {
            moves.set_aside(&place(&self.out, path))?;
        }
        moves.rename(&self.out.join(NEXT), &self.out.join(MANIFEST))
    }

    /// Returns what only the last build made and is still there.
    fn stale(&self, taken: &Taken) -> Vec<BinderPath> {
        let paths = self.before.keys().filter_map(|path| BinderPath::parse(path).ok());
        let ours = |path: &BinderPath| !taken.folded.contains(&path.as_str().to_lowercase());
        paths.filter(ours).filter(|path| place(&self.out, path).is_file()).collect()
    }

    fn manifest_is(&self, manifest: &[u8]) -> bool {
        let left_over = [BEFORE, NEXT].into_iter().any(|name| self.out.join(name).exists());
        !left_over && fs::read(self.out.join(MANIFEST)).is_ok_and(|bytes| bytes == manifest)
    }

    /// Notes that this build makes `path`.
    fn speak_for(&self, path: &BinderPath) -> Result<MutexGuard<'_, Taken>, OutputError> {
        let mut taken = self.taken();
        if path.as_str() == MANIFEST || !taken.folded.insert(path.as_str().to_lowercase()) {
            return Err(Error::Twice(path.to_string()));
        }
        Ok(taken)
    }

    fn taken(&self) -> MutexGuard<'_, Taken> {
        // A thread that panicked left at worst a path too many, and the build fails anyway.
        self.taken.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Drop for Outputs {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.staging);
        if self.made_out && !is_ours(&self.out) {
            let _ = fs::remove_file(self.out.join(LOCK));
            // Fails, as it should, where anything is in it.
            let _ = fs::remove_dir(&self.out);
        }
    }
}

/// Moves of files that can be taken back.
struct Moves {
    out: PathBuf,
    replaced: PathBuf,
    done: Vec<(PathBuf, PathBuf)>,
    /// Folders into which something new was to go.
    folders: Vec<PathBuf>,
}

impl Moves {
    fn new(out: &Path, replaced: PathBuf) -> Self {
        Self { out: out.to_owned(), replaced, done: Vec::new(), folders: Vec::new() }
    }

    /// Moves `from` to `to`, setting aside what stood there.
    fn replace(&mut self, from: &Path, to: &Path) -> Result<(), OutputError> {
        if to.symlink_metadata().is_ok() {
            self.set_aside(to)?;
        } else {
            self.folders.extend(to.parent().map(Path::to_owned));
            make_folder_of(to)?;
        }
        self.rename(from, to)
    }

    /// Moves a file of the output folder to where replaced files wait until all is done.
    fn set_aside(&mut self, path: &Path) -> Result<(), OutputError> {
        let aside = self.replaced.join(path.strip_prefix(&self.out).unwrap_or(path));
        make_folder_of(&aside)?;
        self.rename(path, &aside)
    }

    fn rename(&mut self, from: &Path, to: &Path) -> Result<(), OutputError> {
        // The file in the way is the one the reader can do something about.
        let named = if from.starts_with(&self.out) && to.starts_with(&self.replaced) { from } else { to };
        fs::rename(from, to).map_err(|error| Error::refused("replace", named, &error))?;
        self.done.push((from.to_owned(), to.to_owned()));
        Ok(())
    }

    fn take_back(&mut self) {
        for (from, to) in self.done.drain(..).rev() {
            let _ = fs::rename(to, from);
        }
        for folder in self.folders.drain(..) {
            let below = folder.ancestors().take_while(|one| *one != self.out);
            // Stops at the first folder that holds anything, which was there before.
            let _ = below.take_while(|one| fs::remove_dir(one).is_ok()).count();
        }
    }
}

/// Returns where `path` stands below `folder`, joined part by part so that any platform takes it.
fn place(folder: &Path, path: &BinderPath) -> PathBuf {
    path.as_str().split('/').fold(folder.to_owned(), |place, part| place.join(part))
}

fn make_folder_of(file: &Path) -> Result<(), OutputError> {
    let folder = file.parent().expect("an output has a folder");
    fs::create_dir_all(folder).map_err(|error| Error::refused("make the folder", folder, &error))
}

/// Returns the folder with links resolved as far as it exists.
fn real(folder: &Path) -> PathBuf {
    let whole = root::whole(folder);
    let existing = whole.ancestors().find(|one| one.exists()).unwrap_or(&whole);
    let rest = whole.strip_prefix(existing).unwrap_or(Path::new(""));
    fs::canonicalize(existing).map_or_else(|_| whole.clone(), |resolved| resolved.join(rest))
}

/// Returns whether a folder holds nothing but what a build of this program leaves behind when it is killed.
fn is_empty(folder: &Path) -> Result<bool, OutputError> {
    let entries = fs::read_dir(folder).map_err(|error| Error::refused("read", folder, &error))?;
    let ours = |name: &str| name == LOCK || name.starts_with(STAGING);
    Ok(entries.filter_map(Result::ok).all(|entry| entry.file_name().to_str().is_some_and(ours)))
}

/// Returns the lock on the output folder; none where the disk knows no locks (some network shares).
fn lock(out: &Path) -> Result<Option<File>, OutputError> {
    let path = out.join(LOCK);
    let file = File::create(&path).map_err(|error| Error::refused("write into", out, &error))?;
    match file.try_lock() {
        Ok(()) => Ok(Some(file)),
        Err(fs::TryLockError::WouldBlock) => Err(Error::Busy(out.to_owned())),
        Err(fs::TryLockError::Error(_)) => Ok(None),
    }
}

/// Takes away the staging folders of builds that were killed; the lock says that none of them is alive.
fn clear_dead(out: &Path) -> Result<(), OutputError> {
    let entries = fs::read_dir(out).map_err(|error| Error::refused("read", out, &error))?;
    for entry in entries.filter_map(Result::ok) {
        if entry.file_name().to_str().is_some_and(|name| name.starts_with(STAGING)) {
            let path = entry.path();
            fs::remove_dir_all(&path).map_err(|error| Error::refused("remove", &path, &error))?;
        }
    }
    Ok(())
}

/// The part of a manifest that this room reads.
#[derive(Deserialize)]
struct Manifest {
    outputs: Vec<Recorded>,
}

/// Returns what the manifests in `out` record, the newest last and therefore first in weight.
fn recorded(out: &Path) -> BTreeMap<String, Recorded> {
    let manifests = [BEFORE, MANIFEST, NEXT].into_iter().filter_map(|name| {
        let path = out.join(name);
        if !is_manifest(&path) {
            return None;
        }
        let mut bytes = Vec::new();
        File::open(path).ok()?.take(MANIFEST_BYTES).read_to_end(&mut bytes).ok()?;
        serde_json::from_slice::<Manifest>(&bytes).ok()
    });
    manifests.flat_map(|manifest| manifest.outputs).map(|output| (output.path.clone(), output)).collect()
}

fn is_manifest(path: &Path) -> bool {
    let mut head = Vec::new();
    let read = File::open(path).and_then(|file| file.take(80).read_to_end(&mut head));
    read.is_ok() && begins_with_marker(&head)
}

fn begins_with_marker(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(&bytes[..bytes.len().min(80)]);
    text.trim_start().strip_prefix('{').is_some_and(|rest| rest.trim_start().starts_with(MARKER))
}

/// Returns the SHA-256 of a file in hex, read piece by piece; none where it cannot be read.
fn digest_of(path: &Path) -> Option<String> {
    let mut file = File::open(path).ok()?;
    let mut hasher = Sha256::new();
    io::copy(&mut file, &mut hasher).ok()?;
    Some(data_encoding::HEXLOWER.encode(&hasher.finalize()))
}

/// Takes away the folders that removed outputs have left empty.
fn remove_empty_folders(out: &Path, removed: &[BinderPath]) {
    for path in removed {
        let mut folder = path.folder();
        while !folder.as_str().is_empty() && fs::remove_dir(place(out, &folder)).is_ok() {
            folder = folder.folder();
        }
    }
}

#[cfg(test)]
#[path = "outputs_tests.rs"]
mod tests;
