//! `approve`, `refuse`, `take-back`, `waiting`: what a supervisor reads, in the order of his doubts, and what he signs.

use crate::base::risk::RiskClass;
use crate::cli::arguments::{Common, Format};
use crate::cli::commands::changes::for_a_person;
use crate::cli::commands::hand::{self, Desk};
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::cli::trust_arguments::{Approve, Refuse, WaitingAsked};
use crate::report::clean;
use crate::report::json;
use crate::report::table::{self, Table};
use crate::report::tally::counted;
use crate::task::book::Book;
use crate::task::changes::{Changes, Group};
use crate::task::screen::{self, Checks, Fresh, Screen};
use crate::task::waiting::{self, Fate, Waiting};
use crate::trust::approval::{Meaning, Objection};
use crate::trust::digest::Digest;
use crate::trust::issue::Hand;
use crate::trust::weigh::Missing;
use crate::trust::word::{Person, Role};
use serde::Serialize;
use std::fmt::Write as _;
use std::io::Write as _;

/// Returns the letters by which people call a change.
pub(super) fn called(digest: &Digest) -> String {
    digest.short()[..8].to_owned()
}

/// Returns what changes, for a person.
pub(super) fn shown(changes: &Changes) -> String {
    for_a_person(changes)
}

pub(super) fn run(asked: &Approve, io: &mut Io) -> Result<Exit, Failure> {
    let desk = if asked.dry_run { Desk::at(io, &asked.place)? } else { Desk::to_sign(io, &asked.place)? };
    let book = Book::read(desk.repo(), &desk.home)?;
    let root = waiting::root(&book)?;
    let change = waiting::named(&book, asked.change.as_deref())?;
    let screen = screen::screen(desk.repo(), &book, &change, desk.today())?;
    let key = if asked.dry_run { None } else { Some(hand::unlock(io, &desk.home, &asked.signing)?) };
    let person = key.as_ref().map(|key| hand::person(root, key)).transpose()?;
    io.out.write_all(drawn(&change, &screen, person.as_ref()).as_bytes())?;
    io.out.flush()?;
    let (Some(key), Some(person)) = (key, person) else { return Ok(Exit::Clean) };
    may_still(&change)?;
    let hand = Hand { person: &person, key: &key, at: desk.now };
    let role = match &asked.role {
        Some(role) => Role::parse(role).map_err(|fault| Failure::new(Exit::Usage, fault.to_string()))?,
        None => waiting::role_for(root, &change, hand).ok_or_else(|| {
            Failure::new(Exit::Refused, format!("{person} has no role in which anything is approved"))
        })?,
    };
    let meaning = if asked.reviewed { Meaning::Reviewed } else { Meaning::ApprovedForUse };
    // Who may not sign is not led through all of it first.
    if meaning == Meaning::ApprovedForUse && change.manifest.prepared_by == person {
        return Err(Failure::new(Exit::Refused, format!("{person} made this change, and nobody approves his own"))
            .hint("somebody else approves it"));
    }
    let said = if asked.reviewed { "reviewed" } else { "approved" };
    // Said twice it would be a second statement, in whatever role is still missing then; the first would no longer count.
    if waiting::has_said(&change, &person, &meaning, asked.role.as_ref().map(|_| &role)) {
        writeln!(io.err, "{person} has {said} {} already; nothing was signed", called(&change.digest))?;
        return Ok(Exit::Clean);
    }
    if let Some(Meaning::Refused(objection)) = change.said.stance(&person).map(|own| &own.approval.meaning)
        && meaning == Meaning::ApprovedForUse
    {
        writeln!(
            io.err,
            "You refused this ({}): approving it takes that back.",
            clean::line(objection.reason.as_str())
        )?;
    }
    match &asked.seen {
        Some(letters) => was_seen(letters, &change.digest)?,
        None => ask(io, &screen)?,
    }
    say(&desk, &book, io, (&change, hand), (&role, meaning), said)
}

/// A change that is released or overtaken is past approving.
fn may_still(change: &Waiting) -> Result<(), Failure> {
    match change.fate {
        Fate::Waits => Ok(()),
        Fate::Overtaken => Err(Failure::new(
            Exit::Refused,
            "another change of the same document was released first, so this one is out of date",
        )
        .hint("who made it prepares it anew: `matchmark prepare`")),
        Fate::Released(seq) => Err(Failure::new(Exit::Refused, format!("it is released already, as {seq}"))
            .hint("`matchmark withdraw` takes a release out of force")),
    }
}

fn was_seen(letters: &str, digest: &Digest) -> Result<(), Failure> {
    if letters.eq_ignore_ascii_case(&digest.short()) {
        return Ok(());
    }
    Err(Failure::new(
        Exit::Refused,
        format!("`{letters}` is not what stands at the end of this change; nothing was signed"),
    )
    .hint("`matchmark approve -n` prints it; read it there"))
}

/// Each value and each point of safety is confirmed for itself; wording is one question.
fn ask(io: &mut Io, screen: &Screen) -> Result<(), Failure> {
    if !io.is_asked() {
        return Err(Failure::new(Exit::Usage, "nobody can be asked, so nothing was signed")
            .hint("read it all; then `--seen` and the twelve letters at the end sign it"));
    }
    let weighty: Vec<&Group> =
        screen.changes.changes.iter().filter(|own| own.change.class > RiskClass::Wording).collect();
    let wording = screen.changes.changes.len() - weighty.len();
    let mut whole: Vec<String> = screen.temporary.iter().chain(&screen.returning).cloned().collect();
    whole.extend(screen.fresh.iter().map(fresh));
    let questions = weighty.len() + whole.len() + usize::from(wording > 0) + 1;
    writeln!(
        io.err,
        "\nEach point is confirmed for itself: y = seen and right, anything else stops and signs nothing."
    )?;
    for (at, own) in weighty.iter().enumerate() {
        let change = &own.change;
        let (from, to) = (said(&change.from), said(&change.to));
        let line = format!("{}  {}: {from} -> {to}  [{}]", own.document, change.what, own.tags.join(" "));
        confirm(io, &format!("{}/{questions}  {}  {}", at + 1, change.class, clean::line(&line)))?;
    }
    for (at, line) in whole.iter().enumerate() {
        confirm(io, &format!("{}/{questions}  {}", weighty.len() + at + 1, clean::line(line)))?;
    }
    if wording > 0 {
        confirm(io, &format!("{}/{questions}  {} of wording only", questions - 1, counted(wording, "change")))?;
    }
    confirm(io, &format!("{questions}/{questions}  you have read what was not checked"))
}

/// What is new in an area is confirmed as a whole; its lines stand above.
fn fresh(own: &Fresh) -> String {
    format!("new in {}: {} of {}, as they stand above", own.document, own.lines.len(), own.area.plural())
}

fn said(text: &str) -> &str {
    if text.is_empty() { "nothing" } else { text }
}

fn confirm(io: &mut Io, point: &str) -> Result<(), Failure> {
    let answer = io.ask(&format!("  {point}\n  y? "))?.unwrap_or_default();
    if answer.trim().eq_ignore_ascii_case("y") || answer.trim().eq_ignore_ascii_case("yes") {
        return Ok(());
    }
    Err(Failure::new(Exit::Refused, "nothing was signed")
        .hint("`matchmark refuse --reason ... --step ...` returns the change to who made it"))
}

/// Signs and puts in what a person says, and tells what is still missing.
fn say(
    desk: &Desk,
    book: &Book<'_>,
    io: &mut Io,
    (change, hand): (&Waiting, Hand<'_>),
    (role, meaning): (&Role, Meaning),
    said: &str,
) -> Result<Exit, Failure> {
    let issued = waiting::say(book, change, hand, (role, meaning))?;
    let files = issued.files.into_iter().map(|(path, bytes)| (path, Some(bytes))).collect();
    let title = clean::line(change.manifest.title.as_str());
    let mut words = format!("{said}: {title}");
    words[..1].make_ascii_uppercase();
    desk.put(io, book.files.state(), &files, (&words, hand.person))?;
    writeln!(io.out, "{} has {said} {}: {title}", hand.person, called(&change.digest))?;
    io.out.flush()?;
    let after = waiting::named(&Book::read(desk.repo(), &desk.home)?, Some(&change.digest.to_string()))?;
    for missing in &after.standing.missing {
        writeln!(io.err, "It still needs: {missing}")?;
    }
    if after.standing.is_met() {
        writeln!(
            io.err,
            "Nothing is missing. Then: `matchmark sync`, and `matchmark release {}`.",
            called(&change.digest)
        )?;
    } else {
        writeln!(io.err, "Then: `matchmark sync` sends it.")?;
    }
    Ok(Exit::Clean)
}

pub(super) fn refuse(asked: &Refuse, io: &mut Io) -> Result<Exit, Failure> {
    object(asked, io, Meaning::Refused, "refused")
}

/// What a person has done who takes something back.
const TAKEN_BACK: &str = "taken back what was said of";

pub(super) fn take_back(asked: &Refuse, io: &mut Io) -> Result<Exit, Failure> {
    object(asked, io, Meaning::Retracted, TAKEN_BACK)
}

fn object(asked: &Refuse, io: &mut Io, meaning: fn(Objection) -> Meaning, said: &str) -> Result<Exit, Failure> {
    let desk = Desk::to_sign(io, &asked.place)?;
    let book = Book::read(desk.repo(), &desk.home)?;
    let root = waiting::root(&book)?;
    let change = waiting::named(&book, asked.change.as_deref())?;
    let objection =
        Objection { reason: hand::line(&asked.reason)?, step: asked.step.as_deref().map(hand::line).transpose()? };
    let key = hand::unlock(io, &desk.home, &asked.signing)?;
    let person = hand::person(root, &key)?;
    let hand = Hand { person: &person, key: &key, at: desk.now };
    // In the role in which he spoke before, else in any.
    let stance = change.said.stance(&person).map(|own| &own.approval);
    let before = stance.map(|own| own.role.clone());
    let stands = stance.is_some_and(|own| !matches!(own.meaning, Meaning::Retracted(_)));
    if !stands && said == TAKEN_BACK {
        return Err(Failure::new(
            Exit::Refused,
            format!("{person} has said nothing of {} that stands", called(&change.digest)),
        )
        .hint("`matchmark waiting` shows who has said what"));
    }
    let role = before.or_else(|| waiting::role_for(root, &change, hand));
    let role =
        role.ok_or_else(|| Failure::new(Exit::Refused, format!("{person} has no role in which anything is approved")))?;
    say(&desk, &book, io, (&change, hand), (&role, meaning(objection)), said)
}

pub(super) fn waiting(asked: &WaitingAsked, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let desk = Desk::at(io, &asked.place)?;
    let book = Book::read(desk.repo(), &desk.home)?;
    let mut all = waiting::every(&book)?;
    all.retain(|one| asked.all || one.fate == Fate::Waits);
    let text = match common.format {
        Format::Human | Format::Html | Format::Sarif => all.iter().map(line).collect::<String>(),
        Format::Json => json::list(&all.iter().map(WaitingLine::of).collect::<Vec<_>>()),
        Format::Csv => table::csv(&listed(&all)),
        Format::Plain => table::plain(&listed(&all)),
    };
    io.out.write_all(text.as_bytes())?;
    io.out.flush()?;
    let count = all.iter().filter(|one| one.fate == Fate::Waits).count();
    writeln!(io.err, "{} waiting", counted(count, "change"))?;
    Ok(Exit::Clean)
}

fn is_refused(one: &Waiting) -> bool {
    one.standing.missing.iter().any(|missing| matches!(missing, Missing::Refusal { .. }))
}

fn fate(one: &Waiting) -> String {
    match one.fate {
        Fate::Waits if one.standing.is_met() => "approved, to be released".to_owned(),
        Fate::Waits if is_refused(one) => "refused, with who made it".to_owned(),
        Fate::Waits => "waits".to_owned(),
        Fate::Overtaken => "overtaken by another change".to_owned(),
        Fate::Released(seq) => format!("released as {seq}"),
    }
}

fn documents(one: &Waiting) -> String {
    let each = one.manifest.documents.iter().map(|own| format!("{} revision {}", own.document, own.revision));
    each.collect::<Vec<_>>().join(", ")
}

fn line(one: &Waiting) -> String {
    let title = clean::line(one.manifest.title.as_str());
    let mut text = format!("{}  {title}\n      {}: {}\n", called(&one.digest), one.manifest.class, documents(one));
    let _ = writeln!(text, "      made by {}; {}", one.manifest.prepared_by, fate(one));
    if one.fate == Fate::Waits {
        for missing in &one.standing.missing {
            let _ = writeln!(text, "      needs: {}", clean::line(&missing.to_string()));
        }
    }
    text
}

/// A change for programs.
#[derive(Serialize)]
struct WaitingLine {
    change: String,
    class: String,
    title: String,
    documents: Vec<String>,
    made_by: String,
    until: String,
    state: String,
    needs: Vec<String>,
}

impl WaitingLine {
    fn of(one: &Waiting) -> Self {
        let revised = one.manifest.documents.iter();
        Self {
            change: one.digest.to_string(),
            class: one.manifest.class.to_string(),
            title: one.manifest.title.to_string(),
            documents: revised.map(|own| format!("{} revision {}", own.document, own.revision)).collect(),
            made_by: one.manifest.prepared_by.to_string(),
            until: one.manifest.until.map(|until| until.to_string()).unwrap_or_default(),
            state: fate(one),
            needs: one.standing.missing.iter().map(ToString::to_string).collect(),
        }
    }
}

fn listed(all: &[Waiting]) -> Table {
    let row = |one: &Waiting| {
        let line = WaitingLine::of(one);
        let (documents, needs) = (line.documents.join(", "), line.needs.join("; "));
        vec![line.change, line.class, line.title, documents, line.made_by, line.until, line.state, needs]
    };
    let head = vec!["change", "class", "title", "documents", "made by", "until", "state", "needs"];
    Table { head, rows: all.iter().map(row).collect() }
}

/// Draws what a supervisor must see, in the order of his doubts.
fn drawn(change: &Waiting, screen: &Screen, person: Option<&Person>) -> String {
    let manifest = &change.manifest;
    let mut text = String::new();
    for (document, title, last, next) in &screen.documents {
        let last = last.map_or("new".to_owned(), |last| format!("revision {last}"));
        let _ = writeln!(text, "{document}  {}   {last} -> revision {next}", clean::line(title));
    }
    let _ = writeln!(text, "{}   class: {}", clean::line(manifest.title.as_str()), manifest.class);
    if let Some(until) = manifest.until {
        let _ = writeln!(text, "TEMPORARY: until {until}; then what was in force before is in force again");
    }
    let trigger = match manifest.trigger.as_str() {
        "none" => String::new(),
        trigger => format!("  ({trigger})"),
    };
    let _ = writeln!(text, "\nWhy     {}{trigger}", clean::line(manifest.reason.as_str()));
    text.push_str(&who(change, person));
    text.push_str("\nWhat changes, in meaning\n");
    text.push_str(&shown(&screen.changes));
    for own in &screen.fresh {
        let _ = writeln!(text, "\nNew in {}: {}", own.document, own.area.plural());
        for line in &own.lines {
            let _ = writeln!(text, "  {}", clean::line(line));
        }
    }
    for line in &screen.temporary {
        let _ = writeln!(text, "TEMPORARY CHANGE ENDS: {}", clean::line(line));
    }
    for line in &screen.returning {
        let _ = writeln!(text, "WAS WITHDRAWN: {}", clean::line(line));
    }
    text.push_str(&places(screen));
    text.push_str(&checked(screen));
    text.push_str("\nNot checked\n");
    for line in &screen.not_checked {
        let _ = writeln!(text, "  {}", clean::line(line));
    }
    text.push_str("\nNeeds\n");
    for missing in &change.standing.missing {
        let _ = writeln!(text, "  {}", clean::line(&missing.to_string()));
    }
    if change.standing.is_met() {
        text.push_str("  nothing more: it can be released\n");
    }
    let _ = writeln!(text, "\nWhat is signed is called {}", change.digest.short());
    text
}

fn who(change: &Waiting, person: Option<&Person>) -> String {
    let mut text = String::new();
    for (at, own) in change.said.statements.iter().enumerate() {
        let approval = &own.approval;
        let head = if at == 0 { "Who" } else { "" };
        let you = if person == Some(&approval.person) { "  (you)" } else { "" };
        let _ = writeln!(
            text,
            "{head:<7} {} {}, {}{you}",
            approval.meaning.as_str(),
            clean::line(approval.name.as_str()),
            approval.signed_at
        );
        if let Meaning::Refused(objection) | Meaning::Retracted(objection) = &approval.meaning {
            let step = objection.step.as_ref().map(|step| format!(" ({step})")).unwrap_or_default();
            let _ = writeln!(text, "          {}{}", clean::line(objection.reason.as_str()), clean::line(&step));
        }
    }
    for (path, verdict) in &change.said.dismissed {
        let _ = writeln!(text, "        does not count: {path}: {}", clean::line(&verdict.told));
    }
    text
}

fn places(screen: &Screen) -> String {
    let mut text = String::from("\nWhere\n");
    for (document, tags, all) in &screen.machines {
        let names: Vec<&str> = tags.iter().map(crate::base::name::Tag::as_str).collect();
        let _ = writeln!(text, "  {document}: {} of {} ({})", tags.len(), counted(*all, "machine"), names.join(" "));
    }
    for (document, cards) in screen.cards.iter().filter(|(_, cards)| cards.new > 0 || !cards.old.is_empty()) {
        if cards.new > 0 {
            let _ = writeln!(text, "  {document}: {} to hang", counted(cards.new, "new card"));
        }
        for (words, tags) in &cards.old {
            let names: Vec<&str> = tags.iter().map(crate::base::name::Tag::as_str).collect();
            let _ = writeln!(text, "  {document}: take down the card `{words}` ({})", names.join(" "));
        }
    }
    text
}

fn checked(screen: &Screen) -> String {
    let mut text = String::from("\nChecks\n");
    match &screen.checks {
        Checks::Done { errors, warnings, same, other, rules, told } => {
            let found = format!("{} and {}", counted(*errors, "error"), counted(*warnings, "warning"));
            let _ = writeln!(text, "  {rules} rules looked at the sources: {found}");
            for line in told {
                let _ = writeln!(text, "    {}", clean::line(line));
            }
            let _ =
                writeln!(text, "  {} made again from the sources came out as the same bytes", counted(*same, "packet"));
            if *other > 0 {
                let told = "did not: another version of this program made them, or they were made by hand";
                let _ = writeln!(text, "  {} {told}", counted(*other, "packet"));
            }
        }
        Checks::NotThere(why) => {
            let _ = writeln!(text, "  THE SOURCES COULD NOT BE CHECKED: {}", clean::line(why));
        }
    }
    for [rule, finding, reason, by, until] in &screen.accepted {
        let line = format!("accepted by {by} until {until}: {finding} ({reason}) [{rule}]");
        let _ = writeln!(text, "  {}", clean::line(&line));
    }
    text
}
