//! `people`: who may do what, drafted in a file, signed by the holders of the root, brought into force by a releaser.

use crate::base::risk::RiskClass;
use crate::cli::commands::hand::{self, Desk};
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::cli::trust_arguments::{People, Signing, Where};
use crate::report::clean;
use crate::task::book::Book;
use crate::task::people::{self, FILE, FOLDER, PeopleError};
use crate::trust::issue;
use crate::trust::record::Entry;
use crate::trust::root::Root;
use crate::trust::word::{OneLine, Person, Seq};
use crate::workspace::{named_file, new_files};
use std::fmt::Write as _;
use std::io::Write as _;

pub(super) fn run(asked: &People, io: &mut Io) -> Result<Exit, Failure> {
    match asked {
        People::Show(place) => show(place, io),
        People::Example => {
            io.out.write_all(people::example().as_bytes())?;
            Ok(Exit::Clean)
        }
        People::Sign { place, signing } => sign(place, signing, io),
        People::Enter { place, signing } => enter(place, signing, io),
        People::Stolen { person, since, reason, place, signing } => {
            let person = Person::parse(person).map_err(|fault| Failure::new(Exit::Usage, fault.to_string()))?;
            let since = Seq::new(*since).ok_or_else(|| Failure::new(Exit::Usage, "the ledger begins with 1"))?;
            stolen((person, since, hand::line(reason)?), place, signing, io)
        }
    }
}

fn show(place: &Where, io: &mut Io) -> Result<Exit, Failure> {
    let desk = Desk::at(io, place)?;
    let book = Book::read(desk.repo(), &desk.home)?;
    let Some(rooted) = book.ledger.root() else {
        writeln!(io.err, "Nobody may sign anything in this binder yet.")?;
        // What stands filled in there is not to be written over by an example.
        let next = if named_file::read(&desk.folder.join(FILE)).is_ok() {
            format!("`matchmark people sign` signs what stands in `{FILE}`")
        } else {
            format!("`matchmark people example > {FILE}` begins the list")
        };
        writeln!(io.err, "  hint: {next}")?;
        return Ok(Exit::Findings);
    };
    io.out.write_all(listed(&rooted.root).as_bytes())?;
    io.out.flush()?;
    writeln!(io.err, "List {}, known by {}", rooted.root.number, rooted.digest)?;
    Ok(Exit::Clean)
}

fn listed(root: &Root) -> String {
    let mut text = String::new();
    for member in &root.persons {
        let roles: Vec<&str> = root.roles_of(&member.person).map(crate::trust::word::Role::as_str).collect();
        let roles = if member.is_active { roles.join(", ") } else { "has left".to_owned() };
        let name = clean::line(member.name.as_str());
        let _ = writeln!(text, "{:<14} {name:<24} {roles}", member.person.as_str());
    }
    text.push('\n');
    for class in RiskClass::LISTED {
        let threshold = root.policy.threshold(class);
        let own = threshold.of_which.iter().map(|(role, number)| format!(", {number} of them as {role}"));
        let _ = writeln!(text, "{class:<14} approved by {}{}", threshold.people, own.collect::<String>());
    }
    let _ = writeln!(text, "{:<14} signed by {} with the role root", "this list", root.policy.root);
    for separation in &root.policy.separation {
        let _ = writeln!(text, "{:<14} {}", "kept apart", separation.as_str().replace(' ', " and "));
    }
    text
}

fn plant(desk: &Desk) -> Result<String, Failure> {
    let disk = crate::task::open::open(&desk.folder)?;
    Ok(crate::model::load::load(&disk)?.0.settings.plant)
}

fn sign(place: &Where, signing: &Signing, io: &mut Io) -> Result<Exit, Failure> {
    let desk = Desk::to_sign(io, place)?;
    let book = Book::read(desk.repo(), &desk.home)?;
    let before = book.ledger.root();
    let root = people::draft(&desk.folder, &plant(&desk)?, before)?;
    let key = hand::unlock(io, &desk.home, signing)?;
    let files = people::sign(&root, before, &key)?;
    let there = people::proposed(&desk.folder, root.number)?;
    let is_other = there.is_some_and(|there| there.root != root);
    if is_other {
        writeln!(io.err, "`{FILE}` was changed since others signed it: their signatures no longer hold.")?;
    }
    let path = |name: &String| crate::base::path::BinderPath::parse(&format!("{FOLDER}/{name}"));
    let files: Vec<_> =
        files.into_iter().map(|(name, bytes)| (path(&name).expect("the program makes plain names"), bytes)).collect();
    new_files::replace(&desk.folder, &files)?;
    let signed = people::proposed(&desk.folder, root.number)?.map_or(0, |there| there.signatures.len());
    writeln!(io.out, "Signed list {}: {signed} of {} signatures are in `{FOLDER}/`.", root.number, root.policy.root)?;
    io.out.flush()?;
    writeln!(
        io.err,
        "Then: `matchmark save`, so that the others get it; when enough have signed, `matchmark people enter`."
    )?;
    Ok(Exit::Clean)
}

fn enter(place: &Where, signing: &Signing, io: &mut Io) -> Result<Exit, Failure> {
    let desk = Desk::to_sign(io, place)?;
    let book = Book::read(desk.repo(), &desk.home)?;
    let before = book.ledger.root();
    let number = before.map_or(1, |before| before.root.number + 1);
    let drafted = match people::draft(&desk.folder, &plant(&desk)?, before) {
        // It may have been signed by a command that was ended before it was sent.
        Err(PeopleError::Same) => {
            book.remember(&desk.home)?;
            return desk.send(io, &format!("List {} of people is in force already; nothing was signed.", number - 1));
        }
        drafted => drafted?,
    };
    let proposed = people::proposed(&desk.folder, number)?.ok_or(PeopleError::NothingSigned)?;
    if drafted != proposed.root {
        return Err(PeopleError::Changed.into());
    }
    if let Some(verdict) = book.stops().filter(|_| before.is_some()) {
        return Err(Failure::new(Exit::Refused, format!("nothing is entered while this stands: {verdict}"))
            .hint("`matchmark audit` says more"));
    }
    let key = hand::unlock(io, &desk.home, signing)?;
    let files = people::enter(Some(&book), &proposed, &key, desk.now)?;
    let person = hand::person(&proposed.root, &key)?;
    let words = format!("People: list {number} is in force");
    desk.put(io, book.files.state(), &files, (&words, &person))?;
    let after = Book::read(desk.repo(), &desk.home)?;
    after.remember(&desk.home)?;
    let exit = desk.send(io, &format!("List {number} of people is in force."))?;
    if number == 1 {
        let digest = after.ledger.root().map(|rooted| rooted.digest.to_string()).unwrap_or_default();
        writeln!(
            io.err,
            "Write this on paper and hang it in the office; whoever copies this binder compares it:\n  {digest}"
        )?;
    }
    writeln!(io.err, "Then: `matchmark prepare` hands a change over for approval.")?;
    Ok(exit)
}

fn stolen(
    (person, since, reason): (Person, Seq, OneLine),
    place: &Where,
    signing: &Signing,
    io: &mut Io,
) -> Result<Exit, Failure> {
    let desk = Desk::to_sign(io, place)?;
    let book = Book::read(desk.repo(), &desk.home)?;
    let root = crate::task::waiting::root(&book)?;
    let key = hand::unlock(io, &desk.home, signing)?;
    let releaser = hand::person(root, &key)?;
    let entry = Entry::Compromised { person: person.clone(), since, reason };
    let none = || Failure::new(Exit::Undecided, "the ledger cannot take another record");
    let record = book.ledger.next_record(entry, &releaser, desk.now).ok_or_else(none)?;
    let issued = issue::record(&book.files, &book.ledger, &record, &key)
        .map_err(|refusal| Failure::new(Exit::Refused, refusal.to_string()))?;
    let files = issued.files.into_iter().map(|(path, bytes)| (path, Some(bytes))).collect();
    desk.put(io, book.files.state(), &files, (&format!("The key of {person} was stolen"), &releaser))?;
    Book::read(desk.repo(), &desk.home)?.remember(&desk.home)?;
    let told = format!("Entered as {}: what the key of {person} signed since {since} is in doubt.", record.seq);
    let exit = desk.send(io, &told)?;
    writeln!(
        io.err,
        "Then: take the key out of `{FILE}`, sign and enter the new list; `matchmark audit` lists what is in doubt."
    )?;
    Ok(exit)
}

impl From<PeopleError> for Failure {
    fn from(error: PeopleError) -> Self {
        let (exit, hint) = match &error {
            PeopleError::File(error) => (
                Exit::Undecided,
                match error {
                    crate::workspace::named_file::NamedFileError::Missing(_) => {
                        format!("`matchmark people example > {FILE}` begins the list")
                    }
                    _ => String::new(),
                },
            ),
            PeopleError::Draft(_) | PeopleError::Sense(_) => (Exit::Findings, String::new()),
            PeopleError::Same => (Exit::Clean, String::new()),
            PeopleError::NothingSigned => (Exit::Usage, "`matchmark people sign` signs the draft".to_owned()),
            PeopleError::Changed => {
                (Exit::Refused, "those who signed must sign it again, or put the text back".to_owned())
            }
            PeopleError::Refused(_) => (Exit::Refused, "`matchmark people show` shows who may sign".to_owned()),
            PeopleError::Chance(_) => (Exit::Undecided, String::new()),
        };
        let failure = Self::new(exit, error.to_string());
        if hint.is_empty() { failure } else { failure.hint(hint) }
    }
}
