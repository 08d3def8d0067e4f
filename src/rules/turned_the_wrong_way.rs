//! A fastener that is turned the wrong way for its thread.
//!
//! ## What is found
//! A sentence takes off or loosens the fastener of a joint and says clockwise, or fits or tightens it and says
//! anticlockwise, and the family does not call the thread left-hand (`hand: left`, or `LH` behind its designation); or it is the other way round and the
//! family does.
//!
//! ## On the floor
//! The fitter puts his weight on the wrench in the direction that tightens. The stud shears, or the shaft.
//!
//! ## How to mend it
//! Look at the thread. Then correct the sentence, or `hand:` of the joint.

use crate::analysis::run::{Deed, Run, SentenceHere};
use crate::base::finding::{Finding, Severity};
use crate::base::name::Name;
use crate::base::rule::TURNED_THE_WRONG_WAY;
use crate::language::action::Act;
use crate::model::family::{Hand, Joint};
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: TURNED_THE_WRONG_WAY,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("turned_the_wrong_way.rs"),
};

/// Which way a wrench is turned, looking at the head.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Turn {
    Clockwise,
    Anticlockwise,
}

impl Turn {
    /// Returns the one direction a sentence names; none where it names none or both.
    fn said(sentence: &str) -> Option<Self> {
        let folded = sentence.to_lowercase();
        let words = folded.split(|c: char| !(c.is_alphabetic() || c == '-'));
        let mut said = words.filter_map(|word| match word.replace('-', "").as_str() {
            "clockwise" => Some(Self::Clockwise),
            "anticlockwise" | "counterclockwise" => Some(Self::Anticlockwise),
            _ => None,
        });
        let first = said.next()?;
        said.all(|other| other == first).then_some(first)
    }

    fn word(self) -> &'static str {
        match self {
            Self::Clockwise => "clockwise",
            Self::Anticlockwise => "anticlockwise",
        }
    }
}

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (step, own) in run.steps.iter().enumerate() {
        for (sentence, here) in own.sentences.iter().enumerate() {
            findings.extend(in_sentence(run, here, run.deeds_of(step).map(|(_, deed)| deed), sentence));
        }
    }
    findings
}

/// Judges a sentence that either loosens or tightens; one that does both says the direction of only one of them.
fn in_sentence<'r>(
    run: &Run<'_, '_>,
    here: &SentenceHere<'_>,
    deeds: impl Iterator<Item = &'r Deed>,
    sentence: usize,
) -> Option<Finding> {
    let turn = Turn::said(&here.read.sentence.text)?;
    let turned: Vec<(&Deed, &Joint, bool)> = deeds
        .filter(|deed| deed.sentence == sentence)
        .filter_map(|deed| Some((deed, joint(run, &deed.action.thing)?, tightens(deed.action.act)?)))
        .collect();
    let (deed, joint, is_tightened) = *turned.first()?;
    if turned.iter().any(|(_, _, other)| *other != is_tightened) {
        return None;
    }
    let hand = run.job.hand(joint);
    let right = match (hand, is_tightened) {
        (Hand::Right, true) | (Hand::Left, false) => Turn::Clockwise,
        (Hand::Right, false) | (Hand::Left, true) => Turn::Anticlockwise,
    };
    (turn != right).then(|| told(run, deed, joint, (hand, right, is_tightened)))
}

fn told(run: &Run<'_, '_>, deed: &Deed, joint: &Joint, (hand, right, is_tightened): (Hand, Turn, bool)) -> Finding {
    let hand = if hand == Hand::Left { "left-hand" } else { "right-hand" };
    let does = if is_tightened { "tightens" } else { "loosens" };
    let fastener = &joint.fastener.value;
    let message = format!("`{fastener}` has a {hand} thread: {} {does} it", right.word());
    Finding::error(TURNED_THE_WRONG_WAY, message)
        .at(deed.span)
        .also(joint.name.span, "the joint is declared here")
        .document(&run.job.procedure.document.value)
        .floor("the weight on the wrench would tighten what should come off: a stud or the shaft shears")
        .help("look at the thread; correct the sentence, or `hand:` of the joint")
}

/// Returns the joint of this machine that something fastens.
fn joint<'b>(run: &Run<'_, 'b>, thing: &str) -> Option<&'b Joint> {
    let name = Name::new(thing);
    let mut joints = run.job.family.joints.iter().filter(|joint| run.job.applies(joint.only.as_ref()));
    joints.find(|joint| joint.fastener.value == name)
}

/// Returns whether an act turns a fastener tight or loose; none where it does neither.
fn tightens(act: Act) -> Option<bool> {
    match act {
        Act::On | Act::New | Act::Snug | Act::Tighten => Some(true),
        Act::Off | Act::Discard | Act::Stores | Act::Loosen => Some(false),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::Turn;

    #[test]
    fn one_direction_is_said_or_none() {
        assert_eq!(Turn::said("Turn it counter-clockwise."), Some(Turn::Anticlockwise));
        assert_eq!(Turn::said("Anticlockwise, half a turn."), Some(Turn::Anticlockwise));
        assert_eq!(Turn::said("Break it loose clockwise."), Some(Turn::Clockwise));
        assert_eq!(Turn::said("Clockwise loosens it and counterclockwise tightens it."), None);
        assert_eq!(Turn::said("Turn it."), None);
    }
}
