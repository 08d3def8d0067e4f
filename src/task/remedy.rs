//! What to do next about a verdict, in one sentence; it does none of it.

use crate::trust::verdict::{Code, Verdict};

/// Returns the command to type next, or what to do where no command helps.
#[must_use]
pub(super) fn of(verdict: &Verdict) -> String {
    let about =
        || verdict.seq.map_or_else(|| "`matchmark audit`".to_owned(), |seq| format!("`matchmark verify {seq}`"));
    let text = match verdict.code {
        Code::Anchor => {
            "compare `matchmark trust` with the digest on paper; if the paper is right, this binder is not yours"
        }
        Code::Rollback => {
            "fetch the whole binder again from where it is kept (`matchmark sync`), and ask who set it back"
        }
        Code::Fork => {
            "use neither copy: compare both with a third one and with the cards on the wall, and tell who holds the root"
        }
        Code::AppendOnly => "copy the binder anew from a colleague whose audit is clean, and ask who saved that state",
        Code::TreeForm => "copy the binder anew from a colleague whose audit is clean, and ask who saved that file",
        Code::Replace => "`git replace -d NAME` removes it; then `matchmark audit` again",
        Code::Graft => "remove that file from the repository's own folder; then `matchmark audit` again",
        Code::Merge => "go back to what was saved before the merge, then `matchmark audit` again",
        Code::Newer => "install the program's newer version, then `matchmark audit` again",
        Code::Partial | Code::Missing => "copy the binder whole from where it is kept, then `matchmark audit` again",
        Code::Suspect => {
            return format!(
                "take down what it released, then `matchmark withdraw`, or have it approved and released anew; {} shows who signed",
                about()
            );
        }
        Code::Form
        | Code::Digest
        | Code::Repository
        | Code::SignatureForm
        | Code::Signature
        | Code::KeyNotInForce
        | Code::Role
        | Code::Name
        | Code::ApprovalTransfer
        | Code::ApprovalMissing
        | Code::ApprovalRetracted
        | Code::Refused
        | Code::Threshold
        | Code::SelfApproval
        | Code::Unprepared
        | Code::Separation
        | Code::Revision
        | Code::Current
        | Code::AlreadyReleased
        | Code::NotReleased
        | Code::Base => {
            return format!(
                "do not work from it: have the change approved and released anew; {} checks it without this program",
                about()
            );
        }
        Code::RootUnsigned | Code::RootThreshold | Code::RootChain | Code::RosterForm => {
            "ask the holders of the root: it counts only when enough of them have signed it (`matchmark people`)"
        }
        Code::LedgerGap | Code::LedgerChain => {
            "copy the binder anew from a colleague whose audit is clean; nothing after it counts"
        }
        Code::RetractedLater => "`matchmark withdraw` takes it out of force, if it must not be used",
        Code::Clock => "set the clock of the computer that signed; nothing is decided by it",
        Code::Stray => "ask who put it there; it may be left",
        Code::Tag => "nothing: it is a convenience of git",
        Code::OpenFolder => "nothing is read from it; `matchmark undo` or a new copy brings back what was saved",
    };
    text.to_owned()
}
