//! The high-water mark: the last record that was seen and found good, held against what is shown now; it is kept elsewhere.

use crate::trust::digest::Digest;
use crate::trust::form::{self, FormFault, Lines, Written, words};
use crate::trust::ledger::Ledger;
use crate::trust::place;
use crate::trust::record::RootName;
use crate::trust::verdict::{Code, Verdict};
use crate::trust::word::{self, RepositoryId, Seq, WordFault};

/// The most bytes of a mark.
pub const MOST_BYTES: usize = 4 << 10;

/// The last record of a repository that was seen and found good.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    /// The repository.
    pub repository: RepositoryId,
    /// The place of the record.
    pub seq: Seq,
    /// The digest of the record.
    pub digest: Digest,
    /// The root that was in force.
    pub root: RootName,
}

impl Mark {
    /// Returns the mark of a ledger; none where it was not followed to its end.
    #[must_use]
    pub fn of(ledger: &Ledger) -> Option<Self> {
        let last = ledger.sealed().last().filter(|_| ledger.is_whole())?;
        Some(Self {
            repository: last.record.repository.clone(),
            seq: last.record.seq,
            digest: last.digest,
            root: last.record.root,
        })
    }

    /// Returns the mark that `bytes` are.
    ///
    /// # Errors
    /// A [`FormFault`] that names the line.
    pub fn parse(bytes: &[u8]) -> Result<Self, FormFault> {
        form::canonical(bytes, parse, Self::to_bytes)
    }

    /// Returns the bytes to keep.
    #[must_use]
    pub fn to_bytes(&self) -> Vec<u8> {
        let mut out = Written::new("mark");
        out.field("repository", &self.repository);
        out.field("seq", self.seq);
        out.field("record", self.digest);
        out.field("root", format!("{} {}", self.root.number, self.root.digest));
        out.bytes()
    }

    /// Returns how a ledger does not contain what was seen; none where it does.
    #[must_use]
    pub fn compare(&self, ledger: &Ledger) -> Option<Verdict> {
        let path = place::record(self.seq);
        if let Some(repository) = ledger.repository()
            && *repository != self.repository
        {
            let told = format!("this is the repository {repository}, and {} was seen here", self.repository);
            return Some(Verdict::new(Code::Repository, path, told));
        }
        let Some(own) = ledger.at(self.seq) else {
            let last = ledger
                .sealed()
                .last()
                .map_or_else(|| "before any record".to_owned(), |last| format!("at {}", last.record.seq));
            let told = format!("{} ({}) has been seen, and this copy ends {last}", self.seq, self.digest.short());
            return Some(Verdict::new(Code::Rollback, path, told).digests(Some(self.digest), None).at(self.seq));
        };
        if own.digest != self.digest || own.record.root != self.root {
            let told = format!(
                "{} has been seen as {}, and is {} here: one of the two copies is false",
                self.seq,
                self.digest.short(),
                own.digest.short()
            );
            let verdict = Verdict::new(Code::Fork, path, told);
            return Some(verdict.digests(Some(self.digest), Some(own.digest)).at(self.seq));
        }
        None
    }
}

fn parse(bytes: &[u8]) -> Result<Mark, FormFault> {
    let mut lines = Lines::open(bytes, "mark", MOST_BYTES)?;
    let repository = lines.field("repository", RepositoryId::parse)?;
    let seq = lines.field("seq", Seq::parse)?;
    let digest = lines.field("record", form::digest)?;
    let root = lines.field("root", |text| {
        let [number, digest] = words(text)?;
        Ok::<_, WordFault>(RootName { number: word::count(number)?, digest: form::digest(digest)? })
    })?;
    lines.end()?;
    Ok(Mark { repository, seq, digest, root })
}
