//! Begins a binder or a procedure from what the program brings along; it never writes over anything.

use crate::base::name::{DocumentNumber, nearest};
use crate::base::path::{BinderPath, PathFault};
use crate::model::load::{LoadError, load};
use crate::task::schema;
use crate::workspace::disk::Disk;
use crate::workspace::new_files::{self, NewFilesError};
use std::path::{Path, PathBuf};

/// The first binder, file by file.
const FIRST_BINDER: [(&str, &str); 8] = [
    ("README.md", include_str!("../../templates/init/README.md")),
    ("binder.yaml", include_str!("../../templates/init/binder.yaml")),
    ("crib-status.yaml", include_str!("../../templates/init/crib-status.yaml")),
    ("crib.yaml", include_str!("../../templates/init/crib.yaml")),
    ("families/GB.yaml", include_str!("../../templates/init/families/GB.yaml")),
    ("fleet.yaml", include_str!("../../templates/init/fleet.yaml")),
    ("gearboxes/MP-GB-10.actions", include_str!("../../templates/init/gearboxes/MP-GB-10.actions")),
    ("gearboxes/MP-GB-10.md", include_str!("../../templates/init/gearboxes/MP-GB-10.md")),
];

/// What a new procedure begins with.
const FIRST_PROCEDURE: &str = include_str!("../../templates/new-procedure.md");

/// Returns the files of a first binder, with the schemas its registers name.
#[must_use]
pub fn first_binder() -> Vec<(BinderPath, Vec<u8>)> {
    let plain = |path: &str| BinderPath::parse(path).expect("the first binder has plain names");
    let own = FIRST_BINDER.iter().map(|(path, text)| (plain(path), text.as_bytes().to_vec()));
    let schemas = schema::files().into_iter().map(|(path, bytes)| (plain(&format!("schema/{path}")), bytes));
    own.chain(schemas).collect()
}

/// Writes a first binder into `folder` and returns its files.
///
/// # Errors
/// A [`NewFilesError`] where one of them is there already or cannot be written; then none was.
pub fn init(folder: &Path) -> Result<Vec<PathBuf>, NewFilesError> {
    new_files::write(folder, &first_binder())
}

/// A procedure that is to be begun, as typed.
#[derive(Clone, Debug)]
pub struct NewProcedure<'a> {
    /// Its number.
    pub document: &'a str,
    /// What it does.
    pub title: &'a str,
    /// The family it is for.
    pub family: &'a str,
    /// The folder of the binder it goes into; empty for the binder itself.
    pub folder: &'a str,
}

/// Why a procedure was not begun.
#[derive(Debug, thiserror::Error)]
pub enum NewProcedureError {
    /// There is no binder that can be read.
    #[error(transparent)]
    Load(#[from] LoadError),
    /// The number has not the form of one.
    #[error("`{0}` is no document number: write capital letters, digits and hyphens, for example `MP-PA-101`")]
    Number(String),
    /// The number is taken.
    #[error("`{document}` is taken: it stands in {path}; a number is never used again")]
    Taken {
        /// The number.
        document: String,
        /// The file that has it.
        path: String,
    },
    /// The title is empty or more than one line.
    #[error("the title is one line that says what is done, for example \"Renew the single shaft seal\"")]
    Title,
    /// No such family.
    #[error("there is no family `{name}` in this binder; it has {}", known.join(", "))]
    Family {
        /// What was typed.
        name: String,
        /// What was probably meant.
        nearest: Option<String>,
        /// The families there are.
        known: Vec<String>,
    },
    /// The folder cannot be in a binder.
    #[error("`{folder}` cannot be a folder of this binder: {why}")]
    Folder {
        /// What was typed.
        folder: String,
        /// Why not.
        why: PathFault,
    },
    /// The file is there already or cannot be written.
    #[error(transparent)]
    Write(#[from] NewFilesError),
}

/// Writes the beginning of a procedure into the binder and returns where it is.
///
/// # Errors
/// A [`NewProcedureError`] where the number is taken, the family is not known, or the file cannot be written.
pub fn new_procedure(disk: &Disk, new: &NewProcedure<'_>) -> Result<PathBuf, NewProcedureError> {
    if !is_number(new.document) {
        return Err(NewProcedureError::Number(new.document.to_owned()));
    }
    let title = new.title.trim();
    if title.is_empty() || title.chars().any(char::is_control) {
        return Err(NewProcedureError::Title);
    }
    let (binder, _) = load(disk)?;
    if let Some(taken) = binder.procedure(&DocumentNumber::new(new.document)) {
        let path = binder.texts.get(taken.file).path().to_string();
        return Err(NewProcedureError::Taken { document: new.document.to_owned(), path });
    }
    let known: Vec<String> = binder.families.iter().map(|family| family.id.value.to_string()).collect();
    let Some(family) = known.iter().find(|known| known.eq_ignore_ascii_case(new.family)) else {
        let nearest = nearest(new.family, known.iter().map(String::as_str)).map(str::to_owned);
        return Err(NewProcedureError::Family { name: new.family.to_owned(), nearest, known });
    };
    let folder = new.folder.trim_matches('/');
    let file = format!("{}.md", new.document);
    let path = if folder.is_empty() { file } else { format!("{folder}/{file}") };
    let path =
        BinderPath::parse(&path).map_err(|why| NewProcedureError::Folder { folder: new.folder.to_owned(), why })?;
    let text = filled(new.document, title, family);
    let written = new_files::write(disk.root(), &[(path, text.into_bytes())])?;
    Ok(written.into_iter().next().expect("one file was written"))
}

/// Returns whether a text has the form of a document number, as the schema of the front matter has it.
fn is_number(text: &str) -> bool {
    let is_part = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_uppercase() || b.is_ascii_digit());
    text.len() <= 40
        && text.contains('-')
        && text.starts_with(|c: char| c.is_ascii_uppercase())
        && text.split('-').all(is_part)
}

fn filled(document: &str, title: &str, family: &str) -> String {
    let title = quoted(title);
    let line = |line: &str| match line {
        "document: DOCUMENT" => format!("document: {document}\n"),
        "title: TITLE" => format!("title: {title}\n"),
        "family: FAMILY" => format!("family: {family}\n"),
        other => format!("{other}\n"),
    };
    FIRST_PROCEDURE.lines().map(line).collect()
}

/// Returns a text as a YAML scalar: plain where that is safe, else in double quotes.
fn quoted(text: &str) -> String {
    let is_word = |c: char| c.is_alphanumeric() || matches!(c, ' ' | ',' | '.' | '-' | '(' | ')');
    let starts_plain = text.starts_with(char::is_alphabetic);
    let is_keyword = matches!(text.to_lowercase().as_str(), "true" | "false" | "null" | "yes" | "no");
    if starts_plain && !is_keyword && text.chars().all(is_word) {
        return text.to_owned();
    }
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::finding::Severity;
    use crate::task::check::judge;
    use crate::workspace::memory::Memory;
    use std::collections::BTreeSet;

    #[test]
    fn the_first_binder_is_the_whole_folder() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("templates/init");
        let disk = Disk::open(&root).unwrap();
        let on_disk: BTreeSet<String> = {
            use crate::model::world::World as _;
            disk.list().unwrap().files.iter().map(ToString::to_string).collect()
        };
        let embedded: BTreeSet<String> = FIRST_BINDER.iter().map(|(path, _)| (*path).to_owned()).collect();
        assert_eq!(on_disk, embedded);
    }

    #[test]
    fn the_first_binder_has_three_findings_of_different_rules() {
        let memory = Memory::new(first_binder().into_iter().map(|(path, bytes)| (path.to_string(), bytes)));
        let judged = judge(&memory).unwrap();
        let rules: BTreeSet<&str> = judged.findings.iter().map(|finding| finding.rule.0).collect();
        assert_eq!((judged.findings.len(), rules.len()), (3, 3), "{:?}", judged.findings);
    }

    #[test]
    fn a_new_procedure_has_no_errors_but_those_of_what_it_leaves_to_the_author() {
        let folder = tempfile::tempdir().unwrap();
        init(folder.path()).unwrap();
        let disk = Disk::open(folder.path()).unwrap();
        let new =
            NewProcedure { document: "MP-GB-20", title: "Renew: the \"seal\"", family: "gb", folder: "gearboxes/" };
        let path = new_procedure(&disk, &new).unwrap();
        assert_eq!(path, folder.path().join("gearboxes").join("MP-GB-20.md"));
        let judged = judge(&disk).unwrap();
        let number = DocumentNumber::new("MP-GB-20");
        assert_eq!(judged.binder.procedure(&number).unwrap().title.value, "Renew: the \"seal\"");
        let errors: Vec<_> = judged
            .findings
            .iter()
            .filter(|finding| finding.document.as_ref() == Some(&number) && finding.severity == Severity::Error)
            .collect();
        assert!(errors.is_empty(), "{errors:?}");
        assert!(matches!(new_procedure(&disk, &new), Err(NewProcedureError::Taken { .. })));
    }

    #[test]
    fn what_cannot_be_begun_is_said_before_anything_is_written() {
        let folder = tempfile::tempdir().unwrap();
        init(folder.path()).unwrap();
        let disk = Disk::open(folder.path()).unwrap();
        let with = |document, family, into| {
            let new = NewProcedure { document, title: "Renew the seal", family, folder: into };
            new_procedure(&disk, &new).unwrap_err().to_string()
        };
        assert!(with("mp-1", "GB", "").starts_with("`mp-1` is no document number"));
        assert_eq!(with("MP-GB-20", "GBX", ""), "there is no family `GBX` in this binder; it has GB");
        assert!(with("MP-GB-20", "GB", "../x").contains("leads out of the binder"));
    }
}
