//! What the verifier says: stable codes, how grave they are, and what is concerned; it decides nothing itself.

use crate::trust::digest::Digest;
use crate::trust::form::{FormFault, Misformed};
use crate::trust::signature::SignatureFault;
use crate::trust::word::{Person, Seq};
use std::fmt;

/// How grave a verdict is, gravest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Somebody could work from a wrong or unapproved card.
    Danger,
    /// A release, a root or a record does not count.
    Invalid,
    /// It was right for a state that has passed.
    Stale,
    /// Too little is there to decide.
    Incomplete,
    /// Worth knowing.
    Warn,
}

impl Severity {
    /// Returns the word of the audit.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Danger => "DANGER",
            Self::Invalid => "INVALID",
            Self::Stale => "STALE",
            Self::Incomplete => "INCOMPLETE",
            Self::Warn => "WARN",
        }
    }
}

macro_rules! codes {
    ($($(#[$doc:meta])* $name:ident $text:literal $severity:ident;)*) => {
        /// A stable code.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code {
            $($(#[$doc])* $name,)*
        }

        /// Every code.
        pub const CODES: &[Code] = &[$(Code::$name,)*];

        impl Code {
            /// Returns the code as it is printed.
            #[must_use]
            pub fn as_str(self) -> &'static str {
                match self { $(Self::$name => $text,)* }
            }

            /// Returns how grave it is where nothing makes it otherwise.
            #[must_use]
            pub fn severity(self) -> Severity {
                match self { $(Self::$name => Severity::$severity,)* }
            }
        }
    };
}

codes! {
    /// What is sealed after this place was signed by a key that was stolen.
    Suspect "E-SUSPECT" Danger;
    /// The first root is not the one that was made known on paper.
    Anchor "E-ANCHOR" Danger;
    /// This copy ends before what was seen already.
    Rollback "E-ROLLBACK" Danger;
    /// This copy says something else than what was seen already.
    Fork "E-FORK" Danger;
    /// A file that is written once was changed or taken out.
    AppendOnly "E-APPEND-ONLY" Danger;
    /// Something among the protected files is no plain file, or its name could stand for another.
    TreeForm "E-TREE-FORM" Invalid;
    /// Objects are shown in place of others.
    Replace "E-REPLACE" Invalid;
    /// The order of states is said to be another than they name themselves.
    Graft "E-GRAFT" Invalid;
    /// A statement is not in its form.
    Form "E-FORM" Invalid;
    /// The marks of an unfinished merge stand in a statement.
    Merge "E-MERGE" Invalid;
    /// Bytes are not those that were named.
    Digest "E-DIGEST" Invalid;
    /// It belongs to another repository.
    Repository "E-REPOSITORY" Invalid;
    /// A signature file is not in the one form, or is missing.
    SignatureForm "E-SIG-FORM" Invalid;
    /// A signature does not fit the bytes, the purpose or the key.
    Signature "E-SIG" Invalid;
    /// The key is not one of this person in the root in force.
    KeyNotInForce "E-KEY-NOT-IN-FORCE" Invalid;
    /// The person has not this role in the root in force.
    Role "E-ROLE" Invalid;
    /// The printed name is not that of the person.
    Name "E-NAME" Invalid;
    /// An approval is for something else.
    ApprovalTransfer "E-APPROVAL-TRANSFER" Invalid;
    /// A release names an approval that is not there.
    ApprovalMissing "E-APPROVAL-MISSING" Invalid;
    /// The approver had taken it back.
    ApprovalRetracted "E-APPROVAL-RETRACTED" Invalid;
    /// Somebody who may approve refused, and has not taken it back.
    Refused "E-REFUSED" Invalid;
    /// Too few people approved.
    Threshold "E-THRESHOLD" Invalid;
    /// Who made the change approved it.
    SelfApproval "E-SELF-APPROVAL" Invalid;
    /// Who made the change did not sign that he did.
    Unprepared "E-UNPREPARED" Invalid;
    /// One person did two things that are kept apart.
    Separation "E-SEPARATION" Invalid;
    /// A root carries no signature that counts.
    RootUnsigned "E-ROOT-UNSIGNED" Invalid;
    /// A root carries too few.
    RootThreshold "E-ROOT-THRESHOLD" Invalid;
    /// A root does not follow the one before.
    RootChain "E-ROOT-CHAIN" Invalid;
    /// A roster, or the people and keys of a root, could mean more than one thing.
    RosterForm "E-ROSTER-FORM" Invalid;
    /// A record of the ledger is missing or not at its place.
    LedgerGap "E-LEDGER-GAP" Invalid;
    /// A record does not follow the one before.
    LedgerChain "E-LEDGER-CHAIN" Invalid;
    /// A revision is not the next one.
    Revision "E-REVISION" Invalid;
    /// The table of what is current is another.
    Current "E-CURRENT" Invalid;
    /// A change was released before.
    AlreadyReleased "E-ALREADY-RELEASED" Invalid;
    /// What is withdrawn was never released, or was withdrawn before.
    NotReleased "E-NOT-RELEASED" Invalid;
    /// A change was made from a revision that is no longer the last.
    Base "E-BASE" Stale;
    /// Something is missing or cannot be read.
    Missing "E-MISSING" Incomplete;
    /// The history is not here as a whole.
    Partial "E-PARTIAL" Incomplete;
    /// A newer program wrote this.
    Newer "E-NEWER" Incomplete;
    /// An approval was taken back after the release.
    RetractedLater "W-RETRACTED-LATER" Warn;
    /// A clock was wrong when this was signed.
    Clock "W-CLOCK" Warn;
    /// Something lies among the protected files that nothing names.
    Stray "W-STRAY" Warn;
    /// A tag of git names a release; nothing rests on it.
    Tag "W-TAG" Warn;
    /// A protected file in the open folder is not the one in the history; nothing reads it there.
    OpenFolder "W-OPEN-FOLDER" Warn;
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// One thing that is not as it should be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verdict {
    /// What kind of thing.
    pub code: Code,
    /// How grave.
    pub severity: Severity,
    /// What is concerned: a protected path, or what it stands for.
    pub object: String,
    /// The digest that should be.
    pub expected: Option<Digest>,
    /// The digest that is.
    pub found: Option<Digest>,
    /// Whose statement.
    pub who: Option<Person>,
    /// At which place of the ledger.
    pub seq: Option<Seq>,
    /// In words.
    pub told: String,
}

impl Verdict {
    /// Returns a verdict about an object, in words.
    #[must_use]
    pub fn new(code: Code, object: impl Into<String>, told: impl Into<String>) -> Self {
        Self {
            code,
            severity: code.severity(),
            object: object.into(),
            expected: None,
            found: None,
            who: None,
            seq: None,
            told: told.into(),
        }
    }

    /// Returns this verdict with the digest that should be and the one that is.
    #[must_use]
    pub fn digests(mut self, expected: Option<Digest>, found: Option<Digest>) -> Self {
        (self.expected, self.found) = (expected, found);
        self
    }

    /// Returns this verdict about a person's statement.
    #[must_use]
    pub fn by(mut self, person: &Person) -> Self {
        self.who = Some(person.clone());
        self
    }

    /// Returns this verdict at a place of the ledger.
    #[must_use]
    pub fn at(mut self, seq: Seq) -> Self {
        self.seq = Some(seq);
        self
    }

    /// Returns this verdict as no more than worth knowing: nothing rests on its object.
    #[must_use]
    pub fn as_warning(mut self) -> Self {
        self.severity = Severity::Warn;
        self
    }

    /// Returns the verdict of a statement that is not in its form.
    #[must_use]
    pub fn of_form(object: &str, fault: &FormFault) -> Self {
        let code = match fault.what {
            Misformed::Merge => Code::Merge,
            Misformed::Newer(_) => Code::Newer,
            _ => Code::Form,
        };
        Self::new(code, object, fault.to_string())
    }

    /// Returns the verdict of a signature that does not count.
    #[must_use]
    pub fn of_signature(object: &str, fault: &SignatureFault) -> Self {
        let code = match fault {
            SignatureFault::Form(_) => Code::SignatureForm,
            SignatureFault::Namespace(_) | SignatureFault::Wrong => Code::Signature,
        };
        Self::new(code, object, fault.to_string())
    }

    /// Tells whether what it is about does not count because of it.
    #[must_use]
    pub fn is_fault(&self) -> bool {
        self.severity != Severity::Warn
    }
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {} {}: {}", self.severity.as_str(), self.code, self.object, self.told)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn no_two_codes_are_printed_alike() {
        let texts: BTreeSet<&str> = CODES.iter().map(|code| code.as_str()).collect();
        assert_eq!(texts.len(), CODES.len());
        for code in CODES {
            assert_eq!(code.as_str().starts_with("W-"), code.severity() == Severity::Warn, "{code}");
        }
    }
}
