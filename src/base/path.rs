//! Paths inside a binder, always with `/` and valid on every platform; it touches no disk.

use std::fmt;

/// The folders at a binder's root that the program keeps for what was signed; no source is ever read from them.
pub const PROTECTED: [&str; 5] = ["trust/", "approvals/", "resolved/", "ledger/", "register/"];

/// Tells whether a path lies in a protected folder, however a disk that ignores upper and lower case spells it.
#[must_use]
pub fn is_protected(path: &str) -> bool {
    let begins = |folder: &str| path.get(..folder.len()).is_some_and(|start| start.eq_ignore_ascii_case(folder));
    PROTECTED.iter().any(|folder| begins(folder))
}

/// A path relative to the binder's root that every platform can hold.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BinderPath(String);

/// Why a path cannot stand in a binder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PathFault {
    /// It is empty.
    #[error("the path is empty")]
    Empty,
    /// It is absolute or climbs out with `..`.
    #[error("the path leads out of the binder")]
    Outside,
    /// It contains a backslash, which only one platform reads as a separator.
    #[error("the path holds a backslash; write `/` between folders")]
    Backslash,
    /// A part of it is refused by Windows.
    #[error("Windows refuses this name")]
    Windows,
    /// It is longer than Windows takes without special care.
    #[error("the path is longer than 240 characters")]
    TooLong,
}

/// Names Windows keeps for devices, whatever their extension.
const DEVICES: [&str; 22] = [
    "con", "prn", "aux", "nul", "com1", "com2", "com3", "com4", "com5", "com6", "com7", "com8", "com9", "lpt1", "lpt2",
    "lpt3", "lpt4", "lpt5", "lpt6", "lpt7", "lpt8", "lpt9",
];

impl BinderPath {
    /// Returns the path written as `text`, from the binder's root.
    ///
    /// # Errors
    /// A [`PathFault`] where the path leaves the binder or could not exist on every platform.
    pub fn parse(text: &str) -> Result<Self, PathFault> {
        Self::root().join(text)
    }

    /// Returns the path `text` as seen from this folder; `..` may climb, but not out of the binder.
    ///
    /// # Errors
    /// As [`BinderPath::parse`].
    pub fn join(&self, text: &str) -> Result<Self, PathFault> {
        if text.is_empty() {
            return Err(PathFault::Empty);
        }
        if text.contains('\\') {
            return Err(PathFault::Backslash);
        }
        if text.starts_with('/') || text.as_bytes().get(1) == Some(&b':') {
            return Err(PathFault::Outside);
        }
        let mut parts: Vec<&str> = self.0.split('/').filter(|part| !part.is_empty()).collect();
        for part in text.split('/') {
            match part {
                "" | "." => {}
                ".." => parts.pop().map(|_| ()).ok_or(PathFault::Outside)?,
                name if windows_refuses(name) => return Err(PathFault::Windows),
                name => parts.push(name),
            }
        }
        let joined = parts.join("/");
        match joined.len() {
            0 => Err(PathFault::Empty),
            1..=240 => Ok(Self(joined)),
            _ => Err(PathFault::TooLong),
        }
    }

    /// Returns the root folder, to join from.
    #[must_use]
    pub fn root() -> Self {
        Self(String::new())
    }

    /// Returns the folder this path stands in.
    #[must_use]
    pub fn folder(&self) -> Self {
        Self(self.0.rsplit_once('/').map_or("", |(folder, _)| folder).to_owned())
    }

    /// Returns the path with `/` between its parts.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Returns the last part.
    #[must_use]
    pub fn name(&self) -> &str {
        self.0.rsplit('/').next().unwrap_or("")
    }

    /// Returns the path of the file beside this one that has another extension; none where that is no plain name.
    #[must_use]
    pub fn with_extension(&self, extension: &str) -> Option<Self> {
        let stem = self.0.rsplit_once('.').map_or(self.0.as_str(), |(stem, _)| stem);
        Self::parse(&format!("{stem}.{extension}")).ok()
    }

    /// Returns the extension in lower case, or an empty text.
    #[must_use]
    pub fn extension(&self) -> String {
        self.name().rsplit_once('.').map_or("", |(_, extension)| extension).to_ascii_lowercase()
    }
}

impl fmt::Display for BinderPath {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Returns whether Windows would refuse a file or folder of this name.
#[must_use]
pub fn windows_refuses(name: &str) -> bool {
    let stem = name.split('.').next().unwrap_or(name).trim_end().to_ascii_lowercase();
    let forbidden = |c: char| matches!(c, '<' | '>' | ':' | '"' | '|' | '?' | '*' | '\\' | '/') || (c as u32) < 32;
    DEVICES.contains(&stem.as_str()) || name.ends_with(['.', ' ']) || name.chars().any(forbidden)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_stay_inside_and_portable() {
        let fault = |text: &str| BinderPath::parse(text).expect_err(text);
        assert_eq!(fault("../x"), PathFault::Outside);
        assert_eq!(fault("/etc/passwd"), PathFault::Outside);
        assert_eq!(fault("a/../../x"), PathFault::Outside);
        assert_eq!(fault("C:/x"), PathFault::Outside);
        assert_eq!(fault("a\\b"), PathFault::Backslash);
        assert_eq!(fault("figures/aux.svg"), PathFault::Windows);
        assert_eq!(fault("x./y"), PathFault::Windows);
        assert_eq!(fault(""), PathFault::Empty);
        assert_eq!(fault(&"a/".repeat(200)), PathFault::TooLong);
        let seals = BinderPath::parse("seals/a.md").expect("plain").folder();
        assert_eq!(seals.join("../figures/x.svg").expect("inside").as_str(), "figures/x.svg");
    }
}
