//! One user of an open folder at a time: a lock that the platform takes back by itself when its holder ends.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{Read as _, Write as _};
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant, SystemTime};

/// How long another holder is waited for.
const PATIENCE: Duration = Duration::from_secs(5);
const PAUSE: Duration = Duration::from_millis(10);

/// The lock; given back when it is dropped.
#[derive(Debug)]
pub struct Lock {
    /// None where the disk knows no locks (some network shares); one reference that moves still keeps states apart.
    _file: Option<File>,
}

/// Why there is no lock.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LockError {
    /// Somebody else has held it for all that time.
    #[error("another matchmark ({holder}) is working in this binder and has not ended for {seconds} seconds")]
    Held {
        /// Who, as far as it is known.
        holder: String,
        /// How long was waited.
        seconds: u64,
    },
    /// The platform refused.
    #[error("cannot write `{}`: {reason}", .path.display())]
    Refused {
        /// The file.
        path: PathBuf,
        /// What the platform said.
        reason: String,
    },
}

/// Takes the lock at `path`, and waits some seconds for another holder.
///
/// # Errors
/// A [`LockError`].
pub fn take(path: &Path) -> Result<Lock, LockError> {
    take_within(path, PATIENCE)
}

fn take_within(path: &Path, patience: Duration) -> Result<Lock, LockError> {
    let refused = |error: std::io::Error| LockError::Refused { path: path.to_owned(), reason: error.to_string() };
    let mut file =
        OpenOptions::new().create(true).truncate(false).read(true).write(true).open(path).map_err(refused)?;
    let begun = Instant::now();
    loop {
        match file.try_lock() {
            Ok(()) => break,
            Err(TryLockError::WouldBlock) if begun.elapsed() < patience => thread::sleep(PAUSE),
            Err(TryLockError::WouldBlock) => {
                let mut holder = String::new();
                let _ = file.take(200).read_to_string(&mut holder);
                let holder = if holder.trim().is_empty() { "unknown" } else { holder.trim() }.to_owned();
                return Err(LockError::Held { holder, seconds: patience.as_secs() });
            }
            Err(TryLockError::Error(_)) => return Ok(Lock { _file: None }),
        }
    }
    // Who holds it is a courtesy: where it cannot be written, the lock holds all the same.
    let _ = file.set_len(0);
    let _ = write!(file, "process {} on {}", std::process::id(), computer());
    Ok(Lock { _file: Some(file) })
}

fn computer() -> String {
    let named = ["HOSTNAME", "COMPUTERNAME"].iter().find_map(|name| std::env::var(name).ok());
    let named = named.or_else(|| fs::read_to_string("/proc/sys/kernel/hostname").ok());
    named.map_or_else(|| "this computer".to_owned(), |name| name.trim().to_owned())
}

/// Returns for how long a file has been there, in words; none where that cannot be told.
#[must_use]
pub fn age(path: &Path) -> Option<String> {
    let changed = fs::metadata(path).ok()?.modified().ok()?;
    let seconds = SystemTime::now().duration_since(changed).ok()?.as_secs();
    Some(match seconds {
        0..120 => format!("{seconds} seconds"),
        120..7200 => format!("{} minutes", seconds / 60),
        7200..172_800 => format!("{} hours", seconds / 3600),
        _ => format!("{} days", seconds / 86400),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_second_is_told_who_the_first_is() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("lock");
        let first = take(&path).unwrap();
        let error = take_within(&path, Duration::from_millis(30)).unwrap_err().to_string();
        assert!(error.contains(&format!("process {}", std::process::id())), "{error}");
        drop(first);
        take_within(&path, Duration::from_millis(30)).unwrap();
        let missing = folder.path().join("none/lock");
        assert!(matches!(take(&missing), Err(LockError::Refused { .. })));
        assert_eq!(age(&path).as_deref(), Some("0 seconds"));
    }
}
