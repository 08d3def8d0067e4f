//! How a sentence opens: with an order, or with something else; it knows no machine and moves nothing.

use crate::analysis::wording::{Saying, VALUE};
use crate::language::verb::Verbs;
use std::collections::HashSet;
use std::sync::LazyLock;

/// How a sentence opens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Opening {
    /// With the verb at this token.
    Verb(usize),
    /// With what surely is no verb: an article, a pronoun, a number, a gerund.
    NoVerb(usize),
    /// With a word this program cannot place, or behind a clause it cannot see the end of.
    Unknown,
}

/// Orders that are a step of a job.
pub const STEPS: [&str; 34] = [
    "attach",
    "bleed",
    "close",
    "connect",
    "depressurise",
    "depressurize",
    "detach",
    "disconnect",
    "drain",
    "fill",
    "fit",
    "flush",
    "install",
    "isolate",
    "lock",
    "loosen",
    "lower",
    "open",
    "place",
    "pump",
    "purge",
    "put",
    "refit",
    "remove",
    "replace",
    "set",
    "shut",
    "switch",
    "tighten",
    "turn",
    "unlock",
    "unscrew",
    "vent",
    "withdraw",
];
/// Words that open a sentence without being its verb, and are passed over.
const ADVERBS: [&str; 25] = [
    "again",
    "also",
    "always",
    "carefully",
    "completely",
    "evenly",
    "finally",
    "first",
    "firmly",
    "fully",
    "gently",
    "gradually",
    "immediately",
    "lightly",
    "never",
    "next",
    "now",
    "only",
    "please",
    "quickly",
    "securely",
    "slowly",
    "then",
    "thoroughly",
    "visually",
];

/// Words that open a clause or phrase before the main clause.
const LEADING: [&str; 28] = [
    "after",
    "as",
    "at",
    "because",
    "before",
    "beginning",
    "by",
    "during",
    "for",
    "from",
    "if",
    "in",
    "near",
    "on",
    "once",
    "since",
    "starting",
    "to",
    "under",
    "unless",
    "until",
    "using",
    "when",
    "where",
    "while",
    "with",
    "within",
    "without",
];

/// Words that open a sentence about something.
const NO_VERBS: [&str; 32] = [
    "a", "all", "an", "another", "any", "both", "each", "either", "every", "few", "he", "his", "it", "its", "many",
    "neither", "no", "nobody", "nothing", "one", "she", "some", "that", "the", "their", "there", "these", "they",
    "this", "those", "you", "your",
];

/// Auxiliaries: what stands before one is a subject.
const AUXILIARIES: [&str; 17] = [
    "are", "can", "cannot", "could", "did", "does", "had", "has", "have", "is", "may", "might", "must", "shall",
    "should", "was", "will",
];

/// The verbs a step may begin with, besides those that are read. Ordinary words of the shop; the list holds no name of any
/// plant.
///
/// A word that is not here is not blamed: whoever reads sentences for what they do asks about it.
const VERBS: &str = "\
    accept account acknowledge add adjust align allow alternate anchor apply approve arrange ask assemble assign \
    attach avoid back bag balance bang bar barricade bend bleed block blow bolt bond brace break bring brush build \
    bump burn button calculate calibrate call cancel cap carry center centre change charge check chock choose \
    circulate clamp clean clear clip close coat collect compare complete compress confirm connect consult contact \
    continue control convert cool copy count couple cover crack crank cross curtain cut cycle damp de-energise \
    de-energize deburr decant decide decouple deduct deenergise deenergize degrease deliver depressurise \
    depressurize destroy detach determine dilute dip direct disable disassemble discard discharge disconnect \
    disengage dismantle dispose dissolve divert do donate drain draw dress drift drill drip drive drop dry earth \
    ease eject eliminate empty enable engage enlist ensure enter erect escort establish evacuate examine exchange \
    exclude exercise exhaust expand expose extend extract face fasten feed feel fetch file fill filter find finish \
    fit fix flare flip flush fold follow force free freeze gather gauge get give glue go grasp grease greet grind \
    grip ground guard guide hammer hand handle hang heat help hinge hoist hold hook identify ignore immerse increase \
    index indicate inflate inform initial inject insert inspect install instruct insulate interchange introduce \
    invert invite isolate issue jack jam jog join judge keep key knock know label lag lap latch launch lay lead \
    leave let level lever lift light limit line link listen load locate lock log look loosen lower lubricate lug \
    maintain make maneuver manoeuvre mark mask match mate measure melt mind minimise minimize mix monitor mop mount \
    move muffle neutralise neutralize nip note notify number observe obtain offer oil omit open operate order orient \
    orientate overfill overlap pack pad paint park pass paste peel perform permit photograph pick pierce pin pinch \
    place plan plug plumb point polish position post pour power practise pre-heat preheat prepare present preserve \
    press pressurise pressurize prevent prime print prise proceed produce propel protect prove provide pry pull pump \
    punch purge push put quarantine quench question quit rack raise ram re-attach re-check re-fit re-install \
    re-start re-tighten reach read ream reassemble recheck recommission reconnect record recover recycle reduce \
    refer refill refit refrain refresh reinsert reinstall reinstate reject release relieve remain remember remove \
    renew reopen repaint repair repeat replace replenish report reposition request rescue reseal reset resist \
    respond rest restart restore restrain restrict resume retain retest retighten retract retrieve return reuse \
    reverse review revolve rig rinse roll rotate rub run salvage sample sand save scan scrape screen screw scribe \
    scrub seal seat secure see seek select send separate serve service set settle shake shield shift shim shut sign \
    signal silence sit size sketch slacken slide sling slip slit slow smear smell snap snug soak solder sort space \
    spin splice split spot spray spread squeeze stack stamp stand start state stay steady steam step stick stop \
    store stow straighten strap stretch strike strip submerge subtract supply support suspend swab swap sweep swing \
    switch tag take tap tape tell temper terminate test thaw thread throttle throw tie tighten tilt time tip torque \
    touch trace track train transfer transport treat trial trim trip try tug tune turn twist unbolt unclamp unclip \
    uncouple uncover undo unfasten unhook unlatch unload unlock unpack unplug unscrew unseal unseat unship unwind \
    update use utilise utilize vent verify view visit wait wake walk warm warn wash watch wear wedge weigh weld wet \
    wind wipe wire withdraw work wrap write yield zero";

/// The verbs by word.
static BY_WORD: LazyLock<HashSet<&str>> = LazyLock::new(|| VERBS.split(' ').collect());

/// The verbs whose doing is known.
static READ: LazyLock<Verbs> = LazyLock::new(Verbs::new);

/// Returns whether a word, in small letters, can be an order: one whose doing is known, or another of the shop.
#[must_use]
pub fn is_verb(word: &str) -> bool {
    BY_WORD.contains(word) || READ.named(word).is_some()
}

/// Returns how a sentence opens, behind adverbs and leading clauses.
#[must_use]
pub fn opening(saying: &Saying<'_>) -> Opening {
    let mut at = 0;
    // A leading clause ends at its comma; more than a few of them are none.
    for _ in 0..8 {
        let word = saying.word(at);
        if word.is_empty() {
            return Opening::Unknown;
        }
        if saying.stands_at(at, "now that").is_some() || (LEADING.contains(&word) && !is_verb(word)) {
            match main_clause(saying, at) {
                Some(next) => at = next,
                None => return Opening::Unknown,
            }
        } else if saying.is_mark(at) || ADVERBS.contains(&word) {
            at += 1;
        } else if matches!(word, "do" | "don't" | "don’t") {
            return Opening::Verb(at);
        } else if is_verb(word) {
            return if is_subject(saying, at) { Opening::NoVerb(at) } else { Opening::Verb(at) };
        } else if NO_VERBS.contains(&word) || word == VALUE || saying.number(at).is_some() || is_gerund(word) {
            return Opening::NoVerb(at);
        } else {
            return Opening::Unknown;
        }
    }
    Opening::Unknown
}

/// Returns where the main clause begins behind a leading clause: after `then`, else after the last comma.
fn main_clause(saying: &Saying<'_>, from: usize) -> Option<usize> {
    let words = &saying.words[from..];
    let then = words.iter().position(|word| word == "then").map(|at| from + at + 1);
    then.or_else(|| words.iter().position(|word| word == ",").map(|at| from + at + 1))
}

/// Returns whether the word at `at`, which could be a verb, is the subject of an auxiliary (`Drain valves can stick`).
fn is_subject(saying: &Saying<'_>, at: usize) -> bool {
    let words = &saying.words[at + 1..];
    let found = words.iter().take(4).position(|word| AUXILIARIES.contains(&word.as_str()));
    let opens_a_clause = |word: &String| {
        matches!(
            word.as_str(),
            "that"
                | "which"
                | "who"
                | "what"
                | "if"
                | "when"
                | "where"
                | "whether"
                | "until"
                | "before"
                | "after"
                | "the"
                | "a"
                | "an"
                | "all"
                | "each"
                | "both"
                | "every"
                | "and"
                | ","
                | ":"
        )
    };
    found.is_some_and(|found| !words[..found].iter().any(opens_a_clause))
}

fn is_gerund(word: &str) -> bool {
    word.len() > 5 && word.ends_with("ing") && !matches!(word, "string" | "spring")
}

/// Returns whether a sentence orders something: it opens with a verb, or with `never` or `do not`.
#[must_use]
pub fn orders(saying: &Saying<'_>) -> bool {
    matches!(opening(saying), Opening::Verb(_))
}

/// Returns whether a sentence forbids something (`Do not ...`, `Never ...`).
#[must_use]
pub fn forbids(saying: &Saying<'_>) -> bool {
    saying.find(&["do not", "don't", "don’t", "never"]).is_some_and(|(_, range)| range.start <= 1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::analysis::wording::said;

    #[test]
    fn an_order_is_told_from_a_description() {
        let opens = |text: &str| match opening(&said(text)) {
            Opening::Verb(at) => format!("verb {}", said(text).word(at)),
            Opening::NoVerb(at) => format!("no verb {}", said(text).word(at)),
            Opening::Unknown => "unknown".to_owned(),
        };
        for (text, wanted) in [
            ("Remove the key.", "verb remove"),
            ("Do not touch the faces.", "verb do"),
            ("Carefully lower the motor.", "verb lower"),
            ("IF the reading is low, THEN stop.", "verb stop"),
            ("After each sequence, measure the gap.", "verb measure"),
            ("With the strap wrench hold it", "unknown"),
            ("The cover is removed.", "no verb the"),
            ("Now that there is room, remove it.", "verb remove"),
            ("Removing the cover frees the shaft.", "no verb removing"),
            ("Drain valves can stick.", "no verb drain"),
            ("Drain what is left.", "verb drain"),
            ("Open the valve that is nearest.", "verb open"),
            ("Clamp the part so that it is level.", "verb clamp"),
            ("Confirm that nothing is loose.", "verb confirm"),
            ("Quality signs after the cycle.", "unknown"),
            ("Two persons lift it.", "unknown"),
            ("2 persons lift it.", "no verb 2"),
            ("At each bolt, set the wrench.", "verb set"),
        ] {
            assert_eq!(opens(text), wanted, "{text}");
        }
    }
}
