//! What is printed around a compiled packet to say whether it may be used; it is no part of what a face's digest covers.

use crate::base::date::Date;
use serde::{Deserialize, Serialize};

/// Whether an output may be used, and on whose word.
///
/// A card is stamped with the release in which its face last changed, since that is what hangs on the wall; its packet names
/// that revision as [`Stamp::card_revision`].
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stamp {
    /// Draft or controlled.
    pub state: State,
    /// The mark across every page of a draft; empty on a controlled output.
    pub mark: String,
    /// The revision as printed: a whole number, or `draft`.
    pub revision: String,
    /// The revision in which the face of its card last changed: a whole number, or empty.
    #[serde(default)]
    pub card_revision: String,
    /// The effective date (`2027-03-14`), or empty.
    #[serde(default)]
    pub effective: String,
    /// The last day of a temporary change; empty where it holds until further notice.
    #[serde(default)]
    pub last_day: String,
    /// The day by which it must be reviewed; empty for a draft.
    #[serde(default)]
    pub review_by: String,
    /// What the output was built from: the first twelve hexadecimal digits of the packet's digest.
    pub source: String,
    /// The record of the ledger that released it, as printed (`000123 91eb3f00a1b2`); empty for a draft.
    #[serde(default)]
    pub record: String,
    /// The day of the ledger's last record when it was printed; empty for a draft.
    #[serde(default)]
    pub as_of: String,
    /// Who prepared and who approved it; empty for a draft.
    #[serde(default)]
    pub approvals: Vec<Approval>,
}

/// Draft or controlled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// Built from the open folder.
    Draft,
    /// Built from what was approved and released.
    Controlled,
}

/// One signature as printed: name, time and meaning stand together (21 CFR 11.50(a)).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Approval {
    /// Printed name.
    pub name: String,
    /// Time in UTC, RFC 3339.
    pub time: String,
    /// What the signature means (`prepared`, `approved for use`).
    pub meaning: String,
}

/// What a release says of an output.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Control<'a> {
    /// The revision of the document.
    pub revision: u32,
    /// The revision in which the face of the card last changed.
    pub card_revision: u32,
    /// From when on it holds.
    pub effective: &'a str,
    /// The last day of a temporary change.
    pub last_day: Option<&'a str>,
    /// By when it must be reviewed.
    pub review_by: &'a str,
    /// The digest of the stored packet, for a card that of its face; in hex.
    pub source: &'a str,
    /// The place in the ledger of the record that released it.
    pub seq: u64,
    /// The digest of that record, in hex.
    pub record: &'a str,
    /// The day of the ledger's last record.
    pub as_of: &'a str,
    /// Who prepared it, then who approved it.
    pub approvals: Vec<Approval>,
}

/// Why an output is no controlled one, or no draft.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StampFault {
    /// A controlled output without something.
    #[error("a controlled output says `{0}`, and this one does not")]
    Lacks(&'static str),
    /// A value that nobody could read as what it is.
    #[error("`{0}` of a controlled output is not in the form that is printed")]
    Form(&'static str),
    /// A draft that says what only a controlled output may say.
    #[error("a draft never says `{0}`")]
    Draft(&'static str),
}

/// The mark of everything that is built from the open folder.
pub const DRAFT_MARK: &str = "DRAFT - not for use";

/// The words before the record's number on every page of a controlled output, and on nothing else.
pub const RELEASED: &str = "Released as record";

/// What the signature of whoever prepared a change means.
pub const PREPARED: &str = "prepared";

/// What the signature of whoever approved it means.
pub const APPROVED: &str = "approved for use";

/// How many characters of a digest are printed.
const SHORT: usize = 12;

impl Stamp {
    /// Returns the stamp of an output that was built from the open folder, out of content with the digest `source`.
    #[must_use]
    pub fn draft(source: &str) -> Self {
        Self {
            state: State::Draft,
            mark: DRAFT_MARK.to_owned(),
            revision: "draft".to_owned(),
            card_revision: String::new(),
            effective: String::new(),
            last_day: String::new(),
            review_by: String::new(),
            source: source.chars().take(SHORT).collect(),
            record: String::new(),
            as_of: String::new(),
            approvals: Vec::new(),
        }
    }

    /// Returns the stamp of an output that was approved and released.
    ///
    /// # Errors
    /// A [`StampFault`] where it would not say everything that a controlled output says.
    pub fn controlled(control: &Control<'_>) -> Result<Self, StampFault> {
        let stamp = Self {
            state: State::Controlled,
            mark: String::new(),
            revision: control.revision.to_string(),
            card_revision: control.card_revision.to_string(),
            effective: control.effective.to_owned(),
            last_day: control.last_day.unwrap_or_default().to_owned(),
            review_by: control.review_by.to_owned(),
            source: control.source.chars().take(SHORT).collect(),
            record: format!("{:06} {}", control.seq, control.record.chars().take(SHORT).collect::<String>()),
            as_of: control.as_of.to_owned(),
            approvals: control.approvals.clone(),
        };
        stamp.check().map(|()| stamp)
    }

    /// Holds a stamp against what its state must and must not say; every renderer asks before it prints.
    ///
    /// # Errors
    /// The first [`StampFault`].
    pub fn check(&self) -> Result<(), StampFault> {
        match self.state {
            State::Draft => self.check_draft(),
            State::Controlled => self.check_controlled(),
        }
    }

    fn check_draft(&self) -> Result<(), StampFault> {
        let said = [
            ("effective date", &self.effective),
            ("last day", &self.last_day),
            ("review by", &self.review_by),
            ("record", &self.record),
            ("as of", &self.as_of),
            ("revision of the card", &self.card_revision),
        ];
        match said.into_iter().find(|(_, text)| !text.is_empty()) {
            Some((name, _)) => Err(StampFault::Draft(name)),
            None if self.mark != DRAFT_MARK => Err(StampFault::Draft("another mark than that of a draft")),
            None if self.revision != "draft" => Err(StampFault::Draft("revision")),
            None if !self.approvals.is_empty() => Err(StampFault::Draft("approved by")),
            None => Ok(()),
        }
    }

    fn check_controlled(&self) -> Result<(), StampFault> {
        if !self.mark.is_empty() {
            return Err(StampFault::Form("mark"));
        }
        for (name, text) in [("revision", &self.revision), ("revision of the card", &self.card_revision)] {
            let is_number = text.parse::<u32>().is_ok_and(|number| number > 0 && number.to_string() == *text);
            is_number.then_some(()).ok_or(StampFault::Form(name))?;
        }
        for (name, text) in
            [("effective date", &self.effective), ("review by", &self.review_by), ("as of", &self.as_of)]
        {
            Date::parse(text).map_err(|_| StampFault::Form(name))?;
        }
        if !self.last_day.is_empty() {
            Date::parse(&self.last_day).map_err(|_| StampFault::Form("last day"))?;
        }
        let is_digest = |text: &str| text.len() == SHORT && text.bytes().all(|byte| byte.is_ascii_hexdigit());
        let is_record = self.record.split_once(' ').is_some_and(|(seq, digest)| {
            seq.len() >= 6 && seq.bytes().all(|byte| byte.is_ascii_digit()) && is_digest(digest)
        });
        is_record.then_some(()).ok_or(StampFault::Form("record"))?;
        is_digest(&self.source).then_some(()).ok_or(StampFault::Form("built from"))?;
        if self.approvals.iter().any(|one| one.name.is_empty() || one.time.is_empty() || one.meaning.is_empty()) {
            return Err(StampFault::Lacks("name, time and meaning of each signature"));
        }
        let has = |meaning: &str| self.approvals.iter().any(|one| one.meaning == meaning);
        has(PREPARED).then_some(()).ok_or(StampFault::Lacks(PREPARED))?;
        has(APPROVED).then_some(()).ok_or(StampFault::Lacks(APPROVED))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DIGEST: &str = "91eb3f00a1b2c3d4e5f60718293a4b5c6d7e8f90a1b2c3d4e5f60718293a4b5c";

    fn signed(name: &str, meaning: &str) -> Approval {
        Approval { name: name.to_owned(), time: "2027-03-10T09:00:00Z".to_owned(), meaning: meaning.to_owned() }
    }

    fn controlled() -> Stamp {
        let control = Control {
            revision: 7,
            card_revision: 5,
            effective: "2027-03-14",
            last_day: None,
            review_by: "2028-03-14",
            source: DIGEST,
            seq: 123,
            record: DIGEST,
            as_of: "2027-03-12",
            approvals: vec![signed("C. Sample", PREPARED), signed("A. Sample", APPROVED)],
        };
        Stamp::controlled(&control).expect("it says everything")
    }

    #[test]
    fn a_controlled_stamp_says_everything_or_is_none() {
        assert_eq!(controlled().record, "000123 91eb3f00a1b2");
        assert_eq!(controlled().check(), Ok(()));
        type Damage = fn(&mut Stamp);
        let damaged: [(Damage, StampFault); 11] = [
            (|own| own.mark = DRAFT_MARK.to_owned(), StampFault::Form("mark")),
            (|own| own.revision = "draft".to_owned(), StampFault::Form("revision")),
            (|own| own.revision = "07".to_owned(), StampFault::Form("revision")),
            (|own| own.card_revision.clear(), StampFault::Form("revision of the card")),
            (|own| own.effective.clear(), StampFault::Form("effective date")),
            (|own| own.last_day = "2027-02-29".to_owned(), StampFault::Form("last day")),
            (|own| own.review_by.clear(), StampFault::Form("review by")),
            (|own| own.record = "123".to_owned(), StampFault::Form("record")),
            (|own| own.as_of.clear(), StampFault::Form("as of")),
            (|own| own.approvals.truncate(1), StampFault::Lacks(APPROVED)),
            (|own| own.approvals[0].time.clear(), StampFault::Lacks("name, time and meaning of each signature")),
        ];
        for (damage, fault) in damaged {
            let mut stamp = controlled();
            damage(&mut stamp);
            assert_eq!(stamp.check(), Err(fault));
        }
    }

    #[test]
    fn a_draft_never_says_what_a_controlled_output_says() {
        let draft = || Stamp::draft(DIGEST);
        assert_eq!(draft().check(), Ok(()));
        assert!(Stamp { mark: String::new(), ..draft() }.check().is_err());
        assert_eq!(Stamp { revision: "7".to_owned(), ..draft() }.check(), Err(StampFault::Draft("revision")));
        assert_eq!(Stamp { state: State::Draft, ..controlled() }.check(), Err(StampFault::Draft("effective date")));
        let approvals = vec![signed("A. Sample", APPROVED)];
        assert_eq!(Stamp { approvals, ..draft() }.check(), Err(StampFault::Draft("approved by")));
    }
}
