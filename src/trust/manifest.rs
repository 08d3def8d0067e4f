//! The manifest: what one change consists of, byte for byte; it does not know who approved it.

use crate::base::date::Date;
use crate::base::name::{DocumentNumber, Tag};
use crate::base::path::BinderPath;
use crate::base::risk::RiskClass;
use crate::trust::digest::Digest;
use crate::trust::form::{self, FormFault, Lines, Written, or_none, shown, sum, words};
use crate::trust::word::{self, CommitId, OneLine, Person, RepositoryId, WordFault};
use std::collections::BTreeSet;

/// The most bytes of a manifest.
pub const MOST_BYTES: usize = 1 << 20;
/// The number of the form of the packets that a manifest names.
const PACKET_FORM: u32 = 1;

/// One change: the documents it makes a new revision of, the sources it was made of and the packets it makes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Manifest {
    /// The repository it belongs to.
    pub repository: RepositoryId,
    /// What the change is, in one line.
    pub title: OneLine,
    /// Why it is made.
    pub reason: OneLine,
    /// What set it off.
    pub trigger: Trigger,
    /// Who made it.
    pub prepared_by: Person,
    /// What it may do to people.
    pub class: RiskClass,
    /// Where the sources are; a hint, the digests decide.
    pub commit: CommitId,
    /// The last day of a temporary change; then what was in force before is in force again.
    pub until: Option<Date>,
    /// The documents with their new revisions, by number.
    pub documents: Vec<Revised>,
    /// The sources, by path.
    pub sources: Vec<Source>,
    /// The packets that differ from what is in force, by document and tag.
    pub resolved: Vec<Resolved>,
    /// The machines a document no longer holds for, by document and tag.
    pub removed: Vec<Removed>,
    /// The findings that were accepted.
    pub waivers: Vec<Waived>,
}

/// What set a change off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trigger {
    /// A mark made on the floor.
    Redline,
    /// Something happened.
    Incident,
    /// A part, a maker's instruction or a document was replaced by another.
    Supersession,
    /// The review that was due.
    Review,
    /// Nothing of these.
    None,
}

const TRIGGERS: [(Trigger, &str); 5] = [
    (Trigger::Redline, "redline"),
    (Trigger::Incident, "incident"),
    (Trigger::Supersession, "supersession"),
    (Trigger::Review, "review"),
    (Trigger::None, "none"),
];

impl Trigger {
    /// Returns the word of a statement.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        TRIGGERS.iter().find(|(own, _)| *own == self).map_or("none", |(_, text)| text)
    }

    /// Returns the trigger that `text` names.
    ///
    /// # Errors
    /// A [`WordFault`] where it names none.
    pub fn parse(text: &str) -> Result<Self, WordFault> {
        let found = TRIGGERS.iter().find(|(_, own)| *own == text).map(|(own, _)| *own);
        found.ok_or_else(|| WordFault("a trigger is redline, incident, supersession, review or none".to_owned()))
    }
}

/// A document that gets a new revision.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Revised {
    /// Its number.
    pub document: DocumentNumber,
    /// The revision it gets.
    pub revision: u32,
    /// The manifest of the revision before; none for the first.
    pub previous: Option<Digest>,
}

/// A source file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// The digest of its bytes as git stores them.
    pub digest: Digest,
    /// Its path inside the binder.
    pub path: BinderPath,
}

/// A compiled packet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Resolved {
    /// The digest of its bytes.
    pub digest: Digest,
    /// The document.
    pub document: DocumentNumber,
    /// The machine.
    pub tag: Tag,
}

/// A machine that a document no longer holds for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Removed {
    /// The document.
    pub document: DocumentNumber,
    /// The machine.
    pub tag: Tag,
}

/// A finding that was accepted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Waived {
    /// The digest of what was accepted.
    pub digest: Digest,
    /// The rule.
    pub rule: String,
    /// The machine; none for all.
    pub tag: Option<Tag>,
    /// The last day.
    pub until: Date,
}

impl Manifest {
    /// Returns the manifest that `bytes` are, if it is printed as these same bytes.
    ///
    /// # Errors
    /// A [`FormFault`] that names the line.
    pub fn parse(bytes: &[u8]) -> Result<Self, FormFault> {
        form::canonical(bytes, parse, print)
    }

    /// Returns the bytes of this manifest.
    ///
    /// # Errors
    /// A [`FormFault`] where a field holds what a manifest cannot, or a list is out of order.
    pub fn to_bytes(&self) -> Result<Vec<u8>, FormFault> {
        form::written(self, print, parse)
    }

    /// Returns the revision that this change gives a document, if it is one of it.
    #[must_use]
    pub fn revision_of(&self, document: &DocumentNumber) -> Option<&Revised> {
        self.documents.iter().find(|revised| revised.document == *document)
    }
}

fn parse(bytes: &[u8]) -> Result<Manifest, FormFault> {
    let mut lines = Lines::open(bytes, "manifest", MOST_BYTES)?;
    let repository = lines.field("repository", RepositoryId::parse)?;
    let title = lines.field("title", OneLine::parse)?;
    let reason = lines.field("reason", OneLine::parse)?;
    let trigger = lines.field("trigger", Trigger::parse)?;
    let prepared_by = lines.field("prepared-by", Person::parse)?;
    let class = lines.field("class", word::risk)?;
    let commit = lines.field("commit", CommitId::parse)?;
    lines.field("format", packet_form)?;
    let until = lines.field("until", or_none(word::date))?;
    let documents = lines.block("documents", revised, |entry| entry.document.clone())?;
    let sources = lines.block("sources", source, |entry| entry.path.clone())?;
    let resolved = lines.block("resolved", resolved, |entry| (entry.document.clone(), entry.tag.clone()))?;
    let removed = lines.block("removed", removed, |entry| (entry.document.clone(), entry.tag.clone()))?;
    let waivers = lines.block("waivers", waived, |entry| {
        (entry.digest, entry.rule.clone(), entry.tag.as_ref().map(|tag| tag.as_str().to_owned()))
    })?;
    lines.end()?;
    let manifest = Manifest {
        repository,
        title,
        reason,
        trigger,
        prepared_by,
        class,
        commit,
        until,
        documents,
        sources,
        resolved,
        removed,
        waivers,
    };
    makes_sense(&manifest)?;
    Ok(manifest)
}

/// A change is a revision of every document it touches, and says one thing of a document on a machine.
fn makes_sense(manifest: &Manifest) -> Result<(), FormFault> {
    if manifest.documents.is_empty() {
        return Err(FormFault::sense("it is a revision of no document"));
    }
    let own: BTreeSet<&DocumentNumber> = manifest.documents.iter().map(|revised| &revised.document).collect();
    let resolved = manifest.resolved.iter().map(|entry| (&entry.document, &entry.tag));
    let removed = manifest.removed.iter().map(|entry| (&entry.document, &entry.tag));
    let mut seen = BTreeSet::new();
    for (document, tag) in resolved.chain(removed) {
        if !own.contains(document) {
            return Err(FormFault::sense(format!("`{document}` is changed on `{tag}` but gets no new revision")));
        }
        if !seen.insert((document, tag)) {
            return Err(FormFault::sense(format!("`{document}` on `{tag}` is both resolved and removed")));
        }
    }
    let first_has_previous = |revised: &&Revised| (revised.revision == 1) != revised.previous.is_none();
    match manifest.documents.iter().find(first_has_previous) {
        Some(revised) => Err(FormFault::sense(format!(
            "`{}`: revision 1 has no previous manifest, and every other one has",
            revised.document
        ))),
        None => Ok(()),
    }
}

fn print(manifest: &Manifest) -> Vec<u8> {
    let mut out = Written::new("manifest");
    out.field("repository", &manifest.repository);
    out.field("title", &manifest.title);
    out.field("reason", &manifest.reason);
    out.field("trigger", manifest.trigger.as_str());
    out.field("prepared-by", &manifest.prepared_by);
    out.field("class", manifest.class);
    out.field("commit", &manifest.commit);
    out.field("format", PACKET_FORM);
    out.field("until", shown(manifest.until.as_ref()));
    let document =
        |entry: &Revised| format!("{} {} {}", entry.document, entry.revision, shown(entry.previous.as_ref()));
    out.block("documents", manifest.documents.iter().map(document));
    out.block("sources", manifest.sources.iter().map(|entry| format!("{}  {}", entry.digest, entry.path)));
    let resolved = |entry: &Resolved| format!("{}  {} {}", entry.digest, entry.document, entry.tag);
    out.block("resolved", manifest.resolved.iter().map(resolved));
    out.block("removed", manifest.removed.iter().map(|entry| format!("{} {}", entry.document, entry.tag)));
    let waived = |entry: &Waived| {
        let tag = entry.tag.as_ref().map_or("-", Tag::as_str);
        format!("{}  {} {tag} {}", entry.digest, entry.rule, entry.until)
    };
    out.block("waivers", manifest.waivers.iter().map(waived));
    out.bytes()
}

fn packet_form(text: &str) -> Result<(), WordFault> {
    if text == PACKET_FORM.to_string() {
        Ok(())
    } else {
        Err(WordFault(format!("this program reads form {PACKET_FORM}")))
    }
}

fn revised(line: &str) -> Result<Revised, WordFault> {
    let [number, revision, previous] = words(line)?;
    Ok(Revised {
        document: word::document(number)?,
        revision: word::count(revision)?,
        previous: or_none(form::digest)(previous)?,
    })
}

fn source(line: &str) -> Result<Source, WordFault> {
    let (digest, path) = sum(line)?;
    Ok(Source { digest, path: word::path(path)? })
}

fn resolved(line: &str) -> Result<Resolved, WordFault> {
    let (digest, rest) = sum(line)?;
    let Removed { document, tag } = removed(rest)?;
    Ok(Resolved { digest, document, tag })
}

fn removed(line: &str) -> Result<Removed, WordFault> {
    let [document, tag] = words(line)?;
    Ok(Removed { document: word::document(document)?, tag: word::tag(tag)? })
}

fn waived(line: &str) -> Result<Waived, WordFault> {
    let (digest, rest) = sum(line)?;
    let [rule, tag, until] = words(rest)?;
    let is_rule = (1..=64).contains(&rule.len())
        && rule.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
        && rule.starts_with(|c: char| c.is_ascii_lowercase());
    if !is_rule {
        return Err(WordFault("a rule is small letters, digits and hyphens".to_owned()));
    }
    let tag = if tag == "-" { None } else { Some(word::tag(tag)?) };
    Ok(Waived { digest, rule: rule.to_owned(), tag, until: word::date(until)? })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trust::form::Misformed;
    use crate::trust::samples;

    #[test]
    fn a_manifest_is_read_as_it_is_written() {
        let text = samples::manifest_text();
        let manifest = Manifest::parse(text.as_bytes()).expect("a manifest");
        assert_eq!(manifest.documents[0].revision, 8);
        assert_eq!(manifest.resolved.len(), 2);
        assert_eq!(manifest.to_bytes().expect("printed"), text.as_bytes());
    }

    #[test]
    fn a_fault_names_its_line() {
        let fault = |from: &str, to: &str| {
            Manifest::parse(samples::manifest_text().replacen(from, to, 1).as_bytes()).expect_err(to).to_string()
        };
        assert_eq!(fault("title: ", "titel: "), "line 3: `title: ` should stand here");
        assert_eq!(
            fault("class: value", "class: small"),
            "line 7: `class`: a class is wording, value, sequence, safety or applicability"
        );
        assert_eq!(
            fault("manifest v1", "manifest v2"),
            "line 1: it is of a newer form (`manifest v2`); a newer program reads it"
        );
        assert_eq!(
            fault("resolved:\n", "resolved:\n\n"),
            "line 17: `resolved`: a digest, two spaces and what it is of are wanted"
        );
        assert_eq!(fault("\n", "\r\n"), "line 1: it holds the character U+000D, which no statement holds");
        assert_eq!(
            fault("manifest", "\u{feff}manifest"),
            "line 1: it holds the character U+FEFF, which no statement holds"
        );
    }

    #[test]
    fn what_contradicts_itself_is_refused() {
        let read = |text: String| Manifest::parse(text.as_bytes()).expect_err("refused").what;
        let text = samples::manifest_text();
        assert!(matches!(read(text.replace("MP-PA-101 8 ", "MP-PA-102 8 ")), Misformed::Sense(_)));
        assert!(matches!(read(text.replace("MP-PA-101 8 ", "MP-PA-101 1 ")), Misformed::Sense(_)));
        assert!(matches!(read(text.replace("removed:\n", "removed:\nMP-PA-101 P-121\n")), Misformed::Sense(_)));
        let twice = text.replacen("sources:\n", &format!("sources:\n{}  fleet.yaml\n", Digest::of(b"")), 1);
        assert_eq!(read(twice), Misformed::Order("sources".to_owned()));
        assert_eq!(
            read(format!("{text}more\n")),
            Misformed::Value {
                key: "waivers".to_owned(),
                why: "a digest, two spaces and what it is of are wanted".to_owned()
            }
        );
        assert_eq!(read(format!("{text}more:\n")), Misformed::Surplus);
        assert_eq!(read(text.trim_end().to_owned()), Misformed::CutOff);
    }
}
