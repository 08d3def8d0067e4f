//! What a sentence does to the machine, as data and as the line an author accepts; it knows no register.
//!
//! The text form is `[if ]ACT [THING] [xN|all] [with THING, THING] [to THING] [on THING]`; several actions are joined by
//! `; `, and a sentence that moves nothing reads `nothing`. Writing and reading it are inverses.

use std::fmt;

/// What is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Act {
    /// Taken off and kept.
    Off,
    /// Taken off, if it is still on, and never used again.
    Discard,
    /// Returned to stores.
    Stores,
    /// The old one put back.
    On,
    /// A new one fitted.
    New,
    /// Loosened.
    Loosen,
    /// Tightened by hand.
    Snug,
    /// Tightened.
    Tighten,
    /// Opened.
    Open,
    /// Shut.
    Shut,
    /// Locked.
    Lock,
    /// Unlocked.
    Unlock,
    /// A temporary item put in.
    Place,
    /// A temporary item taken out.
    Take,
    /// A fluid put onto a part.
    Apply,
    /// A part wiped or cleaned.
    Wipe,
    /// The machine started or run.
    Run,
    /// The machine stopped or switched off.
    Halt,
    /// Fluid or pressure let into the machine.
    Fill,
    /// Tried, to prove that no energy is left.
    Try,
    /// Measured.
    Measure,
    /// Written down.
    Record,
    /// Waited.
    Wait,
    /// Confirmed.
    Confirm,
    /// Marked.
    Mark,
    /// Held still.
    Hold,
    /// Turned.
    Turn,
    /// Set to a value.
    Set,
    /// Looked at, compared or counted.
    Look,
    /// The job stopped.
    Stop,
    /// Somebody told.
    Tell,
    /// A tool used, nothing moved.
    Use,
}

/// Every act with its word.
const ACTS: [(Act, &str); 32] = [
    (Act::Off, "off"),
    (Act::Discard, "discard"),
    (Act::Stores, "stores"),
    (Act::On, "on"),
    (Act::New, "new"),
    (Act::Loosen, "loosen"),
    (Act::Snug, "snug"),
    (Act::Tighten, "tighten"),
    (Act::Open, "open"),
    (Act::Shut, "shut"),
    (Act::Lock, "lock"),
    (Act::Unlock, "unlock"),
    (Act::Place, "place"),
    (Act::Take, "take"),
    (Act::Apply, "apply"),
    (Act::Wipe, "wipe"),
    (Act::Run, "run"),
    (Act::Halt, "halt"),
    (Act::Fill, "fill"),
    (Act::Try, "try"),
    (Act::Measure, "measure"),
    (Act::Record, "record"),
    (Act::Wait, "wait"),
    (Act::Confirm, "confirm"),
    (Act::Mark, "mark"),
    (Act::Hold, "hold"),
    (Act::Turn, "turn"),
    (Act::Set, "set"),
    (Act::Look, "look"),
    (Act::Stop, "stop"),
    (Act::Tell, "tell"),
    (Act::Use, "use"),
];

impl Act {
    /// Returns the word written for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        ACTS.iter().find(|(act, _)| *act == self).map_or("", |(_, word)| word)
    }

    /// Returns the act of this word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        ACTS.iter().find(|(_, own)| *own == word).map(|(act, _)| *act)
    }

    /// Returns whether it changes what is on, open, locked, in or running; the others only look, wait or write.
    #[must_use]
    pub fn moves(self) -> bool {
        self <= Self::Fill
    }
}

/// How many of a thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Count {
    /// One, as a singular says.
    One,
    /// All that the machine has.
    All,
    /// As many as the sentence says.
    Number(u32),
}

/// One action.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Action {
    /// What is done.
    pub act: Act,
    /// To what: a register's name, a value in braces, or words for isolation points; empty where nothing is named.
    pub thing: String,
    /// How many of it.
    pub count: Count,
    /// Tools used, or parts that go together with it.
    pub with: Vec<String>,
    /// A torque, a part a fluid goes onto, or a setting; may be empty.
    pub to: String,
    /// Where; may be empty.
    pub on: String,
    /// True where a condition stands before it: it is seen, and never applied.
    pub conditional: bool,
}

/// Why a text is no action.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotAnAction {
    /// The first word is no act.
    #[error("`{0}` is no action; the first word is one of: {words}", words = words())]
    NoAct(String),
    /// A number of things that is none.
    #[error("`{0}` is no number of things; write `x2`, or `all`")]
    BadCount(String),
    /// A part of the form that stands without its words, or twice.
    #[error("`{0}` is not written as `ACT THING x2 with THING to THING on THING`")]
    Form(String),
}

fn words() -> String {
    ACTS.map(|(_, word)| word).join(", ")
}

impl Action {
    /// Returns the action of doing `act` to one `thing`.
    pub fn new(act: Act, thing: impl Into<String>) -> Self {
        Self {
            act,
            thing: thing.into(),
            count: Count::One,
            with: Vec::new(),
            to: String::new(),
            on: String::new(),
            conditional: false,
        }
    }

    /// Reads one action.
    ///
    /// # Errors
    /// [`NotAnAction`] where the text is none.
    pub fn parse(text: &str) -> Result<Self, NotAnAction> {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let (conditional, rest) = text.strip_prefix("if ").map_or((false, text.as_str()), |rest| (true, rest));
        let (word, rest) = rest.split_once(' ').unwrap_or((rest, ""));
        let act = Act::from_word(word).ok_or_else(|| NotAnAction::NoAct(word.to_owned()))?;
        let mut action = Self { conditional, ..Self::new(act, "") };
        let form = || NotAnAction::Form(text.clone());
        let (rest, on) = cut(rest, "on").ok_or_else(form)?;
        let (rest, to) = cut(rest, "to").ok_or_else(form)?;
        let (rest, with) = cut(rest, "with").ok_or_else(form)?;
        on.unwrap_or_default().clone_into(&mut action.on);
        to.unwrap_or_default().clone_into(&mut action.to);
        action.with = with.map(|with| with.split(", ").map(str::to_owned).collect()).unwrap_or_default();
        (action.thing, action.count) = counted(rest)?;
        Ok(action)
    }
}

/// Cuts off what stands behind the last ` WORD `; none where the word stands without anything behind it.
fn cut<'t>(text: &'t str, word: &str) -> Option<(&'t str, Option<&'t str>)> {
    let padded = format!(" {word} ");
    if text == word || text.ends_with(padded.trim_end()) {
        return None;
    }
    if let Some(rest) = text.strip_prefix(padded.trim_start()) {
        return Some(("", Some(rest)));
    }
    Some(text.rsplit_once(&padded).map_or((text, None), |(before, after)| (before, Some(after))))
}

fn counted(text: &str) -> Result<(String, Count), NotAnAction> {
    if text == "all" {
        return Ok((String::new(), Count::All));
    }
    let Some((thing, last)) = text.rsplit_once(' ') else { return Ok((text.to_owned(), Count::One)) };
    if last == "all" {
        return Ok((thing.to_owned(), Count::All));
    }
    let number = last.strip_prefix('x').filter(|number| number.bytes().all(|byte| byte.is_ascii_digit()));
    match number {
        Some(number) => {
            let count = number.parse().ok().filter(|count| *count > 0);
            Ok((thing.to_owned(), Count::Number(count.ok_or_else(|| NotAnAction::BadCount(last.to_owned()))?)))
        }
        None => Ok((text.to_owned(), Count::One)),
    }
}

impl fmt::Display for Action {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.conditional {
            f.write_str("if ")?;
        }
        f.write_str(self.act.word())?;
        if !self.thing.is_empty() {
            write!(f, " {}", self.thing)?;
        }
        match self.count {
            Count::One => {}
            Count::All => f.write_str(" all")?,
            Count::Number(number) => write!(f, " x{number}")?,
        }
        if !self.with.is_empty() {
            write!(f, " with {}", self.with.join(", "))?;
        }
        for (word, thing) in [("to", &self.to), ("on", &self.on)] {
            if !thing.is_empty() {
                write!(f, " {word} {thing}")?;
            }
        }
        Ok(())
    }
}

/// What is written for a sentence that moves nothing and needs nothing.
pub const NOTHING: &str = "nothing";

/// Returns the actions of a sentence as one line.
#[must_use]
pub fn line(actions: &[Action]) -> String {
    if actions.is_empty() {
        return NOTHING.to_owned();
    }
    actions.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
}

/// Reads the actions of a sentence from one line.
///
/// # Errors
/// [`NotAnAction`] for the first that is none.
pub fn parse_line(text: &str) -> Result<Vec<Action>, NotAnAction> {
    if text.trim() == NOTHING {
        return Ok(Vec::new());
    }
    text.split(';').map(Action::parse).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn writing_and_reading_are_inverses() {
        for text in [
            "nothing",
            "off guard screw x2; off guard half x2",
            "tighten casing nut all to {closure torque}",
            "apply {assembly fluid} to seat O-ring",
            "if tighten tie bolt all with torque wrench to {limit} on fixed end",
            "new stationary seat with seal sleeve, soft block",
            "unlock all",
            "stop",
        ] {
            assert_eq!(line(&parse_line(text).expect(text)), text);
        }
    }

    #[test]
    fn what_is_no_action_is_refused() {
        for text in
            ["", "remove key", "off key x0", "off key with", "off key; ", "tighten nut to", "off key x99999999999"]
        {
            assert!(parse_line(text).is_err(), "{text}");
        }
    }
}
