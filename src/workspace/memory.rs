//! A binder held in memory, for tests and for the examples inside the program; it keeps the disk's rules about names.

use crate::base::date::Date;
use crate::base::path::BinderPath;
use crate::base::twins;
use crate::model::world::{Listing, Refusal, Refused, World, WorldError};
use std::collections::{BTreeMap, BTreeSet};

/// A binder whose files are a map from path to bytes.
#[derive(Clone, Debug, Default)]
pub struct Memory {
    files: BTreeMap<String, Vec<u8>>,
    today: Option<Date>,
}

/// The day it is in a memory that was not told.
const TODAY: &str = "2026-01-01";

impl Memory {
    /// Returns a binder of these files; names are judged when it is listed, as on a disk.
    pub fn new<N: Into<String>, B: Into<Vec<u8>>>(files: impl IntoIterator<Item = (N, B)>) -> Self {
        Self { files: files.into_iter().map(|(name, bytes)| (name.into(), bytes.into())).collect(), today: None }
    }

    /// Returns the same binder on another day.
    #[must_use]
    pub fn on(mut self, today: Date) -> Self {
        self.today = Some(today);
        self
    }

    /// Adds a file or replaces it.
    pub fn put(&mut self, name: impl Into<String>, bytes: impl Into<Vec<u8>>) {
        self.files.insert(name.into(), bytes.into());
    }

    /// Takes a file out.
    pub fn take(&mut self, name: &str) {
        self.files.remove(name);
    }

    /// Returns the bytes of a file, to change one thing in a test.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&[u8]> {
        self.files.get(name).map(Vec::as_slice)
    }
}

impl World for Memory {
    fn list(&self) -> Result<Listing, WorldError> {
        let twins: BTreeSet<&str> = twins::of(self.files.keys().map(String::as_str));
        let mut listing = Listing::default();
        for name in self.files.keys() {
            match BinderPath::parse(name) {
                Ok(_) if twins.contains(name.as_str()) => {
                    listing.refused.push(Refused { name: name.clone(), why: Refusal::CaseTwin });
                }
                Ok(path) => listing.files.push(path),
                Err(_) => listing.refused.push(Refused { name: name.clone(), why: Refusal::Name }),
            }
        }
        Ok(listing)
    }

    fn read(&self, path: &BinderPath, most: u64) -> Result<Vec<u8>, WorldError> {
        let bytes = self.files.get(path.as_str()).ok_or_else(|| WorldError::Missing(path.to_string()))?;
        if bytes.len() as u64 > most {
            return Err(WorldError::TooLarge { path: path.to_string(), limit: most });
        }
        Ok(bytes.clone())
    }

    fn head(&self, path: &BinderPath, most: u64) -> Result<Vec<u8>, WorldError> {
        let bytes = self.files.get(path.as_str()).ok_or_else(|| WorldError::Missing(path.to_string()))?;
        let most = usize::try_from(most).unwrap_or(usize::MAX);
        Ok(bytes[..most.min(bytes.len())].to_vec())
    }

    fn today(&self) -> Result<Date, WorldError> {
        Ok(self.today.unwrap_or_else(|| Date::parse(TODAY).expect("it is a date")))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_lists_in_order_and_reads_within_limits() {
        let memory = Memory::new([("b/x.md", "12345"), ("a.yaml", "1"), ("A.yaml", "2"), ("con.md", "")]);
        let listing = memory.list().expect("memory is always there");
        assert_eq!(listing.files.iter().map(BinderPath::as_str).collect::<Vec<_>>(), ["b/x.md"]);
        let refused: Vec<_> = listing.refused.iter().map(|refused| (refused.name.as_str(), refused.why)).collect();
        assert_eq!(refused, [("A.yaml", Refusal::CaseTwin), ("a.yaml", Refusal::CaseTwin), ("con.md", Refusal::Name)]);
        let path = BinderPath::parse("b/x.md").expect("plain");
        assert_eq!(memory.read(&path, 5), Ok(b"12345".to_vec()));
        assert_eq!(memory.read(&path, 4), Err(WorldError::TooLarge { path: "b/x.md".to_owned(), limit: 4 }));
    }
}
