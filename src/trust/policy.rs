//! The policy of a plant: how many must approve what, and who may not do two things; it knows no person and no signature.

use crate::base::risk::RiskClass;
use crate::trust::word::{self, Role, WordFault};
use std::collections::BTreeMap;
use std::fmt;

/// How many people a class of change needs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Threshold {
    /// How many people.
    pub people: u32,
    /// How many of them in a role of their own.
    pub of_which: BTreeMap<Role, u32>,
}

/// Two things that one person does not do to the same change.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Separation {
    /// Who approves does not release.
    ApproverReleaser,
    /// Who made it does not release it.
    PreparerReleaser,
}

/// The policy. That nobody approves his own change is no part of it: it always holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Policy {
    thresholds: BTreeMap<RiskClass, Threshold>,
    /// How many holders sign a new root.
    pub root: u32,
    /// What is kept apart, in order.
    pub separation: Vec<Separation>,
}

/// The word of the root's own threshold.
const ROOT_ROW: &str = "root";

impl Threshold {
    /// Returns the threshold of so many people, whatever their role.
    #[must_use]
    pub fn of(people: u32) -> Self {
        Self { people, of_which: BTreeMap::new() }
    }

    /// Returns this threshold with so many of the people in a role of their own.
    #[must_use]
    pub fn with(mut self, role: Role, people: u32) -> Self {
        self.of_which.insert(role, people);
        self
    }

    fn parse(text: &str) -> Result<Self, WordFault> {
        let mut words = text.split(' ');
        let people = word::count(words.next().unwrap_or_default())?;
        let mut of_which = BTreeMap::new();
        for part in words {
            let wrong = || WordFault("a part of a threshold is a role and a number: `safety:1`".to_owned());
            let (role, number) = part.split_once(':').ok_or_else(wrong)?;
            let role = Role::parse(role)?;
            if !role.approves() || role.as_str() == word::APPROVE {
                return Err(WordFault(format!("`{role}` is no role of its own among those who approve")));
            }
            if of_which.insert(role, word::count(number)?).is_some() {
                return Err(WordFault("a role stands here twice".to_owned()));
            }
        }
        // A person approves in one role, so the parts need people of their own.
        if of_which.values().map(|number| u64::from(*number)).sum::<u64>() > u64::from(people) {
            return Err(WordFault("the parts of the threshold are more people than the whole".to_owned()));
        }
        Ok(Self { people, of_which })
    }
}

impl fmt::Display for Threshold {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.people)?;
        self.of_which.iter().try_for_each(|(role, number)| write!(f, " {role}:{number}"))
    }
}

impl Separation {
    /// Returns the words of a root.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::ApproverReleaser => "approver releaser",
            Self::PreparerReleaser => "preparer releaser",
        }
    }

    /// Returns what `text` keeps apart.
    ///
    /// # Errors
    /// A [`WordFault`] where it is none of the known.
    pub fn parse(text: &str) -> Result<Self, WordFault> {
        let every = [Self::ApproverReleaser, Self::PreparerReleaser];
        let found = every.into_iter().find(|own| own.as_str() == text);
        found.ok_or_else(|| WordFault("what is kept apart is `approver releaser` or `preparer releaser`".to_owned()))
    }
}

impl Policy {
    /// Returns the policy in which every class needs `threshold`, and a new root `root` holders.
    #[must_use]
    pub fn uniform(threshold: &Threshold, root: u32) -> Self {
        let thresholds = RiskClass::LISTED.into_iter().map(|risk| (risk, threshold.clone())).collect();
        Self { thresholds, root, separation: Vec::new() }
    }

    /// Returns this policy with another threshold for one class.
    #[must_use]
    pub fn with(mut self, risk: RiskClass, threshold: Threshold) -> Self {
        self.thresholds.insert(risk, threshold);
        self
    }

    /// Returns this policy with one more thing kept apart.
    #[must_use]
    pub fn apart(mut self, separation: Separation) -> Self {
        self.separation.push(separation);
        self.separation.sort();
        self.separation.dedup();
        self
    }

    /// Returns what a class of change needs.
    #[must_use]
    pub fn threshold(&self, risk: RiskClass) -> &Threshold {
        self.thresholds.get(&risk).expect("a policy has a row for every class")
    }

    /// Returns the policy whose rows these are, read from the lines of a root.
    pub(super) fn of_rows(rows: Vec<Row>, separation: Vec<Separation>) -> Result<Self, String> {
        let mut thresholds = BTreeMap::new();
        let mut root = None;
        for row in rows {
            match row {
                Row::Class(risk, threshold) => drop(thresholds.insert(risk, threshold)),
                Row::Root(number) => root = Some(number),
            }
        }
        let missing = RiskClass::LISTED.into_iter().find(|risk| !thresholds.contains_key(risk));
        match (missing, root) {
            (Some(risk), _) => Err(format!("there is no threshold for `{risk}`")),
            (None, None) => Err("there is no threshold for `root`".to_owned()),
            (None, Some(root)) => Ok(Self { thresholds, root, separation }),
        }
    }

    /// Returns the lines of a root: the classes in their order, then the root itself.
    pub(super) fn lines(&self) -> Vec<String> {
        let classes = RiskClass::LISTED.into_iter().map(|risk| format!("{risk} {}", self.threshold(risk)));
        classes.chain([format!("{ROOT_ROW} {}", self.root)]).collect()
    }
}

/// A line of the thresholds.
pub(super) enum Row {
    /// A class of change.
    Class(RiskClass, Threshold),
    /// The root itself.
    Root(u32),
}

impl Row {
    pub(super) fn parse(line: &str) -> Result<Self, WordFault> {
        let (name, rest) =
            line.split_once(' ').ok_or_else(|| WordFault("a class and a number are wanted".to_owned()))?;
        if name == ROOT_ROW {
            return word::count(rest).map(Self::Root);
        }
        Ok(Self::Class(word::risk(name)?, Threshold::parse(rest)?))
    }

    /// Returns the place of the row in its fixed order.
    pub(super) fn place(&self) -> usize {
        let listed = RiskClass::LISTED;
        match self {
            Self::Class(risk, _) => listed.iter().position(|own| own == risk).unwrap_or(listed.len()),
            Self::Root(_) => listed.len(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_threshold_is_read_as_it_is_written() {
        for text in ["1", "2 safety:1", "3 quality:1 safety:2"] {
            assert_eq!(Threshold::parse(text).expect(text).to_string(), text);
        }
        for text in ["", "0", "1 safety:2", "2 safety:0", "2 release:1", "2 approve:1", "2 safety", "2  safety:1"] {
            assert!(Threshold::parse(text).is_err(), "{text}");
        }
    }
}
