//! The schemas of the registers, handed out so that an editor can use them; it judges nothing.

use crate::base::path::BinderPath;
use crate::source::schema::FORMS;
use crate::workspace::new_files::{self, NewFilesError};
use std::path::{Path, PathBuf};

/// Returns the names of the schemas.
#[must_use]
pub fn names() -> Vec<&'static str> {
    FORMS.iter().map(|(_, name, _)| *name).collect()
}

/// Returns the text of a schema; its name may be given with its ending (`fleet.schema.json`).
#[must_use]
pub fn text(name: &str) -> Option<&'static str> {
    let name = name.trim_end_matches(".json").trim_end_matches(".schema");
    FORMS.iter().find(|(_, known, _)| *known == name).map(|(_, _, text)| *text)
}

/// Returns the schemas as files: their names and bytes.
#[must_use]
pub fn files() -> Vec<(BinderPath, Vec<u8>)> {
    let file = |name: &str| BinderPath::parse(&format!("{name}.schema.json")).expect("the schemas have plain names");
    FORMS.iter().map(|(_, name, text)| (file(name), text.as_bytes().to_vec())).collect()
}

/// Writes the schemas into a folder, replacing those of another release of the program; returns where they are.
///
/// # Errors
/// A [`NewFilesError`] where one cannot be written.
pub fn write(folder: &Path, only: Option<&str>) -> Result<Vec<PathBuf>, NewFilesError> {
    let wanted = |path: &BinderPath| only.is_none_or(|name| text(name) == text(path.name()));
    let files: Vec<_> = files().into_iter().filter(|(path, _)| wanted(path)).collect();
    new_files::replace(folder, &files)
}
