//! Whether a release counts: its manifest, the people behind it and what it follows; one record at a time.

use crate::trust::approval::Meaning;
use crate::trust::digest::Digest;
use crate::trust::ledger::{Ledger, Released, cannot_read};
use crate::trust::manifest::Manifest;
use crate::trust::place::{self, Side};
use crate::trust::policy::Separation;
use crate::trust::record::{Named, Record, Release};
use crate::trust::root::Root;
use crate::trust::store::{Store, Unreadable};
use crate::trust::verdict::{Code, Verdict};
use crate::trust::weigh::{self, Authentic, Missing, Said};
use crate::trust::word::Person;
use std::collections::BTreeSet;

impl Ledger {
    /// Returns what a record releases, with everything for which it does not count.
    ///
    /// The manifest must be there: without it nobody knows what is current afterwards.
    pub(super) fn judge(
        &self,
        store: &dyn Store,
        record: &Record,
        release: &Release,
    ) -> Result<Released, Box<Verdict>> {
        let manifest = manifest(store, &release.manifest)?;
        let root = &self.chain.last().expect("a record is judged by a root").root;
        let mut faults = Vec::new();
        if manifest.repository != root.repository {
            let told = format!("it belongs to the repository {}", manifest.repository);
            faults.push(Verdict::new(Code::Repository, place::manifest(&release.manifest), told));
        }
        let bench = Bench { store, root, record, release, manifest: &manifest };
        faults.extend(self.follows_revisions(&bench));
        let said = weigh::said(store, root, &release.manifest).map_err(|error| Box::new(cannot_read(&error)))?;
        let stood = said.before(store, record.seq);
        let (approvals, refused) = bench.approvals(&stood).map_err(|error| Box::new(cannot_read(&error)))?;
        faults.extend(refused);
        faults.extend(bench.people(&stood, &approvals));
        faults.extend(bench.taken_back_later(&said, &approvals));
        let mut table = self.table.clone();
        table.release(release.manifest, &manifest.documents, &manifest.resolved, &manifest.removed);
        let current = table.digest();
        if current != release.current {
            let told = "what it calls current is not what is current after it";
            faults.push(bench.no(Code::Current, told).digests(Some(current), Some(release.current)));
        }
        Ok(Released {
            manifest: release.manifest,
            preparation: stood.preparation(&manifest).cloned(),
            title: manifest.title,
            reason: manifest.reason,
            class: manifest.class,
            prepared_by: manifest.prepared_by,
            effective: release.effective,
            until: manifest.until,
            documents: manifest.documents,
            resolved: manifest.resolved,
            removed: manifest.removed,
            approvals,
            faults,
        })
    }

    /// Returns how a change does not follow the last revisions of its documents.
    fn follows_revisions(&self, bench: &Bench<'_>) -> Vec<Verdict> {
        if let Some(seq) = self.released.get(&bench.release.manifest) {
            return vec![bench.no(Code::AlreadyReleased, format!("the same change is released as {seq}"))];
        }
        let mut verdicts = Vec::new();
        for revised in &bench.manifest.documents {
            let last = self.documents.get(&revised.document);
            let (wanted, base) = (last.map_or(1, |(revision, _)| revision + 1), last.map(|(_, manifest)| *manifest));
            if revised.previous != base {
                let told = format!("`{}` was changed from a revision that is not the last one", revised.document);
                verdicts.push(bench.no(Code::Base, told).digests(base, revised.previous));
            }
            if revised.revision != wanted {
                let told = format!(
                    "`{}` is released as revision {}, and {wanted} is next",
                    revised.document, revised.revision
                );
                verdicts.push(bench.no(Code::Revision, told));
            }
        }
        verdicts
    }
}

/// Returns a manifest whose bytes are those that were named.
///
/// # Errors
/// The [`Verdict`] for which there is none.
pub fn manifest(store: &dyn Store, digest: &Digest) -> Result<Manifest, Box<Verdict>> {
    let path = place::manifest(digest);
    let Some(bytes) = store.read(&path).map_err(|error| Box::new(cannot_read(&error)))? else {
        return Err(Verdict::new(Code::Missing, path, "the manifest is not there").into());
    };
    let found = Digest::of(&bytes);
    if found != *digest {
        let told = "these are not the bytes that were approved";
        return Err(Verdict::new(Code::Digest, path, told).digests(Some(*digest), Some(found)).into());
    }
    Manifest::parse(&bytes).map_err(|fault| Verdict::of_form(&path, &fault).into())
}

/// Returns which stored packets of a manifest are not the bytes it names.
#[must_use]
pub fn packets(store: &dyn Store, manifest: &Manifest) -> Vec<Verdict> {
    let mut verdicts = Vec::new();
    for resolved in &manifest.resolved {
        let path = place::packet(&resolved.digest);
        match store.read(&path) {
            Err(error) => verdicts.push(cannot_read(&error)),
            Ok(None) => {
                let told = format!("the packet of `{}` on `{}` is not there", resolved.document, resolved.tag);
                verdicts.push(Verdict::new(Code::Missing, path, told));
            }
            Ok(Some(bytes)) if Digest::of(&bytes) != resolved.digest => {
                let told = "these are not the bytes that were approved";
                let found = Some(Digest::of(&bytes));
                verdicts.push(Verdict::new(Code::Digest, path, told).digests(Some(resolved.digest), found));
            }
            Ok(Some(_)) => {}
        }
    }
    verdicts
}

/// Returns which sources are not the bytes that a manifest names; `found` gives the digest of what stands at a path.
#[must_use]
pub fn sources(manifest: &Manifest, found: impl Fn(&str) -> Option<Digest>) -> Vec<Verdict> {
    let differs = |source: &&crate::trust::manifest::Source| found(source.path.as_str()) != Some(source.digest);
    let told = "the source is not the one that was approved";
    let verdict = |source: &crate::trust::manifest::Source| {
        let now = found(source.path.as_str());
        Verdict::new(Code::Digest, source.path.as_str(), told).digests(Some(source.digest), now)
    };
    manifest.sources.iter().filter(differs).map(verdict).collect()
}

/// Everything a release is judged by.
struct Bench<'a> {
    store: &'a dyn Store,
    root: &'a Root,
    record: &'a Record,
    release: &'a Release,
    manifest: &'a Manifest,
}

impl Bench<'_> {
    fn no(&self, code: Code, told: impl Into<String>) -> Verdict {
        Verdict::new(code, place::record(self.record.seq), told)
    }

    /// Returns the approvals that a record names and that count, each person once, and why the others do not.
    fn approvals(&self, stood: &Said) -> Result<(Vec<Authentic>, Vec<Verdict>), Unreadable> {
        let (mut counted, mut refused): (Vec<Authentic>, Vec<Verdict>) = (Vec::new(), Vec::new());
        for named in &self.release.approvals {
            match self.approval(named, stood)? {
                Ok(own) if counted.iter().any(|other| other.approval.person == own.approval.person) => {}
                Ok(own) => counted.push(own),
                Err(verdict) => refused.push(verdict.by(&named.person)),
            }
        }
        Ok((counted, refused))
    }

    fn approval(&self, named: &Named, stood: &Said) -> Result<Result<Authentic, Verdict>, Unreadable> {
        let Some(own) = stood.statements.iter().find(|own| own.digest == named.digest) else {
            return Ok(Err(self.why_missing(named, stood)?));
        };
        let path = own.path.clone();
        let no = |code, told: String| Ok(Err(Verdict::new(code, &path, told)));
        if own.approval.person != named.person {
            return no(Code::ApprovalTransfer, format!("it is the statement of `{}`", own.approval.person));
        }
        if own.approval.person == self.manifest.prepared_by {
            return no(Code::SelfApproval, format!("`{}` approves his own change", named.person));
        }
        let stance = stood.stance(&named.person);
        if stance.is_some_and(|last| last.nth > own.nth && last.approval.meaning != Meaning::ApprovedForUse) {
            return no(Code::ApprovalRetracted, format!("`{}` had taken it back before this release", named.person));
        }
        if own.approval.meaning != Meaning::ApprovedForUse {
            return no(Code::ApprovalMissing, format!("it says `{}` and approves nothing", own.approval.meaning));
        }
        Ok(Ok(own.clone()))
    }

    /// Returns why an approval that a record names does not count.
    fn why_missing(&self, named: &Named, stood: &Said) -> Result<Verdict, Unreadable> {
        let mut others = Vec::new();
        for path in self.store.paths(&place::folder(&self.release.manifest)) {
            let Some((Side::Approve, person, _)) = place::statement_at(&self.release.manifest, &path) else { continue };
            let Some(bytes) = self.store.read(&path)? else { continue };
            if Digest::of(&bytes) == named.digest {
                let dismissed =
                    stood.dismissed.iter().find(|(own, _)| *own == path).map(|(_, verdict)| verdict.clone());
                return Ok(dismissed.unwrap_or_else(|| {
                    Verdict::new(Code::ApprovalMissing, path, "it came after the release that names it")
                }));
            }
            if person == named.person {
                others.push((path, Digest::of(&bytes)));
            }
        }
        if let Some((path, found)) = others.pop() {
            let told = "these are not the bytes of the approval that the release names";
            return Ok(Verdict::new(Code::Digest, path, told).digests(Some(named.digest), Some(found)));
        }
        let path = place::statement(&self.release.manifest, Side::Approve, &named.person, 1);
        let told = "the approval that the release names is not there";
        Ok(Verdict::new(Code::ApprovalMissing, path, told).digests(Some(named.digest), None))
    }

    /// Returns what the people behind a release lack.
    fn people(&self, stood: &Said, approvals: &[Authentic]) -> Vec<Verdict> {
        let mut verdicts = Vec::new();
        if stood.preparation(self.manifest).is_none() {
            verdicts.push(self.unprepared(stood));
        }
        for missing in weigh::short(self.root, self.manifest, approvals) {
            let told = format!("{missing} (class `{}`, root {})", self.manifest.class, self.root.number);
            verdicts.push(self.no(Code::Threshold, told));
        }
        for missing in stood.standing(self.root, self.manifest).missing {
            if let Missing::Refusal { person, reason } = missing {
                verdicts.push(self.no(Code::Refused, format!("`{person}` had refused it: {reason}")).by(&person));
            }
        }
        let releaser = &self.record.person;
        let approved: BTreeSet<&Person> = approvals.iter().map(|own| &own.approval.person).collect();
        for separation in &self.root.policy.separation {
            let is_one = match separation {
                Separation::ApproverReleaser => approved.contains(releaser),
                Separation::PreparerReleaser => self.manifest.prepared_by == *releaser,
            };
            if is_one {
                let told = format!("`{releaser}` did two things that are kept apart: {}", separation.as_str());
                verdicts.push(self.no(Code::Separation, told).by(releaser));
            }
        }
        verdicts
    }

    fn unprepared(&self, stood: &Said) -> Verdict {
        let person = &self.manifest.prepared_by;
        let path = place::statement(&self.release.manifest, Side::Prepare, person, 1);
        let why = stood.dismissed.iter().find(|(own, _)| *own == path).map(|(_, verdict)| verdict.told.clone());
        let why = why.unwrap_or_else(|| "the statement is not there".to_owned());
        Verdict::new(Code::Unprepared, path, format!("`{person}` has not signed that he made this change: {why}"))
            .by(person)
    }

    /// Returns the approvals that were taken back when the change was already released.
    fn taken_back_later(&self, said: &Said, approvals: &[Authentic]) -> Vec<Verdict> {
        let later = |own: &&Authentic| {
            said.stance(&own.approval.person)
                .is_some_and(|last| last.nth > own.nth && last.approval.meaning != Meaning::ApprovedForUse)
        };
        let told = "the approval was taken back after the release; withdraw the release if it must not be used";
        let verdict = |own: &Authentic| self.no(Code::RetractedLater, told).by(&own.approval.person);
        approvals.iter().filter(later).map(verdict).collect()
    }
}
