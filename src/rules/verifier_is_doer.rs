//! A hold point that is signed by the one who does the work.
//!
//! ## What is found
//! The role of a hold point names the first of the `people`, who does the work, and nothing that tells him from the signer (`not
//! the fitter`, `second fitter`, `another`); or it says `doing the job`.
//!
//! ## On the floor
//! The one who made the mistake looks at it again, and signs.
//!
//! ## How to mend it
//! Name somebody else: `role: "second person, not the fitter"`.

use crate::analysis::job::{Job, in_every_job};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::VERIFIER_IS_DOER;
use crate::model::binder::Binder;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: VERIFIER_IS_DOER,
    severity: Severity::Error,
    found: Found::Check(check),
    source: include_str!("verifier_is_doer.rs"),
};

/// Words that tell the signer from the one who does the work.
const OTHER: [&str; 8] = ["not", "second", "another", "other", "different", "independent", "never", "except"];
/// Words for the one who does the work, whatever his trade.
const DOER: [&str; 4] = ["doing the job", "doing the work", "who did", "doer"];

fn check(binder: &Binder) -> Vec<Finding> {
    in_every_job(binder, in_job)
}

fn in_job(job: &Job<'_>) -> Vec<Finding> {
    let doer = doer(&job.procedure.people);
    let holds = job.procedure.holds.iter().filter(|hold| job.applies(hold.only.as_ref()));
    let own = holds.filter(|hold| is_doer(&hold.role.value, doer.as_deref()));
    own.map(|hold| {
        let message = format!("hold point {} is signed by the one who does the work", hold.name.value);
        Finding::error(VERIFIER_IS_DOER, message)
            .at(hold.role.span)
            .document(&job.procedure.document.value)
            .floor("the one who made a mistake would look at it again, and sign")
            .help("name somebody else: `second person, not the fitter`")
    })
    .collect()
}

/// Returns the trade of the one who does the work: what stands behind the first number of `people`, as one of them is called.
fn doer(people: &str) -> Option<String> {
    let first = people.split(" and ").next()?.split(',').next()?;
    let words: Vec<&str> = first.split_whitespace().filter(|word| word.parse::<u32>().is_err()).collect();
    let last = words.last()?.to_lowercase();
    let one = last.strip_suffix('s').unwrap_or(&last).to_owned();
    (!matches!(one.as_str(), "people" | "person" | "men" | "man")).then_some(one)
}

fn is_doer(role: &str, doer: Option<&str>) -> bool {
    let role = role.to_lowercase();
    let has = |word: &str| role.split(|c: char| !c.is_alphanumeric()).any(|own| own == word);
    if OTHER.iter().any(|word| has(word)) {
        return false;
    }
    DOER.iter().any(|words| role.contains(words)) || doer.is_some_and(has)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_role_is_told_from_the_one_who_does_the_work() {
        let one = |people: &str, role: &str| is_doer(role, doer(people).as_deref());
        assert!(one("1 fitter and 1 verifier", "fitter"));
        assert!(one("2 fitters", "the fitter"));
        assert!(one("1 fitter and 1 verifier", "fitter doing the job"));
        assert!(one("2 people", "whoever is doing the work"));
        assert!(!one("1 fitter and 1 verifier", "second person, not the fitter"));
        assert!(!one("2 fitters", "the other fitter"));
        assert!(!one("1 fitter and 1 verifier", "verifier"));
        assert!(!one("2 people", "second person"));
        assert!(!one("1 fitter and 1 verifier", "quality"));
        assert!(!one("", "isolation authority"));
    }
}
