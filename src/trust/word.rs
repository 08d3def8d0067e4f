//! The words that may stand in a statement, each in one spelling only; it knows no statement and no file.

use crate::base::date::Date;
use crate::base::name::{DocumentNumber, Tag, text_type};
use crate::base::path::{BinderPath, windows_refuses};
use crate::base::risk::RiskClass;
use std::fmt;

/// Why a text is no such word.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct WordFault(pub(super) String);

fn fault<T>(why: impl Into<String>) -> Result<T, WordFault> {
    Err(WordFault(why.into()))
}

text_type! {
    /// A person of the roster (`alice`): once given, an id never means anybody else.
    Person
}
text_type! {
    /// What a person may do: `prepare`, `approve`, `release` and `root`, or a kind of approver (`safety`).
    Role
}
text_type! {
    /// A repository (`r-` and 32 hexadecimal digits), made by chance and fixed in its first root.
    RepositoryId
}
text_type! {
    /// The name git gives a commit: 40 or 64 hexadecimal digits.
    CommitId
}
text_type! {
    /// One line that people read: a title, a reason, a name.
    OneLine
}

/// The most bytes of a [`OneLine`].
const ONE_LINE: usize = 400;
/// The most bytes of a short word.
const SHORT: usize = 32;
/// Words that stand for something else where a person or a role could stand.
const RESERVED: [&str; 2] = ["none", "recovery"];

fn short_word(text: &str, what: &str) -> Result<String, WordFault> {
    let is_in_form = text.len() <= SHORT
        && text.starts_with(|c: char| c.is_ascii_lowercase())
        && !text.ends_with('-')
        && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
    if !is_in_form {
        return fault(format!("{what} is at most {SHORT} small letters, digits and hyphens, and begins with a letter"));
    }
    if RESERVED.contains(&text) || windows_refuses(text) {
        return fault(format!("`{text}` cannot be {what}; choose another word"));
    }
    Ok(text.to_owned())
}

fn is_hex(text: &str) -> bool {
    text.bytes().all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b))
}

impl Person {
    /// Returns the person whose id is `text`.
    ///
    /// # Errors
    /// A [`WordFault`] where it is no id, or could not be the name of a file on every platform.
    pub fn parse(text: &str) -> Result<Self, WordFault> {
        short_word(text, "the id of a person").map(Self)
    }

    /// Returns the name by which stock `ssh-keygen` knows this person.
    #[must_use]
    pub fn principal(&self) -> String {
        format!("{}@plant", self.0)
    }
}

/// Who makes a change and signs that he did.
pub const PREPARE: &str = "prepare";
/// Who approves.
pub const APPROVE: &str = "approve";
/// Who releases and withdraws.
pub const RELEASE: &str = "release";
/// Who changes the roster and the policy.
pub const ROOT: &str = "root";

impl Role {
    /// Returns the role that `text` names.
    ///
    /// # Errors
    /// A [`WordFault`] where it is no word.
    pub fn parse(text: &str) -> Result<Self, WordFault> {
        short_word(text, "a role").map(Self)
    }

    /// Tells whether who has this role may approve: every role does but those for preparing, releasing and the root.
    #[must_use]
    pub fn approves(&self) -> bool {
        ![PREPARE, RELEASE, ROOT].contains(&self.as_str())
    }
}

impl RepositoryId {
    /// Returns the id made of 16 random bytes.
    #[must_use]
    pub fn from_bytes(bytes: [u8; 16]) -> Self {
        Self(format!("r-{}", data_encoding::HEXLOWER.encode(&bytes)))
    }

    /// Returns the id that `text` writes.
    ///
    /// # Errors
    /// A [`WordFault`] where it is none.
    pub fn parse(text: &str) -> Result<Self, WordFault> {
        match text.strip_prefix("r-") {
            Some(rest) if rest.len() == 32 && is_hex(rest) => Ok(Self(text.to_owned())),
            _ => fault("a repository is `r-` and 32 hexadecimal digits"),
        }
    }
}

impl CommitId {
    /// Returns the name of a commit that `text` writes.
    ///
    /// # Errors
    /// A [`WordFault`] where it is none.
    pub fn parse(text: &str) -> Result<Self, WordFault> {
        if matches!(text.len(), 40 | 64) && is_hex(text) {
            Ok(Self(text.to_owned()))
        } else {
            fault("a commit is 40 or 64 hexadecimal digits")
        }
    }
}

impl OneLine {
    /// Returns the line that `text` is.
    ///
    /// # Errors
    /// A [`WordFault`] where it is empty, too long, begins or ends with a space, or holds what is not seen when it is read.
    pub fn parse(text: &str) -> Result<Self, WordFault> {
        if text.is_empty() || text.len() > ONE_LINE {
            return fault(format!("a line for people has 1 to {ONE_LINE} bytes"));
        }
        if text.trim() != text {
            return fault("a line for people begins and ends with a visible character");
        }
        match text.chars().find(|c| is_hidden(*c)) {
            Some(c) => fault(format!("it holds the hidden character U+{:04X}; type the words anew", u32::from(c))),
            None => Ok(Self(text.to_owned())),
        }
    }
}

/// Tells whether a character is not seen but changes what is read: controls, marks of direction, characters without width.
#[must_use]
pub fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}' | '\u{180b}'..='\u{180f}'
            | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{3164}'
            | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{ffa0}' | '\u{fff0}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}')
}

/// Returns the class of risk that `text` names.
///
/// # Errors
/// A [`WordFault`] where it names none.
pub fn risk(text: &str) -> Result<RiskClass, WordFault> {
    RiskClass::named(text).map_or_else(|| fault("a class is wording, value, sequence, safety or applicability"), Ok)
}

/// A moment as RFC 3339 writes it in UTC with whole seconds (`2026-11-24T22:00:00Z`).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment {
    date: Date,
    second: u32,
}

impl Moment {
    /// Returns the moment that `text` writes.
    ///
    /// # Errors
    /// A [`WordFault`] where it is written otherwise, or the calendar or the clock has no such moment.
    pub fn parse(text: &str) -> Result<Self, WordFault> {
        const FORM: &str = "a moment is written in UTC: `2026-11-24T22:00:00Z`";
        let Some((date, time)) = text.split_once('T') else { return fault(FORM) };
        let date = Date::parse(date).map_err(|error| WordFault(error.to_string()))?;
        let is_in_form = time.len() == 9
            && time.bytes().enumerate().all(|(at, b)| match at {
                2 | 5 => b == b':',
                8 => b == b'Z',
                _ => b.is_ascii_digit(),
            });
        if !is_in_form {
            return fault(FORM);
        }
        let part = |range: std::ops::Range<usize>| time[range].parse::<u32>().expect("two digits");
        let (hour, minute, second) = (part(0..2), part(3..5), part(6..8));
        if hour > 23 || minute > 59 || second > 59 {
            return fault("the clock has no such time");
        }
        Ok(Self { date, second: hour * 3600 + minute * 60 + second })
    }

    /// Returns the moment so many seconds after the beginning of 1970; none beyond the calendar.
    #[must_use]
    pub fn at_second(seconds: u64) -> Option<Self> {
        let second = u32::try_from(seconds % 86_400).ok()?;
        Some(Self { date: Date::at_second(seconds)?, second })
    }

    /// Returns the number of seconds since the beginning of 1970, as POSIX counts them.
    #[must_use]
    pub fn unix_second(self) -> i64 {
        let first = Date::at_second(0).expect("1970 is in the calendar");
        i64::from(self.date.day_number() - first.day_number()) * 86_400 + i64::from(self.second)
    }

    /// Returns the day in UTC.
    #[must_use]
    pub fn date(self) -> Date {
        self.date
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (hour, minute, second) = (self.second / 3600, self.second / 60 % 60, self.second % 60);
        write!(f, "{}T{hour:02}:{minute:02}:{second:02}Z", self.date)
    }
}

/// The place of a record in the ledger, from 1, written with six digits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Seq(u32);

/// The last place a ledger has.
const LAST_SEQ: u32 = 999_999;

impl Seq {
    /// The first place.
    pub const FIRST: Self = Self(1);

    /// Returns the place with this number; none outside 1 to 999 999.
    #[must_use]
    pub fn new(number: u32) -> Option<Self> {
        (1..=LAST_SEQ).contains(&number).then_some(Self(number))
    }

    /// Returns the number.
    #[must_use]
    pub fn number(self) -> u32 {
        self.0
    }

    /// Returns the next place; none after the last.
    #[must_use]
    pub fn next(self) -> Option<Self> {
        Self::new(self.0 + 1)
    }

    /// Returns the place that `text` writes.
    ///
    /// # Errors
    /// A [`WordFault`] where it is not six digits above zero.
    pub fn parse(text: &str) -> Result<Self, WordFault> {
        let digits = text.len() == 6 && text.bytes().all(|b| b.is_ascii_digit());
        let number = if digits { text.parse().ok().and_then(Self::new) } else { None };
        number.map_or_else(|| fault("a place in the ledger is six digits above zero: `000123`"), Ok)
    }
}

impl fmt::Display for Seq {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:06}", self.0)
    }
}

/// Returns the whole number above zero that `text` writes without leading zeros.
///
/// # Errors
/// A [`WordFault`] where it writes none, or one above 999 999.
pub fn count(text: &str) -> Result<u32, WordFault> {
    let is_in_form =
        (1..=6).contains(&text.len()) && !text.starts_with('0') && text.bytes().all(|b| b.is_ascii_digit());
    let number = if is_in_form { text.parse().ok() } else { None };
    number.map_or_else(|| fault("a whole number from 1 to 999999 without leading zeros is wanted"), Ok)
}

/// Returns the day that `text` writes.
///
/// # Errors
/// A [`WordFault`] where it writes none.
pub fn date(text: &str) -> Result<Date, WordFault> {
    Date::parse(text).map_err(|error| WordFault(error.to_string()))
}

/// Returns the number of a document.
///
/// # Errors
/// A [`WordFault`] where it is no number of a document.
pub fn document(text: &str) -> Result<DocumentNumber, WordFault> {
    let parts: Vec<&str> = text.split('-').collect();
    let is_part = |part: &&str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_uppercase() || b.is_ascii_digit());
    let is_in_form = text.len() <= 64
        && parts.len() >= 2
        && parts.iter().all(is_part)
        && text.starts_with(|c: char| c.is_ascii_uppercase());
    if is_in_form {
        Ok(DocumentNumber::new(text))
    } else {
        fault("a document's number is capitals, digits and hyphens: `MP-PA-101`")
    }
}

/// Returns the tag of a machine.
///
/// # Errors
/// A [`WordFault`] where it is no tag.
pub fn tag(text: &str) -> Result<Tag, WordFault> {
    let is_letter = |b: u8| b.is_ascii_alphanumeric() || b"._+=-".contains(&b);
    let is_in_form = (1..=64).contains(&text.len())
        && text.bytes().all(is_letter)
        && text.starts_with(|c: char| c.is_ascii_alphanumeric())
        && !text.ends_with('.');
    if is_in_form { Ok(Tag::new(text)) } else { fault("a tag is letters, digits and `._+=-`: `P-121`") }
}

/// Returns the path of a source file, spelled in the only way that is accepted.
///
/// # Errors
/// A [`WordFault`] where it leaves the binder, could not exist on every platform, or can be spelled shorter.
pub fn path(text: &str) -> Result<BinderPath, WordFault> {
    let path = BinderPath::parse(text).map_err(|error| WordFault(error.to_string()))?;
    if path.as_str() != text {
        return fault(format!("write the path as `{path}`"));
    }
    if text.chars().any(is_hidden) || text.trim() != text {
        return fault("the path holds a character that is not seen");
    }
    Ok(path)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// POSIX time of 2001-09-09T01:46:40Z is 1,000,000,000 (IEEE Std 1003.1, rationale; well known).
    #[test]
    fn a_moment_is_counted_from_1970() {
        let moment = Moment::parse("2001-09-09T01:46:40Z").expect("a moment");
        assert_eq!(moment.unix_second(), 1_000_000_000);
        assert_eq!(Moment::at_second(1_000_000_000), Some(moment));
    }

    #[test]
    fn a_word_has_one_spelling() {
        for text in ["alice", "a1", "j-brandt"] {
            assert_eq!(Person::parse(text).expect(text).as_str(), text);
        }
        for text in ["", "Alice", "1a", "a-", "a b", "a,b", "*", "none", "recovery", "con", "lpt1", "ä", "a.b"] {
            assert!(Person::parse(text).is_err(), "{text}");
        }
        for text in ["000000", "1", "0000001", "-00001", "+00001", "00000a"] {
            assert!(Seq::parse(text).is_err(), "{text}");
        }
        assert_eq!(Seq::parse("000123").expect("a place").to_string(), "000123");
        assert_eq!(Seq::new(999_999).and_then(Seq::next), None);
        for text in ["0", "01", "1000000", "", "+1", "1 "] {
            assert!(count(text).is_err(), "{text}");
        }
        for text in ["MP", "mp-1", "MP-", "MP--1", "1P-1", "MP-PA 1"] {
            assert!(document(text).is_err(), "{text}");
        }
        for text in ["", "-", ".a", "a.", "P 121", "P/1"] {
            assert!(tag(text).is_err(), "{text}");
        }
        for text in ["/a", "a//b", "./a", "../a", "a/../b", "a\\b", "aux.md", "a\u{202e}b", " a", "C:a"] {
            assert!(path(text).is_err(), "{text}");
        }
    }

    /// RFC 3339, 5.6, in UTC with whole seconds; a leap second is refused rather than stored as another moment.
    #[test]
    fn a_moment_is_written_in_one_way() {
        for text in ["2026-11-24T22:00:00Z", "2028-02-29T00:00:00Z", "9999-12-31T23:59:59Z"] {
            assert_eq!(Moment::parse(text).expect(text).to_string(), text);
        }
        for text in [
            "2026-11-24 22:00:00Z",
            "2026-11-24T22:00:00",
            "2026-11-24T22:00:00+00:00",
            "2026-11-24T24:00:00Z",
            "2026-12-31T23:59:60Z",
            "2026-02-30T00:00:00Z",
            "2026-11-24T22:00:00z",
        ] {
            assert!(Moment::parse(text).is_err(), "{text}");
        }
        assert_eq!(Moment::at_second(86_399).expect("a moment").to_string(), "1970-01-01T23:59:59Z");
        let moment = |text| Moment::parse(text).expect("a moment");
        assert!(moment("2026-11-24T22:00:00Z") < moment("2026-11-24T22:00:01Z"));
    }

    #[test]
    fn what_is_not_seen_is_refused() {
        for text in ["", " a", "a ", "a\u{202e}b", "a\u{200b}b", "a\tb", "a\u{85}b", "\u{feff}a", "a\nb"] {
            assert!(OneLine::parse(text).is_err(), "{text:?}");
        }
        assert!(OneLine::parse("Ölwechsel: 25 N·m, 100 %").is_ok());
    }
}
