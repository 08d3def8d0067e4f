//! Who may do what: from the plant's draft in `people.yaml` to a root that its holders sign and a releaser enters; it asks nobody.

use crate::base::finding::Severity;
use crate::base::name::nearest;
use crate::base::path::BinderPath;
use crate::base::risk::RiskClass;
use crate::base::text::Texts;
use crate::history::point::Files;
use crate::model::fields::{text_at, texts_at};
use crate::source::decode::decode;
use crate::source::schema::{Form, violations};
use crate::source::yaml::{self, Node};
use crate::task::book::Book;
use crate::task::keys::System;
use crate::trust::chain::{Anchor, Rooted};
use crate::trust::digest::Digest;
use crate::trust::issue::{self, Refusal};
use crate::trust::key::{Chance as _, PublicKey, SigningKey};
use crate::trust::ledger::Ledger;
use crate::trust::place;
use crate::trust::policy::{Policy, Separation, Threshold};
use crate::trust::record::{Entry, Record, RootName};
use crate::trust::root::{Granted, Held, Member, RECOVERY, Root};
use crate::trust::store::{Over, Store};
use crate::trust::word::{self, Moment, OneLine, Person, ROOT, RepositoryId, Role, Seq, WordFault};
use crate::workspace::chance::NoChance;
use crate::workspace::named_file::{self, NamedFileError};
use std::path::{Path, PathBuf};

/// The file with the draft.
pub const FILE: &str = "people.yaml";
/// The folder that holds the root while its holders sign it; what is in force stands under `trust/`.
pub const FOLDER: &str = "people";

/// Why there is no such root.
#[derive(Debug, thiserror::Error)]
pub enum PeopleError {
    /// A file.
    #[error(transparent)]
    File(#[from] NamedFileError),
    /// What is wrong in the draft, a line each.
    #[error("`{FILE}` cannot be used:\n{}", .0.join("\n"))]
    Draft(Vec<String>),
    /// It contradicts itself or the root before.
    #[error("`{FILE}` cannot become a root: {0}")]
    Sense(String),
    /// Nothing differs from what is in force.
    #[error("`{FILE}` says what is in force already")]
    Same,
    /// Nobody signed a root yet.
    #[error("nobody has signed a new root yet")]
    NothingSigned,
    /// A root was signed that is not what the draft says now.
    #[error("`{FILE}` was changed after it was signed")]
    Changed,
    /// It would not be believed.
    #[error("{0}")]
    Refused(#[from] Refusal),
    /// The operating system.
    #[error(transparent)]
    Chance(#[from] NoChance),
}

impl From<WordFault> for PeopleError {
    fn from(fault: WordFault) -> Self {
        Self::Sense(fault.to_string())
    }
}

/// A root that is being signed.
#[derive(Clone, Debug)]
pub struct Proposed {
    /// The root.
    pub root: Root,
    /// Holders' names with their signatures.
    pub signatures: Vec<(String, Vec<u8>)>,
}

/// Returns an example of a draft, to be filled in.
#[must_use]
pub fn example() -> &'static str {
    "# Who may do what, and how many must approve. What counts is what the holders of the root have signed:
#   matchmark people sign      each of them
#   matchmark people enter     somebody who releases
people:
  - id: alice
    name: Alice Brandt
    roles: [approve, safety, root]
    keys: [\"ssh-ed25519 AAAA...   (what `matchmark key new alice` printed)\"]
  - id: bob
    name: Bob Okoro
    roles: [approve, release, root]
    keys: [\"ssh-ed25519 AAAA...\"]
  - id: carol
    name: Carol Vance
    roles: [prepare]
    keys: [\"ssh-ed25519 AAAA...\"]
# How many must approve a change of each class. Nobody approves his own change, whatever stands here.
approvals:
  wording: 1
  value: 1
  sequence: 1
  applicability: 1
  safety: {people: 2, of-which: {safety: 1}}
# How many holders of `root` sign a change of this list.
root: 1
"
}

/// Reads the draft in a binder's folder as the root that follows `before`.
///
/// # Errors
/// A [`PeopleError`] with what is wrong in it.
pub fn draft(folder: &Path, plant: &str, before: Option<&Rooted>) -> Result<Root, PeopleError> {
    let node = read(folder)?;
    let repository = match before {
        Some(before) => before.root.repository.clone(),
        None => repository_of(folder)?,
    };
    let mut root = Root {
        repository,
        number: before.map_or(1, |before| before.root.number + 1),
        previous: before.map(|before| before.digest),
        plant: OneLine::parse(plant)?,
        recovery: Some(text_at(&node, "recovery"))
            .filter(|text| !text.is_empty())
            .map(|text| key(&text))
            .transpose()?,
        persons: Vec::new(),
        keys: Vec::new(),
        roles: Vec::new(),
        policy: policy(&node)?,
    };
    for own in node.get("people").map(Node::items).unwrap_or_default() {
        person(&mut root, own)?;
    }
    // Who is left out of the draft has left; the id stays taken.
    for member in before.iter().flat_map(|before| &before.root.persons) {
        if root.member(&member.person).is_none() {
            root.persons.push(Member { is_active: false, ..member.clone() });
        }
    }
    root.persons.sort_by(|a, b| a.person.cmp(&b.person));
    root.keys.sort();
    root.roles.sort();
    root.to_bytes().map_err(|fault| PeopleError::Sense(fault.to_string()))?;
    if before.is_some_and(|before| is_same(&before.root, &root)) {
        return Err(PeopleError::Same);
    }
    Ok(root)
}

fn is_same(before: &Root, after: &Root) -> bool {
    let bare = |root: &Root| Root { number: 1, previous: None, ..root.clone() };
    bare(before) == bare(after)
}

/// The id of a plant's repository is made by chance once, and kept with the root that is being signed.
fn repository_of(folder: &Path) -> Result<RepositoryId, PeopleError> {
    if let Some(known) = proposed(folder, 1)? {
        return Ok(known.root.repository);
    }
    let mut bytes = [0; 16];
    System::new()?.fill(&mut bytes);
    Ok(RepositoryId::from_bytes(bytes))
}

fn read(folder: &Path) -> Result<Node, PeopleError> {
    let bytes = named_file::read(&folder.join(FILE))?;
    let decoded = decode(FILE, &bytes).map_err(|finding| PeopleError::Draft(vec![finding.message]))?;
    let mut texts = Texts::default();
    let file = texts.add(BinderPath::parse(FILE).expect("a plain name"), decoded.text);
    let (node, mut findings) = yaml::parse(file, texts.get(file).content(), 0);
    if let Some(node) = &node {
        findings.extend(violations(Form::People, node));
    }
    let wrong = findings.iter().filter(|finding| finding.severity == Severity::Error);
    let mut lines: Vec<String> = wrong
        .map(|finding| match finding.span {
            Some(span) => format!("  line {}: {}", texts.locate(span).1.line, finding.message),
            None => format!("  {}", finding.message),
        })
        .collect();
    if let Some((offset, _)) = decoded.hidden.first() {
        lines.push(format!("  line {}: it holds a character that is not seen", texts.get(file).position(*offset).line));
    }
    match node.filter(|_| lines.is_empty()) {
        Some(node) => Ok(node),
        None if lines.is_empty() => Err(PeopleError::Draft(vec!["  it is empty".to_owned()])),
        None => Err(PeopleError::Draft(lines)),
    }
}

fn person(root: &mut Root, node: &Node) -> Result<(), PeopleError> {
    let person = Person::parse(&text_at(node, "id"))?;
    if root.member(&person).is_some() {
        return Err(PeopleError::Sense(format!("`{person}` stands in it twice")));
    }
    root.persons.push(Member {
        person: person.clone(),
        is_active: true,
        name: OneLine::parse(&text_at(node, "name"))?,
    });
    for own in texts_at(node, "keys") {
        root.keys.push(Held { person: person.clone(), key: key(&own.value)? });
    }
    for own in texts_at(node, "roles") {
        let role = Role::parse(&own.value)?;
        // Any word is a kind of approver; a slip in one of the four that mean something else would be one in silence.
        if let Some(meant) = slip(role.as_str()) {
            return Err(PeopleError::Sense(format!("`{person}` has the role `{role}`: did you mean `{meant}`?")));
        }
        root.roles.push(Granted { person: person.clone(), role });
    }
    Ok(())
}

/// Returns the word with a meaning of its own that a role is nearly, and is not.
fn slip(role: &str) -> Option<&'static str> {
    const OWN: [&str; 4] = [word::PREPARE, word::APPROVE, word::RELEASE, ROOT];
    if OWN.contains(&role) { None } else { nearest(role, OWN) }
}

fn key(text: &str) -> Result<PublicKey, PeopleError> {
    PublicKey::parse(text).map_err(|fault| PeopleError::Sense(format!("a key in it is none: {fault}")))
}

fn policy(node: &Node) -> Result<Policy, PeopleError> {
    let number = |node: &Node| node.text().and_then(|text| text.parse::<u32>().ok()).unwrap_or(1);
    let mut policy = Policy::uniform(&Threshold::of(1), node.get("root").map_or(1, number));
    for class in RiskClass::LISTED {
        let Some(own) = node.get("approvals").and_then(|approvals| approvals.get(class.as_str())) else { continue };
        let mut threshold = Threshold::of(own.get("people").map_or_else(|| number(own), number));
        for (role, wanted) in own.get("of-which").map(Node::entries).unwrap_or_default() {
            threshold = threshold.with(Role::parse(&role.value)?, number(wanted));
        }
        policy = policy.with(class, threshold);
    }
    for own in texts_at(node, "apart") {
        policy.separation.push(Separation::parse(&own.value)?);
    }
    policy.separation.sort();
    Ok(policy)
}

fn at(folder: &Path, name: &str) -> PathBuf {
    folder.join(FOLDER).join(name)
}

/// Returns the root with this number that is being signed in a binder's folder; none where there is none.
///
/// # Errors
/// A [`PeopleError`] where a file cannot be read or is no root.
pub fn proposed(folder: &Path, number: u32) -> Result<Option<Proposed>, PeopleError> {
    let file = at(folder, &format!("{number}.root"));
    let bytes = match named_file::read(&file) {
        Ok(bytes) => bytes,
        Err(NamedFileError::Missing(_)) => return Ok(None),
        Err(error) => return Err(error.into()),
    };
    let root = Root::parse(&bytes).map_err(|fault| PeopleError::Sense(format!("`{}`: {fault}", file.display())))?;
    let holders = root.roles.iter().filter(|granted| granted.role.as_str() == ROOT).map(|own| own.person.as_str());
    let mut signatures = Vec::new();
    for holder in holders.chain(std::iter::once(RECOVERY)).chain(root.persons.iter().map(|own| own.person.as_str())) {
        if signatures.iter().any(|(own, _): &(String, Vec<u8>)| own == holder) {
            continue;
        }
        match named_file::read(&at(folder, &format!("{number}.root.{holder}.sig"))) {
            Ok(bytes) => signatures.push((holder.to_owned(), bytes)),
            Err(NamedFileError::Missing(_)) => {}
            Err(error) => return Err(error.into()),
        }
    }
    Ok(Some(Proposed { root, signatures }))
}

/// Signs a root as one of its holders, and returns the files that go into the folder [`FOLDER`], by name.
///
/// # Errors
/// A [`PeopleError`] where the key is no holder's.
pub fn sign(root: &Root, before: Option<&Rooted>, key: &SigningKey) -> Result<Vec<(String, Vec<u8>)>, PeopleError> {
    let public = key.public();
    let is_recovery = root.recovery == Some(public) || before.is_some_and(|own| own.root.recovery == Some(public));
    let holder = root.owner(&public).or_else(|| before.and_then(|before| before.root.owner(&public)));
    if holder.is_none() && !is_recovery {
        let told = "this key is nobody's, in this draft and in what is in force".to_owned();
        return Err(PeopleError::Sense(told));
    }
    let issued = issue::root_signature(root, before.map(|before| &before.root), holder, key)?;
    let own_name = |path: String| path.rsplit('/').next().unwrap_or_default().to_owned();
    let mut files = vec![(format!("{}.root", root.number), root.to_bytes().map_err(Refusal::from)?)];
    files.extend(issued.files.into_iter().map(|(path, bytes)| (own_name(path), bytes)));
    Ok(files)
}

/// Returns the files that bring a signed root into force: root, roster, signatures and the record that seals it.
///
/// # Errors
/// A [`PeopleError`] where too few have signed, or the key may not release under the new root.
pub fn enter(
    book: Option<&Book<'_>>,
    proposed: &Proposed,
    key: &SigningKey,
    signed_at: Moment,
) -> Result<Files, PeopleError> {
    let root = &proposed.root;
    let person = root.owner(&key.public()).cloned();
    let person = person.ok_or_else(|| PeopleError::Sense("your key is nobody's in the new root".to_owned()))?;
    let mut files = issue::root(root)?.files;
    for (holder, bytes) in &proposed.signatures {
        files.push((place::root_signature(root.number, holder), bytes.clone()));
    }
    let store = Over::new(book.map(|book| &book.files as &dyn Store), files.clone());
    let none = Ledger::read(&store, Anchor::FirstUse);
    let ledger = book.map_or(&none, |book| &book.ledger);
    let record = Record {
        repository: root.repository.clone(),
        seq: ledger.next_seq().unwrap_or(Seq::FIRST),
        prev: ledger.sealed().last().map(|sealed| sealed.digest),
        root: RootName { number: root.number, digest: Digest::of(&root.to_bytes().map_err(Refusal::from)?) },
        entry: Entry::Root,
        person,
        signed_at,
    };
    let sealed = issue::record(&store, ledger, &record, key)?;
    files.extend(sealed.files);
    Ok(files.into_iter().map(|(path, bytes)| (path, Some(bytes))).collect())
}
