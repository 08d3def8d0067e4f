//! Holds the findings against the waivers: what is accepted is set apart with its waiver, and a waiver that has run out or
//! accepts nothing is told.
//!
//! A waiver never reaches further than the person who wrote it saw. It names its rule, its document, its machines and the
//! finding itself; a finding that names machines is accepted for those of the waiver alone; and where another finding of
//! the same words has come up since, or one has gone, it accepts none of them, since nobody can tell which one was meant.

use crate::base::date::Date;
use crate::base::finding::{Finding, sorted};
use crate::base::fingerprint::{self, one_line};
use crate::base::name::{Tag, nearest};
use crate::base::rule::{EXPIRED_WAIVER, IDLE_WAIVER};
use crate::model::binder::Binder;
use crate::model::waiver::{Waived, Waiver};
use crate::rules::{self, RULES};
use std::collections::BTreeSet;

/// Findings sorted by whether somebody answers for them.
#[derive(Debug, Default)]
pub(crate) struct Sorted {
    /// What stays, and what is wrong with the waivers; in reading order.
    pub(crate) findings: Vec<Finding>,
    /// What is accepted, in the order of the waivers.
    pub(crate) waived: Vec<Waived>,
}

/// Sorts the findings of a binder, which have their fingerprints, on the day `today`.
pub(crate) fn sort(findings: Vec<Finding>, binder: &Binder, today: Date) -> Sorted {
    let mut ledger = Ledger { binder, left: findings.iter().cloned().map(Some).collect(), all: findings };
    let mut waived = Vec::new();
    let mut told = Vec::new();
    for waiver in &binder.waivers {
        if waiver.until.value < today {
            told.push(expired(waiver));
            continue;
        }
        match ledger.accept(waiver) {
            Ok(accepted) => {
                told.extend(idle_tags(waiver, &accepted));
                waived.extend(accepted.into_iter().map(|finding| Waived { finding, waiver: waiver.clone() }));
            }
            Err(idle) => told.extend(idle.map(|idle| *idle)),
        }
    }
    let mut told = sorted(told);
    fingerprint::mark(&mut told, &binder.texts);
    Sorted { findings: sorted(ledger.left.into_iter().flatten().chain(told).collect()), waived }
}

/// The findings that nobody answers for yet.
struct Ledger<'b> {
    binder: &'b Binder,
    all: Vec<Finding>,
    /// What is left of each of them.
    left: Vec<Option<Finding>>,
}

impl Ledger<'_> {
    /// Takes out what a waiver accepts; where that is nothing, returns what is to be told of it, if anything is.
    fn accept(&mut self, waiver: &Waiver) -> Result<Vec<Finding>, Option<Box<Finding>>> {
        let Some(rule) = rules::find(&waiver.rule.value) else {
            return Err(Some(Box::new(unknown_rule(waiver))));
        };
        let named = self.named(waiver);
        if named.is_empty() {
            let is_unread = waiver.document.as_ref().is_some_and(|document| {
                self.binder.procedure(document).is_none()
                    && self.all.iter().any(|finding| finding.document.as_ref() == Some(document))
            });
            // What cannot be read is told already; what would be found in it is not known.
            return Err((!is_unread).then(|| Box::new(self.not_found(waiver))));
        }
        if !named.iter().all(|at| rule.is_waivable(self.all[*at].severity)) {
            return Err(Some(Box::new(never(waiver))));
        }
        if named.len() != waiver.times {
            return Err(Some(Box::new(self.other_number(waiver, &named))));
        }
        let tags: BTreeSet<Tag> = waiver.tags.iter().map(|tag| tag.value.clone()).collect();
        let accepted: Vec<Finding> = named.iter().filter_map(|at| split(&mut self.left[*at], &tags)).collect();
        if accepted.is_empty() { Err(Some(Box::new(self.other_tags(waiver, &named)))) } else { Ok(accepted) }
    }

    /// Returns the places of the findings that a waiver names, whatever their tags.
    fn named(&self, waiver: &Waiver) -> Vec<usize> {
        let texts = &self.binder.texts;
        let of_rule = |finding: &&Finding| finding.rule.0 == waiver.rule.value && finding.document == waiver.document;
        let like = waiver.finding.as_ref().map(|print| {
            let meant = self.all.iter().filter(of_rule).find(|finding| finding.fingerprint == *print);
            meant.map(|finding| fingerprint::likeness(finding, texts))
        });
        let is_named = |finding: &&Finding| {
            of_rule(finding)
                && waiver.says.as_ref().is_none_or(|says| one_line(&finding.message) == *says)
                && like.as_ref().is_none_or(|like| *like == Some(fingerprint::likeness(finding, texts)))
        };
        (0..self.all.len()).filter(|at| is_named(&&self.all[*at])).collect()
    }

    fn not_found(&self, waiver: &Waiver) -> Finding {
        let elsewhere = self.all.iter().find(|finding| {
            finding.rule.0 == waiver.rule.value
                && (waiver.finding.as_ref().is_some_and(|print| *print == finding.fingerprint)
                    || waiver.says.as_ref().is_some_and(|says| *says == one_line(&finding.message)))
                && finding.document != waiver.document
        });
        let help = match elsewhere.map(|finding| &finding.document) {
            Some(Some(document)) => format!("it is found in `{document}`: name that document if it is meant"),
            Some(None) => "it is found in no document: take out `document:` if it is meant".to_owned(),
            None => "take it out if the fault is mended; else copy the finding's words or fingerprint anew".to_owned(),
        };
        idle(waiver, "nothing is found that this waiver accepts".to_owned()).help(help)
    }

    fn other_number(&self, waiver: &Waiver, named: &[usize]) -> Finding {
        let message = match named.len() {
            1 => format!("one finding reads like this, the waiver accepts {}; so it accepts none", waiver.times),
            found => {
                format!("{found} findings read like this, the waiver accepts {}; so it accepts none", waiver.times)
            }
        };
        let prints: BTreeSet<&str> = named.iter().map(|at| self.all[*at].fingerprint.as_str()).collect();
        let prints: Vec<&str> = prints.into_iter().take(5).collect();
        idle(waiver, message).floor("a fault that nobody has looked at would be accepted with the others").help(
            format!(
                "look at each; then name one by `finding:` ({}), or write `times: {}`",
                prints.join(", "),
                named.len()
            ),
        )
    }

    fn other_tags(&self, waiver: &Waiver, named: &[usize]) -> Finding {
        let left: BTreeSet<&Tag> =
            named.iter().filter_map(|at| self.left[*at].as_ref()).flat_map(|one| &one.tags).collect();
        let was_there = |tag: &Tag| named.iter().any(|at| self.all[*at].tags.contains(tag));
        let is_taken = waiver.tags.iter().any(|tag| was_there(&tag.value));
        if is_taken || named.iter().all(|at| self.left[*at].is_none()) {
            return idle(waiver, "another waiver accepts this finding already".to_owned()).help("take one of them out");
        }
        if left.is_empty() {
            let message = "the finding names no machine, so it cannot be accepted for some".to_owned();
            return idle(waiver, message).help("take out `tags:`, or mend it");
        }
        let tags: Vec<&str> = left.into_iter().map(Tag::as_str).collect();
        let message = if waiver.tags.is_empty() {
            "the waiver names no machine, the finding does"
        } else {
            "the finding is true for none of these machines"
        };
        idle(waiver, message.to_owned()).help(format!("name those it is accepted for: `tags: [{}]`", tags.join(", ")))
    }
}

/// Returns what is to be told of the tags of a waiver for which nothing was found.
fn idle_tags(waiver: &Waiver, accepted: &[Finding]) -> Option<Finding> {
    let is_true = |tag: &Tag| accepted.iter().any(|finding| finding.tags.contains(tag));
    let idle_tags: Vec<_> = waiver.tags.iter().filter(|tag| !is_true(&tag.value)).collect();
    let first = idle_tags.first()?;
    let words: Vec<String> = idle_tags.iter().map(|tag| format!("`{}`", tag.value)).collect();
    let finding = idle(waiver, format!("it is not found for {}", words.join(", ")));
    Some(finding.at(first.span).help("take them out of the waiver's tags"))
}

/// Takes out of a finding what is accepted for `tags`; one that names no tag is accepted as a whole by none.
fn split(left: &mut Option<Finding>, tags: &BTreeSet<Tag>) -> Option<Finding> {
    let finding = left.as_mut()?;
    if finding.tags.is_empty() {
        return if tags.is_empty() { left.take() } else { None };
    }
    let accepted: BTreeSet<Tag> = finding.tags.intersection(tags).cloned().collect();
    if accepted.is_empty() {
        return None;
    }
    let taken = Finding { tags: accepted, ..finding.clone() };
    finding.tags.retain(|tag| !tags.contains(tag));
    if finding.tags.is_empty() {
        *left = None;
    }
    Some(taken)
}

fn expired(waiver: &Waiver) -> Finding {
    let message = format!("this waiver of `{}` ran out on {}", waiver.rule.value, waiver.until.value);
    about(waiver, Finding::error(EXPIRED_WAIVER, message))
        .at(waiver.until.span)
        .label(format!("accepted by {}", waiver.by))
        .floor("nobody answers any longer for what was accepted")
        .help("mend what it accepts and take it out, or let whoever answers for it give a new reason and day")
        .stops_nothing()
}

fn unknown_rule(waiver: &Waiver) -> Finding {
    let near = nearest(&waiver.rule.value, RULES.iter().map(|rule| rule.id.0));
    let help = near.map_or("`matchmark explain` lists the rules".to_owned(), |near| format!("did you mean `{near}`?"));
    idle(waiver, format!("there is no rule `{}`", waiver.rule.value)).at(waiver.rule.span).help(help)
}

fn never(waiver: &Waiver) -> Finding {
    idle(waiver, format!("an error of `{}` can never be accepted", waiver.rule.value))
        .at(waiver.rule.span)
        .floor("what would be printed is not whole or not safe, whoever answers for it")
        .help("mend what is found and take the waiver out")
}

fn idle(waiver: &Waiver, message: String) -> Finding {
    about(waiver, Finding::warning(IDLE_WAIVER, message))
        .at(waiver.rule.span)
        .floor("somebody may believe that a fault is known and answered for")
}

/// Returns a finding about the document and the tags of a waiver.
fn about(waiver: &Waiver, finding: Finding) -> Finding {
    let finding = finding.tags(waiver.tags.iter().map(|tag| tag.value.clone()));
    match &waiver.document {
        Some(document) => finding.document(document),
        None => finding,
    }
}
