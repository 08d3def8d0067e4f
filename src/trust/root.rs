//! The root: who the people are, which keys and roles they have, and the policy; it does not know which root is in force.

use crate::base::risk::RiskClass;
use crate::trust::digest::Digest;
use crate::trust::form::{self, FormFault, Lines, Misformed, Written, or_none, shown, words};
use crate::trust::key::PublicKey;
use crate::trust::policy::{Policy, Row, Separation};
use crate::trust::roster::{self, Signer};
use crate::trust::signature::Namespace;
use crate::trust::word::{self, APPROVE, OneLine, PREPARE, Person, RELEASE, ROOT, RepositoryId, Role, WordFault};
use std::collections::{BTreeMap, BTreeSet};

/// The most bytes of a root.
pub const MOST_BYTES: usize = 256 << 10;
/// The name under which the recovery key signs.
pub const RECOVERY: &str = "recovery";

/// A root: the people of the plant and what they may do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Root {
    /// The repository; the same in every root of it.
    pub repository: RepositoryId,
    /// Its number, from 1.
    pub number: u32,
    /// The digest of the root before; none for the first.
    pub previous: Option<Digest>,
    /// The name of the plant.
    pub plant: OneLine,
    /// A key on paper that stands for a lost holder of the root.
    pub recovery: Option<PublicKey>,
    /// Everybody who ever had an id here, by id.
    pub persons: Vec<Member>,
    /// The keys, by person.
    pub keys: Vec<Held>,
    /// The roles, by person.
    pub roles: Vec<Granted>,
    /// The policy.
    pub policy: Policy,
}

/// A person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Member {
    /// The id, never given to anybody else.
    pub person: Person,
    /// Whether the person is still here; who has left keeps the id and nothing else.
    pub is_active: bool,
    /// The name as it is printed.
    pub name: OneLine,
}

/// A key of a person.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Held {
    /// Whose.
    pub person: Person,
    /// The key.
    pub key: PublicKey,
}

/// A role of a person.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Granted {
    /// Whose.
    pub person: Person,
    /// The role.
    pub role: Role,
}

impl Root {
    /// Returns the root that `bytes` are, if it is printed as these same bytes.
    ///
    /// # Errors
    /// A [`FormFault`] that names the line, or what contradicts itself.
    pub fn parse(bytes: &[u8]) -> Result<Self, FormFault> {
        form::canonical(bytes, parse, print)
    }

    /// Returns the bytes of this root.
    ///
    /// # Errors
    /// A [`FormFault`] where it contradicts itself, or a list is out of order.
    pub fn to_bytes(&self) -> Result<Vec<u8>, FormFault> {
        form::written(self, print, parse)
    }

    /// Returns the person with this id.
    #[must_use]
    pub fn member(&self, person: &Person) -> Option<&Member> {
        self.persons.iter().find(|member| member.person == *person)
    }

    /// Tells whether a person has a role.
    #[must_use]
    pub fn has_role(&self, person: &Person, role: &str) -> bool {
        self.roles.iter().any(|granted| granted.person == *person && granted.role.as_str() == role)
    }

    /// Returns the roles of a person.
    pub fn roles_of<'a>(&'a self, person: &'a Person) -> impl Iterator<Item = &'a Role> {
        self.roles.iter().filter(move |granted| granted.person == *person).map(|granted| &granted.role)
    }

    /// Tells whether this key is one of this person.
    #[must_use]
    pub fn holds(&self, person: &Person, key: &PublicKey) -> bool {
        self.keys.iter().any(|held| held.person == *person && held.key == *key)
    }

    /// Returns who has this key.
    #[must_use]
    pub fn owner(&self, key: &PublicKey) -> Option<&Person> {
        self.keys.iter().find(|held| held.key == *key).map(|held| &held.person)
    }

    /// Returns everybody with a role, by id.
    pub fn holders<'a>(&'a self, role: &'a str) -> impl Iterator<Item = &'a Person> {
        self.roles.iter().filter(move |granted| granted.role.as_str() == role).map(|granted| &granted.person)
    }

    /// Returns everybody who may approve in some role, by id.
    #[must_use]
    pub fn approvers(&self) -> BTreeSet<&Person> {
        self.roles.iter().filter(|granted| granted.role.approves()).map(|granted| &granted.person).collect()
    }

    /// Returns the lines of the roster that stock `ssh-keygen` reads: exact names, namespaces by role, no date.
    #[must_use]
    pub fn signers(&self) -> Vec<Signer> {
        let mut purposes: BTreeMap<&Person, BTreeSet<Namespace>> = BTreeMap::new();
        for granted in &self.roles {
            let purpose = match granted.role.as_str() {
                PREPARE => Namespace::Prepare,
                RELEASE => Namespace::Release,
                ROOT => Namespace::Root,
                _ => Namespace::Approve,
            };
            purposes.entry(&granted.person).or_default().insert(purpose);
        }
        let of_people = self.keys.iter().filter_map(|held| {
            let namespaces = purposes.get(&held.person)?.clone();
            Some(Signer { principal: held.person.principal(), namespaces, key: held.key })
        });
        let recovery = self.recovery.map(|key| Signer {
            principal: format!("{RECOVERY}@plant"),
            namespaces: [Namespace::Root].into(),
            key,
        });
        of_people.chain(recovery).collect()
    }

    /// Returns the bytes of `allowed_signers`.
    #[must_use]
    pub fn allowed_signers(&self) -> Vec<u8> {
        roster::text(&self.signers()).into_bytes()
    }
}

fn parse(bytes: &[u8]) -> Result<Root, FormFault> {
    let mut lines = Lines::open(bytes, "root", MOST_BYTES)?;
    let repository = lines.field("repository", RepositoryId::parse)?;
    let number = lines.field("number", word::count)?;
    let previous = lines.field("previous", or_none(form::digest))?;
    let plant = lines.field("plant", OneLine::parse)?;
    let recovery = lines.field("recovery", or_none(key))?;
    let allowed_signers = lines.field("allowed-signers", form::digest)?;
    let persons = lines.block("persons", member, |member| member.person.clone())?;
    let keys = lines.block("keys", held, Clone::clone)?;
    let roles = lines.block("roles", granted, Clone::clone)?;
    let rows = lines.block("thresholds", Row::parse, Row::place)?;
    let separation = lines.block("separation", Separation::parse, |separation| *separation)?;
    lines.end()?;
    let policy = Policy::of_rows(rows, separation).map_err(|why| FormFault::whole(Misformed::Sense(why)))?;
    let root = Root { repository, number, previous, plant, recovery, persons, keys, roles, policy };
    makes_sense(&root)?;
    if Digest::of(&root.allowed_signers()) != allowed_signers {
        return Err(FormFault::sense("`allowed-signers` is not the digest of the roster that follows from this root"));
    }
    Ok(root)
}

fn key(text: &str) -> Result<PublicKey, WordFault> {
    PublicKey::parse(text).map_err(|fault| WordFault(fault.to_string()))
}

fn member(line: &str) -> Result<Member, WordFault> {
    let mut words = line.splitn(3, ' ');
    let (Some(person), Some(state), Some(name)) = (words.next(), words.next(), words.next()) else {
        return Err(WordFault("an id, `active` or `left`, and a name are wanted".to_owned()));
    };
    let is_active = match state {
        "active" => true,
        "left" => false,
        _ => return Err(WordFault("a person is `active` or has `left`".to_owned())),
    };
    Ok(Member { person: Person::parse(person)?, is_active, name: OneLine::parse(name)? })
}

fn held(line: &str) -> Result<Held, WordFault> {
    let (person, text) = line.split_once(' ').ok_or_else(|| WordFault("an id and a key are wanted".to_owned()))?;
    Ok(Held { person: Person::parse(person)?, key: key(text)? })
}

fn granted(line: &str) -> Result<Granted, WordFault> {
    let [person, role] = words(line)?;
    Ok(Granted { person: Person::parse(person)?, role: Role::parse(role)? })
}

fn print(root: &Root) -> Vec<u8> {
    let mut out = Written::new("root");
    out.field("repository", &root.repository);
    out.field("number", root.number);
    out.field("previous", shown(root.previous.as_ref()));
    out.field("plant", &root.plant);
    out.field("recovery", shown(root.recovery.as_ref()));
    out.field("allowed-signers", Digest::of(&root.allowed_signers()));
    let member = |member: &Member| {
        format!("{} {} {}", member.person, if member.is_active { "active" } else { "left" }, member.name)
    };
    out.block("persons", root.persons.iter().map(member));
    out.block("keys", root.keys.iter().map(|held| format!("{} {}", held.person, held.key)));
    out.block("roles", root.roles.iter().map(|granted| format!("{} {}", granted.person, granted.role)));
    out.block("thresholds", root.policy.lines());
    out.block("separation", root.policy.separation.iter().map(|separation| separation.as_str().to_owned()));
    out.bytes()
}

/// A root that nobody could replace, or in which a key is nobody's or two people's, is refused whole.
fn makes_sense(root: &Root) -> Result<(), FormFault> {
    let fault = |why: String| Err(FormFault::sense(why));
    if (root.number == 1) != root.previous.is_none() {
        return fault("root 1 follows none, and every other one follows one".to_owned());
    }
    let active: BTreeSet<&Person> =
        root.persons.iter().filter(|member| member.is_active).map(|member| &member.person).collect();
    let mut owners = BTreeMap::new();
    for held in &root.keys {
        if !active.contains(&held.person) {
            return fault(format!("a key belongs to `{}`, who is not active here", held.person));
        }
        if let Some(other) = owners.insert(held.key, &held.person) {
            return fault(format!("`{other}` and `{}` have the same key", held.person));
        }
    }
    if root.recovery.is_some_and(|key| owners.contains_key(&key)) {
        return fault("the recovery key is also a person's key".to_owned());
    }
    for granted in &root.roles {
        if !owners.values().any(|owner| **owner == granted.person) {
            return fault(format!("`{}` has the role `{}` and no key", granted.person, granted.role));
        }
    }
    can_be_met(root)
}

/// A threshold above the number of people who could meet it would lock the plant out.
fn can_be_met(root: &Root) -> Result<(), FormFault> {
    let short = |what: &str, wanted: u32, there: usize| {
        Err(FormFault::sense(format!("`{what}` wants {wanted} people, and only {there} can")))
    };
    let is_short = |wanted: u32, there: usize| usize::try_from(wanted).is_ok_and(|wanted| wanted > there);
    let holders = root.holders(ROOT).count();
    if is_short(root.policy.root, holders) {
        return short(ROOT, root.policy.root, holders);
    }
    if root.holders(RELEASE).next().is_none() {
        return short(RELEASE, 1, 0);
    }
    let approvers = root.approvers().len();
    for risk in RiskClass::LISTED {
        let threshold = root.policy.threshold(risk);
        if is_short(threshold.people, approvers) {
            return short(risk.as_str(), threshold.people, approvers);
        }
        for (role, wanted) in &threshold.of_which {
            let there = root.holders(role.as_str()).count();
            if is_short(*wanted, there) {
                return short(&format!("{risk}: {role}"), *wanted, there);
            }
        }
    }
    Ok(())
}

/// Returns the role of everybody who approves without a role of his own.
#[must_use]
pub fn plain_approver() -> Role {
    Role::parse(APPROVE).expect("it is a word")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trust::samples;

    #[test]
    fn a_root_is_read_as_it_is_written() {
        let root = samples::root();
        let bytes = root.to_bytes().expect("printed");
        assert_eq!(Root::parse(&bytes), Ok(root.clone()));
        let roster = roster::read(&root.allowed_signers()).expect("a roster");
        assert_eq!(roster, root.signers());
        assert!(roster.iter().any(|signer| signer.principal == "recovery@plant"));
    }

    #[test]
    fn a_root_that_contradicts_itself_is_refused() {
        let root = samples::root();
        let refused = |change: &dyn Fn(&mut Root), part: &str| {
            let mut other = root.clone();
            change(&mut other);
            let told = other.to_bytes().expect_err(part).to_string();
            assert!(told.contains(part), "{told}");
        };
        refused(&|root| root.number = 2, "root 1 follows none");
        refused(&|root| root.keys[1].key = root.keys[0].key, "have the same key");
        refused(&|root| root.recovery = Some(root.keys[0].key), "the recovery key is also");
        refused(&|root| root.persons[0].is_active = false, "who is not active");
        refused(&|root| root.policy.root = 3, "`root` wants 3 people, and only 2 can");
        refused(&|root| root.roles.retain(|granted| granted.role.as_str() != RELEASE), "`release` wants 1");
        refused(&|root| root.keys.retain(|held| held.person.as_str() != "dave"), "and no key");
        refused(&|root| root.roles.reverse(), "out of order");
        refused(
            &|root| root.policy = root.policy.clone().with(RiskClass::Wording, crate::trust::policy::Threshold::of(9)),
            "`wording` wants 9 people",
        );
        let text = String::from_utf8(root.to_bytes().expect("printed")).expect("UTF-8");
        let told = Root::parse(text.replacen("alice safety\n", "", 1).as_bytes()).expect_err("refused").to_string();
        assert!(told.contains("only 0 can") || told.contains("not the digest of the roster"), "{told}");
    }
}
