//! The example plant with a history: people with throw-away keys, three releases, one change that waits; it signs for nobody real.

use crate::base::date::Date;
use crate::base::path::BinderPath;
use crate::history::error::HistoryError;
use crate::history::point::{Author, Files};
use crate::history::repo::Repo;
use crate::task::book::{Book, BookError};
use crate::task::keys::System;
use crate::task::people::{self, PeopleError};
use crate::task::prepare::{self, PrepareError, Wish};
use crate::task::waiting::{self, Since, WaitingError};
use crate::trust::approval::Meaning;
use crate::trust::digest::Digest;
use crate::trust::issue::Hand;
use crate::trust::key::{KeyFault, SigningKey};
use crate::trust::manifest::Trigger;
use crate::trust::word::{Moment, Person, WordFault};
use crate::workspace::chance::NoChance;
use crate::workspace::home::Home;
use crate::workspace::named_file::NamedFileError;
use crate::workspace::new_files::{self, NewFilesError};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

macro_rules! creamery {
    ($($path:literal)*) => {
        /// The example binder, by path.
        const FILES: &[(&str, &str)] = &[$(($path, include_str!(concat!("../../procedures/creamery/", $path))),)*];
    };
}

creamery! {
    "agitators/MP-AG-320.actions" "agitators/MP-AG-320.md" "binder.yaml" "crib-status.yaml" "crib.yaml"
    "families/AG.yaml" "families/HG.yaml" "families/PA.yaml" "families/PX.yaml" "figures/plate-pack.svg"
    "figures/pump-stack.svg" "figures/working-length.svg" "fleet.yaml" "homogenisers/MP-HG-430.actions"
    "homogenisers/MP-HG-430.md" "plates/MP-PX-210.actions" "plates/MP-PX-210.md" "seals/MP-PA-101.actions"
    "seals/MP-PA-101.md"
}

/// The folder of the binder, and that of the keys.
pub const BINDER: &str = "creamery";
/// The folder of the private keys; they are nobody's.
pub const KEYS: &str = "keys";

/// The people: id, name, roles.
const PEOPLE: [(&str, &str, &str); 3] = [
    ("alice", "Alice Brandt", "approve, safety, root"),
    ("bob", "Bob Okoro", "approve, release, root"),
    ("carol", "Carol Vance", "prepare"),
];

/// A row of the pumps as it was before each change: what stood there, and what stands there in the end.
const CLOSURE: (&str, &str) = ("- [3,   24 N·m, ", "- [3,   25 N·m, ");
const NUT: (&str, &str) = ("140 N·m,             TW-4]", "150 N·m,             TW-4]");
const PUMPS: &str = "families/PA.yaml";

/// Days before now on which things were done.
const FOUNDED: u64 = 100;
const DAY: u64 = 86_400;

/// Why there is no example.
#[derive(Debug, thiserror::Error)]
pub enum DemoError {
    /// The files.
    #[error(transparent)]
    New(#[from] NewFilesError),
    /// A key.
    #[error(transparent)]
    File(#[from] NamedFileError),
    /// The history.
    #[error(transparent)]
    History(#[from] HistoryError),
    /// The statements.
    #[error(transparent)]
    Book(#[from] BookError),
    /// The people.
    #[error(transparent)]
    People(#[from] PeopleError),
    /// A change.
    #[error(transparent)]
    Prepare(#[from] PrepareError),
    /// Its approval or release.
    #[error(transparent)]
    Waiting(#[from] WaitingError),
    /// A key that cannot be made.
    #[error(transparent)]
    Key(#[from] KeyFault),
    /// Chance.
    #[error(transparent)]
    Chance(#[from] NoChance),
    /// A name.
    #[error(transparent)]
    Word(#[from] WordFault),
    /// The clock.
    #[error("the clock shows a time in which no example can be set")]
    Clock,
}

/// What was made.
#[derive(Clone, Debug)]
pub struct Example {
    /// The binder.
    pub binder: PathBuf,
    /// The change that waits.
    pub waits: Digest,
}

/// Makes the example in a folder; nothing is ever written over.
///
/// # Errors
/// A [`DemoError`] where something is there already, or the platform refuses.
pub fn make(folder: &Path, now: Moment) -> Result<Example, DemoError> {
    let keys = keys()?;
    let mut all: Vec<(BinderPath, Vec<u8>)> = Vec::new();
    for (path, text) in at_first() {
        all.push((inside(BINDER, path), text.into_bytes()));
    }
    all.push((inside(BINDER, people::FILE), list(&keys).into_bytes()));
    new_files::write(folder, &all)?;
    let home = Home { config: folder.join(KEYS), state: folder.join(KEYS).join("seen") };
    for (person, key) in &keys {
        Home { config: folder.to_owned(), ..home.clone() }.keep_key(
            person.as_str(),
            &key.to_file()?,
            &key.public_file(),
        )?;
    }
    let binder = folder.join(BINDER);
    let repo = Repo::make(&binder)?;
    let mut plant = Plant { binder, repo, home, keys, now, day: FOUNDED };
    plant.found()?;
    plant.releases()?;
    let waits = plant.change(
        (PUMPS, NUT.0, NUT.1),
        &Told {
            title: "Impeller nut of size 4 at 150 N·m",
            reason: "the nut of P-130 worked loose twice; site data sheet DS-PA-3",
            trigger: Trigger::Redline,
        },
        &["MP-PA-101"],
        1,
    )?;
    Ok(Example { binder: plant.binder, waits })
}

/// The binder as it was when the plant began.
fn at_first() -> Vec<(&'static str, String)> {
    let early = |path: &str, text: &str| match path {
        PUMPS => text.replacen(CLOSURE.1, CLOSURE.0, 1).replacen(NUT.1, NUT.0, 1),
        _ => text.to_owned(),
    };
    FILES.iter().map(|(path, text)| (*path, early(path, text))).collect()
}

fn inside(folder: &str, path: &str) -> BinderPath {
    BinderPath::parse(&format!("{folder}/{path}")).expect("the example has plain names")
}

fn keys() -> Result<Vec<(Person, SigningKey)>, DemoError> {
    let mut chance = System::new()?;
    let key = |(id, ..): &(&str, &str, &str)| Ok((Person::parse(id)?, SigningKey::new(&mut chance, id)?));
    PEOPLE.iter().map(key).collect()
}

fn list(keys: &[(Person, SigningKey)]) -> String {
    let mut text = String::from("# Invented people with throw-away keys.\npeople:\n");
    for ((id, name, roles), (_, key)) in PEOPLE.iter().zip(keys) {
        let key = key.public();
        let _ = writeln!(text, "  - {{id: {id}, name: {name}, roles: [{roles}], keys: [\"{key}\"]}}");
    }
    text.push_str("approvals: {wording: 1, value: 1, sequence: 1, applicability: 1, safety: {people: 2, of-which: {safety: 1}}}\nroot: 2\n");
    text
}

/// What a change is called.
struct Told {
    title: &'static str,
    reason: &'static str,
    trigger: Trigger,
}

/// The invented plant at work.
struct Plant {
    binder: PathBuf,
    repo: Repo,
    home: Home,
    keys: Vec<(Person, SigningKey)>,
    now: Moment,
    /// How many days ago it is.
    day: u64,
}

impl Plant {
    fn moment(&self) -> Result<Moment, DemoError> {
        let now = u64::try_from(self.now.unix_second()).map_err(|_| DemoError::Clock)?;
        let then = now.checked_sub(self.day * DAY).ok_or(DemoError::Clock)?;
        Moment::at_second(then).ok_or(DemoError::Clock)
    }

    fn today(&self) -> Result<Date, DemoError> {
        Ok(self.moment()?.date())
    }

    fn hand(&self, id: &str) -> Result<Hand<'_>, DemoError> {
        let (person, key) = self.keys.iter().find(|(own, _)| own.as_str() == id).expect("the plant knows its people");
        Ok(Hand { person, key, at: self.moment()? })
    }

    fn put(&self, files: &Files, words: &str, id: &str) -> Result<(), DemoError> {
        let name = PEOPLE.iter().find(|(own, ..)| *own == id).map_or(id, |(_, name, _)| name);
        let author =
            Author { name: name.to_owned(), address: format!("{id}@plant"), second: self.moment()?.unix_second() };
        self.repo.put(self.repo.tip()?, files, words, &author)?;
        Ok(self.repo.lay_out(files.keys().filter(|path| crate::base::path::is_protected(path)).cloned())?)
    }

    fn book(&self) -> Result<Book<'_>, DemoError> {
        Ok(Book::read(&self.repo, &self.home)?)
    }

    /// Saves the binder and brings the list of people into force.
    fn found(&mut self) -> Result<(), DemoError> {
        let mut files: Files =
            at_first().into_iter().map(|(path, text)| (path.to_owned(), Some(text.into_bytes()))).collect();
        files.insert(people::FILE.to_owned(), Some(list(&self.keys).into_bytes()));
        self.put(&files, "The binder as it was", "carol")?;
        let root = people::draft(&self.binder, "Example creamery", None)?;
        let mut signed = Files::new();
        for id in ["alice", "bob"] {
            for (name, bytes) in people::sign(&root, None, self.hand(id)?.key)? {
                let path = inside(people::FOLDER, &name);
                new_files::replace(&self.binder, &[(path.clone(), bytes.clone())])?;
                signed.insert(path.to_string(), Some(bytes));
            }
        }
        self.put(&signed, "The list of people is signed", "bob")?;
        let proposed = people::proposed(&self.binder, 1)?.ok_or(PeopleError::NothingSigned)?;
        let hand = self.hand("bob")?;
        let entered = people::enter(Some(&self.book()?), &proposed, hand.key, hand.at)?;
        self.put(&entered, "People: list 1 is in force", "bob")
    }

    fn releases(&mut self) -> Result<(), DemoError> {
        self.day = 90;
        let first = Told {
            title: "Renew the single shaft seal: first release",
            reason: "it replaces the sheets that hung at the pumps",
            trigger: Trigger::Supersession,
        };
        let digest = self.prepared(&first, &["MP-PA-101"])?;
        self.approved_and_released(&digest, &["alice", "bob"])?;
        self.day = 60;
        let others = Told {
            title: "Plate packs, agitators and homogenisers: first release",
            reason: "they replace the folders in the workshop",
            trigger: Trigger::Supersession,
        };
        let digest = self.prepared(&others, &["MP-AG-320", "MP-HG-430", "MP-PX-210"])?;
        self.approved_and_released(&digest, &["alice", "bob"])?;
        let closure = Told {
            title: "Casing closure of size 3 at 25 N·m",
            reason: "the data sheet of the pumps says so",
            trigger: Trigger::Review,
        };
        let digest = self.change((PUMPS, CLOSURE.0, CLOSURE.1), &closure, &["MP-PA-101"], 30)?;
        self.approved_and_released(&digest, &["alice"])
    }

    /// Changes one text, saves it and hands it over.
    fn change(
        &mut self,
        (path, from, to): (&str, &str, &str),
        told: &Told,
        documents: &[&str],
        day: u64,
    ) -> Result<Digest, DemoError> {
        self.day = day;
        let file = BinderPath::parse(path).expect("the example has plain names");
        let bytes = crate::workspace::named_file::read(&self.binder.join(path))?;
        let text = String::from_utf8_lossy(&bytes).replacen(from, to, 1).into_bytes();
        new_files::replace(&self.binder, &[(file, text.clone())])?;
        self.put(&Files::from([(path.to_owned(), Some(text))]), told.title, "carol")?;
        self.prepared(told, documents)
    }

    fn prepared(&self, told: &Told, documents: &[&str]) -> Result<Digest, DemoError> {
        let documents: Vec<String> = documents.iter().map(|own| (*own).to_owned()).collect();
        let wish = Wish {
            title: told.title,
            reason: told.reason,
            trigger: told.trigger,
            documents: &documents,
            until: None,
            class: None,
        };
        let hand = self.hand("carol")?;
        let book = self.book()?;
        let prepared = prepare::prepare(&self.repo, &book, hand.person, &wish, self.today()?)?;
        let (digest, files) = prepare::sign(&book, waiting::root(&book)?, &prepared, hand)?;
        self.put(&files, &format!("Prepared: {}", told.title), "carol")?;
        Ok(digest)
    }

    fn approved_and_released(&self, digest: &Digest, people: &[&str]) -> Result<(), DemoError> {
        for id in people {
            let book = self.book()?;
            let change = waiting::named(&book, Some(&digest.to_string()))?;
            let hand = self.hand(id)?;
            let role = waiting::role_for(waiting::root(&book)?, &change, hand).ok_or(WaitingError::NoPeople)?;
            let issued = waiting::say(&book, &change, hand, (&role, Meaning::ApprovedForUse))?;
            let files = issued.files.into_iter().map(|(path, bytes)| (path, Some(bytes))).collect();
            self.put(&files, &format!("Approved: {}", change.manifest.title), id)?;
        }
        let book = self.book()?;
        let change = waiting::named(&book, Some(&digest.to_string()))?;
        let hand = self.hand("bob")?;
        let today = self.today()?;
        let dates = (today, today.plus_months(12));
        let (seq, issued) = waiting::release(&self.repo, &book, &change, hand, dates, Since::MustBeSame)?;
        let files = issued.files.into_iter().map(|(path, bytes)| (path, Some(bytes))).collect();
        self.put(&files, &format!("Released {seq}: {}", change.manifest.title), "bob")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    #[expect(clippy::disallowed_methods, reason = "the example's folder is looked at")]
    fn the_example_holds_every_file_of_the_creamery() {
        fn below(folder: &Path, found: &mut Vec<PathBuf>) {
            for entry in fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() { below(&path, found) } else { found.push(path) }
            }
        }
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("procedures/creamery");
        let mut found = Vec::new();
        below(&root, &mut found);
        let mut names: Vec<String> =
            found.iter().map(|path| path.strip_prefix(&root).unwrap().to_string_lossy().replace('\\', "/")).collect();
        names.sort();
        let own: Vec<&str> = FILES.iter().map(|(path, _)| *path).collect();
        assert_eq!(names, own);
        let early = at_first();
        let pumps = early.iter().find(|(path, _)| *path == PUMPS).unwrap();
        assert!(pumps.1.contains(CLOSURE.0) && pumps.1.contains(NUT.0));
    }
}
