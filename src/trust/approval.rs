//! The statements of a person about a manifest: prepared, reviewed, approved, refused, retracted; it knows no policy.

use crate::trust::digest::Digest;
use crate::trust::form::{self, FormFault, Lines, Written};
use crate::trust::word::{Moment, OneLine, PREPARE, Person, RepositoryId, Role, WordFault};
use std::fmt;

/// The most bytes of such a statement.
pub const MOST_BYTES: usize = 16 << 10;

/// What one person says of one manifest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Approval {
    /// The repository.
    pub repository: RepositoryId,
    /// The digest of the manifest.
    pub manifest: Digest,
    /// Who says it.
    pub person: Person,
    /// The name as it is printed.
    pub name: OneLine,
    /// In which role.
    pub role: Role,
    /// What the signature means.
    pub meaning: Meaning,
    /// When, as the signer's clock says: shown to people, never used to decide whether a key holds.
    pub signed_at: Moment,
}

/// What a signature means.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Meaning {
    /// It was made and is handed over: the only meaning of a `prepare` statement.
    Prepared,
    /// It was read; this approves nothing.
    Reviewed,
    /// It may be used.
    ApprovedForUse,
    /// It may not be used as it is.
    Refused(Objection),
    /// What the same person said before no longer holds.
    Retracted(Objection),
}

/// Why somebody does not approve.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Objection {
    /// The reason.
    pub reason: OneLine,
    /// The step or place it is about; none for the whole.
    pub step: Option<OneLine>,
}

impl Meaning {
    /// Returns the words that are printed beside name and time.
    #[must_use]
    pub fn as_str(&self) -> &'static str {
        match self {
            Self::Prepared => "prepared",
            Self::Reviewed => "reviewed",
            Self::ApprovedForUse => "approved for use",
            Self::Refused(_) => "refused",
            Self::Retracted(_) => "retracted",
        }
    }

    fn objection(&self) -> Option<&Objection> {
        match self {
            Self::Refused(objection) | Self::Retracted(objection) => Some(objection),
            Self::Prepared | Self::Reviewed | Self::ApprovedForUse => None,
        }
    }
}

impl fmt::Display for Meaning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl Approval {
    /// Returns the approval or preparation that `bytes` are, if it is printed as these same bytes.
    ///
    /// # Errors
    /// A [`FormFault`] that names the line.
    pub fn parse(bytes: &[u8]) -> Result<Self, FormFault> {
        let kind = if bytes.starts_with(b"prepare ") { "prepare" } else { "approval" };
        form::canonical(bytes, |bytes| parse(bytes, kind), print)
    }

    /// Returns the bytes of this statement.
    ///
    /// # Errors
    /// A [`FormFault`] where a field holds what a statement cannot.
    pub fn to_bytes(&self) -> Result<Vec<u8>, FormFault> {
        form::written(self, print, |bytes| parse(bytes, kind(self)))
    }

    /// Tells whether this is the statement of who made the change.
    #[must_use]
    pub fn is_preparation(&self) -> bool {
        self.meaning == Meaning::Prepared
    }
}

fn kind(approval: &Approval) -> &'static str {
    if approval.is_preparation() { "prepare" } else { "approval" }
}

fn parse(bytes: &[u8], kind: &str) -> Result<Approval, FormFault> {
    let mut lines = Lines::open(bytes, kind, MOST_BYTES)?;
    let repository = lines.field("repository", RepositoryId::parse)?;
    let manifest = lines.field("manifest", form::digest)?;
    let person = lines.field("person", Person::parse)?;
    let name = lines.field("name", OneLine::parse)?;
    let role = lines.field("role", Role::parse)?;
    let meaning = lines.field("meaning", |text| word_of(text, kind))?;
    let signed_at = lines.field("signed-at", Moment::parse)?;
    let objects = |lines: &mut Lines<'_>| {
        let reason = lines.field("reason", OneLine::parse)?;
        let step = lines.field("step", form::or_none(OneLine::parse))?;
        Ok::<_, FormFault>(Objection { reason, step })
    };
    let meaning = match meaning {
        Said::Prepared => Meaning::Prepared,
        Said::Reviewed => Meaning::Reviewed,
        Said::Approved => Meaning::ApprovedForUse,
        Said::Refused => Meaning::Refused(objects(&mut lines)?),
        Said::Retracted => Meaning::Retracted(objects(&mut lines)?),
    };
    lines.end()?;
    let fits = if meaning == Meaning::Prepared { role.as_str() == PREPARE } else { role.approves() };
    if !fits {
        return Err(FormFault::sense(format!("nobody says `{meaning}` in the role `{role}`")));
    }
    Ok(Approval { repository, manifest, person, name, role, meaning, signed_at })
}

enum Said {
    Prepared,
    Reviewed,
    Approved,
    Refused,
    Retracted,
}

fn word_of(text: &str, kind: &str) -> Result<Said, WordFault> {
    match (kind, text) {
        ("prepare", "prepared") => Ok(Said::Prepared),
        ("approval", "reviewed") => Ok(Said::Reviewed),
        ("approval", "approved for use") => Ok(Said::Approved),
        ("approval", "refused") => Ok(Said::Refused),
        ("approval", "retracted") => Ok(Said::Retracted),
        ("prepare", _) => Err(WordFault("who prepares says `prepared`".to_owned())),
        _ => Err(WordFault("it is reviewed, approved for use, refused or retracted".to_owned())),
    }
}

fn print(approval: &Approval) -> Vec<u8> {
    let mut out = Written::new(kind(approval));
    out.field("repository", &approval.repository);
    out.field("manifest", approval.manifest);
    out.field("person", &approval.person);
    out.field("name", &approval.name);
    out.field("role", &approval.role);
    out.field("meaning", &approval.meaning);
    out.field("signed-at", approval.signed_at);
    if let Some(objection) = approval.meaning.objection() {
        out.field("reason", &objection.reason);
        out.field("step", form::shown(objection.step.as_ref()));
    }
    out.bytes()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trust::samples;

    #[test]
    fn an_approval_is_read_as_it_is_written() {
        for text in [samples::approval_text(), samples::prepare_text(), samples::refusal_text()] {
            let approval = Approval::parse(text.as_bytes()).expect("an approval");
            assert_eq!(approval.to_bytes().expect("printed"), text.as_bytes());
        }
    }

    #[test]
    fn a_meaning_belongs_to_its_kind_and_its_role() {
        let refused = |text: String, from: &str, to: &str| {
            assert!(Approval::parse(text.replacen(from, to, 1).as_bytes()).is_err(), "{to}");
        };
        refused(samples::approval_text(), "approval v1", "prepare v1");
        refused(samples::approval_text(), "approved for use", "prepared");
        refused(samples::approval_text(), "approved for use", "refused");
        refused(samples::approval_text(), "role: approve", "role: release");
        refused(samples::prepare_text(), "role: prepare", "role: approve");
        refused(samples::prepare_text(), "prepare v1", "approval v1");
        refused(samples::refusal_text(), "meaning: refused", "meaning: reviewed");
    }
}
