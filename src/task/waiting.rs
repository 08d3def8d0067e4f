//! Changes that were handed over and are not released: what is said of them and what they still need; it signs nothing.

use crate::base::date::Date;
use crate::history::error::HistoryError;
use crate::history::repo::Repo;
use crate::history::revision::Revision;
use crate::model::world::World as _;
use crate::task::book::Book;
use crate::trust::approval::Meaning;
use crate::trust::digest::Digest;
use crate::trust::issue::{self, Hand, Issued, Refusal};
use crate::trust::manifest::Manifest;
use crate::trust::release;
use crate::trust::root::{Root, plain_approver};
use crate::trust::store::Store as _;
use crate::trust::verdict::{Code, Verdict};
use crate::trust::weigh::{self, Missing, Said, Standing};
use crate::trust::word::{Role, Seq};
use std::collections::BTreeSet;

/// The most bytes of a source.
const MOST: u64 = 64 << 20;

/// A change that was handed over.
#[derive(Clone, Debug)]
pub struct Waiting {
    /// The digest of its manifest.
    pub digest: Digest,
    /// What it is.
    pub manifest: Manifest,
    /// What was said of it.
    pub said: Said,
    /// What it needs.
    pub standing: Standing,
    /// How it stands.
    pub fate: Fate,
}

/// How a change stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    /// It waits for approvals or for its release.
    Waits,
    /// Another change of one of its documents was released first: it must be prepared anew.
    Overtaken,
    /// It is released.
    Released(Seq),
}

/// Why there is no such change.
#[derive(Debug, thiserror::Error)]
pub enum WaitingError {
    /// The ledger cannot be relied on.
    #[error("nothing can be approved or released while this stands: {0}")]
    Stopped(Box<Verdict>),
    /// Nobody has a role yet.
    #[error("nobody has been given the right to approve anything in this binder yet")]
    NoPeople,
    /// Nothing waits.
    #[error("no change is waiting")]
    Nothing,
    /// Several do.
    #[error("several changes are waiting: {}", .0.join(", "))]
    Several(Vec<String>),
    /// None of that name.
    #[error("no change is called `{0}`")]
    Unknown(String),
    /// It would not be believed.
    #[error("{0}")]
    Refused(#[from] Refusal),
    /// The history.
    #[error(transparent)]
    History(#[from] HistoryError),
    /// It does not count.
    #[error("it cannot be released: {0}")]
    Verdict(Box<Verdict>),
    /// What it was made of was changed since.
    #[error(
        "{} changed since the change was prepared; what was approved is the older text",
        .0.iter().map(|verdict| format!("`{}`", verdict.object)).collect::<Vec<_>>().join(", ")
    )]
    Changed(Vec<Verdict>),
}

/// Returns the root by which a change is judged now.
///
/// # Errors
/// A [`WaitingError`] where the ledger cannot be relied on or has no root.
pub fn root<'b>(book: &'b Book<'_>) -> Result<&'b Root, WaitingError> {
    if let Some(verdict) = book.stops() {
        return Err(WaitingError::Stopped(Box::new(verdict.clone())));
    }
    Ok(&book.ledger.root().ok_or(WaitingError::NoPeople)?.root)
}

/// Returns every change that was ever handed over, by its digest; what cannot be read is left to the audit.
///
/// # Errors
/// A [`WaitingError`] where the ledger cannot be relied on.
pub fn every(book: &Book<'_>) -> Result<Vec<Waiting>, WaitingError> {
    let root = root(book)?;
    let paths = book.files.paths("approvals/");
    let digests: BTreeSet<Digest> = paths.iter().filter_map(|path| Digest::parse(path.split('/').nth(1)?)).collect();
    let mut all = Vec::new();
    for digest in digests {
        let Ok(manifest) = release::manifest(&book.files, &digest) else { continue };
        let said = weigh::said(&book.files, root, &digest).map_err(Refusal::from)?;
        let standing = said.standing(root, &manifest);
        let fate = fate(book, &digest, &manifest);
        all.push(Waiting { digest, manifest, said, standing, fate });
    }
    Ok(all)
}

fn fate(book: &Book<'_>, digest: &Digest, manifest: &Manifest) -> Fate {
    if let Some(sealed) = book.ledger.release_of(digest) {
        return Fate::Released(sealed.record.seq);
    }
    let last = |document| book.ledger.last_revision(document).map(|(_, manifest)| manifest);
    let is_last = manifest.documents.iter().all(|revised| revised.previous == last(&revised.document));
    if is_last { Fate::Waits } else { Fate::Overtaken }
}

/// Returns the change that is called so: by the first letters of its digest or by a document in it; without a name, the only
/// one that waits.
///
/// # Errors
/// A [`WaitingError`] where nobody can say which.
pub fn named(book: &Book<'_>, name: Option<&str>) -> Result<Waiting, WaitingError> {
    let mut found = every(book)?;
    match name {
        None => found.retain(|one| one.fate == Fate::Waits),
        Some(name) => {
            let by_digest = |one: &Waiting| name.len() >= 4 && one.digest.to_string().starts_with(&name.to_lowercase());
            let by_document = |one: &Waiting| {
                one.fate == Fate::Waits
                    && one.manifest.documents.iter().any(|own| own.document.as_str().eq_ignore_ascii_case(name))
            };
            found.retain(|one| by_digest(one) || by_document(one));
        }
    }
    let called = |one: &Waiting| format!("{} ({})", &one.digest.short()[..8], one.manifest.title);
    match (found.len(), name) {
        (0, None) => Err(WaitingError::Nothing),
        (0, Some(name)) => Err(WaitingError::Unknown(name.to_owned())),
        (1, _) => Ok(found.remove(0)),
        _ => Err(WaitingError::Several(found.iter().map(called).collect())),
    }
}

/// Returns the role in which a person approves a change: one that is still missing, else the plain one, else any that approves.
#[must_use]
pub fn role_for(root: &Root, waiting: &Waiting, hand: Hand<'_>) -> Option<Role> {
    let missing = waiting.standing.missing.iter().filter_map(|missing| match missing {
        Missing::Approvals { role: Some(role), .. } => Some(role.clone()),
        Missing::Approvals { role: None, .. } | Missing::Preparation(_) | Missing::Refusal { .. } => None,
    });
    let own: Vec<Role> = root.roles_of(hand.person).filter(|role| role.approves()).cloned().collect();
    let wanted = missing.chain(std::iter::once(plain_approver())).find(|role| own.contains(role));
    wanted.or_else(|| own.first().cloned())
}

/// Returns what a person says of a change, signed.
///
/// # Errors
/// A [`WaitingError`] where the key or the role is not the person's.
pub fn say(
    book: &Book<'_>,
    waiting: &Waiting,
    hand: Hand<'_>,
    (role, meaning): (&Role, Meaning),
) -> Result<Issued, WaitingError> {
    let root = root(book)?;
    if meaning == Meaning::ApprovedForUse && waiting.manifest.prepared_by == *hand.person {
        let told = format!("`{}` made this change, and nobody approves his own", hand.person);
        let verdict = Verdict::new(Code::SelfApproval, waiting.digest.to_string(), told);
        return Err(WaitingError::Verdict(Box::new(verdict)));
    }
    Ok(issue::statement(&book.files, root, &waiting.digest, hand, (role, meaning))?)
}

/// How strict a release is with sources that were changed since.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Since {
    /// Nothing is released while the text is another.
    MustBeSame,
    /// What was approved is released, and the newer text stays a draft.
    MayDiffer,
}

/// Returns the record that releases a change, signed.
///
/// # Errors
/// A [`WaitingError`] where it would not count.
pub fn release(
    repo: &Repo,
    book: &Book<'_>,
    waiting: &Waiting,
    hand: Hand<'_>,
    (effective, review_by): (Date, Option<Date>),
    since: Since,
) -> Result<(Seq, Issued), WaitingError> {
    root(book)?;
    if let Some(fault) = release::packets(&book.files, &waiting.manifest).into_iter().next() {
        return Err(WaitingError::Verdict(Box::new(fault)));
    }
    if let Some(missing) = waiting.standing.missing.first() {
        let verdict = Verdict::new(Code::Threshold, waiting.digest.to_string(), missing.to_string());
        return Err(WaitingError::Verdict(Box::new(verdict)));
    }
    let changed = changed_since(repo, book, &waiting.manifest, effective)?;
    if since == Since::MustBeSame && !changed.is_empty() {
        return Err(WaitingError::Changed(changed));
    }
    let entry =
        book.ledger.release_entry((waiting.digest, &waiting.manifest), &waiting.standing.counted, effective, review_by);
    let record = book.ledger.next_record(entry, hand.person, hand.at).ok_or(WaitingError::NoPeople)?;
    let issued = issue::record(&book.files, &book.ledger, &record, hand.key)?;
    Ok((record.seq, issued))
}

/// Returns which sources of a change stand otherwise in the last saved state.
fn changed_since(repo: &Repo, book: &Book<'_>, manifest: &Manifest, today: Date) -> Result<Vec<Verdict>, WaitingError> {
    let world = Revision::at(repo, book.files.state(), today)?;
    let found = |path: &str| {
        let path = crate::base::path::BinderPath::parse(path).ok()?;
        world.read(&path, MOST).ok().map(|bytes| Digest::of(&bytes))
    };
    Ok(release::sources(manifest, found))
}
