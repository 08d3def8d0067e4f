//! A link that no packet may carry.
//!
//! ## What is found
//! A link leads to something else than `https:`, `mailto:` or a file inside the binder.
//!
//! ## On the floor
//! A tap on it could start something on the tablet or show a page from anywhere.
//!
//! ## How to mend it
//! Link to https, to a mail address, or to a file of the binder; or write the words without a link.

use crate::base::finding::{Finding, Severity};
use crate::base::rule::UNSAFE_LINK;
use crate::model::binder::Binder;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: UNSAFE_LINK,
    severity: Severity::Error,
    found: Found::Check(check),
    source: include_str!("unsafe_link.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let mut findings = Vec::new();
    for procedure in &binder.procedures {
        let inside = |path: &str| binder.figure_path(procedure, path).is_some();
        for target in procedure.links() {
            if !is_safe(&target.value, inside) {
                findings.push(
                    Finding::error(UNSAFE_LINK, format!("`{}` is no link a packet may carry", target.value))
                        .at(target.span)
                        .document(&procedure.document.value)
                        .floor("a tap on it could show or start something from anywhere")
                        .help("links lead to https, to a mail address, or to a file inside the binder"),
                );
            }
        }
    }
    findings
}

/// Returns whether a target is https, a mail address, or a path that is `inside` the binder.
fn is_safe(target: &str, inside: impl Fn(&str) -> bool) -> bool {
    let lower = target.to_ascii_lowercase();
    if lower.starts_with("https://") || lower.starts_with("mailto:") {
        return true;
    }
    // A browser reads `%2e%2e` as `..`, so a path is judged only where nothing in it is written in code.
    let path = target.split(['#', '?']).next().unwrap_or_default();
    !path.contains(['%', ':']) && !path.contains(char::is_control) && inside(path)
}

#[cfg(test)]
mod tests {
    use super::is_safe;
    use crate::base::path::BinderPath;

    #[test]
    fn a_link_stays_inside_or_says_where_it_goes() {
        let seals = BinderPath::parse("seals").expect("plain");
        let safe = |target: &str| is_safe(target, |path| seals.join(path).is_ok());
        for target in ["https://x.example/y", "mailto:a@x.example", "../figures/a.svg", "b.md#part"] {
            assert!(safe(target), "{target}");
        }
        for target in [
            "../../../etc/passwd",
            "//evil.example/x",
            "/x",
            "%2e%2e/%2e%2e/x",
            "http://x.example",
            "javascript:x",
            "java\tscript:x",
            "#step-4",
            "https:x",
            "a\\b",
            "",
        ] {
            assert!(!safe(target), "{target}");
        }
    }
}
