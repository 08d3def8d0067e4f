//! Whether a person's statement about a manifest counts, and what is missing until a change may be released; pure judgement.

use crate::trust::approval::{Approval, Meaning};
use crate::trust::digest::Digest;
use crate::trust::key::PublicKey;
use crate::trust::manifest::Manifest;
use crate::trust::place::{self, Side};
use crate::trust::root::Root;
use crate::trust::signature::Namespace;
use crate::trust::store::{Store, Unreadable};
use crate::trust::verdict::{Code, Verdict};
use crate::trust::word::{Person, Role, Seq};
use std::collections::BTreeSet;
use std::fmt;

/// A statement that its person really made, in a role that he has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Authentic {
    /// What it says.
    pub approval: Approval,
    /// The digest of its bytes.
    pub digest: Digest,
    /// The key that signed it.
    pub key: PublicKey,
    /// The how manieth statement of its person it is, from 1.
    pub nth: u32,
    /// Where it stands.
    pub path: String,
}

/// Everything that was said of a manifest.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Said {
    /// What counts, by person and in order.
    pub statements: Vec<Authentic>,
    /// What does not count, and why.
    pub dismissed: Vec<(String, Verdict)>,
}

/// Whether a change may be released, and what is missing until then.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// Whose approval counts, each person once.
    pub counted: Vec<Authentic>,
    /// What is missing.
    pub missing: Vec<Missing>,
}

/// One thing that a change lacks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Missing {
    /// Who made it has not signed that he did.
    Preparation(Person),
    /// So many more people must approve; these could.
    Approvals {
        /// How many more.
        more: u32,
        /// How many there are.
        there: u32,
        /// How many are wanted.
        wanted: u32,
        /// In this role, if it must be one.
        role: Option<Role>,
        /// Who could.
        who: Vec<Person>,
    },
    /// A refusal stands.
    Refusal {
        /// By whom.
        person: Person,
        /// Why.
        reason: String,
    },
}

impl fmt::Display for Missing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Preparation(person) => write!(f, "`{person}`, who made the change, has not signed that he did"),
            Self::Approvals { there, wanted, role, who, .. } => {
                let role = role.as_ref().map(|role| format!(" in the role `{role}`")).unwrap_or_default();
                write!(f, "{there} of {wanted} people have approved{role}; ")?;
                match who[..] {
                    [] => write!(f, "nobody else may: the root must be changed first"),
                    [ref one] => write!(f, "only {one} still can"),
                    _ => {
                        let names: Vec<&str> = who.iter().map(Person::as_str).collect();
                        write!(f, "these can: {}", names.join(", "))
                    }
                }
            }
            Self::Refusal { person, reason } => {
                write!(f, "`{person}` has refused it ({reason}); he takes it back, or another change is made")
            }
        }
    }
}

impl Standing {
    /// Tells whether nothing is missing.
    #[must_use]
    pub fn is_met(&self) -> bool {
        self.missing.is_empty()
    }
}

/// Returns the statement at a path, if its person made it, about this manifest, with a key and in a role of this root.
///
/// # Errors
/// The [`Verdict`] for which it does not count.
pub fn authentic(
    store: &dyn Store,
    root: &Root,
    manifest: &Digest,
    path: &str,
    statement: &[u8],
    signature: Option<&[u8]>,
) -> Result<Authentic, Box<Verdict>> {
    let (side, person, nth) = place::statement_at(manifest, path)
        .ok_or_else(|| Box::new(Verdict::new(Code::Stray, path, "nobody's statement stands at such a path")))?;
    let no = |code, told: String| Verdict::new(code, path, told).by(&person);
    let armour = signature.ok_or_else(|| no(Code::SignatureForm, "the signature is missing".to_owned()))?;
    let purpose = if side == Side::Prepare { Namespace::Prepare } else { Namespace::Approve };
    // The signature first, over the exact bytes; then these same bytes are read.
    let key = store
        .signer(purpose, statement, armour)
        .map_err(|fault| Verdict::of_signature(&place::signature(path), &fault).by(&person))?;
    let approval = Approval::parse(statement).map_err(|fault| Verdict::of_form(path, &fault).by(&person))?;
    if approval.is_preparation() != (side == Side::Prepare) || approval.person != person {
        let told = format!("it is the statement of `{}`, put here", approval.person);
        return Err(Box::new(no(Code::ApprovalTransfer, told)));
    }
    if approval.repository != root.repository {
        let told = format!("it belongs to the repository {}", approval.repository);
        return Err(Box::new(no(Code::Repository, told)));
    }
    if approval.manifest != *manifest {
        let told = format!("the approval of `{person}` is for {}, not {}", approval.manifest.short(), manifest.short());
        let verdict = no(Code::ApprovalTransfer, told).digests(Some(*manifest), Some(approval.manifest));
        return Err(Box::new(verdict));
    }
    if !root.holds(&person, &key) {
        let told = format!("it is signed with a key that is not one of `{person}` in root {}", root.number);
        return Err(Box::new(no(Code::KeyNotInForce, told)));
    }
    if !root.has_role(&person, approval.role.as_str()) {
        let told = format!("`{person}` has not the role `{}` in root {}", approval.role, root.number);
        return Err(Box::new(no(Code::Role, told)));
    }
    let name = root.member(&person).map(|member| &member.name);
    if name != Some(&approval.name) {
        let told = format!("it is signed as `{}`, which is not the name in the roster", approval.name);
        return Err(Box::new(no(Code::Name, told)));
    }
    Ok(Authentic { approval, digest: Digest::of(statement), key, nth, path: path.to_owned() })
}

/// Returns everything that was said of a manifest, as this root sees it.
///
/// # Errors
/// [`Unreadable`] where a file cannot be had.
pub fn said(store: &dyn Store, root: &Root, manifest: &Digest) -> Result<Said, Unreadable> {
    let mut said = Said::default();
    for path in store.paths(&place::folder(manifest)) {
        if place::statement_at(manifest, &path).is_none() {
            continue;
        }
        let Some(statement) = store.read(&path)? else { continue };
        let signature = store.read(&place::signature(&path))?;
        match authentic(store, root, manifest, &path, &statement, signature.as_deref()) {
            Ok(own) => said.statements.push(own),
            Err(verdict) => said.dismissed.push((path, *verdict)),
        }
    }
    said.statements.sort_by(|a, b| (&a.approval.person, a.nth).cmp(&(&b.approval.person, b.nth)));
    Ok(said)
}

impl Said {
    /// Returns what was said as far as it stood before the record at `seq`.
    #[must_use]
    pub fn before(&self, store: &dyn Store, seq: Seq) -> Self {
        let stood = |own: &&Authentic| store.stood_before(&own.path, seq);
        Self { statements: self.statements.iter().filter(stood).cloned().collect(), dismissed: self.dismissed.clone() }
    }

    /// Returns the statement by which a person who approves stands: the last that approves, refuses or retracts.
    #[must_use]
    pub fn stance(&self, person: &Person) -> Option<&Authentic> {
        let mut own = self.statements.iter().filter(|own| own.approval.person == *person);
        own.rfind(|own| !matches!(own.approval.meaning, Meaning::Prepared | Meaning::Reviewed))
    }

    fn people(&self) -> BTreeSet<&Person> {
        self.statements.iter().map(|own| &own.approval.person).collect()
    }

    /// Returns the statement of who made the change.
    #[must_use]
    pub fn preparation(&self, manifest: &Manifest) -> Option<&Authentic> {
        let is_own = |own: &&Authentic| own.approval.is_preparation() && own.approval.person == manifest.prepared_by;
        self.statements.iter().find(is_own)
    }

    /// Returns whether a change with this manifest may be released, and what is missing until then.
    #[must_use]
    pub fn standing(&self, root: &Root, manifest: &Manifest) -> Standing {
        let stances: Vec<&Authentic> = self.people().into_iter().filter_map(|person| self.stance(person)).collect();
        let approving = |own: &&&Authentic| {
            own.approval.meaning == Meaning::ApprovedForUse && own.approval.person != manifest.prepared_by
        };
        let counted: Vec<Authentic> = stances.iter().filter(approving).map(|own| (*own).clone()).collect();
        let mut missing = Vec::new();
        if self.preparation(manifest).is_none() {
            missing.push(Missing::Preparation(manifest.prepared_by.clone()));
        }
        missing.extend(short(root, manifest, &counted));
        missing.extend(stances.iter().filter_map(|own| match &own.approval.meaning {
            Meaning::Refused(objection) => {
                Some(Missing::Refusal { person: own.approval.person.clone(), reason: objection.reason.to_string() })
            }
            Meaning::Prepared | Meaning::Reviewed | Meaning::ApprovedForUse | Meaning::Retracted(_) => None,
        }));
        Standing { counted, missing }
    }
}

/// Returns which part of its threshold a change with these approvals has not met.
#[must_use]
pub fn short(root: &Root, manifest: &Manifest, counted: &[Authentic]) -> Vec<Missing> {
    let threshold = root.policy.threshold(manifest.class);
    let may = |person: &&Person| {
        **person != manifest.prepared_by && !counted.iter().any(|own| own.approval.person == **person)
    };
    let of = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
    let mut missing = Vec::new();
    let there = of(counted.len());
    if there < threshold.people {
        let who = root.approvers().into_iter().filter(may).cloned().collect();
        let more = threshold.people - there;
        missing.push(Missing::Approvals { more, there, wanted: threshold.people, role: None, who });
    }
    for (role, wanted) in &threshold.of_which {
        let there = of(counted.iter().filter(|own| own.approval.role == *role).count());
        if there < *wanted {
            // Who approved in another role may still do so in this one.
            let who = root.holders(role.as_str()).filter(|person| {
                let is_counted =
                    counted.iter().any(|own| own.approval.person == **person && own.approval.role == *role);
                **person != manifest.prepared_by && !is_counted
            });
            let who = who.cloned().collect();
            let more = wanted - there;
            missing.push(Missing::Approvals { more, there, wanted: *wanted, role: Some(role.clone()), who });
        }
    }
    missing
}
