//! The sentences that stand on every packet and card whatever its procedure says; they claim nothing that was not done.

use crate::analysis::fastener::load::final_torque;
use crate::analysis::run::{Run, Standing, StepRun};
use crate::packet::view::{Form, Standing as StandingWords};

/// What every packet and card defers to; isolation and stored energy stand first.
const DEFERENCE: [&str; 4] = [
    "Before any work: isolate and lock every energy of this machine, release what is stored, and prove zero.",
    "The equipment maker's instructions, local codes and the site's lockout and permit rules come before this document.",
    "Where they differ from it, or anything is not as described: stop and ask the supervisor.",
    "Only for competent people who are trained for this job and authorised on this site.",
];

/// Returns what a packet or card defers to.
#[must_use]
pub fn deference() -> Vec<String> {
    DEFERENCE.map(str::to_owned).to_vec()
}

/// Returns the sentences and forms of every packet, the same in all its outputs.
#[must_use]
pub fn standing() -> StandingWords {
    StandingWords {
        deference: "What comes before this document".to_owned(),
        no_approval: "Nobody has approved this packet.".to_owned(),
        no_hazard: "The procedure names no hazard. That does not mean that there is none.".to_owned(),
        no_isolation:
            "No isolation point is registered for this machine. That does not mean that there is none: stop, and \
                       ask the isolation authority before anything is opened."
                .to_owned(),
        no_proof: "The register does not say how. Ask the isolation authority; do not start.".to_owned(),
        keep_place:
            "On paper: circle the number when you start a step, tick its box when it is done. Initials only where a \
                     line asks for them. Never sign in advance."
                .to_owned(),
        limit: "LIMIT: never pass it. It is no target.".to_owned(),
        left_hand: "LEFT-HAND THREAD: turn anticlockwise to tighten.".to_owned(),
        outside: "Outside the limit:".to_owned(),
        hold: "Stop. Work goes on when two people have signed.".to_owned(),
        hold_done: "Done by".to_owned(),
        hold_verified: "Verified by another person".to_owned(),
        job_blanks: owned(&[
            "Packet no.",
            "Permit no.",
            "Isolation sheet no.",
            "Valid until",
            "Date of the job",
            "Planned people and hours",
        ]),
        isolation: isolation(),
        handover: handover(),
        count_back: count_back(),
        hygiene: hygiene(),
        redline: redline(),
    }
}

fn isolation() -> Form {
    Form {
        title: "Isolation".to_owned(),
        words: owned(&[
            "Each person who works on the machine hangs a lock of their own on every point. Nobody takes off another person's \
             lock.",
            "Prove zero energy at every boundary before you touch the machine. The site's lockout rules come first.",
        ]),
        points: Vec::new(),
        blanks: owned(&["Result, time", "Initials"]),
        marks: owned(&["Isolation authority"]),
    }
}

fn handover() -> Form {
    Form {
        title: "Shift hand-over".to_owned(),
        words: owned(&[
            "Fill this in when you leave the job unfinished. Stop at a step that is done, and walk the machine with \
                        the person who takes over.",
        ]),
        points: owned(&[
            "Isolated; every lock on the isolation sheet still hangs",
            "What is open to atmosphere or product is covered",
            "Parts taken off lie together and are named",
            "Temporary items in place are listed below",
        ]),
        blanks: owned(&[
            "Last step done",
            "Next step",
            "Open (drains, vents, covers)",
            "Locked, and whose locks",
            "Loose or in temporarily",
            "Parts and tools at the machine",
            "Readings outside a limit",
            "What the next person must know",
            "Told to the supervisor",
        ]),
        marks: owned(&["Handed over by", "Taken over by"]),
    }
}

fn count_back() -> Form {
    Form {
        title: "Count back".to_owned(),
        words: owned(&[
            "Count before the machine is closed. Every part, tool and cloth that went in is accounted for, every \
                        piece of a broken part is found. A piece that cannot be found stops the hand back: tell the supervisor.",
        ]),
        points: owned(&[
            "New parts",
            "Old parts and discarded parts",
            "Tools",
            "Torque tools and instruments",
            "Locks",
            "Temporary items: blocks, caps, blanks, hoses",
            "Wipes and consumables",
        ]),
        blanks: owned(&["Taken", "Returned", "Scrapped or used", "Initials"]),
        marks: owned(&["Counted by"]),
    }
}

fn hygiene() -> Form {
    Form {
        title: "Hygiene release".to_owned(),
        words: owned(&[
            "Quality releases, not maintenance: whoever did the work does not release it. Until it is signed the \
                        machine is not used for product.",
        ]),
        points: owned(&[
            "Tools and parts are counted back; nothing is missing.",
            "No wipes, tape, labels, swarf or paint are left on or in the machine.",
            "Surfaces that touch the product have no scratch, burr or residue.",
            "Rubber parts and lubricants are those of the kit list, released for their zone.",
            "The product side is cleaned by the plant's method, and sanitised before use where the site requires it.",
            "Drains, covers and guards are as they were before.",
        ]),
        blanks: Vec::new(),
        marks: owned(&["Hygiene checked by", "Released by quality"]),
    }
}

fn redline() -> Form {
    Form {
        title: "Redlines".to_owned(),
        words: owned(&[
            "Unsafe? Stop. Tell your supervisor now.",
            "Write what is wrong here, not on the steps, and hand it to the writer of this document.",
        ]),
        points: owned(&["wrong value", "wrong part", "missing step", "wrong order", "unclear", "unsafe"]),
        blanks: owned(&["Step", "What is wrong", "What it should say, and how you know", "Name, date"]),
        marks: Vec::new(),
    }
}

fn owned(texts: &[&str]) -> Vec<String> {
    texts.iter().map(|text| (*text).to_owned()).collect()
}

/// Returns what nothing has checked in this job, in plain words.
#[must_use]
pub fn not_checked(run: &Run<'_, '_>) -> Vec<String> {
    let job = run.job;
    let mut lines = sentences(run);
    let joints = job.joints().0;
    let mut reasons: Vec<(String, Vec<&str>)> = Vec::new();
    for here in joints.iter().filter(|here| final_torque(here).is_some()) {
        let Err(reason) = job.load(here) else { continue };
        let (reason, name) = (reason.in_words(), here.joint.name.value.as_str());
        match reasons.iter_mut().find(|(own, _)| *own == reason) {
            Some((_, names)) => names.push(name),
            None => reasons.push((reason, vec![name])),
        }
    }
    let told = |(reason, names): (String, Vec<&str>)| {
        format!("The torque of {} was not recomputed: {reason}.", names.join(", "))
    };
    lines.extend(reasons.into_iter().map(told));
    lines.push("Whether a wrench or instrument is in calibration on the day of the job: read its label.".to_owned());
    lines.push("What a fluid does to a rubber is taken from the crib register; nobody asked its maker.".to_owned());
    lines.push("Whether the machine is as the fleet register says.".to_owned());
    let tables = job.family.values.tables.iter().chain(&job.procedure.values.tables);
    let count = tables.filter(|table| table.source.is_empty()).count();
    if count > 0 {
        lines.push(format!("The numbers of {count} value tables: no source is written beside them."));
    }
    lines
}

/// Says what of the sentences nobody has followed: those that were not read, those nobody has accepted, and what is done only
/// on a condition.
fn sentences(run: &Run<'_, '_>) -> Vec<String> {
    let of = |wanted: Standing| {
        let has = |step: &&StepRun<'_>| step.sentences.iter().any(|here| here.standing == wanted);
        run.steps.iter().filter(has).map(|step| step.number.to_string()).collect::<Vec<_>>()
    };
    let (open, fresh) = (of(Standing::Open), of(Standing::New));
    let mut lines = Vec::new();
    if !open.is_empty() {
        lines.push(format!(
            "Sentences that the program could not read with certainty, in step {}: nobody has followed what they take off, \
             open, lock or fit again.",
            open.join(", ")
        ));
    }
    if !fresh.is_empty() {
        lines.push("What the program read the sentences as: their author has not accepted all of it.".to_owned());
    }
    if run.deeds.iter().any(|deed| deed.action.conditional) {
        lines.push("What is done only on a condition (IF ... THEN) is not followed.".to_owned());
    }
    lines
}
