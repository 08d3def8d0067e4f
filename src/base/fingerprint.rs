//! What a finding is known by when lines have moved: its rule, document and words, and the words it points at; no number
//! of a line and no tag is part of it.

use crate::base::finding::Finding;
use crate::base::name::DocumentNumber;
use crate::base::text::{Span, Texts};
use sha2::{Digest as _, Sha256};
use std::collections::BTreeMap;

/// How many hexadecimal digits a fingerprint has: enough for a plant's findings never to meet, few enough to be copied.
const DIGITS: usize = 16;

/// Gives every finding its fingerprint; they come in reading order, which tells those apart that say the same of the same
/// words.
pub fn mark(findings: &mut [Finding], texts: &Texts) {
    let mut told: BTreeMap<String, usize> = BTreeMap::new();
    for finding in findings {
        let before = told.entry(likeness(finding, texts)).or_default();
        finding.fingerprint = of(finding, texts, *before);
        *before += 1;
    }
}

/// Returns the fingerprint that the first of all findings that are alike has.
#[must_use]
pub fn likeness(finding: &Finding, texts: &Texts) -> String {
    of(finding, texts, 0)
}

fn of(finding: &Finding, texts: &Texts, before: usize) -> String {
    let document = finding.document.as_ref().map_or("", DocumentNumber::as_str);
    let words = finding.span.map_or_else(String::new, |span| words_at(span, texts));
    let mut digest = Sha256::new();
    for part in [finding.rule.0, document, &one_line(&finding.message), &words, &before.to_string()] {
        digest.update(part);
        // No text holds this byte, so the parts cannot run into each other.
        digest.update([0xff]);
    }
    data_encoding::HEXLOWER.encode(&digest.finalize())[..DIGITS].to_owned()
}

/// Returns the words of the lines a span lies in.
fn words_at(span: Span, texts: &Texts) -> String {
    let text = texts.get(span.file);
    let last_byte = (span.end as usize).saturating_sub(1).max(span.start as usize);
    let first = text.line(text.position(span.start as usize).line).start;
    let last = text.line(text.position(last_byte).line).end;
    one_line(&text.content()[first..last])
}

/// Returns a text with every run of white space as one space, none at its ends.
#[must_use]
pub fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::finding::RuleId;
    use crate::base::name::Tag;
    use crate::base::path::BinderPath;

    /// Returns the fingerprints of one finding at every `here` of a text.
    fn marked(text: &str, finding: &Finding) -> Vec<String> {
        let mut texts = Texts::default();
        let file = texts.add(BinderPath::parse("a.md").unwrap(), text.to_owned());
        let at = |(at, word): (usize, &str)| finding.clone().at(Span::new(file, at, at + word.len()));
        let mut findings: Vec<Finding> = text.match_indices("here").map(at).collect();
        mark(&mut findings, &texts);
        findings.into_iter().map(|finding| finding.fingerprint).collect()
    }

    #[test]
    fn lines_may_move_and_be_set_anew_and_tags_may_come_and_go() {
        let finding = Finding::error(RuleId("missing-value"), "no value for size 4");
        let [one] = marked("fit the nut here\n", &finding)[..].to_vec().try_into().unwrap();
        assert!(one.len() == DIGITS && one.bytes().all(|b| b.is_ascii_hexdigit()), "{one}");
        assert_eq!(marked("\n\nnew line\n  fit  the nut\there\r\n", &finding), [one.as_str()]);
        assert_eq!(marked("fit the nut here\n", &finding.clone().tags([Tag::new("P-1")])), [one.as_str()]);
        assert_ne!(marked("fit the bolt here\n", &finding), [one.as_str()]);
        let other = Finding::error(RuleId("missing-value"), "no value for size 3");
        assert_ne!(marked("fit the nut here\n", &other), [one.as_str()]);
        assert_ne!(marked("fit the nut here\n", &finding.document(&DocumentNumber::new("MP-1"))), [one.as_str()]);
    }

    #[test]
    fn findings_that_are_alike_are_counted() {
        let finding = Finding::error(RuleId("missing-value"), "no value");
        let [first, second, third] = marked("here\nhere\nnot here\n", &finding).try_into().unwrap();
        assert_ne!(first, second);
        assert_eq!(marked("not here\n\n here\n", &finding), [third, first]);
    }
}
