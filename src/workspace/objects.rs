//! The objects of a repository as files: which of them were cut off; it does not know what they hold.
//!
//! libgit2 1.9 reads an object whose file ends too early for ever: a copy that was broken off half-way would hang every command.

use rayon::iter::{IntoParallelRefIterator as _, ParallelIterator as _};
use std::fs;
use std::path::{Path, PathBuf};

/// How much of an object is looked at; what is larger is read by libgit2 in another way.
const MOST: usize = 32 << 20;

/// Returns the objects below `folder` (`.git/objects`) whose bytes end too early, or are none that git writes.
///
/// Where there are more than `most` of them, nothing is looked at and nothing is returned.
#[must_use]
pub fn cut_off(folder: &Path, most: usize) -> Vec<PathBuf> {
    let names = |folder: &Path| fs::read_dir(folder).into_iter().flatten().flatten().map(|entry| entry.path());
    let is_hex = |path: &PathBuf, length: usize| {
        let name = path.file_name().and_then(|name| name.to_str());
        name.is_some_and(|name| name.len() == length && name.bytes().all(|byte| byte.is_ascii_hexdigit()))
    };
    let folders = names(folder).filter(|path| is_hex(path, 2));
    let files: Vec<PathBuf> =
        folders.flat_map(|one| names(&one).collect::<Vec<_>>()).filter(|path| is_hex(path, 38)).collect();
    if files.len() > most {
        return Vec::new();
    }
    let mut damaged: Vec<PathBuf> = files.par_iter().filter(|path| !is_whole(path)).cloned().collect();
    damaged.sort();
    damaged
}

fn is_whole(path: &Path) -> bool {
    // What cannot be read at all libgit2 says by itself.
    let Ok(bytes) = fs::read(path) else { return true };
    use miniz_oxide::inflate::{TINFLStatus, decompress_to_vec_zlib_with_limit};
    match decompress_to_vec_zlib_with_limit(&bytes, MOST) {
        Ok(_) => true,
        Err(error) => error.status == TINFLStatus::HasMoreOutput,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_cut_off_is_found() {
        let folder = tempfile::tempdir().unwrap();
        let whole = miniz_oxide::deflate::compress_to_vec_zlib(b"blob 5\0hello", 6);
        let path = |name: &str| folder.path().join("ab").join(name);
        fs::create_dir(folder.path().join("ab")).unwrap();
        fs::write(path(&"1".repeat(38)), &whole).unwrap();
        assert!(cut_off(folder.path(), 10).is_empty());
        for length in 0..whole.len() {
            fs::write(path(&"2".repeat(38)), &whole[..length]).unwrap();
            assert_eq!(cut_off(folder.path(), 10), [path(&"2".repeat(38))], "{length}");
        }
        assert!(cut_off(folder.path(), 1).is_empty());
    }
}
