//! `release` and `withdraw`: what is approved comes into force by one record of the ledger, and goes out of force by another.

use crate::base::date::Date;
use crate::base::name::DocumentNumber;
use crate::cli::commands::approve::called;
use crate::cli::commands::hand::{self, Desk};
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::cli::trust_arguments::{Release, Withdraw};
use crate::report::clean;
use crate::report::tally::counted;
use crate::task::book::Book;
use crate::task::prepare::in_force;
use crate::task::review;
use crate::task::waiting::{self, Fate, Since, Waiting};
use crate::trust::digest::Digest;
use crate::trust::issue::{self, Hand};
use crate::trust::word::Seq;
use std::io::Write as _;

pub(super) fn run(asked: &Release, io: &mut Io) -> Result<Exit, Failure> {
    let desk = Desk::to_sign(io, &asked.place)?;
    let book = Book::read(desk.repo(), &desk.home)?;
    let root = waiting::root(&book)?;
    let change = waiting::named(&book, asked.change.as_deref())?;
    let title = clean::line(change.manifest.title.as_str()).into_owned();
    match change.fate {
        Fate::Waits => {}
        Fate::Released(seq) => {
            let told = format!("{title} is released already, as {seq}; nothing was signed");
            if asked.dry_run {
                writeln!(io.err, "{told}")?;
                return Ok(Exit::Clean);
            }
            // It may have been signed by a command that was ended before it was sent.
            book.remember(&desk.home)?;
            return desk.send(io, &told);
        }
        Fate::Overtaken => {
            return Err(Failure::new(Exit::Refused, "another change of the same document was released first")
                .hint("who made it prepares it anew: `matchmark prepare`"));
        }
    }
    let effective = asked.effective.as_deref().map(hand::day).transpose()?.unwrap_or_else(|| desk.today());
    let review_by = asked.review_by.as_deref().map(hand::day).transpose()?;
    let review_by = match review_by {
        None if change.manifest.until.is_none() => Some(due(&book, &change, effective)?),
        given => given,
    };
    if change.manifest.until.is_some_and(|until| until < effective) {
        return Err(Failure::new(Exit::Usage, "the temporary change would run out before its first day")
            .hint("who made it prepares it anew with a later `--until`"));
    }
    let key = hand::unlock(io, &desk.home, &asked.signing)?;
    let person = hand::person(root, &key)?;
    let since = if asked.as_approved { Since::MayDiffer } else { Since::MustBeSame };
    let hand = Hand { person: &person, key: &key, at: desk.now };
    let (seq, issued) = waiting::release(desk.repo(), &book, &change, hand, (effective, review_by), since)?;
    let documents = change.manifest.documents.iter().map(|own| format!("{} revision {}", own.document, own.revision));
    let documents = documents.collect::<Vec<_>>().join(", ");
    let packets = counted(change.manifest.resolved.len(), "packet");
    if asked.dry_run {
        writeln!(io.out, "{documents} would be released as {seq}, in force from {effective}: {packets}")?;
        writeln!(io.err, "nothing was released")?;
        return Ok(Exit::Clean);
    }
    let files = issued.files.into_iter().map(|(path, bytes)| (path, Some(bytes))).collect();
    desk.put(io, book.files.state(), &files, (&format!("Released {seq}: {title}"), &person))?;
    let exit = desk.send(io, &format!("Released {documents} as {seq}, in force from {effective}: {packets}"))?;
    Book::read(desk.repo(), &desk.home)?.remember(&desk.home)?;
    if exit == Exit::Clean {
        writeln!(io.err, "Then: `matchmark build --released` prints what is in force.")?;
    }
    Ok(exit)
}

/// Returns the first day on which one of the packets is due to be read again, by its own interval.
fn due(book: &Book<'_>, change: &Waiting, effective: Date) -> Result<Date, Failure> {
    let mut first = None;
    for own in &change.manifest.resolved {
        let packet = in_force(book, &own.document, &own.tag, &own.digest)?;
        let day = review::due(effective, &packet.review).ok_or_else(|| {
            Failure::new(Exit::Usage, format!("`{}` does not say how often it is read again", own.document))
                .hint("`--review-by` names the day; `review: 12 months` in the procedure does it for the next time")
        })?;
        first = Some(first.map_or(day, |first: Date| first.min(day)));
    }
    Ok(first.unwrap_or(effective))
}

pub(super) fn withdraw(asked: &Withdraw, io: &mut Io) -> Result<Exit, Failure> {
    let desk = Desk::to_sign(io, &asked.place)?;
    let book = Book::read(desk.repo(), &desk.home)?;
    let root = waiting::root(&book)?;
    let manifest = released(&book, &asked.what)?;
    let from = asked.from.as_deref().map(hand::day).transpose()?.unwrap_or_else(|| desk.today());
    let reason = hand::line(&asked.reason)?;
    if let Some(seq) = book.ledger.withdrawal_of(&manifest) {
        let told = format!("{} is withdrawn already, as {seq}; nothing was signed", called(&manifest));
        if asked.dry_run {
            writeln!(io.err, "{told}")?;
            return Ok(Exit::Clean);
        }
        // It may have been signed by a command that was ended before it was sent.
        book.remember(&desk.home)?;
        return desk.send(io, &told);
    }
    let key = hand::unlock(io, &desk.home, &asked.signing)?;
    let person = hand::person(root, &key)?;
    let entry = book.ledger.withdraw_entry(manifest, reason, from);
    let full = || Failure::new(Exit::Undecided, "the ledger cannot take another record");
    let record = book.ledger.next_record(entry, &person, desk.now).ok_or_else(full)?;
    let issued = issue::record(&book.files, &book.ledger, &record, &key)
        .map_err(|refusal| Failure::new(Exit::Refused, refusal.to_string()))?;
    let title =
        book.ledger.release_of(&manifest).and_then(|sealed| sealed.release.as_ref()).map(|own| own.title.to_string());
    let title = clean::line(&title.unwrap_or_default()).into_owned();
    if asked.dry_run {
        writeln!(io.out, "{title} ({}) would be out of force from {from}", called(&manifest))?;
        writeln!(io.err, "nothing was withdrawn")?;
        return Ok(Exit::Clean);
    }
    let files = issued.files.into_iter().map(|(path, bytes)| (path, Some(bytes))).collect();
    desk.put(io, book.files.state(), &files, (&format!("Withdrawn {}: {title}", record.seq), &person))?;
    let until = book.ledger.release_of(&manifest).and_then(|sealed| sealed.release.as_ref()).and_then(|own| own.until);
    let after = match until {
        // A temporary change hides what stood before only until its last day.
        Some(until) => format!("nothing is in force in its place until {until}, and then what stood before is again"),
        None => "nothing comes back in its place".to_owned(),
    };
    let told = format!("Withdrawn as {}: {title} is out of force from {from}; {after}", record.seq);
    let exit = desk.send(io, &told)?;
    Book::read(desk.repo(), &desk.home)?.remember(&desk.home)?;
    writeln!(io.err, "Take down what was printed of it. What is to be used instead is prepared and released anew.")?;
    Ok(exit)
}

/// Returns the release that is meant: by its number in the ledger, or the last one of a document.
fn released(book: &Book<'_>, what: &str) -> Result<Digest, Failure> {
    let unknown = || {
        Failure::new(Exit::Usage, format!("nothing that was released is called `{what}`"))
            .hint("`matchmark in-force` lists what is in force")
    };
    if let Some(seq) = what.parse::<u32>().ok().and_then(Seq::new) {
        let released = book.ledger.at(seq).and_then(|sealed| sealed.release.as_ref());
        return released.map(|released| released.manifest).ok_or_else(unknown);
    }
    let document = DocumentNumber::new(what.to_uppercase());
    book.ledger.last_revision(&document).map(|(_, manifest)| manifest).ok_or_else(unknown)
}
